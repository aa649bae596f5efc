"""Pilot holes against the wood that holds the screw: bored at all, not too thin, not wider than the root."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from planbook.checks.axes import SCREWS
from planbook.checks.outcome import Outcome
from planbook.checks.subject import EXACT, Subject, finely_shown
from planbook.plan.fastened import Fastened, Layer
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.trade.lookup import TradeError

OFF = Fraction(1, 2)
"""How much thinner than the rule's pilot a bit may be, in mm, before it is told (common practice, no source)."""


def pilot_for_wood(subject: Subject) -> Iterator[Outcome]:
    """Reckon the pilot of each screw by the density of the wood, and compare it with the hole."""
    for item in subject.plan.fastened:
        if item.kind in SCREWS and item.into is not None:
            yield _outcome(subject, item, item.into)


def _outcome(subject: Subject, item: Fastened, into: Layer) -> Outcome:
    from planbook.trade.density import gravity_ovendry
    from planbook.trade.fasteners import find_fastener
    from planbook.trade.pilot import pilot
    from planbook.trade.species import find_wood

    of = f"{item.joint}, {item.name} in {into.part}"
    if into.panel:
        return Outcome(of=of, missing="no rule gives the pilot in a panel")
    try:
        gravity = gravity_ovendry(find_wood(into.material, subject.rows().woods))
        rule = pilot(find_fastener(item.name), gravity, subject.plan.edition.name)
    except TradeError as fault:
        return Outcome(of=of, missing=fault.message)
    wanted, wood = rule.choice.wanted_mm, f"{into.material} of specific gravity {float(gravity):.2f}"
    told = f"{finely_shown(wanted, subject.plan.edition)} for {wood}"
    wrong, limit, source = "", told, rule.basis.source
    if into.diameter == 0:
        if rule.needed:
            wrong = f"has no pilot hole in `{into.part}`, {told} is asked for"
    elif item.root is not None and into.diameter > max(item.root, rule.choice.bit.diameter_mm):
        root = finely_shown(item.root, subject.plan.edition)
        wrong = (
            f"has a pilot of {_shown(subject, into.diameter)} in `{into.part}`, its root is {root} and finds no hold"
        )
        limit, source = f"thinner than its root, {root}", EXACT
    elif rule.needed and into.diameter < wanted - OFF:
        wrong = f"has a pilot of {_shown(subject, into.diameter)} in `{into.part}`, the rule is {told}"
    problem = None
    if wrong:
        span = next((joint.span for joint in subject.plan.joints if joint.name == item.joint), None)
        problem = Diagnostic(
            "pilot-for-wood",
            Severity.WARN,
            f"the {item.name} of `{item.joint}` {wrong}",
            span,
            help=f"bore {_shown(subject, rule.choice.bit.diameter_mm)}, and drive a steel screw first where the screw "
            "is brass",
            rule=source,
        )
    figure = "no pilot" if into.diameter == 0 else f"{_shown(subject, into.diameter)} bored into {into.part}"
    return Outcome(of=of, figure=figure, limit=limit, rule=source, problem=problem)


def _shown(subject: Subject, mm: Fraction) -> str:
    return finely_shown(mm, subject.plan.edition)
