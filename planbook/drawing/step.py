"""The picture of a step: what kind of work it is decides what is shown."""

from __future__ import annotations

from planbook.drawing.bench import cutting_picture, edging_picture, work_on
from planbook.drawing.joining import joining_picture
from planbook.drawing.picture import Picture
from planbook.plan.model import Plan
from planbook.shape import states


def step_picture(plan: Plan, number: int, *, width: float = 180.0, height: float = 112.0) -> Picture | None:
    """Return the picture of the step of that number, or None where there is nothing to show.

    Raises StopIteration for an unknown number.
    """
    step = next(step for step in plan.steps if step.number == number)
    if states.new_in(plan, number):
        return joining_picture(plan, step, width=width, height=height)
    if any(any(work_on(part, step)) for part in plan.parts):
        return cutting_picture(plan, step, width=width, height=height)
    claimed = {*step.joins, *step.trims}
    if any(edging.name in claimed for part in plan.parts for edging in part.edgings):
        return edging_picture(plan, step, width=width, height=height)
    return None
