"""Charts of time: rows of bars against a clock, told apart without colour.

Black while the teacher shows something to all, white with an outline and a number for work, hatched for what waits or
is held.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from planbook.drawing.hatching import hatch_lines
from planbook.drawing.picture import Area, Box, Label, LabelKind, Picture, Point, Stroke
from planbook.drawing.style import LineKind, Shade
from planbook.drawing.text import text_width

LANE = 5.6
"""Height of a lane with its gap, mm; the number in it is read at arm's length over a bench."""
BAR = 4.4
GAP = 1.4
"""Between two rows."""
HEIGHT = 2.4
NAMES = 38.0
"""Least width of the column with the names of the rows."""


class Clock(Protocol):
    """Minutes against millimetres."""

    @property
    def right(self) -> float:
        """Where the last minute lies."""

    def x(self, minute: int) -> float:
        """Return where a minute lies, at the rim where it lies outside."""

    def meets(self, start: int, end: int) -> bool:
        """Whether anything of a stretch of minutes is shown."""


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
class Chart:
    """A chart in the making; rows grow downwards, and are turned up at the end."""

    window: Clock
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
        """Add a line of a kind."""
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


def finished(chart: Chart, hours: list[tuple[int, str]], *, title: str, alt: str, width: float) -> Picture:
    """Add the hours and turn the chart up."""
    head, foot = 6.0, 6.5 if any(label.y < -chart.depth for label in chart.labels) else 1.5
    for minute, text in hours:
        x = chart.window.x(minute)
        chart.strokes += [Stroke(LineKind.GRID, pair) for pair in free_pieces(chart, x, -chart.depth)]
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


def free_pieces(chart: Chart, x: float, low: float) -> list[tuple[Point, Point]]:
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
