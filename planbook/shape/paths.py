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


def blocked(moving: Sequence[Body], standing: Sequence[Body], way: Vector, *, play: float) -> bool:
    """Whether the others stand ahead of bodies along a way, anywhere in a place wider than `play`."""
    areas = _ahead(moving, standing, looking_from(way), play)
    if not len(areas):
        return False
    # No place of an area is narrower than twice the area over its rim; most often one piece settles it.
    if bool((2.0 * shapely.area(areas) > play * shapely.length(areas)).any()):
        return True
    return _widest(areas) > play


def in_the_way(moving: Sequence[Body], standing: Sequence[Body], way: Vector, *, play: float) -> float:
    """Return how wide the widest place is in which the others stand ahead of bodies along a way, in mm.

    0 where it is no wider than `play`: parts slide along each other, and sizes are rounded.
    """
    areas = _ahead(moving, standing, looking_from(way), play)
    width = _widest(areas) if len(areas) else 0.0
    return width if width > play else 0.0


def _widest(areas: np.ndarray) -> float:
    whole = shapely.union_all(shapely.set_precision(areas, SLIVER / 10))
    return max((_width(part) for part in shapely.get_parts(whole).tolist()), default=0.0)


def _width(area: shapely.Geometry) -> float:
    """Return the width of the widest place of an area: the diameter of the largest circle in it."""
    if area.is_empty or area.area <= 0.0:
        return 0.0
    circle = shapely.maximum_inscribed_circle(area, max(float(shapely.length(area)) * 1e-4, 1e-4))
    return 2.0 * float(shapely.length(circle))


def _clear(moving: Sequence[Body], standing: Sequence[Body], direction: Direction) -> bool:
    """Whether no surface of the standing ones lies ahead of a surface of the moving ones."""
    return not len(_ahead(moving, standing, direction, 0.0))


def _ahead(moving: Sequence[Body], standing: Sequence[Body], direction: Direction, play: float) -> np.ndarray:
    """Return the areas, on a picture from that direction, in which the standing ones lie ahead of the moving ones.

    A face that lies as much as `play` behind the moving one counts as ahead: it is pressed into it.
    """
    none = np.zeros(0, dtype=object)
    if not moving or not standing:
        return none
    ahead = _faces(moving, direction, sign=1.0)
    facing = _faces(standing, direction, sign=-1.0)
    if not len(ahead) or not len(facing):
        return none
    size = float(np.abs(np.concatenate([ahead, facing])).max())
    one, other = shapely.polygons(ahead[:, :, :2]), shapely.polygons(facing[:, :, :2])
    left, right = shapely.STRtree(other).query(one)
    # What lies wholly behind is in nobody's way; most pairs do.
    margin = max(TOUCH * size, play)
    reaches = facing[:, :, 2].max(axis=1)[right] > ahead[:, :, 2].min(axis=1)[left] - margin
    left, right = left[reaches], right[reaches]
    common = shapely.intersection(one[left], other[right])
    solid = shapely.area(common) > SLIVER * shapely.length(common) / 2.0
    left, right, common = left[solid], right[solid], common[solid]
    points, pair = shapely.get_coordinates(common, return_index=True)
    distance = _level(planes(facing), right[pair], points) - _level(planes(ahead), left[pair], points)
    before = np.zeros(len(common), dtype=np.bool_)
    np.logical_or.at(before, pair, distance > -margin)
    found: np.ndarray = common[before]
    return found


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
