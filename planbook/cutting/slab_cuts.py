"""Straight cuts that take a slab apart, each from edge to edge of what lies on the bench.

Crosscuts come before rips wherever both would do: a short slab is easier to turn. Each cut is placed by a
measure from the slab's left end or from the chalk line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from planbook.cutting.problem import Way
from planbook.cutting.slab_places import Box, Laid
from planbook.cutting.slab_problem import HAIR, Natural


@dataclass(frozen=True, slots=True)
class SlabCut:
    """One straight cut."""

    number: int
    way: Way
    """A rip runs along the chalk line, a crosscut square to it."""
    at: float
    """The edge of the kerf on the side of the part: from the left end, or from the chalk line (backwards above 0)."""
    kerf_after: bool
    """Whether the blade runs behind the mark (to the right, to the back), or before it."""
    within: Box
    """What lies on the bench before this cut."""
    gives: tuple[str, ...]
    """The parts that have an edge from it."""
    done: tuple[str, ...]
    """The parts that it makes whole."""


@dataclass(frozen=True, slots=True)
class Falls:
    """What falls off and holds no part: left, front, right, back."""

    box: Box
    cut: int
    """Number of the cut that takes it off."""


def parts_can_be_sawn(laid: Sequence[Laid], kerf: float) -> bool:
    """Whether straight cuts from edge to edge take the parts apart."""
    if len(laid) < 2:
        return True
    found = _split(laid, kerf)
    return found is not None and all(parts_can_be_sawn(half, kerf) for half in found[:2])


def _split(laid: Sequence[Laid], kerf: float) -> tuple[list[Laid], list[Laid], Way] | None:
    """Return the parts on both sides of the first cut that crosses none, or None."""
    for way, low, high in ((Way.CROSSCUT, 0, 2), (Way.RIP, 1, 3)):
        order = sorted(laid, key=lambda one: (one.box[low], one.box[high]))
        reach = order[0].box[high]
        for number in range(1, len(order)):
            if order[number].box[low] >= reach + kerf - HAIR:
                return order[:number], order[number:], way
            reach = max(reach, order[number].box[high])
    return None


@dataclass(slots=True)
class Sawyer:
    """Makes the order of cuts."""

    kerf: float
    cuts: list[SlabCut] = field(default_factory=list)
    falls: list[Falls] = field(default_factory=list)

    def divide(self, laid: Sequence[Laid], room: Box) -> None:
        """Cut what lies in a room of the slab into its parts."""
        if len(laid) == 1:
            self._trim(laid[0], room)
            return
        found = _split(laid, self.kerf)
        if found is None:
            raise ValueError("these parts cannot be sawn apart")
        first, second, way = found
        room = self._free(laid, room, way)
        low, high = (0, 2) if way is Way.CROSSCUT else (1, 3)
        at = max(one.box[high] for one in first)
        halves = ((first, _with(room, high, at)), (second, _with(room, low, at + self.kerf)))
        self._cut(way, at, True, room, [one for one in first if abs(one.box[high] - at) < HAIR], *halves)
        for parts, half in halves:
            self.divide(parts, half)

    def _free(self, laid: Sequence[Laid], room: Box, way: Way) -> Box:
        """Take off a long end first, so that it does not go over the saw with every cut."""
        if way is not Way.CROSSCUT:
            return room
        at = max(one.box[2] for one in laid)
        if room[2] - at - self.kerf > max(at - room[0], 0) and room[2] - at > self.kerf:
            left = _with(room, 2, at)
            self._cut(way, at, True, room, [one for one in laid if abs(one.box[2] - at) < HAIR], (laid, left))
            self.falls.append(Falls((at + self.kerf, room[1], room[2], room[3]), len(self.cuts)))
            return left
        return room

    def _trim(self, one: Laid, room: Box) -> None:
        """Cut a part out of its room: ends first, then its long sides where they are sawn."""
        sides: list[tuple[Way, int, bool]] = [(Way.CROSSCUT, 0, False), (Way.CROSSCUT, 2, True)]
        if one.natural not in (Natural.FRONT, Natural.BOTH):
            sides.append((Way.RIP, 1, False))
        if one.natural not in (Natural.BACK, Natural.BOTH):
            sides.append((Way.RIP, 3, True))
        for way, side, after in sides:
            at = one.box[side]
            over = room[side] - at if after else at - room[side]
            if over < HAIR:
                continue
            self._cut(way, at, after, room, [one], ([one], _with(room, side, at)))
            if over > self.kerf + HAIR:
                opposite = side - 2 if after else side + 2
                self.falls.append(
                    Falls(_with(room, opposite, at + self.kerf if after else at - self.kerf), len(self.cuts))
                )
            room = _with(room, side, at)

    def _cut(
        self,
        way: Way,
        at: float,
        after: bool,
        within: Box,
        edge: Sequence[Laid],
        *halves: tuple[Sequence[Laid], Box],
    ) -> None:
        """Record a cut and what lies on both sides of it afterwards."""
        done = [parts[0].piece.key for parts, left in halves if len(parts) == 1 and _sawn(parts[0], left)]
        self.cuts.append(
            SlabCut(len(self.cuts) + 1, way, at, after, within, tuple(one.piece.key for one in edge), tuple(done))
        )


def _sawn(one: Laid, room: Box) -> bool:
    """Whether all straight sides of a part are cut once only this room is left."""
    ends = abs(room[0] - one.box[0]) < HAIR and abs(room[2] - one.box[2]) < HAIR
    front = one.natural in (Natural.FRONT, Natural.BOTH) or abs(room[1] - one.box[1]) < HAIR
    back = one.natural in (Natural.BACK, Natural.BOTH) or abs(room[3] - one.box[3]) < HAIR
    return ends and front and back


def _with(box: Box, side: int, value: float) -> Box:
    sides = list(box)
    sides[side] = value
    return sides[0], sides[1], sides[2], sides[3]
