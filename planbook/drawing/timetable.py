"""Charts of a timetable: who is at which station when, and what each one does, for one session.

Told apart without colour: black while the teacher shows something to all, white with an outline and a number for
work, hatched for what waits or is held. The line of a latest start runs behind the bars.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta

from planbook.drawing.charts import HEIGHT, NAMES, Chart, Window, finished, free_pieces
from planbook.drawing.picture import Label, LabelKind, Picture, Stroke
from planbook.drawing.style import LineKind
from planbook.drawing.text import text_width
from planbook.timing.clock import Pause
from planbook.timing.timetable import Timetable, Visit


def station_chart(table: Timetable, session: int, *, width: float, numbers: Mapping[str, str]) -> Picture:
    """Return who is at which station in a session; rows are stations, bars carry the place number.

    `numbers` gives what names each operation on paper (`step 7`); it is used below the lines of latest starts.
    """
    window = session_window(table, session, width=width)
    chart = Chart(window)
    _all_row(chart, table, session)
    for station in table.lesson.stations:
        visits = [visit for visit in table.at(station.key) if _inside(window, visit, station.key)]
        if not visits:
            continue
        if station.set:
            row = chart.row(station.key, max(unit for visit in visits for unit in _units(visit, station.key)))
            for visit in visits:
                for lane in _units(visit, station.key):
                    chart.bar(visit.start, visit.end, row(lane - 1), str(visit.maker))
        else:
            _held_row(chart, station.key, station.count, visits)
    looks = [visit for visit in table.visits if _looks(table, visit) and window.meets(visit.start, visit.end)]
    if looks:
        lanes = _in_lanes([(visit.start, visit.end, str(visit.maker)) for visit in looks])
        row = chart.row("teacher looks", max(lane for *_, lane in lanes) + 1)
        for start, end, text, lane in lanes:
            chart.bar(start, end, row(lane), text)
    late = _late(chart, window, table, numbers)
    return finished(
        chart,
        _hours(table, session),
        title=f"Stations, session {session + 1}",
        alt=f"Timetable by station: {_in_words(table, window, numbers)}{late}",
        width=width,
    )


def group_chart(table: Timetable, session: int, *, width: float, numbers: Mapping[str, str], unit: str) -> Picture:
    """Return what each one does in a session; rows are students or pairs, bars carry the number of the step."""
    window = session_window(table, session, width=width)
    chart = Chart(window)
    _all_row(chart, table, session)
    waits = {operation.key: operation.wait for operation in table.lesson.operations}
    for maker in range(1, table.makers + 1):
        row = chart.row(f"{unit} {maker}", 1)
        mine = [(visit.start, visit.end) for visit in table.of(maker)]
        for visit in table.of(maker):
            if waits[visit.operation]:
                for start, end in _outside(visit.end, visit.cured, mine):
                    chart.hatched(start, end, row(0))
        for visit in table.of(maker):
            chart.bar(visit.start, visit.end, row(0), "" if _looks(table, visit) else numbers[visit.operation])
    return finished(
        chart,
        _hours(table, session),
        title=f"{unit.capitalize()}s, session {session + 1}",
        alt=f"Timetable by {unit}: each bar carries the number of the step, hatched stretches wait for glue or oil.",
        width=width,
    )


def session_window(table: Timetable, session: int, *, width: float) -> Window:
    """Return a session on paper, as minutes since the first slot of the class."""
    one = table.lesson.sessions[session]
    return Window(
        start=minute_of(table, one.start), end=minute_of(table, one.end), left=_names_width(table), right=width - 1.0
    )


def _names_width(table: Timetable) -> float:
    """Return the width of the column of names, in which also a long one with its numbers has room."""
    names = (
        f"{s.key}, {s.count} of {s.count}" if not s.set else s.key for s in table.lesson.stations if table.at(s.key)
    )
    return max(NAMES, *(text_width(name, HEIGHT) + 2.0 for name in names), 0.0)


def minute_of(table: Timetable, moment: datetime) -> int:
    """Return the minutes that have passed since the first slot began."""
    return round((moment.astimezone(UTC) - table.grid.moments[0].astimezone(UTC)).total_seconds() / 60)


def _inside(window: Window, visit: Visit, station: str) -> bool:
    until = max(place.until for place in visit.places if place.station == station)
    return window.meets(visit.start, until)


def _units(visit: Visit, station: str) -> tuple[int, ...]:
    return next(place.units for place in visit.places if place.station == station)


def _looks(table: Timetable, visit: Visit) -> bool:
    return any(
        operation.eye and not operation.uses
        for operation in table.lesson.operations
        if operation.key == visit.operation
    )


def _all_row(chart: Chart, table: Timetable, session: int) -> None:
    """Draw what all do: welcome, what is shown, breaks, clean-up."""
    one, row = table.lesson.sessions[session], chart.row("all", 1)
    start, end = minute_of(table, one.start), minute_of(table, one.end)
    if one.opening:
        chart.bar(start, start + one.opening, row(0), "", black=True)
    for pause, resume in one.breaks:
        chart.bar(minute_of(table, pause), minute_of(table, resume), row(0), "break")
    for common in table.common:
        if common.kind == "demonstration":
            chart.bar(common.start, common.end, row(0), "", black=True)
    if one.clean_up:
        chart.bar(end - one.clean_up, end, row(0), "clean up")


def _held_row(chart: Chart, name: str, count: int, visits: Sequence[Visit]) -> None:
    """Draw how long any of a thing is held, with the most that are held at once in its name."""
    spans = sorted(
        (visit.start, place.until, len(place.units))
        for visit in visits
        for place in visit.places
        if place.station == name
    )
    most = max(sum(units for start, until, units in spans if start <= edge < until) for edge, *_ in spans)
    row = chart.row(f"{name}, {most} of {count}", 1)
    for start, end in _merged([(start, until) for start, until, _ in spans]):
        chart.hatched(start, end, row(0))


def _outside(start: int, end: int, taken: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return the pieces of a stretch in which nothing else is done: who works while glue sets is drawn at work."""
    found = []
    at = start
    for begun, ended in sorted(taken):
        if begun >= end or ended <= at:
            continue
        if begun > at:
            found.append((at, begun))
        at = max(at, ended)
    return [*found, (at, end)] if at < end else found


def _merged(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for start, end in sorted(spans):
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((start, end))
    return found


def _in_lanes(bars: Sequence[tuple[int, int, str]]) -> list[tuple[int, int, str, int]]:
    """Return bars with the lowest lane in which each is free of those before it."""
    ends: list[int] = []
    found = []
    for start, end, text in sorted(bars):
        lane = next((place for place, until in enumerate(ends) if until <= start), len(ends))
        ends[lane : lane + 1] = [end]
        found.append((start, end, text, lane))
    return found


def _late(chart: Chart, window: Window, table: Timetable, numbers: Mapping[str, str]) -> str:
    """Draw the latest start of work that cannot be stopped half way, behind the bars and named below."""
    told = ""
    whole = {operation.key for operation in table.lesson.operations if operation.pause is Pause.NONE}
    for late in table.late:
        if late.operation not in whole or late.start is None or not window.start <= late.start < window.end:
            continue
        x = chart.window.x(late.start)
        chart.strokes += [Stroke(LineKind.NEW_OUTLINE, pair) for pair in free_pieces(chart, x, -chart.depth - 1.5)]
        clock = f"{table.grid.moment(late.start):%H:%M}"
        words = f"latest start of {numbers[late.operation]}, {clock}"
        half = text_width(words, HEIGHT) / 2
        middle = min(max(x, window.left + half), window.right - half)
        chart.labels.append(
            Label(kind=LabelKind.WORD, text=words, x=round(middle, 3), y=-chart.depth - 4.0, height=HEIGHT)
        )
        told += f" The latest start of {numbers[late.operation]} is {clock}."
    return told


def _in_words(table: Timetable, window: Window, numbers: Mapping[str, str]) -> str:
    parts = []
    for station in table.lesson.stations:
        visits = [v for v in table.at(station.key) if station.set and window.meets(v.start, v.end)]
        queue = [f"{v.maker} at {table.grid.moment(v.start):%H:%M} for {numbers[v.operation]}" for v in visits]
        if queue:
            parts.append(f"{station.key}: {', '.join(queue)}")
    return "; ".join(parts) + "."


def _hours(table: Timetable, session: int) -> list[tuple[int, str]]:
    """Return the full hours of a session, and its start and end, as minutes and as the clock shows them."""
    one = table.lesson.sessions[session]
    hour = one.start.replace(minute=0)
    found = []
    while hour <= one.end:
        if hour >= one.start:
            found.append((minute_of(table, hour), f"{hour:%H:%M}"))
        hour = (hour.astimezone(UTC) + timedelta(hours=1)).astimezone(one.start.tzinfo)
    return found
