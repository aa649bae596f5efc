"""What keeps a plan's parts from being cut, found without looking for layouts."""

from __future__ import annotations

from collections.abc import Iterator

from planbook.cutting.lots import Task, refuse_too_large, tasks_of
from planbook.cutting.practice import Practice
from planbook.cutting.problem import CuttingError, check_sheets, check_sticks
from planbook.plan.model import Plan
from planbook.source.diagnostics import Diagnostic, Severity


def cutting_faults(plan: Plan, practice: Practice) -> Iterator[Diagnostic]:
    """Give a warning for each stock from which the plan's parts cannot be cut: it gets no layout."""
    for task in tasks_of(plan, practice):
        try:
            refuse_too_large(task)
            if task.sticks:
                check_sticks(task.pieces, task.sticks, task.saw)
            elif not task.boards:
                check_sheets(task.pieces, [task.sheet], task.saw)
        except CuttingError as fault:
            yield diagnostic_of(fault, plan, task)
    if any(stock.survey is not None for stock in plan.stock):
        from planbook.cutting.slab_plan import pin_faults, slab_tasks

        for slab in slab_tasks(plan, practice):
            yield from pin_faults(slab)


def diagnostic_of(fault: CuttingError, plan: Plan, task: Task) -> Diagnostic:
    """Return a fault of a task as a warning, at the part it names or at the stock."""
    named = next((part for part in plan.parts if f"`{part.key}`" in fault.message), None)
    span = named.span if named is not None else task.stock.span
    return Diagnostic(fault.slug, Severity.WARN, fault.message, span, help=fault.help or None)
