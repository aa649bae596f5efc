"""From starts to persons: the k-th to begin a step is the k-th maker; units, helpers and minutes follow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from planbook.timing.lesson_work import LessonWork, Role
from planbook.timing.listing import Starts
from planbook.timing.problem import Lesson, Use
from planbook.timing.timetable import Common, Place, Visit

Slots = tuple[int, int]
"""First slot and the slot after the last."""


def play(built: LessonWork, starts: Starts) -> tuple[tuple[Visit, ...], tuple[Common, ...]]:
    """Return the visits and what all do together, sorted by start."""
    common, busy, work = _read(built, starts)
    helped = _helpers(built, work, busy)
    units = _units(built, work)
    grid, lesson = built.work.grid, built.lesson
    visits: list[Visit] = []
    for (maker, number), (first, last) in work.items():
        operation = lesson.operations[number]
        end = grid.end(last - 1)
        places = tuple(
            Place(
                station=use.station,
                units=units[maker, number, use],
                until=end + operation.wait if use.while_waiting else end,
            )
            for use in operation.uses
        )
        visit = Visit(
            maker=maker,
            operation=operation.key,
            start=grid.starts[first],
            end=end,
            cured=end + operation.wait,
            places=places,
            helpers=tuple(
                (helper, grid.starts[a], grid.end(b - 1)) for helper, a, b in helped.get((maker, number), ())
            ),
        )
        visits.append(visit)
    return tuple(sorted(visits, key=lambda v: (v.start, v.maker, v.end))), tuple(
        sorted(common, key=lambda c: (c.start, c.end))
    )


def _read(built: LessonWork, starts: Starts) -> tuple[list[Common], list[dict[int, int]], dict[tuple[int, int], Slots]]:
    grid, lesson, tracks = built.work.grid, built.lesson, built.tracks
    offset = [sum(track.makers for track in tracks[:place]) for place in range(len(tracks))]
    busy: list[dict[int, int]] = [{} for _ in range(len(grid))]
    work: dict[tuple[int, int], Slots] = {}
    common: list[Common] = []
    for role, item, row in zip(built.roles, built.work.items, starts, strict=True):
        if role.kind != "work":
            common.append(_common(built, role, row[0], item.slots))
        for copy, first in enumerate(row):
            makers = _makers(role, offset[role.track] + copy + 1, lesson.group.makers)
            for slot in range(first, first + item.slots):
                for maker in makers:
                    busy[slot][maker] = lesson.group.hands
            if role.kind == "work":
                work[makers[0], role.operation] = (first, first + item.slots)
    return common, busy, work


def _makers(role: Role, maker: int, makers: int) -> Sequence[int]:
    """Return who is taken by an item: one, all, or nobody of the class."""
    if role.kind == "work":
        return [maker]
    return range(1, makers + 1) if role.kind == "demonstration" else ()


def _common(built: LessonWork, role: Role, first: int, slots: int) -> Common:
    grid, operation = built.work.grid, built.lesson.operations[role.operation]
    brought = {station.key for station in built.lesson.stations if not station.set}
    return Common(
        kind=role.kind,
        operation=operation.key,
        start=grid.starts[first],
        end=grid.end(first + slots - 1),
        stations=tuple(
            dict.fromkeys(u.station for u in operation.uses if role.kind != "setting" or u.station not in brought)
        ),
    )


def _helpers(
    built: LessonWork, work: Mapping[tuple[int, int], Slots], busy: Sequence[Mapping[int, int]]
) -> dict[tuple[int, int], list[tuple[int, int, int]]]:
    """Lend free hands to work that needs more than its maker has, the same helper as long as possible."""
    lesson = built.lesson
    lent: list[dict[int, int]] = [dict(row) for row in busy]
    found: dict[tuple[int, int], list[tuple[int, int, int]]] = {}
    for key, (first, last) in sorted(work.items(), key=lambda pair: (pair[1], pair[0])):
        for _ in range(max(0, lesson.operations[key[1]].hands - lesson.group.hands)):
            found.setdefault(key, []).extend(_helper(lesson, lent, key[0], first, last))
    return found


def _helper(
    lesson: Lesson, lent: list[dict[int, int]], maker: int, first: int, last: int
) -> list[tuple[int, int, int]]:
    runs: list[tuple[int, int, int]] = []
    slot = first
    while slot < last:
        best, reach = 0, slot
        for other in range(1, lesson.group.makers + 1):
            end = slot
            while other != maker and end < last and lent[end].get(other, 0) < lesson.group.hands:
                end += 1
            if end > reach:
                best, reach = other, end
        if reach == slot:  # nobody: the checker will say so
            slot += 1
            continue
        for at in range(slot, reach):
            lent[at][best] = lent[at].get(best, 0) + 1
        runs.append((best, slot, reach))
        slot = reach
    return runs


def _units(built: LessonWork, work: Mapping[tuple[int, int], Slots]) -> dict[tuple[int, int, Use], tuple[int, ...]]:
    """Give each visit units of its stations, the lowest free ones first."""
    lesson, grid = built.lesson, built.work.grid
    found: dict[tuple[int, int, Use], tuple[int, ...]] = {}
    for station in lesson.stations:
        free_at = [0] * station.count
        wanted = [
            (first, key, last, use)
            for key, (first, last) in work.items()
            for use in lesson.operations[key[1]].uses
            if use.station == station.key
        ]
        for first, key, last, use in sorted(wanted, key=lambda want: want[:2]):
            end = grid.end(last - 1)
            if use.while_waiting:
                end += lesson.operations[key[1]].wait
            units = [unit for unit, free in enumerate(free_at) if free <= grid.starts[first]][: use.count]
            for unit in units:
                free_at[unit] = end
            found[key[0], key[1], use] = tuple(unit + 1 for unit in units)
    return found
