"""Solids cut by a plane: what a section shows of each body."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from planbook.shape.direction import Vector
from planbook.shape.mesh import Mesh

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry


def section_of(mesh: Mesh, across: Vector, up: Vector, at: float) -> BaseGeometry:
    """Return what a plane shows of a body, in mm along two directions that lie in it and are square to one another.

    `at` is how far the plane stands from the origin along the third direction, `across` times `up`; the plane is
    seen from there. Empty where it misses the body.
    """
    from manifold3d import Manifold, Mesh64
    from shapely import Polygon, union_all

    ahead = np.cross(across, up)
    points = np.column_stack([mesh.points @ np.array(way) for way in (across, up, ahead)])
    low, high = points[:, 2].min(), points[:, 2].max()
    if not low < at < high:
        return Polygon()
    triangles = np.ascontiguousarray(mesh.triangles, dtype=np.uint64)
    solid = Manifold(Mesh64(np.ascontiguousarray(points), triangles))
    rings = [np.asarray(ring, dtype=np.float64) for ring in solid.slice(at).to_polygons()]
    # Outer rims run anticlockwise, holes clockwise.
    rims = [Polygon(ring) for ring in rings if len(ring) > 2 and _turns_left(ring)]
    holes = [Polygon(ring) for ring in rings if len(ring) > 2 and not _turns_left(ring)]
    return union_all(rims).difference(union_all(holes))


def _turns_left(ring: np.ndarray[tuple[int, int], np.dtype[np.float64]]) -> bool:
    x, y = ring[:, 0], ring[:, 1]
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) > 0
