"""Parts as solids: wood less cuts and holes, every edging its own piece, placed without rounding twice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
from manifold3d import Manifold, Mesh64, OpType

from planbook.plan.model import Box, Edging, Hole, Part, Placement, Plan
from planbook.shape.arrange import axis_of, mirrored
from planbook.shape.mesh import Floats, Mesh, make_mesh, volume_and_centre
from planbook.shape.states import PartVersion, Standing, State, finished

if TYPE_CHECKING:
    from manifold3d import Manifold as Solid

FACETS = 24
"""Sides of the prism that stands for a bore."""
OVERCUT = Fraction(1)
"""How far a cut runs on outside an open face, in mm, so that no skin without thickness is left."""
SNAP = 1e-7
"""mm: a corner that close to a plane of the part lies in it."""
NO_OVERLAP = 1.0
"""mm3: common space below this is rounding."""

Shift = tuple[float, float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """One piece of wood in its place; two bodies are the same only if they are the same object."""

    placement: Placement
    piece: str
    """Key of the edging in `Plan.parts`, or empty for the part's own wood."""
    mesh: Mesh

    @property
    def part(self) -> str:
        """Key of the part that it belongs to."""
        return self.placement.part


@dataclass(frozen=True, slots=True)
class _Piece:
    """A piece in its part's own axes, with the planes its corners may lie in."""

    name: str
    mesh: Mesh
    levels: tuple[tuple[Fraction, ...], tuple[Fraction, ...], tuple[Fraction, ...]]


class Solids:
    """The solids of one plan; each version of a part is made once."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self._pieces: dict[tuple[PartVersion, bool], tuple[_Piece, ...]] = {}

    def bodies(
        self, state: Iterable[Standing], *, shift: Shift = (0.0, 0.0, 0.0), holes: bool = True
    ) -> tuple[Body, ...]:
        """Return the bodies of everything that stands, moved by `shift` mm; `holes=False` leaves bores out."""
        found: list[Body] = []
        for standing in state:
            for piece in self._made(standing.version, holes=holes):
                mesh = _place(piece, standing.placement, shift)
                found.append(Body(standing.placement, piece.name, mesh))
        return tuple(found)

    def volume(self, version: PartVersion) -> float:
        """Return the volume of a part with its edgings, in mm3."""
        return sum(volume_and_centre(piece.mesh)[0] for piece in self._made(version, holes=True))

    def mass_and_centre(self, state: State | None = None) -> tuple[float | None, tuple[float, float, float] | None]:
        """Return kg and centre of gravity of a state (the finished piece), or None where a density is missing."""
        total, moment = 0.0, np.zeros(3)
        for body in self.bodies(finished(self.plan) if state is None else state):
            stock = self.plan.stock_named(self.plan.part(body.piece or body.part).stock)
            if stock.density is None:
                return None, None
            volume, centre = volume_and_centre(body.mesh)
            mass = float(stock.density) * volume * 1e-9
            total += mass
            moment += mass * np.array(centre)
        if total == 0.0:
            return 0.0, None
        x, y, z = (float(value) for value in moment / total)
        return total, (x, y, z)

    def _made(self, version: PartVersion, *, holes: bool) -> tuple[_Piece, ...]:
        key = (version, holes)
        if key not in self._pieces:
            self._pieces[key] = _make(self.plan.part(version.part), version, holes=holes)
        return self._pieces[key]


def overlaps(plan: Plan, state: State | None = None) -> tuple[tuple[Placement, Placement, float], ...]:
    """Return every two copies that claim the same space, with its volume in mm3.

    Bores are left out, and so is less than 1 mm3. Without a state: in the finished piece.
    """
    standing = finished(plan) if state is None else state
    solids = Solids(plan)
    each = [[_solid(body.mesh) for body in solids.bodies((one,), holes=False)] for one in standing]
    found = []
    for i, one in enumerate(each):
        for j in range(i + 1, len(each)):
            volume = sum(_common(a, b) for a in one for b in each[j])
            if volume >= NO_OVERLAP:
                found.append((standing[i].placement, standing[j].placement, volume))
    return tuple(found)


def _common(one: Solid, other: Solid) -> float:
    low, high = one.bounding_box(), other.bounding_box()
    if any(low[k + 3] <= high[k] or high[k + 3] <= low[k] for k in range(3)):
        return 0.0
    return float((one ^ other).volume())


def _solid(mesh: Mesh) -> Solid:
    points = np.ascontiguousarray(mesh.points)
    return Manifold(Mesh64(vert_properties=points, tri_verts=np.ascontiguousarray(mesh.triangles, dtype=np.uint64)))


def _make(part: Part, version: PartVersion, *, holes: bool) -> tuple[_Piece, ...]:
    zero = Fraction(0)
    cuts = [cut.box for cut in part.cuts if cut.name in version.cuts]
    bores = [hole for hole in part.holes if holes and hole.group in version.cuts]
    strips = {edging.name: edging for edging in part.edgings}
    own = Box((zero, part.length.final), (zero, part.width.final), (zero, part.thick))
    # The room of an edging is taken out of the wood even before the edging is on.
    room = [strip.box for strip in strips.values()]
    pieces = [_carve("", own, [*room, *cuts], bores, part)]
    for name in version.edgings:
        strip: Edging = strips[name]
        pieces.append(_carve(strip.key, strip.box, cuts, bores, part))
    return tuple(piece for piece in pieces if piece is not None)


def _carve(name: str, box: Box, boxes: list[Box], bores: list[Hole], part: Part) -> _Piece | None:
    """Return a box less boxes and bores, or None where nothing of it is left."""
    away = [_block(_opened(cut, box)) for cut in boxes if _meets(cut, box)]
    walls: dict[int, int] = {}
    for number, hole in enumerate(bores):
        cylinder = _bore(hole, part.thick)
        walls[cylinder.original_id()] = number
        away.append(cylinder)
    solid = Manifold.batch_boolean([_block(box), *away], OpType.Subtract) if away else _block(box)
    if solid.is_empty():
        return None
    levels = tuple(
        tuple(sorted({edge for one in (box, *boxes) for edge in getattr(one, axis)})) for axis in ("l", "w", "t")
    )
    depths = {depth for hole in bores for depth in _depths(hole, part.thick)}
    return _Piece(name, surface(solid, walls), (levels[0], levels[1], tuple(sorted(depths.union(levels[2])))))


def _meets(cut: Box, box: Box) -> bool:
    return all(
        getattr(cut, axis)[0] < getattr(box, axis)[1] and getattr(cut, axis)[1] > getattr(box, axis)[0]
        for axis in ("l", "w", "t")
    )


def _opened(cut: Box, box: Box) -> Box:
    """Return the cut, running on outside wherever it reaches a face of the wood."""

    def run_on(axis: str) -> tuple[Fraction, Fraction]:
        (low, high), (first, last) = getattr(cut, axis), getattr(box, axis)
        return (low - OVERCUT if low <= first else low), (high + OVERCUT if high >= last else high)

    return Box(run_on("l"), run_on("w"), run_on("t"))


def _block(box: Box) -> Solid:
    ranges = [(float(low), float(high)) for low, high in (box.l, box.w, box.t)]
    size = [high - low for low, high in ranges]
    return Manifold.cube(size).translate([low for low, _ in ranges])


def _depths(hole: Hole, thick: Fraction) -> tuple[Fraction, Fraction]:
    deep = thick if hole.deep is None else hole.deep
    return (thick - deep, thick) if hole.from_show else (Fraction(0), deep)


def _bore(hole: Hole, thick: Fraction) -> Solid:
    """Return a bore as an original of its own, so that its wall can be told from the wood around it."""
    low, high = _depths(hole, thick)
    through = hole.deep is None
    low -= OVERCUT if through or not hole.from_show else 0
    high += OVERCUT if through or hole.from_show else 0
    radius = float(hole.diameter) / 2.0
    cylinder = Manifold.cylinder(float(high - low), radius, radius, FACETS)
    return cylinder.translate([float(hole.l), float(hole.w), float(low)]).as_original()


def surface(solid: Solid, walls: dict[int, int]) -> Mesh:
    """Return the mesh of a solid; `walls` numbers its bores by the original they came from."""
    mesh = solid.to_mesh64()
    points = np.array(mesh.vert_properties[:, :3], dtype=np.float64)
    triangles = np.array(mesh.tri_verts, dtype=np.int64)
    wall = np.full(len(triangles), -1, dtype=np.int64)
    ends = np.asarray(mesh.run_index, dtype=np.int64) // 3
    for run, original in enumerate(mesh.run_original_id):
        number = walls.get(int(original))
        if number is not None:
            wall[ends[run] : ends[run + 1]] = number
    # The flat bottom of a bore is no part of its round wall.
    depth = points[triangles, 2]
    wall[(depth.max(axis=1) - depth.min(axis=1)) < SNAP] = -1
    return make_mesh(points, triangles, wall)


def _place(piece: _Piece, placement: Placement, shift: Shift) -> Mesh:
    """Return the mesh where it stands.

    A corner in a plane of the part goes from its exact place to float in one rounding, so that faces
    that touch have equal numbers.
    """
    points = np.empty_like(piece.mesh.points)
    for own, direction in enumerate(placement.axes):
        axis, sign = axis_of(direction)
        points[:, axis] = _column(piece, own, placement.origin[axis], sign, shift[axis])
    return piece.mesh.moved(points, flip=mirrored(placement))


def _column(piece: _Piece, own: int, origin: Fraction, sign: int, shift: float) -> Floats:
    column = piece.mesh.points[:, own]
    levels = piece.levels[own]
    planes = np.array([float(level) for level in levels])
    placed = np.array([float(origin + sign * level) for level in levels])
    after = np.clip(np.searchsorted(planes, column), 1, len(planes) - 1)
    near = np.where(column - planes[after - 1] < planes[after] - column, after - 1, after)
    exact = np.abs(column - planes[near]) < SNAP
    moved: Floats = np.where(exact, placed[near], float(origin) + sign * column) + shift
    return moved
