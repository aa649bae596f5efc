"""Boards on hand and their clear wood, in whole steps: near edge and left end are 0.

A defect across a board is crosscut out. One at an edge or in the middle is crosscut out, too, or ripped off along
the stretch between two crosscuts: every way to do so is a clearing of the board.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from planbook.cutting.layout import Block, Rect
from planbook.cutting.problem import Way

BUY = "to buy"
"""Key of a board that is not on hand."""
MOST_CHOICES = 6
"""Defects of one board for which both ways are tried; of more, all are crosscut out."""


@dataclass(frozen=True, slots=True)
class Defect:
    """Wood that no part may have."""

    name: str
    kind: str
    at: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """One board."""

    key: str
    length: int
    width: int
    room: Rect
    """What is left once the ends and the edges are trimmed."""
    defects: tuple[Defect, ...] = ()
    faces: int = 2


@dataclass(frozen=True, slots=True)
class Stretch:
    """A length of a board between two crosscuts, and its clear strips, one above the other."""

    at: Rect
    strips: tuple[Rect, ...]


@dataclass(frozen=True, slots=True)
class Clearing:
    """One way to cut the defects out of a board."""

    stretches: tuple[Stretch, ...]

    def rects(self) -> tuple[Rect, ...]:
        """Return the clear rectangles."""
        return tuple(strip for stretch in self.stretches for strip in stretch.strips)


def clearings(board: Board, kerf: int) -> list[Clearing]:
    """Return the ways to clear a board, that with the most clear wood in large rectangles first."""
    inside = [defect for defect in board.defects if _meet(defect.at, board.room)]
    partial = [defect for defect in inside if not _across(defect.at, board.room)]
    if len(partial) > MOST_CHOICES:
        partial = []
    whole = [defect for defect in inside if defect not in partial]
    found: dict[Clearing, None] = {}
    for choice in product((False, True), repeat=len(partial)):
        ripped = [defect for defect, rip in zip(partial, choice, strict=True) if rip]
        crosscut = whole + [defect for defect, rip in zip(partial, choice, strict=True) if not rip]
        found[_clearing(board, crosscut, ripped, kerf)] = None
    return sorted(found, key=lambda each: -sum(rect.area**2 for rect in each.rects()))


def _meet(a: Rect, b: Rect) -> bool:
    return a.x < b.x + b.length and b.x < a.x + a.length and a.y < b.y + b.width and b.y < a.y + a.width


def _across(at: Rect, room: Rect) -> bool:
    return at.y <= room.y and at.y + at.width >= room.y + room.width


def _clearing(board: Board, crosscut: Sequence[Defect], ripped: Sequence[Defect], kerf: int) -> Clearing:
    room = board.room
    lengths = _clear(room.x, room.x + room.length, [(d.at.x, d.at.x + d.at.length) for d in crosscut], kerf)
    stretches = []
    for start, stop in lengths:
        at = Rect(start, room.y, stop - start, room.width)
        spoiled = [(d.at.y, d.at.y + d.at.width) for d in ripped if _meet(d.at, at)]
        strips = _clear(room.y, room.y + room.width, spoiled, kerf)
        stretches.append(Stretch(at, tuple(Rect(start, low, stop - start, high - low) for low, high in strips)))
    return Clearing(tuple(stretches))


def _clear(start: int, stop: int, spoiled: Sequence[tuple[int, int]], kerf: int) -> list[tuple[int, int]]:
    """Return what is clear between two places, so that a blade goes between two clear stretches."""
    found = []
    at = start
    for low, high in _merged(spoiled, kerf):
        if low > at:
            found.append((at, low))
            at = low + _taken(high - low, kerf)
        else:
            at = max(at, start + _taken(high - start, kerf, first=True))
    if at < stop:
        found.append((at, stop))
    return found


def _merged(spoiled: Sequence[tuple[int, int]], kerf: int) -> list[tuple[int, int]]:
    merged: list[tuple[int, int]] = []
    for low, high in sorted(spoiled):
        if merged and low <= merged[-1][1] + 2 * kerf:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return merged


def _taken(size: int, kerf: int, *, first: bool = False) -> int:
    """Return how much goes with a defect: one cut, or two with a piece of waste between them; one at an end."""
    if first:
        return max(size, kerf + 1)
    if size <= kerf:
        return kerf
    return max(size, 2 * kerf + 1)


def board_tree(board: Board, clearing: Clearing, filled: dict[Rect, Block], kerf: int) -> Block:
    """Return the board as a tree of cuts; `filled` holds what becomes of its clear rectangles.

    Each cut takes one end or one side off, so that a board with a knot in it can be followed with a stop.
    """
    spans = [_stretch(each, filled, kerf) for each in clearing.stretches]
    return _taken_off(_with_waste(spans, board.room, Way.CROSSCUT, kerf), Way.CROSSCUT)


def _stretch(stretch: Stretch, filled: dict[Rect, Block], kerf: int) -> Block:
    strips = [filled.get(strip, Block(strip)) for strip in stretch.strips]
    return _taken_off(_with_waste(strips, stretch.at, Way.RIP, kerf), Way.RIP)


def _with_waste(blocks: Sequence[Block], room: Rect, way: Way, kerf: int) -> list[Block]:
    """Return blocks from one side of a room to the other, a kerf apart, with what is waste between them."""
    rip = way is Way.RIP
    at, stop = (room.y, room.y + room.width) if rip else (room.x, room.x + room.length)
    found = []

    def waste(size: int) -> Block:
        place = Rect(room.x, at, room.length, size) if rip else Rect(at, room.y, size, room.width)
        return Block(place)

    for block in blocks:
        low, size = (block.at.y, block.at.width) if rip else (block.at.x, block.at.length)
        if low - kerf > at:
            found.append(waste(low - kerf - at))
        found.append(block)
        at = low + size + kerf
    if at < stop:
        found.append(waste(stop - at))
    return found or [Block(room)]


def _taken_off(blocks: Sequence[Block], way: Way) -> Block:
    """Return blocks that lie side by side as one that is cut in two again and again."""
    if len(blocks) == 1:
        return blocks[0]
    rest = _taken_off(blocks[1:], way)
    first, last = blocks[0].at, rest.at
    if way is Way.RIP:
        whole = Rect(first.x, first.y, first.length, last.y + last.width - first.y)
    else:
        whole = Rect(first.x, first.y, last.x + last.length - first.x, first.width)
    return Block(whole, way, (blocks[0], rest))
