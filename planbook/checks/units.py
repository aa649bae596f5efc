"""What is moved as one when parts are put together, and taking it apart again along straight ways.

A way in is a way out run backwards. Units leave one after another, each when nothing that is still
there stands ahead of it; where none can leave alone, several leave together along one direction, and
both lots are taken apart in their turn. Whatever can be taken apart is found this way, because taking
something away never puts anything in the way of the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from planbook.checks.copies import Copy
from planbook.checks.neighbours import pairs_of
from planbook.checks.passing import STRAIGHT, Known, Passing, Pinned, Unit, Way
from planbook.plan.model import Joint, Plan

if TYPE_CHECKING:
    from planbook.checks.shapes import Shapes

MOST_SOLID = 10
"""Most units that are looked at as solids, each against each along each way."""
MOST_SLANTED = 8
"""Most slanted ways along which several units are tried together."""
PINS = ("dowel", "biscuit", "loose tenon")
"""Fasteners that go half into one part and half into the other before both are pushed together."""
NEAR = 1.0
"""mm: members of a closed joint that are no farther apart hold together (play and rounding)."""


def units_at(plan: Plan, step: int, standing: Sequence[Copy]) -> list[Unit]:
    """Return what a step puts together: every new copy alone, and what the joints closed before it hold."""
    old = [one for one in standing if (one.part.joined_in or 0) < step]
    group = list(range(len(old)))

    def head(number: int) -> int:
        while group[number] != number:
            number = group[number]
        return number

    for joint in plan.joints:
        if joint.joined_in is not None and joint.joined_in < step:
            for one, other in _held(joint, old):
                kept, gone = sorted((head(one), head(other)))
                group[gone] = kept
    heads = [head(number) for number in range(len(old))]
    new = [Unit((one,), True) for one in standing if one.part.joined_in == step]
    return new + [
        Unit(tuple(copy for copy, of in zip(old, heads, strict=True) if of == number), False)
        for number in sorted(set(heads))
    ]


def pinned_at(plan: Plan, step: int) -> list[Pinned]:
    """Return the dowels, biscuits and loose tenons of the joints that a step closes."""
    closed = {joint.name for joint in plan.joints if joint.joined_in == step}
    found = []
    for item in plan.fastened:
        if item.joint in closed and item.kind in PINS:
            for place in item.places:
                first, last = (place.passes[0] if place.passes else None), place.into
                if first is not None and last is not None:
                    keys = ((first.part, first.copy, first.hand), (last.part, last.copy, last.hand))
                    found.append(Pinned(*keys, place.way, float(item.shank)))
    return found


def _held(joint: Joint, copies: Sequence[Copy]) -> Iterator[tuple[int, int]]:
    """Give the members of a joint that touch."""
    members = [number for number, copy in enumerate(copies) if copy.part.key in (*joint.receiving, *joint.entering)]
    by = (NEAR + float(joint.room)) / 2
    boxes = [tuple((low - by, high + by) for low, high in copies[number].around) for number in members]
    for one, other in pairs_of([(box[0], box[1], box[2]) for box in boxes]):
        keys = copies[members[one]].part.key, copies[members[other]].part.key
        if any(a in joint.receiving and b in joint.entering for a, b in (keys, keys[::-1])):
            yield members[one], members[other]


class Apart:
    """What taking some units apart came to."""

    def __init__(self, passing: Passing, lots: Sequence[tuple[int, ...]] | None = None) -> None:
        self.left: dict[int, Way] = {}
        """By the number of a unit: the way on which it left alone."""
        self.stuck: list[tuple[int, ...]] = []
        """Numbers of units of which none can leave the others, alone or with some of them."""
        self.unknown = 0
        """How many units hold each other as boxes, where they are too many to be looked at as solids."""
        self._passing = passing
        self._next: dict[tuple[int, str], int] = {}
        waiting = list(lots) if lots is not None else [tuple(range(len(passing.units)))]
        while waiting:
            some = self._without_single(waiting.pop())
            if len(some) < 2:
                continue
            gone = self._together(some)
            if gone is None:
                self.stuck.append(some)
            else:
                waiting += [gone, tuple(number for number in some if number not in gone)]

    def _without_single(self, numbers: tuple[int, ...]) -> tuple[int, ...]:
        """Let units leave one by one until none can any more; new ones before what stands there."""
        self._next.clear()
        units = self._passing.units
        # Those with ways of their own first: they need fewer looks at the others.
        there = dict.fromkeys(sorted(numbers, key=lambda one: (not self._passing.ways(one), one)))
        left = True
        while left and len(there) > 1:
            left = False
            for brought in (True, False):
                for number in [one for one in there if units[one].new or not brought]:
                    way = self._free(number, there)
                    if way is not None and len(there) > 1:
                        self.left[number] = way
                        del there[number]
                        left = True
                if left:
                    break
        return tuple(there)

    def _free(self, number: int, there: dict[int, None]) -> Way | None:
        """Return the first way on which nothing that is still there stands before a unit."""
        for way in (*self._passing.ways(number), *STRAIGHT):
            candidates = self._passing.candidates(number, way)
            key = (number, way[0])
            at = self._next.get(key, 0)
            # What has once been passed, or has left, never comes back into the way.
            while at < len(candidates) and (
                candidates[at] not in there or not self._passing.blocked(number, candidates[at], way)
            ):
                at += 1
            self._next[key] = at
            if at == len(candidates):
                return way
        return None

    def _together(self, numbers: tuple[int, ...]) -> tuple[int, ...] | None:
        """Return the fewest units that can leave the others together along one way, or None."""
        best = numbers
        ways = dict.fromkeys(way for number in numbers for way in self._passing.ways(number))
        for way in (*STRAIGHT, *(ways if len(ways) <= MOST_SLANTED else ())):
            for number in numbers:
                gone = self._with(number, numbers, way, len(best))
                if len(gone) < len(best):
                    best = gone
            if len(best) < len(numbers):
                return best
        return None

    def _with(self, number: int, numbers: tuple[int, ...], way: Way, most: int) -> tuple[int, ...]:
        """Return a unit with all that must move ahead of it; gives up at `most`."""
        gone, waiting = {number: None}, [number]
        while waiting and len(gone) < most:
            one = waiting.pop()
            for other in self._passing.candidates(one, way):
                if other in numbers and other not in gone and self._passing.blocked(one, other, way):
                    gone[other] = None
                    waiting.append(other)
        return tuple(gone)


def taken_apart(
    units: Sequence[Unit], shapes: Callable[[], Shapes], play: float, known: Known, pinned: Sequence[Pinned]
) -> tuple[Apart, Passing]:
    """Return what taking units apart came to: as boxes where that is enough, else as solids."""
    passing = Passing(units, None, play, known, pinned)
    apart = Apart(passing)
    held = [some for some in apart.stuck if any(copy.shaped for number in some for copy in units[number].copies)]
    if held and all(len(some) <= MOST_SOLID for some in held):
        passing = Passing(units, shapes, play, known, pinned)
        closer = Apart(passing, held)
        apart.left.update(closer.left)
        apart.stuck = [some for some in apart.stuck if some not in held] + closer.stuck
    elif held:
        apart.unknown = max(len(some) for some in held)
    return apart, passing
