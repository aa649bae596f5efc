"""Sheets of the same cost with more copies of each diagram, for many sheets.

The fullest sheet that can be cut most often is taken first (after Haessler 1975): a diagram for r copies may
hold each piece at most as often as it is wanted in all, divided by r.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from planbook.cutting.drafts import Draft, Drafts, Sizes, counts_of
from planbook.cutting.frames import SheetInstance
from planbook.cutting.sequential import Sequential

_LEAST_FILLED = (Fraction(1), Fraction(98, 100), Fraction(95, 100), Fraction(9, 10))
_MOST_COPIES_TRIED = 8


def repeated_sheets(drafts: Drafts, instance: SheetInstance, sizes: Sizes) -> Drafts:
    """Return sheets that cost no more with fewer diagrams, or the same sheets; one kind of stock only."""
    if len(instance.prices) != 1 or len(drafts) < 3:
        return drafts
    sheets = sum(drafts.values())
    sequential = Sequential(instance, sizes, stages=2)
    areas = sequential.areas()
    mean = Fraction(sum(area * demand for area, demand in zip(areas, instance.demands, strict=True)), sheets)
    best = drafts
    for share in _LEAST_FILLED:
        found = _repeat(instance, sequential, areas, mean * share, sheets, len(best))
        if found is not None and sum(found.values()) <= sheets and len(found) < len(best):
            best = found
    return best


def _repeat(
    instance: SheetInstance, sequential: Sequential, areas: Sequence[int], least: Fraction, sheets: int, most: int
) -> Drafts | None:
    left = list(instance.demands)
    drafts: Drafts = {}
    while any(left) and sheets > 0 and len(drafts) < most:
        best: tuple[Draft, int] | None = None
        for copies in _copies(left, sheets):
            draft = _fullest(instance, sequential, areas, [count // copies for count in left])
            if draft is None:
                continue
            if copies == 1 or _area(draft, areas) >= least:
                best = (draft, copies)
                break
        if best is None:
            return None
        draft, copies = best
        counts = counts_of(draft)
        times = min(sheets, *(left[kind] // count for kind, count in counts.items()))
        sheets -= times
        for kind, count in counts.items():
            left[kind] -= count * times
        drafts[draft] = drafts.get(draft, 0) + times
    return None if any(left) else drafts


def _copies(left: Sequence[int], sheets: int) -> list[int]:
    """Return numbers of copies worth trying, high ones first, 1 last."""
    steps = {min(sheets, count // part) for count in left if count for part in (1, 2, 3, 4, 6)}
    tried = sorted((step for step in steps if step > 1), reverse=True)
    if len(tried) > _MOST_COPIES_TRIED:
        stride = len(tried) / _MOST_COPIES_TRIED
        tried = [tried[int(number * stride)] for number in range(_MOST_COPIES_TRIED)]
    return [*tried, 1]


def _fullest(
    instance: SheetInstance, sequential: Sequential, areas: Sequence[int], left: Sequence[int]
) -> Draft | None:
    if not any(left):
        return None
    drafts = [sequential.sheet(frame, 0, areas, left) for frame in instance.frames]
    filled = [draft for draft in drafts if draft.strips]
    return max(filled, key=lambda draft: (_area(draft, areas), -draft.direction)) if filled else None


def _area(draft: Draft, areas: Sequence[int]) -> int:
    return sum(areas[kind] * count for kind, count in counts_of(draft).items())
