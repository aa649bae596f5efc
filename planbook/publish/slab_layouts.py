"""How the slabs of a plan are cut, for pages and handouts; kept from run to run by the plan."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from planbook.cutting.practice import Practice
from planbook.cutting.slab_plan import SlabTask, slab_tasks, solve_all
from planbook.cutting.slabs import SlabLayout
from planbook.plan.model import Plan, Stock
from planbook.publish.cache import Store, program
from planbook.publish.sheet_runs import number, run, size, step_target
from planbook.publish.slab_words import exact, slab_rows
from planbook.source.diagnostics import Diagnostic, Severity, Span
from planbook.units.editions import Edition

KIND = "slabs"
"""Name of this cache in the store."""


@dataclass(frozen=True, slots=True)
class Slabs:
    """Everything that pages and handouts show about the slabs of one plan in one edition."""

    rows: tuple[Mapping[str, Any], ...] = ()
    """One for each slab: see `slab_rows` of `planbook.publish.slab_words`."""
    screen: Mapping[str, str] = field(default_factory=dict)
    paper: Mapping[str, str] = field(default_factory=dict)
    alts: Mapping[str, str] = field(default_factory=dict)
    faults: tuple[Diagnostic, ...] = ()


def slabs_of(plan: Plan, practice: Practice, store: Store) -> Slabs:
    """Return layouts, drawings and words of the slabs of a plan, made afresh only if something in them has changed."""
    tasks = slab_tasks(plan, practice)
    if not tasks:
        return Slabs()
    key = f"{program()} {plan!r} {practice!r}"
    kept = store.get(KIND, key)
    if kept is not None:
        data = json.loads(kept)
    else:
        data = _made(plan, practice, tasks)
        store.put(KIND, key, json.dumps(data, ensure_ascii=False).encode())
    faults = [
        Diagnostic(slug, Severity(severity), message, _span(plan, name), help=help)
        for slug, severity, message, name, help in data["faults"]
    ]
    return Slabs(tuple(data["rows"]), data["screen"], data["paper"], data["alts"], tuple(faults))


def _span(plan: Plan, name: str) -> Span:
    for entry in plan.parts:
        if entry.key == name:
            return entry.span
    return plan.stock_named(name).span


def _made(plan: Plan, practice: Practice, tasks: tuple[SlabTask, ...]) -> dict[str, Any]:
    from planbook.drawing.slab_layout import slab_picture
    from planbook.drawing.svg import to_svgs

    solved, faults = solve_all(tasks, practice)
    made: dict[str, Any] = {"rows": [], "screen": {}, "paper": {}, "alts": {}, "faults": []}
    for task, layout in solved:
        if not layout.parts:
            continue
        name = f"slab-{''.join(char if char.isalnum() else '-' for char in task.stock.name)}"
        picture = slab_picture(layout, plan.edition, material=task.stock.material, letters=task.letters)
        written = to_svgs(picture, ids=f"fig-{name}", media=("web", "print"))
        made["screen"][name], made["paper"][name], made["alts"][name] = written["web"], written["print"], picture.alt
        made["rows"].append(_row(plan, task, layout, name))
    for fault in faults:
        owner = next((part.key for part in plan.parts if part.span == fault.span), "")
        stock = next((stock.name for stock in plan.stock if stock.span == fault.span), "")
        made["faults"].append([fault.slug, fault.severity.value, fault.message, owner or stock, fault.help])
    return made


def _survey(stock: Stock, edition: Edition) -> list[list[str]]:
    """Return the lines of a survey, for a maker who writes those of another slab beside them."""
    if stock.survey is None:
        return []
    columns = (stock.survey.along, stock.survey.front, stock.survey.back)
    return [[number(value, edition) for value in line] for line in zip(*columns, strict=True)]


def _row(plan: Plan, task: SlabTask, layout: SlabLayout, name: str) -> dict[str, Any]:
    edition = plan.edition
    rows = slab_rows(layout, edition, task.letters)
    long = max(x for x, _ in task.slab.outline) - min(x for x, _ in task.slab.outline)
    parts = [{**row, "part": task.part(row["key"]).key} for row in rows["parts"]]
    step = next((step for step in plan.steps if any(part.made_in == step.number for part in task.parts)), None)
    return {
        **rows,
        "parts": parts,
        "title": task.stock.material,
        "stock": task.stock.name,
        "picture": name,
        "long": size(exact(long), edition),
        "thick": size(task.stock.thickness, edition),
        "survey": _survey(task.stock, edition) if task.stock.measure else [],
        "steps": [step.slug] if step is not None else [],
        "step": [run("link", f"step {step.number}", step_target(step))] if step is not None else [],
    }
