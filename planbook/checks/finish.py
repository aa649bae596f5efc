"""Glue and finish: glue that dries before the joint is closed, coats that do not hold on one another."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from planbook.checks.outcome import Outcome
from planbook.checks.spaces import gap, standing
from planbook.checks.subject import Subject
from planbook.plan.model import Finish, Joint, Step
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.trade.lookup import TradeError
from planbook.units.amounts import write_minutes

if TYPE_CHECKING:
    from planbook.source.diagnostics import Span as Place
    from planbook.trade.products import Product
    from planbook.trade.sourced import Span

SPREAD_MIN = {"beginner": Fraction(2)}
"""Minutes to spread and close one meeting of two parts (common practice, no source)."""
SPREAD_OTHERS_MIN = Fraction(3, 2)
SPREAD_RULE = "common practice, no source: 2 minutes for each meeting of two parts by a beginner, 1 1/2 by others"
MEETS_MM = 3


def glue_skins(subject: Subject) -> Iterator[Outcome]:
    """Reckon how long each glue-up takes until it is closed, against the open time of the glue."""
    for step in subject.plan.steps:
        glued = [joint for joint in subject.plan.joints if joint.joined_in == step.number and is_glued(joint)]
        if not glued:
            continue
        found = _glue_of(subject, glued)
        if isinstance(found, str):
            yield Outcome(of=f"step {step.number}", missing=found)
            continue
        name, most, source = found
        meets = sum(meetings(subject, joint) for joint in glued)
        minutes = meets * SPREAD_MIN.get(subject.plan.level, SPREAD_OTHERS_MIN)
        figure = f"{meets} meetings of parts to spread and close, about {write_minutes(minutes)}"
        problem = None
        if minutes > most:
            problem = Diagnostic(
                "glue-skins",
                Severity.WARN,
                f"step {step.number} has {figure}, {name} stays open for {write_minutes(most)}",
                subject.claimed(step.number, (joint.name for joint in glued), "joins"),
                help="close it in two steps, or use a glue with a longer open time",
                rule=SPREAD_RULE,
            )
        yield Outcome(
            of=f"step {step.number}",
            figure=figure,
            limit=f"{write_minutes(most)}, open time of {name}",
            rule=f"{SPREAD_RULE}; {source}",
            problem=problem,
        )


def is_glued(joint: Joint) -> bool:
    """Whether glue holds a joint."""
    return any("glue" in text.casefold() or "epoxy" in text.casefold() for text in joint.by)


def _glue_of(subject: Subject, joints: list[Joint]) -> tuple[str, Fraction, str] | str:
    """Return the glue's name, its open time in minutes and the source, or why they are not known."""
    product = glue_product(subject, joints, "open")
    if product is None:
        return "the plan names no glue whose open time is known"
    figure = product.strictest("open")
    return product.name, figure.value, figure.citation


def glue_of(subject: Subject, joints: list[Joint], word: str) -> tuple[str, Span] | str:
    """Return the name of the glue of some joints and its usual range of a time, minutes, or why it is not known."""
    product = glue_product(subject, joints, word)
    return (
        (product.name, product.span(word))
        if product is not None
        else f"the plan names no glue whose {word} time is known"
    )


def glue_product(subject: Subject, joints: list[Joint], word: str) -> Product | None:
    """Return the glue that joints name, or that the plan buys, whose time of that word is known."""
    from planbook.trade.products import find_product

    named = [text for joint in joints for text in joint.by if is_glued(joint) and text.casefold() != "glue"]
    named += [row.key for row in subject.plan.materials if row.group == "glue"]
    own = subject.rows().products.get("glue", {})
    for name in named:
        try:
            product = find_product("glue", name, own)
            product.span(word)
        except TradeError:
            continue
        return product
    return None


def meetings(subject: Subject, joint: Joint) -> int:
    """Return how often a part of one side of a joint meets one of the other."""
    everything = standing(subject.plan)
    ones = [one for one in everything if one.part.key in joint.receiving]
    others = [one for one in everything if one.part.key in joint.entering]
    met = sum(gap(one.around, other.around) <= MEETS_MM for one in ones for other in others)
    return met or len(joint.entering)


def unknown_finish(subject: Subject) -> Iterator[Diagnostic]:
    """Find finishes that no table has: their times, cover and what they hold on is not known."""
    from planbook.trade.products import find_product

    own = subject.rows().products.get("finish", {})
    poured = {pour.product for pour in subject.plan.pours}
    for finish in subject.plan.finish:
        if finish.product in poured:
            continue
        try:
            find_product("finish", finish.product, own)
        except TradeError as fault:
            help = fault.help or "describe it under `products` in `shop.yaml`"
            yield Diagnostic(fault.slug, Severity.NOTE, fault.message, _product_span(subject), help=help)


def finish_clash(subject: Subject) -> Iterator[Outcome]:
    """Look up whether each coat holds on the one below it, and resin and glue on what was finished before."""
    for finish in subject.plan.finish:
        layers = [*_over(subject), finish.product]
        for under, over in pairwise(layers):
            yield _pair(over, under, f"{over} over {under}", _product_span(subject))
        if len(layers) == 1:
            yield Outcome(of=finish.product, figure="the only product", limit="no pair of the table that clashes")
        yield from _glued_after(subject, finish)


def _pair(over: str, under: str, what: str, span: Place | None) -> Outcome:
    from planbook.trade.incompatible import clash

    try:
        found = clash(over, under)
    except TradeError as fault:
        return Outcome(of=what, missing=fault.message)
    limit = "no pair of the table that clashes"
    if found is None:
        return Outcome(of=what, figure="the table knows of nothing against it", limit=limit)
    problem = Diagnostic(
        "finish-clash",
        Severity.NOTE if found.until_dry else Severity.WARN,
        f"{what}: {found.why}",
        span,
        help=found.mend,
        rule=found.basis.citation,
    )
    return Outcome(of=what, figure=found.why, limit=limit, rule=found.basis.citation, problem=problem)


def _glued_after(subject: Subject, finish: Finish) -> Iterator[Outcome]:
    """Give the joints that are glued after their parts were finished, and are not kept bare."""
    early = [step for step in subject.plan.steps if set(step.finishes) & set(finish.before_assembly)]
    for joint in subject.plan.joints:
        if not is_glued(joint) or joint.joined_in is None:
            continue
        step = next((step for step in early if step.number < (joint.joined_in or 0) and _handled(step, joint)), None)
        if step is None:
            continue
        if joint.name in finish.mask:
            told = f"kept bare in step {step.number}"
            yield Outcome(of=joint.name, figure=told, limit="glue meets bare wood", rule=_bare_rule())
            continue
        yield _pair("glue", finish.product, f"glue of `{joint.name}` on {finish.product} of step {step.number}",
            _mask_span(subject),
        )  # fmt: skip


def _handled(step: Step, joint: Joint) -> bool:
    return bool(set(step.handles) & {*joint.receiving, *joint.entering})


def _bare_rule() -> str:
    return "common practice, no source: glue does not bond to finished wood"


def _over(subject: Subject) -> tuple[str, ...]:
    if subject.written is None or subject.written.facts.finish is None:
        return ()
    return tuple(" ".join(text.split()) for text in subject.written.facts.finish.over)


def _product_span(subject: Subject) -> Place | None:
    source = subject.written.facts.finish if subject.written is not None else None
    return source.product.span if source is not None else None


def _mask_span(subject: Subject) -> Place | None:
    source = subject.written.facts.finish if subject.written is not None else None
    if source is None:
        return None
    return source.mask[0].span if source.mask else source.product.span
