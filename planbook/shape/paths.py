"""Ways along which a part can leave the rest in a straight line, and so be put in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import shapely

from planbook.shape.clip import planes
from planbook.shape.direction import Direction, Vector, looking_from
from planbook.shape.mesh import Floats, normals
from planbook.shape.scene import gather

if TYPE_CHECKING:
    from planbook.shape.solids import Body

WAYS: dict[str, Vector] = {
    "+x": (1.0, 0.0, 0.0),
    "-x": (-1.0, 0.0, 0.0),
    "+y": (0.0, 1.0, 0.0),
    "-y": (0.0, -1.0, 0.0),
    "+z": (0.0, 0.0, 1.0),
    "-z": (0.0, 0.0, -1.0),
}
TOUCH = 1e-6
"""Faces nearer than this count as touching, as a part of the size."""
SLIVER = 1e-3
"""Widest strip, in mm, that may overlap on the way: parts slide along each other."""


def leaves_along(moving: Sequence[Body], standing: Sequence[Body], way: Vector) -> bool:
    """Whether bodies can leave the others straight along a direction, such as the axis of a leaning leg."""
    return _clear(moving, standing, looking_from(way))


def ways_out(moving: Sequence[Body], standing: Sequence[Body]) -> tuple[str, ...]:
    """Return the directions (`+x`, `-x` ... `-z`) in which bodies can leave the others.

    Seen from that side, nothing may stand in front of them. Ask for bodies without bores: a pin hole
    never traps a shelf, and there are many of them.
    """
    return tuple(name for name, way in WAYS.items() if _clear(moving, standing, looking_from(way)))


def _clear(moving: Sequence[Body], standing: Sequence[Body], direction: Direction) -> bool:
    """Whether no surface of the standing ones lies ahead of a surface of the moving ones."""
    if not moving or not standing:
        return True
    ahead = _faces(moving, direction, sign=1.0)
    facing = _faces(standing, direction, sign=-1.0)
    if not len(ahead) or not len(facing):
        return True
    size = float(np.abs(np.concatenate([ahead, facing])).max())
    one, other = shapely.polygons(ahead[:, :, :2]), shapely.polygons(facing[:, :, :2])
    left, right = shapely.STRtree(other).query(one)
    common = shapely.intersection(one[left], other[right])
    solid = shapely.area(common) > SLIVER * shapely.length(common) / 2.0
    left, right, common = left[solid], right[solid], common[solid]
    points, pair = shapely.get_coordinates(common, return_index=True)
    distance = _level(planes(facing), right[pair], points) - _level(planes(ahead), left[pair], points)
    return not bool((distance > -TOUCH * size).any())


def _faces(bodies: Sequence[Body], direction: Direction, *, sign: float) -> Floats:
    """Return the projected triangles (n, 3, 3) that look along the direction, or against it."""
    scene = gather([body.mesh for body in bodies], direction)
    unit = normals(scene.space, scene.triangles)
    toward = direction.toward
    along = unit[:, 0] * toward[0] + unit[:, 1] * toward[1] + unit[:, 2] * toward[2]
    faces: Floats = scene.flat[scene.triangles[sign * along > 1e-4]]
    return faces


def _level(plane: Floats, row: np.ndarray, points: Floats) -> Floats:
    level: Floats = plane[row, 0] + plane[row, 1] * points[:, 0] + plane[row, 2] * points[:, 1]
    return level
