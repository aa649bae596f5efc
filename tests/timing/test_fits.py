"""The hurried answer whether a class fits, against the whole search."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from planbook.timing.class_table import class_timetable
from planbook.timing.fits import fits
from planbook.timing.problem import Lesson


@pytest.mark.parametrize(("students", "steps", "days"), [(4, 6, 1), (12, 15, 2), (12, 15, 3), (2, 3, 1), (12, 8, 1)])
def test_a_hurried_answer_is_that_of_the_search(
    students: int, steps: int, days: int, make_lesson: Callable[..., Lesson]
) -> None:
    asked = make_lesson(students=students, steps=steps, days=days)
    found = fits(asked)
    outcome = class_timetable(asked, tidy=False, two_tracks=False)
    assert outcome.proven
    assert found in (None, outcome.fits)


def test_both_answers_are_given(make_lesson: Callable[..., Lesson]) -> None:
    assert fits(make_lesson(days=4)) is True
    assert fits(make_lesson(days=2)) is False
