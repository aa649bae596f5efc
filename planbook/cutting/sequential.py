"""Sheet after sheet, each as valuable as it can be made from what is left.

The values of pieces are corrected by how well they filled their sheets, and all is cut again: pieces that
lie badly become dear and are cut earlier (sequential value correction; Mukhacheva et al. 2000,
Belov, Scheithauer 2007).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction

from planbook.cutting.drafts import Assembly, Draft, Drafts, Sizes, Strip, counts_of, drop_surplus
from planbook.cutting.frames import Frame, SheetInstance
from planbook.cutting.master import STOCK, Column
from planbook.cutting.sections import SectionPlaces, SectionPricing
from planbook.cutting.strips import StripPricing

Price = Callable[[Frame, Sequence[int], Sequence[int]], StripPricing | SectionPricing]
_GRAIN = 1 << 20
"""Fineness of corrected values."""


def pricing_of(stages: int) -> Price:
    """Return the exact pricing of a number of stages."""

    def price(frame: Frame, values: Sequence[int], left: Sequence[int]) -> StripPricing | SectionPricing:
        if stages == 3:
            return SectionPricing(frame, SectionPlaces(frame, left), left, values)
        return StripPricing(frame, left, values)

    return price


class Sequential:
    """Cuts sheet after sheet for given values of the pieces."""

    def __init__(self, instance: SheetInstance, sizes: Sizes, *, stages: int) -> None:
        self._instance, self._sizes = instance, sizes
        self._price = pricing_of(stages)

    def areas(self) -> list[int]:
        """Return the areas of the kinds, kerf included: the first values."""
        kerf = self._instance.kerf
        return [(length + kerf) * (width + kerf) * _GRAIN for length, width in self._instance.sizes]

    def cut(self, values: list[int], *, correct: bool = False) -> Drafts | None:
        """Return sheets for all pieces, or None where the stock ends; corrects `values` on the way if asked."""
        problem = self._instance
        left, limits = list(problem.demands), list(problem.limits)
        drafts: Drafts = {}
        while any(left):
            offers = []
            for stock, limit in enumerate(limits):
                if limit == 0:
                    continue
                for frame in problem.frames:
                    draft = self.sheet(frame, stock, values, left)
                    if draft.strips:
                        worth = sum(values[kind] * count for kind, count in counts_of(draft).items())
                        offers.append((Fraction(problem.prices[stock], worth), stock, frame.direction, draft))
            if not offers:
                return None
            _, stock, _, draft = min(offers, key=lambda offer: offer[:3])
            counts = counts_of(draft)
            times = min(left[kind] // count for kind, count in counts.items())
            limit = limits[stock]
            if limit is not None:
                times = min(times, limit)
                limits[stock] = limit - times
            for kind, count in counts.items():
                left[kind] -= count * times
            drafts[draft] = drafts.get(draft, 0) + times
            if correct:
                self._correct(values, draft, times)
        return drafts

    def sheet(self, frame: Frame, stock: int, values: Sequence[int], left: Sequence[int]) -> Draft:
        """Fill one sheet: the best by pricing, as far as there are pieces, and again for the breadth that is left."""
        run, breadth = frame.rooms[stock]
        rest = list(left)
        strips: list[Strip] = []
        while breadth > 0:
            worth = [value if count else 0 for value, count in zip(values, rest, strict=True)]
            small = replace(frame, rooms=((run, breadth),))
            pricing = self._price(small, worth, rest)
            if not pricing.best(0):
                break
            whole = next(iter(Assembly(once(pricing.columns(0)), self._sizes).drafts()))
            for strip in self._proper(whole, rest):
                for cell in strip:
                    for kind, _ in cell:
                        rest[kind] -= 1
                breadth -= self._sizes.height(frame.direction, strip)
                strips.append(strip)
        return self._sizes.sorted(stock, frame.direction, strips)

    def _proper(self, draft: Draft, left: Sequence[int]) -> list[Strip]:
        """Return the strips that can be cut together from what is left; at least a part of one."""
        spent: dict[int, int] = {}
        proper = []
        for strip in draft.strips:
            need: dict[int, int] = {}
            for cell in strip:
                for kind, _ in cell:
                    need[kind] = need.get(kind, 0) + 1
            if all(spent.get(kind, 0) + count <= left[kind] for kind, count in need.items()):
                proper.append(strip)
                for kind, count in need.items():
                    spent[kind] = spent.get(kind, 0) + count
        if proper:
            return proper
        alone = replace(draft, strips=draft.strips[:1])
        return list(next(iter(drop_surplus({alone: 1}, left, self._sizes))).strips)

    def _correct(self, values: list[int], draft: Draft, times: int) -> None:
        """Move the values of a sheet's pieces towards what they would be worth if they paid for its waste."""
        run, breadth = self._instance.frames[0].rooms[draft.stock]
        areas = self.areas()
        counts = counts_of(draft)
        filled = sum(areas[kind] * count for kind, count in counts.items())
        for kind, count in counts.items():
            dear = areas[kind] * run * breadth * _GRAIN // filled
            weight = min(4, 1 + count * times // max(1, self._instance.demands[kind]))
            values[kind] = ((4 - weight + 1) * values[kind] + weight * dear) // 5


def once(columns: Sequence[Column]) -> list[tuple[Column, int]]:
    """Return the columns of one sheet, as often as its levels need them."""
    needed = {key: count for column in columns if column.of[0] == STOCK for key, count in column.makes}
    counted = []
    for column in columns:
        times = 1 if column.of[0] == STOCK else needed.get(column.of, 0)
        counted.append((column, times))
        if column.of[0] != STOCK:
            for key, count in column.makes:
                needed[key] = needed.get(key, 0) + count * times
    return counted
