"""Holes of a part as round bores in its own axes: how near they come to each other and to what is cut away."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planbook.checks.neighbours import Floated, floated, pairs_of
from planbook.plan.drilling import inward, side_of
from planbook.plan.model import Cut, Hole, Part
from planbook.plan.shapes import Vector

ALONG = 1e-6
"""How far two axes may be off each other and count as one, in mm and in the sine of their angle."""


@dataclass(frozen=True, slots=True)
class Bore:
    """One bore of a hole: its counterbore is another."""

    hole: Hole
    start: Vector
    """Where its axis enters the wood: l, w and t in mm."""
    way: Vector
    """Unit vector into the wood."""
    deep: float
    """How far its full diameter goes along its axis, in mm."""
    radius: float

    @property
    def end(self) -> Vector:
        """Where its full diameter ends."""
        l, w, t = (at + self.deep * way for at, way in zip(self.start, self.way, strict=True))
        return (l, w, t)

    @property
    def around(self) -> Floated:
        """The box round it; along its axis it ends where the full diameter does."""
        spans = []
        for begins, ends, way in zip(self.start, self.end, self.way, strict=True):
            wide = self.radius * math.sqrt(max(0.0, 1.0 - way * way))
            spans.append((min(begins, ends) - wide, max(begins, ends) + wide))
        return (spans[0], spans[1], spans[2])


def bores_of(part: Part, hand: str) -> tuple[Bore, ...]:
    """Return the bores of one hand of a part, counterbores behind their holes; of a slot both of its ends."""
    return tuple(bore for hole in part.holes if hole.hand in ("", hand) for bore in _bores(part, hole))


def _bores(part: Part, hole: Hole) -> Iterator[Bore]:
    thick = float(part.thick)
    way = hole.axis or inward(side_of(hole))
    entry = float(hole.t) if hole.t is not None else (thick if hole.from_show else 0.0)
    start = (float(hole.l), float(hole.w), entry)
    deep = _through(part, way) if hole.deep is None else float(hole.deep)
    for spot in _ends(hole, start):
        yield Bore(hole, spot, way, deep, float(hole.diameter) / 2)
    if hole.counterbore is not None:
        wide, sunk = hole.counterbore
        yield Bore(hole, start, way, float(sunk), float(wide) / 2)


def _ends(hole: Hole, middle: Vector) -> tuple[Vector, ...]:
    if hole.slot <= hole.diameter:
        return (middle,)
    half = float(hole.slot - hole.diameter) / 2
    slot = hole.slot_way or (1.0, 0.0, 0.0)
    return (_at(middle, slot, -half), _at(middle, slot, half))


def _through(part: Part, way: Vector) -> float:
    """Return how far a bore right through goes along its axis."""
    axis = max(range(3), key=lambda at: abs(way[at]))
    size = (part.length.final, part.width.final, part.thick)[axis]
    return float(size) / abs(way[axis])


def meetings(bores: Sequence[Bore], limit: float) -> Iterator[tuple[float, Bore, Bore]]:
    """Give the pairs of bores with less wood than `limit` mm between them, and how much that is; 0 where they meet.

    Bores on one axis belong together (a pilot and its counterbore), also those of one joint that cross on
    purpose at their mouths: they begin at one place.
    """
    wider = [_grown(bore.around, limit / 2) for bore in bores]
    for one, other in pairs_of(wider):
        mine, theirs = bores[one], bores[other]
        if mine.hole is theirs.hole or _on_one_axis(mine, theirs):
            continue
        left = _between(mine.start, mine.end, theirs.start, theirs.end) - mine.radius - theirs.radius
        if left < limit:
            yield max(left, 0.0), mine, theirs


def _grown(box: Floated, by: float) -> Floated:
    x, y, z = ((low - by, high + by) for low, high in box)
    return (x, y, z)


def _on_one_axis(one: Bore, other: Bore) -> bool:
    aside = [b - a for a, b in zip(one.start, other.start, strict=True)]
    along = sum(a * b for a, b in zip(aside, one.way, strict=True))
    away = math.sqrt(max(0.0, sum(a * a for a in aside) - along * along))
    turn = sum(a * b for a, b in zip(one.way, other.way, strict=True))
    return away < ALONG and abs(abs(turn) - 1.0) < ALONG and (turn > 0 or one.hole.group == other.hole.group)


def _between(a: Vector, b: Vector, c: Vector, d: Vector) -> float:
    """Return the least distance between the stretches from a to b and from c to d."""
    u, v, w = _minus(b, a), _minus(d, c), _minus(a, c)
    uu, uv, vv, uw, vw = _dot(u, u), _dot(u, v), _dot(v, v), _dot(u, w), _dot(v, w)
    across = uu * vv - uv * uv
    if uu < 1e-12:
        return math.dist(a, _at(c, v, _held(vw / vv if vv > 1e-12 else 0.0)))
    s = _held((uv * vw - vv * uw) / across) if across > 1e-12 * uu * max(vv, 1e-12) else 0.0
    t = _held((uv * s + vw) / vv) if vv > 1e-12 else 0.0
    s = _held((uv * t - uw) / uu)
    if vv > 1e-12:
        t = _held((uv * s + vw) / vv)
    return math.dist(_at(a, u, s), _at(c, v, t))


def _minus(one: Vector, other: Vector) -> Vector:
    return (one[0] - other[0], one[1] - other[1], one[2] - other[2])


def _dot(one: Vector, other: Vector) -> float:
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


def _at(start: Vector, run: Vector, share: float) -> Vector:
    return (start[0] + share * run[0], start[1] + share * run[1], start[2] + share * run[2])


def _held(share: float) -> float:
    return min(1.0, max(0.0, share))


def to_cut(bore: Bore, cut: Cut) -> float:
    """Return the wood between a bore and a cut, in mm; infinite where the bore runs into the cut.

    The bore is taken as the box round it.
    """
    apart = _boxes_apart(bore.around, floated((cut.box.l, cut.box.w, cut.box.t)))
    return apart if apart > 0 else math.inf


def _boxes_apart(one: Floated, other: Floated) -> float:
    """Return the distance between two boxes; 0 where they touch or overlap."""
    gaps = (max(a[0] - b[1], b[0] - a[1], 0.0) for a, b in zip(one, other, strict=True))
    return math.sqrt(sum(gap * gap for gap in gaps))


def behind(part: Part, bore: Bore) -> float | None:
    """Return the wood between the end of a blind bore and the side of the part that it points at, in mm.

    None where it goes right through. Of a slanted bore the lowest corner of its end counts.
    """
    if bore.hole.deep is None and bore.radius == float(bore.hole.diameter) / 2:
        return None
    left = math.inf
    sizes = (float(part.length.final), float(part.width.final), float(part.thick))
    for at, way, size in zip(bore.end, bore.way, sizes, strict=True):
        if abs(way) < ALONG:
            continue
        wide = bore.radius * math.sqrt(max(0.0, 1.0 - way * way))
        left = min(left, (size - at if way > 0 else at) - wide)
    return left


def beside(part: Part, bore: Bore) -> tuple[float, str]:
    """Return the least wood between a bore's wall and the sides that it runs along, in mm, and that side's name.

    Of a board; of others nothing is known here, and it is infinite.
    """
    if part.shape is not None or part.trims:
        return math.inf, ""
    faces = part.faces
    names = ((faces.datum_end, faces.far_end), (faces.datum_edge, faces.far_edge), (faces.reverse, faces.show))
    sizes = (float(part.length.final), float(part.width.final), float(part.thick))
    found = [(math.inf, "")]
    for (low, high), way, size, (near, far) in zip(bore.around, bore.way, sizes, names, strict=True):
        if abs(way) < 0.5:
            found += [(low, near), (size - high, far)]
    return min(found)
