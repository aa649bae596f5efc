"""Published values beside ours, as tables. `PLANBOOK_BENCHMARKS_ALL=1 pytest tests/bench/test_cutting_tables.py -s`.

With PLANBOOK_BENCH_REPORT naming a folder, each table is written there as CSV, too.
"""

from __future__ import annotations

import csv
import os
import time
from pathlib import Path

import pytest
from cutting.published import ALL, Row, needs_published, one_sheet, rows, sheets, sticks

from planbook.cutting.effort import Effort
from planbook.cutting.fill import fill_sheet
from planbook.cutting.sheets import solve_sheets
from planbook.cutting.sticks import solve_sticks

pytestmark = [
    needs_published,
    pytest.mark.skipif(not ALL, reason="PLANBOOK_BENCHMARKS_ALL is not set: the tables take minutes"),
]
PLAIN = Effort(tidy=0)
HEAD = f"\n{'instance':22} {'published':>10} {'ours':>10} {'bound':>10}  {'s':>6}"
REPORT = os.environ.get("PLANBOOK_BENCH_REPORT", "")
COLUMNS = ("instance", "published", "published bound", "ours", "our bound", "seconds")


def _line(row: Row, ours: int, bound: int, start: float) -> str:
    seconds = time.process_time() - start
    if REPORT:
        path = Path(REPORT) / f"cutting-{row.problem}.csv"
        new = not path.exists()
        with path.open("a", encoding="utf-8", newline="") as lines:
            table = csv.writer(lines)
            if new:
                table.writerow(COLUMNS)
            table.writerow((row.instance, row.value, row.bound, ours, bound, f"{seconds:.2f}"))
    mark = "" if ours == row.number else " *"
    return f"{row.instance:22} {row.value:>10} {ours:>10} {bound:>10}  {seconds:6.2f}{mark}"


@pytest.fixture(scope="module", autouse=True)
def fresh_report() -> None:
    """Begin the tables of a report anew."""
    if REPORT:
        for path in Path(REPORT).glob("cutting-*.csv"):
            path.unlink()


def test_boards() -> None:
    print(HEAD)
    reached, listed = 0, rows("1d-boards")
    for row in listed:
        start = time.process_time()
        solution = solve_sticks(*sticks(row), effort=PLAIN)
        print(_line(row, solution.cost, solution.bound, start))
        assert solution.bound <= row.number <= solution.cost
        reached += solution.cost == row.number
    print(f"boards: {reached} of {len(listed)} at the published optimum")
    assert reached * 10 >= len(listed) * 8


@pytest.mark.parametrize("problem", ["2d-bins-guillotine-fixed", "2d-bins-guillotine-rotate"])
def test_bins(problem: str) -> None:
    """Ours in three stages; the published optimum in any number."""
    print(f"\n{problem}{HEAD}")
    reached, listed = 0, rows(problem)
    for row in listed:
        start = time.process_time()
        solution = solve_sheets(*sheets(row, stages=3), effort=PLAIN)
        print(_line(row, solution.cost, solution.bound, start))
        assert solution.bound_any <= row.number <= solution.cost
        reached += solution.cost == row.number
    print(f"{problem}: {reached} of {len(listed)} at the published optimum")
    assert reached * 10 >= len(listed) * 8


@pytest.mark.parametrize("problem", ["2d-bins-area-2stage-h-fixed", "2d-bins-area-2stage-h-rotate"])
def test_areas(problem: str) -> None:
    """Several sheet sizes; published best known and bound, ours may be below the best known."""
    print(f"\n{problem}{HEAD}")
    for row in rows(problem):
        start = time.process_time()
        solution = solve_sheets(*sheets(row, stages=2), effort=PLAIN)
        print(_line(row, solution.cost, solution.bound, start))
        assert int(row.bound) <= solution.cost
        assert solution.bound <= row.number


@pytest.mark.parametrize("problem", ["2d-single-2stage", "2d-single-guillotine"])
def test_one_sheet(problem: str) -> None:
    """Ours in two stages where the published value is, else in three; the published one in any number."""
    print(f"\n{problem}{HEAD}")
    reached, listed = 0, rows(problem)
    for row in listed:
        start = time.process_time()
        pieces, sheet, saw, values = one_sheet(row, stages=2 if "2stage" in problem else 3)
        filled = fill_sheet(pieces, sheet, saw, values=values)
        print(_line(row, filled.value, filled.bound, start))
        assert filled.value <= int(row.bound)
        reached += filled.value == row.number
    print(f"{problem}: {reached} of {len(listed)} at the published value")
    assert reached
