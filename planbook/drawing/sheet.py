"""A picture in the making: what is drawn so far, and where there is still room.

Labels and dimension lines are placed one after the other, each at the cheapest of some places that
custom allows. The costs are our own; what they forbid first of all is a label over a label or over
an edge of the wood. Many places are judged at once, as arrays.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from planbook.drawing.picture import Area, Box, Label, Picture, Point, Stroke
from planbook.drawing.segments import Segments, boxes_meet, meet_boxes
from planbook.drawing.style import CIRCLE_DIAMETER, MARGIN, SOLID_KINDS, LineKind, Shade

if TYPE_CHECKING:
    from planbook.drawing.segments import Floats

THIN_KINDS = (LineKind.DIMENSION, LineKind.STROKE, LineKind.LEADER, LineKind.CENTRE, LineKind.GRAIN)
"""Kinds that a label must keep clear of, though less strictly than of the wood."""
MOVING_KINDS = (LineKind.MOTION, LineKind.MOTION_HEAD)
_CLASSES = (SOLID_KINDS, THIN_KINDS, MOVING_KINDS)
_CLASS_OF = {kind: code for code, kinds in enumerate(_CLASSES) for kind in kinds}
LABEL_HIT = 400.0
"""What it costs to write over a label, or too near to it."""
EVEN_GROWTH = (1.2, 1.2)
_NEVER = (float("inf"), float("inf"), float("-inf"), float("-inf"))


@dataclass(frozen=True, slots=True)
class Choice:
    """What was chosen for a label, and what it cost there."""

    text: str
    place: int | tuple[float, float] | None
    """Which of the places tried: its number, or level and rank of a dimension, or how far it lies from the
    place that was preferred; None where there was no room."""
    cost: float


class Sheet:
    """Lines, areas and labels in mm, y up, with an origin of the maker's choice.

    `like` is the same drawing at another factor: what was chosen there is tried first. Where there was no
    room it is looked for again only if the factor is not `about_same`. `growth` is what each mm costs by
    which a label makes the drawing wider and higher, and so the wood smaller.
    """

    def __init__(
        self, *, like: Sheet | None = None, about_same: bool = False, growth: tuple[float, float] = EVEN_GROWTH
    ) -> None:
        self.strokes: list[Stroke] = []
        self.areas: list[Area] = []
        self.labels: list[Label] = []
        self.spans: list[tuple[Point, Point]] = []
        """Between which points the dimensions measure, on their lines."""
        self.choices: list[Choice] = []
        self.growth = growth
        self._earlier: Sequence[Choice] = like.choices if like is not None else ()
        self._about_same = about_same
        self._bulk: list[tuple[LineKind, Floats]] = []
        """Straight lines (n, 4) that were drawn together."""
        self._boxes: list[Box] = []
        """Boxes of the labels."""
        self._blots: list[Box] = []
        """Boxes round areas of ink."""
        self._segments = Segments(len(_CLASSES))
        self._bounds: Box = _NEVER

    def line(self, kind: LineKind, *points: Point, closed: bool = False) -> None:
        """Draw a polyline."""
        self.strokes.append(Stroke(kind, points, closed))
        self._cover([x for x, _ in points], [y for _, y in points])
        code = _CLASS_OF.get(kind)
        if code is not None:
            for a, b in pairwise((*points, points[0]) if closed else points):
                self._segments.add(a, b, code)

    def lines(self, kind: LineKind, rows: Floats) -> None:
        """Draw straight lines (n, 4): from x, y to x, y."""
        if not len(rows):
            return
        self._bulk.append((kind, rows))
        ends = rows.reshape(-1, 2)
        (left, bottom), (right, top) = ends.min(axis=0).tolist(), ends.max(axis=0).tolist()
        self._cover((left, right), (bottom, top))
        code = _CLASS_OF.get(kind)
        if code is not None:
            self._segments.extend(rows, code)

    def area(self, shade: Shade, outer: Sequence[Point], holes: Iterable[Sequence[Point]] = ()) -> None:
        """Fill a polygon; one of ink is in the way of labels."""
        self.areas.append(Area(shade, tuple(outer), tuple(tuple(hole) for hole in holes)))
        xs, ys = [x for x, _ in outer], [y for _, y in outer]
        self._cover(xs, ys)
        if shade is Shade.INK:
            self._blots.append((min(xs), min(ys), max(xs), max(ys)))

    def label(self, label: Label) -> Label:
        """Write a label at its own place."""
        self.labels.append(label)
        box = label.box
        self._boxes.append(box)
        self._cover(box[::2], box[1::2])
        return label

    def chosen(self, text: str, place: int | tuple[float, float] | None, cost: float) -> None:
        """Remember what was chosen for a label, for the same drawing at another factor."""
        self.choices.append(Choice(text, place, cost))

    def earlier(self, text: str) -> Choice | None:
        """Return what was chosen for the label that is next, on the sheet that this one is like."""
        number = len(self.choices)
        if number >= len(self._earlier):
            return None
        choice = self._earlier[number]
        return choice if choice.text == text and (choice.place is not None or self._about_same) else None

    def label_hits(self, boxes: Floats, gap: float = 1.6) -> Floats:
        """Return how many labels each box (n, 4) would lie over, or come nearer to than `gap` mm."""
        if not self._boxes:
            return np.zeros(len(boxes))
        hits: Floats = boxes_meet(boxes, np.array(self._boxes), gap).sum(axis=1).astype(np.float64)
        return hits

    def box_costs(self, boxes: Floats, *, pad: float = 1.0) -> Floats:
        """Return what it costs to write in each box (n, 4): 0 where there is room."""
        padded = boxes + np.array([-pad, -pad, pad, pad])
        costs = LABEL_HIT * self.label_hits(boxes) + _prices(self._segments.in_boxes(padded))
        if self._blots:
            blots = boxes_meet(padded, np.array(self._blots)).sum(axis=1)
            costs += 120.0 * np.minimum(blots, 3)
        return costs

    def box_cost(self, box: Box, *, pad: float = 1.0) -> float:
        """Return what it costs to write in one box."""
        return float(self.box_costs(np.array([box]), pad=pad)[0])

    def label_costs(self, label: Label, places: Floats) -> Floats:
        """Return what it costs to write a label at each of some places (n, 2), as its `x` and `y`.

        For a part letter that is: round its circle and its hand.
        """
        x, y = label.x, label.y
        offsets = np.array(label.box) - (x, y, x, y)
        boxes = np.hstack([places, places]) + offsets
        if not label.circled:
            return self.box_costs(boxes)
        hits = self.label_hits(boxes)
        if self._blots:
            hits = hits + boxes_meet(boxes, np.array(self._blots)).sum(axis=1)
        costs: Floats = LABEL_HIT * hits + _prices(self._segments.near(places, CIRCLE_DIAMETER / 2 + 0.7))
        if label.hand:
            half = label.height / 2
            beside = np.array([CIRCLE_DIAMETER / 2, -half, offsets[2], half])
            costs += self.box_costs(np.hstack([places, places]) + beside, pad=0.6)
        return costs

    def line_costs(self, lines: Floats, *, solid: float | Floats = 3.0, thin: float | Floats = 1.0) -> Floats:
        """Return what it costs to draw each line (n, 4): over labels most, over other lines a little."""
        counts = self._segments.crossing(lines)
        costs: Floats = solid * counts[:, 0] + thin * counts[:, 1] + 12.0 * counts[:, 2]
        if self._boxes:
            boxes = np.array(self._boxes) + np.array([-0.5, -0.5, 0.5, 0.5])
            costs += 300.0 * meet_boxes(lines, boxes).sum(axis=0)
        if self._blots:
            costs += 4.0 * meet_boxes(lines, np.array(self._blots)).sum(axis=0)
        return costs

    def _cover(self, xs: Sequence[float], ys: Sequence[float]) -> None:
        left, bottom, right, top = self._bounds
        self._bounds = (min(left, *xs), min(bottom, *ys), max(right, *xs), max(top, *ys))

    @property
    def bounds(self) -> Box:
        """Bounding box of everything so far; raises ValueError where there is nothing."""
        if self._bounds == _NEVER:
            raise ValueError("nothing is drawn")
        return self._bounds

    def add(self, other: Sheet, dx: float, dy: float) -> None:
        """Take over everything of another sheet, moved."""
        for stroke in other.strokes:
            self.line(stroke.kind, *_moved(stroke.points, dx, dy), closed=stroke.closed)
        for kind, rows in other._bulk:
            self.lines(kind, rows + np.array([dx, dy, dx, dy]))
        for area in other.areas:
            self.area(area.shade, _moved(area.outer, dx, dy), [_moved(hole, dx, dy) for hole in area.holes])
        for label in other.labels:
            self.label(replace(label, x=label.x + dx, y=label.y + dy))

    def picture(self, *, title: str, alt: str, width: float | None = None, scale: str = "") -> Picture:
        """Return the finished picture, moved so that it stands in the middle of `width`.

        Without a width, or where the drawing is wider, the picture is as wide as what is drawn.
        """
        left, bottom, right, top = self.bounds
        across = max(width or 0.0, right - left + 2 * MARGIN)
        dx = round((across - (right - left)) / 2 - left, 3)
        dy = round(MARGIN - bottom, 3)
        strokes = [Stroke(s.kind, _moved(s.points, dx, dy), s.closed) for s in self.strokes]
        for kind, rows in self._bulk:
            moved = np.round(rows + np.array([dx, dy, dx, dy]), 3).tolist()
            strokes += [Stroke(kind, ((x1, y1), (x2, y2))) for x1, y1, x2, y2 in moved]
        return Picture(
            title=title,
            alt=alt,
            width=round(across, 2),
            height=round(top - bottom + 2 * MARGIN, 2),
            scale=scale,
            strokes=tuple(strokes),
            areas=tuple(
                Area(a.shade, _moved(a.outer, dx, dy), tuple(_moved(h, dx, dy) for h in a.holes)) for a in self.areas
            ),
            labels=tuple(replace(lab, x=round(lab.x + dx, 3), y=round(lab.y + dy, 3)) for lab in self.labels),
        )


def _prices(counts: Floats) -> Floats:
    """Return what it costs to write over lines of the wood, of dimensions and of motion."""
    prices: Floats = np.minimum(counts, (3.0, 3.0, 2.0)) @ np.array([120.0, 40.0, 60.0])
    return prices


def _moved(points: tuple[Point, ...], dx: float, dy: float) -> tuple[Point, ...]:
    return tuple([(round(x + dx, 3), round(y + dy, 3)) for x, y in points])
