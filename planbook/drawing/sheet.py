"""A picture in the making: what is drawn so far, and where there is still room.

Labels and dimension lines are placed one after the other, each at the cheapest of some places that
custom allows. The costs are our own; what they forbid first of all is a label over a label or over
an edge of the wood.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from planbook.drawing.picture import (
    Area,
    Box,
    Label,
    Picture,
    Point,
    Stroke,
    boxes_overlap,
    segment_meets_box,
    segments_of,
)
from planbook.drawing.segments import Segments
from planbook.drawing.style import CIRCLE_DIAMETER, MARGIN, SOLID_KINDS, LineKind, Shade

THIN_KINDS = (LineKind.DIMENSION, LineKind.STROKE, LineKind.LEADER, LineKind.CENTRE, LineKind.GRAIN)
"""Kinds that a label must keep clear of, though less strictly than of the wood."""
MOVING_KINDS = (LineKind.MOTION, LineKind.MOTION_HEAD)
_CLASSES = (SOLID_KINDS, THIN_KINDS, MOVING_KINDS)
_CLASS_OF = {kind: code for code, kinds in enumerate(_CLASSES) for kind in kinds}


class Sheet:
    """Lines, areas and labels in mm, y up, with an origin of the maker's choice."""

    def __init__(self) -> None:
        self.strokes: list[Stroke] = []
        self.areas: list[Area] = []
        self.labels: list[Label] = []
        self.blots: list[Box] = []
        """Boxes round areas of ink."""
        self._boxes: list[Box] = []
        """Boxes of the labels."""
        self.spans: list[tuple[Point, Point]] = []
        """Between which points the dimensions measure, on their lines."""
        self._segments = Segments(len(_CLASSES))

    def line(self, kind: LineKind, *points: Point, closed: bool = False) -> None:
        """Draw a polyline."""
        stroke = Stroke(kind, points, closed)
        self.strokes.append(stroke)
        self._remember(stroke)

    def _remember(self, stroke: Stroke) -> None:
        code = _CLASS_OF.get(stroke.kind)
        if code is not None:
            for a, b in segments_of(stroke):
                self._segments.add(a, b, code)

    def area(self, shade: Shade, outer: Sequence[Point], holes: Iterable[Sequence[Point]] = ()) -> None:
        """Fill a polygon; one of ink is in the way of labels."""
        self.areas.append(Area(shade, tuple(outer), tuple(tuple(hole) for hole in holes)))
        if shade is Shade.INK:
            xs, ys = [x for x, _ in outer], [y for _, y in outer]
            self.blots.append((min(xs), min(ys), max(xs), max(ys)))

    def label(self, label: Label) -> Label:
        """Write a label at its own place."""
        self.labels.append(label)
        self._boxes.append(label.box)
        return label

    def label_hits(self, box: Box, gap: float = 1.6) -> int:
        """Return how many labels a box would lie over, or come nearer than `gap` mm."""
        return sum(boxes_overlap(box, other, gap) for other in self._boxes)

    def box_cost(self, box: Box, *, pad: float = 1.0) -> float:
        """Return what it costs to write in a box: 0 where there is room."""
        padded = (box[0] - pad, box[1] - pad, box[2] + pad, box[3] + pad)
        solid, thin, moving = self._segments.in_box(padded)
        return (
            400.0 * self.label_hits(box)
            + 120.0 * min(sum(boxes_overlap(padded, blot) for blot in self.blots), 3)
            + _prices(solid, thin, moving)
        )

    def label_cost(self, label: Label) -> float:
        """Return what it costs to write a label where it is: for a letter, round its circle and its hand."""
        if not label.circled:
            return self.box_cost(label.box)
        hits = self.label_hits(label.box) + sum(boxes_overlap(label.box, blot) for blot in self.blots)
        solid, thin, moving = self._segments.near((label.x, label.y), CIRCLE_DIAMETER / 2 + 0.7)
        cost = 400.0 * hits + _prices(solid, thin, moving)
        if label.hand:
            box = (label.x + CIRCLE_DIAMETER / 2, label.y - label.height / 2, label.box[2], label.y + label.height / 2)
            cost += self.box_cost(box, pad=0.6)
        return cost

    def line_cost(self, a: Point, b: Point, *, solid: float = 3.0, thin: float = 1.0) -> float:
        """Return what it costs to draw a line: over labels most, over other lines a little."""
        hits = sum(
            segment_meets_box(a, b, (box[0] - 0.5, box[1] - 0.5, box[2] + 0.5, box[3] + 0.5)) for box in self._boxes
        )
        blots = sum(segment_meets_box(a, b, blot) for blot in self.blots if _side_by_side(a, b, blot))
        on_wood, on_thin, on_moving = self._segments.crossing(a, b)
        return 300.0 * hits + 4.0 * blots + 12.0 * on_moving + solid * on_wood + thin * on_thin

    @property
    def bounds(self) -> Box:
        """Bounding box of everything so far."""
        return self._loose("", "").bounds

    def add(self, other: Sheet, dx: float, dy: float) -> None:
        """Take over everything of another sheet, moved."""
        for stroke in other.strokes:
            self.line(stroke.kind, *_moved(stroke.points, dx, dy), closed=stroke.closed)
        self.areas += [
            Area(a.shade, _moved(a.outer, dx, dy), tuple(_moved(h, dx, dy) for h in a.holes)) for a in other.areas
        ]
        for label in other.labels:
            self.label(replace(label, x=label.x + dx, y=label.y + dy))
        self.blots += [(b[0] + dx, b[1] + dy, b[2] + dx, b[3] + dy) for b in other.blots]

    def _loose(self, title: str, alt: str, scale: str = "") -> Picture:
        return Picture(
            title=title, alt=alt, width=0.0, height=0.0, scale=scale, strokes=tuple(self.strokes),
            areas=tuple(self.areas), labels=tuple(self.labels),
        )  # fmt: skip

    def picture(self, *, title: str, alt: str, width: float | None = None, scale: str = "") -> Picture:
        """Return the finished picture, moved so that it stands in the middle of `width`.

        Without a width, or where the drawing is wider, the picture is as wide as what is drawn.
        """
        loose = self._loose(title, alt, scale)
        left, bottom, right, top = loose.bounds
        across = max(width or 0.0, right - left + 2 * MARGIN)
        dx = round((across - (right - left)) / 2 - left, 3)
        dy = round(MARGIN - bottom, 3)
        return replace(
            loose,
            width=round(across, 2),
            height=round(top - bottom + 2 * MARGIN, 2),
            strokes=tuple(replace(s, points=_moved(s.points, dx, dy)) for s in self.strokes),
            areas=tuple(
                Area(a.shade, _moved(a.outer, dx, dy), tuple(_moved(h, dx, dy) for h in a.holes)) for a in self.areas
            ),
            labels=tuple(replace(lab, x=round(lab.x + dx, 3), y=round(lab.y + dy, 3)) for lab in self.labels),
        )


def _prices(solid: int, thin: int, moving: int) -> float:
    """Return what it costs to write over lines of the wood, of dimensions and of motion."""
    return 120.0 * min(solid, 3) + 40.0 * min(thin, 3) + 60.0 * min(moving, 2)


def _side_by_side(a: Point, b: Point, box: Box) -> bool:
    """Whether the box round a line meets another box: a quick test before the exact one."""
    return (
        min(a[0], b[0]) < box[2] and max(a[0], b[0]) > box[0] and min(a[1], b[1]) < box[3] and max(a[1], b[1]) > box[1]
    )


def _moved(points: tuple[Point, ...], dx: float, dy: float) -> tuple[Point, ...]:
    return tuple((round(x + dx, 3), round(y + dy, 3)) for x, y in points)
