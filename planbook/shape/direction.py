"""From where one looks: the three axes of a picture."""

from __future__ import annotations

import math
from dataclasses import dataclass

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Direction:
    """A right-handed frame: to the right and up on the picture, and toward the viewer."""

    right: Vector
    up: Vector
    toward: Vector

    def project(self, point: Vector) -> tuple[float, float, float]:
        """Return right, up and nearness of a point, in mm."""
        return (_dot(self.right, point), _dot(self.up, point), _dot(self.toward, point))


def looking_from(viewer: Vector) -> Direction:
    """Return the picture seen from far away in that direction, with z up.

    Seen straight down or straight up, x is to the right; raises ValueError for a vector without length.
    """
    length = math.sqrt(_dot(viewer, viewer))
    if length == 0.0:
        raise ValueError("a direction needs a length")
    x, y, z = (value / length for value in viewer)
    flat = math.hypot(x, y)
    if flat < 1e-12:
        side = math.copysign(1.0, z)
        return Direction((1.0, 0.0, 0.0), (0.0, side, 0.0), (0.0, 0.0, side))
    right = (0.0 - y / flat, x / flat, 0.0)
    up = (0.0 - z * right[1], z * right[0], x * right[1] - y * right[0])
    return Direction(right, up, (x, y, z))


def _dot(one: Vector, other: Vector) -> float:
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


FRONT = looking_from((0.0, -1.0, 0.0))
"""As the piece stands in front of a person: x to the right, z up."""
SIDE = looking_from((1.0, 0.0, 0.0))
"""The right-hand side, with the front at the left (third angle)."""
LEFT = looking_from((-1.0, 0.0, 0.0))
TOP = looking_from((0.0, 0.0, 1.0))
"""From above, with the front below (third angle)."""
BACK = looking_from((0.0, 1.0, 0.0))
ISO_RIGHT = looking_from((1.0, -1.0, 1.0))
"""Isometric from in front, right and above: the three axes equally foreshortened."""
ISO_LEFT = looking_from((-1.0, -1.0, 1.0))
"""Isometric from in front, left and above."""
