"""Pieces of wood in space seen from one direction: lines, tones, holes, and where labels may stand.

`Pictorial` keeps what does not depend on the size of the picture, in mm of the model; `Scaled` is the
same at so many mm of paper for each mm of wood.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from planbook.drawing.measures import At
from planbook.drawing.picture import Point
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LineKind, Shade
from planbook.plan.drilling import Side, inward, side_of
from planbook.plan.model import Hole, Part, Plan
from planbook.shape.arrange import axis_of
from planbook.shape.direction import Direction, Vector
from planbook.shape.regions import Anchor
from planbook.shape.solids import SOCKET, Body
from planbook.shape.states import Standing
from planbook.shape.view import Lines, View

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from shapely import Polygon

    from planbook.drawing.segments import Floats

UNITS: tuple[Vector, Vector, Vector] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
DOT = 0.42
"""Least radius on paper of a hole, so that a copy keeps it."""
SLIM = 0.8
"""mm: an area with less than this for each mm of its rim would turn black inside a thick outline."""
OPEN_RADIUS = 0.8
"""From this radius on a hole is drawn as a ring, below it as a dot."""
JOIN = 1e-5
"""Areas nearer than this part of the picture's size are one, so that rounding leaves no slits."""
PIN_HOLE = 1e-6
"""Part of the picture's size squared: smaller openings in an area are rounding."""


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


@dataclass(frozen=True, slots=True, eq=False)
class Holes:
    """The holes of an item that open toward the viewer, as columns, in mm of the model."""

    middles: Floats
    """(n, 2), on the picture."""
    radii: Floats
    across: tuple[Floats, Floats]
    """Two edges of the part that lie in the side they open in, on the picture, for 1 mm."""
    slots: Floats
    """(n, 2), along the two: from the middle of each to that of its round end; 0 for a round hole."""


class Pictorial:
    """Items seen from one direction, in mm of the model."""

    def __init__(
        self, plan: Plan, items: Sequence[Item], bodies: Sequence[tuple[Body, ...]], direction: Direction
    ) -> None:
        self.plan = plan
        self.items = tuple(items)
        self.bodies = tuple(bodies)
        """The pieces of each item."""
        self.view = View([body for group in self.bodies for body in group], direction)
        toned = [b for item, group in zip(self.items, self.bodies, strict=True) if item.toned for b in group]
        self.lines: Lines = self.view.state(first=toned)
        self._anchors: dict[int, Anchor | None] = {}
        self._wholes: dict[int, Polygon] = {}

    def scaled(self, factor: float) -> Scaled:
        """Return the same with so many mm of paper for each mm of wood."""
        return Scaled(self, factor)

    @cached_property
    def rows(self) -> Floats:
        """The visible lines, (n, 4)."""
        rows: Floats = np.hstack([self.lines.strokes.start, self.lines.strokes.end])
        return rows

    @cached_property
    def size(self) -> tuple[float, float]:
        """Width and height of what is seen."""
        ends = self.rows.reshape(-1, 2)
        wide, high = (ends.max(axis=0) - ends.min(axis=0)).tolist()
        return wide, high

    def at(self, point: Vector) -> Point:
        """Return where a point of the assembly lies on the picture."""
        return self.view.project(point)

    @cached_property
    def _areas(self) -> dict[int, list[Polygon]]:
        """The visible areas of each body, the largest first."""
        from shapely import Polygon

        areas: dict[int, list[Polygon]] = {}
        for region in self.lines.regions():
            area = Polygon(region.outer, region.holes).simplify(JOIN * self.view.scene.size)
            areas.setdefault(id(region.body), []).append(area)
        return areas

    def area(self, number: int) -> Polygon | None:
        """Return the largest visible area of an item's own wood, or None where it is covered."""
        group = self.bodies[number]
        areas = self._areas.get(id(group[0]), []) if group else []
        return areas[0] if areas else None

    def whole(self, number: int) -> Polygon:
        """Return what can be seen of one item, with its edgings, as one area."""
        if number not in self._wholes:
            areas = [area for body in self.bodies[number] for area in self._areas.get(id(body), [])]
            self._wholes[number] = self._joined(areas)
        return self._wholes[number]

    @cached_property
    def silhouette(self) -> Polygon:
        """Everything that is covered, as one area."""
        return self._joined([area for areas in self._areas.values() for area in areas])

    def anchor(self, number: int) -> Anchor | None:
        """Return the best place for a letter on an item's own wood, or None where it is covered."""
        if number not in self._anchors:
            group = self.bodies[number]
            self._anchors[number] = self.lines.anchor(group[0]) if group else None
        return self._anchors[number]

    def _joined(self, areas: list[Polygon]) -> Polygon:
        """Return areas as one, without the slits and specks that rounding leaves between neighbours."""
        import shapely

        if len(areas) == 1:
            return areas[0]
        join, speck = JOIN * self.view.scene.size, PIN_HOLE * self.view.scene.size**2
        grown = shapely.union_all(shapely.buffer(areas, join, join_style="mitre"))
        whole = grown.buffer(-join, join_style="mitre").simplify(join)
        kept = [
            shapely.Polygon(part.exterior, [ring for ring in part.interiors if shapely.Polygon(ring).area > speck])
            for part in shapely.get_parts(whole).tolist()
            if part.area > speck
        ]
        return kept[0] if len(kept) == 1 else shapely.union_all(kept)

    @cached_property
    def holes(self) -> tuple[tuple[Holes, ...], ...]:
        """The holes that can be seen of each item, by the side in which they open."""
        return tuple(tuple(self._holes(number)) for number in range(len(self.items)))

    def _holes(self, number: int) -> Iterator[Holes]:
        item = self.items[number]
        version = item.standing.version
        part = self.plan.part(version.part)
        # A socket is in the solid itself, slanted as it is.
        holes = [hole for hole in part.holes if hole.group in version.cuts and hole.role != SOCKET]
        holes = [hole for hole in holes if version.has(hole.hand)]
        for side in Side if holes else ():
            x, y, z = inward(side)
            if self._toward(item, (-x, -y, -z)):
                yield from self._on_side(number, part, side, [hole for hole in holes if _opens(hole, side)])

    def _toward(self, item: Item, way: Vector) -> bool:
        """Whether a direction of a part's own axes points to the viewer."""
        ahead, base = to_space(item, way), to_space(item, (0.0, 0.0, 0.0))
        return sum((a - b) * c for a, b, c in zip(ahead, base, self.view.direction.toward, strict=True)) > 1e-6

    def _on_side(self, number: int, part: Part, side: Side, holes: Sequence[Hole]) -> Iterator[Holes]:
        from shapely import contains_xy

        if not holes:
            return
        item = self.items[number]
        ends = side in (Side.DATUM_END, Side.FAR_END)
        axes = (0, 1) if side.wide else (1, 2) if ends else (0, 2)
        middles = np.array([self.at(to_space(item, _mouth(part, hole, side))) for hole in holes]).reshape(-1, 2)
        there = contains_xy(self.whole(number), middles)
        origin: Floats = np.array(self.at(to_space(item, (0.0, 0.0, 0.0))))
        along, over = (np.array(self.at(to_space(item, UNITS[own]))) - origin for own in axes)
        radii = np.array([float(hole.diameter) / 2 for hole in holes])
        slots = np.array([_half_slot(hole, axes) for hole in holes])
        yield Holes(middles[there], radii[there], (along, over), slots[there])

    def face(self, item: Item, t: float) -> At:
        """Return where places of a part's face, or of any level of it, lie on the picture."""
        (x, y), (lx, ly), (wx, wy) = (
            self.at(to_space(item, place)) for place in ((0.0, 0.0, t), (1.0, 0.0, t), (0.0, 1.0, t))
        )
        lx, ly, wx, wy = lx - x, ly - y, wx - x, wy - y
        return lambda long, wide: (x + lx * long + wx * wide, y + ly * long + wy * wide)


class Scaled:
    """A pictorial view at a factor, in mm on paper."""

    def __init__(self, model: Pictorial, factor: float) -> None:
        self.model = model
        self.factor = factor
        self._polygons: dict[tuple[str, int], Polygon] = {}

    def at(self, point: Vector) -> Point:
        """Return the place on paper of a point of the assembly."""
        return self.paper(self.model.at(point))

    def paper(self, point: Point) -> Point:
        """Return the place on paper of a place on the picture in mm of the model."""
        return point[0] * self.factor, point[1] * self.factor

    def face(self, item: Item, t: float) -> At:
        """Return where places of a part's face, or of any level of it, lie on paper."""
        on_model, factor = self.model.face(item, t), self.factor

        def at(long: float, wide: float) -> Point:
            x, y = on_model(long, wide)
            return x * factor, y * factor

        return at

    def area(self, number: int) -> Polygon | None:
        """Return the largest visible area of an item's own wood."""
        area = self.model.area(number)
        return self._scaled("area", number, area) if area is not None else None

    def whole(self, number: int) -> Polygon:
        """Return what can be seen of one item."""
        return self._scaled("whole", number, self.model.whole(number))

    @property
    def silhouette(self) -> Polygon:
        """Everything that is covered, as one area."""
        return self._scaled("silhouette", 0, self.model.silhouette)

    def _scaled(self, name: str, number: int, area: Polygon) -> Polygon:
        from shapely import transform

        if (name, number) not in self._polygons:
            self._polygons[name, number] = transform(area, lambda places: places * self.factor)
        return self._polygons[name, number]

    def draw(self, sheet: Sheet, *, rim: LineKind | None = LineKind.OUTLINE) -> None:
        """Draw tones, lines and holes.

        All edges are thin. The rim of the whole is drawn as `rim` on top of them, and so is the rim of
        what can be seen of every toned item, which a photocopy must still show when its tone is gone.
        """
        sheet.lines(LineKind.EDGE, self.model.rows * self.factor)
        if rim is not None:
            _rings(sheet, rim, self.silhouette)
        for number, item in enumerate(self.model.items):
            if item.toned:
                whole = self.whole(number)
                for area in getattr(whole, "geoms", [whole]):
                    sheet.area(Shade.TONE, _corners(area.exterior), [_corners(ring) for ring in area.interiors])
                thin = whole.area < SLIM * whole.length
                _rings(sheet, LineKind.OUTLINE if thin else LineKind.NEW_OUTLINE, whole)
            for holes in self.model.holes[number]:
                self._draw_holes(sheet, number, holes)

    def _draw_holes(self, sheet: Sheet, number: int, holes: Holes) -> None:
        radii = holes.radii * self.factor
        for dot, circle in ((True, DOT_CIRCLE), (False, OPEN_CIRCLE)):
            these = (radii < OPEN_RADIUS) == dot
            rim = circle[:, :1] * holes.across[0] + circle[:, 1:] * holes.across[1]
            middles = holes.middles[these, None, :] * self.factor
            # The two halves of the rim of a slot lie as far apart as its ends.
            far = np.sign(holes.slots[these] @ circle.T)[:, :, None]
            ends = holes.slots[these] @ np.stack(holes.across) * self.factor
            rings = middles + np.maximum(radii[these], DOT)[:, None, None] * rim + far * ends[:, None, :]
            for ring in rings.tolist():
                points = [(x, y) for x, y in ring]
                if dot:
                    sheet.area(Shade.INK, points)
                else:
                    _open_hole(sheet, points, self.whole(number))


def _circle(sides: int) -> NDArray[np.float64]:
    turns = 2 * np.pi * np.arange(sides) / sides
    return np.column_stack([np.cos(turns), np.sin(turns)])


DOT_CIRCLE, OPEN_CIRCLE = _circle(12), _circle(24)


def _corners(ring: object) -> list[Point]:
    from shapely import get_coordinates

    return [(x, y) for x, y in get_coordinates(ring).tolist()[:-1]]


def _rings(sheet: Sheet, kind: LineKind, whole: Polygon) -> None:
    for area in getattr(whole, "geoms", [whole]):
        for ring in (area.exterior, *area.interiors):
            if not ring.is_empty:
                sheet.line(kind, *_corners(ring), closed=True)


def _open_hole(sheet: Sheet, points: Sequence[Point], seen: Polygon) -> None:
    """Draw what can be seen of a hole that is wide enough to show its inside."""
    from shapely import Polygon, prepare

    prepare(seen)
    ring = Polygon(points)
    if seen.contains(ring):
        sheet.area(Shade.PAPER, points)
        sheet.line(LineKind.EDGE, *points, closed=True)
        return
    open_part = ring.intersection(seen)
    for piece in getattr(open_part, "geoms", [open_part]):
        if piece.geom_type == "Polygon":
            sheet.area(Shade.PAPER, _corners(piece.exterior))
    rim = ring.exterior.intersection(seen)
    for line in getattr(rim, "geoms", [rim]):
        if line.geom_type == "LineString":
            sheet.line(LineKind.EDGE, *line.coords)


def _opens(hole: Hole, side: Side) -> bool:
    """Whether a hole opens in a side: where its bit enters, or in both wide faces where it goes right through."""
    entered = side_of(hole)
    return entered is side or (side.wide and entered.wide and hole.deep is None)


def _mouth(part: Part, hole: Hole, side: Side) -> Vector:
    """Return the middle of a hole's mouth in the part's own axes."""
    level = float(part.thick) if side is Side.SHOW else 0.0
    return float(hole.l), float(hole.w), level if side.wide or hole.t is None else float(hole.t)


def _half_slot(hole: Hole, axes: tuple[int, int]) -> tuple[float, float]:
    half = max(float(hole.slot - hole.diameter) / 2, 0.0)
    way = hole.slot_way or (1.0, 0.0, 0.0)
    return way[axes[0]] * half, way[axes[1]] * half


def to_space(item: Item, point: Vector) -> Vector:
    """Return where a point of the part (l, w, t) lies in the assembly, moved with its item."""
    placement = item.standing.placement
    place = [float(value) + shift for value, shift in zip(placement.origin, item.shift, strict=True)]
    if placement.turn is not None:
        for value, way in zip(point, placement.turn, strict=True):
            place = [at + value * along for at, along in zip(place, way, strict=True)]
        return place[0], place[1], place[2]
    for value, direction in zip(point, placement.axes, strict=True):
        axis, sign = axis_of(direction)
        place[axis] += sign * value
    return place[0], place[1], place[2]
