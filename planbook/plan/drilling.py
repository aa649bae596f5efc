"""Every hole of a plan, ready to list: the schedule of each part's holes, and the bits that bore them.

`hole_schedule` has a row for each hole of each part, with two distances from one marked corner; `drill_list`
adds them up by bit and stop. Both count for one finished piece. Lengths are exact millimetres on the
edition's resolution; who prints them writes them.

The marked corner is that of datum end, datum edge and show face (the face and edge a maker marks). On a wide
face X runs from the datum end and Y from the datum edge; on an edge X runs from the datum end, on an end from
the datum edge, and on both Y runs from the show face.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import pairwise

from planbook.plan.model import Box, Hole, Part, Plan
from planbook.plan.shapes import Vector


class Side(StrEnum):
    """The side of a part that a bit enters, by the field of `Faces` that names it."""

    SHOW = "show"
    REVERSE = "reverse"
    DATUM_EDGE = "datum_edge"
    FAR_EDGE = "far_edge"
    DATUM_END = "datum_end"
    FAR_END = "far_end"

    @property
    def wide(self) -> bool:
        """Whether it is one of the two wide faces."""
        return self in (Side.SHOW, Side.REVERSE)


_INWARD: dict[Side, Vector] = {
    Side.SHOW: (0.0, 0.0, -1.0),
    Side.REVERSE: (0.0, 0.0, 1.0),
    Side.DATUM_EDGE: (0.0, 1.0, 0.0),
    Side.FAR_EDGE: (0.0, -1.0, 0.0),
    Side.DATUM_END: (1.0, 0.0, 0.0),
    Side.FAR_END: (-1.0, 0.0, 0.0),
}
NARROW = Fraction(127, 10)
"""mm: above 1/2 in a hole is bored with a Forstner bit (common practice, no source)."""
BRAD_POINT, TWIST, FORSTNER = "brad-point bit", "twist bit", "Forstner bit"
COUNTERSINK, ROUTER, BISCUITS = "countersink", "straight router bit", "biscuit joiner"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Equal holes in a line, at one distance from the edge that Y is measured from."""

    group: str
    side: Side
    hand: str
    w: Fraction
    """Y: from the datum edge, or from the show face for holes in an edge or end."""
    places: tuple[Fraction, ...]
    """X of the centres, rising."""
    hole: Hole
    """The first of them."""

    @property
    def diameter(self) -> Fraction:
        """Of each hole, in mm."""
        return self.hole.diameter

    @property
    def deep(self) -> Fraction | None:
        """Depth to the full diameter, in mm; None is right through."""
        return self.hole.deep

    @property
    def from_show(self) -> bool:
        """Whether they enter at the show face."""
        return self.hole.from_show

    @property
    def every(self) -> Fraction | None:
        """The spacing where it is the same all along, else None."""
        steps = {b - a for a, b in pairwise(self.places)}
        return steps.pop() if len(steps) == 1 else None

    def evenly(self, resolution: Fraction) -> bool:
        """Whether the spacing is the same but for the rounding of the places."""
        steps = [b - a for a, b in pairwise(self.places)]
        return bool(steps) and max(steps) - min(steps) <= 2 * resolution


@dataclass(frozen=True, slots=True, kw_only=True)
class Bored:
    """One hole of a part, as a line of the hole schedule."""

    part: str
    letter: str
    hand: str
    """`L` or `R` where only that hand has it, empty where all copies are bored alike."""
    number: int
    """Its number in the drawing of the part, from 1."""
    count: int
    """How many copies of the part have it, in one finished piece."""
    side: Side
    face: str
    """The side that is entered, by the part's own name for it."""
    x: Fraction
    x_from: str
    """What X runs from (`foot`, `front edge`)."""
    y: Fraction
    y_from: str
    diameter: Fraction
    bit: str
    """Kind of bit (`twist bit`, `Forstner bit` ...)."""
    deep: Fraction | None
    """Depth to the full diameter, not to the tip; None is right through, which wants a backing board."""
    slot: Fraction
    """Whole length of a slot, 0 for a round hole."""
    slot_along: str
    """`X` or `Y` where it is a slot, else empty."""
    tilt: float
    """Degrees off square to the face."""
    sight: float
    """Degrees from X towards Y in which the bit leans as it goes in; 0 where it does not lean."""
    counterbore: tuple[Fraction, Fraction] | None
    """Diameter and depth of the wider hole that is bored first."""
    countersink: tuple[Fraction, int] | None
    """Diameter at the face, and angle in degrees."""
    plugged: bool
    role: str
    """`pilot`, `clearance`, `dowel`, `mortise`, `biscuit`, `insert`, `socket`, `pin`, `wire` ..."""
    mate: str
    """Key of the part at the other end, or empty."""
    fastener: str
    """What goes into it, or empty."""
    group: str
    """Name of its joint or row."""
    step: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillLine:
    """One setting of one bit: a line of the drill list."""

    bit: str
    diameter: Fraction
    deep: Fraction | None
    """Where the stop is set, to the full diameter; None is right through."""
    count: int
    """Holes of that kind in one finished piece."""
    parts: tuple[tuple[str, int], ...]
    """Letters of the parts in their order, with how many holes each part has, all copies together."""
    roles: tuple[str, ...]
    groups: tuple[str, ...]
    steps: tuple[int, ...]


def side_of(hole: Hole) -> Side:
    """Return the side of its part that a bit enters."""
    if hole.t is None or hole.axis is None:
        return Side.SHOW if hole.from_show else Side.REVERSE
    axis = hole.axis
    return max(Side, key=lambda side: sum(a * b for a, b in zip(axis, _INWARD[side], strict=True)))


def inward(side: Side) -> Vector:
    """Return the way square into the wood at a side, in the part's own axes."""
    return _INWARD[side]


def place_on(part: Part, hole: Hole) -> tuple[Fraction, Fraction]:
    """Return X and Y of a hole's centre on the side that it enters."""
    side = side_of(hole)
    if side.wide or hole.t is None:
        return hole.l, hole.w
    along = hole.w if side in (Side.DATUM_END, Side.FAR_END) else hole.l
    return along, part.thick - hole.t


def space_of(part: Part, hole: Hole) -> Box:
    """Return the box round a hole that stands square to its side, in the part's own axes."""
    side = side_of(hole)
    sizes = (part.length.final, part.width.final, part.thick)
    axis = max(range(3), key=lambda k: abs(_INWARD[side][k]))
    deep = sizes[axis] if hole.deep is None else hole.deep
    height = hole.t if hole.t is not None else part.thick if side is Side.SHOW else Fraction(0)
    spans = [(at - hole.diameter / 2, at + hole.diameter / 2) for at in (hole.l, hole.w, height)]
    start = (hole.l, hole.w, height)[axis]
    spans[axis] = (start, start + deep) if _INWARD[side][axis] > 0 else (start - deep, start)
    return Box(spans[0], spans[1], spans[2])


def rows_of(part: Part, holes: tuple[Hole, ...] | None = None) -> tuple[Row, ...]:
    """Gather a part's holes (or some of them) into rows, in the order in which they are listed."""
    rows = []
    for members in _gathered(part, part.holes if holes is None else holes):
        first = members[0]
        places = tuple(place_on(part, hole)[0] for hole in members)
        across = place_on(part, first)[1]
        rows.append(Row(group=first.group, side=side_of(first), hand=first.hand, w=across, places=places, hole=first))
    return tuple(rows)


def holes_in_order(part: Part) -> Iterator[tuple[int, Hole]]:
    """Give a part's holes with their numbers, as its drawing counts them: row by row."""
    rows = _gathered(part, part.holes)
    return enumerate((hole for members in rows for hole in members), 1)


def _gathered(part: Part, holes: tuple[Hole, ...]) -> Iterator[list[Hole]]:
    found: dict[tuple[object, ...], list[Hole]] = {}
    for hole in holes:
        same = (
            hole.group, side_of(hole), hole.hand, place_on(part, hole)[1], hole.diameter, hole.deep, hole.slot,
            hole.role, hole.counterbore, hole.countersink,
        )  # fmt: skip
        found.setdefault(same, []).append(hole)
    return (sorted(members, key=lambda hole: place_on(part, hole)[0]) for members in found.values())


def hole_schedule(plan: Plan) -> tuple[Bored, ...]:
    """Return every hole that is bored in the parts of a plan, part by part; bought parts bring theirs along."""
    return tuple(line for part in plan.parts for line in schedule_of(part))


def schedule_of(part: Part) -> tuple[Bored, ...]:
    """Return the holes of one part, numbered as in its drawing."""
    return tuple(_bored(part, number, hole) for number, hole in holes_in_order(part))


def _bored(part: Part, number: int, hole: Hole) -> Bored:
    side = side_of(hole)
    x, y = place_on(part, hole)
    end = side in (Side.DATUM_END, Side.FAR_END)
    tilt, sight = _lean(hole, side)
    return Bored(
        part=part.key,
        letter=part.letter,
        hand=hole.hand,
        number=number,
        count=part.count // 2 if hole.hand else part.count,
        side=side,
        face=getattr(part.faces, side.value),
        x=x,
        x_from=part.faces.datum_edge if end else part.faces.datum_end,
        y=y,
        y_from=part.faces.datum_edge if side.wide else part.faces.show,
        diameter=hole.diameter,
        bit=bit_of(hole),
        deep=hole.deep,
        slot=hole.slot,
        slot_along=_slot_along(hole, side),
        tilt=tilt,
        sight=sight,
        counterbore=hole.counterbore,
        countersink=hole.countersink,
        plugged=hole.plugged,
        role=hole.role,
        mate=hole.mate,
        fastener=hole.fastener,
        group=hole.group,
        step=hole.step,
    )


def _lean(hole: Hole, side: Side) -> tuple[float, float]:
    """Return by how many degrees a bit leans off square, and from X towards Y to which side."""
    if hole.axis is None:
        return 0.0, 0.0
    square = sum(a * b for a, b in zip(hole.axis, _INWARD[side], strict=True))
    tilt = math.degrees(math.acos(max(-1.0, min(1.0, square))))
    if tilt < 1e-6:
        return 0.0, 0.0
    x, y, z = hole.axis
    along, across = (x, y) if side.wide else (y, -z) if side in (Side.DATUM_END, Side.FAR_END) else (x, -z)
    return tilt, math.degrees(math.atan2(across, along))


def _slot_along(hole: Hole, side: Side) -> str:
    if hole.slot <= hole.diameter:
        return ""
    way = hole.slot_way or (1.0, 0.0, 0.0)
    first = 1 if side in (Side.DATUM_END, Side.FAR_END) else 0
    return "X" if abs(way[first]) > 0.5 else "Y"


def bit_of(hole: Hole) -> str:
    """Return the kind of bit for a hole by what it is for and how wide it is (common practice, no source)."""
    if hole.role == "biscuit":
        return BISCUITS
    if hole.slot > hole.diameter:
        return ROUTER
    if hole.diameter > NARROW:
        return FORSTNER
    return TWIST if hole.role in ("pilot", "clearance") else BRAD_POINT


def drill_list(plan: Plan) -> tuple[DrillLine, ...]:
    """Return each setting of each bit once: kinds in the order of first use, thin to thick, shallow to through.

    A counterbore and a countersink are settings of their own.
    """
    found: dict[tuple[str, Fraction, Fraction | None], list[Bored]] = {}
    for line in hole_schedule(plan):
        if line.counterbore is not None:
            found.setdefault((FORSTNER, *line.counterbore), []).append(line)
        if line.countersink is not None:
            found.setdefault((COUNTERSINK, line.countersink[0], Fraction(0)), []).append(line)
        found.setdefault((line.bit, line.diameter, line.deep), []).append(line)
    kinds = list(dict.fromkeys(bit for bit, _, _ in found))

    def order(entry: tuple[str, Fraction, Fraction | None]) -> tuple[int, Fraction, bool, Fraction]:
        return kinds.index(entry[0]), entry[1], entry[2] is None, entry[2] or Fraction(0)

    return tuple(_drill_line(*setting, found[setting]) for setting in sorted(found, key=order))


def _drill_line(bit: str, diameter: Fraction, deep: Fraction | None, lines: list[Bored]) -> DrillLine:
    parts: dict[str, int] = {}
    for line in lines:
        parts[line.letter] = parts.get(line.letter, 0) + line.count
    sunk = {COUNTERSINK: "countersink"}.get(bit)
    return DrillLine(
        bit=bit,
        diameter=diameter,
        deep=deep,
        count=sum(parts.values()),
        parts=tuple(parts.items()),
        roles=tuple(dict.fromkeys(sunk or _role(line, bit, diameter) for line in lines)),
        groups=tuple(dict.fromkeys(line.group for line in lines)),
        steps=tuple(sorted({line.step for line in lines if line.step is not None})),
    )


def _role(line: Bored, bit: str, diameter: Fraction) -> str:
    wider = line.counterbore is not None and line.counterbore[0] == diameter and line.bit != bit
    return "counterbore" if wider or (line.counterbore and line.diameter != diameter) else line.role
