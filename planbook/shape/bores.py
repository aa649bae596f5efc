"""Bores as solids: round ones and slots square to a face, sockets that follow a lean."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
from manifold3d import Manifold

from planbook.plan.model import Hole
from planbook.plan.shapes import Vector
from planbook.shape.loft import SIDES

if TYPE_CHECKING:
    from manifold3d import Manifold as Solid

FACETS = 24
"""Sides of the prism that stands for a bore; a socket has as many as what enters it."""
OVERCUT = Fraction(1)
"""How far a cut runs on outside an open face, in mm, so that no skin without thickness is left."""


def depths_of(hole: Hole, thick: Fraction) -> tuple[Fraction, Fraction]:
    """Return from where to where along t a hole goes, in mm."""
    deep = thick if hole.deep is None else hole.deep
    return (thick - deep, thick) if hole.from_show else (Fraction(0), deep)


def bore(hole: Hole, thick: Fraction) -> Solid:
    """Return a bore as an original of its own, so that its wall can be told from the wood around it."""
    if hole.axis is not None:
        return _slanted(hole, hole.axis, thick)
    low, high = depths_of(hole, thick)
    through = hole.deep is None
    low -= OVERCUT if through or not hole.from_show else 0
    high += OVERCUT if through or hole.from_show else 0
    radius = float(hole.diameter) / 2.0
    sides = SIDES if hole.role == "socket" else FACETS
    cylinder = Manifold.cylinder(float(high - low), radius, radius, sides)
    if hole.slot > hole.diameter:
        half = float(hole.slot - hole.diameter) / 2.0
        cylinder = Manifold.batch_hull([cylinder.translate([way * half, 0.0, 0.0]) for way in (-1.0, 1.0)])
    if hole.counterbore is not None:
        wide, deep = (float(value) for value in hole.counterbore)
        mouth = Manifold.cylinder(deep + float(OVERCUT), wide / 2.0, wide / 2.0, sides)
        base = float(thick) - deep if hole.from_show else -float(OVERCUT)
        cylinder += mouth.translate([0.0, 0.0, base - float(low)])
    return cylinder.translate([float(hole.l), float(hole.w), float(low)]).as_original()


def _slanted(hole: Hole, axis: Vector, thick: Fraction) -> Solid:
    """Return a bore along a slanted axis, its facets where those of the part that enters are."""
    radius = float(hole.diameter) / 2.0
    entry = (float(hole.l), float(hole.w), float(thick) if hole.from_show else 0.0)
    over = 2.0 * radius + float(OVERCUT)
    deep = (float(thick) + over) / abs(axis[2]) if hole.deep is None else float(hole.deep)
    away = np.array(axis)
    level = np.array([-axis[1], axis[0], 0.0])
    level /= np.sqrt(level[0] ** 2 + level[1] ** 2)
    across = np.cross(away, level)
    start = np.array(entry) - away * over
    turn = np.column_stack([level, across, away, start])
    return Manifold.cylinder(deep + over, radius, radius, SIDES).transform(turn).as_original()
