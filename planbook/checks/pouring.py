"""Resin: a pour deeper than the product allows, a mix without a ratio, a void that runs out, resin on finished wood."""

from __future__ import annotations

from collections.abc import Iterator

from planbook.checks.outcome import Outcome, judged
from planbook.checks.subject import EXACT, PRACTICE, Subject
from planbook.plan.pours import Mixing
from planbook.source.diagnostics import Diagnostic, Severity, Span
from planbook.trade.lookup import TradeError
from planbook.trade.sourced import Figure


def pour_too_deep(subject: Subject) -> Iterator[Outcome]:
    """Count the pours of each fill by the greatest depth of one: the product's own, else what is usual."""
    for pour in subject.plan.pours:
        limit = pour.limit.counts
        figure = f"{subject.shown(pour.deep)} deep, in {_pours(pour)} of {subject.shown(pour.each_deep)}"
        told = f"at most {subject.shown(limit.value)} at once"
        yield Outcome(of=pour.name, figure=figure, limit=told, rule=limit.citation, problem=_unstated(subject, pour))


def _unstated(subject: Subject, pour: Mixing) -> Diagnostic | None:
    limit = pour.limit.counts
    if not pour.limit_stated:
        return Diagnostic(
            "no-pour-limit",
            Severity.WARN,
            f"the greatest depth of a pour of `{pour.product}` is not told, so {subject.shown(limit.value)} counts, "
            "which is usual",
            pour.span,
            help="write `deepest pour` under `products` in `shop.yaml`, from the product's own sheet",
            rule=limit.citation,
        )
    usual: Figure | None = min(pour.limit.others, key=lambda figure: figure.value, default=None)
    if usual is not None and pour.each_deep > usual.value:
        return Diagnostic(
            "no-pour-limit",
            Severity.NOTE,
            f"`{pour.name}` is poured {subject.shown(pour.each_deep)} deep at once, as the sheet of `{pour.product}` "
            f"allows; usual is up to {subject.shown(usual.value)}",
            pour.span,
            help="look at the sheet again: the limit often falls with the amount that is poured",
            rule=usual.citation,
        )
    return None


def no_ratio(subject: Subject) -> Iterator[Outcome]:
    """Tell the pours whose two parts cannot be measured out, because no ratio is known."""
    for pour in subject.plan.pours:
        problem = None
        if not pour.ratio:
            problem = Diagnostic(
                "no-ratio",
                Severity.WARN,
                f"the ratio of `{pour.product}` is not told, so the handout cannot say how much of each part to take",
                pour.span,
                help="write `ratio by volume: 2 to 1` under `products` in `shop.yaml`, from the product's own sheet",
                rule=EXACT,
            )
        figure = f"A to B {pour.ratio}" if pour.ratio else "no ratio"
        yield Outcome(of=pour.name, figure=figure, limit="the ratio of the sheet", rule=pour.source, problem=problem)


def no_dam(subject: Subject) -> Iterator[Outcome]:
    """Find voids that go right through and are not dammed."""
    for pour in subject.plan.pours:
        figure = f"dammed at the {pour.dam}" if pour.dam else "right through" if pour.through else "closed below"
        limit = "dammed where it goes right through"
        yield judged(
            "no-dam",
            pour.name,
            figure=figure,
            limit=limit,
            rule=PRACTICE,
            wrong=f"`{pour.name}` goes right through `{pour.part}`, and nothing closes it below"
            if pour.through and not pour.dam
            else "",
            span=_key(subject, pour),
            help="add `dam: underside`, and tell in the step how it is closed",
        )


def _pours(pour: Mixing) -> str:
    return f"{pour.pours} pour" + ("s" if pour.pours > 1 else "")


def _key(subject: Subject, pour: Mixing) -> Span:
    if subject.written is None:
        return pour.span
    return next((key.span for key in subject.written.facts.resin if str(key) == pour.name), pour.span)


def resin_on_finish(subject: Subject) -> Iterator[Outcome]:
    """Look up whether resin is poured into wood that was finished before, by the table of pairs that clash."""
    from planbook.trade.incompatible import clash

    for pour in subject.plan.pours:
        step = next((step for step in subject.plan.steps if pour.name in step.joins), None)
        if step is None or not subject.plan.finish:
            continue
        early = [
            other
            for other in subject.plan.steps
            if other.finishes and other.number < step.number and (pour.part in other.handles or not other.handles)
        ]
        if not early:
            yield Outcome(of=pour.name, figure="poured before any finish", limit="bare or sealed wood", rule=PRACTICE)
            continue
        for finish in subject.plan.finish:
            try:
                found = clash("resin", finish.product)
            except TradeError as fault:
                yield Outcome(of=pour.name, missing=fault.message)
                continue
            figure = (
                f"poured in step {step.number}, `{pour.part}` has {finish.product} on it from step {early[0].number}"
            )
            problem = None
            if found is not None:
                problem = Diagnostic(
                    "resin-on-finish",
                    Severity.WARN,
                    f"`{pour.name}` is {figure}: {found.why}",
                    step.span,
                    help=found.mend,
                    rule=found.basis.citation,
                )
            yield Outcome(of=pour.name, figure=figure, limit="bare or sealed wood", rule=PRACTICE, problem=problem)
