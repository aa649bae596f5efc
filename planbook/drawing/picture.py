"""A picture as plain data: lines by kind, areas, labels, in millimetres on paper.

x runs to the right and **y runs up** from the lower left corner of the picture. A picture knows
nothing of file formats; writers turn it into SVG, and tests read it directly.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING

from planbook.drawing.style import CIRCLE_DIAMETER, SOLID_KINDS, LineKind, Shade
from planbook.drawing.text import text_width

if TYPE_CHECKING:
    from shapely import Polygon

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, bottom, right, top."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A polyline of one kind."""

    kind: LineKind
    points: tuple[Point, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Area:
    """A filled polygon with holes."""

    shade: Shade
    outer: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()


class LabelKind(StrEnum):
    """What a label says."""

    SIZE = "size"
    LETTER = "letter"
    WORD = "word"
    VIEW = "view name"
    MARK = "mark"
    """A number or letter of a hole or of the datum."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A line of text whose middle stands at a point, always upright."""

    kind: LabelKind
    text: str
    x: float
    y: float
    """Middle of the capitals; for a part letter, the centre of its circle."""
    height: float
    """Height of the capitals."""
    bold: bool = False
    hand: str = ""
    """`L` or `R` beside the circle of a part letter, outside."""
    on_ink: bool = False
    """Whether it stands on an area of ink, and is written in the colour of the paper."""

    @property
    def circled(self) -> bool:
        """Whether the text stands in a circle."""
        return self.kind is LabelKind.LETTER

    @property
    def box(self) -> Box:
        """The space that the label takes, with the circle and the hand."""
        if self.circled:
            half = CIRCLE_DIAMETER / 2
            right = self.x + half
            if self.hand:
                right += HAND_GAP + text_width(self.hand, self.height, bold=True)
            return (self.x - half, self.y - half, right, self.y + half)
        half = text_width(self.text, self.height, bold=self.bold) / 2
        below = self.height * (0.78 if any(c in DESCENDERS for c in self.text) else 0.5)
        return (self.x - half, self.y - below, self.x + half, self.y + self.height / 2)

    @property
    def says(self) -> str:
        """The text with its hand, as read aloud."""
        return f"{self.text} {self.hand}" if self.hand else self.text


HAND_GAP = 0.9
"""Between the circle of a part letter and the hand beside it."""
DESCENDERS = "gjpqy,;()"


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A finished picture."""

    title: str
    alt: str
    """What the picture shows, for a reader who does not see it; sizes in words and plain fractions."""
    width: float
    height: float
    scale: str = ""
    """`1 : 10`, `1 1/2 in = 1 ft`, or empty for a pictorial view without a scale."""
    strokes: tuple[Stroke, ...] = ()
    areas: tuple[Area, ...] = ()
    labels: tuple[Label, ...] = ()

    @property
    def bounds(self) -> Box:
        """Bounding box of everything that is drawn; raises ValueError for an empty picture."""
        xs = [x for stroke in self.strokes for x, _ in stroke.points]
        ys = [y for stroke in self.strokes for _, y in stroke.points]
        for area in self.areas:
            xs += [x for x, _ in area.outer]
            ys += [y for _, y in area.outer]
        for label in self.labels:
            left, bottom, right, top = label.box
            xs += [left, right]
            ys += [bottom, top]
        return (min(xs), min(ys), max(xs), max(ys))

    def overlapping_labels(self) -> tuple[tuple[Label, Label], ...]:
        """Return the pairs of labels that lie over each other; a good picture has none."""
        found = []
        for place, first in enumerate(self.labels):
            for second in self.labels[place + 1 :]:
                if boxes_overlap(first.box, second.box):
                    found.append((first, second))
        return tuple(found)

    def crossed_labels(self, kinds: tuple[LineKind, ...] = SOLID_KINDS) -> tuple[Label, ...]:
        """Return the labels that a line of one of the kinds runs through; a good picture has none."""
        segments = [pair for stroke in self.strokes if stroke.kind in kinds for pair in segments_of(stroke)]
        return tuple(label for label in self.labels if any(_meets(a, b, label) for a, b in segments))


@dataclass(frozen=True, slots=True)
class Facts:
    """What a picture says, for tests and for reports."""

    labels: tuple[str, ...]
    """Every label, in the order of drawing."""
    lengths: tuple[tuple[LineKind, float], ...]
    """Total length by kind of line, mm on paper."""
    toned: float
    """Toned area, mm2 on paper."""


def facts(picture: Picture) -> Facts:
    """Return labels, total line lengths and toned area of a picture."""
    lengths: dict[LineKind, float] = {}
    for stroke in picture.strokes:
        total = sum(distance(a, b) for a, b in segments_of(stroke))
        lengths[stroke.kind] = lengths.get(stroke.kind, 0.0) + total
    toned = sum(
        abs(signed_area(area.outer)) - sum(abs(signed_area(hole)) for hole in area.holes)
        for area in picture.areas
        if area.shade is Shade.TONE
    )
    return Facts(
        labels=tuple(label.says for label in picture.labels),
        lengths=tuple((kind, lengths[kind]) for kind in LineKind if kind in lengths),
        toned=toned,
    )


def segments_of(stroke: Stroke) -> list[tuple[Point, Point]]:
    """Return the straight pieces of a polyline, with the closing one."""
    points = stroke.points + (stroke.points[:1] if stroke.closed else ())
    return list(pairwise(points))


def polygon(ring: Iterable[Point], holes: Iterable[Iterable[Point]] = ()) -> Polygon:
    """Return a shapely polygon of points on paper."""
    from shapely import Polygon

    return Polygon(list(ring), [list(hole) for hole in holes])


def distance(a: Point, b: Point) -> float:
    """Return the distance of two points."""
    return float(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5)


def boxes_overlap(a: Box, b: Box, gap: float = 0.0) -> bool:
    """Return whether two boxes share more than their rims, or come closer than `gap`."""
    return a[0] < b[2] + gap and b[0] < a[2] + gap and a[1] < b[3] + gap and b[1] < a[3] + gap


def segment_meets_box(a: Point, b: Point, box: Box) -> bool:
    """Return whether a segment has more than a touching point in common with a box."""
    low, high = 0.0, 1.0
    for axis in (0, 1):
        start, step = a[axis], b[axis] - a[axis]
        near, far = box[axis], box[axis + 2]
        if abs(step) < 1e-12:
            if not near < start < far:
                return False
            continue
        first, last = sorted(((near - start) / step, (far - start) / step))
        low, high = max(low, first), min(high, last)
    return low < high - 1e-9


def segment_distance(a: Point, b: Point, point: Point) -> float:
    """Return how near a segment comes to a point."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = dx * dx + dy * dy
    t = 0.0 if length == 0 else ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / length
    t = min(max(t, 0.0), 1.0)
    return distance((a[0] + t * dx, a[1] + t * dy), point)


def _meets(a: Point, b: Point, label: Label) -> bool:
    if not label.circled:
        return segment_meets_box(a, b, label.box)
    if segment_distance(a, b, (label.x, label.y)) < CIRCLE_DIAMETER / 2 - 1e-6:
        return True
    half = label.height / 2
    hand = (label.x + CIRCLE_DIAMETER / 2, label.y - half, label.box[2], label.y + half)
    return bool(label.hand) and segment_meets_box(a, b, hand)


def signed_area(ring: tuple[Point, ...]) -> float:
    """Return the area of a ring, positive where it runs anticlockwise."""
    return 0.5 * sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(ring, ring[1:] + ring[:1], strict=True))
