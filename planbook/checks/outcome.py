"""What a check with figures found: what was looked at, the figure, the limit, and the problem if there is one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from planbook.checks.subject import Check, Subject
from planbook.source.diagnostics import Diagnostic, Severity, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One thing that a check looked at."""

    of: str
    """What was looked at, in words of the plan: `loose shelf`, `step 7`."""
    figure: str = ""
    """What was reckoned, in the edition's writing."""
    limit: str = ""
    rule: str = ""
    """Where limit and equation come from."""
    problem: Diagnostic | None = None
    missing: str = ""
    """Why nothing could be reckoned; then there is no figure."""


Reckoning = Callable[[Subject], Iterable[Outcome]]


def judged(
    slug: str,
    of: str,
    *,
    figure: str,
    limit: str,
    rule: str,
    wrong: str = "",
    span: Span | None = None,
    help: str = "",
    severity: Severity = Severity.WARN,
    further: tuple[tuple[Span, str], ...] = (),
) -> Outcome:
    """Return an outcome, with a finding where `wrong` says what is wrong."""
    problem = None
    if wrong:
        problem = Diagnostic(slug, severity, wrong, span, further=further, help=help or None, rule=rule)
    return Outcome(of=of, figure=figure, limit=limit, rule=rule, problem=problem)


def problems(reckon: Reckoning) -> Check:
    """Return the check that tells only what a reckoning found wrong."""

    def check(subject: Subject) -> Iterator[Diagnostic]:
        for outcome in reckon(subject):
            if outcome.problem is not None:
                yield outcome.problem

    return check
