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
    "gloves": "Wear protective gloves",
}
_NEVER_GLOVES = {
    "sign": "no-gloves",
    "ref": _NUMBERS["no-gloves"],
    "title": "No gloves at a turning bit or blade.",
    # Common practice, no source.
    "text": "A glove is caught before you can let go. Tie hair back, roll sleeves above the elbow, "
    "take off rings and lanyards.",
}
_ORDER = tuple(Signal)


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
    wear = []
    powered = [row["key"] for row in used if row["machine"]]
    for sign, text in _WEAR.items():
        names = [row["key"] for row in used if sign in row["wear"]]
        if names:
            wear.append({"sign": sign, "ref": _NUMBERS[sign], "text": text, "when": ", ".join(dict.fromkeys(names))})
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
