"""Whether a class fits its sessions, asked in a hurry: windows and quick rules, then fractions of students.

Each answer is certain where there is one; what stays open is for the whole search of `class_table`.
"""

from __future__ import annotations

from planbook.timing.counts import refutes
from planbook.timing.items import Work
from planbook.timing.lesson_work import lesson_grid, lesson_work, one_track
from planbook.timing.listing import quick_timetable
from planbook.timing.problem import Lesson
from planbook.timing.windows import windows

RULES = 4
"""How many of the quick rules are tried for a class."""


def fits_quickly(work: Work) -> bool | None:
    """Ask the windows and the quick rules; None where they leave it open."""
    if not work.items:
        return True
    frame = windows(work, len(work.grid))
    if frame is None:
        return False
    return True if quick_timetable(work, frame, aim=len(work.grid), rules=RULES) is not None else None


def fits(lesson: Lesson) -> bool | None:
    """Return whether the class fits in one order of steps; None where only the search would tell.

    Raises `TimingError` for a question that makes no sense.
    """
    work = lesson_work(lesson, one_track(lesson), lesson_grid(lesson)).work
    found = fits_quickly(work)
    if found is not None:
        return found
    frame = windows(work, len(work.grid))
    return False if frame is None or refutes(work, frame) else None
