"""Fasteners on their axes in the finished piece: what wood lies along one, and where it enters each part."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from planbook.checks.copies import Copies, Copy
from planbook.checks.neighbours import WIDER, Floated
from planbook.plan.fastened import Fastened, Place
from planbook.plan.model import Placement, Plan
from planbook.plan.shapes import Vector
from planbook.shape.states import finished_version

AT = 1.0
"""mm: how far from where a part should begin along an axis its wood may begin (rounding and play)."""
FINE = 0.01
"""mm: places on the axes of fasteners are good to that."""
SCREWS = ("wood screw", "lag screw", "structural screw")
NAIL = "nail"

Stretch = tuple[float, float]
"""From and to along an axis, in mm from where the fastener enters."""


@dataclass(frozen=True, slots=True)
class Driven:
    """One fastener in the finished piece, and the copies that it joins."""

    fastened: Fastened
    place: Place
    passes: tuple[Copy, ...]
    into: Copy | None

    @property
    def depth(self) -> float:
        """How far along its axis the last part begins, in mm: behind all that it passes."""
        if self.fastened.back:
            return 0.0
        return float(sum(layer.thick for layer in self.fastened.passes))

    @property
    def reach(self) -> float:
        """How far along its axis it ends, in mm."""
        return self.depth + float(self.fastened.bite)

    def at(self, along: float) -> Vector:
        """Return the place so many mm along its axis, in the assembly."""
        x, y, z = (start + along * way for start, way in zip(self.place.start, self.place.way, strict=True))
        return (x, y, z)


class Axes:
    """All fasteners of a plan with the copies of the finished piece."""

    def __init__(self, plan: Plan) -> None:
        self._copies = Copies(plan)
        self.copies = tuple(
            self._copies.copy(number, placement, finished_version(plan, placement.part))
            for number, placement in enumerate(plan.placements)
        )
        self._at = {_key(copy.placement): copy for copy in self.copies}
        self._plan = plan

    def of(self, fastened: Fastened) -> Iterator[Driven]:
        """Give each fastener of a group."""
        for place in fastened.places:
            passes = tuple(self._at[_key(item)] for item in place.passes if _key(item) in self._at)
            into = self._at.get(_key(place.into)) if place.into is not None else None
            yield Driven(fastened, place, passes, into)


def _key(placement: Placement) -> tuple[str, int, str]:
    return (placement.part, placement.copy, placement.hand)


def wood_along(copy: Copy, place: Place) -> tuple[Stretch, ...]:
    """Return the stretches of an axis that lie in a copy's wood, in order; its bores are not taken out.

    Only of a copy whose boxes are its wood (`Copy.shaped` is false).
    """
    found = sorted(stretch for box in copy.boxes if (stretch := _within(box, place.start, place.way)) is not None)
    merged: list[Stretch] = []
    for low, high in found:
        if merged and low <= merged[-1][1] + WIDER:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return tuple(merged)


def _within(box: Floated, start: Vector, way: Vector) -> Stretch | None:
    """Return the stretch of a line within a box, or None."""
    low, high = -math.inf, math.inf
    for (first, last), at, run in zip(box, start, way, strict=True):
        if abs(run) < 1e-12:
            if not first - WIDER < at < last + WIDER:
                return None
            continue
        ends = sorted(((first - at) / run, (last - at) / run))
        low, high = max(low, ends[0]), min(high, ends[1])
    return (low, high) if high - low > WIDER else None


def stretch_at(stretches: Sequence[Stretch], at: float) -> Stretch | None:
    """Return the stretch of wood that begins near a place of the axis, or holds it, or None."""
    return next((one for one in stretches if one[0] - AT <= at < one[1]), None)


def in_own_axes(placement: Placement, point: Vector) -> Vector:
    """Return a point of the assembly in a part's own axes: l, w and t in mm."""
    away = [at - float(base) for at, base in zip(point, placement.origin, strict=True)]
    l, w, t = (sum(a * b for a, b in zip(away, way, strict=True)) for way in _ways(placement))
    return (l, w, t)


def in_assembly(placement: Placement, point: Vector, way: Vector) -> tuple[Vector, Vector]:
    """Return a point and a direction of a part's own axes in the assembly."""
    return points_in_assembly(placement, (point,))[0], _turned(_ways(placement), way)


def points_in_assembly(placement: Placement, points: Iterable[Vector]) -> list[Vector]:
    """Return points of a part's own axes in the assembly."""
    ways = _ways(placement)
    x, y, z = (float(base) for base in placement.origin)
    found = []
    for point in points:
        along = _turned(ways, point)
        found.append((x + along[0], y + along[1], z + along[2]))
    return found


def _ways(placement: Placement) -> tuple[Vector, ...]:
    return placement.turn or tuple(_direction(word) for word in placement.axes)


def _turned(ways: tuple[Vector, ...], own: Vector) -> Vector:
    (a, b, c), (d, e, f), (g, h, i) = ways
    l, w, t = own
    return (l * a + w * d + t * g, l * b + w * e + t * h, l * c + w * f + t * i)


def _direction(word: str) -> Vector:
    sign = 1.0 if word[0] == "+" else -1.0
    x, y, z = (sign * (axis == word[1]) for axis in "xyz")
    return (x, y, z)
