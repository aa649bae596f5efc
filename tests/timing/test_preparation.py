from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

from planbook.timing.class_table import class_timetable
from planbook.timing.preparation import preparations, with_prepared
from planbook.timing.problem import Lesson


def test_the_smallest_preparation_makes_the_class_fit(make_lesson: Callable[..., Lesson]) -> None:
    lesson = make_lesson(days=2)
    ways = preparations(lesson)
    assert ways[0].smallest
    assert [way.minutes for way in ways] == sorted(way.minutes for way in ways)
    for way in ways:
        assert class_timetable(with_prepared(lesson, way.operations), tidy=False, two_tracks=False).fits


def test_nothing_smaller_fits_as_trying_everything_shows(make_lesson: Callable[..., Lesson]) -> None:
    lesson = make_lesson(days=1, students=6, steps=8)
    keys = [operation.key for operation in lesson.operations]
    before = {operation.key: set(operation.after) for operation in lesson.operations}
    minutes = {operation.key: lesson.preparation(operation) for operation in lesson.operations}
    best = None
    for size in range(len(keys) + 1):
        for chosen in combinations(keys, size):
            if any(not before[key] <= set(chosen) for key in chosen):
                continue
            cost = sum(minutes[key] for key in chosen)
            if best is not None and cost >= best:
                continue
            if class_timetable(with_prepared(lesson, chosen), tidy=False, two_tracks=False).fits:
                best = cost
    assert preparations(lesson)[0].minutes == best
    assert preparations(lesson)[0].smallest


def test_a_class_that_fits_needs_no_preparation(make_lesson: Callable[..., Lesson]) -> None:
    ways = preparations(make_lesson())
    assert [(way.operations, way.minutes) for way in ways] == [((), 0)]


def test_a_preparation_holds_all_that_comes_before_it(make_lesson: Callable[..., Lesson]) -> None:
    lesson = make_lesson(days=1)
    steps = {operation.key: operation for operation in lesson.operations}
    for way in preparations(lesson):
        for key in way.operations:
            assert set(steps[key].after) <= set(way.operations)
