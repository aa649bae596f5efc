"""When one person alone at home can do what: the steps of a plan laid into the free hours of a week."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from planbook.plan.model import Plan, Step
from planbook.publish.class_facts import steps_before
from planbook.timing.alone import WEEKDAYS, Alone, Free, HomeCalendar, home_calendar
from planbook.timing.clock import Pause
from planbook.timing.faults import TimingError
from planbook.timing.problem import Operation

if TYPE_CHECKING:
    from planbook.drawing.picture import Picture

_FREE = re.compile(r"([A-Za-z]+)\s+([0-9]{1,2}):([0-9]{2})\s+to\s+([0-9]{1,2}):([0-9]{2})$")


def free_hours(text: str) -> Free:
    """Read free hours such as `Saturday 10:00 to 16:00`. Raises `TimingError`."""
    match = _FREE.match(text.strip())
    day = match[1].capitalize() if match else ""
    if match is None or day not in WEEKDAYS:
        raise TimingError("wrong-time", f"`{text}` is no time of the week", "write `Saturday 10:00 to 16:00`")
    try:
        start, end = datetime.time(int(match[2]), int(match[3])), datetime.time(int(match[4]), int(match[5]))
    except ValueError:
        raise TimingError("wrong-time", f"`{text}` is no time of the clock", "write hours from 0 to 23") from None
    return Free(weekday=WEEKDAYS.index(day), start=start, end=end)


def plan_at_home(plan: Plan, free: Sequence[Free], *, first_day: datetime.date, zone: str) -> HomeCalendar:
    """Return when each step can be done by one person, waits for glue and finish included. Raises `TimingError`."""
    operations = tuple(_operation(plan, step) for step in plan.steps)
    return home_calendar(Alone(operations=operations, stations=(), free=tuple(free), first_day=first_day, zone=zone))


def own_time_line(plan: Plan, width: float | None) -> Picture | None:
    """Return the days of a plan for one person who has four hours on each; None where it has no times, or too many.

    Four hours are a planbook's own choice. `width` in mm, that of the edition's page if not given.
    """
    from planbook.drawing.time_line import time_lines

    if not plan.hands_on:
        return None
    hours = [free_hours(f"{day} 09:00 to 13:00") for day in WEEKDAYS]
    try:
        calendar = plan_at_home(plan, hours, first_day=datetime.date(2001, 1, 1), zone="UTC")
    except TimingError:
        return None
    names = {step.title: f"{step.number}. {step.title}" for step in plan.steps}
    usual = 180.0 if plan.edition.paper == "letter" else 174.0
    charts = time_lines(calendar, names, width=width or usual, dated=False)
    return charts[0] if len(charts) == 1 else None


def calendar_of(plan: Plan, calendar: HomeCalendar) -> bytes:
    """Return the work and the ends of the waits as an iCalendar file (RFC 5545)."""
    from planbook.publish.handout import UNDATED
    from planbook.timing.calendar_file import calendar_file, home_events

    names = {step.title: f"{step.number}. {step.title}" for step in plan.steps}
    events = home_events(plan.title, calendar, names)
    return calendar_file(events, stem=f"plan {plan.slug} {plan.edition.name}", revised=plan.revised or UNDATED)


def _operation(plan: Plan, step: Step) -> Operation:
    time = step.time
    return Operation(
        key=step.title,
        set_up=-int(-time.set_up // 1),
        each=max(1, -int(-(time.each * time.pieces) // 1)),
        wait=-int(-time.wait // 1),
        after=tuple(before.title for before in steps_before(plan, step)),
        hands=step.hands,
        pause=Pause.NONE if step.joins and time.wait else Pause.BREAK,
    )
