"""What must have begun and what can have begun by each slot: the windows that most answers come from.

For each item two rising counts, `most` and `least`: how many copies can have begun by a slot, and how many must
have, for all work to end in time. They follow precedence, the grid and the capacity of each resource; where
`least` is over `most`, the work does not fit. The energy test compares the work that must lie wholly inside
an interval with what the resource can give there (Baptiste, Le Pape, Nuijten 2001, chapter 3, in its weaker
"left and right shift free" form).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planbook.timing.items import Work

if TYPE_CHECKING:
    import numpy as np


_ENERGY_SLOTS = 1_500
"""Above this many slots the energy test, whose tables grow with their square, is left out."""


@dataclass(frozen=True, slots=True)
class Windows:
    """Counts by item and slot, for an end of all work by `end` (slots are numbered from 0, `end` is exclusive)."""

    end: int
    most: tuple[tuple[int, ...], ...]
    least: tuple[tuple[int, ...], ...]

    def earliest(self, item: int, copy: int) -> int:
        """Return the first slot in which that copy (from 0) can begin; `end` where it cannot."""
        return next((slot for slot, count in enumerate(self.most[item]) if count > copy), self.end)

    def latest(self, item: int, copy: int) -> int:
        """Return the last slot in which that copy (from 0) may begin."""
        return next((slot for slot, count in enumerate(self.least[item]) if count > copy), self.end)


def windows(work: Work, end: int) -> Windows | None:
    """Narrow the windows for an end of all work; None where the work is proven not to fit."""
    most = _forward(work, end)
    least = _backward(work, end)
    if least is None or any(
        low > high for one, two in zip(least, most, strict=True) for low, high in zip(one, two, strict=True)
    ):
        return None
    found = Windows(end, most, least)
    return found if end > _ENERGY_SLOTS or _energy_holds(work, found) else None


def least_end(work: Work) -> int | None:
    """Return the smallest end that the windows do not refute; None where not even the whole grid fits."""
    high = len(work.grid)
    if windows(work, high) is None:
        return None
    low = 0
    while low < high:
        middle = (low + high) // 2
        if windows(work, middle) is None:
            low = middle + 1
        else:
            high = middle
    return low


def at_once(work: Work, number: int) -> int:
    """Return how many copies of an item can be at work at the same time."""
    item = work.items[number]
    return min((work.capacity[r] // amount for r, amount in (*item.uses, *item.holds) if amount), default=item.copies)


def _held(work: Work, number: int) -> int:
    item = work.items[number]
    return min((work.capacity[r] // amount for r, amount in item.holds if amount), default=item.copies)


def _starts(work: Work, number: int, end: int) -> list[bool]:
    length = work.items[number].slots
    return [may and slot + length <= end for slot, may in enumerate(work.may_start[number][:end])]


def _forward(work: Work, end: int) -> tuple[tuple[int, ...], ...]:
    most: list[tuple[int, ...]] = []
    for number, item in enumerate(work.items):
        may, length = _starts(work, number, end), item.slots
        free = work.latest_free[number]
        rate, held = at_once(work, number), _held(work, number)
        counts: list[int] = []
        last = 0
        for slot, most_by_arcs in enumerate(_by_arcs(work, number, most, end)):
            count = min(most_by_arcs, item.copies if may[slot] else last)
            count = min(count, rate + counts[slot - length] if slot >= length else rate)
            last = min(count, held + counts[free[slot]] if free[slot] >= 0 else held)
            counts.append(last)
        most.append(tuple(counts))
    return tuple(most)


def _by_arcs(work: Work, number: int, most: list[tuple[int, ...]], end: int) -> list[int]:
    """Return by slot how many copies of an item may have begun, as far as what it follows lets them."""
    copies = work.items[number].copies
    rows = [[copies] * end]
    for arc in work.before[number]:
        latest, begun = work.latest_before[work.arc_number[arc]], most[arc.before]
        before = work.items[arc.before].copies
        done = [begun[place] if place >= 0 else 0 for place in latest[:end]]
        if copies != before:
            done = [copies * count for count in done] if before == 1 else [int(count == before) for count in done]
        rows.append(done)
    return list(map(min, *rows)) if len(rows) > 1 else rows[0]


def _backward(work: Work, end: int) -> tuple[tuple[int, ...], ...] | None:
    need = [[0] * end for _ in work.items]
    for number in range(len(work.items) - 1, -1, -1):
        item = work.items[number]
        may = _starts(work, number, end)
        last = max((slot for slot in range(end) if may[slot]), default=-1)
        if last < 0:
            return None
        counts = need[number]
        counts[last:] = [item.copies] * (end - last)
        if not _spread(work, number, counts, may):
            return None
        for slot in range(1, end):
            counts[slot] = max(counts[slot], counts[slot - 1])
        if not _pass_on(work, number, need):
            return None
    return tuple(tuple(counts) for counts in need)


def _spread(work: Work, number: int, counts: list[int], may: list[bool]) -> bool:
    """Bring what must have begun forward in time, by the capacity; False where it would have to be before the start."""
    item = work.items[number]
    free = work.latest_free[number]
    rate, held = at_once(work, number), _held(work, number)
    for slot in range(len(counts) - 1, -1, -1):
        steps = [(slot - item.slots, counts[slot] - rate), (free[slot], counts[slot] - held)]
        if not may[slot]:
            steps.append((slot - 1, counts[slot]))
        for place, count in steps:
            if count > 0 and place < 0:
                return False
            if count > 0:
                counts[place] = max(counts[place], count)
    return True


def _pass_on(work: Work, number: int, need: list[list[int]]) -> bool:
    copies = work.items[number].copies
    for arc in work.before[number]:
        target, before = need[arc.before], work.items[arc.before].copies
        latest = work.latest_before[work.arc_number[arc]]
        for slot, count in enumerate(need[number]):
            if count == 0:
                continue
            if latest[slot] < 0:
                return False
            wanted = count if copies == before else before
            target[latest[slot]] = max(target[latest[slot]], wanted)
    return True


def _energy_holds(work: Work, found: Windows) -> bool:
    import numpy as np

    size = found.end
    least = np.zeros((len(work.items), size + 1), dtype=np.int64)
    most = np.zeros((len(work.items), size + 1), dtype=np.int64)
    most[:, 1:] = np.array(found.most, dtype=np.int64).reshape(len(work.items), size)
    least[:, 1:] = np.array(found.least, dtype=np.int64).reshape(len(work.items), size)
    room = np.arange(size + 1)[None, :] - np.arange(size + 1)[:, None]
    for resource, capacity in enumerate(work.capacity):
        forced = _forced(work, resource, least, most)
        if forced is not None and bool(((forced > capacity * room) & (room >= 0)).any()):
            return False
    return True


def _forced(work: Work, resource: int, least: np.ndarray, most: np.ndarray) -> np.ndarray | None:
    """Return by first and end slot the least work of one resource that lies wholly between them."""
    import numpy as np

    total = None
    for number, item in enumerate(work.items):
        amount = sum(amount for r, amount in item.uses if r == resource)
        if not amount:
            continue
        # Begun by `end - slots` at the latest, yet not begun before `first`: index 0 of the tables means "before all".
        ended = np.zeros(least.shape[1], dtype=np.int64)
        ended[item.slots :] = least[number, 1 : least.shape[1] - item.slots + 1]
        inside = np.maximum(0, ended[None, :] - most[number][:, None]) * (amount * item.slots)
        total = inside if total is None else total + inside
    return total
