"""Parts turned or tapered by stations, alone or several round a circle, upright or leaning outward.

A leaning part is described in its own plane: the plumb plane through its middle line. `lean` is the
angle there (the resultant); as seen from the front and from the side it looks smaller.

    tan(front) = tan(lean) cos(sight)       tan(side) = tan(lean) sin(sight)

with `sight` between the sight line and the front of the piece: geometry of the plumb plane.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.plan import reach, stand, values
from planbook.plan.draft import Draft
from planbook.plan.jigs import near
from planbook.plan.shapes import Lean
from planbook.source.schema.shapes import ShapedSource
from planbook.source.text import Text
from planbook.units.editions import snap

if TYPE_CHECKING:
    from planbook.plan.model import Range

Spot = tuple[float, float]

_LEAN = re.compile(r"(.+?)\s+(outward|inward)$", re.DOTALL)
_SIDES = re.compile(r"(.+?)\s+(?:x|×)\s+(.+)$", re.DOTALL)
_FIRST = re.compile(r"(.+?)\s+from\s+grain$", re.DOTALL)
STEEPEST = 45
"""Most lean in degrees: beyond it lies a strut, not a leg."""


@dataclass(frozen=True, slots=True)
class Stance:
    """How several parts stand round a middle."""

    middle: Spot
    radius: float
    """Of the circle on the marked face, mm."""
    face: Fraction
    """Height of the marked face, mm."""
    beyond: Fraction
    """Height of the opposite face of the same part."""
    low: Fraction
    high: Fraction
    """Heights of foot and top, mm."""
    slope: float
    """Run outward for each mm down, in the plane of the lean."""
    places: tuple[Spot, ...]
    """Where the middle line of each copy meets the marked face, from the middle."""
    ways: tuple[Spot, ...]
    """Which way the foot of each copy leans out: unit vectors."""

    @property
    def angle(self) -> float:
        """Lean in radians."""
        return math.atan(self.slope)

    @property
    def length(self) -> float:
        """Length of the middle line from foot to top, mm."""
        return float(self.high - self.low) / math.cos(self.angle)

    def spot(self, copy: int, height: Fraction) -> Spot:
        """Return where the middle line of a copy (from 0) is at a height, in the assembly, mm."""
        out = self.slope * float(self.face - height)
        (px, py), (wx, wy) = self.places[copy], self.ways[copy]
        return self.middle[0] + px + wx * out, self.middle[1] + py + wy * out


def stance(draft: Draft, name: str) -> Stance | None:
    """Return how a shaped part's copies stand, or None where it stands alone, placed like a board."""
    form = draft.forms.get(name)
    if not isinstance(form, ShapedSource) or form.around is None:
        return None
    around = form.around
    return draft.once(
        f"{name} (the way it leans)", draft.part_key(name).span, lambda: _stance(draft, name, form, around)
    )


def _stance(draft: Draft, name: str, form: ShapedSource, around: Text) -> Stance:
    host = _host(draft, around, ("centre", "center", "middle"), "around")
    face, beyond = _face(draft, form, host)
    low, high = height(draft, name, form)
    if form.on is None:
        raise draft.fail(
            "missing-word",
            f"`{name}` does not say on which circle it stands",
            draft.part_key(name).span,
            help="add `on:` with the diameter of the circle through the middles, or with length x width between them",
        )
    radius, turns = _set_out(draft, name, form, form.on)
    rays = [(math.cos(turn), math.sin(turn)) for turn in turns]
    spans = [stand.interval(draft, host, axis) for axis in "xy"]
    middle = (float(sum(spans[0])) / 2, float(sum(spans[1])) / 2)
    if stand.frame_of(draft, host).l == "y":
        # Angles count from the grain, which runs from front to back here.
        rays = [(-y, x) for x, y in rays]
    slope, ways = _leaning(draft, name, form, rays)
    places = tuple((radius * x, radius * y) for x, y in rays)
    return Stance(middle, radius, face, beyond, low, high, slope, places, ways)


def _set_out(draft: Draft, name: str, form: ShapedSource, on: Text) -> tuple[float, list[float]]:
    """Return the radius that the middles stand on, and where on it each copy stands, in radians from the grain."""
    number, sides = stand.copies(draft, name), _SIDES.match(on)
    if sides is None:
        first = _first(draft, form)
        return float(values.size(draft, on, "part", word="on")) / 2, [
            first + math.tau * copy / number for copy in range(number)
        ]
    if number != 4 or form.first is not None:
        raise draft.fail(
            "wrong-number",
            f"`{on}` has four corners, `{name}` has {number} copies"
            if number != 4
            else f"`{name}` stands at the corners of `{on}`, so no first one has an angle",
            on.span,
            help="write `count: 4`, or the diameter of a circle" if number != 4 else "leave `first:` out",
        )
    long, wide = (
        float(values.size(draft, on.part(sides.start(at), sides.end(at)), "part", word="on")) / 2 for at in (1, 2)
    )
    corner = math.atan2(wide, long)
    return math.hypot(long, wide), [corner, math.pi - corner, math.pi + corner, math.tau - corner]


def _host(draft: Draft, text: Text, words: tuple[str, ...], field: str) -> str:
    """Return the part of `seat centre` or `seat underside`."""
    name, _, word = text.rpartition(" ")
    if word in words and name in draft.parts:
        return name
    if word in words:
        return stand.part_named(draft, text.part(0, len(name)))[0]
    raise draft.fail(
        "which-side",
        f"`{field}` wants a part and its {words[0]}",
        text.span,
        help=f"write for example `seat {words[0]}`",
    )


def _face(draft: Draft, form: ShapedSource, host: str) -> tuple[Fraction, Fraction]:
    """Return the heights of the marked face and of the one opposite."""
    low, high = stand.interval(draft, host, "z")
    if form.of_face is None:
        return low, high
    part = _host(draft, form.of_face, ("underside", "top", "bottom"), "of face")
    low, high = stand.interval(draft, part, "z")
    return (high, low) if form.of_face.endswith("top") else (low, high)


def height(draft: Draft, name: str, form: ShapedSource) -> Range:
    """Return from where to where a leaning part goes, upright, in mm."""
    found = reach.extent(draft, name, "z", form.length)
    if found is not None:
        return found
    return Fraction(0), values.size(draft, form.length, "part", word="length")


def _first(draft: Draft, form: ShapedSource) -> float:
    """Return the angle of the first copy from the grain of its host, in radians."""
    if form.first is None:
        return 0.0
    match = _FIRST.match(form.first)
    if match is None:
        raise draft.fail(
            "wrong-word",
            f"`{form.first}` is no angle from the grain",
            form.first.span,
            help="write `45 deg from grain`",
        )
    text = form.first.part(match.start(1), match.end(1))
    return math.radians(float(values.field(draft, text, "part", wants="angle", word="first").value))


def _leaning(draft: Draft, name: str, form: ShapedSource, rays: list[Spot]) -> tuple[float, tuple[Spot, ...]]:
    """Return the run for each mm down, and which way each copy leans."""
    if form.lean is not None and (form.rake is not None or form.splay is not None):
        raise draft.fail(
            "lean-twice",
            f"`{name}` says both `lean` and `rake` or `splay`: one tells the lean in its own plane, the others as seen",
            form.lean.span,
            help="keep `lean`, or `rake` and `splay` together",
        )
    if form.lean is not None:
        match = _LEAN.match(form.lean)
        text = form.lean if match is None else form.lean.part(match.start(1), match.end(1))
        sign = -1 if match is not None and match[2] == "inward" else 1
        slope = _run(draft, name, text, "lean")
        return slope, tuple((sign * x, sign * y) for x, y in rays)
    side = 0.0 if form.splay is None else _run(draft, name, form.splay, "splay")
    back = 0.0 if form.rake is None else _run(draft, name, form.rake, "rake")
    slope = math.hypot(side, back)
    if not slope:
        return 0.0, tuple(rays)
    return slope, tuple((math.copysign(side, x) / slope, math.copysign(back, y) / slope) for x, y in rays)


def _run(draft: Draft, name: str, value: values.Value, word: str) -> float:
    found = values.field(draft, value, "part", wants="angle", word=word).value
    if not 0 <= found <= STEEPEST:
        text, _ = values.chosen(draft, value)
        raise draft.fail(
            "wrong-angle",
            f"`{name}` leans {float(found):g} deg off plumb, {STEEPEST} deg is the most",
            text.span,
            help="give the angle off plumb, not that to the floor",
        )
    return math.tan(math.radians(float(found)))


def full(draft: Draft, name: str, form: ShapedSource) -> Fraction:
    """Return the side of the square a shaped part is made from, in mm, rounded."""
    if stand.value_text(form.square) == "full":
        from planbook.plan.stock import stock_of

        return stock_of(draft, name).thickness
    return snap(values.size(draft, form.square, "part", word="square"), draft.edition)


def interval(draft: Draft, name: str, form: ShapedSource, axis: str) -> Range:
    """Return where the first copy begins and ends along an axis, in mm; a leaning one to the middle of its ends."""
    stands = stance(draft, name)
    side = full(draft, name, form)
    if stands is None:
        if stand.frame_of(draft, name).own_axis(axis) != "l":
            return stand.position(draft, name, axis, side)
        found = reach.extent(draft, name, axis, form.length)
        return found or stand.position(draft, name, axis, reach.size(draft, name, "l", form.length))
    if axis == "z":
        return stands.low, stands.high
    ends = [stands.spot(0, height)["xy".index(axis)] for height in (stands.low, stands.high)]
    return near(min(ends)) - side / 2, near(max(ends)) + side / 2


def lean_of(draft: Draft, name: str) -> Lean | None:
    """Return how a part leans, for drawings and machine settings; None for one that stands alone."""
    stands = stance(draft, name)
    if stands is None:
        return None
    x, y = stands.ways[0]
    feet = [stands.spot(copy, stands.low) for copy in range(len(stands.places))]
    apart = math.dist(feet[0], feet[1]) if len(feet) > 1 else 0.0
    beyond = math.dist(stands.spot(0, stands.beyond), stands.middle)
    return Lean(
        angle=near(math.degrees(stands.angle)),
        front=math.degrees(math.atan(stands.slope * abs(x))),
        side=math.degrees(math.atan(stands.slope * abs(y))),
        sight=math.degrees(math.atan2(y, x)),
        circle=near(2 * stands.radius),
        circle_beyond=near(2 * beyond),
        feet=near(apart),
    )
