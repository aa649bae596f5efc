"""The outline of a face of a part, as a polygon in its own length and width."""

from __future__ import annotations

from math import cos, pi, sin, tau
from typing import TYPE_CHECKING

from planbook.drawing.features import is_through
from planbook.drawing.picture import Point, polygon
from planbook.plan.curves import traced
from planbook.plan.model import Part, Range
from planbook.plan.shapes import Disc, Outline, Trim

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

ROUND = 360
"""Corners of a circle: it strays by less than 1/25000 of its radius."""
FAR = 1e5
"""mm: farther off than any part is long."""


def face_outline(part: Part, *, show: bool) -> BaseGeometry:
    """Return the show face or the reverse of a finished part, less what is cut right through; mm along l and w."""
    from shapely import union_all

    face = whole_outline(part, show=show)
    through = [cut.box for cut in part.cuts if is_through(part, cut)]
    return face.difference(union_all([_rectangle(box.l, box.w) for box in through]))


def whole_outline(part: Part, *, show: bool) -> BaseGeometry:
    """Return the same before anything is cut right through: the shape of the part and its straight trims."""
    face: BaseGeometry = polygon(_blank(part))
    for trim in part.trims:
        face = face.intersection(_kept(trim, float(part.thick) if show else 0.0))
    return face


def circle(middle: Point, radius: float, corners: int = ROUND) -> tuple[Point, ...]:
    """Return the corners of a circle, a multiple of 4 so that they touch all four sides of its square."""
    turns = (tau * k / corners for k in range(corners))
    return tuple((middle[0] + radius * cos(turn), middle[1] + radius * sin(turn)) for turn in turns)


def _blank(part: Part) -> tuple[Point, ...]:
    """Return the corners of a part's shape, or of its board."""
    shape = part.shape
    if isinstance(shape, Disc):
        radius = float(shape.diameter) / 2
        if not shape.sides:
            return circle((radius, radius), radius)
        corner = radius / cos(pi / shape.sides)
        turns = (tau * (k + 0.5) / shape.sides for k in range(shape.sides))
        return tuple((radius + corner * cos(turn), radius + corner * sin(turn)) for turn in turns)
    if isinstance(shape, Outline):
        return traced(shape)[0]
    long, wide = float(part.length.final), float(part.width.final)
    return ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))


def _kept(trim: Trim, t: float) -> BaseGeometry:
    """Return what a trim leaves at one height: the half of the plane behind its line there."""
    (l0, w0, t0), (a, b, c) = trim.point, trim.outward
    flat = (a * a + b * b) ** 0.5
    if flat < 1e-12:
        return polygon(((-FAR, -FAR), (FAR, -FAR), (FAR, FAR), (-FAR, FAR)))
    out = (a / flat, b / flat)
    # On the face the plane is the line where a (l - l0) + b (w - w0) = -c (t - t0).
    off = -c * (t - t0) / flat
    middle = (l0 + out[0] * off, w0 + out[1] * off)
    along = (-out[1], out[0])
    ends = [(middle[0] + along[0] * far, middle[1] + along[1] * far) for far in (-FAR, FAR)]
    return polygon((*ends, *((x - out[0] * 2 * FAR, y - out[1] * 2 * FAR) for x, y in reversed(ends))))


def _rectangle(l: Range, w: Range) -> BaseGeometry:
    from shapely import box

    return box(float(l[0]), float(w[0]), float(l[1]), float(w[1]))
