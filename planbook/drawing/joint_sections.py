"""Joints in section: what nobody sees once they are closed, each cut through its middle at a large scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from planbook.drawing.hatching import hatch_lines
from planbook.drawing.joining import held_words
from planbook.drawing.picture import LabelKind, Picture, Point, polygon
from planbook.drawing.placing import place_letter, word_label
from planbook.drawing.scales import Scale, scales_of
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import MARGIN, WIDTH, LineKind
from planbook.drawing.text import text_width
from planbook.drawing.views import Views
from planbook.drawing.wording import lettered, listed, sentence
from planbook.plan.fastened import Fastened
from planbook.plan.model import Joint, Plan
from planbook.shape import arrange, states
from planbook.shape.arrange import Bounds
from planbook.shape.direction import Vector
from planbook.shape.sections import section_of

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from planbook.shape.mesh import Floats
    from planbook.shape.solids import Body

MOST = 6
"""Joints that are shown: further ones are mostly like them."""
CELL = 52.0
"""Greatest width and height of a section on paper, mm."""
LEAST_AROUND = 22.0
"""Half of what is shown at least, mm of wood."""
SHARE = 1.6
"""Half of what is shown round a joint, as a share of the thicker part."""
GAP = 8.0
LEAST_SEEN = 4.0
"""mm2 on paper: a smaller piece of wood is left without hatching and letter."""

# Directions of a picture for each axis that one looks along: across, up, and what the view is called.
_LOOKS: tuple[tuple[Vector, Vector, str], ...] = (
    ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), "seen from the right"),
    ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), "seen from the front"),
    ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), "seen from above"),
)


@dataclass(frozen=True, slots=True)
class Cut:
    """Where a joint is cut through: the axis one looks along, the middle of what is shown, and half its size."""

    joint: Joint
    axis: int
    middle: Vector
    around: float
    driven: tuple[Vector, Vector] | None = None
    """Both ends of a fastener whose axis lies in the plane."""


def joint_sections_picture(plan: Plan, *, width: float = WIDTH, views: Views | None = None) -> Picture | None:
    """Return the joints that hide something, each in section at a standard scale, or None where there are none."""
    views = views or Views(plan)
    cuts = list(_cuts(views))[:MOST]
    if not cuts:
        return None
    bodies = views.solids.bodies(states.finished(plan))
    sheet = _in_rows([_cell(plan, bodies, cut) for cut in cuts], width - 2 * MARGIN)
    told = listed(f"{cut.joint.name}, {_LOOKS[cut.axis][2]}, {_parts(plan, cut.joint)}" for cut in cuts)
    return sheet.picture(
        title=f"{plan.title}: joints in section", alt=sentence(f"Joints cut through: {told}"), width=width
    )


def _parts(plan: Plan, joint: Joint) -> str:
    entering = listed(lettered(plan.part(key)) for key in joint.entering)
    return f"{entering} in {listed(lettered(plan.part(key)) for key in joint.receiving)}"


def _cuts(views: Views) -> Iterator[Cut]:
    """Give where each kind of joint is cut through, in the order of the plan; equal ones once."""
    seen: set[tuple[object, ...]] = set()
    for joint in views.plan.joints:
        key = (joint.kind, joint.by, joint.deep, joint.wide)
        if key in seen:
            continue
        found = _through_cut(views, joint) or _through_fastener(views.plan, joint)
        if found is not None:
            seen.add(key)
            yield found


def _through_cut(views: Views, joint: Joint) -> Cut | None:
    """Cut a joint across the run of its channel, where the part that enters really lies in it."""
    plan, boxes = views.plan, views.boxes
    entering = [place for place in plan.placements if place.part in joint.entering]
    for place in plan.placements:
        part = plan.part(place.part)
        for cut in part.cuts if place.part in joint.receiving and place.turn is None else ():
            if cut.name != joint.name or (cut.hand and cut.hand != place.hand):
                continue
            corners = [arrange.to_assembly(place, (cut.box.l[k], cut.box.w[k], cut.box.t[k])) for k in (0, 1)]
            channel = Bounds(*(_ends(corners, pick) for pick in (min, max)))
            for other in entering:
                common = _common(channel, boxes.of(other))
                if common is None:
                    continue
                along = 0 if cut.box.l[1] - cut.box.l[0] > cut.box.w[1] - cut.box.w[0] else 1
                thick = max(float(part.thick), float(plan.part(other.part).thick))
                axis = arrange.axis_of(place.axes[along])[0]
                return Cut(joint, axis, _middle(common), max(SHARE * thick, LEAST_AROUND))
    return None


def _ends(corners: Sequence[arrange.Point], pick: object) -> arrange.Point:
    assert callable(pick)
    x, y, z = (pick(corner[axis] for corner in corners) for axis in range(3))
    return (x, y, z)


def _common(one: Bounds, other: Bounds) -> Bounds | None:
    low = tuple(max(a, b) for a, b in zip(one.low, other.low, strict=True))
    high = tuple(min(a, b) for a, b in zip(one.high, other.high, strict=True))
    if any(b <= a for a, b in zip(low, high, strict=True)):
        return None
    return Bounds((low[0], low[1], low[2]), (high[0], high[1], high[2]))


def _middle(box: Bounds) -> Vector:
    x, y, z = (float(low + high) / 2 for low, high in zip(box.low, box.high, strict=True))
    return (x, y, z)


def _through_fastener(plan: Plan, joint: Joint) -> Cut | None:
    """Cut a joint along the axis of its first fastener, in a plane square to an axis of the piece."""
    fastened: Fastened | None = next((one for one in plan.fastened if one.joint == joint.name and one.places), None)
    if fastened is None:
        return None
    place = fastened.places[0]
    axis = next((k for k in (0, 1, 2) if abs(place.way[k]) < 1e-6), None)
    if axis is None:
        return None
    sunk, long = float(fastened.sunk), float(fastened.long)
    start, end = (tuple(s + w * by for s, w in zip(place.start, place.way, strict=True)) for by in (sunk, sunk + long))
    middle = tuple((a + b) / 2 for a, b in zip(start, end, strict=True))
    ends = ((start[0], start[1], start[2]), (end[0], end[1], end[2]))
    return Cut(joint, axis, (middle[0], middle[1], middle[2]), max(0.75 * long, LEAST_AROUND), ends)


def _cell(plan: Plan, bodies: Sequence[Body], cut: Cut) -> Sheet:
    from shapely import box

    across, up, named = _LOOKS[cut.axis]
    scale = _scale(plan, cut)
    x, y = _flat(cut.middle, across, up)
    window = box(x - cut.around, y - cut.around, x + cut.around, y + cut.around)
    at = float(np.dot(np.cross(across, up), cut.middle))
    pieces: dict[tuple[str, str], list[BaseGeometry]] = {}
    for body in bodies:
        if not _near(body.mesh.points, cut):
            continue
        shape = section_of(body.mesh, across, up, at).intersection(window)
        if not shape.is_empty:
            letter = plan.part(body.piece or body.part).letter
            pieces.setdefault((letter, body.placement.hand if not body.piece else ""), []).append(shape)
    sheet = Sheet()

    def paper(point: Sequence[float]) -> Point:
        return ((point[0] - x) * scale.factor, (point[1] - y) * scale.factor)

    for number, shapes in enumerate(pieces.values()):
        for shape in shapes:
            _draw(sheet, shape, window, paper, flip=number % 2 == 1)
    if cut.driven is not None:
        a, b = (paper(_flat(end, across, up)) for end in cut.driven)
        way = (b[0] - a[0], b[1] - a[1])
        long = max((way[0] ** 2 + way[1] ** 2) ** 0.5, 1e-9)
        out = (way[0] / long * 2.5, way[1] / long * 2.5)
        sheet.line(LineKind.CENTRE, (a[0] - out[0], a[1] - out[1]), (b[0] + out[0], b[1] + out[1]))
    _letters(sheet, pieces, paper)
    left, bottom, right, _ = sheet.bounds
    held = held_words(plan, cut.joint)
    lines = [f"{cut.joint.name}, {scale.text}", named, *([held] if text_width(held, 3.0) < CELL + 6 else [])]
    for number, text in enumerate(lines):
        kind = LabelKind.VIEW if number == 0 else LabelKind.WORD
        sheet.label(word_label(text, ((left + right) / 2, bottom - 5.0 - 4.6 * number), kind=kind))
    return sheet


def _near(points: Floats, cut: Cut) -> bool:
    """Whether a body may be seen in what is shown: its box reaches into it."""
    low, high = points.min(axis=0), points.max(axis=0)
    middle = np.array(cut.middle)
    return bool(np.all(low < middle + cut.around) and np.all(high > middle - cut.around))


def _scale(plan: Plan, cut: Cut) -> Scale:
    scales = scales_of(plan.edition)
    return next((scale for scale in scales if 2 * cut.around * scale.factor <= CELL), scales[-1])


def _flat(point: Vector, across: Vector, up: Vector) -> Point:
    return float(np.dot(point, across)), float(np.dot(point, up))


def _polygons(shape: BaseGeometry) -> list[BaseGeometry]:
    return [one for one in getattr(shape, "geoms", [shape]) if one.geom_type == "Polygon" and one.area > 1e-6]


def _draw(sheet: Sheet, shape: BaseGeometry, window: BaseGeometry, paper: object, *, flip: bool) -> None:
    """Draw the rim of what is cut, open where the wood goes on, and hatch it; neighbours the other way round."""
    assert callable(paper)
    for piece in _polygons(shape):
        for ring in (piece.exterior, *piece.interiors):
            rim = ring.difference(window.exterior.buffer(1e-6))
            for line in getattr(rim, "geoms", [rim]):
                if line.geom_type in ("LineString", "LinearRing") and not line.is_empty:
                    sheet.line(LineKind.OUTLINE, *(paper(spot) for spot in line.coords))
        side = -1.0 if flip else 1.0
        outer, *holes = (
            [(side * a, b) for a, b in (paper(spot) for spot in ring.coords[:-1])]
            for ring in (piece.exterior, *piece.interiors)
        )
        for (x1, y1), (x2, y2) in hatch_lines(outer, holes):
            sheet.line(LineKind.HATCH, (side * x1, y1), (side * x2, y2))


def _letters(sheet: Sheet, pieces: dict[tuple[str, str], list[BaseGeometry]], paper: object) -> None:
    """Write the letter of each part beside the section, with a leader to its wood."""
    from shapely import union_all

    assert callable(paper)
    every = [
        polygon(map(paper, one.exterior.coords[:-1])) for some in pieces.values() for s in some for one in _polygons(s)
    ]
    wood = union_all(every)
    for (letter, hand), shapes in pieces.items():
        largest = max((one for shape in shapes for one in _polygons(shape)), key=lambda one: one.area, default=None)
        if largest is not None and largest.area > LEAST_SEEN:
            spot = largest.representative_point()
            place_letter(sheet, letter, hand, None, paper((spot.x, spot.y)), outside=wood)


def _in_rows(cells: Sequence[Sheet], across: float) -> Sheet:
    """Set sections side by side in rows no wider than `across`."""
    sheet, x, top, row = Sheet(), 0.0, 0.0, 0.0
    for cell in cells:
        left, bottom, right, upper = cell.bounds
        if x and x + right - left > across:
            x, top, row = 0.0, top - row - GAP, 0.0
        sheet.add(cell, x - left, top - upper)
        x += right - left + GAP
        row = max(row, upper - bottom)
    return sheet
