"""Charts of a timetable: who is at which station when, and what each one does, for one session.

Told apart without colour: black while the teacher shows something to all, white with an outline and a number for
work, hatched for what waits or is held. The line of a latest start runs behind the bars.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from planbook.drawing.hatching import hatch_lines
from planbook.drawing.picture import Area, Box, Label, LabelKind, Picture, Point, Stroke
from planbook.drawing.style import LineKind, Shade
from planbook.drawing.text import text_width
from planbook.timing.clock import Pause
from planbook.timing.timetable import Timetable, Visit

LANE = 5.6
"""Height of a lane with its gap, mm; the number in it is read at arm's length over a bench."""
BAR = 4.4
GAP = 1.4
"""Between two rows."""
HEIGHT = 2.4
NAMES = 38.0
"""Least width of the column with the names of the rows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A session on paper: minutes of the timetable against millimetres."""

    start: int
    end: int
    left: float
    right: float

    def x(self, minute: int) -> float:
        """Return where a minute lies, at the rim where it lies outside."""
        inside = min(max(minute, self.start), self.end)
        return round(self.left + (inside - self.start) / (self.end - self.start) * (self.right - self.left), 3)

    def meets(self, start: int, end: int) -> bool:
        """Whether a stretch of minutes lies at least partly in the session."""
        return start < self.end and end > self.start


@dataclass(slots=True)
class _Chart:
    """A chart in the making; rows grow downwards, and are turned up at the end."""

    window: Window
    strokes: list[Stroke] = field(default_factory=list)
    areas: list[Area] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    taken: list[Box] = field(default_factory=list)
    """Where no upright line may run."""
    depth: float = 0.0

    def row(self, name: str, lanes: int) -> Callable[[int], float]:
        """Begin a row and return how high the middle of each of its lanes lies."""
        top = -self.depth
        self.depth += lanes * LANE + GAP
        middle = top - (lanes * LANE + GAP) / 2
        wide = text_width(name, HEIGHT)
        self.labels.append(Label(kind=LabelKind.WORD, text=name, x=wide / 2, y=middle, height=HEIGHT))
        self.line(LineKind.GRID, (0.0, -self.depth), (self.window.right, -self.depth))
        return lambda lane: top - GAP / 2 - (lane + 0.5) * LANE

    def line(self, kind: LineKind, *points: Point, closed: bool = False) -> None:
        self.strokes.append(Stroke(kind, points, closed))

    def bar(self, start: int, end: int, y: float, text: str, *, black: bool = False) -> None:
        """Draw work, or what is shown to all; a word that has no room is left away."""
        box = self._box(start, end, y)
        if box is None:
            return
        self.areas.append(Area(Shade.INK if black else Shade.PAPER, box))
        self.line(LineKind.OUTLINE, *box, closed=True)
        if text and not black and text_width(text, HEIGHT) < box[1][0] - box[0][0] - 0.4:
            middle = (box[0][0] + box[1][0]) / 2
            self.labels.append(Label(kind=LabelKind.WORD, text=text, x=round(middle, 3), y=y, height=HEIGHT))

    def hatched(self, start: int, end: int, y: float) -> None:
        """Draw what waits or is held."""
        box = self._box(start, end, y)
        if box is None:
            return
        self.strokes += [Stroke(LineKind.HATCH, pair) for pair in hatch_lines(box, spacing=1.1)]
        self.line(LineKind.EDGE, *box, closed=True)

    def _box(self, start: int, end: int, y: float) -> tuple[Point, ...] | None:
        if not self.window.meets(start, end):
            return None
        left, right = self.window.x(start), self.window.x(end)
        low, high = round(y - BAR / 2, 3), round(y + BAR / 2, 3)
        self.taken.append((left, low, right, high))
        return ((left, low), (right, low), (right, high), (left, high))


def station_chart(table: Timetable, session: int, *, width: float, numbers: Mapping[str, str]) -> Picture:
    """Return who is at which station in a session; rows are stations, bars carry the place number.

    `numbers` gives what names each operation on paper (`step 7`); it is used below the lines of latest starts.
    """
    window = session_window(table, session, width=width)
    chart = _Chart(window)
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
    late = _late(chart, table, numbers)
    return _finished(
        chart,
        _hours(table, session),
        title=f"Stations, session {session + 1}",
        alt=f"Timetable by station: {_in_words(table, window, numbers)}{late}",
        width=width,
    )


def group_chart(table: Timetable, session: int, *, width: float, numbers: Mapping[str, str], unit: str) -> Picture:
    """Return what each one does in a session; rows are students or pairs, bars carry the number of the step."""
    window = session_window(table, session, width=width)
    chart = _Chart(window)
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
    return _finished(
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


def _all_row(chart: _Chart, table: Timetable, session: int) -> None:
    """Draw what all do: welcome, what is shown, breaks, clean-up."""
    one, row = table.lesson.sessions[session], chart.row("all", 1)
    start, end = chart.window.start, chart.window.end
    if one.opening:
        chart.bar(start, start + one.opening, row(0), "", black=True)
    for pause, resume in one.breaks:
        chart.bar(minute_of(table, pause), minute_of(table, resume), row(0), "break")
    for common in table.common:
        if common.kind == "demonstration":
            chart.bar(common.start, common.end, row(0), "", black=True)
    if one.clean_up:
        chart.bar(end - one.clean_up, end, row(0), "clean up")


def _held_row(chart: _Chart, name: str, count: int, visits: Sequence[Visit]) -> None:
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


def _late(chart: _Chart, table: Timetable, numbers: Mapping[str, str]) -> str:
    """Draw the latest start of work that cannot be stopped half way, behind the bars and named below."""
    told = ""
    whole = {operation.key for operation in table.lesson.operations if operation.pause is Pause.NONE}
    for late in table.late:
        if late.operation not in whole or late.start is None or not chart.window.start <= late.start < chart.window.end:
            continue
        x = chart.window.x(late.start)
        chart.strokes += [Stroke(LineKind.NEW_OUTLINE, pair) for pair in _free(chart, x, -chart.depth - 1.5)]
        clock = f"{table.grid.moment(late.start):%H:%M}"
        words = f"latest start of {numbers[late.operation]}, {clock}"
        half = text_width(words, HEIGHT) / 2
        middle = min(max(x, chart.window.left + half), chart.window.right - half)
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


def _finished(chart: _Chart, hours: list[tuple[int, str]], *, title: str, alt: str, width: float) -> Picture:
    """Add the hours and turn the chart up."""
    head, foot = 6.0, 6.5 if any(label.y < -chart.depth for label in chart.labels) else 1.5
    for minute, text in hours:
        x = chart.window.x(minute)
        chart.strokes += [Stroke(LineKind.GRID, pair) for pair in _free(chart, x, -chart.depth)]
        half = text_width(text, HEIGHT) / 2
        x = min(max(x, half), chart.window.right - half)
        chart.labels.append(Label(kind=LabelKind.WORD, text=text, x=round(x, 3), y=2.4, height=HEIGHT))
    chart.line(LineKind.GRID, (0.0, 0.0), (chart.window.right, 0.0))
    up = chart.depth + foot

    def moved(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple((x, round(y + up, 3)) for x, y in points)

    return Picture(
        title=title,
        alt=alt,
        width=width,
        height=round(chart.depth + head + foot, 3),
        strokes=tuple(Stroke(s.kind, moved(s.points), s.closed) for s in chart.strokes),
        areas=tuple(Area(a.shade, moved(a.outer)) for a in chart.areas),
        labels=tuple(
            Label(kind=label.kind, text=label.text, x=label.x, y=round(label.y + up, 3), height=label.height)
            for label in chart.labels
        ),
    )


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


def _free(chart: _Chart, x: float, low: float) -> list[tuple[Point, Point]]:
    """Return the pieces of an upright line, from the top of the chart down to `low`, that no bar stands on."""
    found: list[tuple[Point, Point]] = []
    at = 0.0
    for start, end in sorted(
        (-top, -bottom) for left, bottom, right, top in chart.taken if left + 0.01 < x < right - 0.01
    ):
        if start > at:
            found.append(((x, -at), (x, -start)))
        at = max(at, end)
    if -low > at:
        found.append(((x, -at), (x, low)))
    return found
