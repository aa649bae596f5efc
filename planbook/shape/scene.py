"""All bodies of a view as one set of arrays, in space and on the picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planbook.shape.direction import Direction
from planbook.shape.mesh import Flags, Floats, Ints, Mesh


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """Meshes side by side; bodies are numbered in the order given."""

    space: Floats
    """(n, 3), assembly mm."""
    flat: Floats
    """(n, 3), right, up and nearness on the picture, mm."""
    triangles: Ints
    triangle_body: Ints
    edges: Ints
    beside: Ints
    smooth: Flags
    bored: Flags
    edge_body: Ints
    size: float
    """Greatest extent of the bodies in any direction of the picture, mm; 1 where there is nothing."""


def gather(meshes: Sequence[Mesh], direction: Direction) -> Scene:
    """Put meshes together and project them."""
    points, triangles, triangle_body, edges, beside, edge_body = [], [], [], [], [], []
    first_point = first_triangle = 0
    for number, mesh in enumerate(meshes):
        points.append(mesh.points)
        triangles.append(mesh.triangles + first_point)
        triangle_body.append(np.full(len(mesh.triangles), number))
        edges.append(mesh.edges + first_point)
        beside.append(mesh.beside + first_triangle)
        edge_body.append(np.full(len(mesh.edges), number))
        first_point += len(mesh.points)
        first_triangle += len(mesh.triangles)
    space = np.concatenate([np.zeros((0, 3)), *points])
    pairs = np.zeros((0, 2), dtype=np.int64)
    none, no = np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.bool_)
    flat = _project(space, direction)
    extent = flat.max(axis=0) - flat.min(axis=0) if len(flat) else np.ones(3)
    return Scene(
        space=space,
        flat=flat,
        triangles=np.concatenate([np.zeros((0, 3), dtype=np.int64), *triangles]),
        triangle_body=np.concatenate([none, *triangle_body]),
        edges=np.concatenate([pairs, *edges]),
        beside=np.concatenate([pairs, *beside]),
        smooth=np.concatenate([no, *(mesh.smooth for mesh in meshes)]),
        bored=np.concatenate([no, *(mesh.bored for mesh in meshes)]),
        edge_body=np.concatenate([none, *edge_body]),
        size=float(extent.max()),
    )


def _project(space: Floats, direction: Direction) -> Floats:
    """Project without BLAS, whose kernels differ between processors."""
    rows = (direction.right, direction.up, direction.toward)
    return np.stack([space[:, 0] * r[0] + space[:, 1] * r[1] + space[:, 2] * r[2] for r in rows], axis=1)
