"""Hatching as computed lines, so that its spacing is true in every output."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from planbook.drawing.picture import Point

SPACING = 1.6
"""mm between hatch lines; ISO 128 asks for 0.7 mm at least."""


def hatch_lines(
    outer: Sequence[Point], holes: Sequence[Sequence[Point]] = (), *, spacing: float = SPACING
) -> list[tuple[Point, Point]]:
    """Return the pieces of 45-degree lines inside a polygon, from the lower right to the upper left."""
    from shapely import LineString, MultiLineString, Polygon

    shape = Polygon(outer, holes)
    left, bottom, right, top = shape.bounds
    # Lines x - y = c, on one grid for the whole sheet so that two parts of a section match.
    step = spacing * sqrt(2)
    first = int((left - top) // step) + 1
    found: list[tuple[Point, Point]] = []
    for number in range(first, int((right - bottom) // step) + 1):
        c = number * step
        cut = LineString([(c + bottom, bottom), (c + top, top)]).intersection(shape)
        pieces = cut.geoms if isinstance(cut, MultiLineString) else [cut]
        for piece in pieces:
            if piece.geom_type == "LineString" and piece.length > 0.3:
                (x1, y1), (x2, y2) = piece.coords[0], piece.coords[-1]
                found.append(((x1, y1), (x2, y2)))
    return found
