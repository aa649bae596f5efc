"""Among the timetables that end as early: the least waiting, then the fewest people at each machine.

One solve for each wish, with the value of the one before fixed; every solve starts from the timetable known.
"""

from __future__ import annotations

from planbook.timing.counts import Counts, Term, build, too_large
from planbook.timing.items import Work
from planbook.timing.listing import Starts
from planbook.timing.solver import solve
from planbook.timing.windows import windows

EFFORT = 40
"""Work allowed for one wish, in the solver's checks: these are wishes, not promises."""


def tidied(
    work: Work, starts: Starts, end: int, lasts: tuple[int, ...], machines: tuple[int, ...], *, effort: int = EFFORT
) -> Starts:
    """Return a timetable that ends by `end` too and in which the copies of the items `lasts` end earlier in sum.

    Then the people at work at the same time at the resources `machines` become fewer.
    """
    frame = windows(work, end)
    if frame is None or too_large(frame):
        return starts
    for wish in (_least_waiting, _fewest_at_machines):
        model = build(work, frame)
        if not model.program.cost:
            return starts
        first = model.values(starts)
        if first is None:
            return starts
        first = wish(model, first, starts, lasts, machines)
        found = model.starts(solve(model.program, work=effort, first=first).values)
        starts = found or starts
    return starts


def _least_waiting(
    model: Counts, first: list[int], starts: Starts, lasts: tuple[int, ...], machines: tuple[int, ...]
) -> list[int]:
    del starts, machines
    for item in lasts:
        for column, _ in model.terms[item]:
            if column is not None:
                model.program.cost[column] -= 1.0
    return first


def _fewest_at_machines(
    model: Counts, first: list[int], starts: Starts, lasts: tuple[int, ...], machines: tuple[int, ...]
) -> list[int]:
    work, frame = model.work, model.frame
    reached = sum(1 for item in lasts for start in starts[item] for slot in range(frame.end) if start <= slot)
    model.compare([(-1.0, model.at(item, slot)) for item in lasts for slot in range(frame.end)], -float(reached))
    for resource in machines:
        users = [
            (n, amount)
            for n, item in enumerate(work.items)
            if item.copies > 1
            for r, amount in item.uses
            if r == resource
        ]
        if not users:
            continue
        taken = [_taken(work, starts, users, slot) for slot in range(frame.end)]
        column = model.program.column(1, work.capacity[resource], cost=1.0)
        first.append(max(1, *taken))
        for slot in range(frame.end):
            pairs: list[tuple[float, Term]] = [(-1.0, (column, 0))]
            for number, amount in users:
                ended = slot - work.items[number].slots
                pairs += [(float(amount), model.at(number, slot)), (-float(amount), model.at(number, ended))]
            model.compare(pairs, 0.0)
    return first


def _taken(work: Work, starts: Starts, users: list[tuple[int, int]], slot: int) -> int:
    return sum(amount for n, amount in users for start in starts[n] if start <= slot < start + work.items[n].slots)
