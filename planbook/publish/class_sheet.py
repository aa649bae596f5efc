"""A class as plain data, for its sheets and its page; nothing after this module reckons."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from planbook.publish import class_lists
from planbook.publish.book_info import BookInfo
from planbook.publish.class_facts import Class
from planbook.publish.class_noise import noise
from planbook.publish.class_run import session_name, sessions, unit_of
from planbook.publish.class_solved import Solved
from planbook.publish.qr import qr_code
from planbook.publish.sheet import LONG_NAMES
from planbook.publish.sheet_runs import counted, joined
from planbook.timing.class_table import Load
from planbook.timing.clock import Session

SHEETS = {
    "runsheet": "run-sheet",
    "prep": "before-the-class",
    "kit": "kits",
    "cutting": "sawing-and-buying",
    "wall": "wall",
    "checkout": "tools",
    "signoff": "sign-off",
    "student": "student-handout",
}
"""Sheets of a class in the order in which they are printed, with the names of their files; a new one is a line here
and one in `class.typ` of the theme."""
SECTIONS = tuple(SHEETS)
TEACHERS = ("days", "prep", "costs", "cutting", "walls", "checkout", "signoff", "noise", "answer", "bottleneck")
"""What is not for students, so that no template can let it slip."""


def class_sheet(solved: Solved, book: BookInfo, *, loads: tuple[Load, ...] = ()) -> dict[str, Any]:
    """Return everything that the sheets of a class say."""
    one = solved.one
    return {
        **head(one, book),
        "days": sessions(one, solved.work, solved.table),
        "prep": class_lists.preparation(solved),
        "kit": class_lists.kit(solved),
        "costs": class_lists.costs(one),
        "walls": class_lists.walls(solved, book),
        "checkout": class_lists.checkout(solved, book),
        "signoff": class_lists.sign_off(solved),
        "noise": noise(solved, book),
        "answer": _answer(solved),
        "bottleneck": _bottleneck(solved, loads),
    }


def head(one: Class, book: BookInfo) -> dict[str, Any]:
    """Return what every sheet and the page say of a class."""
    plan, unit = one.plan, unit_of(one)
    address = f"{book.address}/classes/{one.slug}/" if book.address else ""
    return {
        "shop": book.shop,
        "title": one.title,
        "summary": one.summary,
        "piece": plan.title,
        "plan": plan.slug,
        "slug": one.slug,
        "language": book.language,
        "edition": {
            "name": plan.edition.name,
            "title": plan.edition.title,
            "long": LONG_NAMES[plan.edition.name],
            "note": "",
        },
        "revision": plan.revision,
        "revised": plan.revised.isoformat() if plan.revised else "",
        "address": address,
        "qr": qr_code(address),
        "place": one.place,
        "zone": one.zone,
        "students": one.students,
        "makers": one.makers,
        "unit": unit,
        "who": f"class of {one.students}" + (_pairs(one) if unit == "pair" else ""),
        "staff": "teacher" + (f" and {counted(one.assistants, 'assistant')}" if one.assistants else ""),
        "sessions": [session_facts(number, session) for number, session in enumerate(one.sessions)],
        # The parts of a plan's handout that a class sheet does not have.
        **{name: [] for name in ("cutlist", "measured", "materials", "tools", "yard", "dims", "steps")},
    }


def _pairs(one: Class) -> str:
    """Return in how many pairs the students work, and that an odd one makes a three."""
    odd = ", one pair is three" if one.students > 2 * one.makers else ""
    return f" in {counted(one.makers, 'pair')}{odd}"


def session_facts(number: int, session: Session) -> dict[str, str]:
    """Return one session in words."""
    start = session.start
    return {
        "name": session_name(number),
        "date": f"{start:%A, %B} {start.day}, {start.year}",
        "hours": f"{start:%H:%M} to {session.end:%H:%M}",
        "breaks": joined(f"{begin:%H:%M} to {end:%H:%M}" for begin, end in session.breaks),
        "iso": start.isoformat(),
    }


def numbers_of(solved: Solved) -> Mapping[str, str]:
    """Return by operation what names it on paper: the number of its step."""
    return {share.key: str(share.step.number) for share in solved.work.shares}


def _answer(solved: Solved) -> str:
    table, unit = solved.table, unit_of(solved.one)
    end = table.grid.moment(table.end)
    proof = "no timetable of this kind ends earlier" if solved.proven else "a shorter one may exist"
    idle = max(table.waiting)
    wait = f"nobody waits longer than {idle} minutes in all" if idle else "nobody waits"
    done = f"The last {unit} is done on {end:%A} at {end:%H:%M}; {proof} ({solved.model})."
    return f"{done} In the sessions {wait}.{_order(solved)}{_measured(solved)}"


def _measured(solved: Solved) -> str:
    """Return whose minutes the timetable goes by: those of the last class, or the plan's."""
    notes = solved.one.notes
    slugs = {share.step.slug: share.step.number for share in solved.work.shares}
    steps = [number for slug, number in slugs.items() if notes is not None and notes.measured(slug) is not None]
    if notes is None or not steps:
        return " Minutes are the plan’s: none were measured yet."
    others = "; those of the other steps are the plan’s" if len(steps) < len(slugs) else ""
    return f" Minutes of step{'s' if len(steps) > 1 else ''} {joined(map(str, steps))} were measured{others}."


def _order(solved: Solved) -> str:
    """Return in which order the class takes its steps, where it is not that of the plan."""
    steps = list(
        dict.fromkeys(share.step.number for share in solved.work.shares if share.step.slug not in solved.one.prepared)
    )
    if steps == sorted(steps):
        return ""
    return f" The class takes the steps in the order {joined(map(str, steps))}: what hurries nobody comes last."


def _bottleneck(solved: Solved, loads: tuple[Load, ...]) -> str:
    places = {station.key for station in solved.work.lesson.stations if station.set}
    machines = [load for load in loads if load.station in places and load.minutes]
    told = ""
    if machines:
        share = round(float(machines[0].share) * 100)
        told = f"Busiest machine: {machines[0].station}, {share} % of the time from its first to its last use."
    for load in loads:
        if load.saves is not None:
            told += f" One more of {load.station} saves {f'{load.saves} minutes' if load.saves else 'nothing'}."
    return told
