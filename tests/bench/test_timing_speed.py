"""How long the timetables take, and how far the larger published problems get; a table, and limits with room to spare.

Figures are printed with `pytest -s`. With `PLANBOOK_BENCHMARKS` and `PLANBOOK_BENCH_ALL` set, all published projects
and job shops are tried, which takes some minutes.
"""

from __future__ import annotations

import csv
import importlib.util
import os
import time
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import TypeVar

import pytest

from planbook.timing.clashes import clashes
from planbook.timing.class_table import class_timetable
from planbook.timing.preparation import preparations
from planbook.timing.project import shortest_project

FOLDER = os.environ.get("PLANBOOK_BENCHMARKS", "")
ALL = bool(FOLDER and os.environ.get("PLANBOOK_BENCH_ALL"))
TESTS = Path(__file__).parent.parent
Made = TypeVar("Made")


def _load(path: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(Path(path).stem, TESTS / path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def timed(make: Callable[[], Made]) -> tuple[Made, float]:
    """Return the result and its processor seconds: other work on the machine does not count."""
    begun = time.process_time()
    made = make()
    return made, time.process_time() - begun


@pytest.mark.parametrize(("students", "days", "limit"), [(12, 3, 1.0), (24, 4, 2.0)])
def test_a_class_is_proven_in_time(students: int, days: int, limit: float) -> None:
    lesson = _load("timing/conftest.py").invented_lesson
    class_timetable(lesson(students=2, steps=2), tidy=False)  # imports
    outcome, seconds = timed(lambda: class_timetable(lesson(students=students, days=days), tidy=False))
    print(f"\n{students} students, 15 steps, {days} days: proven {outcome.proven}, {seconds:.2f} s")
    assert outcome.proven
    assert outcome.table is not None
    assert clashes(outcome.table) == ()
    assert seconds < 2 * limit  # twice the aim, for slower machines


def test_what_does_not_fit_and_what_to_prepare_is_said_in_time() -> None:
    lesson = _load("timing/conftest.py").invented_lesson(days=2)
    outcome, seconds = timed(lambda: class_timetable(lesson))
    ways, more = timed(lambda: preparations(lesson))
    print(f"\ndoes not fit: {seconds:.3f} s; preparation of {ways[0].minutes} min: {more:.3f} s")
    assert not outcome.fits
    assert outcome.proven
    assert seconds < 0.6
    assert more < 1.0


@pytest.mark.skipif(not ALL, reason="PLANBOOK_BENCHMARKS and PLANBOOK_BENCH_ALL are not both set")
@pytest.mark.parametrize("problem", ["rcpsp", "jobshop"])
def test_all_published_problems_keep_their_bounds(problem: str) -> None:
    outside = _load("outside/test_timing_published.py")
    with (Path(FOLDER) / "known.csv").open(newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["problem"] == problem]
    for row in rows:
        text = (Path(FOLDER) / row["file"]).read_text()
        if problem == "rcpsp":
            activities, capacity = outside.project(text)
        else:
            activities, capacity = outside.job_shop(
                [[int(word) for word in line.split()] for line in text.splitlines()[1:]]
            )
        schedule, seconds = timed(lambda a=activities, c=capacity: shortest_project(a, c))
        known = int(row["value"])
        print(
            f"{row['instance']:10} known {known:5} found {schedule.end:5} bound {schedule.bound:5} {seconds:7.1f} s",
            flush=True,
        )
        assert schedule.bound <= known <= schedule.end
        assert outside.holds(activities, capacity, schedule)
