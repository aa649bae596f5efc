"""Times of the steps. The totals are properties of the plan: `hands_on` and `waiting`."""

from __future__ import annotations

from collections.abc import Iterator

from planbook.checks.subject import EXACT, Subject
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.units.write import decimal


def no_time(subject: Subject) -> Iterator[Diagnostic]:
    """Find steps without any hands-on minutes: they would cost a class no time."""
    for step in subject.plan.steps:
        if step.time.hands_on > 0:
            continue
        yield Diagnostic(
            "no-time",
            Severity.WARN,
            f"step {step.number}, `{step.title}`, takes {decimal(step.time.hands_on, 0)} min at the bench",
            step.span,
            help="write in the step's facts for example `time: {set up: 10 min, each: 5 min}`",
            rule=EXACT,
        )
