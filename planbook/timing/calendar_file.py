"""Calendar files (RFC 5545): the sessions of a class, and the hours and waits of somebody at home.

The same source gives the same bytes: UID is made from what the event is, DTSTAMP is the plan's revision (RFC 5545
3.8.7.2 asks for the time the information was last revised where no METHOD is given).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from planbook.timing.alone import HomeCalendar
from planbook.timing.clock import Session
from planbook.timing.faults import TimingError
from planbook.timing.zones import zone_component


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One line in somebody's calendar; times carry a zone of the time zone database."""

    key: str
    """What tells it from the others of its file, also in the next revision."""
    title: str
    start: datetime
    end: datetime
    text: str = ""
    remind: bool = False
    """Whether the calendar should ring when it begins."""


def session_events(title: str, sessions: Sequence[Session], *, text: str = "") -> tuple[Event, ...]:
    """Return an event for each session, numbered where there are several."""
    many = len(sessions) > 1
    return tuple(
        Event(
            key=f"session {number}",
            title=f"{title} ({number} of {len(sessions)})" if many else title,
            start=session.start,
            end=session.end,
            text=text,
        )
        for number, session in enumerate(sessions, start=1)
    )


def home_events(title: str, calendar: HomeCalendar, names: dict[str, str]) -> tuple[Event, ...]:
    """Return the work as events and the end of each wait as a reminder of no length."""
    found: list[Event] = []
    for entry in calendar.entries:
        name = names.get(entry.operation, entry.operation)
        for number, (start, end) in enumerate(entry.parts, start=1):
            found.append(Event(key=f"work {entry.operation} {number}", title=f"{title}: {name}", start=start, end=end))
        if entry.ready > entry.end:
            found.append(
                Event(
                    key=f"wait {entry.operation}",
                    title=f"{title}: wait after {name} is over",
                    start=entry.ready,
                    end=entry.ready,
                    remind=True,
                )
            )
    return tuple(found)


def calendar_file(events: Sequence[Event], *, stem: str, revised: date) -> bytes:
    """Write an iCalendar object; `stem` names the class or plan for good, because UIDs are made from it."""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", "-//planbook//class timetable//EN")
    calendar.add("version", "2.0")
    for event in events:
        if event.start.tzinfo is None or event.end.tzinfo is None:
            raise TimingError("no-time-zone", f"`{event.title}` names no time zone", "zone: Europe/Oslo")
    for component in _zones(events):
        calendar.add_component(component)
    for event in events:
        calendar.add_component(_event(event, stem, revised))
    written: bytes = calendar.to_ical()
    return written


def _zones(events: Sequence[Event]) -> list[Any]:
    """Return a VTIMEZONE for each zone that is not UTC, in the order in which they come."""
    zones = {str(event.start.tzinfo): event.start.tzinfo for event in events if event.start.tzinfo is not None}
    margin = timedelta(days=2)
    moments = [moment for event in events for moment in (event.start, event.end)]
    return [
        zone_component(zone, name, min(moments) - margin, max(moments) + margin)
        for name, zone in zones.items()
        if name != "UTC"
    ]


def _event(event: Event, stem: str, revised: date) -> Any:
    from icalendar import Alarm
    from icalendar import Event as Component

    one = Component()
    one.add("uid", f"{uuid5(NAMESPACE_URL, f'planbook:{stem}:{event.key}')}")
    one.add("dtstamp", datetime.combine(revised, time(), tzinfo=UTC))
    one.add("summary", event.title)
    one.add("dtstart", event.start)
    if event.end > event.start:
        one.add("dtend", event.end)
    if event.text:
        one.add("description", event.text)
    if event.remind:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", event.title)
        alarm.add("trigger", timedelta(0))
        one.add_component(alarm)
    return one
