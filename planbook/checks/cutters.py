"""Cuts of the router: how wide for what enters, how much at once, and how near to a thin face."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from planbook.checks.outcome import Outcome, judged
from planbook.checks.safety import known_tool
from planbook.checks.subject import EXACT, Subject, finely_shown
from planbook.checks.words_of_steps import said
from planbook.plan.model import Cut, CutKind, Edging, Part, Role, Step, StockKind
from planbook.source.diagnostics import Severity
from planbook.units.factors import INCH

GLUE_MM = INCH / 100
"""Most that a dado is wider than what enters, for glue (common practice, no source)."""
GLUE_RULE = "common practice, no source: 0 to 0.010 in (0.25 mm) for glue"
PASS_MM = {"imperial": INCH / 4, "metric": Fraction(6)}
PASS_RULE = "common practice, no source: half of the bit's width, at most 1/4 in (6 mm), in one pass"
VENEER_MM = INCH / 40
VENEER_RULE = "from memory: the face veneer of plywood is about 1/40 in (0.6 mm)"
_PASSES = re.compile(r"\bpass(?:es)?\b|\bshallow\b|\bstages\b|\b(?:two|three|four|several) (?:cuts|goes|depths)\b")
NARROWER = "a narrower one in two passes"
"""Behind a bit that is wider than usual ones: these passes are for the width."""
_SANDERS = ("belt sander", "random-orbit sander", "disc sander", "drum sander")
_TRIMMERS = ("router", "block plane", "hand plane", "scraper", "cabinet scraper", "flush-cut saw", "chisel")
CHANNELS = (CutKind.DADO, CutKind.GROOVE)


def dado_loose(subject: Subject) -> Iterator[Outcome]:
    """Compare each dado and groove with what enters it, as thick as it was measured."""
    parts = {part.key: part for part in subject.plan.parts}
    told: set[tuple[str, str]] = set()
    for host in subject.plan.parts:
        for cut in host.cuts:
            guest = parts.get(cut.for_part or "")
            if cut.kind not in CHANNELS or guest is None or (cut.name, guest.key) in told:
                continue
            told.add((cut.name, guest.key))
            yield _fit(subject, cut, guest)


def _fit(subject: Subject, cut: Cut, guest: Part) -> Outcome:
    edition = subject.plan.edition
    thick, how = _really_thick(subject, guest)
    slack = cut.wide - thick
    wrong = ""
    if slack > GLUE_MM or slack < -GLUE_MM:
        told = "wider" if slack > 0 else "narrower"
        wrong = (
            f"`{cut.name}` is {_finest(abs(slack), subject)} {told} than `{guest.key}`, which is "
            f"{_finest(thick, subject)} thick, {_finest(GLUE_MM, subject)} is the most"
        )
    joint = next((joint for joint in subject.plan.joints if joint.name == cut.name), None)
    return judged(
        "dado-loose",
        f"{cut.name} for {guest.key}",
        figure=f"{finely_shown(cut.wide, edition)} for {_finest(thick, subject)} {how}",
        limit=f"up to {_finest(GLUE_MM, subject)} wider",
        rule=GLUE_RULE,
        wrong=wrong,
        span=joint.span if joint is not None else guest.span,
        help="write a finer `resolution` of the plan, so that the cut follows the thickness",
    )


def _really_thick(subject: Subject, part: Part) -> tuple[Fraction, str]:
    """Return the thickness of a part before it was rounded, and where it comes from."""
    from planbook.units.quantity import UnitError
    from planbook.units.read import read_quantity

    stock = next((stock for stock in subject.plan.stock if stock.name == part.stock), None)
    if stock is None or subject.written is None or part.thick != stock.thickness:
        return part.thick, "as planed"
    source = next((facts for key, facts in subject.written.facts.stock.items() if str(key) == stock.name), None)
    told = "as the table says: measure yours" if stock.kind is StockKind.PANEL else "as planed"
    if source is None or source.measured is None:
        return part.thick, told
    try:
        return read_quantity(_of_edition(source.measured, subject.plan.edition.name)).value, "as measured"
    except UnitError:
        return part.thick, told


def _of_edition(value: object, edition: str) -> str:
    return str(getattr(value, edition, value))


def _finest(mm: Fraction, subject: Subject) -> str:
    """Return a length to a thousandth of an inch or to 0.01 mm: fits are finer than a tape."""
    from planbook.units.write import decimal

    if subject.plan.edition.unit_mm == INCH:
        return f"{decimal(mm / INCH, 3, keep=True)} in"
    return f"{decimal(mm, 2)} mm"


def too_much_at_once(subject: Subject) -> Iterator[Outcome]:
    """Reckon the passes of each cut of the router; a step with more than one says so."""
    for step in subject.plan.steps:
        if not any((tool := known_tool(subject, use)) and tool.name == "router" for use in step.tools):
            continue
        deepest = max(_routed(subject, step), key=lambda pair: pair[1], default=None)
        if deepest is None:
            continue
        cut, passes = deepest
        spoken = _PASSES.search(said(step).replace(NARROWER, "")) is not None
        once = subject.shown(cut.deep / passes)
        figure = f"`{cut.name}`, {subject.shown(cut.deep)} deep and {subject.shown(cut.wide)} wide, in {passes} pass"
        figure += "es" if passes > 1 else ""
        most = subject.shown(most_at_once(cut, subject))
        yield judged(
            "too-much-at-once",
            f"step {step.number}",
            figure=figure + (", as the step says" if passes > 1 and spoken else ""),
            limit=f"{most} at once",
            rule=PASS_RULE,
            wrong=f"step {step.number} routs {figure}, and does not speak of passes: {most} is the most at once"
            if passes > 1 and not spoken
            else "",
            span=subject.claimed(step.number, (cut.name,), "cuts"),
            help=f"say it in the step, for example `in {passes} passes of {once}`",
        )


def _routed(subject: Subject, step: Step) -> Iterator[tuple[Cut, int]]:
    for part in subject.plan.parts:
        for cut in part.cuts:
            if cut.step == step.number and cut.kind in (*CHANNELS, CutKind.RABBET, CutKind.MORTISE, CutKind.CUT_OUT):
                yield cut, ceil(cut.deep / most_at_once(cut, subject))


def most_at_once(cut: Cut, subject: Subject) -> Fraction:
    """Return the depth of one pass in mm: half of the bit's width; a rabbet is cut with the side of a wider bit."""
    most = PASS_MM[subject.plan.edition.name]
    return most if cut.kind is CutKind.RABBET else min(most, cut.wide / 2)


def through_the_veneer(subject: Subject) -> Iterator[Outcome]:
    """Compare eased edges of panels with the strips they are cut into, and how those strips are trimmed."""
    for part in subject.plan.parts:
        stock = next((stock for stock in subject.plan.stock if stock.name == part.stock), None)
        if part.role is not Role.PART or stock is None or stock.kind is not StockKind.PANEL:
            continue
        yield from _eased(subject, part)
    for step in subject.plan.steps:
        tools = [tool.name for use in step.tools if (tool := known_tool(subject, use)) is not None]
        strips = [name for name in step.trims if any(edging.name == name for edging in _all_edgings(subject))]
        if not strips or not set(tools) & {*_SANDERS, *_TRIMMERS}:
            continue
        sanded = set(tools) & set(_SANDERS) and not set(tools) & set(_TRIMMERS)
        with_ = ", ".join(tool for tool in tools if tool in (*_SANDERS, *_TRIMMERS))
        yield judged(
            "through-the-veneer",
            f"step {step.number}",
            figure=f"`{strips[0]}` is trimmed with {with_}",
            limit="cut flush, not sanded flush",
            rule=VENEER_RULE,
            wrong=f"step {step.number} trims `{strips[0]}` with the {with_} alone, and the veneer beside it is "
            f"{finely_shown(VENEER_MM, subject.plan.edition)} thick"
            if sanded
            else "",
            span=subject.claimed(step.number, strips, "trims"),
            help="trim with `flush-trim bit` in the `router`, or a `block plane`, and sand by hand last",
        )


def _all_edgings(subject: Subject) -> Iterator[Edging]:
    for part in subject.plan.parts:
        yield from part.edgings


def _eased(subject: Subject, part: Part) -> Iterator[Outcome]:
    for ease in part.eased:
        for edging in part.edgings:
            box = edging.box
            thick = min(box.w[1] - box.w[0], box.l[1] - box.l[0])
            size, edition = finely_shown(ease.size, subject.plan.edition), subject.plan.edition
            yield judged(
                "through-the-veneer",
                f"{ease.name} of {part.key}",
                figure=f"{ease.kind} of {size} on an edging of {finely_shown(thick, edition)}",
                limit=f"less than {finely_shown(thick, edition)}",
                rule=EXACT,
                wrong=f"`{ease.name}` takes {size} off `{part.key}`, whose edging `{edging.name}` is "
                f"{finely_shown(thick, edition)} thick: it cuts into the veneer"
                if ease.size >= thick
                else "",
                span=part.span,
                help=f"make it smaller, or `{edging.name}` thicker",
                severity=Severity.WARN,
            )
