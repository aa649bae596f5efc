"""A part seen square to its show face: how it lies on paper, and the lines of its face."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planbook.drawing.features import is_through, on_show
from planbook.drawing.picture import Point, polygon
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LineKind, Shade
from planbook.plan.model import Box, Part, Placement, Plan
from planbook.plan.shapes import Disc, Outline


@dataclass(frozen=True, slots=True)
class Flat:
    """How a face lies on paper: its scale, which way the grain runs, which side the datum edge is on."""

    factor: float
    upright: bool
    turn: int
    """1 where length, width and the way toward the reader turn like x, y and z."""
    show: bool = True
    """Whether the show face is seen, else the reverse."""

    def at(self, l: float, w: float) -> Point:
        """Return the place on paper of a place on the face."""
        if self.upright:
            return (-self.turn * w * self.factor, l * self.factor)
        return (l * self.factor, self.turn * w * self.factor)


def rim_of(flat: Flat, part: Part) -> tuple[Point, ...]:
    """Return the corners of the board on paper, from the datum corner along the grain."""
    long, wide = float(part.length.final), float(part.width.final)
    return tuple(flat.at(*corner) for corner in ((0, 0), (long, 0), (long, wide), (0, wide)))


def _rectangle(flat: Flat, box: Box) -> tuple[Point, ...]:
    (l0, l1), (w0, w1) = ((float(low), float(high)) for low, high in (box.l, box.w))
    return tuple(flat.at(*corner) for corner in ((l0, w0), (l1, w0), (l1, w1), (l0, w1)))


def draw_face(sheet: Sheet, flat: Flat, plan: Plan, part: Part) -> None:
    """Draw the outline, the cuts (toned where they are open to the face) and the strips of the edges."""
    if part.shape is not None or part.trims or part.eased:
        _draw_shaped(sheet, flat, plan, part)
        return
    from shapely import union_all

    rim = rim_of(flat, part)
    notches = [polygon(_rectangle(flat, cut.box)) for cut in part.cuts if is_through(part, cut)]
    face = polygon(rim).difference(union_all(notches))
    for piece in getattr(face, "geoms", [face]):
        for ring in (piece.exterior, *piece.interiors):
            sheet.line(LineKind.OUTLINE, *ring.coords[:-1], closed=True)
    for cut in part.cuts:
        if is_through(part, cut):
            continue
        shown = on_show(part, cut) if flat.show else cut.box.t[0] <= 0
        if shown:
            sheet.area(Shade.TONE, _rectangle(flat, cut.box))
        _edges_inside(sheet, LineKind.OUTLINE if shown else LineKind.HIDDEN, _rectangle(flat, cut.box), rim)
    for edging in part.edgings:
        _edges_inside(sheet, LineKind.EDGE, _rectangle(flat, edging.box), rim)


def _draw_shaped(sheet: Sheet, flat: Flat, plan: Plan, part: Part) -> None:
    """Draw a part that is no plain board from its solid, and the board whose corner all places are measured from."""
    from planbook.shape.direction import TOP
    from planbook.shape.solids import Solids
    from planbook.shape.states import Standing, finished_version
    from planbook.shape.view import Kind, View

    zero, wide = Fraction(0), part.width.final
    origin, axes = (
        ((zero, zero, zero), ("+x", "+y", "+z")) if flat.show else ((zero, wide, part.thick), ("+x", "-y", "-z"))
    )
    place = Placement(part=part.key, copy=1, hand="", origin=origin, axes=axes)
    bodies = Solids(plan).bodies((Standing(place, finished_version(plan, part.key)),), holes=False)
    for piece in View(bodies, TOP).state().visible:
        kind = LineKind.OUTLINE if piece.kind is Kind.OUTLINE else LineKind.EDGE
        # Turned over, the part has its datum edge at the back.
        start, end = ((l, w if flat.show else float(wide) - w) for l, w in (piece.start, piece.end))
        sheet.line(kind, flat.at(*start), flat.at(*end))
    if isinstance(part.shape, Disc | Outline):
        sheet.line(LineKind.HATCH, *rim_of(flat, part), closed=True)


def _edges_inside(sheet: Sheet, kind: LineKind, ring: tuple[Point, ...], rim: tuple[Point, ...]) -> None:
    """Draw the sides of a rectangle that do not lie on the rim of the face."""
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        if not _on_rim(a, b, rim):
            sheet.line(kind, a, b)


def _on_rim(a: Point, b: Point, rim: tuple[Point, ...]) -> bool:
    for axis in (0, 1):
        for limit in (min(p[axis] for p in rim), max(p[axis] for p in rim)):
            if abs(a[axis] - limit) < 1e-6 and abs(b[axis] - limit) < 1e-6:
                return True
    return False
