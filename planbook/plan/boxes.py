"""Boxes of placed parts in the assembly, exact: for sizes of the whole and for quick checks."""

from __future__ import annotations

from fractions import Fraction

from planbook.plan.model import Box, Part, Placement, Range

Space = tuple[Range, Range, Range]
"""From and to along x, y and z, in mm."""


def placed_box(part: Part, placement: Placement) -> Space:
    """Return the space a copy of a part takes in the assembly, edgings included."""
    zero = Fraction(0)
    whole = Box((zero, part.length.final), (zero, part.width.final), (zero, part.thick))
    return placed(whole, placement)


def placed(box: Box, placement: Placement) -> Space:
    """Return a box given in a part's own axes where it stands in the assembly."""
    spans: dict[str, Range] = {}
    for own, axis in zip((box.l, box.w, box.t), placement.axes, strict=True):
        origin = placement.origin["xyz".index(axis[1])]
        ends = (origin + own[0], origin + own[1]) if axis[0] == "+" else (origin - own[1], origin - own[0])
        spans[axis[1]] = ends
    return (spans["x"], spans["y"], spans["z"])
