"""What was checked on a plan: every check of the table with figures, limits, sources and how it ended.

A check that passes says what was computed. It never says that something is safe.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from planbook.checks.about import LOOKS, NOTHING
from planbook.checks.outcome import Outcome
from planbook.checks.subject import EXACT, Subject
from planbook.checks.table import CHECKS, FIGURES
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.source.rules.entries import entries


class Ended(StrEnum):
    """How a check ended on one thing, gravest first."""

    STOPS = "stops"
    DOUBTFUL = "doubtful"
    NOTED = "noted"
    ACCEPTED = "accepted"
    NOT_COMPUTED = "not computed"
    WITHIN = "within the limit"
    NOTHING = "nothing of the kind"


_GRAVITY = tuple(Ended)
_ENDED = {Severity.STOP: Ended.STOPS, Severity.WARN: Ended.DOUBTFUL, Severity.NOTE: Ended.NOTED}


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """One thing that a check looked at."""

    of: str
    figure: str
    limit: str
    source: str
    ended: Ended


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """One check."""

    slug: str
    finds: str
    """What it looks for, as a sentence about what is wrong."""
    looked: tuple[Looked, ...]
    ended: Ended
    """The gravest of what was looked at."""
    reason: str = ""
    """Why the author accepts it."""
    figured: bool = False
    """Whether it gives figures, not only how many things it looked at."""


def report(subject: Subject) -> tuple[Checked, ...]:
    """Return every check of the table, in its order, as it ended on a plan."""
    figured = dict(FIGURES)
    accepted = dict(subject.plan.accepted)
    known = entries()
    found = []
    for slug, check in CHECKS:
        reason = accepted.get(slug, "")
        if slug in figured:
            looked = [_looked(outcome, reason) for outcome in figured[slug](subject)]
        else:
            looked = _counted(subject, slug, list(check(subject)), reason, known[slug].source)
        if not looked:
            looked = [_nothing(slug, known[slug].source)]
        ended = min((item.ended for item in looked), key=_GRAVITY.index)
        found.append(
            Checked(
                slug=slug,
                finds=known[slug].finds,
                looked=tuple(looked),
                ended=ended,
                figured=slug in figured,
                reason=reason if any(item.ended is Ended.ACCEPTED for item in looked) else "",
            )
        )
    return tuple(found)


def _looked(outcome: Outcome, reason: str) -> Looked:
    if outcome.missing:
        return Looked(of=outcome.of, figure=outcome.missing, limit="", source="", ended=Ended.NOT_COMPUTED)
    ended = _ended(outcome.problem, reason) if outcome.problem is not None else Ended.WITHIN
    return Looked(of=outcome.of, figure=outcome.figure, limit=outcome.limit, source=outcome.rule, ended=ended)


def _ended(problem: Diagnostic, reason: str) -> Ended:
    if reason and problem.severity is not Severity.STOP:
        return Ended.ACCEPTED
    return _ENDED[problem.severity]


def _counted(subject: Subject, slug: str, problems: list[Diagnostic], reason: str, source: str) -> list[Looked]:
    """Return what a check without figures looked at: what it found, else how many things there were."""
    count, said = LOOKS[slug]
    limit = said if isinstance(said, str) else said(subject)
    if problems:
        return [
            Looked(of="", figure=item.message, limit=limit, source=item.rule or source, ended=_ended(item, reason))
            for item in problems
        ]
    figure = count(subject)
    ended = Ended.NOTHING if figure.startswith("0 ") else Ended.WITHIN
    figure = f"{figure} looked at"
    return [Looked(of="", figure=figure, limit=limit, source=source or EXACT, ended=ended)]


def _nothing(slug: str, source: str) -> Looked:
    why = NOTHING.get(slug, "nothing of the kind in this plan")
    return Looked(of="", figure=why, limit="", source=source, ended=Ended.NOTHING)
