"""Round ends in the sockets bored for them, in closed form: most leaning legs need no solids.

A leg on the axis of its socket is looked at station by station: its section, taken as the circle round
it, against the circle of the bore. What this lets pass passes; what it does not is left to solids.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from planbook.checks.axes import in_assembly, in_own_axes, points_in_assembly
from planbook.checks.bores import Bore, bores_of
from planbook.checks.neighbours import Floated
from planbook.plan.hulls import corners
from planbook.plan.model import Part, Placement
from planbook.plan.shapes import Profile, Turned, Vector

SOCKET = "socket"
OFF = 0.05
"""mm: an axis that passes so near another one lies on it."""
TILTED = 1e-6
"""Sine of the angle below which two axes are parallel."""
ROUND_IT = {Profile.ROUND: 1.0, Profile.OCTAGON: 1 / math.cos(math.pi / 8), Profile.SQUARE: math.sqrt(2)}
"""Circle round a section, over its size."""

Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Entered:
    """A turned part on the axis of a socket of another; places along it are from its datum end, in mm."""

    radius: float
    """Of the bore."""
    low: float
    high: float
    """From where to where along the part the wood of the other lies round it, with the slant of its faces."""
    bed: float | None
    """Where the bed of a blind socket lies, or None."""
    end: float
    """The end of the part that lies in the socket."""
    stations: tuple[Spot, ...]
    """Place along the part, and radius of the circle round its section."""

    def widest(self, low: float, high: float) -> float:
        """Return the greatest radius of the part between two places along it."""
        found = 0.0
        for (a, one), (b, other) in pairwise(self.stations):
            first, last = max(a, low), min(b, high)
            if first > last:
                continue
            for at in (first, last):
                found = max(found, one + (other - one) * (at - a) / (b - a) if b > a else max(one, other))
        return found

    @property
    def depth(self) -> float:
        """How far the part runs into the wood round the bore, or into its bed, at most, in mm."""
        aside = self.widest(self.low, self.high) - self.radius
        into = -math.inf if self.bed is None else abs(self.end - self.bed) * (1 if self._past else -1)
        return max(aside, into)

    @property
    def _past(self) -> bool:
        assert self.bed is not None
        return self.end > self.bed if self.bed > self.low else self.end < self.bed

    @property
    def touches(self) -> float:
        """How far the part stays from the wall of the bore, at least, in mm; infinite where it does not reach in."""
        first, last = self.stations[0][0], self.stations[-1][0]
        if last < self.low or first > self.high:
            return math.inf
        return max(0.0, self.radius - self.widest(self.low, self.high))

    def slides(self, forward: bool, play: float) -> bool:
        """Whether all that must pass the bore fits through it: moved along its length, or back."""
        ends = (-math.inf, self.high) if forward else (self.low, math.inf)
        blind = self.bed is not None and (self.bed > self.low) == forward
        return not blind and self.widest(*ends) - self.radius <= play


def entered(leg: Part, leg_at: Placement, board: Part, board_at: Placement) -> Entered | None:
    """Return how a turned part stands in a socket of a flat board, or None where it is on the axis of none."""
    if not isinstance(leg.shape, Turned) or board_at.turn is not None or isinstance(board.shape, Turned):
        return None
    middle = float(leg.thick) / 2
    foot, along = in_assembly(leg_at, (0.0, middle, middle), (1.0, 0.0, 0.0))
    own_foot, ahead = in_own_axes(board_at, foot), in_own_axes_way(board_at, along)
    if abs(ahead[2]) < 0.1:
        return None
    for bore in bores_of(board, board_at.hand):
        if bore.hole.role == SOCKET and bore.hole.t is None and _on_axis(bore, own_foot, ahead):
            return _entered(leg, board, bore, own_foot, ahead)
    return None


def in_own_axes_way(placement: Placement, way: Vector) -> Vector:
    """Return a direction of the assembly in a part's own axes."""
    x, y, z = (float(value) for value in placement.origin)
    return in_own_axes(placement, (x + way[0], y + way[1], z + way[2]))


def _on_axis(bore: Bore, foot: Vector, ahead: Vector) -> bool:
    turn = sum(a * b for a, b in zip(bore.way, ahead, strict=True))
    if 1.0 - turn * turn > TILTED * TILTED:
        return False
    away = [a - b for a, b in zip(bore.start, foot, strict=True)]
    run = sum(a * b for a, b in zip(away, ahead, strict=True))
    return math.sqrt(max(0.0, sum(a * a for a in away) - run * run)) < OFF


def _entered(leg: Part, board: Part, bore: Bore, foot: Vector, ahead: Vector) -> Entered:
    shape = leg.shape
    assert isinstance(shape, Turned)
    first, last = shape.stations[0], shape.stations[-1]
    length = float(leg.length.final)
    found = [(-float(shape.below), float(first.size) / 2 * ROUND_IT[first.profile])]
    found += [(float(one.at), float(one.size) / 2 * ROUND_IT[one.profile]) for one in shape.stations]
    found.append((length + float(shape.above), float(last.size) / 2 * ROUND_IT[last.profile]))
    # A slanted face meets the circle of the bore over so much more of the length.
    slant = bore.radius * math.sqrt(max(0.0, 1.0 - ahead[2] ** 2)) / abs(ahead[2])
    faces = sorted((at - foot[2]) / ahead[2] for at in (0.0, float(board.thick)))
    inward = sum(a * b for a, b in zip(bore.way, ahead, strict=True)) > 0
    bed = None
    if bore.hole.deep is not None:
        run = sum((a - b) * c for a, b, c in zip(bore.end, foot, ahead, strict=True))
        bed = run
        faces = [faces[0], run] if inward else [run, faces[1]]
    end = length if inward else 0.0
    return Entered(bore.radius, faces[0] - slant, faces[1] + slant, bed, end, tuple(found))


def hull_points(part: Part, placement: Placement, boxes: Sequence[Floated]) -> tuple[Vector, ...]:
    """Return points of the assembly that span a copy: its own where it leans or is turned, else those of its boxes."""
    if placement.turn is not None or isinstance(part.shape, Turned):
        return tuple(points_in_assembly(placement, corners(part)))
    return tuple(spot for box in boxes for spot in itertools.product(*box))


def points_ahead(
    part: Part, placement: Placement, points: Sequence[Vector], way: Vector, level: float
) -> Sequence[Vector]:
    """Return points that span what of a copy lies beyond a level along a way; more than that where it is no leg.

    A leg is cut off square to its own length, where the whole of its section is short of the level.
    """
    turn = placement.turn
    if turn is None or not isinstance(part.shape, Turned):
        return points
    rise = _along(turn[0], way)
    if abs(rise) < 0.1:
        return points
    stations = part.shape.stations
    wide = max(float(one.size) / 2 * ROUND_IT[one.profile] for one in stations) * math.sqrt(max(0.0, 1.0 - rise * rise))
    middle = float(part.thick) / 2
    foot, _ = in_assembly(placement, (0.0, middle, middle), (1.0, 0.0, 0.0))
    cut = (level - wide - _along(foot, way)) / rise
    found: list[Vector] = []
    spots = list(corners(part))
    for start, stop in zip(spots[::2], spots[1::2], strict=True):
        a, b = ((start[0] - cut) * rise, (stop[0] - cut) * rise)
        for spot, mine, other, theirs in ((start, a, stop, b), (stop, b, start, a)):
            if mine >= 0:
                found.append(spot)
            elif theirs > 0:
                share = mine / (mine - theirs)
                x, y, z = (one + (two - one) * share for one, two in zip(spot, other, strict=True))
                found.append((x, y, z))
    return points_in_assembly(placement, found)


def shadow(points: Sequence[Vector], way: Vector) -> tuple[Spot, ...]:
    """Return the outline of points as they are seen along a way: the convex one round them, anticlockwise."""
    right, up = _across(way)
    return tuple(_convex([(_along(point, right), _along(point, up)) for point in points]))


def _along(point: Vector, way: Vector) -> float:
    return point[0] * way[0] + point[1] * way[1] + point[2] * way[2]


def seen_apart(one: Sequence[Vector], other: Sequence[Vector], ways: Sequence[Vector], play: float) -> bool:
    """Whether two convex bodies are plainly apart: along one of the ways one sees between them."""
    return any(shadows_apart(shadow(one, way), shadow(other, way), play) for way in ways)


def _across(way: Vector) -> tuple[Vector, Vector]:
    x, y, z = way
    aside: Vector = (0.0, -z, y) if abs(x) < 0.9 else (z, 0.0, -x)
    long = math.sqrt(sum(value * value for value in aside))
    right = (aside[0] / long, aside[1] / long, aside[2] / long)
    return right, (y * right[2] - z * right[1], z * right[0] - x * right[2], x * right[1] - y * right[0])


def _convex(spots: Sequence[Spot]) -> list[Spot]:
    """Return the convex hull by the monotone chain."""
    ordered = sorted(set(spots))
    if len(ordered) < 3:
        return ordered

    def half(points: Iterator[Spot]) -> list[Spot]:
        kept: list[Spot] = []
        for point in points:
            while len(kept) > 1 and _turn(kept[-2], kept[-1], point) <= 0:
                kept.pop()
            kept.append(point)
        return kept

    return half(iter(ordered))[:-1] + half(reversed(ordered))[:-1]


def _turn(a: Spot, b: Spot, c: Spot) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def shadows_apart(one: Sequence[Spot], other: Sequence[Spot], play: float) -> bool:
    """Whether two convex outlines share no strip wider than `play`: some side of one has the other beyond it."""
    return any(_beyond(a, b, play) for a, b in ((one, other), (other, one)))


def _beyond(one: Sequence[Spot], other: Sequence[Spot], play: float) -> bool:
    for k, a in enumerate(one):
        b = one[(k + 1) % len(one)]
        long = math.dist(a, b)
        if long > 0 and all(-_turn(a, b, spot) / long >= -play for spot in other):
            return True
    return False
