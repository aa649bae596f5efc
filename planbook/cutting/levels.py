"""What of one level may serve for another: a wider strip for a narrower one, a larger section for a smaller."""

from __future__ import annotations

from itertools import pairwise

from planbook.cutting.master import SECTION, STRIP, Column, Key, Master


def link_levels(master: Master) -> None:
    """Add the columns that let the larger of two neighbouring levels serve for the smaller."""
    for smaller, larger in _neighbours(master.levels(STRIP)):
        master.add(Column(larger, ((smaller, 1),)))
    sections: dict[int, list[Key]] = {}
    for key in master.levels(SECTION):
        sections.setdefault(key[1], []).append(key)
    for keys in sections.values():
        for key in keys:
            above = [other for other in keys if other != key and other[2] >= key[2] and other[3] >= key[3]]
            for other in above:
                if not any(_between(key, middle, other) for middle in above):
                    master.add(Column(other, ((key, 1),)))


def _neighbours(strips: list[Key]) -> list[tuple[Key, Key]]:
    return [(low, high) for low, high in pairwise(strips) if low[:3] == high[:3]]


def _between(low: Key, middle: Key, high: Key) -> bool:
    return middle not in (low, high) and middle[2] <= high[2] and middle[3] <= high[3]
