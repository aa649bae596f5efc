"""The most valuable sheet of two stages: strips of pieces, sheets of strips, both by exact knapsacks.

Bounds on the copies hold within a strip; over the whole sheet they are relaxed, so a best value is never
too low and can carry a bound.
"""

from __future__ import annotations

from collections.abc import Sequence

from planbook.cutting.frames import Frame
from planbook.cutting.knapsack import Knapsack
from planbook.cutting.master import PIECE, STOCK, STRIP, Column


class StripPricing:
    """What a frame's sheets are worth for given values of the pieces."""

    def __init__(self, frame: Frame, demands: Sequence[int], values: Sequence[int]) -> None:
        self._frame = frame
        self._items = sorted(frame.items, key=lambda item: (item.b, item.a, item.kind))
        runs = [room[0] for room in frame.rooms]
        self._strip = Knapsack(max(runs))
        self._heights: list[int] = []
        self._marks: list[int] = []
        self._values: list[dict[int, int]] = []
        for place, item in enumerate(self._items):
            self._strip.add(place, size=item.a, value=values[item.kind], count=demands[item.kind])
            last = place + 1 == len(self._items) or self._items[place + 1].b != item.b
            if last:
                self._heights.append(item.b)
                self._marks.append(self._strip.mark())
                self._values.append({run: int(self._strip.best[run]) for run in runs})
        self._sheets: dict[int, Knapsack] = {}
        for run in sorted(set(runs)):
            breadth = max(across for along, across in frame.rooms if along == run)
            sheet = Knapsack(breadth)
            for level, height in enumerate(self._heights):
                sheet.add(level, size=height, value=self._values[level][run], count=breadth // height)
            self._sheets[run] = sheet

    def best(self, stock: int) -> int:
        """Return the value of the best sheet of a stock."""
        run, breadth = self._frame.rooms[stock]
        return int(self._sheets[run].best[breadth])

    def rest_value(self, stock: int, breadth: int) -> int:
        """Return what strips are worth at most in a part of a sheet's breadth."""
        return int(self._sheets[self._frame.rooms[stock][0]].best[breadth])

    def columns(self, stock: int, *, tall: bool = True) -> list[Column]:  # noqa: ARG002 -- a strip is as tall as a piece
        """Return the best sheet of a stock, taken apart into its cuts."""
        run, breadth = self._frame.rooms[stock]
        strips: dict[int, int] = {}
        columns = []
        for level, count in sorted(self._sheets[run].contents(breadth).items()):
            packed = self._strip.contents(run, self._marks[level])
            height = max(self._items[place].b for place in packed)
            key = (STRIP, self._frame.direction, run, height)
            makes = tuple(
                ((PIECE, self._items[place].kind, self._items[place].turned), number)
                for place, number in sorted(packed.items())
            )
            columns.append(Column(key, makes))
            strips[height] = strips.get(height, 0) + count
        levels = tuple(((STRIP, self._frame.direction, run, height), count) for height, count in sorted(strips.items()))
        return [Column((STOCK, stock), levels), *columns]
