"""Closed triangle meshes with the edges between their triangles."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """A closed surface; triangles run anticlockwise seen from outside."""

    points: Floats
    """(n, 3), mm."""
    triangles: Ints
    """(m, 3), numbers of points."""
    edges: Ints
    """(k, 2), numbers of points; every edge once."""
    beside: Ints
    """(k, 2), the two triangles that meet in the edge."""
    smooth: Flags
    """(k,), whether both triangles are facets of one curved surface."""
    bored: Flags
    """(k,), whether it is the rim of a bore or lies in its wall: then it is never an outline."""

    def moved(self, points: Floats, *, flip: bool) -> Mesh:
        """Return the same surface with its points elsewhere; `flip` where they were mirrored."""
        triangles = self.triangles[:, ::-1] if flip else self.triangles
        return replace(self, points=points, triangles=triangles)


def make_mesh(points: Floats, triangles: Ints, wall: Ints, bores: int | None = None) -> Mesh:
    """Return a mesh with its edges; `wall` numbers the curved surface each triangle is of, -1 for a flat one.

    Surfaces with numbers below `bores` are walls of bores, which have no outline; all are if it is not given.
    """
    edges, beside = _meeting(triangles)
    one, other = wall[beside[:, 0]], wall[beside[:, 1]]
    limit = int(wall.max(initial=-1)) + 1 if bores is None else bores
    bored = ((one >= 0) & (one < limit)) | ((other >= 0) & (other < limit))
    return Mesh(points, triangles, edges, beside, (one == other) & (one >= 0), bored)


def _meeting(triangles: Ints) -> tuple[Ints, Ints]:
    """Pair the half edges of a closed mesh.

    Where four triangles share one edge (two bodies of wood touching in a line) they are paired
    in the order in which they come.
    """
    count = len(triangles)
    half = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    owner = np.tile(np.arange(count), 3)
    low, high = half.min(axis=1), half.max(axis=1)
    order = np.lexsort((owner, high, low))
    first, second = order[0::2], order[1::2]
    edges = np.stack([low[first], high[first]], axis=1)
    return edges, np.stack([owner[first], owner[second]], axis=1)


def normals(points: Floats, triangles: Ints) -> Floats:
    """Return unit normals (m, 3); zero for a triangle without area."""
    a, b, c = (points[triangles[:, corner]] for corner in range(3))
    cross = np.cross(b - a, c - a)
    length = np.sqrt(cross[:, 0] ** 2 + cross[:, 1] ** 2 + cross[:, 2] ** 2)
    return cross / np.where(length > 0.0, length, 1.0)[:, None]


def volume_and_centre(mesh: Mesh) -> tuple[float, tuple[float, float, float]]:
    """Return the volume in mm3 and the centre of gravity.

    Sum of signed tetrahedra from one corner of the mesh (divergence theorem).
    """
    start = mesh.points[0]
    a, b, c = (mesh.points[mesh.triangles[:, corner]] - start for corner in range(3))
    six = (a * np.cross(b, c)).sum(axis=1)
    volume = float(six.sum()) / 6.0
    moment = ((a + b + c) * six[:, None]).sum(axis=0) / 24.0
    centre = start + moment / volume
    return volume, (float(centre[0]), float(centre[1]), float(centre[2]))


def surface_area(mesh: Mesh) -> float:
    """Return the area of the surface in mm2."""
    a, b, c = (mesh.points[mesh.triangles[:, corner]] for corner in range(3))
    cross = np.cross(b - a, c - a)
    return float(np.sqrt((cross**2).sum(axis=1)).sum()) / 2.0
