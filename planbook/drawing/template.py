"""Full-size templates of a face, whole or round what is shown on it, tiled over paper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import hypot
from typing import TYPE_CHECKING

from planbook.drawing.features import handedness, hands_of, in_face, is_through
from planbook.drawing.flat import Flat, rim_of
from planbook.drawing.measures import datum_mark, direction_of
from planbook.drawing.outline import circle, face_outline
from planbook.drawing.picture import Box, Label, LabelKind, Picture, Point, polygon
from planbook.drawing.placing import inside, letter_label, place_grain, place_near, place_word
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import WORD_HEIGHT, LineKind
from planbook.drawing.tiles import PAPERS, Tiling, clipped, tiled
from planbook.drawing.wording import lettered, listed, sentence, spoken
from planbook.plan.drilling import holes_in_order
from planbook.plan.model import Hole, Part, Plan
from planbook.units.factors import INCH

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from planbook.plan.templates import Template

AROUND = 14.0
"""mm of wood that a template of single features shows round them."""
ARM = 3.0
"""mm by which the cross at a centre reaches beyond the rim of its hole."""
HOLE_SIDES = 72
"""Corners of a hole at full size: it strays by less than 1/1000 of its radius."""


@dataclass(frozen=True, slots=True)
class Face:
    """What of a part a template shows."""

    plan: Plan
    template: Template
    part: Part
    hand: str

    @property
    def name(self) -> str:
        """Name of the face that is seen."""
        faces = self.part.faces
        return faces.show if self.template.show else faces.reverse

    @property
    def turn(self) -> int:
        """1 where length, width and the way toward the reader turn like x, y and z, else -1."""
        turn = handedness(self.plan, self.part, self.hand)
        return turn if self.template.show else -turn

    @property
    def holes(self) -> tuple[Hole, ...]:
        """The holes that are shown: those bored square or slanting into one of the two faces."""
        return tuple(hole for hole in self.part.holes if hole.group in self.template.holes and in_face(hole))

    def enters(self, hole: Hole) -> bool:
        """Whether the place of a hole lies on the face that is seen: one that leans comes out somewhere else."""
        return hole.from_show is self.template.show or (hole.deep is None and hole.axis is None)

    @property
    def steps(self) -> tuple[int, ...]:
        """Numbers of the steps that cut and bore what is shown."""
        cuts = [cut.step for cut in self.part.cuts if cut.name in self.template.cuts]
        found = {step for step in (*cuts, *(hole.step for hole in self.holes)) if step is not None}
        if self.template.whole and self.part.shaped_in is not None:
            found.add(self.part.shaped_in)
        return tuple(sorted(found))


def face_of(plan: Plan, template: Template) -> Face:
    """Return what a template shows; a pair is shown as its left hand."""
    part = plan.part(template.part)
    return Face(plan, template, part, hands_of(plan, part)[0])


def template_pages(plan: Plan, template: Template, *, paper: str) -> tuple[Picture, ...]:
    """Return a face at full size, tiled over `letter` or `a4`; raises KeyError for an unknown part or paper.

    It shows the outline, the cuts, the holes with numbers and crosses at their centres, and the black
    datum corner. The grain runs so that fewer tiles are needed.
    """
    face = face_of(plan, template)
    sheet = _fewest_tiles(face, paper)
    name = lettered(face.part, face.hand)
    turned = f"For {lettered(face.part, hands_of(plan, face.part)[1])} turn the paper over" if face.part.pair else ""
    steps = f", step{'s' * (len(face.steps) > 1)} {listed(map(str, face.steps))}" if face.steps else ""
    return tiled(
        sheet,
        paper=paper,
        edition=plan.edition,
        title=f"Template {template.name}",
        told=f"{template.name}: {name}, {face.name}{steps}",
        alt=sentence(f"Full-size template of {name}, seen from the {face.name}: {_said(face)}", turned),
        scale="full size" if plan.edition.unit_mm == INCH else "1 : 1",
    )


def _said(face: Face) -> str:
    edition, part = face.plan.edition, face.part
    said = [f"the outline, {spoken(part.length.final, edition)} by {spoken(part.width.final, edition)}"]
    if not face.template.whole:
        said = ["the corner of its outline"]
    if face.template.cuts:
        said.append(listed(dict.fromkeys(f"the {name}" for name in face.template.cuts)))
    if face.holes:
        said.append(f"{len(face.holes)} hole{'s' if len(face.holes) > 1 else ''}")
    return listed(said)


def _fewest_tiles(face: Face, paper: str) -> Sheet:
    """Return the drawing lying or upright, whichever needs fewer tiles."""
    lying, upright = (template_sheet(face, upright=way) for way in (False, True))
    counts = []
    for sheet in (lying, upright):
        left, bottom, right, top = sheet.bounds
        across, up = Tiling((right - left, top - bottom), PAPERS[paper]).counts
        counts.append(across * up)
    return upright if counts[1] < counts[0] else lying


def template_sheet(face: Face, *, upright: bool, drilled: bool = True) -> Sheet:
    """Return the drawing of a template in mm of wood, in one piece; without holes and words where not `drilled`."""
    flat = Flat(1.0, upright, face.turn)
    sheet = Sheet()
    outline = face_outline(face.part, show=face.template.show)
    for piece in getattr(outline, "geoms", [outline]):
        for ring in (piece.exterior, *piece.interiors):
            sheet.line(LineKind.OUTLINE, *(flat.at(*spot) for spot in ring.coords[:-1]), closed=True)
    if face.part.shape is not None:
        # Places are measured from the corner of the blank, which is sawn away.
        sheet.line(LineKind.EDGE, *rim_of(flat, face.part), closed=True)
    _draw_cuts(sheet, flat, face)
    for edging in face.part.edgings:
        sheet.line(LineKind.EDGE, *_corners(flat, edging.box.l, edging.box.w), closed=True)
    window = None if face.template.whole else _window(flat, face)
    if drilled:
        _bore(sheet, flat, face)
        datum_mark(sheet, flat.at, face.part, number=False)
    if window is not None:
        sheet = clipped(sheet, window)
    if drilled:
        _write(sheet, flat, face, outline, window)
    return sheet


def _corners(flat: Flat, l: tuple[Fraction, Fraction], w: tuple[Fraction, Fraction]) -> tuple[Point, ...]:
    (l0, l1), (w0, w1) = ((float(low), float(high)) for low, high in (l, w))
    return tuple(flat.at(*corner) for corner in ((l0, w0), (l1, w0), (l1, w1), (l0, w1)))


def _draw_cuts(sheet: Sheet, flat: Flat, face: Face) -> None:
    part = face.part
    for cut in part.cuts:
        if cut.name not in face.template.cuts or is_through(part, cut):
            continue
        seen = cut.box.t[1] >= part.thick if face.template.show else cut.box.t[0] <= 0
        sheet.line(LineKind.EDGE if seen else LineKind.HIDDEN, *_corners(flat, cut.box.l, cut.box.w), closed=True)


def _bore(sheet: Sheet, flat: Flat, face: Face) -> None:
    """Draw every hole with a cross through its centre, and number it as the table of holes does."""
    for number, hole in holes_in_order(face.part):
        if hole.group in face.template.holes and in_face(hole):
            _draw_hole(sheet, flat, face, hole, str(number))


def _draw_hole(sheet: Sheet, flat: Flat, face: Face, hole: Hole, number: str) -> None:
    middle = flat.at(float(hole.l), float(hole.w))
    radius = float(hole.diameter) / 2
    seen = face.enters(hole)
    kind = LineKind.EDGE if seen else LineKind.HIDDEN
    way = hole.slot_way or (1.0, 0.0, 0.0)
    along = direction_of(flat.at, (0.0, 0.0), (way[0], way[1]))
    sheet.line(kind, *_rim(middle, radius, along, float(hole.slot)), closed=True)
    if hole.counterbore is not None and hole.from_show is face.template.show:
        radius = float(hole.counterbore[0]) / 2
        sheet.line(kind, *circle(middle, radius, HOLE_SIDES), closed=True)
    if not seen:
        return
    arm = radius + ARM
    x, y = middle
    sheet.line(LineKind.LEADER, (x - arm, y), (x + arm, y))
    sheet.line(LineKind.LEADER, (x, y - arm), (x, y + arm))
    if hole.axis is not None and hypot(hole.axis[0], hole.axis[1]) > 1e-6:
        # The sight line: the bit leans in the plane that stands on it.
        ahead = direction_of(flat.at, (0.0, 0.0), (hole.axis[0], hole.axis[1]))
        reach = radius + 5 * ARM
        ends = [(x + side * ahead[0] * reach, y + side * ahead[1] * reach) for side in (-1, 1)]
        sheet.line(LineKind.CENTRE, *ends)
    mark = Label(kind=LabelKind.MARK, text=number, height=WORD_HEIGHT, bold=True, x=0.0, y=0.0)
    place_near(sheet, mark, middle, beyond=radius)


def _rim(middle: Point, radius: float, along: Point, slot: float) -> Iterable[Point]:
    """Return the rim of a round hole, or of a slot with round ends."""
    ring = circle(middle, radius, HOLE_SIDES)
    half = max(slot / 2 - radius, 0.0)
    if not half:
        return ring
    ahead = [(x - middle[0]) * along[0] + (y - middle[1]) * along[1] for x, y in ring]
    moved = ((half if way > 1e-9 else -half if way < -1e-9 else 0.0) for way in ahead)
    return [(x + along[0] * by, y + along[1] * by) for (x, y), by in zip(ring, moved, strict=True) if by]


def _window(flat: Flat, face: Face) -> Box:
    """Return the space on paper from the datum corner to a little beyond what is shown."""
    part = face.part
    spans: list[tuple[float, float]] = []
    for cut in part.cuts:
        if cut.name in face.template.cuts:
            spans.append((float(cut.box.l[1]), float(cut.box.w[1])))
    for hole in face.holes:
        wide = hole.counterbore[0] if hole.counterbore is not None else hole.diameter
        spans.append((float(hole.l + max(wide, hole.slot) / 2), float(hole.w + wide / 2)))
    whole = (float(part.length.final), float(part.width.final))
    along, across = (max(span[k] for span in spans) + AROUND for k in (0, 1))
    # All places run from the datum corner: without it nobody could lay the paper on the wood.
    low = (0.0, 0.0)
    high = (min(along, whole[0]), min(across, whole[1]))
    corners = [flat.at(*corner) for corner in (low, high)]
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    edge = 0.5
    return (min(xs) - edge, min(ys) - edge, max(xs) + edge, max(ys) + edge)


def _write(sheet: Sheet, flat: Flat, face: Face, outline: BaseGeometry, window: Box | None) -> None:
    """Write letter and hand, the face, the names of end and edge, and the grain, all on the wood."""
    from shapely import box

    region = outline_on_paper(flat, outline)
    if window is not None:
        region = region.intersection(box(*window))
    if region.geom_type != "Polygon":
        region = max(region.geoms, key=lambda one: one.area)
    left, bottom, right, top = region.bounds
    middle = ((left + right) / 2, (bottom + top) / 2)
    faces = face.part.faces
    part = face.part
    long, wide = float(part.length.final), float(part.width.final)
    letter = letter_label(part.letter, face.hand, middle)
    placed = inside(sheet, letter, region, middle)
    if placed is not None:
        sheet.label(placed)
    place_word(sheet, face.name, region, (middle[0], middle[1] - 8.0))
    ends = ((faces.datum_end, (8.0, wide / 2)), (faces.far_end, (long - 8.0, wide / 2)))
    edges = ((faces.datum_edge, (long / 2, 6.0)), (faces.far_edge, (long / 2, wide - 6.0)))
    for text, spot in (*ends, *edges):
        x, y = flat.at(*spot)
        near = (min(max(x, left), right), min(max(y, bottom), top))
        if abs(near[0] - x) + abs(near[1] - y) < 200.0:
            place_word(sheet, text, region, near, within=60.0)
    place_grain(sheet, region, direction_of(flat.at, (0.0, 0.0), (1.0, 0.0)), middle)


def outline_on_paper(flat: Flat, outline: BaseGeometry) -> BaseGeometry:
    """Return the outline of a face where it lies on paper."""
    from shapely import union_all

    pieces = [
        polygon(
            (flat.at(*spot) for spot in piece.exterior.coords[:-1]),
            ((flat.at(*spot) for spot in ring.coords[:-1]) for ring in piece.interiors),
        )
        for piece in getattr(outline, "geoms", [outline])
    ]
    return union_all(pieces)
