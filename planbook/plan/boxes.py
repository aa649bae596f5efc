"""Boxes of placed parts in the assembly, exact: for sizes of the whole and for quick checks."""

from __future__ import annotations

from fractions import Fraction

from planbook.plan.hulls import corners
from planbook.plan.model import Box, Part, Placement, Range
from planbook.plan.shapes import Turn, Turned, Vector

Space = tuple[Range, Range, Range]
"""From and to along x, y and z, in mm."""


def placed_box(part: Part, placement: Placement) -> Space:
    """Return the space a copy of a part takes in the assembly, edgings included."""
    if placement.turn is not None or isinstance(part.shape, Turned):
        return _around(part, placement)
    zero = Fraction(0)
    whole = Box((zero, part.length.final), (zero, part.width.final), (zero, part.thick))
    return placed(whole, placement)


def _around(part: Part, placement: Placement) -> Space:
    """Return the box round a turned or leaning copy, to 1e-6 mm."""
    one, two, three = placement.turn or directions(placement)
    own = list(corners(part))

    def span(axis: int) -> Range:
        origin, along, across, through = float(placement.origin[axis]), one[axis], two[axis], three[axis]
        places = [origin + (l * along + w * across + t * through) for l, w, t in own]
        return _fine(min(places)), _fine(max(places))

    return span(0), span(1), span(2)


def _fine(value: float) -> Fraction:
    return Fraction(round(value * 10**6), 10**6)


def directions(placement: Placement) -> Turn:
    """Return where l, w and t of a copy that does not lean point in the assembly."""

    def way(direction: str) -> Vector:
        sign = 1.0 if direction[0] == "+" else -1.0
        x, y, z = (sign * (axis == direction[1]) for axis in "xyz")
        return (x, y, z)

    one, two, three = placement.axes
    return way(one), way(two), way(three)


def placed(box: Box, placement: Placement) -> Space:
    """Return a box given in a part's own axes where it stands in the assembly."""
    spans: dict[str, Range] = {}
    for own, axis in zip((box.l, box.w, box.t), placement.axes, strict=True):
        origin = placement.origin["xyz".index(axis[1])]
        ends = (origin + own[0], origin + own[1]) if axis[0] == "+" else (origin - own[1], origin - own[0])
        spans[axis[1]] = ends
    return (spans["x"], spans["y"], spans["z"])
