"""One person's calendar of a plan on paper: day by day, what to do, to have ready, and until when it waits."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from planbook.plan.model import Plan, Step
from planbook.publish.book_info import BookInfo
from planbook.publish.sheet import head
from planbook.publish.sheet_runs import counted, joined
from planbook.timing.alone import Entry, HomeCalendar

if TYPE_CHECKING:
    from planbook.publish.handout import Paper
    from planbook.publish.theme import Theme

HOME_MAIN = "home.typ"
_WIDTHS = {"letter": 180.0, "a4": 174.0}
_LARGE = 2 / 3


def home_pages(
    plan: Plan,
    book: BookInfo,
    calendar: HomeCalendar,
    hours: Sequence[str],
    theme: Theme,
    *,
    paper: Paper,
    large: bool = False,
) -> bytes:
    """Return the calendar of a plan as a PDF; `hours` are the free ones, as they were given. Raises `HandoutError`."""
    from planbook.drawing.svg import to_svgs
    from planbook.drawing.time_line import time_lines
    from planbook.publish.handout import set_pages

    width = _WIDTHS[paper] * (_LARGE if large else 1)
    charts = time_lines(calendar, names_of(plan), width=width, dated=True)
    pictures = {
        f"days-{number}": {
            "svg": to_svgs(chart, ids=f"days-{number}", media=("print",))["print"],
            "alt": chart.alt,
            "least": 0,
            "grows": large,
        }
        for number, chart in enumerate(charts)
    }
    data = {
        **head(plan, book),
        **{name: [] for name in ("cutlist", "measured", "materials", "tools", "yard", "dims", "steps")},
        **_facts(plan, calendar, hours),
        "charts": list(pictures),
        "pictures": {},
    }
    inputs = {
        "paper": paper,
        "print": "large" if large else "normal",
        "sheet": json.dumps(data, ensure_ascii=False),
        "pictures": json.dumps(pictures, ensure_ascii=False),
    }
    return set_pages(inputs, revised=str(data["revised"]), title=plan.title, theme_dirs=theme.folders, main=HOME_MAIN)


def names_of(plan: Plan) -> dict[str, str]:
    """Return what names each step on a chart, by the operation of its calendar."""
    return {step.title: f"{step.number}. {step.title}" for step in plan.steps}


def _facts(plan: Plan, calendar: HomeCalendar, hours: Sequence[str]) -> dict[str, Any]:
    steps = {step.title: step for step in plan.steps}
    days: dict[str, list[dict[str, str]]] = {}
    for entry in calendar.entries:
        for number, (start, end) in enumerate(entry.parts):
            row = _row(steps[entry.operation], entry, start, end, last=number == len(entry.parts) - 1)
            days.setdefault(f"{start:%A, %B} {start.day}", []).append(row)
    return {
        "hours": joined(hours),
        "done": _when(calendar.done),
        "ready": _when(calendar.ready),
        "proof": "Nobody is done earlier in these hours." if calendar.proven else "It may go faster in another order.",
        "days": [{"date": date, "rows": rows} for date, rows in days.items()],
    }


def _row(step: Step, entry: Entry, start: datetime, end: datetime, *, last: bool) -> dict[str, str]:
    waits = last and entry.ready > entry.end
    return {
        "from": f"{start:%H:%M}",
        "to": f"{end:%H:%M}",
        "step": f"{step.number}. {step.title}",
        "persons": counted(step.hands, "person") if step.hands > 1 else "",
        "have": ", ".join(use.text for use in step.tools),
        "wait": f"{step.time.wait_for or 'it waits'} until {_when(entry.ready)}" if waits else "",
    }


def _when(moment: datetime) -> str:
    return f"{moment:%A, %B} {moment.day}, {moment:%H:%M}"
