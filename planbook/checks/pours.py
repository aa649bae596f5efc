"""What a step says about its pour of resin: how warm it must be, how many pours, whether the void is sealed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from planbook.checks.outcome import Outcome, judged
from planbook.checks.subject import Subject
from planbook.checks.words_of_steps import said
from planbook.plan.model import Step
from planbook.plan.pours import Mixing
from planbook.source.diagnostics import Severity
from planbook.trade.lookup import TradeError
from planbook.units.amounts import write_temperature

_POURS = re.compile(r"\b(?:two|three|four|several|\d+) (?:pours|layers)\b|\b(?:second|next|another) (?:pour|layer)\b")
_WARMTH = re.compile(r"(\d+(?:\.\d+)?)\s*°\s*([CF])", re.IGNORECASE)
SEAL_RULE = "common practice, no source: bare wood is sealed with a thin coat first, or bubbles rise out of it"


def pours_unsaid(subject: Subject) -> Iterator[Outcome]:
    """Find fills that need more than one pour, in a step that does not speak of several."""
    for pour, step in _poured(subject):
        spoken = _POURS.search(said(step)) is not None
        told = f"{pour.pours} pour{'s' if pour.pours > 1 else ''} of {subject.shown(pour.each_deep)}"
        yield judged(
            "pours-unsaid",
            pour.name,
            figure=told + (", as the step says" if pour.pours > 1 and spoken else ""),
            limit="the step says how many",
            rule=pour.limit.counts.citation,
            wrong=f"`{pour.name}` takes {told}, and step {step.number} does not speak of {pour.pours} pours"
            if pour.pours > 1 and not spoken
            else "",
            span=step.span,
            help=f"say in the step: `Pour it in {pour.pours} layers`, and when the next one may follow",
        )


def pour_too_cold(subject: Subject) -> Iterator[Outcome]:
    """Read how warm it is when resin is poured, against the lowest temperature of the product."""
    from planbook.trade.products import find_product

    own = subject.rows().products.get("resin", {})
    for pour, step in _poured(subject):
        try:
            least = find_product("resin", pour.product, own).strictest("least_c")
        except TradeError as fault:
            yield Outcome(of=f"step {step.number}", missing=fault.message)
            continue
        lowest = min((_celsius(match[1], match[2]) for match in _WARMTH.finditer(said(step))), default=None)
        limit = write_temperature(least.value, subject.plan.edition)
        told = write_temperature(lowest, subject.plan.edition) if lowest is not None else "no temperature"
        wrong = ""
        if lowest is None:
            wrong = f"step {step.number} pours `{pour.product}` and does not say how warm, {limit} is the least"
        elif lowest < least.value - Fraction(1, 2):
            wrong = f"step {step.number} pours `{pour.product}` at {told}, {limit} is the least"
        yield judged(
            "pour-too-cold",
            f"step {step.number}",
            figure=f"says {told}",
            limit=f"at least {limit}",
            rule=least.citation,
            wrong=wrong,
            span=step.span,
            help=f"say it in the step, as `Slab and room at {{{limit}}} or more`",
            severity=Severity.NOTE if lowest is None else Severity.WARN,
        )


def void_unsealed(subject: Subject) -> Iterator[Outcome]:
    """Look whether the wood round each fill is sealed before it is poured."""
    if subject.written is None:
        return
    for pour, step in _poured(subject):
        source = next((words for key, words in subject.written.facts.resin.items() if str(key) == pour.name), None)
        if source is None:
            continue
        sealed = str(source.seal or "")
        spoken = "seal" in said(step)
        yield judged(
            "void-unsealed",
            pour.name,
            figure=f"sealed {sealed}" if sealed else "sealed, as the step says" if spoken else "not sealed",
            limit="sealed before it is filled",
            rule=SEAL_RULE,
            wrong=f"nothing says that the wood round `{pour.name}` is sealed before it is filled"
            if not (sealed or spoken)
            else "",
            span=source.into.span,
            help="write `seal: twice`",
            severity=Severity.NOTE,
        )


def _poured(subject: Subject) -> Iterator[tuple[Mixing, Step]]:
    for pour in subject.plan.pours:
        step = next((step for step in subject.plan.steps if pour.name in step.joins), None)
        if step is not None:
            yield pour, step


def _celsius(number: str, unit: str) -> Fraction:
    value = Fraction(number)
    return value if unit.upper() == "C" else (value - 32) * Fraction(5, 9)
