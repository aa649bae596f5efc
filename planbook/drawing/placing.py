"""Where letters, words and arrows go: on their thing where there is room, else beside it with a leader."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import cos, hypot, pi, sin
from typing import TYPE_CHECKING

from planbook.drawing.dimension import along, unit
from planbook.drawing.picture import Box, Label, LabelKind, Point
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import (
    CIRCLE_DIAMETER,
    HEAD_LENGTH,
    LEADER_DOT,
    LETTER_HEIGHT,
    WORD_HEIGHT,
    LineKind,
    Shade,
)

if TYPE_CHECKING:
    from shapely import Polygon

Ring = Sequence[Point]

GRAIN_LENGTH = 26.0
RINGS = (7.0, 9.0, 12.0, 15.0, 19.0, 24.0, 30.0, 37.0, 46.0, 57.0)
"""Distances at which a place beside a thing is tried."""
ON_ANOTHER = 60.0
"""What it costs to stand on wood with a leader to something else: it would name the wrong thing."""
GROWTH = 1.2
"""What each mm costs by which a label makes the drawing larger, and so the wood smaller."""
ROUND = 16
"""Directions tried at each distance."""


def letter_label(letter: str, hand: str, at: Point) -> Label:
    """Return a part letter in its circle, with the hand beside it."""
    return Label(kind=LabelKind.LETTER, text=letter, hand=hand, x=at[0], y=at[1], height=LETTER_HEIGHT, bold=True)


def word_label(text: str, at: Point, *, kind: LabelKind = LabelKind.WORD) -> Label:
    """Return a word."""
    return Label(kind=kind, text=text, x=at[0], y=at[1], height=WORD_HEIGHT)


def centred(label: Label, middle: Point) -> Label:
    """Return a label moved so that the middle of its whole box lies at a point."""
    left, bottom, right, top = label.box
    return replace(label, x=label.x + middle[0] - (left + right) / 2, y=label.y + middle[1] - (bottom + top) / 2)


def inside(
    sheet: Sheet, label: Label, region: Polygon, prefer: Point, *, pad: float = 0.8, also: Sequence[Point] = ()
) -> Label | None:
    """Return the label at the free place of a region that is nearest to a point, or None.

    Tried are the point, the places in `also`, and a grid over the region.
    """
    left, bottom, right, top = region.bounds
    wide, high = label.box[2] - label.box[0], label.box[3] - label.box[1]
    if right - left < wide or top - bottom < high:
        return None
    columns = max(int((right - left) / 2.5), 1)
    rows = max(int((top - bottom) / 2.5), 1)
    places = [prefer, *also] + [
        (left + (right - left) * (c + 0.5) / columns, bottom + (top - bottom) * (r + 0.5) / rows)
        for c in range(columns)
        for r in range(rows)
    ]
    fitting = _within(region, label, places, pad)
    fitting.sort(key=lambda p: (round(hypot(p[0] - prefer[0], p[1] - prefer[1]), 6), p))
    for place in fitting:
        moved = centred(label, place)
        if not sheet.label_cost(moved):
            return moved
    return None


def _within(region: Polygon, label: Label, places: Sequence[Point], pad: float) -> list[Point]:
    """Return the places at which a label lies in a region: its box, or its circle and its hand."""
    import numpy as np
    import shapely

    shapely.prepare(region)
    x, y = np.asarray(places, dtype=float).T
    at_origin = centred(label, (0.0, 0.0))
    left, bottom, right, top = at_origin.box
    if label.circled:
        core = region.buffer(-CIRCLE_DIAMETER / 2 - pad, quad_segs=4)
        good = shapely.contains_xy(core, x + at_origin.x, y + at_origin.y)
        if label.hand:
            half = label.height / 2 + pad
            hands = shapely.box(x + at_origin.x, y - half, x + right + pad, y + half)
            good &= shapely.contains(region, hands)
    else:
        boxes = shapely.box(x + left - pad, y + bottom - pad, x + right + pad, y + top + pad)
        good = shapely.contains(region, boxes)
    return [place for place, fits in zip(places, good.tolist(), strict=True) if fits]


def beside(sheet: Sheet, label: Label, target: Point, *, region: Polygon | None = None) -> Label:
    """Write a label beside its thing, with a leader that ends on it in a dot, and return it.

    The place is the cheapest round the target: near, over nothing, its leader across few lines.
    """
    from shapely import box, prepare

    if region is not None:
        prepare(region)
    half = (label.box[2] - label.box[0]) / 2
    rim = sheet.bounds
    tries: list[tuple[float, int, Label]] = []
    for far in RINGS:
        for turn in range(ROUND):
            angle = 2 * pi * turn / ROUND
            middle = (target[0] + (far + half * abs(cos(angle))) * cos(angle), target[1] + far * sin(angle))
            moved = centred(label, middle)
            tries.append((far + GROWTH * _beyond(moved, rim), len(tries), moved))
    tries.sort(key=lambda row: row[:2])
    best: tuple[float, Label] | None = None
    # What is cheap to know comes first, so that most places need no closer look.
    for least, _, moved in tries:
        cost = least
        if best is not None and best[0] <= cost:
            break
        if region is not None and region.intersects(box(*moved.box)):
            cost += ON_ANOTHER
        if best is None or cost < best[0]:
            cost += sheet.line_cost(leader_start(moved, target), target, solid=7.0, thin=14.0)
        if best is None or cost < best[0]:
            cost += sheet.label_cost(moved)
        if best is None or cost < best[0] - 1e-9:
            best = (cost, moved)
    assert best is not None
    leader(sheet, leader_start(best[1], target), target)
    return sheet.label(best[1])


def _beyond(label: Label, rim: Box) -> float:
    """Return by how many mm a label would make the drawing wider and higher."""
    left, bottom, right, top = label.box
    return max(rim[0] - left, 0.0) + max(right - rim[2], 0.0) + max(rim[1] - bottom, 0.0) + max(top - rim[3], 0.0)


def leader_start(label: Label, target: Point) -> Point:
    """Return where a leader leaves a label: the rim of the circle, or the nearest middle of a side."""
    if label.circled:
        if label.hand and target[0] > label.box[2] and abs(target[1] - label.y) < abs(target[0] - label.x):
            return label.box[2] + 0.8, label.y
        return along((label.x, label.y), unit(target[0] - label.x, target[1] - label.y), CIRCLE_DIAMETER / 2)
    left, bottom, right, top = label.box
    gap = 0.8
    middle_x, middle_y = (left + right) / 2, (bottom + top) / 2
    sides = (
        (left - gap, middle_y),
        (right + gap, middle_y),
        (middle_x, bottom - gap),
        (middle_x, top + gap),
    )
    return min(sides, key=lambda p: hypot(p[0] - target[0], p[1] - target[1]))


def leader(sheet: Sheet, start: Point, end: Point) -> None:
    """Draw a leader that ends in a dot on a surface."""
    sheet.line(LineKind.LEADER, start, end)
    ring = [
        (end[0] + LEADER_DOT / 2 * cos(2 * pi * k / 16), end[1] + LEADER_DOT / 2 * sin(2 * pi * k / 16))
        for k in range(16)
    ]
    sheet.area(Shade.INK, ring)


def place_letter(
    sheet: Sheet,
    letter: str,
    hand: str,
    region: Polygon | None,
    target: Point,
    *,
    outside: Polygon | None = None,
    also: Sequence[Point] = (),
) -> Label:
    """Write a part letter on its visible region where it fits, else beside it with a leader."""
    label = letter_label(letter, hand, target)
    if region is not None:
        found = inside(sheet, label, region, target, also=also)
        if found is not None:
            return sheet.label(found)
    return beside(sheet, label, target, region=outside)


def place_word(
    sheet: Sheet,
    text: str,
    region: Polygon,
    prefer: Point,
    *,
    kind: LabelKind = LabelKind.WORD,
    also: Sequence[Point] = (),
) -> Label | None:
    """Write a word on a region at the free place nearest to a point; None where there is no room."""
    found = inside(sheet, word_label(text, prefer, kind=kind), region, prefer, also=also)
    return sheet.label(found) if found is not None else None


def place_grain(sheet: Sheet, region: Polygon, direction: Point, prefer: Point) -> bool:
    """Draw the two-headed open arrow of the grain with its word, where a region has room for both."""
    for length in (GRAIN_LENGTH, 18.0, 12.0):
        word = word_label("grain", (0.0, 0.0))
        wide, high = word.box[2] - word.box[0], word.box[3] - word.box[1]
        flat = abs(direction[0]) > abs(direction[1])
        # One block: the arrow, and the word above it or at its right.
        block_wide = max(abs(direction[0]) * length, wide) if flat else abs(direction[0]) * length + 2 + wide
        block_high = abs(direction[1]) * length + 1.6 + high if flat else max(abs(direction[1]) * length, high)
        middle = _free_block(sheet, region, block_wide + 2, block_high + 2, prefer)
        if middle is None:
            continue
        if flat:
            centre = (middle[0], middle[1] - (1.6 + high) / 2)
            word_at = (middle[0], middle[1] + block_high / 2 - high / 2)
        else:
            centre = (middle[0] - (2 + wide) / 2, middle[1])
            word_at = (middle[0] + block_wide / 2 - wide / 2, middle[1])
        ends = [along(centre, direction, side * length / 2) for side in (-1, 1)]
        sheet.line(LineKind.GRAIN, *ends)
        open_head(sheet, ends[1], direction, kind=LineKind.GRAIN)
        open_head(sheet, ends[0], (-direction[0], -direction[1]), kind=LineKind.GRAIN)
        sheet.label(centred(word, word_at))
        return True
    return False


def _free_block(sheet: Sheet, region: Polygon, wide: float, high: float, prefer: Point) -> Point | None:
    import numpy as np
    import shapely

    shapely.prepare(region)
    left, bottom, right, top = region.bounds
    steps = 14
    places = [
        (left + (right - left) * (c + 0.5) / steps, bottom + (top - bottom) * (r + 0.5) / steps)
        for c in range(steps)
        for r in range(steps)
    ]
    places.sort(key=lambda p: (round(hypot(p[0] - prefer[0], p[1] - prefer[1]), 6), p))
    x, y = np.asarray(places).T
    good = shapely.contains(region, shapely.box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2))
    for (px, py), fits in zip(places, good.tolist(), strict=True):
        block = (px - wide / 2, py - high / 2, px + wide / 2, py + high / 2)
        if fits and not sheet.box_cost(block):
            return (px, py)
    return None


def open_head(
    sheet: Sheet, tip: Point, direction: Point, *, kind: LineKind = LineKind.MOTION_HEAD, length: float = HEAD_LENGTH
) -> None:
    """Draw an open arrowhead of 50 degrees whose point is at `tip`."""
    arms = []
    for turn in (25, -25):
        angle = pi * turn / 180
        back = (
            -direction[0] * cos(angle) + direction[1] * sin(angle),
            -direction[0] * sin(angle) - direction[1] * cos(angle),
        )
        arms.append(along(tip, back, length))
    sheet.line(kind, arms[0], tip, arms[1])
