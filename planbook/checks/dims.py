"""Dims that may be changed: the plan must hold at both ends of each range."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from planbook.checks.fit import parts_overlap
from planbook.checks.sizes import part_too_large, stock_too_thin
from planbook.checks.subject import EXACT, Again, Check, Subject
from planbook.plan.model import Dim
from planbook.source.diagnostics import Diagnostic, Findings, Severity
from planbook.units.write import decimal

SIZE_CHECKS: tuple[Check, ...] = (part_too_large, stock_too_thin, parts_overlap)
"""Checks that can stop a plan and whose result depends on its sizes."""


def range_breaks(subject: Subject) -> Iterator[Diagnostic]:
    """Find ends of ranges at which the plan can no longer be worked out, or no longer fits."""
    if subject.again is None:
        return
    known: set[str] | None = None
    for dim in subject.plan.dims:
        for end in dim.may or ():
            first = _first_stop(subject, subject.again, {dim.name: end})
            if first is None:
                continue
            if known is None:
                known = {item.slug for item in _stops(subject)}
            if first.slug in known:
                # A fault that the plan has anyway is told by its own check.
                continue
            yield Diagnostic(
                "range-breaks",
                Severity.WARN,
                f"`{dim.name}` may be {_shown(subject, dim, end)}, but then {first.message}",
                dim.span,
                further=((first.span, "this fails then"),) if first.span is not None else (),
                help=f"narrow `may` of `{dim.name}`",
                rule=EXACT,
            )


def option_breaks(subject: Subject) -> Iterator[Diagnostic]:
    """Find options with which the plan can be worked out one way round only."""
    from planbook.plan.resolve import resolve

    if subject.written is None or subject.shop is None:
        return
    for name, other in subject.written.other_ways:
        findings = Findings()
        plan = resolve(other, subject.shop, subject.plan.edition, findings)
        stops = [item for item in findings if item.severity is Severity.STOP]
        if plan is not None and not stops:
            stops = _stops(Subject(plan, other))
        for first in stops[:1]:
            there = other.facts.options[name].is_ == "no"
            yield Diagnostic(
                "option-breaks",
                Severity.WARN,
                f"{'with' if there else 'without'} `{name}`, {first.message}",
                name.span,
                further=((first.span, "this fails then"),) if first.span is not None else (),
                help=f"name in `{name}` all parts, joints and steps that come and go with it",
                rule=EXACT,
            )


def _first_stop(subject: Subject, again: Again, dims: Mapping[str, Fraction]) -> Diagnostic | None:
    """Return the first fault that stops the plan with other dims, or None."""
    plan, found = again(dims)
    stops = [item for item in found if item.severity is Severity.STOP]
    if plan is not None and not stops:
        stops = _stops(Subject(plan, subject.written))
    return stops[0] if stops else None


def _stops(subject: Subject) -> list[Diagnostic]:
    return [item for check in SIZE_CHECKS for item in check(subject) if item.severity is Severity.STOP]


def _shown(subject: Subject, dim: Dim, value: Fraction) -> str:
    return f"{decimal(value, 2, minus='-')} deg" if dim.angle else subject.shown(value)
