"""A thin layer over HiGHS: linear programs that grow by columns, and integer programs stopped by work.

One thread, a fixed seed and limits in nodes and in the solver's own checks, never in seconds: the same
program gives the same answer on every machine of a kind.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import highspy
import numpy as np

from planbook.solving.quiet import quiet_solver, stop_after

INFINITE = float("inf")
_WORK_PER_CHECK = 4_000
"""Non-zeros that one check of the solver stands for at least; large programs take longer from check to check."""


@dataclass(frozen=True, slots=True)
class Relaxed:
    """Optimum of a linear program."""

    value: float
    duals: list[float]
    """One a row."""
    columns: list[float]


@dataclass(frozen=True, slots=True)
class Integral:
    """What an integer program gave."""

    value: float
    columns: list[int]
    complete: bool
    """Whether the search ran to its end: then nothing better exists in this program."""
    nodes: int


class Program:
    """Minimise; rows first, then columns, non-negative."""

    def __init__(self) -> None:
        self._highs = quiet_solver()
        self.columns = 0
        self._entries = 0

    def row(self, lower: float, upper: float = INFINITE) -> int:
        """Add a row and return its number."""
        self._highs.addRow(lower, upper, 0, np.empty(0, dtype=np.int32), np.empty(0))
        return int(self._highs.getNumRow()) - 1

    def column(self, cost: float, entries: Sequence[tuple[int, float]], upper: float = INFINITE) -> int:
        """Add a column with its entries (row, coefficient) and return its number."""
        rows = np.array([row for row, _ in entries], dtype=np.int32)
        coefficients = np.array([float(value) for _, value in entries])
        if self._highs.addCol(cost, 0.0, upper, len(entries), rows, coefficients) == highspy.HighsStatus.kError:
            raise ValueError(f"column with entries {entries} was refused")
        self.columns += 1
        self._entries += len(entries)
        return self.columns - 1

    def extend(self, column: int, entries: Sequence[tuple[int, float]]) -> None:
        """Let a column take part in further rows."""
        for row, value in entries:
            self._highs.changeCoeff(row, column, value)
        self._entries += len(entries)

    def bounds(self, column: int, lower: float, upper: float) -> None:
        """Change the limits of a column."""
        self._highs.changeColBounds(column, lower, upper)

    def relax(self) -> Relaxed | None:
        """Solve without asking for whole numbers; None where no solution exists."""
        self._highs.run()
        if self._highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        solution = self._highs.getSolution()
        value = float(self._highs.getInfo().objective_function_value)
        return Relaxed(value, list(solution.row_dual), list(solution.col_value))

    def integral(
        self,
        *,
        nodes: int,
        checks: int,
        target: float | None = None,
        below: float | None = None,
        free: Sequence[int] = (),
    ) -> Integral | None:
        """Solve in whole numbers, but for the columns `free`.

        The search ends at a solution not over `target`; only solutions up to `below` count. None: nothing
        was found. `nodes` and `checks` limit the work.
        """
        highs = quiet_solver()
        highs.passModel(self._highs.getLp())
        loose = set(free)
        for column in range(self.columns):
            if column not in loose:
                highs.changeColIntegrality(column, highspy.HighsVarType.kInteger)
        highs.setOptionValue("mip_max_nodes", nodes)
        highs.setOptionValue("mip_rel_gap", 0.0)
        highs.setOptionValue("mip_abs_gap", 1e-6)
        if target is not None:
            highs.setOptionValue("objective_target", target + 1e-6)
        if below is not None:
            costs = np.array(highs.getLp().col_cost_)
            used = np.flatnonzero(costs).astype(np.int32)
            highs.addRow(-INFINITE, below, len(used), used, costs[used])
        limited = stop_after(highs, max(20, checks * _WORK_PER_CHECK // max(_WORK_PER_CHECK, self._entries)))
        highs.startCallback(highspy.cb.HighsCallbackType.kCallbackMipInterrupt)
        highs.run()
        return self._read(highs, limited)

    def _read(self, highs: highspy.Highs, limited: list[int]) -> Integral | None:
        info = highs.getInfo()
        status = highs.getModelStatus()
        done = status in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kInfeasible)
        found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        self.complete = done and not limited[1]
        self.nodes = max(0, int(info.mip_node_count))
        if not found:
            return None
        values = [round(value) for value in highs.getSolution().col_value]
        if len(values) != self.columns:
            return None
        return Integral(float(info.objective_function_value), values, self.complete, self.nodes)

    complete = False
    """Whether the last integer search ran to its end, also where it found nothing."""
    nodes = 0
