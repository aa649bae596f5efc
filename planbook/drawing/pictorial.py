"""Pieces of wood in space brought onto a sheet: their lines, tones, holes, and where labels may stand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, pi, sin
from typing import TYPE_CHECKING

from planbook.drawing.picture import Point, polygon
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LineKind, Shade
from planbook.plan.model import Hole, Part, Plan
from planbook.shape.arrange import axis_of
from planbook.shape.direction import Direction, Vector
from planbook.shape.regions import Anchor
from planbook.shape.solids import Body, Solids
from planbook.shape.states import Standing
from planbook.shape.view import Lines, View

if TYPE_CHECKING:
    from shapely import Polygon

LEAST_FACTOR = 0.01
MOST_TRIES = 6
DOT = 0.42
"""Least radius on paper of a hole, so that a copy keeps it."""
SLIM = 0.8
"""mm: an area with less than this for each mm of its rim would turn black inside a thick outline."""
OPEN_RADIUS = 0.8
"""From this radius on a hole is drawn as a ring, below it as a dot."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One copy of a part in a pictorial view."""

    standing: Standing
    shift: Vector = (0.0, 0.0, 0.0)
    """How far it is moved out of its place, in mm of the model."""
    toned: bool = False
    """Whether the step is about it: toned, with a thick outline."""
    only: tuple[str, ...] | None = None
    """Pieces that are shown: an empty word for the part's own wood, else keys of edgings; None for all."""


class Pictorial:
    """Items seen from one direction; model mm until `factor` is set, paper mm afterwards."""

    def __init__(self, plan: Plan, solids: Solids, items: Sequence[Item], direction: Direction) -> None:
        self.plan = plan
        self.items = tuple(items)
        self.bodies: list[tuple[Body, ...]] = [
            tuple(
                body
                for body in solids.bodies((item.standing,), shift=item.shift, holes=False)
                if item.only is None or body.piece in item.only
            )
            for item in self.items
        ]
        self.view = View([body for group in self.bodies for body in group], direction)
        toned = [b for item, group in zip(self.items, self.bodies, strict=True) if item.toned for b in group]
        self.toned_ids = {id(body) for body in toned}
        self.lines: Lines = self.view.state(first=toned)
        self.factor = 1.0
        self._polygons: dict[int, list[Polygon]] | None = None
        self._wholes: dict[int, Polygon] = {}
        self._anchors: dict[int, Anchor | None] = {}

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of what is seen, in mm of the model."""
        xs = [x for piece in self.lines.visible for x in (piece.start[0], piece.end[0])]
        ys = [y for piece in self.lines.visible for y in (piece.start[1], piece.end[1])]
        return max(xs) - min(xs), max(ys) - min(ys)

    def at(self, point: Vector) -> Point:
        """Return the place on paper of a point of the assembly."""
        x, y = self.view.project(point)
        return x * self.factor, y * self.factor

    def regions(self, body: Body) -> list[Polygon]:
        """Return the visible areas of a body on paper, the largest first."""
        from shapely import Polygon

        if self._polygons is None:
            self._polygons = {}
            for region in self.lines.regions():
                ring = [(x * self.factor, y * self.factor) for x, y in region.outer]
                holes = [[(x * self.factor, y * self.factor) for x, y in hole] for hole in region.holes]
                self._polygons.setdefault(id(region.body), []).append(Polygon(ring, holes))
        return self._polygons.get(id(body), [])

    def anchor(self, number: int) -> Anchor | None:
        """Return the best place for a letter on an item's own wood, in model mm, or None where it is covered."""
        if number not in self._anchors:
            self._anchors[number] = self.lines.anchor(self.bodies[number][0])
        return self._anchors[number]

    def scaled(self, factor: float) -> Pictorial:
        """Set millimetres on paper for each millimetre of wood."""
        self.factor = factor
        self._polygons = None
        self._wholes = {}
        return self

    def silhouette(self) -> Polygon:
        """Return everything that is covered on paper, as one area."""
        if 0 not in self._wholes:
            self._wholes[0] = _joined([area for group in self.bodies for body in group for area in self.regions(body)])
        return self._wholes[0]

    def draw(self, sheet: Sheet, *, rim: LineKind | None = LineKind.OUTLINE) -> None:
        """Draw tones, lines and holes.

        All edges are thin. The rim of the whole is drawn as `rim` on top of them, and so is the rim of
        what can be seen of every toned item, which a photocopy must still show when its tone is gone.
        """
        for piece in self.lines.visible:
            sheet.line(LineKind.EDGE, self._paper(piece.start), self._paper(piece.end))
        if rim is not None:
            _rings(sheet, rim, self.silhouette())
        for item, group in zip(self.items, self.bodies, strict=True):
            if item.toned:
                whole = self.visible_part(group)
                for area in getattr(whole, "geoms", [whole]):
                    outer, holes = area.exterior.coords[:-1], [ring.coords[:-1] for ring in area.interiors]
                    sheet.area(Shade.TONE, outer, holes)
                thin = whole.area < SLIM * whole.length
                _rings(sheet, LineKind.OUTLINE if thin else LineKind.NEW_OUTLINE, whole)
            self._holes(sheet, item, group)

    def visible_part(self, group: tuple[Body, ...]) -> Polygon:
        """Return what can be seen of one item, with its edgings, as one area on paper."""
        key = id(group[0])
        if key not in self._wholes:
            self._wholes[key] = _joined([area for body in group for area in self.regions(body)])
        return self._wholes[key]

    def _paper(self, point: Point) -> Point:
        return point[0] * self.factor, point[1] * self.factor

    def _holes(self, sheet: Sheet, item: Item, group: tuple[Body, ...]) -> None:
        from shapely import Point as Spot

        part = self.plan.part(item.standing.version.part)
        holes = [hole for hole in part.holes if hole.group in item.standing.version.cuts]
        if not holes:
            return
        areas = [area for body in group for area in self.regions(body)]
        toward = self.view.direction.toward
        for hole in holes:
            for show in (True, False):
                opens = hole.from_show is show or hole.deep is None
                if not opens or not _faces(item, toward, show):
                    continue
                ring = [self.at(point) for point in _rim(item, part, hole, show, self.factor)]
                middle = (sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring))
                if not any(area.contains(Spot(middle)) for area in areas):
                    continue
                if float(hole.diameter) / 2 * self.factor < OPEN_RADIUS:
                    sheet.area(Shade.INK, ring)
                else:
                    _open_hole(sheet, polygon(ring), self.visible_part(group))


JOIN = 1e-3
"""mm on paper: areas nearer than this are one, so that rounding leaves no slits."""
PIN_HOLE = 0.02
"""mm2 on paper: smaller openings in an area are rounding."""


def _joined(areas: list[Polygon]) -> Polygon:
    """Return areas as one, without the slits and specks that rounding leaves between neighbours."""
    from shapely import Polygon, union_all

    grown = union_all([area.buffer(JOIN, join_style="mitre") for area in areas])
    whole = grown.buffer(-JOIN, join_style="mitre")
    kept = [
        Polygon(part.exterior, [ring for ring in part.interiors if Polygon(ring).area > PIN_HOLE])
        for part in getattr(whole, "geoms", [whole])
        if part.area > PIN_HOLE
    ]
    return kept[0] if len(kept) == 1 else union_all(kept)


def _rings(sheet: Sheet, kind: LineKind, whole: Polygon) -> None:
    for area in getattr(whole, "geoms", [whole]):
        for ring in (area.exterior, *area.interiors):
            if not ring.is_empty:
                sheet.line(kind, *ring.simplify(JOIN).coords[:-1], closed=True)


def _open_hole(sheet: Sheet, ring: Polygon, seen: Polygon) -> None:
    """Draw what can be seen of a hole that is wide enough to show its inside."""
    for piece in getattr(ring.intersection(seen), "geoms", [ring.intersection(seen)]):
        if piece.geom_type == "Polygon":
            sheet.area(Shade.PAPER, piece.exterior.coords[:-1])
    rim = ring.exterior.intersection(seen)
    for line in getattr(rim, "geoms", [rim]):
        if line.geom_type == "LineString":
            sheet.line(LineKind.EDGE, *line.coords)


def _faces(item: Item, toward: Vector, show: bool) -> bool:
    axis, sign = axis_of(item.standing.placement.axes[2])
    return toward[axis] * sign * (1 if show else -1) > 1e-6


def _rim(item: Item, part: Part, hole: Hole, show: bool, factor: float) -> list[Vector]:
    """Return the rim of a hole in the assembly, never smaller than a dot on paper."""
    radius = max(float(hole.diameter) / 2, DOT / factor)
    t = float(part.thick) if show else 0.0
    return [
        to_space(
            item, (float(hole.l) + radius * cos(2 * pi * k / 20), float(hole.w) + radius * sin(2 * pi * k / 20), t)
        )
        for k in range(20)
    ]


def to_space(item: Item, point: Vector) -> Vector:
    """Return where a point of the part (l, w, t) lies in the assembly, moved with its item."""
    placement = item.standing.placement
    place = [float(value) + shift for value, shift in zip(placement.origin, item.shift, strict=True)]
    for value, direction in zip(point, placement.axes, strict=True):
        axis, sign = axis_of(direction)
        place[axis] += sign * value
    return place[0], place[1], place[2]


def fitted(
    build: Callable[[float], Sheet], *, size: tuple[float, float], into: tuple[float, float], around: float = 26.0
) -> Sheet:
    """Return the sheet at the largest factor at which drawing and labels fit into `into` mm.

    Labels keep their size, so the factor is found by trying: it starts from `around` mm for
    labels in both directions and is corrected by what is too much.
    """
    wide, high = size
    room = (into[0] - 2.0, into[1] - 2.0)
    factor = max(min((room[0] - around) / wide, (room[1] - around) / high), LEAST_FACTOR)
    fits, too_large = 0.0, float("inf")
    for attempt in range(MOST_TRIES):
        sheet = build(factor)
        left, bottom, right, top = sheet.bounds
        spare = min((room[0] - (right - left)) / wide, (room[1] - (top - bottom)) / high)
        if spare >= 0.0:
            if attempt > 2 or spare < 0.04 * factor:
                return sheet
            fits = factor
        else:
            too_large = factor
        # Labels keep their size, so what is left over is all wood's; now and then a label finds another
        # place and more is taken up than that, and then the truth lies between.
        factor = factor + spare - 0.004 * factor
        if not fits < factor < too_large:
            factor = (fits + too_large) / 2 if fits else 0.95 * too_large
        factor = max(factor, LEAST_FACTOR)
    return build(fits or LEAST_FACTOR)
