"""Tools of a plan and the usual cautions that follow from them.

Signs are named by what they ask; their registered forms are those of ISO 7010:2019 (M004 eye
protection, M003 ear protection, M016 mask, M009 gloves, M021 disconnect before maintenance, P028 do
not wear gloves). Nothing here promises safety: the tool maker's instructions and local rules come first.
"""

from __future__ import annotations

from typing import Any

from planbook.plan.model import Hazard, Plan, Signal, Step, ToolUse
from planbook.publish import sheet_cautions
from planbook.publish.book_info import BookInfo
from planbook.publish.sheet_runs import Runs, runs

_NUMBERS = {"eyes": "M004", "ears": "M003", "mask": "M016", "gloves": "M009", "unplug": "M006", "no-gloves": "P028"}
"""Numbers of the signs in ISO 7010:2019."""
_WEAR = {
    "eyes": "Wear eye protection",
    "ears": "Wear ear protection",
    "mask": "Wear a mask",
    "respirator": "Wear a respirator",
    "face shield": "Wear a face shield",
    "gloves": "Wear protective gloves",
    "apron": "Wear an apron",
    "shoes": "Wear safety shoes",
}
_OF = {"sand": "sanding", "lift": "lifting", "resin": "mixing and pouring resin", "spray": "spraying"}
"""How work is told where it asks for something to wear."""
_NEVER_GLOVES = {
    "sign": "no-gloves",
    "ref": _NUMBERS["no-gloves"],
    "title": "No gloves at a turning bit or blade.",
    # Common practice, no source.
    "text": "A glove is caught before you can let go. Tie hair back, roll sleeves above the elbow, "
    "take off rings and lanyards.",
}
_ORDER = tuple(Signal)
_MANY, _FEW = 5, 2
"""From so many machines on, of which at most so few are left out, a list says which ones those are."""


def tools(plan: Plan, book: BookInfo) -> list[dict[str, Any]]:
    """Return every tool of the plan once, with the most that a step uses; machines first, then as used."""
    kept: dict[str, tuple[ToolUse, list[Step]]] = {}
    for step in plan.steps:
        for use in step.tools:
            key = use.key if book.tool(use.key) else use.text
            best, steps = kept.get(key, (use, []))
            better = (use.count, len(use.text)) > (best.count, len(best.text))
            kept[key] = (use if better else best, [*steps, step])
    rows = []
    for use, steps in kept.values():
        info = book.tool(use.key)
        rows.append(
            {
                "key": info.key if info else use.key,
                "text": use.text,
                "count": use.count,
                "to": f"tool:{info.key}" if info else None,
                "kind": info.kind if info else "",
                "machine": bool(info and info.powered),
                "wear": list(info.wear) if info else [],
                "steps": [step.number for step in steps],
            }
        )
    return sorted(rows, key=lambda row: not row["machine"])


def safety(plan: Plan, used: list[dict[str, Any]], book: BookInfo) -> dict[str, Any]:
    """Return what to wear, what never to do, every hazard of the plan by severity, and the usual cautions."""
    from planbook.trade import signs

    wear = []
    powered = [row["key"] for row in used if row["machine"]]
    asked = sheet_cautions.equipment(plan, book)
    for word, text in _WEAR.items():
        when = _when([row for row in used if word in row["wear"]], powered, asked.get(word, []))
        if when:
            sign = signs.wear(word).sign
            wear.append({"sign": sign.picture or word, "ref": sign.ref, "text": text, "when": when})
    if powered:
        wear.append(
            {
                "sign": "unplug",
                "ref": _NUMBERS["unplug"],
                "text": "Unplug first",
                "when": "before you change a bit or a blade",
            }
        )
    return {
        "wear": wear,
        "never": [dict(_NEVER_GLOVES)] if powered else [],
        "cautions": sheet_cautions.of_plan(plan, book),
        "hazards": sorted(
            (hazard(item, step) for step in plan.steps for item in step.hazards),
            key=lambda row: (_ORDER.index(Signal(row["signal"])), row["step"]),
        ),
    }


def _when(asking: list[dict[str, Any]], powered: list[str], work: list[str]) -> str:
    """Return when something is worn: at which machines, with which other tools, and for what work."""
    machines = list(dict.fromkeys(row["key"] for row in asking if row["machine"]))
    others = list(dict.fromkeys(row["key"] for row in asking if not row["machine"]))
    groups = [_machines(machines, powered)]
    groups += [f"with {', '.join(others)}"] if others else []
    told = [_OF.get(of, of) for of in work]
    groups += [f"for {', '.join(dict.fromkeys(told))}"] if told else []
    return "; ".join(filter(None, groups))


def _machines(machines: list[str], powered: list[str]) -> str:
    """Return a list of machines; one of nearly all is said the other way round: all but those left out."""
    left_out = [name for name in dict.fromkeys(powered) if name not in machines]
    if len(machines) < _MANY or len(left_out) > _FEW:
        return ", ".join(machines)
    return "every machine" + (f" but the {' and the '.join(left_out)}" if left_out else "")


def _without_stop(title: Runs) -> Runs:
    """Return a title without the full stop at its end: what follows it differs from page to page."""
    if not title:
        return title
    return [*title[:-1], {**title[-1], "s": title[-1]["s"].rstrip().removesuffix(".")}]


def hazard(item: Hazard, step: Step) -> dict[str, Any]:
    """Return one hazard with the step where it waits."""
    return {
        "signal": item.signal.value,
        "title": _without_stop(runs(item.title)),
        "text": runs(item.text),
        "step": step.number,
        "slug": step.slug,
    }
