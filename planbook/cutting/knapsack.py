"""Bounded knapsacks for every capacity at once, in whole numbers.

Values are whole numbers so that a best value is exact and can carry a bound. Copies of an item are split
into groups of 1, 2, 4 ... (Martello, Toth: Knapsack Problems, 1990, section 3.2).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.int64]


def group_sizes(count: int) -> list[int]:
    """Return 1, 2, 4 ... and a rest, from which every number up to `count` can be put together."""
    groups: list[int] = []
    step = 1
    while count > 0:
        groups.append(min(step, count))
        count -= groups[-1]
        step *= 2
    return groups


class Knapsack:
    """A knapsack that items are added to one kind after the other."""

    def __init__(self, capacity: int) -> None:
        self.best: Values = np.zeros(capacity + 1, dtype=np.int64)
        """Highest value for each capacity, of the items added so far."""
        self._groups: list[tuple[int, int, int, NDArray[np.bool_]]] = []

    def add(self, item: int, *, size: int, value: int, count: int) -> None:
        """Let up to `count` of an item be packed."""
        capacity = len(self.best) - 1
        if value <= 0 or size > capacity:
            return
        for group in group_sizes(min(count, capacity // size)):
            weight = group * size
            with_it = self.best[:-weight] + group * value
            taken = np.zeros(capacity + 1, dtype=np.bool_)
            np.greater(with_it, self.best[weight:], out=taken[weight:])
            np.maximum(self.best[weight:], with_it, out=self.best[weight:])
            self._groups.append((item, group, weight, taken))

    def mark(self) -> int:
        """Return a mark of what has been added so far, for `contents`."""
        return len(self._groups)

    def contents(self, capacity: int, mark: int | None = None) -> dict[int, int]:
        """Return item and count of a best packing of that capacity, from what was added before the mark."""
        packed: dict[int, int] = {}
        for item, group, weight, taken in reversed(self._groups[:mark]):
            if taken[capacity]:
                packed[item] = packed.get(item, 0) + group
                capacity -= weight
        return packed


def reachable(sizes: list[int], counts: list[int], capacity: int) -> NDArray[np.int64]:
    """Return, rising, every sum of sizes up to the capacity, 0 among them (Herz 1972: the only places needed)."""
    reach = np.zeros(capacity + 1, dtype=np.bool_)
    reach[0] = True
    for size, count in zip(sizes, counts, strict=True):
        if size > capacity:
            continue
        for group in group_sizes(min(count, capacity // size)):
            weight = group * size
            reach[weight:] |= reach[:-weight].copy()
    return np.flatnonzero(reach).astype(np.int64)
