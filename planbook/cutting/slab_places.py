"""Where a part can lie on a slab: its true shape there, what it holds, and what it comes too near to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import shapely

from planbook.cutting.slab_problem import HAIR, Natural, Slab, SlabMark, SlabPiece, Spot

if TYPE_CHECKING:
    from shapely import Geometry

Box = tuple[float, float, float, float]
"""Left, front, right, back."""
Edges = tuple[list[Spot] | None, list[Spot] | None]
"""Front and back edge, from left to right; None where the slab is no one piece."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A part at its place."""

    piece: SlabPiece
    shape: tuple[Spot, ...]
    """Its outline on the slab, natural edges as they are."""
    box: Box
    """What straight cuts have to leave it; on a natural edge as far as the wood reaches."""
    natural: Natural
    """The edges that stay, `EITHER` decided."""
    turned: bool = False
    """Whether its length lies across the slab."""


class Ground:
    """A slab with everything that is asked of it again and again."""

    def __init__(self, slab: Slab) -> None:
        self.slab = slab
        self.whole: Geometry = shapely.Polygon(slab.outline)
        self._room: Geometry = self.whole.buffer(HAIR, join_style="mitre")
        shapely.prepare(self._room)
        self.marks: dict[str, Geometry] = {mark.name: shapely.Polygon(mark.outline) for mark in slab.marks}
        self._shunned = {mark.name: self.marks[mark.name] for mark in slab.marks if mark.spoils}
        for found in self.marks.values():
            shapely.prepare(found)
        self._edges: dict[tuple[float, float], Edges] = {}
        self.left, self.front, self.right, self.back = (float(side) for side in self.whole.bounds)

    def lay(self, piece: SlabPiece, x: float, y: float, *, natural: Natural, turned: bool, flip: bool) -> Laid | None:
        """Return a part with its left end at x, and its front side at y if it has no natural edge; None off the slab.

        `flip` turns a part of any outline end for end.
        """
        length, width = (piece.width, piece.length) if turned else (piece.length, piece.width)
        if natural is Natural.NONE:
            shape = _outline(piece, x, y, turned=turned, flip=flip)
            box = (x, y, x + length, y + width)
            inside = self._inside(shape) if piece.outline else bool(self._room.covers(shapely.box(*box)))
            return Laid(piece, shape, box, natural, turned) if inside else None
        return self._with_edges(piece, x, length, natural)

    def _with_edges(self, piece: SlabPiece, x: float, length: float, natural: Natural) -> Laid | None:
        low, high = self.edges(x, x + length)
        if low is None or high is None:
            return None
        front, back = [y for _, y in low], [y for _, y in high]
        if natural is Natural.BOTH:
            if piece.width and self._narrowest(low, high) < piece.width - HAIR:
                return None
            shape = (*low, *reversed(high))
            box = (x, min(front), x + length, max(back))
        elif natural is Natural.FRONT:
            line = self.slab.up(max(front) + piece.width)
            shape = (*low, (x + length, line), (x, line))
            box = (x, min(front), x + length, line)
        else:
            line = self.slab.down(min(back) - piece.width)
            shape = ((x, line), (x + length, line), *reversed(high))
            box = (x, line, x + length, max(back))
        return Laid(piece, shape, box, natural) if self._inside(shape) else None

    def _inside(self, shape: Sequence[Spot]) -> bool:
        return bool(self._room.covers(shapely.Polygon(shape)))

    def edges(self, start: float, stop: float) -> Edges:
        """Return the front and the back edge between two places along the slab; None where the slab is no one piece."""
        known = self._edges.get((start, stop))
        if known is None:
            known = self._edges[start, stop] = self._edges_afresh(start, stop)
        return known

    def _edges_afresh(self, start: float, stop: float) -> Edges:
        if start < self.left - HAIR or stop > self.right + HAIR:
            return None, None
        cut = shapely.intersection(self.whole, shapely.box(start, self.front - 1, stop, self.back + 1))
        if cut.geom_type != "Polygon" or cut.interiors:
            return None, None
        ring = list(shapely.geometry.polygon.orient(cut).exterior.coords)[:-1]
        return _chain(ring, start, stop, low=True), _chain(ring, start, stop, low=False)

    @staticmethod
    def _narrowest(low: Sequence[Spot], high: Sequence[Spot]) -> float:
        places = sorted({x for x, _ in (*low, *high)})
        return min(_at(high, x) - _at(low, x) for x in places)

    def spoiled_by(self, laid: Laid) -> Iterator[SlabMark]:
        """Yield the marks that a part neither keeps nor stays clear of."""
        shape = shapely.Polygon(laid.shape)
        for name, found in self._shunned.items():
            if name not in laid.piece.keep and shape.distance(found) < self.slab.clear - HAIR:
                yield self.slab.mark(name)

    def lacks(self, laid: Laid) -> Iterator[SlabMark]:
        """Yield the marks that a part should hold and does not hold wholly."""
        if laid.piece.keep:
            shape = shapely.Polygon(laid.shape).buffer(HAIR)
            for name in laid.piece.keep:
                if not shape.covers(self.marks[name]):
                    yield self.slab.mark(name)

    def distance(self, laid: Laid, name: str) -> float:
        """Return how far a part lies from a mark, 0 where they touch."""
        return float(shapely.Polygon(laid.shape).distance(self.marks[name]))

    def holds(self, laid: Laid) -> tuple[tuple[str, bool], ...]:
        """Return the marks on a part, and whether they lie on it wholly."""
        shape = shapely.Polygon(laid.shape)
        grown = shape.buffer(HAIR)
        found = []
        for name, mark in self.marks.items():
            if shapely.area(shapely.intersection(shape, mark)) > HAIR:
                found.append((name, bool(grown.covers(mark))))
        return tuple(found)

    def clear_rest(self, box: Box) -> tuple[float, float, float, float] | None:
        """Return the largest part of a box over its whole length that is sound wood between both edges, or None."""
        low, high = self.edges(max(box[0], self.left), min(box[2], self.right))
        if low is None or high is None:
            return None
        front = max(box[1], max(y for _, y in low))
        back = min(box[3], min(y for _, y in high))
        return (box[0], front, box[2], back) if back - front > HAIR else None


def apart(a: Box, b: Box, kerf: float) -> bool:
    """Whether the blade goes between two boxes."""
    return (
        a[2] + kerf <= b[0] + HAIR
        or b[2] + kerf <= a[0] + HAIR
        or a[3] + kerf <= b[1] + HAIR
        or b[3] + kerf <= a[1] + HAIR
    )


def _outline(piece: SlabPiece, x: float, y: float, *, turned: bool, flip: bool) -> tuple[Spot, ...]:
    long, wide = piece.length, piece.width
    spots = piece.outline or ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))
    if flip:
        spots = tuple((long - u, wide - v) for u, v in spots)
    if turned:
        spots = tuple((wide - v, u) for u, v in spots)
    return tuple((x + u, y + v) for u, v in spots)


def _chain(ring: Sequence[Spot], start: float, stop: float, *, low: bool) -> list[Spot] | None:
    """Return one long edge of a ring that runs anticlockwise, from left to right; None where it turns back."""
    pick = min if low else max
    first = pick((spot for spot in ring if abs(spot[0] - start) < HAIR), key=lambda spot: spot[1], default=None)
    last = pick((spot for spot in ring if abs(spot[0] - stop) < HAIR), key=lambda spot: spot[1], default=None)
    if first is None or last is None:
        return None
    at, end, step = ring.index(first), ring.index(last), 1 if low else -1
    path = [ring[at]]
    while at != end:
        at = (at + step) % len(ring)
        path.append(ring[at])
    rising = all(after[0] >= before[0] - HAIR for before, after in pairwise(path))
    return path if rising else None


def _at(edge: Sequence[Spot], x: float) -> float:
    for (x0, y0), (x1, y1) in pairwise(edge):
        if x0 - HAIR <= x <= x1 + HAIR and x1 - x0 > HAIR:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return edge[-1][1]
