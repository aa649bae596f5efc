"""Good timetables quickly: place copy after copy as early as it goes, then push them late and early again.

The serial schedule generation scheme and the forward-backward improvement (Kolisch, Hartmann 1999; Tormos,
Lova 2001), on a grid of sessions. Without chance: the orders tried are a fixed list of rules.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from planbook.timing.items import Arc, Work
from planbook.timing.windows import Windows

Starts = tuple[tuple[int, ...], ...]
"""By item and copy: the slot in which it begins; copies in the order of their starts."""
_ROUNDS = 6


class Placing:
    """A timetable in the making."""

    def __init__(self, work: Work, end: int) -> None:
        self.work = work
        self.end = end
        self.starts: list[list[int | None]] = [[None] * item.copies for item in work.items]
        self._used = [[0] * len(work.grid) for _ in work.capacity]

    def place(self, number: int, copy: int, slot: int) -> None:
        """Put a copy at a slot, whatever stands there."""
        self.starts[number][copy] = slot
        self._take(number, slot, 1)

    def remove(self, number: int, copy: int) -> None:
        """Take a copy out again."""
        slot = self.starts[number][copy]
        if slot is not None:
            self._take(number, slot, -1)
        self.starts[number][copy] = None

    def _take(self, number: int, slot: int, sign: int) -> None:
        item = self.work.items[number]
        for group, end in ((item.uses, slot + item.slots), (item.holds, self.work.free[number][slot])):
            for resource, amount in group:
                row = self._used[resource]
                for at in range(slot, end):
                    row[at] += sign * amount

    def early(self, number: int, copy: int, first: int = 0) -> int | None:
        """Return the first slot from `first` at which a copy fits, after all that it follows; None if there is none."""
        work = self.work
        slot = max((self._ready(arc, copy) for arc in work.before[number]), default=0)
        slot = max(slot, first)
        may, length = work.may_start[number], work.items[number].slots
        while slot + length <= self.end:
            if not may[slot]:
                slot += 1
                continue
            clash = self._clash(number, slot)
            if clash < 0:
                return slot
            slot = clash + 1
        return None

    def early_pair(self, shown: int, number: int, copy: int) -> tuple[int, int] | None:
        """Return slots for what is shown and for the copy that begins right after it, in one session."""
        work = self.work
        ready = work.ready[work.arc_number[next(arc for arc in work.after[shown] if arc.after == number)]]
        slot = self.early(shown, 0)
        while slot is not None and ready[slot] < self.end:
            begun = self.early(number, copy, ready[slot])
            if begun is None:
                return None
            if begun == ready[slot] and work.grid.session[begun] == work.grid.session[slot]:
                return slot, begun
            slot = self.early(shown, 0, slot + 1)
        return None

    def late(self, number: int, copy: int) -> int | None:
        """Return the last slot at which a copy fits, before all that follows it; None where there is none."""
        work = self.work
        length = work.items[number].slots
        slot = min((self._due(arc, copy) for arc in work.after[number]), default=self.end)
        slot = min(slot, self.end - length)
        may, free = work.may_start[number], work.latest_free[number]
        while slot >= 0:
            if not may[slot]:
                slot -= 1
                continue
            clash = self._clash(number, slot)
            if clash < 0:
                return slot
            slot = clash - length if clash < slot + length else min(free[clash], slot - 1)
        return None

    def _ready(self, arc: Arc, copy: int) -> int:
        ready = self.work.ready[self.work.arc_number[arc]]
        starts = self.starts[arc.before]
        if len(starts) == len(self.starts[arc.after]):
            return _known(ready, starts[copy : copy + 1])
        return _known(ready, starts)

    def _due(self, arc: Arc, copy: int) -> int:
        latest = self.work.latest_before[self.work.arc_number[arc]]
        starts = self.starts[arc.after]
        if len(starts) == len(self.starts[arc.before]):
            starts = starts[copy : copy + 1]
        return min((latest[start] for start in starts if start is not None), default=self.end)

    def _clash(self, number: int, slot: int) -> int:
        """Return a slot at which a copy would find too little of a resource, or -1."""
        item = self.work.items[number]
        for resource, amount in item.uses:
            row, most = self._used[resource], self.work.capacity[resource] - amount
            for at in range(slot + item.slots - 1, slot - 1, -1):
                if row[at] > most:
                    return at
        for resource, amount in item.holds:
            row, most = self._used[resource], self.work.capacity[resource] - amount
            for at in range(self.work.free[number][slot] - 1, slot - 1, -1):
                if row[at] > most:
                    return at
        return -1


def _known(ready: tuple[int, ...], starts: Iterable[int | None]) -> int:
    return max((ready[start] for start in starts if start is not None), default=0)


def ending(work: Work, starts: Starts) -> int:
    """Return the slot by which all work has ended."""
    return max((start + item.slots for item, row in zip(work.items, starts, strict=True) for start in row), default=0)


def quick_timetable(work: Work, frame: Windows, *, aim: int, rules: int = 8) -> Starts | None:
    """Return the best timetable that a few rules find, or None; the search stops at one that ends by `aim`."""
    best: Starts | None = None
    for rule in _rules(work, frame)[:rules]:
        found = _improved(work, _in_order(work, rule), aim)
        if found is not None and (best is None or ending(work, found) < ending(work, best)):
            best = found
        if best is not None and ending(work, best) <= aim:
            break
    return best


def pushed_early(work: Work, starts: Starts) -> Starts:
    """Return the timetable with every copy as early as it goes, placed in the order of the starts."""
    found = _forward(work, _by_start(starts))
    return starts if found is None or ending(work, found) > ending(work, starts) else found


def begun_early(work: Work, starts: Starts, items: Iterable[int]) -> Starts:
    """Move the copies of some items as early as they go, the others staying: nobody stands idle before free work."""
    chosen = frozenset(items)
    placing = Placing(work, ending(work, starts))
    for number, row in enumerate(starts):
        for copy, slot in enumerate(row):
            placing.place(number, copy, slot)
    for slot, number, copy in sorted(
        (slot, n, k) for n, row in enumerate(starts) if n in chosen for k, slot in enumerate(row)
    ):
        placing.remove(number, copy)
        early = placing.early(number, copy)
        placing.place(number, copy, slot if early is None else min(early, slot))
    return sorted_starts(placing.starts)


def brought_near(work: Work, starts: Starts) -> Starts:
    """Move settings as late as they go, so that nobody bumps against a fence for half a day."""
    moved = sorted(_settings(work) - {before for before, _ in work.soon}, key=lambda n: (starts[n][0], n), reverse=True)
    placing = Placing(work, ending(work, starts))
    for number, row in enumerate(starts):
        for copy, slot in enumerate(row):
            placing.place(number, copy, slot)
    for number in moved:
        placing.remove(number, 0)
        placing.place(number, 0, max(placing.late(number, 0) or 0, starts[number][0]))
    return sorted_starts(placing.starts)


def _settings(work: Work) -> set[int]:
    """Return the items of one copy that stand before items of several."""
    return {arc.before for arc in work.arcs if work.items[arc.before].copies < work.items[arc.after].copies}


def _rules(work: Work, frame: Windows) -> list[Callable[[int, int], tuple[int, ...]]]:
    latest = [[frame.latest(number, copy) for copy in range(item.copies)] for number, item in enumerate(work.items)]
    earliest = [[frame.earliest(number, copy) for copy in range(item.copies)] for number, item in enumerate(work.items)]
    length = [item.slots for item in work.items]
    followers = _followers(work)
    load = [sum(amount for _, amount in (*item.uses, *item.holds)) * item.slots for item in work.items]
    return [
        lambda n, k: (latest[n][k], n, k),
        lambda n, k: (k, n),
        lambda n, k: (latest[n][k] + length[n], n, k),
        lambda n, k: (latest[n][k] + earliest[n][k], n, k),
        lambda n, k: (n, k),
        lambda n, k: (-followers[n], latest[n][k], n, k),
        lambda n, k: (latest[n][k] - earliest[n][k], n, k),
        lambda n, k: (-load[n], latest[n][k], n, k),
    ]


def _followers(work: Work) -> list[int]:
    after: list[set[int]] = [set() for _ in work.items]
    for number in range(len(work.items) - 1, -1, -1):
        for arc in work.after[number]:
            after[number] |= {arc.after} | after[arc.after]
    return [len(found) for found in after]


def _in_order(work: Work, rule: Callable[[int, int], tuple[int, ...]]) -> list[tuple[int, int]]:
    """Return all copies in an order that keeps the arcs, the smallest by the rule first among those that may come."""
    import heapq

    waiting = {
        (n, k): sum(_links(work, arc) for arc in work.before[n])
        for n, item in enumerate(work.items)
        for k in range(item.copies)
    }
    heap = [(rule(n, k), n, k) for (n, k), count in waiting.items() if count == 0]
    heapq.heapify(heap)
    order: list[tuple[int, int]] = []
    while heap:
        _, n, k = heapq.heappop(heap)
        order.append((n, k))
        for arc in work.after[n]:
            same = work.items[arc.after].copies == work.items[n].copies
            for copy in [k] if same else range(work.items[arc.after].copies):
                waiting[arc.after, copy] -= 1
                if waiting[arc.after, copy] == 0:
                    heapq.heappush(heap, (rule(arc.after, copy), arc.after, copy))
    return order


def _links(work: Work, arc: Arc) -> int:
    before, after = work.items[arc.before].copies, work.items[arc.after].copies
    return 1 if before == after else before


def _improved(work: Work, order: Sequence[tuple[int, int]], aim: int) -> Starts | None:
    best = _forward(work, order)
    if best is None:
        return None
    for _ in range(0 if work.soon else _ROUNDS):
        if ending(work, best) <= aim:
            break
        late = _backward(work, best)
        found = late and _forward(work, _by_start(late))
        if not found or ending(work, found) >= ending(work, best):
            break
        best = found
    return best


def _forward(work: Work, order: Sequence[tuple[int, int]]) -> Starts | None:
    placing = Placing(work, len(work.grid))
    shown = {after: before for before, afters in work.soon for after in afters}
    for number, copy in order:
        if number in shown.values():
            continue  # placed together with the first who begins
        before = shown.get(number)
        if before is not None and placing.starts[before][0] is None:
            pair = placing.early_pair(before, number, copy)
            if pair is None:
                return None
            placing.place(before, 0, pair[0])
            placing.place(number, copy, pair[1])
            continue
        slot = placing.early(number, copy)
        if slot is None:
            return None
        placing.place(number, copy, slot)
    found = sorted_starts(placing.starts)
    return found if not work.soon or _keeps_arcs(work, found) else None


def _keeps_arcs(work: Work, starts: Starts) -> bool:
    """Return whether every arc holds; what was placed in pairs can have come before something it follows."""
    for arc, ready in zip(work.arcs, work.ready, strict=True):
        before, after = starts[arc.before], starts[arc.after]
        ends = before if len(before) == len(after) else (max(before),) * len(after)
        if any(ready[end] > start for end, start in zip(ends, after, strict=True)):
            return False
    return True


def _backward(work: Work, starts: Starts) -> Starts | None:
    placing = Placing(work, ending(work, starts))
    order = [(start + work.items[n].slots, n, k) for n, row in enumerate(starts) for k, start in enumerate(row)]
    for _, number, copy in sorted(order, reverse=True):
        slot = placing.late(number, copy)
        if slot is None:
            return None
        placing.place(number, copy, slot)
    return sorted_starts(placing.starts)


def _by_start(starts: Starts) -> list[tuple[int, int]]:
    order = [(start, number, copy) for number, row in enumerate(starts) for copy, start in enumerate(row)]
    return [(number, copy) for _, number, copy in sorted(order)]


def sorted_starts(starts: Sequence[Sequence[int | None]]) -> Starts:
    """Return the starts with the copies of each item in the order of their starts.

    Copies are alike, and each k-th copy follows the k-th of the item before; sorted rows keep every arc, because
    when ready times rise the k-th smallest of one row is still before the k-th smallest of the other.
    """
    return tuple(tuple(sorted(start for start in row if start is not None)) for row in starts)
