"""The drawing of one part: seen from its show face, with a section along the grain and one across it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from planbook.drawing.dimension import dimension
from planbook.drawing.features import (
    described,
    handedness,
    hands_of,
    is_through,
    on_show,
    rows_of,
    runs_across,
)
from planbook.drawing.hatching import hatch_lines
from planbook.drawing.measures import At, datum_mark, direction_of, draw_measures, measures_of
from planbook.drawing.picture import LabelKind, Picture, Point, polygon
from planbook.drawing.placing import place_grain, place_letter, place_word, word_label
from planbook.drawing.scales import Scale, scales_of
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import MARGIN, LineKind, Shade
from planbook.drawing.wording import lettered, listed, sentence, size, spoken
from planbook.plan.model import Box, Hole, Part, Plan
from planbook.units.editions import Edition

if TYPE_CHECKING:
    from shapely import Polygon

SHORT_PART = 45.0
"""mm on paper: a shorter part stands with its grain up, where that fits at the same scale."""
SECTION_AWAY = 18.0
"""From the face to a section beside it: a dimension line and its number."""


@dataclass(frozen=True, slots=True)
class Flat:
    """How a face lies on paper: its scale, which way the grain runs, which side the datum edge is on."""

    factor: float
    upright: bool
    turn: int
    """1 where length, width and thickness turn like x, y and z."""

    def at(self, l: float, w: float) -> Point:  # noqa: E741 - the part's own axis names
        """Return the place on paper of a place on the face."""
        if self.upright:
            return (-self.turn * w * self.factor, l * self.factor)
        return (l * self.factor, self.turn * w * self.factor)


def part_picture(plan: Plan, key: str, *, width: float = 180.0, height: float = 150.0) -> Picture:
    """Return the drawing of a part at a standard scale; raises KeyError for an unknown part.

    A pair is shown as its left hand. The picture states the face that is seen, the grain, and all
    sizes and places from the datum corner.
    """
    part = plan.part(key)
    hand = hands_of(plan, part)[0]
    turn = handedness(plan, part, hand)
    for upright, scale in _ways_to_lie(part, plan.edition):
        sheet = _drawn(plan, part, hand, Flat(scale.factor, upright, turn))
        left, bottom, right, top = sheet.bounds
        if right - left <= width - 2 * MARGIN and top - bottom <= height - 2 * MARGIN:
            break
    return sheet.picture(
        title=f"Part {lettered(part, hand)}",
        alt=part_words(plan, part, hand),
        width=width,
        scale=scale.text,
    )


def _ways_to_lie(part: Part, edition: Edition) -> list[tuple[bool, Scale]]:
    """Return whether the grain runs up, with a scale: the larger scale first, then a long part lying."""
    ways = []
    for scale in scales_of(edition):
        long = float(part.length.final) * scale.factor
        ways += [(long < SHORT_PART, scale), (long >= SHORT_PART, scale)]
    return [(upright, scale) for upright, scale in ways if part.length.final * 2 <= 400 * scale.ratio]


def _drawn(plan: Plan, part: Part, hand: str, flat: Flat) -> Sheet:
    sheet = Sheet()
    _draw_face(sheet, flat, part)
    _draw_sizes(sheet, flat, part, plan)
    _draw_sections(sheet, flat, part, plan.edition)
    face = polygon(_rim(flat, part))
    middle = flat.at(float(part.length.final) / 2, float(part.width.final) / 2)
    letter = place_letter(sheet, part.letter, hand, face, middle)
    place_word(sheet, part.faces.show, face, (letter.x, letter.y - 7.0))
    place_grain(sheet, face, direction_of(flat.at, (0, 0), (1, 0)), middle)
    long, wide = float(part.length.final), float(part.width.final)
    for text, place in (
        (part.faces.datum_end, (0.06 * long, 0.6 * wide)),
        (part.faces.datum_edge, (0.75 * long, 0.05 * wide)),
    ):
        place_word(sheet, text, face, flat.at(*place))
    return sheet


def part_words(plan: Plan, part: Part, hand: str) -> str:
    """Return the alternative text of a part's drawing."""
    edition = plan.edition
    cuts = dict.fromkeys(
        f"{described(cut)}, {spoken(cut.wide, edition)} wide and {spoken(cut.deep, edition)} deep" for cut in part.cuts
    )
    rows = [
        f"a row of {len(row.places)} holes, {spoken(row.diameter, edition)} in diameter, "
        f"{spoken(row.w, edition)} from the {part.faces.datum_edge}"
        for row in rows_of(part.holes)
    ]
    return sentence(
        f"Drawing of part {lettered(part, hand)}, seen from the {part.faces.show}: "
        f"{spoken(part.length.final, edition)} long, {spoken(part.width.final, edition)} wide, "
        f"{spoken(part.thick, edition)} thick",
        f"It has {listed([*cuts, *rows])}" if cuts or rows else "",
        f"Places are measured from the {part.faces.datum_end} and the {part.faces.datum_edge}",
        "The other hand is its mirror image" if part.pair else "",
    )


def _rim(flat: Flat, part: Part) -> tuple[Point, ...]:
    long, wide = float(part.length.final), float(part.width.final)
    return tuple(flat.at(*corner) for corner in ((0, 0), (long, 0), (long, wide), (0, wide)))


def _rectangle(flat: Flat, box: Box) -> tuple[Point, ...]:
    (l0, l1), (w0, w1) = ((float(low), float(high)) for low, high in (box.l, box.w))
    return tuple(flat.at(*corner) for corner in ((l0, w0), (l1, w0), (l1, w1), (l0, w1)))


def _draw_face(sheet: Sheet, flat: Flat, part: Part) -> None:
    from shapely import union_all

    rim = _rim(flat, part)
    notches = [polygon(_rectangle(flat, cut.box)) for cut in part.cuts if is_through(part, cut)]
    face = polygon(rim).difference(union_all(notches))
    for piece in getattr(face, "geoms", [face]):
        for ring in (piece.exterior, *piece.interiors):
            sheet.line(LineKind.OUTLINE, *ring.coords[:-1], closed=True)
    for cut in part.cuts:
        if is_through(part, cut):
            continue
        shown = on_show(part, cut)
        if shown:
            sheet.area(Shade.TONE, _rectangle(flat, cut.box))
        _edges_inside(sheet, LineKind.OUTLINE if shown else LineKind.HIDDEN, _rectangle(flat, cut.box), rim)
    for edging in part.edgings:
        _edges_inside(sheet, LineKind.EDGE, _rectangle(flat, edging.box), rim)
    for hole in part.holes:
        _draw_hole(sheet, flat, hole)


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


def _draw_hole(sheet: Sheet, flat: Flat, hole: Hole) -> None:
    from math import cos, pi, sin

    x, y = flat.at(float(hole.l), float(hole.w))
    radius = max(float(hole.diameter) / 2 * flat.factor, 0.35)
    ring = [(x + radius * cos(2 * pi * k / 24), y + radius * sin(2 * pi * k / 24)) for k in range(24)]
    seen = hole.from_show or hole.deep is None
    if radius < 0.6:
        sheet.area(Shade.INK, ring)
        return
    sheet.line(LineKind.EDGE if seen else LineKind.HIDDEN, *ring, closed=True)
    arm = radius + 1.0
    sheet.line(LineKind.CENTRE, (x - arm, y), (x + arm, y))
    sheet.line(LineKind.CENTRE, (x, y - arm), (x, y + arm))


def _draw_sizes(sheet: Sheet, flat: Flat, part: Part, plan: Plan) -> None:
    long, wide = float(part.length.final), float(part.width.final)
    at, edition = flat.at, plan.edition
    draw_measures(sheet, at, measures_of(part, part.cuts, rows_of(part.holes), edition), first=7.0, step=8.5)
    away = direction_of(at, (0, 0), (0, 1))
    dimension(sheet, at(0, wide), at(long, wide), size(part.length.final, edition), away=away, first=8.0)
    away = direction_of(at, (0, 0), (1, 0))
    dimension(sheet, at(long, 0), at(long, wide), size(part.width.final, edition), away=away, first=8.0)
    datum_mark(sheet, at)


def _draw_sections(sheet: Sheet, flat: Flat, part: Part, edition: Edition) -> None:
    """Draw the part cut along its middle beyond the far edge, and its end beyond the far end."""
    long, wide = float(part.length.final), float(part.width.final)
    thick = float(part.thick)
    middle = part.width.final / 2
    along_grain = [cut for cut in part.cuts if cut.box.w[0] < middle < cut.box.w[1]]
    at_end = [cut for cut in part.cuts if cut not in along_grain and not runs_across(part, cut)]
    strips = [strip.box for strip in part.edgings if strip.edge in ("datum_edge", "far_edge")]
    # Third angle: the show face of a section is the side toward the view that it belongs to.
    if along_grain:
        far = wide + SECTION_AWAY / flat.factor + thick
        spans = [(cut.box.l, cut.box.t) for cut in along_grain]
        _section(sheet, part, part.length.final, spans, [], lambda along, t: flat.at(along, far - t), edition)
        _view_name(sheet, "cut along the middle", flat.at(long / 2, far))
    if at_end or any(strip.t[0] != 0 or strip.t[1] != part.thick for strip in strips):
        far = long + SECTION_AWAY / flat.factor + thick
        spans = [(cut.box.w, cut.box.t) for cut in at_end]
        edges = [(strip.w, strip.t) for strip in strips]
        _section(sheet, part, part.width.final, spans, edges, lambda w, t: flat.at(far - t, w), edition)
        _view_name(sheet, "cut across", flat.at(far, wide / 2))


def _view_name(sheet: Sheet, text: str, middle: Point) -> None:
    """Write the name of a section below it, at the first free height."""
    labels = [word_label(text, (middle[0], middle[1] - drop), kind=LabelKind.VIEW) for drop in range(6, 60, 2)]
    costs = sheet.box_costs(np.array([label.box for label in labels]))
    sheet.label(labels[int(costs.argmin())])


Span = tuple[Fraction, Fraction]


def _section(
    sheet: Sheet,
    part: Part,
    size_along: Fraction,
    cuts: list[tuple[Span, Span]],
    strips: list[tuple[Span, Span]],
    at: At,
    edition: Edition,
) -> None:
    """Draw a hatched section with its thickness and the depth of its first cut."""
    from shapely import box, union_all

    def rectangles(spans: list[tuple[Span, Span]]) -> Polygon:
        return union_all([box(float(a[0]), float(t[0]), float(a[1]), float(t[1])) for a, t in spans])

    wood = box(0, 0, float(size_along), float(part.thick)).difference(rectangles(strips))
    for solid in (wood.difference(rectangles(cuts)), rectangles(strips).difference(rectangles(cuts))):
        for piece in getattr(solid, "geoms", [solid]):
            if piece.is_empty:
                continue
            ring = [at(*point) for point in piece.exterior.coords[:-1]]
            sheet.line(LineKind.OUTLINE, *ring, closed=True)
            for a, b in hatch_lines(ring):
                sheet.line(LineKind.HATCH, a, b)
    end, thick = float(size_along), float(part.thick)
    away = direction_of(at, (0, 0), (1, 0))
    dimension(sheet, at(end, 0), at(end, thick), size(part.thick, edition), away=away, first=5.0)
    if cuts:
        _, (low, high) = cuts[0]
        a, b = at(0, float(low)), at(0, float(high))
        dimension(sheet, a, b, size(high - low, edition), away=(-away[0], -away[1]), first=5.0)
