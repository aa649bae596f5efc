"""Visible areas: what of each body can be seen, as polygons, and where a label fits inside."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from planbook.shape.mesh import Floats, Ints

if TYPE_CHECKING:
    from planbook.shape.solids import Body
    from planbook.shape.view import Lines

REACH = 2e-5
"""How far lines are lengthened so that they surely meet, as a part of the picture's size."""
GRID = 1e-6
"""Grid that crossings are rounded to, as a part of the picture's size."""
LEAST = 1e-8
"""Smallest area that counts, as a part of the picture's size squared."""
NEARLY = 0.85
"""Share of the largest circle's radius for which the centre of an area is preferred."""

Ring = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Region:
    """One visible area of a body, in picture mm."""

    body: Body
    outer: Ring
    """Corners, the first not repeated."""
    holes: tuple[Ring, ...]
    area: float


@dataclass(frozen=True, slots=True)
class Anchor:
    """The middle of a large circle inside an area: a good place for a letter."""

    point: tuple[float, float]
    radius: float
    area: float


def find_regions(lines: Lines) -> tuple[Region, ...]:
    """Return the visible areas of the bodies of some lines: by body, the largest first.

    The visible lines cut the picture into cells; each cell belongs to the body whose surface is
    nearest to the viewer at a point inside it.
    """
    size = lines.view.scene.size
    cells = _cells(lines, size)
    if not len(cells):
        return ()
    inner = shapely.get_coordinates(shapely.point_on_surface(cells))
    owner = _nearest(lines, inner)
    found = []
    for number in sorted(set(owner[owner >= 0].tolist())):
        whole = shapely.union_all(cells[owner == number])
        polygons = [p for p in shapely.get_parts(whole).tolist() if p.area > LEAST * size * size]
        rows = [_region(lines.view.bodies[number], polygon) for polygon in polygons]
        found += sorted(rows, key=lambda region: (-region.area, region.outer))
    return tuple(found)


def anchor(region: Region) -> Anchor:
    """Return the middle and radius of the largest circle inside an area.

    Many circles are about the largest in a long strip: the area's own centre is taken where it is
    nearly as good.
    """
    polygon = shapely.Polygon(region.outer, region.holes)
    centre = polygon.centroid
    room = float(polygon.boundary.distance(centre)) if polygon.contains(centre) else 0.0
    # No circle inside is wider than the narrowest rectangle around.
    around = shapely.get_coordinates(shapely.minimum_rotated_rectangle(polygon))
    widest = float(np.hypot(*np.diff(around[:3], axis=0).T).min()) / 2.0 if len(around) > 3 else 0.0
    if room >= NEARLY * widest:
        return Anchor((float(centre.x), float(centre.y)), room, region.area)
    tolerance = max(widest * 2e-2, 1e-6)
    circle = shapely.get_coordinates(shapely.maximum_inscribed_circle(polygon, tolerance))
    (x, y), (rim_x, rim_y) = circle[0], circle[1]
    radius = float(np.hypot(rim_x - x, rim_y - y))
    if room >= NEARLY * radius:
        return Anchor((float(centre.x), float(centre.y)), room, region.area)
    return Anchor((float(x), float(y)), radius, region.area)


def _cells(lines: Lines, size: float) -> Any:
    strokes = lines.strokes
    run = strokes.end - strokes.start
    more = run / np.hypot(run[:, 0], run[:, 1])[:, None] * (REACH * size)
    strings = shapely.linestrings(np.stack([strokes.start - more, strokes.end + more], axis=1))
    noded = shapely.union_all(strings, grid_size=GRID * size)
    return shapely.get_parts(shapely.polygonize([noded]))


def _nearest(lines: Lines, points: Floats) -> Ints:
    """Return for each point (n, 2) the body nearest to the viewer there, or -1."""
    view = lines.view
    scene = view.scene
    front = view.front[lines.on[scene.triangle_body[view.front]]]
    corners = scene.flat[scene.triangles[front]]
    low, high = corners[:, :, :2].min(axis=1), corners[:, :, :2].max(axis=1)
    tree = shapely.STRtree(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))
    point, triangle = tree.query(shapely.points(points))
    depth = _depth(points[point], corners[triangle])
    hit = ~np.isnan(depth)
    point, triangle, depth = point[hit], triangle[hit], depth[hit]
    # Sorted by nearness, so that the last writer is the nearest.
    order = np.lexsort((triangle, depth))
    owner = np.full(len(points), -1, dtype=np.int64)
    owner[point[order]] = scene.triangle_body[front[triangle[order]]]
    return owner


def _depth(points: Floats, corners: Floats) -> Floats:
    """Return the nearness of triangles (n, 3, 3) at points (n, 2); nan outside of them."""
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    at = points - corners[:, 0, :2]
    area = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]
    u = (at[:, 0] * two[:, 1] - at[:, 1] * two[:, 0]) / area
    v = (one[:, 0] * at[:, 1] - one[:, 1] * at[:, 0]) / area
    depth: Floats = corners[:, 0, 2] + u * one[:, 2] + v * two[:, 2]
    return np.where((u >= -1e-9) & (v >= -1e-9) & (u + v <= 1.0 + 1e-9), depth, np.nan)


def _region(body: Body, polygon: Any) -> Region:
    polygon = shapely.orient_polygons(shapely.normalize(polygon))
    holes = tuple(_ring(hole) for hole in polygon.interiors)
    return Region(body, _ring(polygon.exterior), holes, float(polygon.area))


def _ring(ring: Any) -> Ring:
    return tuple((x, y) for x, y in shapely.get_coordinates(ring).tolist()[:-1])
