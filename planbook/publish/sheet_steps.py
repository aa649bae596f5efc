"""The steps of a sheet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from planbook.plan.model import Plan, Step
from planbook.publish import sheet_cautions
from planbook.publish.book_info import BookInfo
from planbook.publish.sheet_runs import Runs, all_runs, bench_minutes, run, runs, waiting_minutes
from planbook.publish.sheet_safety import hazard


def steps(plan: Plan, book: BookInfo, pictures: Mapping[str, str]) -> list[dict[str, Any]]:
    """Return all steps in order; `pictures` holds the alternative texts by picture key."""
    return [_step(plan, step, book, pictures) for step in plan.steps]


def _step(plan: Plan, step: Step, book: BookInfo, pictures: Mapping[str, str]) -> dict[str, Any]:
    key = f"step-{step.slug}"
    time = step.time
    wait = waiting_minutes(time.wait) if time.wait else ""
    usual = sheet_cautions.cautions_of(plan, step, book)
    return {
        "number": step.number,
        "of": len(plan.steps),
        "slug": step.slug,
        "title": step.title,
        "for_whom": runs(step.for_whom),
        "picture": key if key in pictures else "",
        "alt": pictures.get(key, ""),
        "photos": [{"path": photo.path, "alt": photo.alt} for photo in step.photos],
        "hazards": [hazard(item, step) for item in step.hazards],
        "cautions": sheet_cautions.rows(usual, plan.edition),
        "signs": sheet_cautions.signs(usual),
        "set_up": _set_up(step, book),
        "hands": bench_minutes(time.hands_on) if time.hands_on else "",
        "persons": f"{step.hands} persons" if step.hands > 1 else "",
        "wait": f"{wait}, for {time.wait_for}" if wait and time.wait_for else wait,
        "meanwhile": runs(step.meanwhile),
        "holds": [_held(name, count) for name, count in step.holds],
        "actions": all_runs(step.actions),
        "good_enough": runs(step.good_enough),
        "went_wrong": runs(step.went_wrong),
        "teacher": all_runs(step.teacher),
        "tips": all_runs(step.tips),
        "look": step.teachers_eye,
        "handles": list(step.handles),
    }


def _set_up(step: Step, book: BookInfo) -> list[Runs]:
    """Return the tools, one a line, machines first and bold."""
    lines: list[tuple[bool, Runs]] = []
    for use in step.tools:
        info = book.tool(use.key)
        powered = bool(info and info.powered)
        target = f"tool:{info.key}" if info else None
        kind = "link" if target else "text"
        lines.append((not powered, [run(kind, use.text, target)]))
    return [line for _, line in sorted(lines, key=lambda pair: pair[0])]


def _held(name: str, count: int) -> str:
    plural = name if count == 1 or name.endswith("s") else f"{name}s"
    return f"{count} {plural}"
