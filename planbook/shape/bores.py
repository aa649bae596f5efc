"""Bores as solids: round ones and slots square to a face, and those along any axis, in faces, edges and ends."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import numpy as np
from manifold3d import Manifold

from planbook.plan.model import Hole, Part
from planbook.plan.shapes import Vector
from planbook.shape.loft import SIDES

if TYPE_CHECKING:
    from manifold3d import Manifold as Solid

    Vector3 = np.ndarray[Any, np.dtype[np.float64]]

FACETS = 24
"""Sides of the prism that stands for a bore; a socket has as many as what enters it."""
FLAT = 1e-12
"""An axis that leans less stands square to the faces."""
OVERCUT = Fraction(1)
"""How far a cut runs on outside an open face, in mm, so that no skin without thickness is left."""


def depths_of(hole: Hole, thick: Fraction) -> tuple[Fraction, Fraction]:
    """Return from where to where along t a hole goes, in mm."""
    deep = thick if hole.deep is None else hole.deep
    return (thick - deep, thick) if hole.from_show else (Fraction(0), deep)


def bore(hole: Hole, part: Part) -> Solid:
    """Return a bore as an original of its own, so that its wall can be told from the wood around it."""
    thick = part.thick
    if hole.axis is not None:
        return _slanted(hole, hole.axis, part)
    low, high = depths_of(hole, thick)
    through = hole.deep is None
    low -= OVERCUT if through or not hole.from_show else 0
    high += OVERCUT if through or hole.from_show else 0
    radius = float(hole.diameter) / 2.0
    sides = SIDES if hole.role == "socket" else FACETS
    cylinder = Manifold.cylinder(float(high - low), radius, radius, sides)
    if hole.slot > hole.diameter:
        way = hole.slot_way or (1.0, 0.0, 0.0)
        cylinder = _lengthened(cylinder, hole, (way[0], way[1]))
    if hole.counterbore is not None:
        wide, deep = (float(value) for value in hole.counterbore)
        mouth = Manifold.cylinder(deep + float(OVERCUT), wide / 2.0, wide / 2.0, sides)
        base = float(thick) - deep if hole.from_show else -float(OVERCUT)
        cylinder += mouth.translate([0.0, 0.0, base - float(low)])
    if hole.countersink is not None:
        cone = _cone(hole)
        face = float(thick) if hole.from_show else 0.0
        cylinder += (cone if hole.from_show else cone.mirror((0.0, 0.0, 1.0))).translate([0.0, 0.0, face - float(low)])
    return cylinder.translate([float(hole.l), float(hole.w), float(low)]).as_original()


def _slanted(hole: Hole, axis: Vector, part: Part) -> Solid:
    """Return a bore along any axis, its facets where those of the part that enters are."""
    thick = float(part.thick)
    radius = float(hole.diameter) / 2.0
    height = float(hole.t) if hole.t is not None else thick if hole.from_show else 0.0
    entry = np.array((float(hole.l), float(hole.w), height))
    over = 2.0 * radius + float(OVERCUT)
    deep = _whole_way(axis, part) + over if hole.deep is None else float(hole.deep)
    away = np.array(axis)
    level = _level(axis)
    across = np.cross(away, level)
    sides = SIDES if hole.role == "socket" else FACETS
    column = Manifold.cylinder(deep + over, radius, radius, sides)
    if hole.slot > hole.diameter:
        way = np.array(hole.slot_way or (1.0, 0.0, 0.0))
        column = _lengthened(column, hole, (float(way @ level), float(way @ across)))
    if hole.counterbore is not None:
        wide, sunk = (float(value) for value in hole.counterbore)
        column += Manifold.cylinder(sunk + over, wide / 2.0, wide / 2.0, sides)
    if hole.countersink is not None:
        column += _cone(hole).mirror((0.0, 0.0, 1.0)).translate([0.0, 0.0, over])
    turn = np.column_stack([level, across, away, entry - away * over])
    return column.transform(turn).as_original()


def _whole_way(axis: Vector, part: Part) -> float:
    """Return how far a bore right through goes, at most."""
    size = (part.length.final, part.width.final, part.thick)
    along = max(range(3), key=lambda k: abs(axis[k]))
    return float(size[along]) / abs(axis[along])


def _level(axis: Vector) -> Vector3:
    """Return a unit vector square to an axis, level with the faces."""
    flat = np.array([-axis[1], axis[0], 0.0]) if math.hypot(axis[0], axis[1]) > FLAT else np.array([1.0, 0.0, 0.0])
    found: Vector3 = flat / np.linalg.norm(flat)
    return found


def _lengthened(column: Solid, hole: Hole, way: tuple[float, float]) -> Solid:
    """Return a round bore made a slot along a way in the plane square to it."""
    half = float(hole.slot - hole.diameter) / 2.0
    return Manifold.batch_hull(
        [column.translate([sign * half * way[0], sign * half * way[1], 0.0]) for sign in (-1, 1)]
    )


def _cone(hole: Hole) -> Solid:
    """Return the countersink with its wide end up: from the face down, and straight on above the face."""
    assert hole.countersink is not None
    wide, degrees = float(hole.countersink[0]) / 2.0, hole.countersink[1]
    narrow = min(float(hole.diameter) / 2.0, wide)
    deep = (wide - narrow) / math.tan(math.radians(degrees) / 2)
    over = float(OVERCUT)
    return Manifold.cylinder(deep, narrow, wide, FACETS).translate([0.0, 0.0, -deep]) + Manifold.cylinder(
        over, wide, wide, FACETS
    )
