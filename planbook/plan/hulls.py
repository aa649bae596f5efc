"""Corners that span a part: the box round them is the box round the part."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from planbook.plan.model import Part
from planbook.plan.shapes import Profile, Station, Trim, Turned, Vector

ROUND_SIDES = 48
"""Corners that stand for a circle."""


def ring(profile: Profile, size: float, sides: int = ROUND_SIDES) -> list[tuple[float, float]]:
    """Return the corners of a section about its middle, anticlockwise; flats of an octagon lie along w and t."""
    if profile is Profile.ROUND:
        turns = [math.tau * k / sides for k in range(sides)]
        return [(size / 2 * math.cos(turn), size / 2 * math.sin(turn)) for turn in turns]
    number = 8 if profile is Profile.OCTAGON else 4
    radius = size / 2 / math.cos(math.pi / number)
    turns = [math.pi / number + math.tau * k / number for k in range(number)]
    return [(radius * math.cos(turn), radius * math.sin(turn)) for turn in turns]


def corners(part: Part) -> Iterator[Vector]:
    """Give points in the part's own axes, in mm: its box, or the ends of its stretches after they are trimmed."""
    shape = part.shape
    if not isinstance(shape, Turned):
        sizes = (float(part.length.final), float(part.width.final), float(part.thick))
        yield from ((l, w, t) for l in (0.0, sizes[0]) for w in (0.0, sizes[1]) for t in (0.0, sizes[2]))
        return
    middle = float(part.thick) / 2
    first, last = shape.stations[0], shape.stations[-1]
    far = float(part.length.final) + float(shape.above)
    ends = [
        Station(-shape.below, first.size, first.profile),
        *shape.stations,
        Station(part.length.final + shape.above, last.size, last.profile),
    ]
    for one, other in pairwise(ends):
        low, high = float(one.size), float(other.size)
        begin, end = float(one.at), min(float(other.at), far)
        for w, t in ring(one.profile, 1.0):
            start = (begin, middle + w * low, middle + t * low)
            stop = (end, middle + w * high, middle + t * high)
            yield from _trimmed(start, stop, part.trims)


def _trimmed(start: Vector, stop: Vector, trims: tuple[Trim, ...]) -> Iterator[Vector]:
    """Give the ends of what the trims leave of a stretch, if anything."""
    low, high = 0.0, 1.0
    for trim in trims:
        a, b = _beyond(trim, start), _beyond(trim, stop)
        if a > 0 and b > 0:
            return
        if a > 0:
            low = max(low, a / (a - b))
        elif b > 0:
            high = min(high, a / (a - b))
    if low <= high:
        for share in (low, high):
            yield (
                start[0] + (stop[0] - start[0]) * share,
                start[1] + (stop[1] - start[1]) * share,
                start[2] + (stop[2] - start[2]) * share,
            )


def _beyond(trim: Trim, point: Vector) -> float:
    """Return how far a point lies beyond a trim, in mm."""
    (l, w, t), (l0, w0, t0), (along, across, through) = point, trim.point, trim.outward
    return (l - l0) * along + (w - w0) * across + (t - t0) * through
