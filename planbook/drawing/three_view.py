"""Front, side and top in third angle, each with its name, with overall sizes and the main heights."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import cos, pi, sin
from typing import TYPE_CHECKING

from planbook.drawing.dimension import dimension
from planbook.drawing.picture import Label, LabelKind, Picture, Point
from planbook.drawing.placing import word_label
from planbook.drawing.scales import Scale, scale_bar, scales_of
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LEAST_HEIGHT, MARGIN, STACK, LineKind, Shade
from planbook.drawing.views import Views
from planbook.drawing.wording import listed, overall_words, sentence, size, spoken
from planbook.plan.model import Plan
from planbook.shape import arrange, states
from planbook.shape.direction import FRONT, SIDE, TOP
from planbook.shape.view import Kind, View

if TYPE_CHECKING:
    from planbook.units.editions import Edition

BETWEEN = 24.0
"""mm between two views: the room for one dimension line and a name."""
MOST_HEIGHTS = 6
SHORT = 0.3
"""mm: shorter lines are left out."""


def three_view_picture(
    plan: Plan, *, width: float = 180.0, height: float = 190.0, views: Views | None = None
) -> Picture:
    """Return front, right side and top of the finished piece at one standard scale.

    Third angle: the top stands above the front and the right side to its right; the sign says so.
    Heights run from the floor. Hidden edges are dashed in the side view, where they show the joints.
    """
    bodies = (views or Views(plan)).solids.bodies(states.finished(plan), holes=False)
    three = [View(bodies, direction) for direction in (FRONT, SIDE, TOP)]
    heights = main_heights(plan)
    for scale in scales_of(plan.edition):
        if not _may_fit(plan, scale, width, height):
            continue
        sheet = _drawn(plan, three, scale, heights)
        left, bottom, right, top = sheet.bounds
        if right - left <= width - 2 * MARGIN and top - bottom <= height - 2 * MARGIN:
            break
    alt = sentence(
        f"Front, right side and top of {plan.title} in third angle, {overall_words(plan)}",
        f"Heights above the floor: {listed(f'{name} {spoken(value, plan.edition)}' for name, value in heights)}"
        if heights
        else "",
        f"Scale {scale.text}",
    )
    return sheet.picture(title=f"{plan.title}: front, side and top", alt=alt, width=width, scale=scale.text)


def _may_fit(plan: Plan, scale: Scale, width: float, height: float) -> bool:
    """Whether the three views alone fit: a quick test before they are drawn."""
    wide, deep, high = (float(value) * scale.factor for value in arrange.overall(plan).size)
    return wide + deep + BETWEEN + STACK < width and high + deep + BETWEEN + 3 * STACK < height


def _drawn(plan: Plan, views: Sequence[View], scale: Scale, heights: tuple[tuple[str, Fraction], ...]) -> Sheet:
    around = arrange.overall(plan)
    x0, y0, z0 = (float(value) for value in around.low)
    wide, deep, high = (float(value) * scale.factor for value in around.size)
    f = scale.factor
    sheet = Sheet()
    # The lower left corner of the front stands at the origin.
    side_x, top_y = wide + BETWEEN, high + BETWEEN
    _draw(sheet, views[0], f, (-x0 * f, -z0 * f), hidden=False)
    _draw(sheet, views[1], f, (side_x - y0 * f, -z0 * f), hidden=True)
    _draw(sheet, views[2], f, (-x0 * f, top_y - y0 * f), hidden=False)
    _sizes(sheet, plan, f, side_x, heights)
    for text, at in (
        ("front", (wide / 2, -17.0)),
        ("right side", (side_x + deep / 2, -17.0)),
        ("top", (wide / 2, top_y - 6.0)),
    ):
        sheet.label(word_label(text, at, kind=LabelKind.VIEW))
    third_angle_sign(sheet, (side_x + max(deep / 2 - 12.0, 0.0), top_y + deep / 2))
    _bar(sheet, scale, plan.edition, (0.0, -27.0))
    return sheet


def main_heights(plan: Plan) -> tuple[tuple[str, Fraction], ...]:
    """Return the heights above the floor of the undersides of lying parts, each once, rising."""
    floor = arrange.overall(plan).low[2]
    found: dict[Fraction, str] = {}
    for place in plan.placements:
        if place.axes[2] in ("+z", "-z"):
            part = plan.part(place.part)
            low = min(arrange.to_assembly(place, (Fraction(0), Fraction(0), t))[2] for t in (Fraction(0), part.thick))
            if low > floor:
                found.setdefault(low - floor, f"underside of {place.part}")
    rising = sorted(found.items())
    return tuple((name, value) for value, name in rising[:MOST_HEIGHTS])


def _draw(sheet: Sheet, view: View, f: float, move: Point, *, hidden: bool) -> None:
    lines = view.state()

    def paper(point: Point) -> Point:
        return point[0] * f + move[0], point[1] * f + move[1]

    for piece in lines.visible:
        kind = LineKind.OUTLINE if piece.kind is Kind.OUTLINE else LineKind.EDGE
        sheet.line(kind, paper(piece.start), paper(piece.end))
    if hidden:
        for piece in lines.hidden:
            a, b = paper(piece.start), paper(piece.end)
            if abs(a[0] - b[0]) + abs(a[1] - b[1]) > SHORT:
                sheet.line(LineKind.HIDDEN, a, b)


def _sizes(sheet: Sheet, plan: Plan, f: float, side_x: float, heights: tuple[tuple[str, Fraction], ...]) -> None:
    edition = plan.edition
    around = arrange.overall(plan)
    wide, deep, high = (float(value) * f for value in around.size)
    sizes = [size(value, edition) for value in around.size]
    down, left, right = (0.0, -1.0), (-1.0, 0.0), (1.0, 0.0)
    for _, value in heights:
        dimension(sheet, (0.0, 0.0), (0.0, float(value) * f), size(value, edition), away=left, outside=-1)
    dimension(sheet, (0.0, 0.0), (wide, 0.0), sizes[0], away=down, first=9.0)
    dimension(sheet, (side_x, 0.0), (side_x + deep, 0.0), sizes[1], away=down, first=9.0)
    dimension(sheet, (side_x + deep, 0.0), (side_x + deep, high), sizes[2], away=right)


def third_angle_sign(sheet: Sheet, at: Point) -> None:
    """Draw the sign of third-angle projection: the frustum with its smaller end toward its end view.

    Shape after ISO 128 / ASME Y14.3 (from memory): two circles at the left, the cone at the right.
    """
    x, y = at
    small, large, long = 2.4, 4.8, 9.0
    for radius in (small / 2, large / 2):
        ring = [(x + radius * cos(2 * pi * k / 36), y + radius * sin(2 * pi * k / 36)) for k in range(36)]
        sheet.line(LineKind.GRAIN, *ring, closed=True)
    left = x + large / 2 + 3.0
    cone = ((left, y - small / 2), (left + long, y - large / 2), (left + long, y + large / 2), (left, y + small / 2))
    sheet.line(LineKind.GRAIN, *cone, closed=True)
    sheet.line(LineKind.CENTRE, (x - large / 2 - 1.5, y), (left + long + 1.5, y))
    sheet.line(LineKind.CENTRE, (x, y - large / 2 - 1.5), (x, y + large / 2 + 1.5))


def _bar(sheet: Sheet, scale: Scale, edition: Edition, at: Point) -> None:
    """Draw the scale bar: halves filled in turn, so that it survives a copy at the wrong size."""
    bar = scale_bar(scale, edition)
    x, y = at
    step = float(bar.step) * scale.factor
    for number in range(bar.steps):
        ring = [(x + step * (number + a), y + b) for a, b in ((0.0, 0.0), (1.0, 0.0), (1.0, 1.6), (0.0, 1.6))]
        if number % 2 == 0:
            sheet.area(Shade.INK, ring)
        sheet.line(LineKind.EDGE, *ring, closed=True)
    for number in (0, 1, bar.steps):
        text = size(bar.step * number, edition) if number else "0"
        sheet.label(Label(kind=LabelKind.MARK, text=text, x=x + step * number, y=y - 3.0, height=LEAST_HEIGHT))
    words = word_label(f"scale {scale.text}", (0.0, 0.0))
    half = (words.box[2] - words.box[0]) / 2
    sheet.label(word_label(words.text, (x + step * bar.steps + 8.0 + half, y)))
