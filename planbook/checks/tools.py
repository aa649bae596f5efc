"""Tools against the work: pieces too short for a machine, two settings in one step, bits that nobody sells."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from planbook.checks.outcome import Outcome, judged
from planbook.checks.safety import known_tool
from planbook.checks.subject import PRACTICE, Subject, finely_shown
from planbook.plan.model import Part, Role, Step
from planbook.source.diagnostics import Severity, Span
from planbook.trade.lookup import TradeError

CROSSCUTS = ("mitre saw", "hand saw", "track saw")
"""Where one of these is at hand too, what goes over another machine may be long still."""
BORERS = ("twist", "brad-point", "forstner")
SAME_MM = Fraction(1, 20)
"""A bit this near to a hole is the bit of that hole (our own choice)."""


def short_stock(subject: Subject) -> Iterator[Outcome]:
    """Compare the length of what is sawn or planed in a step with the shortest piece for its machines."""
    from planbook.trade.machines import least_piece

    parts = {part.key: part for part in subject.plan.parts}
    for step in subject.plan.steps:
        tools = [tool for use in step.tools if (tool := known_tool(subject, use)) is not None]
        long_still = any(tool.name in CROSSCUTS for tool in tools)
        for tool in tools:
            least = least_piece(tool, subject.plan.edition.name)
            if tool.kind != "machine" or least is None or (long_still and tool.name not in CROSSCUTS):
                continue
            made = [parts[name] for name in step.makes if name in parts and parts[name].role is not Role.TEST]
            shortest = min(made, key=lambda part: part.length.rough, default=None)
            if shortest is None:
                continue
            length, limit = subject.shown(shortest.length.rough), subject.shown(least.long_mm)
            yield judged(
                "short-stock",
                f"step {step.number}, {tool.name}",
                figure=f"shortest piece `{shortest.key}`, {length}",
                limit=f"at least {limit}",
                rule=least.basis.citation,
                wrong=(
                    f"`{shortest.key}` is {length} long and goes over the {tool.name} in step {step.number}, "
                    f"{limit} is the shortest"
                )
                if shortest.length.rough < least.long_mm
                else "",
                span=subject.claimed(step.number, (shortest.key,), "cuts"),
                help="machine it as one longer blank and cut it to length last, or saw it by hand",
            )


def two_settings(subject: Subject) -> Iterator[Outcome]:
    """Count the settings of the router and of the drill in each step: depth and width of cuts, diameters."""
    for step in subject.plan.steps:
        names = [tool.name for use in step.tools if (tool := known_tool(subject, use)) is not None]
        for machine, settings in (("router", _channels(subject, step)), ("drill", _bores(subject, step))):
            used = machine in names or (machine == "drill" and "drill press" in names)
            if not used or not settings:
                continue
            told = ", ".join(settings)
            figure = f"{len(settings)} setting{'s' if len(settings) > 1 else ''}: {told}"
            what = f"step {step.number}, {machine}"
            yield judged(
                "two-settings",
                what,
                figure=figure,
                limit="1 setting",
                rule=PRACTICE,
                wrong=f"step {step.number} sets the {machine} {len(settings)} times: {told}, the limit is 1"
                if len(settings) > 1
                else "",
                span=step.span,
                help="make a step of each setting, and cut all equal parts on one",
                severity=Severity.NOTE,
            )


def _channels(subject: Subject, step: Step) -> list[str]:
    """Return the different sizes of the cuts that a step makes."""
    found: dict[str, None] = {}
    for part in subject.plan.parts:
        for cut in part.cuts:
            if cut.step == step.number and cut.name in step.cuts:
                found[f"{subject.shown(cut.wide)} wide, {subject.shown(cut.deep)} deep"] = None
    return list(found)


def _bores(subject: Subject, step: Step) -> list[str]:
    found: dict[str, None] = {}
    for part in subject.plan.parts:
        for hole in part.holes:
            if hole.step == step.number and not hole.slot and hole.role not in ("pilot", "clearance"):
                found[f"{finely_shown(hole.diameter, subject.plan.edition)} bit"] = None
    return list(found)


def bit_not_sold(subject: Subject) -> Iterator[Outcome]:
    """Compare each hole with the bits of the edition's own series."""
    from planbook.trade.bits import nearest_bit

    told: dict[tuple[str, Fraction], None] = {}
    for part in subject.plan.parts:
        for hole in part.holes:
            key = (hole.group, hole.diameter)
            if hole.slot or key in told:
                continue
            told[key] = None
            choices = []
            for kind in BORERS:
                try:
                    choices.append(nearest_bit(hole.diameter, kind, subject.plan.edition.name))
                except TradeError:
                    continue
            if not choices:
                yield Outcome(of=hole.group, missing="it is wider than any bit of the tables")
                continue
            best = min(choices, key=lambda choice: abs(choice.error_mm))
            size = finely_shown(hole.diameter, subject.plan.edition)
            yield judged(
                "bit-not-sold",
                hole.group,
                figure=f"{size}, {best.bit.kind} bit {best.bit.label}",
                limit="a bit of the series",
                rule=best.bit.basis.citation,
                wrong=f"`{hole.group}` wants a bit of {size}, the nearest that is sold is {best.bit.label}"
                if abs(best.error_mm) > SAME_MM
                else "",
                span=_span_of(subject, hole.group, part),
                help=f"write `drill: {best.bit.label}`, or a pair of sizes for the two editions",
            )


def _span_of(subject: Subject, group: str, part: Part) -> Span:
    if subject.written is not None:
        for names in (subject.written.facts.holes, subject.written.facts.joints):
            for key in names:
                if str(key) == group:
                    return key.span
    return part.span
