"""Coats and clamps in time: sanding after the last coat, the next coat too soon, clamps off too soon."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from planbook.checks.finish import glue_of, is_glued
from planbook.checks.outcome import Outcome, judged
from planbook.checks.safety import known_tool
from planbook.checks.subject import PRACTICE, Subject
from planbook.checks.words_of_steps import said
from planbook.plan.model import Step
from planbook.source.diagnostics import Severity
from planbook.trade.lookup import TradeError
from planbook.trade.products import find_product
from planbook.units.amounts import write_minutes

SURFACING = (
    "random-orbit sander",
    "belt sander",
    "drum sander",
    "thickness planer",
    "jointer",
    "hand plane",
    "scraper",
)
"""What takes the whole face off, and a coat with it."""
_NEXT_COAT = re.compile(r"\b(?:second|third|next|another|last) coats?\b|\b(?:two|three|all) coats\b")


def finish_before_sanding(subject: Subject) -> Iterator[Outcome]:
    """Find parts that are sanded, scraped or planed after their last coat."""
    coats = [step for step in subject.plan.steps if step.finishes]
    if not coats:
        return
    worked: dict[str, tuple[Step, str]] = {}
    for step in subject.plan.steps:
        tool = next(
            (tool.name for use in step.tools if (tool := known_tool(subject, use)) and tool.name in SURFACING), None
        )
        for key in step.handles if tool is not None else ():
            worked[key] = (step, tool or "")
    for key, (step, tool) in worked.items():
        own = [coat.number for coat in coats if key in coat.handles]
        if not own or any(key in other.handles for other in coats if other.number == step.number):
            continue
        last = max(own)
        yield judged(
            "finish-before-sanding",
            key,
            figure=f"{tool} in step {step.number}, last coat in step {last}",
            limit="the last coat comes after",
            rule=PRACTICE,
            wrong=f"`{key}` meets the {tool} in step {step.number}, after its last coat in step {last}"
            if step.number > last
            else "",
            span=subject.claimed(last, (key,), "finishes", "works"),
            help="finish it in a step after the last sanding, or touch the coat up there",
            # A hand plane may only fit an edge or level a plug.
            severity=Severity.NOTE if tool == "hand plane" else Severity.WARN,
        )


def recoat_too_early(subject: Subject) -> Iterator[Outcome]:
    """Compare the wait after each coat with the time to the next one of the same product."""
    if not subject.plan.finish:
        return
    finish = subject.plan.finish[0]
    coats = [step for step in subject.plan.steps if step.finishes]
    try:
        product = find_product("finish", finish.product, subject.rows().products.get("finish", {}))
        recoat = product.span("recoat")
    except TradeError as fault:
        yield Outcome(of=finish.product, missing=fault.message)
        return
    for index, step in enumerate(coats):
        several = _NEXT_COAT.search(said(step)) is not None or "coat" in step.time.each_of
        again = finish.coats > 1 and several
        follows = index + 1 < len(coats) and bool(set(step.handles) & set(coats[index + 1].handles))
        if not again and not follows:
            continue
        waits = _until(subject, step, coats[index + 1].number if follows and not again else step.number + 1)
        least = write_minutes(recoat.low)
        yield judged(
            "recoat-too-early",
            f"step {step.number}",
            figure=f"{write_minutes(waits)} to the next coat",
            limit=f"at least {least}, {product.name}",
            rule=recoat.citation,
            wrong=f"step {step.number} leaves {write_minutes(waits)} to the next coat of `{finish.product}`, "
            f"{least} is the least that is usual"
            if waits < recoat.low
            else "",
            span=step.span,
            help=f"write `wait: {least} for finish` in its `time`; the product's own sheet comes first",
        )


def _until(subject: Subject, step: Step, number: int) -> Fraction:
    """Return the minutes from the end of a step's own work to the beginning of another step."""
    between = [other for other in subject.plan.steps if step.number < other.number < number]
    return step.time.wait + sum((other.time.hands_on + other.time.wait for other in between), Fraction(0))


def _glues_up(subject: Subject, step: Step) -> bool:
    """Whether a step glues strips on, or boards up to a wide part."""
    strips = {edging.name for part in subject.plan.parts for edging in part.edgings}
    wide = {part.key for part in subject.plan.parts if "glued up" in part.note}
    return bool(strips & set(step.joins) or wide & set(step.makes))


def unclamped_too_soon(subject: Subject) -> Iterator[Outcome]:
    """Compare how long clamps stay on in each step with the clamp time of the glue."""
    for step in subject.plan.steps:
        joints = [joint for joint in subject.plan.joints if joint.joined_in == step.number and is_glued(joint)]
        held = [name for name, _ in step.holds if "clamp" in name.casefold()]
        if not held or not (joints or _glues_up(subject, step)):
            continue
        found = glue_of(subject, joints, "clamp")
        if isinstance(found, str):
            yield Outcome(of=f"step {step.number}", missing=found)
            continue
        product, span = found
        least = write_minutes(span.low)
        yield judged(
            "unclamped-too-soon",
            f"step {step.number}",
            figure=f"{held[0]} for {write_minutes(step.time.wait)}",
            limit=f"at least {least}, {product}",
            rule=span.citation,
            wrong=f"step {step.number} holds its {held[0]} for {write_minutes(step.time.wait)}, {product} wants {least}"
            if step.time.wait < span.low
            else "",
            span=step.span,
            help=f"write `wait: {write_minutes(span.high)} for glue` in its `time`; the product's sheet comes first",
        )
