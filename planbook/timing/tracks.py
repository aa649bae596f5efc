"""A second order of steps for half of the class, where one station holds everybody up.

With one order all come to the bottleneck after the same step and queue there. If some can do it before or after
an independent step instead, it is busy earlier or longer.
"""

from __future__ import annotations

from collections.abc import Iterator

from planbook.timing.earliest import Earliest
from planbook.timing.lesson_work import LessonWork, Track
from planbook.timing.problem import Lesson

_TRIES = 2


def second_tracks(lesson: Lesson, built: LessonWork, found: Earliest) -> Iterator[tuple[Track, ...]]:
    """Yield pairs of tracks worth a try: the busiest station's steps moved over their independent neighbours."""
    makers = lesson.group.makers
    order = built.tracks[0].order
    if makers < 2 or (found.proven and found.end is not None and found.end <= _alone(built)):
        return
    half = makers // 2
    tried: set[tuple[int, ...]] = {order}
    for station in _busiest(built)[:1]:
        for number in order:
            if not any(use.station == station for use in lesson.operations[number].uses):
                continue
            for other in (_moved(lesson, order, number, -1), _moved(lesson, order, number, +1)):
                if other not in tried and len(tried) <= _TRIES:
                    tried.add(other)
                    yield Track(makers - half, order), Track(half, other)


def _alone(built: LessonWork) -> int:
    """Return the slots that one maker needs for all steps, and all demonstrations: no order ends before that."""
    return sum(item.slots for item, role in zip(built.work.items, built.roles, strict=True) if role.kind != "setting")


def _busiest(built: LessonWork) -> list[str]:
    lesson = built.lesson
    load = dict.fromkeys((station.key for station in lesson.stations), 0.0)
    counts = {station.key: station.count for station in lesson.stations}
    for operation in lesson.operations:
        for use in operation.uses if not operation.prepared else ():
            load[use.station] += use.count * lesson.minutes(operation) / counts[use.station]
    return sorted((key for key in load if load[key] > 0), key=lambda key: -load[key])


def _moved(lesson: Lesson, order: tuple[int, ...], number: int, way: int) -> tuple[int, ...]:
    """Return the order with one step moved as far as its neighbours let it."""
    keys = {operation.key: n for n, operation in enumerate(lesson.operations)}
    row = list(order)
    place = row.index(number)
    while 0 <= place + way < len(row):
        first, second = (row[place + way], number) if way < 0 else (number, row[place + way])
        if first in _before(lesson, keys, second):
            break
        row[place], row[place + way] = row[place + way], row[place]
        place += way
    return tuple(row)


def _before(lesson: Lesson, keys: dict[str, int], number: int) -> set[int]:
    return {keys[key] for key in lesson.operations[number].after}
