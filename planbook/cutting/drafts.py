"""From chosen columns to whole sheets: strips, cells and stacks, still without places.

Equal copies are kept together, so that one diagram can be cut several times.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planbook.cutting.frames import SheetInstance
from planbook.cutting.master import SECTION, STOCK, STRIP, Column, Key

Lying = tuple[int, int]
"""A kind, and whether it lies turned."""
Cell = tuple[Lying, ...]
"""Pieces stacked across a strip; one alone with two stages."""
Strip = tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Draft:
    """One sheet: its strips, cells and pieces, largest first."""

    stock: int
    direction: int
    strips: tuple[Strip, ...]


Drafts = dict[Draft, int]
"""Drafts with their repeats."""


class Sizes:
    """Sizes of strips and cells of an instance, kerf included."""

    def __init__(self, instance: SheetInstance) -> None:
        self._along = {(f.direction, i.kind, i.turned): i.a for f in instance.frames for i in f.items}
        self._across = {(f.direction, i.kind, i.turned): i.b for f in instance.frames for i in f.items}

    def along(self, direction: int, lying: Lying) -> int:
        """Return the size of a piece along the strips."""
        return self._along[(direction, *lying)]

    def across(self, direction: int, lying: Lying) -> int:
        """Return the size of a piece across the strips."""
        return self._across[(direction, *lying)]

    def width(self, direction: int, cell: Cell) -> int:
        """Return the size of a cell along its strip."""
        return max(self.along(direction, lying) for lying in cell)

    def stack(self, direction: int, cell: Cell) -> int:
        """Return the size of a cell across its strip."""
        return sum(self.across(direction, lying) for lying in cell)

    def height(self, direction: int, strip: Strip) -> int:
        """Return the size of a strip across."""
        return max(self.stack(direction, cell) for cell in strip)

    def run(self, direction: int, strip: Strip) -> int:
        """Return how far the cells of a strip reach."""
        return sum(self.width(direction, cell) for cell in strip)

    def sorted(self, stock: int, direction: int, strips: Sequence[Strip]) -> Draft:
        """Return a draft with everything largest first, empty cells and strips left away."""
        kept = []
        for strip in strips:
            cells = [
                tuple(sorted(cell, key=lambda p: (-self.across(direction, p), -self.along(direction, p), p)))
                for cell in strip
                if cell
            ]
            if cells:
                kept.append(
                    tuple(sorted(cells, key=lambda c: (-self.width(direction, c), -self.stack(direction, c), c)))
                )
        kept.sort(key=lambda s: (-self.height(direction, s), -self.run(direction, s), s))
        return Draft(stock, direction, tuple(kept))


def counts_of(draft: Draft) -> dict[int, int]:
    """Return how often each kind lies on a sheet."""
    counts: dict[int, int] = {}
    for strip in draft.strips:
        for cell in strip:
            for kind, _ in cell:
                counts[kind] = counts.get(kind, 0) + 1
    return counts


class Assembly:
    """Puts columns together: each block of a level gets one of the chosen ways to cut it."""

    def __init__(self, chosen: Sequence[tuple[Column, int]], sizes: Sizes) -> None:
        self._sizes = sizes
        self._sheets = [(column, count) for column, count in chosen if column.of[0] == STOCK]
        self._left = {column: count for column, count in chosen if column.of[0] != STOCK}
        self._ways: dict[Key, list[Column]] = {}
        for column in self._left:
            self._ways.setdefault(column.of, []).append(column)

    def drafts(self) -> Drafts:
        """Return all sheets."""
        drafts: Drafts = {}
        for column, copies in sorted(self._sheets, key=lambda entry: (-entry[1], entry[0].of, entry[0].makes)):
            direction = column.makes[0][0][1]
            for strips, times in self._rows(column, copies):
                draft = self._sizes.sorted(column.of[1], direction, strips)
                if draft.strips:
                    drafts[draft] = drafts.get(draft, 0) + times
        return drafts

    def _rows(self, column: Column, copies: int) -> list[tuple[tuple[Strip, ...], int]]:
        """Fill the places of all copies of a block, place by place, so that neighbours are alike."""
        places: list[list[tuple[Strip, int]]] = []
        for key, number in column.makes:
            runs = self._taken(key, copies * number)
            for _ in range(number):
                places.append(_cut_off(runs, copies))
        return _zipped(places, copies)

    def _taken(self, key: Key, count: int) -> list[tuple[Strip, int]]:
        """Return contents for so many blocks of a level, as runs; empty ones last."""
        runs: list[tuple[Strip, int]] = []
        for column in self._ways.get(key, []):
            take = min(self._left[column], count)
            if take > 0:
                self._left[column] -= take
                count -= take
                runs += self._contents(column, take)
        if count:
            runs.append(((), count))
        return runs

    def _contents(self, column: Column, copies: int) -> list[tuple[Strip, int]]:
        first = column.makes[0][0]
        if first[0] in (STRIP, SECTION) and first[0] == column.of[0]:
            return self._taken(first, copies)
        if first[0] == SECTION:
            return [(tuple(cell for part in row for cell in part), times) for row, times in self._rows(column, copies)]
        stack = tuple((key[1], key[2]) for key, number in column.makes for _ in range(number))
        if column.of[0] == SECTION:
            return [((stack,), copies)]
        return [(tuple((lying,) for lying in stack), copies)]


def _cut_off(runs: list[tuple[Strip, int]], count: int) -> list[tuple[Strip, int]]:
    """Take the first `count` off a list of runs."""
    taken: list[tuple[Strip, int]] = []
    while count and runs:
        content, length = runs[0]
        step = min(length, count)
        taken.append((content, step))
        count -= step
        runs[0] = (content, length - step)
        if not runs[0][1]:
            runs.pop(0)
    return taken


def _zipped(places: list[list[tuple[Strip, int]]], copies: int) -> list[tuple[tuple[Strip, ...], int]]:
    rows: list[tuple[tuple[Strip, ...], int]] = []
    while copies:
        step = min(copies, *(place[0][1] for place in places))
        rows.append((tuple(place[0][0] for place in places), step))
        for place in places:
            _cut_off(place, step)
        copies -= step
    return rows


def drop_surplus(drafts: Drafts, demands: Sequence[int], sizes: Sizes) -> Drafts:
    """Leave away what is cut beyond the demand, from the sheets with the fewest copies first."""
    surplus = [-demand for demand in demands]
    for draft, times in drafts.items():
        for kind, count in counts_of(draft).items():
            surplus[kind] += count * times
    todo = sorted(drafts.items(), key=lambda entry: (entry[1], -len(entry[0].strips)))
    done: Drafts = {}
    while todo:
        draft, times = todo.pop(0)
        over = [kind for kind in counts_of(draft) if surplus[kind] > 0]
        if not over:
            if draft.strips:
                done[draft] = done.get(draft, 0) + times
            continue
        step = min(times, *(surplus[kind] for kind in over))
        if step < times:
            todo.insert(0, (draft, times - step))
        todo.insert(0, (_without(draft, over, step, surplus, sizes), step))
    return done


def _without(draft: Draft, over: Sequence[int], times: int, surplus: list[int], sizes: Sizes) -> Draft:
    drop = set(over)
    strips: list[Strip] = []
    for strip in reversed(draft.strips):
        cells: list[Cell] = []
        for cell in reversed(strip):
            kept: list[Lying] = []
            for lying in reversed(cell):
                if lying[0] in drop and surplus[lying[0]] >= times:
                    surplus[lying[0]] -= times
                else:
                    kept.append(lying)
            cells.append(tuple(kept))
        strips.append(tuple(cells))
    return sizes.sorted(draft.stock, draft.direction, strips)
