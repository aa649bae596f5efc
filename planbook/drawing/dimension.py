"""Dimension lines: where they stand, and where their number goes.

A dimension ends in 45-degree strokes. Its number stands upright in a gap of its own line, which
works in every direction of an isometric view; where the gap is too small for it, the number goes
outside, on the line made longer. Dimension lines stand 10 mm from the wood and from one another.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

import numpy as np

from planbook.drawing.picture import Box, Label, LabelKind, Point
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import (
    EXTENSION_GAP,
    EXTENSION_OVERSHOOT,
    SIZE_HEIGHT,
    STACK,
    STROKE_LENGTH,
    LineKind,
)

if TYPE_CHECKING:
    from planbook.drawing.segments import Floats

GAP = 1.1
"""Free space round a number in its line."""
LEAST_TAIL = 1.8
"""Shortest piece of dimension line that is left on each side of its number."""
LEVELS = 6
LEVEL_COST, RANK_COST = 12.0, 2.0
"""What it costs to stand one level farther out, and to write the number at the next best place."""
SHORT_STROKE = 2.2
"""End strokes of a dimension so short that full ones would run together."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A dimension line with all its pieces."""

    lines: tuple[tuple[Point, Point], ...]
    extensions: tuple[tuple[Point, Point], ...]
    strokes: tuple[tuple[Point, Point], ...]
    span: tuple[Point, Point]
    """The two points between which it measures, on its line."""
    label: Label


def unit(dx: float, dy: float) -> Point:
    """Return the direction of a vector; raises ZeroDivisionError for none."""
    length = hypot(dx, dy)
    return dx / length, dy / length


def along(point: Point, direction: Point, by: float) -> Point:
    """Return a point moved along a direction."""
    return point[0] + direction[0] * by, point[1] + direction[1] * by


def _half_gap(label_box: Box, direction: Point) -> float:
    """Half of the line that a number covers, with its free space."""
    wide, high = (label_box[2] - label_box[0]) / 2 + GAP, (label_box[3] - label_box[1]) / 2 + GAP
    across = wide / abs(direction[0]) if abs(direction[0]) > 1e-9 else float("inf")
    upright = high / abs(direction[1]) if abs(direction[1]) > 1e-9 else float("inf")
    return min(across, upright)


def make_dimension(
    a: Point, b: Point, text: str, *, away: Point, offset: float, at: float = 0.5, height: float = SIZE_HEIGHT
) -> Placed:
    """Return a dimension from a to b whose line stands `offset` from the farther of them.

    `away` is the direction of the extension lines. `at` is the place of the number on the line from
    0 to 1; a value below 0 or above 1 puts it outside, before a or behind b.
    """
    direction = unit(b[0] - a[0], b[1] - a[1])
    # Where one foot lies farther out than the other, its extension line is the shorter one.
    ahead = (b[0] - a[0]) * away[0] + (b[1] - a[1]) * away[1]
    skew = ahead if abs(direction[0] * away[0] + direction[1] * away[1]) < 0.4 else 0.0
    start, end = along(a, away, offset + max(skew, 0.0)), along(b, away, offset + max(-skew, 0.0))
    direction = unit(end[0] - start[0], end[1] - start[1])
    length = hypot(end[0] - start[0], end[1] - start[1])
    label = Label(kind=LabelKind.SIZE, text=text, x=0.0, y=0.0, height=height)
    half = _half_gap(label.box, direction)
    inside = 0.0 <= at <= 1.0
    if inside:
        place = min(max(length * at, half + LEAST_TAIL), max(length - half - LEAST_TAIL, length / 2))
    else:
        place = -half - LEAST_TAIL - 1.0 if at < 0 else length + half + LEAST_TAIL + 1.0
    middle = along(start, direction, place)
    label = Label(kind=LabelKind.SIZE, text=text, x=middle[0], y=middle[1], height=height)
    lines: tuple[tuple[Point, Point], ...]
    if inside:
        lines = (
            (along(start, direction, -1.2), along(middle, direction, -half)),
            (along(middle, direction, half), along(end, direction, 1.2)),
        )
    else:
        ends = (along(start, direction, -1.2), along(end, direction, 1.2))
        near = along(middle, direction, half if at < 0 else -half)
        lines = ((near, ends[1]),) if at < 0 else ((ends[0], near),)
    slant = _slant(direction)
    long = STROKE_LENGTH if length > STROKE_LENGTH else SHORT_STROKE
    strokes = tuple((along(point, slant, -long / 2), along(point, slant, long / 2)) for point in (start, end))
    extensions = tuple(
        (along(foot, away, EXTENSION_GAP), along(head, away, EXTENSION_OVERSHOOT))
        for foot, head in ((a, start), (b, end))
        if hypot(head[0] - foot[0], head[1] - foot[1]) > EXTENSION_GAP + 0.2
    )
    return Placed(lines, extensions, strokes, (start, end), label)


def _slant(direction: Point) -> Point:
    """Direction of the end stroke: the line turned by 45 degrees to the left of its rightward sense."""
    dx, dy = direction
    if dx < -1e-9 or (abs(dx) <= 1e-9 and dy < 0):
        dx, dy = -dx, -dy
    return unit(dx - dy, dx + dy)


def dimension(
    sheet: Sheet,
    a: Point,
    b: Point,
    text: str,
    *,
    away: Point,
    first: float = STACK,
    step: float = STACK,
    height: float = SIZE_HEIGHT,
    levels: int = LEVELS,
    outside: int = 1,
) -> Placed:
    """Draw a dimension at the nearest free level and return it.

    A number that must go outside goes behind b first, or before a where `outside` is -1.
    """
    shares = (0.5, 0.3, 0.7, *((1.5, -0.5) if outside > 0 else (-0.5, 1.5)))
    box = Label(kind=LabelKind.SIZE, text=text, x=0.0, y=0.0, height=height).box
    room = 2 * (_half_gap(box, unit(b[0] - a[0], b[1] - a[1])) + LEAST_TAIL)
    ranks = range(len(shares)) if hypot(b[0] - a[0], b[1] - a[1]) >= room else range(3, len(shares))

    def make(level: int, rank: int) -> Placed:
        return make_dimension(a, b, text, away=away, offset=first + step * level, at=shares[rank], height=height)

    placed = _cheapest(sheet, make, levels, ranks, text)
    draw_dimension(sheet, placed)
    return placed


def _cheapest(sheet: Sheet, make: Callable[[int, int], Placed], levels: int, ranks: Sequence[int], text: str) -> Placed:
    """Return the cheapest way to draw a dimension, and remember it: on a near level, its number inside."""
    earlier = sheet.earlier(text)
    best_cost, best, chosen = float("inf"), (0, 0), None
    if earlier is not None and isinstance(earlier.place, tuple) and earlier.place[1] in ranks:
        best = (int(earlier.place[0]), int(earlier.place[1]))
        chosen = make(*best)
        best_cost = _least(*best) + float(_costs(sheet, [chosen])[0])
    if earlier is None or best_cost > earlier.cost:
        for level in range(levels):
            if best_cost <= _least(level, ranks[0]):
                break
            several = [make(level, rank) for rank in ranks]
            for rank, placed, cost in zip(ranks, several, _costs(sheet, several).tolist(), strict=True):
                if _least(level, rank) + cost < best_cost - 1e-9:
                    best_cost, best, chosen = _least(level, rank) + cost, (level, rank), placed
    assert chosen is not None
    sheet.chosen(text, best, best_cost)
    return chosen


def _least(level: int, rank: int) -> float:
    return LEVEL_COST * level + RANK_COST * rank


def _costs(sheet: Sheet, several: Sequence[Placed]) -> Floats:
    """Return what it costs to draw each of some dimensions where they are."""
    owner, solid, thin, lines = [], [], [], []
    for number, placed in enumerate(several):
        for own, pieces in ((True, placed.lines), (False, placed.extensions)):
            for a, b in pieces:
                lines.append((*a, *b))
                owner.append(number)
                solid.append(60.0 if own else 4.0)
                thin.append(6.0 if own else 2.0)
    on_the_way = sheet.line_costs(np.array(lines), solid=np.array(solid), thin=np.array(thin))
    over = sheet.box_costs(np.array([placed.label.box for placed in several]))
    along = np.array([200.0 * _runs_along(sheet, *placed.span) for placed in several])
    costs: Floats = over + np.bincount(owner, weights=on_the_way, minlength=len(several)) + along
    return costs


def _runs_along(sheet: Sheet, a: Point, b: Point) -> int:
    """Count dimensions that measure on the same line, or nearer than 4 mm beside it, over some length."""
    direction = unit(b[0] - a[0], b[1] - a[1])
    length = hypot(b[0] - a[0], b[1] - a[1])
    found = 0
    for other in sheet.spans:
        ends = [(p[0] - a[0], p[1] - a[1]) for p in other]
        aside = [direction[0] * y - direction[1] * x for x, y in ends]
        if abs(aside[0] - aside[1]) > 1e-3 or abs(aside[0]) > 4.0:
            continue
        low, high = sorted(direction[0] * x + direction[1] * y for x, y in ends)
        found += min(high, length) - max(low, 0.0) > 0.2
    return found


def draw_dimension(sheet: Sheet, placed: Placed) -> None:
    """Draw a placed dimension."""
    for a, b in (*placed.extensions, *placed.lines):
        sheet.line(LineKind.DIMENSION, a, b)
    for a, b in placed.strokes:
        sheet.line(LineKind.STROKE, a, b)
    sheet.spans.append(placed.span)
    sheet.label(placed.label)
