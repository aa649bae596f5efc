"""One person at home: the same model with one maker, in the evenings and weekends that they have.

Nobody shows anything, nobody queues; every set-up is one's own work, and what glue and finish need is waited
for on other days while other steps go on.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from fractions import Fraction
from math import ceil
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from planbook.timing.clock import Grid, Pause, Session, session_grid
from planbook.timing.earliest import EFFORT, earliest
from planbook.timing.faults import TimingError
from planbook.timing.items import Arc, Item, Work
from planbook.timing.listing import quick_timetable
from planbook.timing.problem import Group, Lesson, Operation, Station, check_lesson
from planbook.timing.windows import windows

_WEEKS = 104
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@dataclass(frozen=True, slots=True, kw_only=True)
class Free:
    """A time of the week that goes to the work."""

    weekday: int
    """0 is Monday."""
    start: time
    end: time


@dataclass(frozen=True, slots=True, kw_only=True)
class Alone:
    """The whole question."""

    operations: tuple[Operation, ...]
    """In the order of the plan; demonstrations and preparations are passed over."""
    stations: tuple[Station, ...]
    free: tuple[Free, ...]
    first_day: date
    zone: str
    """Of the time zone database, such as `Europe/Oslo`."""
    slot: int = 15
    pace: Fraction = Fraction(1)
    """Factor on the median student's minutes; a beginner at home may say 2."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """When a step can be done."""

    operation: str
    start: datetime
    end: datetime
    ready: datetime
    """When its wait is over."""
    parts: tuple[tuple[datetime, datetime], ...]
    """The stretches of work in it; more than one where it lies over night."""
    helpers: int
    """Persons needed beside the maker."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeCalendar:
    """What can be done when, by start."""

    entries: tuple[Entry, ...]
    done: datetime
    ready: datetime
    """When also the last wait is over."""
    bound: datetime
    """Nobody is done before, in these hours."""
    proven: bool


def home_calendar(question: Alone, *, effort: int = EFFORT) -> HomeCalendar:
    """Return the calendar that is done earliest; raises `TimingError` where the hours do not serve."""
    sessions = _sessions(question)
    check_lesson(
        Lesson(
            operations=question.operations,
            stations=question.stations,
            sessions=(),
            group=Group(students=2),
            slot=question.slot,
        )
    )
    operations = tuple(operation for operation in question.operations if not operation.prepared)
    work, known = _first_that_fits(question, operations, sessions)
    found = earliest(work, effort=effort, known=known)
    if found.starts is None or found.end is None or found.bound is None:
        raise TimingError("never-done", "the work does not fit the hours", "give longer hours")
    grid = work.grid
    entries = [_entry(grid, o, item, row[0]) for o, item, row in zip(operations, work.items, found.starts, strict=True)]
    return HomeCalendar(
        entries=tuple(sorted(entries, key=lambda entry: (entry.start, entry.end))),
        done=max(entry.end for entry in entries),
        ready=max(entry.ready for entry in entries),
        bound=grid.moment(grid.end(found.bound - 1)),
        proven=found.proven,
    )


def _sessions(question: Alone) -> list[Session]:
    try:
        zone = ZoneInfo(question.zone)
    except (ZoneInfoNotFoundError, ValueError):
        raise TimingError("no-time-zone", f"no time zone is called `{question.zone}`", "zone: Europe/Oslo") from None
    if not question.free:
        raise TimingError("no-session", "no hours are free for the work", "free: Saturday 10:00 to 16:00")
    for free in question.free:
        if not 0 <= free.weekday < 7:
            raise TimingError("no-such-day", f"the week has no day {free.weekday}", "0 is Monday, 6 is Sunday")
        if free.end <= free.start:
            raise TimingError(
                "session-backwards",
                f"the hours of {WEEKDAYS[free.weekday]} end at {free.end:%H:%M}, before {free.start:%H:%M}",
                "swap the two times",
            )
    return list(_weeks(question, zone))


def _weeks(question: Alone, zone: ZoneInfo) -> Iterator[Session]:
    for day in range(7 * _WEEKS):
        today = question.first_day + timedelta(days=day)
        for free in sorted(question.free, key=lambda free: (free.weekday, free.start)):
            if free.weekday == today.weekday():
                yield Session(
                    start=datetime.combine(today, free.start, tzinfo=zone),
                    end=datetime.combine(today, free.end, tzinfo=zone),
                )


def _first_that_fits(
    question: Alone, operations: tuple[Operation, ...], sessions: list[Session]
) -> tuple[Work, tuple[tuple[int, ...], ...]]:
    """Take in more weeks until the quick rules find room."""
    weekly = len(question.free)
    weeks = 2
    while weeks <= 2 * _WEEKS:
        grid = session_grid(sessions[: weekly * weeks], question.slot)
        work = _work(question, operations, grid)
        frame = windows(work, len(grid))
        known = quick_timetable(work, frame, aim=0, rules=2) if frame is not None else None
        if known is not None:
            return work, known
        if weeks >= _WEEKS:
            break
        weeks = min(_WEEKS, 2 * weeks)
    raise TimingError(
        "never-done",
        f"the work does not fit {_WEEKS} weeks of these hours",
        "give longer hours, or shorten the longest wait",
    )


def _work(question: Alone, operations: tuple[Operation, ...], grid: Grid) -> Work:
    stations = {station.key: number for number, station in enumerate(question.stations)}
    number_of = {operation.key: number for number, operation in enumerate(operations)}
    person = len(stations)
    items: list[Item] = []
    for operation in operations:
        minutes = ceil((operation.set_up + operation.each) * question.pace)
        slots = grid.needed(minutes)
        uses = tuple((stations[use.station], use.count) for use in operation.uses if not use.while_waiting)
        holds = tuple((stations[use.station], use.count) for use in operation.uses if use.while_waiting)
        items.append(
            Item(
                key=operation.key,
                copies=1,
                slots=slots,
                pause=_pause(operation, slots, grid),
                wait=operation.wait,
                uses=(*uses, (person, 1)),
                holds=holds,
            )
        )
    arcs = tuple(
        Arc(number_of[key], number, operations[number_of[key]].wait)
        for number, operation in enumerate(operations)
        for key in operation.after
        if key in number_of
    )
    return Work(grid, tuple(items), arcs, (*(station.count for station in question.stations), 1))


def _pause(operation: Operation, slots: int, grid: Grid) -> Pause:
    """Let work that is longer than any of the hours lie over night, unless it bears no pause at all."""
    longest = max(grid.session.count(number) for number in dict.fromkeys(grid.session))
    if slots <= longest:
        return operation.pause
    if operation.pause is Pause.NONE:
        raise TimingError(
            "step-longer-than-session",
            f"`{operation.key}` takes {slots * grid.slot} min in one go, the longest hours {longest * grid.slot} min",
            "free a longer time, such as a Saturday",
        )
    return Pause.NIGHT


def _entry(grid: Grid, operation: Operation, item: Item, first: int) -> Entry:
    parts: list[tuple[datetime, datetime]] = []
    for slot in range(first, first + item.slots):
        begin, end = grid.moments[slot], grid.moment(grid.end(slot))
        if parts and slot and grid.stretch[slot] == grid.stretch[slot - 1]:
            parts[-1] = (parts[-1][0], end)
        else:
            parts.append((begin, end))
    return Entry(
        operation=operation.key,
        start=parts[0][0],
        end=parts[-1][1],
        ready=grid.moment(grid.end(first + item.slots - 1) + operation.wait),
        parts=tuple(parts),
        helpers=max(0, operation.hands - 1),
    )
