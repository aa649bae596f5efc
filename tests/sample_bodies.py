"""Bodies from plain boxes, for tests of views."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from manifold3d import Manifold

from planbook.plan.model import Placement
from planbook.shape.mesh import Floats
from planbook.shape.solids import Body, surface

STILL = np.eye(3)


def body(solid: Manifold, name: str = "block", turn: Floats = STILL) -> Body:
    """A body from a solid, turned by a matrix."""
    mesh = surface(solid, {})
    place = Placement(part=name, copy=1, hand="", origin=(Fraction(0),) * 3, axes=("+x", "+y", "+z"))
    return Body(place, "", mesh.moved((mesh.points[:, None, :] * turn[None, :, :]).sum(axis=2), flip=False))


def solid(low: tuple[float, float, float], high: tuple[float, float, float]) -> Manifold:
    """A box from one corner to the other."""
    return Manifold.cube([b - a for a, b in zip(low, high, strict=True)]).translate(list(low))


def block(
    low: tuple[float, float, float], high: tuple[float, float, float], name: str = "block", turn: Floats = STILL
) -> Body:
    return body(solid(low, high), name, turn)


def turned(x: float, y: float, z: float) -> Floats:
    """Rotation by three angles in radians."""
    about_x = np.array([[1, 0, 0], [0, np.cos(x), -np.sin(x)], [0, np.sin(x), np.cos(x)]])
    about_y = np.array([[np.cos(y), 0, np.sin(y)], [0, 1, 0], [-np.sin(y), 0, np.cos(y)]])
    about_z = np.array([[np.cos(z), -np.sin(z), 0], [np.sin(z), np.cos(z), 0], [0, 0, 1]])
    return about_x @ about_y @ about_z
