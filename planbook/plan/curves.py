"""Outlines as points: straight stretches, arcs through three points, smooth curves through many."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from planbook.plan.shapes import Arc, Curve, Line, Outline, Point

Spot = tuple[float, float]

SPAN = 8
"""Chords between two points of a smooth curve."""
CHORD = math.radians(2.5)
"""Most turn of one chord of an arc."""
STRAY = 0.03
"""mm: most that a chord may stray from its arc, so that templates at full size stay true."""


def traced(outline: Outline) -> tuple[tuple[Spot, ...], tuple[int, ...]]:
    """Return the corners of an outline in mm, and for each the number of the stretch that begins or goes on there."""
    spots: list[Spot] = []
    owners: list[int] = []
    here = _spot(outline.start)
    for number, stretch in enumerate(outline.stretches):
        ends = list(_ends(here, stretch))
        for spot in (here, *ends[:-1]):
            spots.append(spot)
            owners.append(number)
        here = ends[-1]
    return tuple(spots), tuple(owners)


def _ends(here: Spot, stretch: Line | Curve | Arc) -> Iterator[Spot]:
    """Give the points of a stretch behind its start."""
    if isinstance(stretch, Line):
        yield _spot(stretch.to)
    elif isinstance(stretch, Arc):
        yield from _arc(here, _spot(stretch.over), _spot(stretch.to))
    else:
        yield from through((here, *map(_spot, stretch.through)))


def _spot(point: Point) -> Spot:
    return float(point[0]), float(point[1])


def through(spots: Sequence[Spot]) -> Iterator[Spot]:
    """Give a smooth curve through points, behind the first: centripetal Catmull-Rom, no loops between neighbours."""
    if len(spots) == 2:
        yield spots[1]
        return
    for number in range(len(spots) - 1):
        one, other = spots[number], spots[number + 1]
        before = spots[number - 1] if number else _beyond(other, one)
        after = spots[number + 2] if number + 2 < len(spots) else _beyond(one, other)
        for step in range(1, SPAN):
            yield _between(before, one, other, after, step / SPAN)
        yield other


def _beyond(one: Spot, other: Spot) -> Spot:
    return 2 * other[0] - one[0], 2 * other[1] - one[1]


def _between(a: Spot, b: Spot, c: Spot, d: Spot, share: float) -> Spot:
    """Return a point between b and c of the curve through all four: Barry and Goldman's pyramid."""
    knots = [0.0]
    for one, other in ((a, b), (b, c), (c, d)):
        knots.append(knots[-1] + max(math.sqrt(math.dist(one, other)), 1e-9))
    t = knots[1] + (knots[2] - knots[1]) * share

    def mix(one: Spot, other: Spot, low: int, high: int) -> Spot:
        part = (t - knots[low]) / (knots[high] - knots[low])
        return one[0] + (other[0] - one[0]) * part, one[1] + (other[1] - one[1]) * part

    first, second, third = mix(a, b, 0, 1), mix(b, c, 1, 2), mix(c, d, 2, 3)
    return mix(mix(first, second, 0, 2), mix(second, third, 1, 3), 1, 2)


def _arc(start: Spot, over: Spot, end: Spot) -> Iterator[Spot]:
    """Give an arc behind its start; a straight line where the three points lie in one."""
    circle = circle_through(start, over, end)
    if circle is None:
        yield end
        return
    (x, y), radius = circle
    first, middle, last = (math.atan2(spot[1] - y, spot[0] - x) for spot in (start, over, end))
    sweep = (last - first) % math.tau
    if (middle - first) % math.tau > sweep:
        sweep -= math.tau
    turn = min(CHORD, 2 * math.acos(1 - STRAY / max(radius, STRAY)))
    chords = max(math.ceil(abs(sweep) / turn), 2)
    for step in range(1, chords):
        angle = first + sweep * step / chords
        yield x + radius * math.cos(angle), y + radius * math.sin(angle)
    yield end


def circle_through(a: Spot, b: Spot, c: Spot) -> tuple[Spot, float] | None:
    """Return centre and radius of the circle through three points, or None where they lie in a line."""
    (bx, by), (cx, cy) = (b[0] - a[0], b[1] - a[1]), (c[0] - a[0], c[1] - a[1])
    twice = 2 * (bx * cy - by * cx)
    if abs(twice) < 1e-9 * (math.hypot(bx, by) + math.hypot(cx, cy)) ** 2:
        return None
    b2, c2 = bx * bx + by * by, cx * cx + cy * cy
    x, y = (cy * b2 - by * c2) / twice, (bx * c2 - cx * b2) / twice
    return (a[0] + x, a[1] + y), math.hypot(x, y)


def area(spots: Sequence[Spot]) -> float:
    """Return the area inside corners, above 0 where they run anticlockwise (shoelace formula)."""
    return (
        sum(one[0] * other[1] - other[0] * one[1] for one, other in zip(spots, (*spots[1:], spots[0]), strict=True))
        / 2.0
    )


def crossing(spots: Sequence[Spot]) -> tuple[Spot, Spot] | None:
    """Return two corners whose sides cross each other, or None for an outline that does not cross itself."""
    count = len(spots)
    sides = [(spots[k], spots[(k + 1) % count]) for k in range(count)]
    for i in range(count):
        for j in range(i + 2, count):
            if (i, j) != (0, count - 1) and _cross(*sides[i], *sides[j]):
                return sides[i][0], sides[j][0]
    return None


def _cross(a: Spot, b: Spot, c: Spot, d: Spot) -> bool:
    def side(p: Spot, q: Spot, r: Spot) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
