"""Grades of abrasive paper as words name them, and how far a sheet lasts."""

from __future__ import annotations

from fractions import Fraction

import pytest

from planbook.trade.abrasives import abrasives, grades_named, sheets_of_grade, too_wide_steps


@pytest.mark.parametrize(
    ("words", "numbers"),
    [
        ("sheets of abrasive paper, 120 and 180 grit", [120, 180]),
        ("abrasive, P80 to P220", [80, 120, 180, 220]),
        ("one block", []),
        ("grit 120 to 120", [120]),
    ],
)
def test_grades_are_read_from_words(words: str, numbers: list[int]) -> None:
    assert [row.number for row in grades_named(words)] == numbers


def test_a_range_of_grades_has_no_step_that_is_too_wide() -> None:
    for first in abrasives():
        for last in abrasives():
            if first.number < last.number:
                named = grades_named(f"{first.grade} to {last.grade}")
                assert named[0] == first
                assert named[-1] == last
                assert too_wide_steps([row.grade for row in named]) == ()


def test_a_sheet_lasts_for_a_square_metre_and_a_part_of_one_takes_a_sheet() -> None:
    """Common practice, no source."""
    assert [sheets_of_grade(Fraction(area)) for area in (1, 10**6, 10**6 + 1, 4 * 10**6)] == [1, 1, 2, 4]
