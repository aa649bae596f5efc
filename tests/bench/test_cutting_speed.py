"""How long layouts take and how many are proven, in seconds of processor. Figures: `pytest tests/bench -s`.

With PLANBOOK_BENCH_REPORT naming a folder, the growth is drawn there as a curve.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from cutting.random_problems import cut_up_sheets, sheet_problem, stick_problem

from planbook.cutting.effort import Effort
from planbook.cutting.layout import Solution
from planbook.cutting.problem import First
from planbook.cutting.sheets import solve_sheets
from planbook.cutting.sticks import solve_sticks

ROOT = Path(__file__).parents[2]
BARE = Effort(tidy=0)
PEAK = """
import sys
sys.path[:0] = ["tests"]
from cutting.random_problems import sheet_problem, stick_problem
from planbook.cutting.sheets import solve_sheets
from planbook.cutting.sticks import solve_sticks
solve_sheets(*sheet_problem(0, kinds=12, pieces=600, stages=3))
solve_sticks(*stick_problem(0, kinds=40, pieces=1000))
print(open("/proc/self/status").read().split("VmHWM:")[1].split()[0])
"""


@dataclass(frozen=True, slots=True)
class Series:
    """Ten runs of one kind."""

    name: str
    seconds: list[float]
    solutions: list[Solution]

    @property
    def proven(self) -> int:
        return sum(solution.proven for solution in self.solutions)

    def within(self, seconds: float) -> int:
        return sum(
            solution.proven and taken <= seconds for solution, taken in zip(self.solutions, self.seconds, strict=True)
        )

    def told(self) -> str:
        gap = max(solution.gap for solution in self.solutions)
        return (
            f"{self.name:34} proven {self.proven:2}/{len(self.seconds)}  largest gap {gap:3}  "
            f"median {statistics.median(self.seconds):6.3f} s  longest {max(self.seconds):6.3f} s"
        )


def _series(name: str, run: Callable[[int], Solution], *, runs: int = 10) -> Series:
    seconds, solutions = [], []
    for seed in range(runs):
        start = time.process_time()
        solutions.append(run(seed))
        seconds.append(time.process_time() - start)
    series = Series(name, seconds, solutions)
    print("\n" + series.told(), end="")
    return series


@pytest.fixture(autouse=True, scope="module")
def warm() -> None:
    """Load the solver and the arrays before anything is measured."""
    solve_sheets(*sheet_problem(0, kinds=2, pieces=4))


def test_sheets_of_30_pieces() -> None:
    either = _series("sheets, 30 of 8 kinds, 2 stages", lambda n: solve_sheets(*sheet_problem(n, kinds=8, pieces=30)))
    rip = _series("the same, rip first", lambda n: solve_sheets(*sheet_problem(n, kinds=8, pieces=30, first=First.RIP)))
    assert either.within(0.7) >= 9
    assert rip.proven >= 9


def test_sheets_of_600_pieces() -> None:
    series = _series(
        "sheets, 600 of 12 kinds, 2 stages", lambda n: solve_sheets(*sheet_problem(n, kinds=12, pieces=600))
    )
    assert max(solution.gap for solution in series.solutions) <= 1
    assert statistics.median(series.seconds) <= 1.0
    assert series.proven >= 8
    three = _series(
        "the same, 3 stages", lambda n: solve_sheets(*sheet_problem(n, kinds=12, pieces=600, stages=3)), runs=3
    )
    assert max(solution.gap for solution in three.solutions) <= 2


def test_sheets_cut_up_without_waste() -> None:
    """The hardest there are: every edge has to come out to the hair. Known best: as many as were cut up."""
    for sheets, kinds in ((1, 12), (2, 24), (2, 50), (3, 75)):
        series = _series(
            f"{sheets} whole sheets, {kinds} kinds",
            lambda n, s=sheets, k=kinds: solve_sheets(*cut_up_sheets(n, sheets=s, kinds=k)),
            runs=4,
        )
        assert all(solution.bound <= sheets <= solution.cost <= sheets + 2 for solution in series.solutions)


def test_sticks() -> None:
    bare = _series(
        "sticks, 600 of 12 kinds, proof", lambda n: solve_sticks(*stick_problem(n, kinds=12, pieces=600), effort=BARE)
    )
    _series("the same, with fewer set-ups", lambda n: solve_sticks(*stick_problem(n, kinds=12, pieces=600)))
    many = _series("sticks, 1,000 of 40 kinds", lambda n: solve_sticks(*stick_problem(n, kinds=40, pieces=1000)))
    priced = _series(
        "sticks, 600 of 12 kinds, 3 prices",
        lambda n: solve_sticks(*stick_problem(n, kinds=12, pieces=600, priced=True)),
    )
    assert bare.proven == 10
    assert statistics.median(bare.seconds) <= 0.05
    assert many.proven == 10
    assert statistics.median(many.seconds) <= 1.0
    assert all(solution.gap * 100 <= solution.cost for solution in priced.solutions)


def test_memory() -> None:
    done = subprocess.run(
        [sys.executable, "-c", PEAK],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=True,
        capture_output=True,
        text=True,
    )
    peak = int(done.stdout) / 1024
    print(f"\nlayouts, peak of a process: {peak:.0f} MB", end="")
    assert peak < 300


def test_growth() -> None:
    counts = (30, 100, 300, 1000, 3000)
    curves = {
        "sheets": [_mean(lambda n, c=c: solve_sheets(*sheet_problem(n, kinds=12, pieces=c))) for c in counts],
        "sticks": [_mean(lambda n, c=c: solve_sticks(*stick_problem(n, kinds=12, pieces=c))) for c in counts],
    }
    for name, seconds in curves.items():
        print(
            f"\n{name}, 12 kinds: " + ", ".join(f"{c}: {s:.2f} s" for c, s in zip(counts, seconds, strict=True)), end=""
        )
    # Kinds decide, not pieces: a hundred times as many take at most twenty times as long.
    assert all(seconds[-1] <= max(1.0, 20 * seconds[0]) for seconds in curves.values())
    if folder := os.environ.get("PLANBOOK_BENCH_REPORT"):
        _draw(Path(folder) / "cutting-growth.svg", counts, curves)


def _mean(run: Callable[[int], Solution]) -> float:
    start = time.process_time()
    for seed in range(2):
        run(seed)
    return (time.process_time() - start) / 2


def _draw(path: Path, counts: tuple[int, ...], curves: dict[str, list[float]]) -> None:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(5, 3.4))
    axes = figure.add_subplot(xscale="log", yscale="log", xlabel="pieces of 12 kinds", ylabel="seconds of processor")
    for (name, seconds), style in zip(curves.items(), ("o-", "s--"), strict=True):
        axes.plot(counts, seconds, style, color="black", label=name)
    axes.legend(frameon=False)
    figure.tight_layout()
    figure.savefig(path)
