"""A sheet problem in bare numbers, seen along its first cuts.

In a frame the strips run along `a`, and `b` goes across them: for a rip first `a` is the length of the
sheet, for a crosscut first its width. A kerf is added to every size and to the sheet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planbook.cutting.problem import First, Grain, Piece, Saw, Sheet, Way, usable


@dataclass(frozen=True, slots=True)
class Item:
    """A kind of piece lying one way in a frame."""

    kind: int
    turned: int
    """1 where the length of the piece lies across the sheet."""
    a: int
    b: int


@dataclass(frozen=True, slots=True)
class Frame:
    """All pieces and sheets seen along the first cuts of one direction."""

    direction: int
    """0: rip first, 1: crosscut first."""
    items: tuple[Item, ...]
    rooms: tuple[tuple[int, int], ...]
    """By stock, along and across the strips."""

    @property
    def way(self) -> Way:
        """The first cuts."""
        return Way.CROSSCUT if self.direction else Way.RIP

    def item(self, kind: int, turned: int) -> Item:
        """Return the item of a kind; raises KeyError."""
        for item in self.items:
            if item.kind == kind and item.turned == turned:
                return item
        raise KeyError((kind, turned))


@dataclass(frozen=True, slots=True)
class SheetInstance:
    """The whole problem."""

    kinds: tuple[tuple[int, ...], ...]
    """By kind: the numbers of the pieces of this size and grain."""
    sizes: tuple[tuple[int, int], ...]
    """By kind, length and width without the kerf."""
    turns: tuple[bool, ...]
    demands: tuple[int, ...]
    frames: tuple[Frame, ...]
    prices: tuple[int, ...]
    limits: tuple[int | None, ...]
    kerf: int
    stages: int


def reduce_sheets(
    pieces: Sequence[Piece], sheets: Sequence[Sheet], saw: Saw, *, values: Sequence[int] = ()
) -> SheetInstance:
    """Merge pieces of one size, grain and value, largest first, and look along each direction that is allowed."""
    merged: dict[tuple[int, int, bool, int], list[int]] = {}
    for number, piece in enumerate(pieces):
        turns = piece.grain is Grain.FREE and piece.length != piece.width
        size = (piece.length, piece.width)
        if turns:
            size = (max(size), min(size))
        merged.setdefault((*size, turns, values[number] if values else 0), []).append(number)
    order = sorted(merged, key=lambda kind: (-kind[0] * kind[1], kind))
    sizes = tuple((length, width) for length, width, _, _ in order)
    turns_by_kind = tuple(turns for _, _, turns, _ in order)
    directions = {First.RIP: (0,), First.CROSSCUT: (1,), First.EITHER: (0, 1)}[saw.first]
    rooms = [usable(sheet, saw.trim) for sheet in sheets]
    return SheetInstance(
        kinds=tuple(tuple(merged[kind]) for kind in order),
        sizes=sizes,
        turns=turns_by_kind,
        demands=tuple(sum(pieces[number].count for number in merged[kind]) for kind in order),
        frames=tuple(_frame(direction, sizes, turns_by_kind, rooms, saw.kerf) for direction in directions),
        prices=tuple(sheet.price for sheet in sheets),
        limits=tuple(sheet.limit for sheet in sheets),
        kerf=saw.kerf,
        stages=saw.stages,
    )


def _frame(
    direction: int, sizes: Sequence[tuple[int, int]], turns: Sequence[bool], rooms: Sequence[tuple[int, int]], kerf: int
) -> Frame:
    items = []
    for kind, (length, width) in enumerate(sizes):
        for turned in (0, 1) if turns[kind] else (0,):
            along, across = (length, width) if turned == direction else (width, length)
            items.append(Item(kind, turned, along + kerf, across + kerf))
    seen = [(max(0, room[direction] + kerf), max(0, room[1 - direction] + kerf)) for room in rooms]
    return Frame(direction, tuple(items), tuple(seen))
