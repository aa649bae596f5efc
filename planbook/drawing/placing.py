"""Where letters, words and arrows go: on their thing where there is room, else beside it with a leader."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import cos, hypot, pi, sin
from typing import TYPE_CHECKING

import numpy as np

from planbook.drawing.dimension import along
from planbook.drawing.picture import Box, Label, LabelKind, Point
from planbook.drawing.sheet import LABEL_HIT, Choice, Sheet
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
    from numpy.typing import NDArray
    from shapely import Polygon

    from planbook.drawing.segments import Flags, Floats

    Ints = NDArray[np.int64]

GRAIN_LENGTH = 26.0
RINGS = (7.0, 9.0, 12.0, 15.0, 19.0, 24.0, 30.0, 37.0, 46.0, 57.0)
"""Distances at which a place beside a thing is tried."""
ON_ANOTHER = 60.0
"""What it costs to stand on wood with a leader to something else: it would name the wrong thing."""
ROUND = 16
"""Directions tried at each distance."""
CHUNK = 16
"""Places judged at once: the first few are nearly always enough."""
SAME_COST = 1.0
"""What a place may cost more than on the sheet before and still be taken again."""
BLOCKS = 14
"""Places tried for a block of arrow and word, in each direction."""
_ANGLES = 2 * np.pi * np.arange(ROUND) / ROUND
_FAR = np.repeat(RINGS, ROUND)
_ROUND_ABOUT = _FAR[:, None] * np.tile(np.column_stack([np.cos(_ANGLES), np.sin(_ANGLES)]), (len(RINGS), 1))
"""Places tried beside a thing, from its target."""
_CLOSE = np.concatenate([far * np.column_stack([np.cos(_ANGLES), np.sin(_ANGLES)]) for far in (3.6, 4.6, 6.0, 8.0)])
"""Places tried close to a thing."""
_ASIDE = np.column_stack([np.tile(np.abs(np.cos(_ANGLES)) * np.cos(_ANGLES), len(RINGS)), np.zeros(len(_FAR))])
"""By which share of half a label's width such a place moves aside."""


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
    sheet: Sheet,
    label: Label,
    region: Polygon,
    prefer: Point,
    *,
    pad: float = 0.8,
    also: Sequence[Point] = (),
    within: float = float("inf"),
) -> Label | None:
    """Return the label at the free place of a region that is nearest to a point, or None.

    Tried are the point, the places in `also`, and a grid over the region, no farther off than `within` mm.
    """
    at_origin = centred(label, (0.0, 0.0))
    earlier = sheet.earlier(label.says)
    place: Point | None = None
    if _has_room(region, at_origin) and not (earlier is not None and earlier.place is None):
        if earlier is not None and isinstance(earlier.place, tuple):
            there = (prefer[0] + earlier.place[0], prefer[1] + earlier.place[1])
            place = _first_free(sheet, at_origin, region, np.array([there]), pad)
        if place is None:
            place = _first_free(sheet, at_origin, region, np.array([prefer]), pad)
        if place is None:
            place = _first_free(sheet, at_origin, region, _grid(region, prefer, also), pad)
    if place is None or hypot(place[0] - prefer[0], place[1] - prefer[1]) > within:
        sheet.chosen(label.says, None, 0.0)
        return None
    sheet.chosen(label.says, (place[0] - prefer[0], place[1] - prefer[1]), 0.0)
    return centred(label, place)


def _has_room(region: Polygon, label: Label) -> bool:
    """Whether a label is smaller than the box round a region: a quick test before the exact one."""
    (left, bottom, right, top), box = region.bounds, label.box
    return bool(right - left > box[2] - box[0] and top - bottom > box[3] - box[1])


def _grid(region: Polygon, prefer: Point, also: Sequence[Point]) -> Floats:
    """Return places on a grid over a region, and others, the nearest to a point first."""
    left, bottom, right, top = region.bounds
    columns, rows = max(int((right - left) / 2.5), 1), max(int((top - bottom) / 2.5), 1)
    x, y = np.meshgrid(
        left + (right - left) * (np.arange(columns) + 0.5) / columns,
        bottom + (top - bottom) * (np.arange(rows) + 0.5) / rows,
        indexing="ij",
    )
    places = np.column_stack([x.ravel(), y.ravel()])
    if also:
        places = np.concatenate([np.array(also), places])
    return _nearest_first(places, prefer)


def _nearest_first(places: Floats, prefer: Point) -> Floats:
    far = np.round(np.hypot(places[:, 0] - prefer[0], places[:, 1] - prefer[1]), 6)
    ordered: Floats = places[np.lexsort((places[:, 1], places[:, 0], far))]
    return ordered


def _first_free(sheet: Sheet, at_origin: Label, region: Polygon, places: Floats, pad: float) -> Point | None:
    """Return the first of some places at which a label lies in a region and over nothing."""
    fitting = places[_within(region, at_origin, places, pad)]
    off = np.array([at_origin.x, at_origin.y])
    for start in range(0, len(fitting), CHUNK):
        some = fitting[start : start + CHUNK]
        free = np.flatnonzero(sheet.label_costs(at_origin, some + off) == 0.0)
        if len(free):
            return float(some[free[0], 0]), float(some[free[0], 1])
    return None


def _within(region: Polygon, label: Label, places: Floats, pad: float) -> Flags:
    """Return at which places a label lies in a region: its box, or its circle and its hand.

    The label stands with the middle of its box at the origin.
    """
    import shapely

    shapely.prepare(region)
    x, y = places.T
    left, bottom, right, top = label.box
    good: Flags
    if not label.circled:
        boxes = shapely.box(x + left - pad, y + bottom - pad, x + right + pad, y + top + pad)
        good = shapely.contains(region, boxes)
        return good
    centres = shapely.points(x + label.x, y + label.y)
    good = shapely.contains(region, centres)
    reach = CIRCLE_DIAMETER / 2 + pad
    good &= ~shapely.dwithin(region.boundary, centres, reach)
    if label.hand:
        half = label.height / 2 + pad
        good &= shapely.contains(region, shapely.box(x + label.x, y - half, x + right + pad, y + half))
    return good


def beside(sheet: Sheet, label: Label, target: Point, *, region: Polygon | None = None) -> Label:
    """Write a label beside its thing, with a leader that ends on it in a dot, and return it.

    The place is the cheapest round the target: near, over nothing, its leader across few lines.
    """
    import shapely

    if region is not None:
        shapely.prepare(region)
    at_origin = centred(label, (0.0, 0.0))
    half = (at_origin.box[2] - at_origin.box[0]) / 2
    middles = np.array(target) + _ROUND_ABOUT + half * _ASIDE
    boxes = np.hstack([middles, middles]) + np.array(at_origin.box)
    rim = sheet.bounds

    def least(few: Ints) -> Floats:
        found: Floats = _FAR[few] + _beyond(boxes[few], rim) @ np.array(sheet.growth)
        if region is not None:
            found += ON_ANOTHER * shapely.intersects(region, shapely.box(*boxes[few].T))
        return found + LABEL_HIT * sheet.label_hits(boxes[few])

    def more(few: Ints) -> Floats:
        starts = _leader_starts(at_origin, middles[few], boxes[few], target)
        leaders = np.hstack([starts, np.broadcast_to(target, starts.shape)])
        on_the_way = sheet.line_costs(leaders, solid=7.0, thin=14.0)
        over: Floats = sheet.label_costs(at_origin, middles[few] + np.array([at_origin.x, at_origin.y]))
        return on_the_way + over

    place, cost = _cheapest(sheet.earlier(label.says), least, more)
    sheet.chosen(label.says, place, cost)
    best = centred(label, (float(middles[place, 0]), float(middles[place, 1])))
    leader(sheet, leader_start(best, target), target)
    return sheet.label(best)


def _cheapest(
    earlier: Choice | None, least: Callable[[Ints], Floats], more: Callable[[Ints], Floats]
) -> tuple[int, float]:
    """Return the number of the cheapest place and what it costs; the earlier of two that cost the same.

    What is cheap to know, `least`, comes first, so that most places need no closer look.
    """
    if earlier is not None and isinstance(earlier.place, int):
        one = np.array([earlier.place])
        again = float((least(one) + more(one))[0])
        if again <= earlier.cost + SAME_COST:
            return earlier.place, again
    costs = least(np.arange(len(_FAR)))
    order = np.argsort(np.round(costs, 9), kind="stable")
    best, best_cost = -1, float("inf")
    for start in range(0, len(order), CHUNK):
        few = order[start : start + CHUNK]
        if best_cost <= costs[few[0]]:
            break
        found = costs[few] + more(few)
        at = int(np.argmin(found))
        if found[at] < best_cost - 1e-9:
            best, best_cost = int(few[at]), float(found[at])
    return best, best_cost


def _beyond(boxes: Floats, rim: Box) -> Floats:
    """Return (n, 2): by how many mm each label would make the drawing wider and higher."""
    more: Floats = np.maximum(rim[:2] - boxes[:, :2], 0.0) + np.maximum(boxes[:, 2:] - rim[2:], 0.0)
    return more


def _leader_starts(label: Label, middles: Floats, boxes: Floats, target: Point) -> Floats:
    """Return `leader_start` for a label at each of some places."""
    goal = np.array(target)
    if label.circled:
        centres = middles + np.array([label.x, label.y])
        way = goal - centres
        starts: Floats = centres + way / np.hypot(way[:, 0], way[:, 1])[:, None] * (CIRCLE_DIAMETER / 2)
        if label.hand:
            level = (target[0] > boxes[:, 2]) & (np.abs(way[:, 1]) < np.abs(way[:, 0]))
            starts[level] = np.column_stack([boxes[:, 2] + 0.8, centres[:, 1]])[level]
        return starts
    left, bottom, right, top = boxes.T
    gap = 0.8
    x, y = (left + right) / 2, (bottom + top) / 2
    sides = np.stack([[left - gap, y], [right + gap, y], [x, bottom - gap], [x, top + gap]]).transpose(2, 0, 1)
    nearest = np.argmin(np.hypot(sides[:, :, 0] - goal[0], sides[:, :, 1] - goal[1]), axis=1)
    chosen: Floats = sides[np.arange(len(sides)), nearest]
    return chosen


def leader_start(label: Label, target: Point) -> Point:
    """Return where a leader leaves a label: the rim of the circle, or the nearest middle of a side."""
    left, bottom, right, top = label.box
    middle = ((left + right) / 2, (bottom + top) / 2)
    start = _leader_starts(centred(label, (0.0, 0.0)), np.array([middle]), np.array([label.box]), target)[0]
    return float(start[0]), float(start[1])


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
    within: float = float("inf"),
) -> Label | None:
    """Write a word on a region at the free place nearest to a point; None where there is no room."""
    found = inside(sheet, word_label(text, prefer, kind=kind), region, prefer, also=also, within=within)
    return sheet.label(found) if found is not None else None


def place_near(sheet: Sheet, label: Label, target: Point, *, beyond: float = 0.0) -> Label:
    """Write a mark close to its thing without a leader: at the nearest free place, or at the least bad one.

    The thing is round, of radius `beyond`.
    """
    places = np.array(target) + _CLOSE * (1.0 + beyond / np.hypot(_CLOSE[:, 0], _CLOSE[:, 1]))[:, None]
    costs = sheet.label_costs(label, places) + np.hypot(_CLOSE[:, 0], _CLOSE[:, 1])
    x, y = places[int(np.argmin(np.round(costs, 9)))].tolist()
    return sheet.label(replace(label, x=x, y=y))


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
    import shapely

    shapely.prepare(region)
    left, bottom, right, top = region.bounds
    shares = (np.arange(BLOCKS) + 0.5) / BLOCKS
    x, y = np.meshgrid(left + (right - left) * shares, bottom + (top - bottom) * shares, indexing="ij")
    places = _nearest_first(np.column_stack([x.ravel(), y.ravel()]), prefer)
    boxes = np.hstack([places, places]) + np.array([-wide / 2, -high / 2, wide / 2, high / 2])
    good = shapely.contains(region, shapely.box(*boxes.T))
    places, boxes = places[good], boxes[good]
    if not len(boxes):
        return None
    free = np.flatnonzero(sheet.box_costs(boxes) == 0.0)
    return (float(places[free[0], 0]), float(places[free[0], 1])) if len(free) else None


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
