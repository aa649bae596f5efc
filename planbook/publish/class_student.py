"""The students' handout of a class: the plan with what this class does, when, from which bag."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from planbook.plan.model import Step
from planbook.publish import class_lists, sheet_safety
from planbook.publish.book_info import BookInfo
from planbook.publish.class_run import session_name, unit_of
from planbook.publish.class_solved import Solved
from planbook.publish.class_work import BENCH, LOOK
from planbook.publish.sheet_runs import joined

_BOUGHT_BY_THE_TEACHER = ("materials", "yard", "dims")


@dataclass(frozen=True, slots=True)
class Student:
    """What the students' handout of a class says."""

    sheet: Mapping[str, Any]
    """The plan's sheet, with what the class does."""
    facts: Mapping[str, Any]
    """What is said of the class alone."""
    pictures: Mapping[str, str]
    """For print, by the keys that the sheet names."""


def student_of(solved: Solved, sheet: Mapping[str, Any], pictures: Mapping[str, str], book: BookInfo) -> Student:
    """Return the handout from the sheet of the class's plan.

    Steps that the teacher does beforehand are named, not shown, and their hazards with them; what the teacher
    buys is left out.
    """
    one, plan = solved.one, solved.one.plan
    kept = tuple(step for step in plan.steps if step.slug not in one.prepared)
    slugs = {step.slug for step in kept}
    mine = replace(plan, steps=kept)
    used = sheet_safety.tools(mine, book)
    steps = {step.slug: step for step in kept}
    return Student(
        sheet={
            **sheet,
            **{key: [] for key in _BOUGHT_BY_THE_TEACHER},
            "buying": {},
            "tools": used,
            "safety": sheet_safety.safety(mine, used, book),
            "cutting": [row for row in sheet["cutting"] if slugs.intersection(row["steps"])],
            "steps": [
                {**row, "in_class": _when(solved, steps[row["slug"]])} for row in sheet["steps"] if row["slug"] in slugs
            ],
        },
        facts={"mine": _facts(solved)},
        pictures=pictures,
    )


def _when(solved: Solved, step: Step) -> str:
    """Return when and where the class does a step."""
    if step.slug in solved.one.at_home:
        return "left for afterwards"
    starts = sorted(_begins(solved, step).values())
    grid = solved.table.grid
    first, last = grid.moment(starts[0]), grid.moment(starts[-1])
    where = _where(solved, step)
    day = session_name(_session(solved, starts[0]))
    told = f"{day}, {first:%H:%M}"
    if last.date() != first.date():
        told += f", or {session_name(_session(solved, starts[-1]))}"
    elif last != first:
        told += f" to {last:%H:%M}, by turns"
    return f"{told}{where}"


def _where(solved: Solved, step: Step) -> str:
    found = [share.station for share in solved.work.shares if share.step is step and share.station not in (BENCH, LOOK)]
    return f", at the {joined(dict.fromkeys(found))}" if found else ""


def _begins(solved: Solved, step: Step) -> dict[int, int]:
    """Return by place number the minute at which a step begins there."""
    begun: dict[int, int] = {}
    for visit in solved.table.visits:
        if solved.work.share(visit.operation).step is step:
            begun[visit.maker] = min(visit.start, begun.get(visit.maker, visit.start))
    return begun


def _session(solved: Solved, minute: int) -> int:
    grid = solved.table.grid
    moment = grid.moment(minute)
    return next(n for n, session in enumerate(solved.one.sessions) if session.start <= moment < session.end)


def _facts(solved: Solved) -> dict[str, Any]:
    one = solved.one
    return {
        "days": [_day(solved, number) for number in range(len(one.sessions))],
        "bring": list(one.brings),
        "prepared": [_named(step) for step in one.plan.steps if step.slug in one.prepared],
        "home": [_named(step) for step in one.plan.steps if step.slug in one.at_home],
        "bag": class_lists.bag(one),
        "unit": unit_of(one),
        "places": list(range(1, one.makers + 1)),
    }


def _named(step: Step) -> dict[str, Any]:
    return {"number": step.number, "title": step.title, "slug": step.slug}


def _day(solved: Solved, number: int) -> dict[str, Any]:
    """Return a session with its steps and, for each place number, the time at which it begins them."""
    one, grid = solved.one, solved.table.grid
    rows = []
    for step in one.plan.steps:
        begun = _begins(solved, step)
        here = {maker: minute for maker, minute in begun.items() if _session(solved, minute) == number}
        if here:
            times = [f"{grid.moment(here[k]):%H:%M}" if k in here else "" for k in range(1, one.makers + 1)]
            rows.append(
                {**_named(step), "first": min(here.values()), "times": times, "shown": _shown(solved, step, number)}
            )
    session = one.sessions[number]
    return {
        "name": session_name(number),
        "date": f"{session.start:%A, %B} {session.start.day}",
        "hours": f"{session.start:%H:%M} to {session.end:%H:%M}",
        "breaks": joined(f"{begin:%H:%M} to {end:%H:%M}" for begin, end in session.breaks),
        "rows": sorted(rows, key=lambda row: (row["first"], row["number"])),
    }


def _shown(solved: Solved, step: Step, number: int) -> str:
    """Return when a step is shown to all in a session; empty where it is not."""
    starts = [
        common.start
        for common in solved.table.common
        if common.kind == "demonstration"
        and solved.work.share(common.operation).step is step
        and _session(solved, common.start) == number
    ]
    return f"{solved.table.grid.moment(min(starts)):%H:%M}" if starts else ""
