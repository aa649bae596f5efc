"""The dotted lines along which a part travels to its place."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot
from typing import TYPE_CHECKING

import numpy as np

from planbook.drawing.dimension import along, unit
from planbook.drawing.motion import Boxes, Move, contacts
from planbook.drawing.pictorial import Pictorial
from planbook.drawing.picture import Point
from planbook.drawing.placing import open_head
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LineKind
from planbook.plan.model import Placement
from planbook.shape.arrange import Bounds
from planbook.shape.direction import Vector

if TYPE_CHECKING:
    from shapely import Polygon

LEAST_MOTION = 6.0
"""mm on paper: a shorter way is not drawn."""
LEAST_APART = 8.0
"""mm on paper: of two ways that are nearer to each other one is enough."""
ON = 0.5
"""mm of wood: a place that near to an area lies on it."""
OFF = 3.0
"""mm of wood: a place farther than that from an area is clear of it."""

Line = tuple[Point, Point]


class Travel:
    """The ways of one copy to its place, on a picture in mm of the model."""

    def __init__(self, view: Pictorial, boxes: Boxes, move: Move, staying: Sequence[Placement]) -> None:
        moved = next(n for n, item in enumerate(view.items) if item.standing.placement is move.placement)
        if move.leans:
            self._from_corners: list[Line] = []
            self._from_middle = _from_end(view, boxes, move, staying)
        else:
            self._from_corners = _from_corners(view, boxes, move, moved, staying)
            self._from_middle = _from_middle(view, boxes, move, moved)

    def draw(self, sheet: Sheet, factor: float) -> None:
        """Draw up to two dotted lines, each with an open head, at so many mm of paper for 1 mm of wood.

        Preferred are corners where the part will touch what stays, as far apart as possible.
        """
        for start, end in self._chosen(factor):
            direction = unit(end[0] - start[0], end[1] - start[1])
            sheet.line(LineKind.MOTION, along(start, direction, 1.6), along(end, direction, -1.4))
            open_head(sheet, along(end, direction, -1.0), direction)

    def _chosen(self, factor: float) -> list[Line]:
        def long_enough(lines: Sequence[Line]) -> list[Line]:
            scaled = [((a[0] * factor, a[1] * factor), (b[0] * factor, b[1] * factor)) for a, b in lines]
            return [(a, b) for a, b in scaled if hypot(a[0] - b[0], a[1] - b[1]) > LEAST_MOTION]

        found = long_enough(self._from_corners)
        return _farthest(found) if found else long_enough(self._from_middle)[:1]


def _from_corners(view: Pictorial, boxes: Boxes, move: Move, moved: int, staying: Sequence[Placement]) -> list[Line]:
    """Return the ways of corners, from where the part's visible area ends to the place itself."""
    import shapely

    own = view.whole(moved)
    found: list[Line] = []
    for other, box in contacts(boxes, move.placement, staying):
        target = next(n for n, item in enumerate(view.items) if item.standing.placement is other)
        area = view.whole(target)
        corners = _corners(box, move.way)
        ends = np.array([view.at(corner) for corner in corners])
        seen = shapely.dwithin(area, shapely.points(ends), ON)
        for corner, end, visible in zip(corners, ends.tolist(), seen.tolist(), strict=True):
            if visible:
                start = view.at(_add(corner, move.shift))
                if _clear(view, moved, start, end):
                    found.append((_leaving(own, start, (end[0], end[1])), (end[0], end[1])))
    return found


def _from_end(view: Pictorial, boxes: Boxes, move: Move, staying: Sequence[Placement]) -> list[Line]:
    """Return the way of a part that goes in along its own length: from the middle of its end to where it enters."""
    place, part = move.placement, boxes.plan.part(move.placement.part)
    turn = place.turn
    assert turn is not None
    far = float(hypot(*move.shift))
    out = [step / far for step in move.shift]
    first = sum(a * b for a, b in zip(turn[0], out, strict=True)) < 0
    own = (float(part.length.final) if first else 0.0, float(part.width.final) / 2, float(part.thick) / 2)
    end = [
        float(place.origin[axis]) + sum(value * way[axis] for value, way in zip(own, turn, strict=True))
        for axis in range(3)
    ]
    axis, sign = move.way
    found: list[Line] = []
    for _, box in contacts(boxes, place, staying):
        face = float(box.high[axis] if sign > 0 else box.low[axis])
        share = max(0.0, (face - end[axis]) / out[axis])
        mouth = (end[0] + share * out[0], end[1] + share * out[1], end[2] + share * out[2])
        found.append((view.at(_add((end[0], end[1], end[2]), move.shift)), view.at(mouth)))
    return found[:1]


def _corners(box: Bounds, way: tuple[int, int]) -> list[Vector]:
    """Return the corners of a common box on the side from which the part comes."""
    axis, sign = way
    face = float(box.high[axis] if sign > 0 else box.low[axis])
    one, two = (k for k in range(3) if k != axis)
    found: list[Vector] = []
    for a in (box.low[one], box.high[one]):
        for b in (box.low[two], box.high[two]):
            corner = [0.0, 0.0, 0.0]
            corner[axis], corner[one], corner[two] = face, float(a), float(b)
            found.append((corner[0], corner[1], corner[2]))
    return list(dict.fromkeys(found))


def _add(a: Vector, b: Vector) -> Vector:
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def _leaving(own: Polygon, start: Point, end: Point) -> Point:
    """Return where a way leaves the part's own area for the last time."""
    from shapely import LineString

    rest = LineString([start, end]).difference(own)
    pieces = [piece for piece in getattr(rest, "geoms", [rest]) if not piece.is_empty]
    if not pieces:
        return end
    last = min(pieces, key=lambda piece: hypot(piece.coords[-1][0] - end[0], piece.coords[-1][1] - end[1]))
    x, y = last.coords[0]
    return (x, y)


def _clear(view: Pictorial, moved: int, start: Point, end: Point) -> bool:
    """Whether a way runs over no more than its end of other parts."""
    import shapely

    way = shapely.LineString([start, end])
    others = [view.whole(number) for number in range(len(view.items)) if number != moved]
    over = float(shapely.length(shapely.intersection(way, others)).sum()) if others else 0.0
    return over < 0.5 * float(way.length)


def _farthest(found: list[Line]) -> list[Line]:
    (sx, sy), (ex, ey) = found[0]
    across = unit(-(ey - sy), ex - sx)
    ordered = sorted(found, key=lambda pair: pair[1][0] * across[0] + pair[1][1] * across[1])
    first, last = ordered[0], ordered[-1]
    apart = (last[1][0] - first[1][0]) * across[0] + (last[1][1] - first[1][1]) * across[1]
    return [first, last] if apart > LEAST_APART else [first]


def _from_middle(view: Pictorial, boxes: Boxes, move: Move, moved: int) -> list[Line]:
    """Return ways from the part to where it goes: from its middle, or from beside it where that is covered."""
    import shapely

    own = view.whole(moved)
    box = boxes.of(move.placement)
    axis = max((k for k in range(3) if k != move.way[0]), key=lambda k: box.size[k])
    centre = [float(a + b) / 2 for a, b in zip(box.low, box.high, strict=True)]
    others = [
        view.whole(number)
        for number, item in enumerate(view.items)
        if any(item.shift) and item.standing.placement is not move.placement
    ]
    found: list[Line] = []
    for share in (0.5, 0.3, 0.7, 0.1, 0.9):
        centre[axis] = float(box.low[axis]) + share * float(box.size[axis])
        place = (centre[0], centre[1], centre[2])
        end = view.at(place)
        start = _leaving(own, view.at(_add(place, move.shift)), end)
        both = shapely.multipoints([start, end])
        if not others or float(shapely.distance(both, others).min()) > OFF:
            found.append((start, end))
    return found
