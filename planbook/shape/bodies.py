"""The whole of a part's own wood before cuts and bores: its shape, its trims, its eased edges."""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
from manifold3d import Manifold, OpType

from planbook.plan.model import Part
from planbook.plan.shapes import (
    Blocks,
    Cylinder,
    Disc,
    Ease,
    Line,
    Outline,
    Profile,
    Ramp,
    Station,
    Trim,
    Turned,
)
from planbook.shape.loft import original, outlined, turned

if TYPE_CHECKING:
    from manifold3d import Manifold as Solid


def shaped(part: Part, done: Collection[str]) -> Solid | None:
    """Return a part's own wood with what is `done` to its shape, by name; None for a plain box."""
    shape = part.shape if part.shape_name in done else None
    trims = [trim for trim in part.trims if trim.name in done]
    eased = [ease for ease in part.eased if ease.name in done]
    if isinstance(part.shape, Turned):
        # Before it is shaped it is its square blank, as long as that is.
        blank = Turned((Station(Fraction(0), part.thick, Profile.SQUARE),), part.shape.below, part.shape.above)
        whole = turned(shape if isinstance(shape, Turned) else blank, part.length.final, part.thick)
    elif shape is None and not trims and not eased:
        return None
    else:
        whole = _made(part, shape, eased)
    for trim in trims:
        whole = _trimmed(whole, trim)
    return whole


def _made(part: Part, shape: object, eased: list[Ease]) -> Solid:
    if isinstance(shape, Disc | Outline):
        return outlined(shape, part.thick, eased)
    if isinstance(shape, Blocks):
        return _blocks(shape)
    if isinstance(shape, Cylinder):
        return outlined(Disc(shape.diameter), part.thick, ())
    if isinstance(shape, Ramp):
        return _ramp(part)
    return outlined(_square(part), part.thick, eased)


def _square(part: Part) -> Outline:
    zero, long, wide = Fraction(0), part.length.final, part.width.final
    corners = ((long, zero), (long, wide), (zero, wide), (zero, zero))
    return Outline((zero, zero), tuple(Line(corner) for corner in corners))


def _blocks(shape: Blocks) -> Solid:
    boxes = []
    for block in shape.blocks:
        size = [float(high - low) for low, high in zip(block.low, block.high, strict=True)]
        boxes.append(Manifold.cube(size).translate([float(low) for low in block.low]))
    return Manifold.batch_boolean(boxes, OpType.Add)


def _ramp(part: Part) -> Solid:
    """Return a wedge: its datum end has no thickness."""
    long, wide, high = float(part.length.final), float(part.width.final), float(part.thick)
    points = np.array([(l, w, t) for w in (0.0, wide) for l, t in ((0.0, 0.0), (long, 0.0), (long, high))])
    triangles = np.array([(0, 1, 2), (3, 5, 4), (0, 3, 4), (0, 4, 1), (1, 4, 5), (1, 5, 2), (0, 2, 5), (0, 5, 3)])
    return original(points, triangles, np.arange(len(triangles)) + 1)


def _trimmed(whole: Solid, trim: Trim) -> Solid:
    """Take away everything beyond a plane."""
    inward = [-value for value in trim.outward]
    offset = sum(value * way for value, way in zip(trim.point, inward, strict=True))
    return whole.trim_by_plane(inward, offset)
