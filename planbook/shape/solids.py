"""Parts as solids: wood less cuts and holes, every edging its own piece, placed without rounding twice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
from manifold3d import Manifold, Mesh64, OpType

from planbook.plan.model import Box, Edging, Hole, Part, Placement, Plan
from planbook.shape.arrange import axis_of, mirrored
from planbook.shape.bodies import shaped
from planbook.shape.bores import OVERCUT, bore, depths_of
from planbook.shape.loft import FACE
from planbook.shape.mesh import Floats, Mesh, make_mesh, surface_area, volume_and_centre
from planbook.shape.states import PartVersion, Standing, State, finished

if TYPE_CHECKING:
    from manifold3d import Manifold as Solid

SOCKET = "socket"
"""Role of a bore that something enters."""
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

    def area(self, version: PartVersion) -> float:
        """Return the surface of a part with its edgings, in mm2; edges glued to one another count twice."""
        return sum(surface_area(piece.mesh) for piece in self._made(version, holes=True))

    def mass_and_centre(self, state: State | None = None) -> tuple[float | None, tuple[float, float, float] | None]:
        """Return kg and centre of gravity of a state (the finished piece), or None where a density is missing."""
        total, moment = 0.0, np.zeros(3)
        for body in self.bodies(finished(self.plan) if state is None else state):
            part = self.plan.part(body.piece or body.part)
            density = part.density if not part.stock else self.plan.stock_named(part.stock).density
            if density is None:
                return None, None
            volume, centre = volume_and_centre(body.mesh)
            mass = float(density) * volume * 1e-9
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
    bodies = [(number, body) for number, one in enumerate(standing) for body in solids.bodies((one,), holes=False)]
    made: dict[int, Solid] = {}
    volumes: dict[tuple[int, int], float] = {}
    for one, other in _near([body.mesh for _, body in bodies]):
        pair = (bodies[one][0], bodies[other][0])
        if pair[0] == pair[1]:
            continue
        for at in (one, other):
            if at not in made:
                made[at] = as_solid(bodies[at][1].mesh)
        volumes[pair] = volumes.get(pair, 0.0) + float((made[one] ^ made[other]).volume())
    return tuple(
        (standing[one].placement, standing[other].placement, volume)
        for (one, other), volume in sorted(volumes.items())
        if volume >= NO_OVERLAP
    )


def _near(meshes: list[Mesh]) -> Iterator[tuple[int, int]]:
    """Give the numbers of meshes whose boxes share space, in order: all that come after one in one sweep."""
    if not meshes:
        return
    low = np.stack([mesh.points.min(axis=0) for mesh in meshes])
    high = np.stack([mesh.points.max(axis=0) for mesh in meshes])
    for one in range(len(meshes)):
        after = slice(one + 1, None)
        meets = (low[after] < high[one]).all(axis=1) & (high[after] > low[one]).all(axis=1)
        for step in np.flatnonzero(meets).tolist():
            yield one, one + 1 + step


def common(one: Solid, other: Solid) -> tuple[float, float]:
    """Return the volume and the surface of what two solids share, in mm3 and mm2; nothing below 1 mm3."""
    both = one ^ other
    volume = float(both.volume())
    return (volume, float(both.surface_area())) if volume >= NO_OVERLAP else (0.0, 0.0)


def as_solid(mesh: Mesh) -> Solid:
    """Return a mesh as a solid to reckon with."""
    points = np.ascontiguousarray(mesh.points)
    return Manifold(Mesh64(vert_properties=points, tri_verts=np.ascontiguousarray(mesh.triangles, dtype=np.uint64)))


def _make(part: Part, version: PartVersion, *, holes: bool) -> tuple[_Piece, ...]:
    zero = Fraction(0)
    cuts = [cut.box for cut in part.cuts if cut.name in version.cuts and version.has(cut.hand)]
    # A socket is filled by what enters it, so it is there even where small bores are left out.
    bores = [hole for hole in part.holes if (holes or hole.role == SOCKET) and hole.group in version.cuts]
    bores = [hole for hole in bores if version.has(hole.hand)]
    strips = {edging.name: edging for edging in part.edgings}
    own = Box((zero, part.length.final), (zero, part.width.final), (zero, part.thick))
    # The room of an edging is taken out of the wood even before the edging is on.
    room = [strip.box for strip in strips.values()]
    pieces = [_carve("", own, [*room, *cuts], bores, part, whole=shaped(part, version.cuts))]
    for name in version.edgings:
        strip: Edging = strips[name]
        pieces.append(_carve(strip.key, strip.box, cuts, bores, part))
    return tuple(piece for piece in pieces if piece is not None)


def _carve(
    name: str, box: Box, boxes: list[Box], bores: list[Hole], part: Part, whole: Solid | None = None
) -> _Piece | None:
    """Return a box, or the shape in its place, less boxes and bores, or None where nothing of it is left."""
    away = [_block(_opened(cut, box)) for cut in boxes if _meets(cut, box)]
    walls: dict[int, int] = {}
    for number, hole in enumerate(bores):
        cylinder = bore(hole, part)
        walls[cylinder.original_id()] = number
        away.append(cylinder)
    base = _block(box) if whole is None else whole
    solid = Manifold.batch_boolean([base, *away], OpType.Subtract) if away else base
    if solid.is_empty():
        return None
    levels = tuple(
        tuple(sorted({edge for one in (box, *boxes) for edge in getattr(one, axis)})) for axis in ("l", "w", "t")
    )
    depths = {depth for hole in bores for depth in depths_of(hole, part.thick)}
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


def surface(solid: Solid, walls: dict[int, int]) -> Mesh:
    """Return the mesh of a solid; `walls` numbers its bores by the original they came from."""
    mesh = solid.to_mesh64()
    points = np.array(mesh.vert_properties[:, :3], dtype=np.float64)
    triangles = np.array(mesh.tri_verts, dtype=np.int64)
    # Facets of a shape say which curved surface they are of; those of boxes and bores say less than that.
    curved = np.asarray(mesh.face_id, dtype=np.int64) // FACE
    wall = np.where(curved > 0, curved + len(walls) - 1, -1)
    ends = np.asarray(mesh.run_index, dtype=np.int64) // 3
    for run, source in enumerate(mesh.run_original_id):
        number = walls.get(int(source))
        if number is not None:
            wall[ends[run] : ends[run + 1]] = number
    # The flat bottom of a bore is no part of its round wall.
    depth = points[triangles, 2]
    wall[((depth.max(axis=1) - depth.min(axis=1)) < SNAP) & (wall < len(walls))] = -1
    return make_mesh(points, triangles, wall, len(walls))


def _place(piece: _Piece, placement: Placement, shift: Shift) -> Mesh:
    """Return the mesh where it stands.

    A corner in a plane of the part goes from its exact place to float in one rounding, so that faces
    that touch have equal numbers; those of a leaning part are good to about 1e-12 mm.
    """
    points = np.empty_like(piece.mesh.points)
    if placement.turn is not None:
        length, width, thick = piece.mesh.points.T
        for axis in range(3):
            one, two, three = (way[axis] for way in placement.turn)
            along = length * one + width * two + thick * three
            points[:, axis] = float(placement.origin[axis]) + along + shift[axis]
        return piece.mesh.moved(points, flip=mirrored(placement))
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
