"""A thin layer over HiGHS: one integer program in arrays, stopped by the work done, never by the clock.

One thread and a fixed seed; the search is cut off after so many of the solver's own checks, so the same program
gives the same answer on every machine of a kind.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import highspy

_PIVOTS = 50_000


@dataclass(slots=True)
class Program:
    """Rows and columns of an integer program; minimise."""

    cost: list[float] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    row_lower: list[float] = field(default_factory=list)
    row_upper: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    index: list[int] = field(default_factory=list)
    value: list[float] = field(default_factory=list)
    loose: list[bool] = field(default_factory=list)
    """By column: whether it may be left fractional where only a bound is asked for."""

    def column(self, lower: float, upper: float, *, cost: float = 0.0, loose: bool = False) -> int:
        """Add a whole-number column and return its number."""
        self.loose.append(loose)
        self.lower.append(lower)
        self.upper.append(upper)
        self.cost.append(cost)
        return len(self.cost) - 1

    def row(self, entries: Sequence[tuple[int, float]], lower: float, upper: float) -> None:
        """Add a row; entries of one column are summed."""
        summed: dict[int, float] = {}
        for column, value in entries:
            summed[column] = summed.get(column, 0.0) + value
        self.row_lower.append(lower)
        self.row_upper.append(upper)
        self.index.extend(summed)
        self.value.extend(summed.values())
        self.starts.append(len(self.index))


@dataclass(frozen=True, slots=True)
class Answer:
    """What the search gave."""

    values: list[int] | None
    """By column; None where no solution was found."""
    complete: bool
    """Whether the search ran to its end: then nothing better exists, or nothing at all."""
    refuted: bool
    """Whether nothing meets the rows."""
    cost: float
    bound: float


def solve(
    program: Program,
    *,
    work: int,
    first: Sequence[int] | None = None,
    any_will_do: bool = False,
    loosely: bool = False,
) -> Answer:
    """Search for the least cost, from a `first` solution where one is known.

    `work` limits the search, in checks of the solver; `any_will_do` ends it at the first solution; `loosely`
    leaves the loose columns fractional, and returns no values where one of them came out so.
    """
    import highspy
    import numpy as np

    highs = _exact()
    if any_will_do:
        highs.setOptionValue("mip_max_improving_sols", 1)
    highs.passModel(_model(program, program.loose if loosely else [False] * len(program.cost)))
    if first is not None:
        columns = len(program.cost)
        highs.setSolution(columns, np.arange(columns, dtype=np.int32), np.array(first, dtype=float))
    stopped = _limit(highs, work)
    highs.run()
    info, status = highs.getInfo(), highs.getModelStatus()
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    given = np.array(highs.getSolution().col_value) if found else None
    whole = given is not None and bool(np.abs(given - np.round(given)).max(initial=0.0) < 1e-5)
    values = [round(value) for value in given] if given is not None and whole else None
    done = (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kInfeasible)
    complete = status in done and not stopped[1]
    refuted = complete and status == highspy.HighsModelStatus.kInfeasible
    return Answer(values, complete, refuted, float(info.objective_function_value), float(info.mip_dual_bound))


def refuted(program: Program) -> bool:
    """Return whether not even fractions meet the rows, as far as a limited number of pivots tells."""
    import highspy

    highs = _exact()
    highs.setOptionValue("simplex_iteration_limit", _PIVOTS)
    highs.passModel(_model(program, [True] * len(program.cost)))
    highs.run()
    return bool(highs.getModelStatus() == highspy.HighsModelStatus.kInfeasible)


def _exact() -> highspy.Highs:
    from planbook.solving.quiet import quiet_solver

    highs = quiet_solver()
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", 1e-6)
    return highs


def _model(program: Program, loose: Sequence[bool]) -> Any:
    import highspy
    import numpy as np

    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(program.cost), len(program.row_lower)
    model.col_cost_ = np.array(program.cost, dtype=float)
    model.col_lower_, model.col_upper_ = np.array(program.lower, dtype=float), np.array(program.upper, dtype=float)
    model.row_lower_ = np.array(program.row_lower, dtype=float)
    model.row_upper_ = np.array(program.row_upper, dtype=float)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.array(program.starts, dtype=np.int32)
    model.a_matrix_.index_ = np.array(program.index, dtype=np.int32)
    model.a_matrix_.value_ = np.array(program.value, dtype=float)
    if not all(loose):
        kinds = highspy.HighsVarType
        model.integrality_ = [kinds.kContinuous if free else kinds.kInteger for free in loose]
    return model


def _limit(highs: highspy.Highs, checks: int) -> list[int]:
    """Interrupt search and pivots after so many checks; returns [checks, interrupted]."""
    import highspy

    from planbook.solving.quiet import stop_after

    seen = stop_after(highs, checks)
    for kind in (
        highspy.cb.HighsCallbackType.kCallbackMipInterrupt,
        highspy.cb.HighsCallbackType.kCallbackSimplexInterrupt,
    ):
        highs.startCallback(kind)
    return seen
