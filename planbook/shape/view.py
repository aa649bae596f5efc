"""Exact hidden lines: which stretches of which edges can be seen from one direction.

Every edge is clipped against every triangle that may lie in front of it, once for a direction; what
can be seen of some of the bodies then only needs the union of the stretches that those bodies cover.

Margins, as parts of the picture's size: triangles are grown by `GROW`, so that no edge shines through
the seam of two of them; "in front" needs `MARGIN`, so that an edge lying in a touching face stays;
faces turned away to within `EDGE_ON` hide nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import shapely

from planbook.shape.clip import gaps, inside, planes, sides_of, split, spread, where_positive
from planbook.shape.direction import Direction, Vector
from planbook.shape.lines import Strokes, line_numbers, merge, without
from planbook.shape.mesh import Flags, Floats, Ints, normals
from planbook.shape.scene import Scene, gather

if TYPE_CHECKING:
    from planbook.shape.regions import Anchor, Region
    from planbook.shape.solids import Body

GROW = 1e-7
MARGIN = 1e-6
EDGE_ON = 1e-4
ASIDE = 1e-5
"""How far beside an edge one looks to see whether the body goes on there."""
FLAT = 1e-12
"""Squared difference of two unit normals below which their faces lie in one plane."""
SHORTEST = 1e-5
"""Shortest stretch that is drawn."""

Point = tuple[float, float]


class Kind(StrEnum):
    """What an edge is on the picture."""

    OUTLINE = "outline"
    """The body ends here: beyond the edge there is none of it."""
    EDGE = "edge"
    """An edge within the body's own outline."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A straight stretch of a line, in picture mm."""

    body: Body
    kind: Kind
    start: Point
    end: Point


class View:
    """Some bodies seen from one direction; makes lines for any subset of them."""

    def __init__(self, bodies: Sequence[Body], direction: Direction) -> None:
        self.bodies = tuple(bodies)
        self.direction = direction
        self._number = {id(body): number for number, body in enumerate(self.bodies)}
        self.scene: Scene = gather([body.mesh for body in self.bodies], direction)
        self._prepare()

    def project(self, point: Vector) -> Point:
        """Return where a point of the assembly lies on the picture."""
        right, up, _ = self.direction.project(point)
        return right, up

    def state(self, bodies: Iterable[Body] | None = None, *, first: Iterable[Body] = ()) -> Lines:
        """Return the lines of some of the bodies (all of them where none are named).

        Where lines of two bodies coincide, one stays: that of a body in `first`, else an outline, else
        that of the earlier body.
        """
        on = np.zeros(len(self.bodies), dtype=np.bool_)
        for body in self.bodies if bodies is None else bodies:
            on[self._number[id(body)]] = True
        rank = np.ones(len(self.bodies), dtype=np.int64)
        for body in first:
            rank[self._number[id(body)]] = 0
        return Lines(self, on, rank)

    def _prepare(self) -> None:
        scene = self.scene
        facing = _dot(normals(scene.space, scene.triangles), self.direction.toward)
        self.front = np.flatnonzero(facing > EDGE_ON)
        corners = scene.flat[scene.triangles]
        self.plane, self.sides = planes(corners), sides_of(corners, GROW * scene.size)
        kept, count = self._classify(facing)
        start, end = scene.flat[scene.edges[kept, 0]], scene.flat[scene.edges[kept, 1]]
        order = np.lexsort((start[:, 0] + end[:, 0], start[:, 1] + end[:, 1], scene.edge_body[kept]))
        kept, start, end, count = kept[order], start[order], end[order], count[order]
        seen = np.flatnonzero(count > 0)
        edge, triangle = self._pairs(start[seen], end[seen])
        edge = seen[edge]
        contour = (count == 1) & ~scene.bored[kept]
        inner = self._goes_on(kept, start, end, contour, edge, triangle)
        edge, triangle = self._before(start, end, edge, triangle)
        base, low, high, outline = split(contour, inner, len(kept))
        self.edge_body = scene.edge_body[kept][base]
        self.outline = outline
        self.faces = count[base]
        self.start = start[base] + (end[base] - start[base]) * low[:, None]
        self.end = start[base] + (end[base] - start[base]) * high[:, None]
        edge, triangle = spread(base, edge, triangle, len(kept))
        self._cover(edge, triangle)
        self.line, self.along = line_numbers(self.start, self.end, scene.size)

    def _classify(self, facing: Floats) -> tuple[Ints, Ints]:
        """Return the edges that may be drawn, and how many of their two faces are seen from the front.

        Facets of a round wall meet in no edge, but the wall has an outline; faces in one plane have none.
        """
        scene = self.scene
        one, other = scene.beside[:, 0], scene.beside[:, 1]
        unit = normals(scene.space, scene.triangles)
        count = (facing[one] > EDGE_ON).astype(np.int64) + (facing[other] > EDGE_ON)
        bend = ((unit[one] - unit[other]) ** 2).sum(axis=1)
        run = scene.flat[scene.edges[:, 1]] - scene.flat[scene.edges[:, 0]]
        long = np.hypot(run[:, 0], run[:, 1]) > SHORTEST * scene.size
        kept = np.flatnonzero(long & (bend > FLAT) & (~scene.smooth | (count == 1)))
        return kept, count[kept]

    def _pairs(self, start: Floats, end: Floats) -> tuple[Ints, Ints]:
        """Return every edge with every front triangle whose box it meets."""
        if not len(start) or not len(self.front):
            return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
        corners = self.scene.flat[self.scene.triangles[self.front], :2]
        low = corners.min(axis=1) - GROW * self.scene.size
        high = corners.max(axis=1) + GROW * self.scene.size
        boxes = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
        strings = shapely.linestrings(np.stack([start[:, :2], end[:, :2]], axis=1))
        # The tree gives the edges in their order; which triangle comes first does not matter.
        edge, triangle = shapely.STRtree(boxes).query(strings)
        return edge, self.front[triangle]

    def _before(self, start: Floats, end: Floats, edge: Ints, triangle: Ints) -> tuple[Ints, Ints]:
        """Drop the pairs in which the triangle is plainly behind the edge, or beside the line through it.

        What is left goes through the whole reckoning; most pairs share a box and nothing else.
        """
        scene = self.scene
        nearest = scene.flat[:, 2][scene.triangles].max(axis=1)
        farthest = np.minimum(start[:, 2], end[:, 2])
        ahead = nearest[triangle] > farthest[edge]
        edge, triangle = edge[ahead], triangle[ahead]
        corners = scene.flat[scene.triangles, :2]
        low, high = corners.min(axis=1), corners.max(axis=1)
        middle = (low + high) / 2.0
        round_it = np.hypot(*(high - low).T) / 2.0 + 10.0 * GROW * scene.size
        run = end[:, :2] - start[:, :2]
        square = np.column_stack([-run[:, 1], run[:, 0]]) / np.hypot(run[:, 0], run[:, 1])[:, None]
        offset = (square * start[:, :2]).sum(axis=1)
        aside = square[edge, 0] * middle[triangle, 0] + square[edge, 1] * middle[triangle, 1] - offset[edge]
        near = np.abs(aside) <= round_it[triangle]
        return edge[near], triangle[near]

    def _goes_on(
        self, kept: Ints, start: Floats, end: Floats, contour: Flags, edge: Ints, triangle: Ints
    ) -> tuple[Ints, Floats, Floats]:
        """Return the stretches of contour edges beside which the body itself goes on.

        A contour is where a face seen from the front meets one turned away; in a dado the body's own
        wood is still behind it, and the edge is no outline.
        """
        scene = self.scene
        same = contour[edge] & (scene.edge_body[kept[edge]] == scene.triangle_body[triangle])
        edge, triangle = edge[same], triangle[same]
        aside = self._outward(kept, start, end) * (ASIDE * scene.size)
        shift = np.column_stack([aside[edge], np.zeros(len(edge))])
        low, high = inside(start[edge] + shift, (end - start)[edge], self.sides, triangle)
        hit = high > low
        return edge[hit], low[hit], high[hit]

    def _outward(self, kept: Ints, start: Floats, end: Floats) -> Floats:
        """Return unit vectors (n, 2) square to each edge, away from its face that is seen from the front."""
        scene = self.scene
        beside = scene.beside[kept]
        is_front = np.zeros(len(scene.triangles), dtype=np.bool_)
        is_front[self.front] = True
        face = np.where(is_front[beside[:, 0]], beside[:, 0], beside[:, 1])
        middle = scene.flat[scene.triangles[face], :2].mean(axis=1)
        run = end[:, :2] - start[:, :2]
        square = np.column_stack([run[:, 1], -run[:, 0]]) / np.hypot(run[:, 0], run[:, 1])[:, None]
        side = ((middle - start[:, :2]) * square).sum(axis=1)
        outward: Floats = np.where(side[:, None] > 0.0, -square, square)
        return outward

    def _cover(self, edge: Ints, triangle: Ints) -> None:
        """Keep the stretches of each edge that each triangle covers, sorted by edge and start."""
        size = self.scene.size
        at_start, at_end = self._ahead(self.start, edge, triangle), self._ahead(self.end, edge, triangle)
        nearer = np.maximum(at_start, at_end) > MARGIN * size
        edge, triangle, at_start, at_end = edge[nearer], triangle[nearer], at_start[nearer], at_end[nearer]
        low, high = inside(self.start[edge], (self.end - self.start)[edge], self.sides, triangle)
        low, high = where_positive(at_start - MARGIN * size, at_end - MARGIN * size, low, high)
        hit = high > low
        edge, triangle, low, high = edge[hit], triangle[hit], low[hit], high[hit]
        order = np.lexsort((high, low, edge))
        self.cover_edge, self.cover_low, self.cover_high = edge[order], low[order], high[order]
        self.cover_body = self.scene.triangle_body[triangle[order]]

    def _ahead(self, points: Floats, edge: Ints, triangle: Ints) -> Floats:
        """Return how far the plane of each triangle is nearer to the viewer than a point of each edge."""
        x, y, z = (points[edge, k] for k in range(3))
        ahead: Floats = self.plane[triangle, 0] + self.plane[triangle, 1] * x + self.plane[triangle, 2] * y - z
        return ahead


class Lines:
    """What can be seen, and what is hidden, of some bodies of a view."""

    def __init__(self, view: View, on: Flags, rank: Ints) -> None:
        self.view = view
        self.on = on
        self._rank = rank

    @cached_property
    def strokes(self) -> Strokes:
        """The visible stretches as arrays, merged."""
        return merge(self._strokes(*self._visible), SHORTEST * self.view.scene.size)

    @cached_property
    def visible(self) -> tuple[Piece, ...]:
        """The visible stretches, body by body."""
        return self._pieces(self.strokes)

    @cached_property
    def hidden(self) -> tuple[Piece, ...]:
        """The covered stretches that do not lie on a visible line, each once."""
        shortest = SHORTEST * self.view.scene.size
        covered = merge(self._strokes(*self._covered()), shortest)
        return self._pieces(without(covered, self.strokes, shortest))

    def regions(self) -> tuple[Region, ...]:
        """Return the visible areas, body by body, the largest first."""
        return self._regions

    def anchor(self, body: Body) -> Anchor | None:
        """Return the point deepest inside the largest visible area of a body, or None where it is covered."""
        from planbook.shape.regions import anchor

        mine = [region for region in self._regions if region.body is body]
        return anchor(mine[0]) if mine else None

    @cached_property
    def _regions(self) -> tuple[Region, ...]:
        from planbook.shape.regions import find_regions

        return find_regions(self)

    @cached_property
    def _visible(self) -> tuple[Ints, Floats, Floats]:
        view = self.view
        drawn = self.on[view.edge_body] & (view.faces > 0)
        near = drawn[view.cover_edge] & self.on[view.cover_body]
        return gaps(np.flatnonzero(drawn), view.cover_edge[near], view.cover_low[near], view.cover_high[near])

    def _covered(self) -> tuple[Ints, Floats, Floats]:
        edges = np.flatnonzero(self.on[self.view.edge_body])
        return gaps(edges, *self._visible)

    def _strokes(self, edge: Ints, low: Floats, high: Floats) -> Strokes:
        view = self.view
        start, run = view.start[edge, :2], view.end[edge, :2] - view.start[edge, :2]
        from_, to = view.along[edge, 0], view.along[edge, 1]
        body = view.edge_body[edge]
        return Strokes(
            line=view.line[edge],
            low=from_ + (to - from_) * low,
            high=from_ + (to - from_) * high,
            start=start + run * low[:, None],
            end=start + run * high[:, None],
            body=body,
            outline=view.outline[edge],
            rank=self._rank[body],
        ).upright()

    def _pieces(self, strokes: Strokes) -> tuple[Piece, ...]:
        bodies = self.view.bodies
        kinds = (Kind.EDGE, Kind.OUTLINE)
        rows = zip(
            strokes.body.tolist(), strokes.outline.tolist(), strokes.start.tolist(), strokes.end.tolist(), strict=True
        )
        return tuple(Piece(bodies[body], kinds[outline], (a[0], a[1]), (b[0], b[1])) for body, outline, a, b in rows)


def _dot(rows: Floats, vector: Vector) -> Floats:
    """Dot products written out: results must not depend on which kernel a processor picks."""
    product: Floats = rows[:, 0] * vector[0] + rows[:, 1] * vector[1] + rows[:, 2] * vector[2]
    return product
