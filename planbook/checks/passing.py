"""Who stands in whose way when parts are moved straight: boxes where they are the wood itself, else solids."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from planbook.checks.copies import WAYS, Copy, Depths, in_the_way
from planbook.checks.neighbours import Floated, pairs_of

if TYPE_CHECKING:
    from planbook.checks.shapes import Shapes
    from planbook.shape.solids import Body

Way = tuple[str, tuple[float, float, float]]
"""A direction in words (`+x`, or the copy along whose length it runs), and the direction."""

STRAIGHT: tuple[Way, ...] = (
    ("+z", (0.0, 0.0, 1.0)),
    ("-y", (0.0, -1.0, 0.0)),
    ("+x", (1.0, 0.0, 0.0)),
    ("-x", (-1.0, 0.0, 0.0)),
    ("+y", (0.0, 1.0, 0.0)),
    ("-z", (0.0, 0.0, -1.0)),
)
"""Preferred first: parts are put in from above or from the front where that is free."""


STRAIGHT_ON = 0.9999
"""Cosine of the angle below which two directions count as one."""


DOWELS = "dowels"
"""How the name of a way along dowels begins."""


@dataclass(frozen=True, slots=True, eq=False)
class Unit:
    """Copies that hold together before a step, or one copy that the step brings."""

    copies: tuple[Copy, ...]
    new: bool

    @property
    def name(self) -> str:
        """Its first part in words."""
        return self.copies[0].name


@dataclass(frozen=True, slots=True)
class Pinned:
    """Two copies that dowels or loose tenons of the step hold: they come apart along these only."""

    one: tuple[str, int, str]
    """Part, number and hand of the copy."""
    other: tuple[str, int, str]
    way: tuple[float, float, float]
    thick: float
    """Diameter or thickness, in mm."""


@dataclass(slots=True)
class Known:
    """What has been reckoned about pairs of copies, kept from step to step."""

    boxes: dict[tuple[int, int], Depths] = field(default_factory=dict)
    solids: dict[tuple[int, int, str], bool] = field(default_factory=dict)
    plain: dict[tuple[int, int, str], bool] = field(default_factory=dict)
    points: dict[int, tuple[tuple[float, float, float], ...]] = field(default_factory=dict)
    shadows: dict[tuple[int, str], tuple[tuple[float, float], ...]] = field(default_factory=dict)


class Passing:
    """Some units, and how far each stands in the others' ways.

    Without solids the boxes round parts that are no plain boards stand for them, and legs are looked at in
    their sockets and by their shadows: what passes so passes as it is, and solids are needed for the rest.
    """

    def __init__(
        self,
        units: Sequence[Unit],
        shapes: Callable[[], Shapes] | None,
        play: float,
        known: Known,
        pinned: Sequence[Pinned] = (),
    ) -> None:
        self.units = tuple(units)
        self._shapes = shapes
        self._play = play
        self._known = known
        self._ahead = {name: _ahead_of(self.units, WAYS.index(name), play) for name, _ in STRAIGHT}
        self._pins = {pair: (pin, copy) for pin in pinned for pair, copy in self._pinned(pin)}
        for way in STRAIGHT:
            for (mine, theirs), (pin, _) in self._pins.items():
                if not _along(pin, way):
                    self._ahead[way[0]].setdefault(mine, {}).setdefault(theirs, [])

    def _pinned(self, pin: Pinned) -> list[tuple[tuple[int, int], Copy]]:
        """Return both ways round the numbers of the units that a pin is in, with the copy of the second."""
        found = {
            key: (number, copy)
            for number, unit in enumerate(self.units)
            for copy in unit.copies
            if (key := _key(copy)) in (pin.one, pin.other)
        }
        if len(found) < 2 or found[pin.one][0] == found[pin.other][0]:
            return []
        (one, first), (other, second) = found[pin.one], found[pin.other]
        return [((one, other), second), ((other, one), first)]

    def ways(self, number: int) -> tuple[Way, ...]:
        """Return the ways of a unit's own: along the length of a part that leans, and along its dowels."""
        pins = [pin.way for (mine, _), (pin, _) in self._pins.items() if mine == number]
        slanted = [way for way in dict.fromkeys(pins) if max(abs(part) for part in way) < STRAIGHT_ON]
        along = [(f"{DOWELS} {x} {y} {z}", (x, y, z)) for way in slanted for x, y, z in (way, _back(way))]
        return (*own_ways(self.units[number]), *along)

    def candidates(self, moving: int, way: Way) -> tuple[int, ...]:
        """Return the numbers of the units that may stand in the way of one, in their order."""
        if way[0] in self._ahead:
            return tuple(self._ahead[way[0]].get(moving, {}))
        return tuple(number for number in range(len(self.units)) if number != moving)

    def blocked(self, moving: int, standing: int, way: Way) -> bool:
        """Whether one unit stands in another's way."""
        if (moving, standing) in self._pins and not _along(self._pins[moving, standing][0], way):
            return True
        return any(self._blocked(mine, theirs, way) for mine, theirs in self._pairs(moving, standing, way))

    def between(self, moving: int, standing: int, way: Way) -> tuple[float, Copy | None]:
        """Return how wide the strip is in which one unit stands in another's way, in mm, and the copy it is of."""
        worst: tuple[float, Copy | None] = (0.0, None)
        if (moving, standing) in self._pins:
            pin, copy = self._pins[moving, standing]
            worst = worst if _along(pin, way) else (pin.thick, copy)
        for mine, theirs in self._pairs(moving, standing, way):
            depth = self._depth(mine, theirs, way)
            if depth > worst[0]:
                worst = (depth, theirs)
        return worst

    def _pairs(self, moving: int, standing: int, way: Way) -> list[tuple[Copy, Copy]]:
        if way[0] in self._ahead:
            return self._ahead[way[0]].get(moving, {}).get(standing, [])
        return [(mine, theirs) for mine in self.units[moving].copies for theirs in self.units[standing].copies]

    def _blocked(self, mine: Copy, theirs: Copy, way: Way) -> bool:
        if self._shapes is None or not _solid(mine, theirs, way):
            return self._depth(mine, theirs, way) > 0
        key = (id(mine), id(theirs), way[0])
        if key not in self._known.solids:
            from planbook.shape.paths import blocked

            one, other = self._bodies(mine, theirs)
            self._known.solids[key] = blocked(one, other, way[1], play=self._play)
        return self._known.solids[key]

    def _depth(self, mine: Copy, theirs: Copy, way: Way) -> float:
        if not _solid(mine, theirs, way):
            pair = (id(mine), id(theirs))
            if pair not in self._known.boxes:
                self._known.boxes[pair] = in_the_way(mine.boxes, theirs.boxes, self._play)
            return self._known.boxes[pair][WAYS.index(way[0])]
        if self._shapes is None:
            key = (id(mine), id(theirs), way[0])
            if key not in self._known.plain:
                self._known.plain[key] = self._slides(mine, theirs, way)
            return 0.0 if self._known.plain[key] else _as_box(mine, theirs)
        from planbook.shape.paths import in_the_way as solids_in_the_way

        one, other = self._bodies(mine, theirs)
        return solids_in_the_way(one, other, way[1], play=self._play)

    def _slides(self, mine: Copy, theirs: Copy, way: Way) -> bool:
        """Whether it is plain without solids that a copy passes another."""
        from planbook.checks.sockets import entered, points_ahead, shadow, shadows_apart

        for moving, standing, sense in ((mine, theirs, 1.0), (theirs, mine, -1.0)):
            found = entered(moving.part, moving.placement, standing.part, standing.placement)
            if found is not None and moving.placement.turn is not None:
                along = sum(a * b for a, b in zip(moving.placement.turn[0], way[1], strict=True)) * sense
                return abs(along) > STRAIGHT_ON and found.slides(along > 0, self._play)
        if shadows_apart(self._shadow(mine, way), self._shadow(theirs, way), self._play):
            return True
        low = min(_along_way(point, way) for point in self._points(mine)) + self._play
        ahead = points_ahead(theirs.part, theirs.placement, self._points(theirs), way[1], low)
        return not ahead or shadows_apart(self._shadow(mine, way), shadow(ahead, way[1]), self._play)

    def _points(self, copy: Copy) -> tuple[tuple[float, float, float], ...]:
        from planbook.checks.sockets import hull_points

        if id(copy) not in self._known.points:
            self._known.points[id(copy)] = hull_points(copy.part, copy.placement, copy.boxes)
        return self._known.points[id(copy)]

    def _shadow(self, copy: Copy, way: Way) -> tuple[tuple[float, float], ...]:
        from planbook.checks.sockets import shadow

        key = (id(copy), way[0])
        if key not in self._known.shadows:
            self._known.shadows[key] = shadow(self._points(copy), way[1])
        return self._known.shadows[key]

    def _bodies(self, mine: Copy, theirs: Copy) -> tuple[tuple[Body, ...], tuple[Body, ...]]:
        assert self._shapes is not None
        shapes = self._shapes()
        one, other = (shapes.bodies(copy.placement, copy.version) for copy in (mine, theirs))
        return one, other


def _solid(mine: Copy, theirs: Copy, way: Way) -> bool:
    """Whether solids are needed to tell if one copy passes the other."""
    return mine.shaped or theirs.shaped or way[0] not in WAYS


def _key(copy: Copy) -> tuple[str, int, str]:
    return (copy.placement.part, copy.placement.copy, copy.placement.hand)


def _along_way(point: tuple[float, float, float], way: Way) -> float:
    return sum(a * b for a, b in zip(point, way[1], strict=True))


def _along(pin: Pinned, way: Way) -> bool:
    """Whether a way runs along a pin, one way or the other."""
    return abs(sum(a * b for a, b in zip(pin.way, way[1], strict=True))) > STRAIGHT_ON


Pairs = dict[int, dict[int, list[tuple[Copy, Copy]]]]


def _ahead_of(units: Sequence[Unit], way: int, play: float) -> Pairs:
    """Return by the numbers of two units the pairs of copies of which the second may lie ahead of the first."""
    axis, back = divmod(way, 2)
    copies = [(number, copy) for number, unit in enumerate(units) for copy in unit.copies]
    found: Pairs = {}
    for one, other in pairs_of([_flat(copy.around, axis) for _, copy in copies]):
        for (mine, moving), (theirs, standing) in (
            (copies[one], copies[other]),
            (copies[other], copies[one]),
        ):
            if mine != theirs and _may_be_ahead(moving.around, standing.around, axis, back, play):
                found.setdefault(mine, {}).setdefault(theirs, []).append((moving, standing))
    return {number: {other: ahead[other] for other in sorted(ahead)} for number, ahead in found.items()}


def _flat(box: Floated, axis: int) -> Floated:
    """Return a box as it is seen along an axis."""
    spans = [(0.0, 1.0) if at == axis else box[at] for at in range(3)]
    return (spans[0], spans[1], spans[2])


def _may_be_ahead(mine: Floated, theirs: Floated, axis: int, back: int, play: float) -> bool:
    if any(min(mine[at][1], theirs[at][1]) - max(mine[at][0], theirs[at][0]) <= play for at in range(3) if at != axis):
        return False
    return theirs[axis][0] < mine[axis][1] - play if back else theirs[axis][1] > mine[axis][0] + play


def _as_box(mine: Copy, theirs: Copy) -> float:
    """Return the least size in which two boxes may be in each other's way, in mm."""
    shared = (min(a[1], b[1]) - max(a[0], b[0]) for a, b in zip(mine.around, theirs.around, strict=True))
    return max(1.0, min(shared))


def _back(way: tuple[float, float, float]) -> tuple[float, float, float]:
    return (-way[0], -way[1], -way[2])


def own_ways(unit: Unit) -> tuple[Way, ...]:
    """Return the ways along the length of a part that leans, out of its lower and its upper end."""
    leaning = [copy for copy in unit.copies if copy.placement.turn is not None]
    if len(unit.copies) != 1 or not leaning:
        return ()
    turn = leaning[0].placement.turn
    assert turn is not None
    x, y, z = turn[0]
    key = f"{leaning[0].name} {leaning[0].placement.copy}"
    return ((f"-{key}", (-x, -y, -z)), (f"+{key}", (x, y, z)))
