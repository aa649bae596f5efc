"""Fasteners driven through one part into another: their places, and the holes that they need in both.

Comes after the parts are finished, and works from where their copies stand: a place is found once for
two copies that meet, and turned into the own axes of both. So the clearance hole, the pilot hole and the
fastener lie on one axis but for the rounding of each place from its part's own datum.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field, replace
from fractions import Fraction

from planbook.plan import brackets, joints, meeting, places, stand, values
from planbook.plan.claims import Claims
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.drilled import Drilled, sizes_of
from planbook.plan.driven import Driven, driven, group_of, step_of, words_of
from planbook.plan.fastened import Fastened, Grain, Layer, Place
from planbook.plan.holing import bracket_hole, far_hole, near_hole
from planbook.plan.jigs import near
from planbook.plan.meeting import Hull, Meeting, dot, scaled
from planbook.plan.model import Hole, Part, Placement, StockKind
from planbook.plan.parts import Made
from planbook.plan.shapes import Vector
from planbook.source.schema.joints import AnyDriven, BracketSource
from planbook.source.text import Text

APART = 1.0
"""mm: parts whose faces are no farther apart touch; sizes are rounded, so they seldom meet exactly."""
_TILT = re.compile(r"(.+?)\s+(up|down|left|right|front|back)$", re.DOTALL)
_WAYS: dict[str, Vector] = {
    "left": (-1.0, 0.0, 0.0),
    "right": (1.0, 0.0, 0.0),
    "front": (0.0, -1.0, 0.0),
    "back": (0.0, 1.0, 0.0),
    "down": (0.0, 0.0, -1.0),
    "up": (0.0, 0.0, 1.0),
}
STEEPEST = 60
"""Most tilt in degrees off square (our own choice)."""


@dataclass(slots=True)
class _Bores:
    """The holes found for each copy of each part."""

    found: dict[str, dict[int, list[Hole]]] = field(default_factory=dict)

    def add(self, part: str, copy: int, hole: Hole) -> None:
        copies = self.found.setdefault(part, {})
        if hole not in copies.setdefault(copy, []):
            copies[copy].append(hole)


def drive(draft: Draft, claims: Claims, made: Made) -> tuple[Made, tuple[Fastened, ...]]:
    """Return the parts with the holes of all driven joints, and the fasteners in their places."""
    parts = {part.key: part for part in (*made.parts, *made.fittings)}
    bores = _Bores()
    fastened: list[Fastened] = []
    hulls: dict[int, Hull] = {}
    for key in draft.facts.joints:
        try:
            what, source = driven(draft, str(key)), words_of(draft, str(key))
            if what is None or source is None:
                continue
            step = step_of(draft, str(key), claims.cut_in.get(str(key)), claims.joined_in.get(str(key)))
            work = _Joint(draft, key, source, what, step, parts, made.placements, hulls)
            found = tuple(work.drive(bores))
            fastened.extend(draft.once(f"{key} (in place)", key.span, _given(found)))
        except Unresolved as fault:
            _forget(draft, key, fault)
    if not bores.found:
        return made, tuple(fastened)
    bored = {key: _bored(draft, parts[key], made.placements, copies) for key, copies in bores.found.items()}
    return (
        replace(
            made,
            parts=tuple(bored.get(part.key, part) for part in made.parts),
            fittings=tuple(bored.get(part.key, part) for part in made.fittings),
        ),
        tuple(fastened),
    )


def _forget(draft: Draft, key: Text, fault: Unresolved) -> None:
    """Remember that a joint's fasteners could not be worked out, so that its fault is told once."""

    def again() -> tuple[Fastened, ...]:
        raise fault

    with suppress(Unresolved):
        draft.once(f"{key} (in place)", key.span, again)


def _given(found: tuple[Fastened, ...]) -> Callable[[], tuple[Fastened, ...]]:
    return lambda: found


def _bored(draft: Draft, part: Part, placements: tuple[Placement, ...], copies: dict[int, list[Hole]]) -> Part:
    """Return a part with its holes: those that all copies have, then those of one hand alone."""
    standing = [placement for placement in placements if placement.part == part.key]
    step = draft.edition.resolution
    every: list[Hole] = []
    for holes in copies.values():
        every += [hole for hole in holes if not any(_alike(hole, other, step) for other in every)]
    found = []
    for hole in every:
        having = [
            placement
            for placement in standing
            if any(_alike(hole, other, step) for other in copies.get(placement.copy, ()))
        ]
        hands = {placement.hand for placement in having}
        of_hands = [placement for placement in standing if placement.hand in hands]
        if len(having) < len(of_hands):
            lacking = next(placement for placement in of_hands if placement not in having)
            draft.findings.stop(
                "copies-unlike",
                f"copy {having[0].copy} of `{part.key}` has a hole for `{hole.group}` that copy {lacking.copy} lacks",
                part.span,
                help="make them parts of their own, or a pair, so that each has its own holes",
            )
        one = len(having) < len(standing)
        found.append(replace(hole, hand=having[0].hand) if one else hole)
    return replace(part, holes=(*part.holes, *found))


def _alike(one: Hole, other: Hole, step: Fraction) -> bool:
    """Whether two holes are one, but for a step of the rule that rounding may put between copies."""
    if one == other:
        return True
    heights = (one.t or Fraction(0), other.t or Fraction(0))
    near_by = all(abs(a - b) <= step for a, b in ((one.l, other.l), (one.w, other.w), heights))
    # Copies may meet different parts in the same place, as the legs of a table meet its rails.
    moved = replace(other, l=one.l, w=one.w, t=one.t, mate=one.mate)
    return near_by and (one.t is None) == (other.t is None) and moved == one


@dataclass(slots=True)
class _Joint:
    """One joint at work."""

    draft: Draft
    key: Text
    source: AnyDriven
    what: Driven
    step: int | None
    parts: dict[str, Part]
    placements: tuple[Placement, ...]
    hulls: dict[int, Hull]

    def drive(self, bores: _Bores) -> Iterator[Fastened]:
        """Give the fasteners of the joint, and add their holes."""
        members = self._members()
        for one, other in members:
            if one[0] not in self.parts or other[0] not in self.parts:
                raise Unresolved(one[0])  # its fault is told already
            ones, others = self._copies(*one), self._copies(*other)
            met = [found for a in ones for b in others if a is not b and (found := self._meeting(a, b)) is not None]
            if not met:
                self._apart(one[0], other[0], ones, others)
            yield from self._driven(met, bores)

    def _members(self) -> list[tuple[tuple[str, str], tuple[str, str]]]:
        """Return the pairs of parts with their hands: what enters or is set against, and what it meets."""
        name = str(self.key)
        held = self.source.butt or self.source.for_
        entering = [stand.part_named(self.draft, text) for text in held]
        receiving = joints.receiving(self.draft, name)
        return [(one, other) for one in entering for other in receiving]

    def _copies(self, part: str, hand: str) -> list[Hull]:
        found = []
        for placement in self.placements:
            if placement.part != part or hand not in ("", placement.hand):
                continue
            if id(placement) not in self.hulls:
                self.hulls[id(placement)] = meeting.hull(self.parts[part], placement)
            found.append(self.hulls[id(placement)])
        return found

    def _meeting(self, one: Hull, other: Hull) -> Meeting | None:
        """Return how two copies meet, from the part that is passed to the one that holds, or None."""
        kind = joints.kind_of(self.draft, str(self.key))
        if kind in joints.UNCUT:
            found = meeting.touching(one, other, apart=APART)
        else:
            found = meeting.entering(one, other, self._square(kind, one, other))
            if found is not None and meeting.gap(one, other) > APART:
                return None
        if found is None:
            return None
        return found if self._passed(found) is one else _reversed(found)

    def _square(self, kind: str, one: Hull, other: Hull) -> Vector:
        """Return the way square to the joint's bed, out of what enters and into what is cut."""
        if kind in ("dado", "groove"):
            way = other.turn[2]
        elif kind == "rabbet":
            # Through the thinner of the two: a back into its sides, or a side into what lies in its rabbet.
            stated = {*map(str, self.source.through)}
            through_host = other.part.key in stated or (not stated and other.part.thick < one.part.thick)
            way = other.turn[2] if through_host else one.turn[2]
        else:
            # Of two that cross, the first lies on top: it loses what is below it.
            way = one.turn[2]
            return way if max(way, key=abs) < 0 else scaled(way, -1.0)
        towards = meeting.minus(_middle(other), _middle(one))
        return way if dot(way, towards) >= 0 else scaled(way, -1.0)

    def _passed(self, found: Meeting) -> Hull:
        """Return the part that the fastener passes: as stated, else the one that is passed by its thickness."""
        for words, hull in ((self.source.through, True), (self.source.into, False)):
            named = {stand.part_named(self.draft, text)[0] for text in words}
            for mine, theirs in ((found.one, found.other), (found.other, found.one)):
                if mine.part.key in named and theirs.part.key not in named:
                    return mine if hull else theirs
        flat = [abs(dot(found.normal, hull.turn[2])) > 0.7 for hull in (found.one, found.other)]
        if flat[0] != flat[1]:
            return found.one if flat[0] else found.other
        return found.other if found.other.part.thick < found.one.part.thick else found.one

    def _apart(self, one: str, other: str, ones: list[Hull], others: list[Hull]) -> None:
        if not ones or not others:
            raise Unresolved(one)
        gap = near(meeting.nearest_pair(ones, others))
        away = f", {values.shown(self.draft, gap)} lie between them" if gap > 1 else " on any flat face"
        raise self.draft.fail(
            "joint-apart",
            f"`{one}` and `{other}` do not meet{away}, so `{self.key}` holds nothing",
            self.key.span,
            help=f"look where `{one}` and `{other}` stand",
        )

    def _driven(self, met: list[Meeting], bores: _Bores) -> Iterator[Fastened]:
        """Give the fasteners of two parts, those that may move apart from those that may not."""
        if self.source.bracket is not None:
            yield from self._bracketed(self.source.bracket, met, bores)
            return
        groups: dict[tuple[object, ...], tuple[Drilled, list[Place]]] = {}
        for found in met:
            for spot, room in places.spots(self.draft, str(self.key), self.source, found):
                drilled, place = self._one(found, spot, room, bores)
                least, stands = groups.setdefault(drilled.same, (drilled, []))
                stands.append(place)
                if drilled.ahead < least.ahead:
                    groups[drilled.same] = drilled, stands
        for drilled, stands in groups.values():
            yield self._fastened(drilled, tuple(stands))

    def _bracketed(self, source: BracketSource, met: list[Meeting], bores: _Bores) -> Iterator[Fastened]:
        """Give the screws of brackets: those into one part, then those into the other."""
        groups: dict[tuple[str, Fraction], tuple[Layer, list[Place]]] = {}
        reach = brackets.reach(self.draft, source, self.what.long)
        for found in met:
            for spot, _ in places.spots(self.draft, str(self.key), self.source, found):
                for leg in brackets.legs(self.draft, self.key, source, found, spot):
                    hole, ahead = bracket_hole(self.draft, self.key, self.source, self.what, leg, reach)
                    hole = replace(hole, group=group_of(self.draft, str(self.key)), step=self.step)
                    bores.add(leg.hull.part.key, leg.hull.placement.copy, hole)
                    layer = self._layer(leg.hull, leg.way, ahead, hole.diameter, hole.deep)
                    place = Place(start=leg.start, way=leg.way, passes=(), into=leg.hull.placement)
                    groups.setdefault((layer.part, ahead), (layer, []))[1].append(place)
        for layer, stands in groups.values():
            yield self._described((), layer, tuple(stands), bite=reach)

    def _one(self, found: Meeting, spot: Vector, room: float, bores: _Bores) -> tuple[Drilled, Place]:
        """Return one fastener with its holes' sizes, after its holes are noted."""
        way = self._way(found.normal)
        drilled = sizes_of(self.draft, self.key, self.source, self.what, found, spot, way, room)
        group = group_of(self.draft, str(self.key))
        common = {"group": group, "step": self.step, "fastener": self.what.name}
        for hull, hole in (
            (found.one, near_hole(self.draft, drilled, common)),
            (found.other, far_hole(self.draft, drilled, common)),
        ):
            if hole is not None:
                bores.add(hull.part.key, hull.placement.copy, hole)
        start = spot if self.what.hidden else drilled.start
        into = None if drilled.bolted else found.other.placement
        passes = (found.one.placement, found.other.placement) if drilled.bolted else (found.one.placement,)
        return drilled, Place(start=start, way=way, passes=passes, into=into)

    def _way(self, normal: Vector) -> Vector:
        """Return the way in which a fastener is driven: square to the joint, or tilted as stated."""
        text = self.source.tilt
        if text is None:
            return normal
        match = _TILT.match(text)
        if match is None:
            raise self.draft.fail(
                "wrong-word", f"`{text}` does not say which way a screw slants", text.span, help="write `15 deg down`"
            )
        angle = values.field(self.draft, text.part(match.start(1), match.end(1)), "part", wants="angle", word="tilt")
        aside = _WAYS[match[2]]
        flat = meeting.minus(aside, scaled(normal, dot(aside, normal)))
        if math.hypot(*flat) < 0.1 or not 0 <= angle.value <= STEEPEST:
            raise self.draft.fail(
                "wrong-angle",
                f"a screw of `{self.key}` cannot slant `{text}`",
                text.span,
                help=f"give up to {STEEPEST} deg, to a side of the way in which it is driven",
            )
        turn = math.radians(float(angle.value))
        return meeting.unit(meeting.plus(scaled(normal, math.cos(turn)), scaled(meeting.unit(flat), math.sin(turn))))

    def _fastened(self, drilled: Drilled, stands: tuple[Place, ...]) -> Fastened:
        layers = [
            self._layer(drilled.meeting.one, drilled.way, drilled.through, drilled.near_diameter, drilled.near_deep),
            self._layer(drilled.meeting.other, drilled.way, drilled.ahead, drilled.far_diameter, drilled.far_deep),
        ]
        found = self._described(
            tuple(layers) if drilled.bolted else (layers[0],),
            None if drilled.bolted else layers[1],
            stands,
            bite=drilled.bite,
        )
        free = drilled.slot > 0 and not self.what.hidden
        return replace(found, sunk=drilled.sunk, back=drilled.back, free=free, plugged=drilled.plugged)

    def _described(
        self, passes: tuple[Layer, ...], into: Layer | None, stands: tuple[Place, ...], *, bite: Fraction
    ) -> Fastened:
        what = self.what
        return Fastened(
            joint=str(self.key),
            written=str(what.text),
            name=what.name,
            kind=what.kind,
            series=what.series,
            long=what.long,
            shank=what.shank,
            root=what.root,
            head=what.head,
            passes=passes,
            into=into,
            sunk=Fraction(0),
            bite=bite,
            free=False,
            plugged=False,
            places=stands,
            step=self.step,
        )

    def _layer(self, hull: Hull, way: Vector, thick: Fraction, diameter: Fraction, deep: Fraction | None) -> Layer:
        part = hull.part
        stock = next((key for key in self.draft.facts.stock if key == part.stock), None)
        material, panel = "", False
        if stock is not None:
            from planbook.plan.stock import named_stock

            known = named_stock(self.draft, stock)
            material, panel = known.material, known.kind is StockKind.PANEL
        own = hull.own_way(way)
        side = max(range(3), key=lambda axis: abs(own[axis]))
        grain = (Grain.END, Grain.EDGE, Grain.FACE)[side]
        return Layer(
            part=part.key, thick=thick, material=material, panel=panel, grain=grain, diameter=diameter, deep=deep
        )


def _reversed(found: Meeting) -> Meeting:
    return Meeting(found.other, found.one, scaled(found.normal, -1.0), found.area)


def _middle(hull: Hull) -> Vector:
    points = [corner for face in hull.faces for corner in face.corners]
    x, y, z = (sum(point[axis] for point in points) / len(points) for axis in range(3))
    return (x, y, z)
