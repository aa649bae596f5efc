"""What is moved as one when parts are put together, and taking it apart again along straight ways.

A way in is a way out run backwards. Of some units, one or several leave along a direction when nothing
else stands ahead of them; what leaves and what stays is then taken apart in its turn. Whatever can be
taken apart one after another is found this way, because taking something away never puts anything in
the way of the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planbook.checks.copies import WAYS, Copy, Depths, in_the_way
from planbook.checks.neighbours import Floated
from planbook.plan.model import Joint, Plan

if TYPE_CHECKING:
    from planbook.checks.shapes import Shapes

NEAR = 1.0
"""mm: members of a closed joint that are no farther apart hold together (play and rounding)."""

Way = tuple[str, tuple[float, float, float]]
"""A direction in words (`+x`, or the copy along whose length it runs), and the direction."""


@dataclass(frozen=True, slots=True, eq=False)
class Unit:
    """Copies that hold together before a step, or one copy that the step brings."""

    copies: tuple[Copy, ...]
    new: bool

    @property
    def name(self) -> str:
        """Its first part in words."""
        return self.copies[0].name


def units_at(plan: Plan, step: int, standing: Sequence[Copy]) -> list[Unit]:
    """Return what a step puts together: what the joints closed before it hold, and every new copy alone."""
    old = [one for one in standing if (one.part.joined_in or 0) < step]
    group = list(range(len(old)))
    for joint in plan.joints:
        if joint.joined_in is None or joint.joined_in >= step:
            continue
        for one, other in _held(joint, old):
            kept, gone = sorted((group[one], group[other]))
            group = [kept if number == gone else number for number in group]
    units = []
    for number in sorted(set(group)):
        units.append(Unit(tuple(copy for copy, of in zip(old, group, strict=True) if of == number), False))
    return units + [Unit((one,), True) for one in standing if one.part.joined_in == step]


def _held(joint: Joint, copies: Sequence[Copy]) -> Iterator[tuple[int, int]]:
    receiving = [number for number, copy in enumerate(copies) if copy.part.key in joint.receiving]
    entering = [number for number, copy in enumerate(copies) if copy.part.key in joint.entering]
    for one in receiving:
        for other in entering:
            if one != other and _apart(copies[one].around, copies[other].around) <= NEAR + float(joint.room):
                yield one, other


def _apart(one: Floated, other: Floated) -> float:
    return max(max(a[0] - b[1], b[0] - a[1]) for a, b in zip(one, other, strict=True))


class Passing:
    """Who stands in whose way: boxes where they are the wood itself, solids where a part is no plain board.

    Without solids the boxes round such parts stand for them. What passes as a box passes as it is, so that
    solids are needed only where boxes do not come apart.
    """

    def __init__(self, shapes: Callable[[], Shapes] | None, play: float) -> None:
        self._shapes = shapes
        self._play = play
        self._boxes: dict[tuple[int, int], Depths] = {}
        self._solids: dict[tuple[int, int, str], float] = {}

    def between(self, moving: Unit, standing: Unit, way: Way) -> tuple[float, Copy | None]:
        """Return how wide the strip is in which one unit stands in another's way, in mm, and the copy it is of."""
        worst: tuple[float, Copy | None] = (0.0, None)
        for mine in moving.copies:
            for theirs in standing.copies:
                depth = self._depth(mine, theirs, way)
                if depth > worst[0]:
                    worst = (depth, theirs)
        return worst

    def _depth(self, mine: Copy, theirs: Copy, way: Way) -> float:
        straight = way[0] in WAYS
        if straight and not _ahead(mine.around, theirs.around, WAYS.index(way[0]), self._play):
            return 0.0
        boxes = straight and not mine.shaped and not theirs.shaped
        if self._shapes is None and not boxes:
            return _as_box(mine, theirs)
        if boxes:
            pair = (id(mine), id(theirs))
            if pair not in self._boxes:
                self._boxes[pair] = in_the_way(mine.boxes, theirs.boxes, self._play)
            return self._boxes[pair][WAYS.index(way[0])]
        assert self._shapes is not None
        key = (id(mine), id(theirs), way[0])
        if key not in self._solids:
            from planbook.shape.paths import in_the_way as solids_in_the_way

            shapes = self._shapes()
            one, other = (shapes.bodies(copy.placement, copy.version) for copy in (mine, theirs))
            self._solids[key] = solids_in_the_way(one, other, way[1], play=self._play)
        return self._solids[key]


def _as_box(mine: Copy, theirs: Copy) -> float:
    """Return the least size in which two boxes may be in each other's way, in mm."""
    shared = (min(a[1], b[1]) - max(a[0], b[0]) for a, b in zip(mine.around, theirs.around, strict=True))
    return max(1.0, min(shared))


def _ahead(mine: Floated, theirs: Floated, way: int, play: float) -> bool:
    """Whether anything of the second box may lie ahead of the first."""
    axis, back = divmod(way, 2)
    if any(min(mine[at][1], theirs[at][1]) - max(mine[at][0], theirs[at][0]) <= play for at in range(3) if at != axis):
        return False
    return theirs[axis][0] < mine[axis][1] - play if back else theirs[axis][1] > mine[axis][0] + play


STRAIGHT: tuple[Way, ...] = (
    ("+z", (0.0, 0.0, 1.0)),
    ("-y", (0.0, -1.0, 0.0)),
    ("+x", (1.0, 0.0, 0.0)),
    ("-x", (-1.0, 0.0, 0.0)),
    ("+y", (0.0, 1.0, 0.0)),
    ("-z", (0.0, 0.0, -1.0)),
)
"""Preferred first: parts are put in from above or from the front where that is free."""


class Apart:
    """What taking some units apart came to."""

    def __init__(self, units: Sequence[Unit], passing: Passing) -> None:
        self.left: dict[int, Way] = {}
        """By the id of a unit: the way on which it left alone."""
        self.stuck: list[list[Unit]] = []
        """Units of which none can leave the others."""
        self._passing = passing
        waiting = [list(units)]
        while waiting:
            some = waiting.pop()
            if len(some) < 2:
                continue
            found = self._leaving(some)
            if found is None:
                self.stuck.append(some)
                continue
            gone, way = found
            if len(gone) == 1:
                self.left[id(gone[0])] = way
            waiting += [gone, [unit for unit in some if unit not in gone]]

    def _leaving(self, units: list[Unit]) -> tuple[list[Unit], Way] | None:
        """Return some of the units that can leave the others together, and their way, or None."""
        for unit in units:
            for way in own_ways(unit):
                gone = self._with(unit, units, way)
                if len(gone) < len(units):
                    return gone, way
        # New parts leave rather than what stands there, and alone rather than with others.
        for brought in (True, False):
            for way in STRAIGHT:
                all_gone = [self._with(unit, units, way) for unit in units if unit.new or not brought]
                gone = min(all_gone, key=len, default=units)
                if len(gone) < len(units) and (not brought or all(unit.new for unit in gone)):
                    return gone, way
        return None

    def _with(self, unit: Unit, units: list[Unit], way: Way) -> list[Unit]:
        """Return a unit with all that must move ahead of it."""
        gone = [unit]
        for moving in gone:
            gone += [other for other in units if other not in gone and self._passing.between(moving, other, way)[0] > 0]
        return gone


def taken_apart(units: Sequence[Unit], shapes: Callable[[], Shapes], play: float) -> tuple[Apart, Passing]:
    """Return what taking units apart came to: as boxes where that is enough, else as solids."""
    passing = Passing(None, play)
    apart = Apart(units, passing)
    if apart.stuck and any(copy.shaped for some in apart.stuck for unit in some for copy in unit.copies):
        passing = Passing(shapes, play)
        apart = Apart(units, passing)
    return apart, passing


def own_ways(unit: Unit) -> tuple[Way, ...]:
    """Return the ways along the length of a part that leans, out of its upper and its lower end."""
    leaning = [copy for copy in unit.copies if copy.placement.turn is not None]
    if len(unit.copies) != 1 or not leaning:
        return ()
    turn = leaning[0].placement.turn
    assert turn is not None
    x, y, z = turn[0]
    key = f"{leaning[0].name} {leaning[0].placement.copy}"
    return ((f"-{key}", (-x, -y, -z)), (f"+{key}", (x, y, z)))
