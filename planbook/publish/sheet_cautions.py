"""Cautions that follow from the tools, the materials and the work of a step; the author's own come before them.

They are what is usual, from the tables of the trade. An author may add to them and cannot take them
away. Signs are named by their numbers of ISO 7010. Nothing here promises safety.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from planbook.checks.safety import tabled
from planbook.checks.words_of_steps import said
from planbook.plan.model import Plan, Step, StockKind
from planbook.publish.book_info import BookInfo
from planbook.trade.lookup import TradeError
from planbook.units.editions import IMPERIAL, Edition, nearest_step
from planbook.units.factors import INCH
from planbook.units.write import write_length

if TYPE_CHECKING:
    from planbook.trade.hazards import Caution
    from planbook.trade.machines import Tool

_WORK = {
    "saw": ("table saw", "track saw", "bandsaw", "mitre saw", "hand saw"),
    "rout": ("router",),
    "bore": ("drill", "drill press"),
    "sand": ("random-orbit sander", "belt sander"),
    "plane": ("jointer", "thickness planer", "hand-held power planer", "hand plane"),
    "turn": ("lathe",),
}
_SANDING_BY_HAND = ("sanding block", "abrasive")
_GENERAL = ("changing-cutter", "drawn-in")
"""Rules that hold at every motor-driven tool: told as signs, not in a row of their own at each step."""
_CATEGORIES = ("mandatory", "prohibition", "warning", "safe condition", "fire equipment")
_TALL_MM = 686
"""From this height a piece is told to be strapped: 27 in, as in ASTM F2057-23 for clothes storage."""
_LOW_VOLTAGE = re.compile(r"\blow[- ]voltage\b|\bled (?:strip|tape|lamp)|\bleds\b")
_GLUES = ("polyurethane glue", "structural epoxy", "urea-formaldehyde glue", "cyanoacrylate")
_LIFT_KG = 16
_MM = re.compile(r"(?:(\d+) to )?(\d+) mm\b")


def cautions_of(plan: Plan, step: Step, book: BookInfo) -> tuple[Caution, ...]:
    """Return the cautions of a step from the tables, gravest first, tools under the names of the shop."""
    from planbook.trade.hazards import cautions, material_names

    tools = _tools(step, book)
    named = material_names()
    materials = [name for name in _materials(plan, step) if name in named]
    work = _operations(plan, step, tools)
    if not (tools or materials or work):
        return ()
    found = cautions(
        tools=[tool.name for tool in tools], materials=materials, operations=work, woods=_woods(plan, step)
    )
    return tuple(replace(item, of=known.key) if (known := book.tool(item.of)) else item for item in found)


def rows(found: Iterable[Caution], edition: Edition) -> list[dict[str, Any]]:
    """Return cautions as plain data: what it comes from, what can happen, how to keep clear of it, the source."""
    return [
        {
            "signal": caution.signal,
            "slug": caution.slug,
            "of": caution.of,
            "hazards": in_units(", ".join(caution.hazards), edition),
            "avoid": [in_units(text, edition) for text in caution.avoid],
            "wear": list(caution.wear),
            "source": caution.basis.citation,
        }
        for caution in found
        if caution.slug not in _GENERAL
    ]


def in_units(text: str, edition: Edition) -> str:
    """Return a sentence of the tables with its millimetres as round sizes of the edition."""
    if edition.name == "metric":
        return text

    def inches(match: re.Match[str]) -> str:
        ends = dict.fromkeys(write_length(_round(Fraction(end)), IMPERIAL) for end in match.groups() if end)
        return " to ".join(ends)

    return _MM.sub(inches, text)


def _round(mm: Fraction) -> Fraction:
    """Return a size as a shop says it in inches: to 1/2 in, small ones to 1/16 in."""
    return nearest_step(mm, INCH / 2 if mm >= 2 * INCH else INCH / 16)


def signs(found: Iterable[Caution]) -> list[dict[str, Any]]:
    """Return the signs of cautions, and of what they ask to wear, each once: mandatory, prohibition, warning.

    `short` is what a sign asks in a word or two, `picture` the drawing of the theme that stands for it, or empty;
    `of` names what it comes from.
    """
    from planbook.trade.signs import sign, wear

    of: dict[str, list[str]] = {}
    for caution in found:
        for ref in (*caution.signs, *(wear(word).sign.ref for word in caution.wear)):
            if caution.of not in of.setdefault(ref, []):
                of[ref].append(caution.of)
    if "M006" in of:
        of.pop("M021", None)  # both say to cut a machine off; one of them is enough to read
    if "M017" in of:
        of.pop("M016", None)  # a respirator with the right filter is also a mask
    shown = sorted((sign(ref) for ref in of), key=lambda item: _CATEGORIES.index(item.category))
    return [
        {
            "ref": item.ref,
            "title": item.title,
            "category": item.category,
            "short": item.short,
            "picture": item.picture,
            "of": of[item.ref],
        }
        for item in shown
    ]


def equipment(plan: Plan, book: BookInfo) -> dict[str, list[str]]:
    """Return what materials and work ask to wear, by its word, with what each comes from; tools tell their own."""
    found: dict[str, list[str]] = {}
    for step in plan.steps:
        for caution in cautions_of(plan, step, book):
            for word in caution.wear if caution.slug != "tool" else ():
                if caution.of not in found.setdefault(word, []):
                    found[word].append(caution.of)
    return found


def of_plan(plan: Plan, book: BookInfo) -> list[dict[str, Any]]:
    """Return the cautions of all steps once each, with the steps where they hold, gravest first."""
    from planbook.trade.signs import signal_rank

    kept: dict[tuple[str, str], dict[str, Any]] = {}
    for step in plan.steps:
        for row in rows(cautions_of(plan, step, book), plan.edition):
            at = kept.setdefault((row["slug"], row["of"]), {**row, "steps": []})
            if step.number not in at["steps"]:
                at["steps"].append(step.number)
    return sorted(kept.values(), key=lambda row: signal_rank(row["signal"]))


def _tools(step: Step, book: BookInfo) -> list[Tool]:
    found: dict[str, Tool] = {}
    for use in step.tools:
        info = book.tool(use.key)
        for name in (use.key, *(info.also if info else ())):
            tool = tabled(name) if name else None
            if tool is not None:
                found.setdefault(tool.name, tool)
                break
    return list(found.values())


def _operations(plan: Plan, step: Step, tools: list[Tool]) -> list[str]:
    names = {tool.name for tool in tools}
    work = [word for word, users in _WORK.items() if names & set(users)]
    if "sand" not in work and any(word in use.key for use in step.tools for word in _SANDING_BY_HAND):
        work.append("sand")
    if any(tool.powered for tool in tools):
        work.append("set up")
    if any(joint.joined_in == step.number and "glue" in joint.by for joint in plan.joints):
        work.append("glue up")
    if _lifts(plan, step):
        work.append("lift")
    return work


def _lifts(plan: Plan, step: Step) -> bool:
    from planbook.checks.strength import heaviest

    found = heaviest(plan, step, {})
    return found is not None and found[0] > _LIFT_KG and not step.finishes


def _materials(plan: Plan, step: Step) -> list[str]:
    from planbook.trade.hazards import finish_materials

    found: list[str] = []
    if step.finishes:
        for finish in plan.finish:
            try:
                found += finish_materials(finish.product)
            except TradeError:
                continue
    handled = {part.stock for part in (*plan.parts, *plan.fittings) if part.key in step.handles}
    found += [stock.material for stock in plan.stock if stock.name in handled and stock.kind is StockKind.PANEL]
    glued = [text for joint in plan.joints if joint.joined_in == step.number for text in joint.by]
    found += [name for name in _GLUES if name in glued]
    poured = {part.key for part in plan.fittings if part.role.value == "fill"}
    if poured & {*step.joins, *step.handles}:
        found.append("resin")
    if step.number == len(plan.steps) and plan.overall[2] >= _TALL_MM:
        found.append("tall case")
    if _LOW_VOLTAGE.search(said(step)):
        found.append("low voltage")
    return list(dict.fromkeys(found))


def _woods(plan: Plan, step: Step) -> list[str]:
    """Return the solid woods that are worked on, those of the tables."""
    from planbook.trade.species import find_wood

    handled = {part.stock for part in plan.parts if part.key in step.handles}
    found = []
    for stock in plan.stock:
        if stock.name in handled and stock.kind is not StockKind.PANEL:
            try:
                found.append(find_wood(stock.material).name)
            except TradeError:
                continue
    return list(dict.fromkeys(found))
