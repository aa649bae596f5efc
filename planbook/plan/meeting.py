"""Where two finished parts meet: the plane and the area of it, from their flat faces as they stand.

Parts are taken as their boxes less mitres, bevels and tapers: cuts inside, curved outlines and turned
shapes are left out. Floats in mm; what is bored is rounded when it is placed in a part.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from planbook.plan.boxes import directions
from planbook.plan.convex import trimmed_faces
from planbook.plan.model import Part, Placement
from planbook.plan.shapes import Profile, Trim, Turn, Turned, Vector

OPPOSITE = math.cos(math.radians(1.0))
"""Faces that lean less than 1 degree from one another lie flat on one another (our own choice)."""
LEAST = 1.0
"""mm2: a smaller area is a touch of edges."""

Flat = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Face:
    """One flat face: its corners, and the way out of the wood square to it."""

    corners: tuple[Vector, ...]
    outward: Vector


@dataclass(frozen=True, slots=True)
class Hull:
    """A copy of a part where it stands."""

    part: Part
    placement: Placement
    turn: Turn
    faces: tuple[Face, ...]

    def own(self, point: Vector) -> Vector:
        """Return a point of the assembly in the part's own axes."""
        away = minus(point, tuple(float(value) for value in self.placement.origin))
        return self.own_way(away)

    def own_way(self, way: Vector) -> Vector:
        """Return a direction of the assembly in the part's own axes."""
        x, y, z = (dot(way, axis) for axis in self.turn)
        return (x, y, z)

    def along(self, point: Vector, way: Vector) -> tuple[float, float] | None:
        """Return from where to where a line through a point is in the part, in mm along `way`; None beside it."""
        low, high = -math.inf, math.inf
        for face in self.faces:
            slope, level = dot(way, face.outward), dot(minus(face.corners[0], point), face.outward)
            if abs(slope) < 1e-9:
                if level < -1e-6:
                    return None
            elif slope > 0:
                high = min(high, level / slope)
            else:
                low = max(low, level / slope)
        return (low, high) if low < high - 1e-6 else None

    def side_at(self, point: Vector) -> Face:
        """Return the face that a point lies in, or is nearest to."""
        return min(self.faces, key=lambda face: abs(dot(minus(point, face.corners[0]), face.outward)))


@dataclass(frozen=True, slots=True)
class Meeting:
    """Where one part meets another."""

    one: Hull
    other: Hull
    normal: Vector
    """Out of the one, into the other."""
    area: tuple[Vector, ...]
    """Corners of what they share of the plane."""


def hull(part: Part, placement: Placement) -> Hull:
    """Return a copy of a part with its flat faces, in the assembly."""
    turn = placement.turn or directions(placement)
    origin = tuple(float(value) for value in placement.origin)
    size = (float(part.length.final), float(part.width.final), float(part.thick))
    trims = (*part.trims, *_tapers(part))
    bodies = [[_moved(corner, origin, turn) for corner in face] for face in trimmed_faces(size, trims)]
    points = [corner for face in bodies for corner in face]
    middle = tuple(sum(point[axis] for point in points) / len(points) for axis in range(3))
    return Hull(part, placement, turn, tuple(_outward(face, middle) for face in bodies))


def _tapers(part: Part) -> Iterator[Trim]:
    """Give the four sides of a square part that changes straight from one end to the other."""
    shape = part.shape
    if not isinstance(shape, Turned) or {station.profile for station in shape.stations} != {Profile.SQUARE}:
        return
    first, last = shape.stations[0], shape.stations[-1]
    long, half = float(part.length.final), float(part.thick) / 2
    low, high = float(first.size) / 2, float(last.size) / 2
    if len(shape.stations) > 2 or (low == half and high == half):
        return
    slope = (high - low) / (float(last.at - first.at) or long)
    size = math.hypot(1.0, slope)
    start = low - slope * float(first.at)
    for sign in (1.0, -1.0):
        middle = half + sign * start
        out = sign / size
        yield Trim(name="", point=(0.0, middle, half), outward=(-slope / size, out, 0.0), step=None)
        yield Trim(name="", point=(0.0, half, middle), outward=(-slope / size, 0.0, out), step=None)


def _moved(point: Vector, origin: Sequence[float], turn: Turn) -> Vector:
    x, y, z = (
        origin[axis] + sum(value * way[axis] for value, way in zip(point, turn, strict=True)) for axis in range(3)
    )
    return (x, y, z)


def _outward(corners: Sequence[Vector], middle: Sequence[float]) -> Face:
    """Return a face with its way out, its corners anticlockwise as seen from outside."""
    out = _newell(corners)
    if dot(minus(corners[0], middle), out) < 0:
        corners = tuple(reversed(corners))
        out = (-out[0], -out[1], -out[2])
    return Face(tuple(corners), out)


def _newell(corners: Sequence[Vector]) -> Vector:
    first = corners[0]
    x = y = z = 0.0
    for one, other in pairwise(corners[1:]):
        a, b, c = cross(minus(one, first), minus(other, first))
        x, y, z = x + a, y + b, z + c
    return unit((x, y, z))


def touching(one: Hull, other: Hull, *, apart: float) -> Meeting | None:
    """Return where two parts lie against one another, no more than `apart` mm off, or None; the largest area wins."""
    best: tuple[float, Meeting] | None = None
    for mine in one.faces:
        for theirs in other.faces:
            if dot(mine.outward, theirs.outward) > -OPPOSITE:
                continue
            if abs(dot(minus(theirs.corners[0], mine.corners[0]), mine.outward)) > apart:
                continue
            area = _common(mine, theirs)
            size = _area(area, mine.outward)
            if size > LEAST and (best is None or size > best[0] + 1e-6):
                best = size, Meeting(one, other, mine.outward, tuple(area))
    return best[1] if best else None


def entering(one: Hull, other: Hull, normal: Vector) -> Meeting | None:
    """Return what two parts share as seen along a direction, for parts of which one enters the other."""
    u, v = across(normal)
    shadow = [_shadow(body, u, v) for body in (one, other)]
    area = _clipped(shadow[0], shadow[1])
    base = dot(normal, one.faces[0].corners[0])
    corners = tuple(_sum((u, a), (v, b), (normal, base)) for a, b in area)
    if len(corners) < 3 or _area(corners, normal) <= LEAST:
        return None
    return Meeting(one, other, normal, corners)


def gap(one: Hull, other: Hull) -> float:
    """Return how far the boxes round two parts are apart, in mm; 0 where they meet."""
    away = []
    for axis in range(3):
        spans = []
        for body in (one, other):
            values = [corner[axis] for face in body.faces for corner in face.corners]
            spans.append((min(values), max(values)))
        away.append(max(spans[1][0] - spans[0][1], spans[0][0] - spans[1][1], 0.0))
    return math.hypot(*away)


def _common(mine: Face, theirs: Face) -> list[Vector]:
    """Return what two faces share, in the plane of the first."""
    u, v = across(mine.outward)
    base = dot(mine.outward, mine.corners[0])
    flats = [[(dot(u, corner), dot(v, corner)) for corner in face.corners] for face in (mine, theirs)]
    return [_sum((u, a), (v, b), (mine.outward, base)) for a, b in _clipped(*(_turned(flat) for flat in flats))]


def _shadow(body: Hull, u: Vector, v: Vector) -> list[Flat]:
    points = sorted({(dot(u, corner), dot(v, corner)) for face in body.faces for corner in face.corners})

    def half(ordered: Sequence[Flat]) -> list[Flat]:
        chain: list[Flat] = []
        for point in ordered:
            while len(chain) > 1 and _side(chain[-2], chain[-1], point) <= 1e-9:
                chain.pop()
            chain.append(point)
        return chain[:-1]

    return half(points) + half(points[::-1])


def _turned(flat: list[Flat]) -> list[Flat]:
    """Return the corners anticlockwise."""
    size = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(flat, (*flat[1:], flat[0]), strict=True))
    return flat if size > 0 else flat[::-1]


def _side(one: Flat, other: Flat, point: Flat) -> float:
    return (other[0] - one[0]) * (point[1] - one[1]) - (other[1] - one[1]) * (point[0] - one[0])


def _clipped(subject: list[Flat], window: list[Flat]) -> list[Flat]:
    """Return what two convex areas share, by cutting one at each side of the other."""
    for start, end in zip(window, (*window[1:], window[0]), strict=True):
        left: list[Flat] = []
        for one, other in zip(subject, (*subject[1:], *subject[:1]), strict=True):
            a, b = _side(start, end, one), _side(start, end, other)
            if a >= 0:
                left.append(one)
            if (a < 0 < b) or (b < 0 < a):
                share = a / (a - b)
                left.append((one[0] + (other[0] - one[0]) * share, one[1] + (other[1] - one[1]) * share))
        subject = left
    return subject


def _area(corners: Sequence[Vector], normal: Vector) -> float:
    if len(corners) < 3:
        return 0.0
    total = (0.0, 0.0, 0.0)
    for one, other in pairwise(corners[1:]):
        total = plus(total, cross(minus(one, corners[0]), minus(other, corners[0])))
    return abs(dot(total, normal)) / 2


def lines(meeting: Meeting) -> tuple[Vector, Vector]:
    """Return the way along which fasteners stand in a row, and the way across it, both in the plane.

    It is the direction of one of the parts in which the area is longest; it counts from left, front or below.
    """
    ways: list[Vector] = []
    for way in (*meeting.other.turn, *meeting.one.turn):
        flat = minus(way, scaled(meeting.normal, dot(way, meeting.normal)))
        if math.hypot(*flat) > 0.1:
            ways.append(unit(flat))

    def extent(way: Vector) -> float:
        values = [dot(way, corner) for corner in meeting.area]
        return max(values) - min(values)

    best = ways[0]
    for way in ways[1:]:
        if extent(way) > extent(best) + 1e-6:
            best = way
    if max(best, key=abs) < 0:
        best = scaled(best, -1.0)
    return best, unit(cross(meeting.normal, best))


def chord(meeting: Meeting, along: Vector, over: Vector, at: float) -> tuple[float, float]:
    """Return from where to where across the row the area reaches, at a place along it."""
    flat = [(dot(along, corner), dot(over, corner)) for corner in meeting.area]
    found = []
    for (a, b), (c, d) in zip(flat, (*flat[1:], flat[0]), strict=True):
        if min(a, c) - 1e-9 <= at <= max(a, c) + 1e-9:
            share = (at - a) / (c - a) if abs(c - a) > 1e-9 else 0.0
            found += [b + (d - b) * share] if abs(c - a) > 1e-9 else [b, d]
    return min(found), max(found)


def across(normal: Vector) -> tuple[Vector, Vector]:
    """Return two unit vectors square to a direction and to one another."""
    helper = min(((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)), key=lambda axis: abs(dot(axis, normal)))
    u = unit(cross(normal, helper))
    return u, cross(normal, u)


def nearest_pair(ones: Sequence[Hull], others: Sequence[Hull]) -> float:
    """Return the least gap between copies of two parts, in mm."""
    return min(gap(one, other) for one in ones for other in others)


def _sum(*terms: tuple[Vector, float]) -> Vector:
    x, y, z = (sum(way[axis] * size for way, size in terms) for axis in range(3))
    return (x, y, z)


def dot(one: Sequence[float], other: Sequence[float]) -> float:
    """Return the product of two directions."""
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


def cross(one: Vector, other: Vector) -> Vector:
    """Return the direction square to two others."""
    return (
        one[1] * other[2] - one[2] * other[1],
        one[2] * other[0] - one[0] * other[2],
        one[0] * other[1] - one[1] * other[0],
    )


def minus(one: Sequence[float], other: Sequence[float]) -> Vector:
    """Return the way from the other to the one."""
    return (one[0] - other[0], one[1] - other[1], one[2] - other[2])


def plus(one: Vector, other: Vector) -> Vector:
    """Return the one moved by the other."""
    return (one[0] + other[0], one[1] + other[1], one[2] + other[2])


def scaled(way: Vector, size: float) -> Vector:
    """Return a direction made longer."""
    return (way[0] * size, way[1] * size, way[2] * size)


def unit(way: Vector) -> Vector:
    """Return a direction at length 1, free of the crumbs that rounding leaves in it."""
    long = math.hypot(*way)
    x, y, z = (0.0 if abs(value / long) < 1e-12 else value / long for value in way)
    return (x, y, z)
