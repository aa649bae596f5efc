"""Solids spanned between rings of equally many corners: turned parts, outlines with eased edges, ramps.

Facets of one curved surface carry one number, so that no line is drawn between them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from manifold3d import Manifold, Mesh64, triangulate

from planbook.plan.curves import area, traced
from planbook.plan.shapes import Arc, Curve, Disc, Ease, EaseKind, Outline, Profile, Station, Turned
from planbook.shape.mesh import Floats

if TYPE_CHECKING:
    from manifold3d import Manifold as Solid

SIDES = 48
"""Sides of a section: a multiple of 16, so that the corners of octagons and squares are among them."""
DISC_SIDES = 96
ROUNDING = 5
"""Chords of a round-over."""
FACE = 1 << 20
"""A facet's number is that of its surface times this, and its own."""

Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Ring:
    """A closed row of corners at one height."""

    height: float
    spots: tuple[Spot, ...]
    """Anticlockwise seen from above."""


def section(profile: Profile, size: float, sides: int = SIDES) -> tuple[Spot, ...]:
    """Return the corners of a section about its middle, all sections with the same directions."""
    flats = {Profile.OCTAGON: 8, Profile.SQUARE: 4}.get(profile)
    found = []
    for k in range(sides):
        turn = math.tau * k / sides
        radius = size / 2
        if flats is not None:
            step = math.tau / flats
            radius /= math.cos((turn + step / 2) % step - step / 2)
        found.append((radius * math.cos(turn), radius * math.sin(turn)))
    return tuple(found)


def turned(shape: Turned, length: Fraction, side: Fraction) -> Solid:
    """Return a turned or tapered part along x, its middle line in the middle of its blank, both ends left long."""
    first, last = shape.stations[0], shape.stations[-1]
    ends = [
        Station(-shape.below, first.size, first.profile),
        *shape.stations,
        Station(length + shape.above, last.size, last.profile),
    ]
    kept = [one for one, other in pairwise(ends) if other.at > one.at or other != one] + [ends[-1]]
    middle = float(side) / 2
    rings = [Ring(float(item.at), section(item.profile, float(item.size))) for item in kept]
    surfaces = []
    for number, (one, other) in enumerate(pairwise(kept), 1):
        # A shoulder is flat; the round of a band is one surface, the flats of others have edges.
        smooth = one.profile is Profile.ROUND and other.profile is Profile.ROUND and other.at > one.at
        surfaces.append([number if smooth else 0] * SIDES)
    solid = spanned(rings, surfaces)
    # The rings lie in x and y and rise along z; the part runs along x with its sections in y and z.
    return solid.transform(np.array([[0.0, 0.0, 1.0, 0.0], [1.0, 0.0, 0.0, middle], [0.0, 1.0, 0.0, middle]]))


def outlined(shape: Disc | Outline, thick: Fraction, eased: Sequence[Ease]) -> Solid:
    """Return a part with an outline on its face, its eased edges taken off."""
    spots, owners, smooth = _corners(shape)
    below = [ease for ease in eased if not ease.show]
    above = [ease for ease in eased if ease.show]
    rings: list[Ring] = []
    kinds: list[EaseKind | None] = []
    for ease in below:
        steps = _steps(ease)
        rings += [Ring(float(ease.size) - rise, inset(spots, back)) for back, rise in reversed(steps)]
        kinds += [ease.kind] * (len(steps) - 1) + [None]
    if not below:
        rings.append(Ring(0.0, spots))
        kinds.append(None)
    for ease in above:
        steps = _steps(ease)
        base = float(thick) - float(ease.size)
        rings += [Ring(base + rise, inset(spots, back)) for back, rise in steps]
        kinds += [ease.kind] * (len(steps) - 1)
    if not above:
        rings.append(Ring(float(thick), spots))
    if not below or not above:
        kinds = kinds[: len(rings) - 1]
    return spanned(rings, [_surfaces(kind, owners, smooth, eased) for kind in kinds[: len(rings) - 1]])


def _corners(shape: Disc | Outline) -> tuple[tuple[Spot, ...], tuple[int, ...], tuple[bool, ...]]:
    """Return the corners of an outline, the stretch that each begins, and which stretches are curved."""
    if isinstance(shape, Disc):
        radius = float(shape.diameter) / 2
        if shape.sides:
            corner = radius / math.cos(math.pi / shape.sides)
            turns = [math.tau * (k + 0.5) / shape.sides for k in range(shape.sides)]
            sharp = tuple((radius + corner * math.cos(turn), radius + corner * math.sin(turn)) for turn in turns)
            return sharp, tuple(range(shape.sides)), (False,) * shape.sides
        turns = [math.tau * k / DISC_SIDES for k in range(DISC_SIDES)]
        spots = tuple((radius + radius * math.cos(turn), radius + radius * math.sin(turn)) for turn in turns)
        return spots, (0,) * DISC_SIDES, (True,)
    spots, owners = traced(shape)
    curved = tuple(isinstance(stretch, Arc | Curve) for stretch in shape.stretches)
    if area(spots) < 0:
        # A stretch begins at the corner where it ends when the way round is turned.
        turned_owners = owners[::-1]
        return spots[::-1], (*turned_owners[1:], turned_owners[0]), curved
    return spots, owners, curved


def _steps(ease: Ease) -> list[tuple[float, float]]:
    """Return how far back and how high the rim stands, from the edge of the wall to that of the face."""
    size = float(ease.size)
    if ease.kind is EaseKind.CHAMFER:
        return [(0.0, 0.0), (size, size)]
    turns = [math.pi / 2 * k / ROUNDING for k in range(ROUNDING + 1)]
    return [(size * (1 - math.cos(turn)), size * math.sin(turn)) for turn in turns]


def _surfaces(kind: EaseKind | None, owners: Sequence[int], smooth: Sequence[bool], eased: Sequence[Ease]) -> list[int]:
    """Return the surface of each facet of a band; a round-over goes over into its wall without an edge."""
    rounded = any(ease.kind is EaseKind.ROUND_OVER for ease in eased)
    if kind is EaseKind.CHAMFER:
        return [len(smooth) + owner + 1 if smooth[owner] else 0 for owner in owners]
    if kind is EaseKind.ROUND_OVER or rounded:
        return [owner + 1 for owner in owners]
    return [owner + 1 if smooth[owner] else 0 for owner in owners]


def inset(spots: Sequence[Spot], back: float) -> tuple[Spot, ...]:
    """Return an anticlockwise outline moved inward, corner for corner."""
    count = len(spots)
    found = []
    for k in range(count):
        before, here, after = spots[k - 1], spots[k], spots[(k + 1) % count]
        (ax, ay), (bx, by) = _inward(before, here), _inward(here, after)
        share = back / max(1.0 + ax * bx + ay * by, 0.1)
        found.append((here[0] + (ax + bx) * share, here[1] + (ay + by) * share))
    return tuple(found)


def _inward(one: Spot, other: Spot) -> Spot:
    x, y = other[0] - one[0], other[1] - one[1]
    long = math.hypot(x, y) or 1.0
    return -y / long, x / long


def spanned(rings: Sequence[Ring], surfaces: Sequence[Sequence[int]]) -> Solid:
    """Return the solid between rings of equally many corners.

    `surfaces` has for each band between two rings the number of the curved surface that each facet
    belongs to, 0 for a flat one. The solid is an original whose facets carry these numbers.
    """
    count = len(rings[0].spots)
    points = [(x, y, ring.height) for ring in rings for x, y in ring.spots]
    triangles: list[tuple[int, int, int]] = []
    faces: list[int] = []
    for band, row in enumerate(surfaces):
        low, high = band * count, (band + 1) * count
        for k in range(count):
            after = (k + 1) % count
            triangles += [(low + k, low + after, high + after), (low + k, high + after, high + k)]
            faces += [row[k] * FACE + band * count + k + 1] * 2
    for ring, start, upward in ((rings[0], 0, False), (rings[-1], (len(rings) - 1) * count, True)):
        for a, b, c in triangulate([np.array(ring.spots)]).tolist():
            corners = (a, b, c) if upward else (c, b, a)
            triangles.append((start + corners[0], start + corners[1], start + corners[2]))
            faces.append(FACE // 2 + int(upward))
    return original(np.array(points), np.array(triangles), np.array(faces))


def original(points: Floats, triangles: np.ndarray, faces: np.ndarray) -> Solid:
    """Return a closed mesh as a solid that remembers which facet each piece of its surface was."""
    number = Manifold.reserve_ids(1)
    return Manifold(
        Mesh64(
            vert_properties=np.ascontiguousarray(points, dtype=np.float64),
            tri_verts=np.ascontiguousarray(triangles, dtype=np.uint64),
            run_index=np.array([0, 3 * len(triangles)], dtype=np.uint64),
            run_original_id=np.array([number], dtype=np.uint32),
            face_id=np.ascontiguousarray(faces, dtype=np.uint64),
        )
    )
