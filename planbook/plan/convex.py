"""Volume of a box less what lies beyond planes: boards with tapers, mitres and bevels in closed form."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from planbook.plan.shapes import Trim, Vector

Face = list[Vector]
"""Corners of a flat face, anticlockwise seen from outside."""


def trimmed_volume(size: Vector, trims: Sequence[Trim]) -> float:
    """Return the volume in mm3 of a box from the origin to `size` when its trims are made."""
    return sum(_six_volume(face) for face in trimmed_faces(size, trims)) / 6.0


def trimmed_faces(size: Vector, trims: Sequence[Trim]) -> list[Face]:
    """Return the faces of a box from the origin to `size` when its trims are made."""
    faces = _box(size)
    for trim in trims:
        faces = _clipped(faces, trim)
    return faces


def _box(size: Vector) -> list[Face]:
    x, y, z = size
    return [
        [(0.0, 0.0, 0.0), (0.0, y, 0.0), (x, y, 0.0), (x, 0.0, 0.0)],
        [(0.0, 0.0, z), (x, 0.0, z), (x, y, z), (0.0, y, z)],
        [(0.0, 0.0, 0.0), (x, 0.0, 0.0), (x, 0.0, z), (0.0, 0.0, z)],
        [(0.0, y, 0.0), (0.0, y, z), (x, y, z), (x, y, 0.0)],
        [(0.0, 0.0, 0.0), (0.0, 0.0, z), (0.0, y, z), (0.0, y, 0.0)],
        [(x, 0.0, 0.0), (x, y, 0.0), (x, y, z), (x, 0.0, z)],
    ]


def _clipped(faces: list[Face], trim: Trim) -> list[Face]:
    """Cut the faces of a convex solid at a plane and close it with the fresh face."""
    found = []
    for face in faces:
        left: Face = []
        for one, other in zip(face, (*face[1:], face[0]), strict=True):
            a, b = _beyond(trim, one), _beyond(trim, other)
            if a <= 0:
                left.append(one)
            if (a < 0 < b) or (b < 0 < a):
                share = a / (a - b)
                left.append(_on(one, other, share))
        if len(left) > 2:
            found.append(left)
    return [*found, *_fresh(found, trim)]


def _fresh(faces: list[Face], trim: Trim) -> list[Face]:
    """Return the face that a cut makes: its corners in the plane, in order round their middle."""
    corners = [spot for face in faces for spot in face if abs(_beyond(trim, spot)) < 1e-9]
    distinct: Face = []
    for spot in corners:
        if all(_apart(spot, other) > 1e-6 for other in distinct):
            distinct.append(spot)
    if len(distinct) < 3:
        return []
    middle = tuple(sum(spot[axis] for spot in distinct) / len(distinct) for axis in range(3))
    first = _minus(distinct[0], middle)
    second = _cross(trim.outward, first)

    def turn(spot: Vector) -> float:
        away = _minus(spot, middle)
        return math.atan2(_dot(away, second), _dot(away, first))

    return [sorted(distinct, key=turn)]


def _on(one: Vector, other: Vector, share: float) -> Vector:
    x, y, z = (a + (b - a) * share for a, b in zip(one, other, strict=True))
    return (x, y, z)


def _minus(one: Vector, other: Sequence[float]) -> Vector:
    return (one[0] - other[0], one[1] - other[1], one[2] - other[2])


def _dot(one: Vector, other: Vector) -> float:
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


def _cross(one: Vector, other: Vector) -> Vector:
    return (
        one[1] * other[2] - one[2] * other[1],
        one[2] * other[0] - one[0] * other[2],
        one[0] * other[1] - one[1] * other[0],
    )


def _apart(one: Vector, other: Vector) -> float:
    return max(abs(a - b) for a, b in zip(one, other, strict=True))


def _beyond(trim: Trim, spot: Vector) -> float:
    """Return how far a corner lies beyond a plane, in mm; 0 where it lies in it but for rounding."""
    found = _dot(_minus(spot, trim.point), trim.outward)
    return 0.0 if abs(found) < 1e-9 else found


def _six_volume(face: Face) -> float:
    """Return six times the signed volume of the pyramid from the origin to a face."""
    return sum(_dot(face[0], _cross(one, other)) for one, other in pairwise(face[1:]))
