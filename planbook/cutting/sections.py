"""The most valuable sheet of three stages: pieces stacked in sections, sections in strips, strips in sheets.

Sections are priced for every width and height at once; strips and sheets are built up at the places that sums
of sizes can reach (Herz 1972), for all heights together. Within a strip and a sheet the numbers of copies are
relaxed, so a best value is never too low.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from planbook.cutting.frames import Frame
from planbook.cutting.knapsack import Knapsack, Values, reachable
from planbook.cutting.master import PIECE, SECTION, STOCK, STRIP, Column


class SectionPlaces:
    """What of the pricing does not depend on values: the places in a frame where cuts can be."""

    def __init__(self, frame: Frame, demands: Sequence[int]) -> None:
        self.run = max(room[0] for room in frame.rooms)
        self.breadth = max(room[1] for room in frame.rooms)
        self.items = sorted(frame.items, key=lambda item: (item.a, item.b, item.kind))
        counts = [demands[item.kind] for item in self.items]
        self.widths = sorted({item.a for item in self.items})
        self.heights = reachable([item.b for item in self.items], counts, self.breadth)[1:]
        self.along = reachable([item.a for item in self.items], counts, self.run)
        many = [self.breadth // max(1, int(height)) for height in self.heights]
        self.across = reachable([int(height) for height in self.heights], many, self.breadth)

    @property
    def cells(self) -> int:
        """Size of the largest table; the work of one pricing grows with it."""
        return len(self.widths) * len(self.heights) * len(self.along)


class SectionPricing:
    """What a frame's sheets are worth for given values of the pieces."""

    def __init__(self, frame: Frame, places: SectionPlaces, demands: Sequence[int], values: Sequence[int]) -> None:
        self._frame, self._places = frame, places
        self._section = Knapsack(places.breadth)
        self._marks: list[int] = []
        rows = []
        for place, item in enumerate(places.items):
            self._section.add(place, size=item.b, value=values[item.kind], count=demands[item.kind])
            if place + 1 == len(places.items) or places.items[place + 1].a != item.a:
                self._marks.append(self._section.mark())
                rows.append(self._section.best[places.heights])
        self._worth: Values = np.array(rows)
        self._strips = self._build_strips()
        self._sheets: dict[int, tuple[Values, Values]] = {}
        for run in sorted({room[0] for room in frame.rooms}):
            self._sheets[run] = (self._build_sheet(run), self._strips[self._at(places.along, run)])

    @staticmethod
    def _at(places: NDArray[np.int64], place: int) -> int:
        """Return the number of the last reachable place not beyond."""
        return int(np.searchsorted(places, place, side="right")) - 1

    def _build_strips(self) -> Values:
        """By place along and height: the best strip up to there."""
        along, widths = self._places.along, np.array(self._places.widths)
        strips: Values = np.zeros((len(along), len(self._places.heights)), dtype=np.int64)
        for number in range(1, len(along)):
            fitting = int(np.searchsorted(widths, along[number], side="right"))
            before = np.searchsorted(along, along[number] - widths[:fitting], side="right") - 1
            best = (strips[before] + self._worth[:fitting]).max(axis=0)
            np.maximum(best, strips[number - 1], out=strips[number])
        return strips

    def _build_sheet(self, run: int) -> Values:
        across, heights = self._places.across, self._places.heights
        worth = self._strips[self._at(self._places.along, run)]
        sheet: Values = np.zeros(len(across), dtype=np.int64)
        for number in range(1, len(across)):
            fitting = int(np.searchsorted(heights, across[number], side="right"))
            before = np.searchsorted(across, across[number] - heights[:fitting], side="right") - 1
            sheet[number] = max(sheet[number - 1], (sheet[before] + worth[:fitting]).max())
        return sheet

    def best(self, stock: int) -> int:
        """Return the value of the best sheet of a stock."""
        run, breadth = self._frame.rooms[stock]
        return int(self._sheets[run][0][self._at(self._places.across, breadth)])

    def columns(self, stock: int, *, tall: bool = True) -> list[Column]:
        """Return the best sheet of a stock, taken apart into its cuts; of equal ones few tall strips or many low."""
        run, breadth = self._frame.rooms[stock]
        strips: Counter[int] = Counter()
        columns: list[Column] = []
        for height_number, count in sorted(Counter(self._sheet_heights(run, breadth, tall=tall)).items()):
            height, made = self._strip_columns(run, height_number)
            columns += made
            strips[height] += count
        levels = tuple(((STRIP, self._frame.direction, run, height), count) for height, count in sorted(strips.items()))
        return [Column((STOCK, stock), levels), *columns]

    def _sheet_heights(self, run: int, breadth: int, *, tall: bool) -> list[int]:
        across, heights = self._places.across, self._places.heights
        sheet, worth = self._sheets[run]
        number, chosen = self._at(across, breadth), []
        while number > 0 and sheet[number]:
            if sheet[number] == sheet[number - 1]:
                number -= 1
                continue
            fitting = int(np.searchsorted(heights, across[number], side="right"))
            before = np.searchsorted(across, across[number] - heights[:fitting], side="right") - 1
            value = sheet[before] + worth[:fitting]
            pick = fitting - 1 - int(np.argmax(value[::-1])) if tall else int(np.argmax(value))
            chosen.append(pick)
            number = int(before[pick])
        return chosen

    def _strip_columns(self, run: int, height_number: int) -> tuple[int, list[Column]]:
        """Return the true height of a best strip, and it with its sections as columns."""
        along, widths = self._places.along, np.array(self._places.widths)
        worth = self._strips[:, height_number]
        number, picked = self._at(along, run), []
        while number > 0 and worth[number]:
            if worth[number] == worth[number - 1]:
                number -= 1
                continue
            fitting = int(np.searchsorted(widths, along[number], side="right"))
            before = np.searchsorted(along, along[number] - widths[:fitting], side="right") - 1
            pick = int(np.argmax(worth[before] + self._worth[:fitting, height_number]))
            picked.append(pick)
            number = int(before[pick])
        room = int(self._places.heights[height_number])
        stacks = {pick: self._section.contents(room, self._marks[pick]) for pick in sorted(set(picked))}
        items = self._places.items
        height = max(sum(items[place].b * count for place, count in stack.items()) for stack in stacks.values())
        counts: Counter[int] = Counter()
        columns = []
        for pick, stack in stacks.items():
            width = max(items[place].a for place in stack)
            makes = tuple(
                ((PIECE, items[place].kind, items[place].turned), count) for place, count in sorted(stack.items())
            )
            columns.append(Column((SECTION, self._frame.direction, height, width), makes))
            counts[width] += picked.count(pick)
        sections = tuple(((SECTION, self._frame.direction, height, w), n) for w, n in sorted(counts.items()))
        return height, [Column((STRIP, self._frame.direction, run, height), sections), *columns]
