"""Front, side and top in third angle, each with its name, with overall sizes and the main heights."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from planbook.drawing.dimension import dimension
from planbook.drawing.picture import Label, LabelKind, Picture, Point
from planbook.drawing.placing import word_label
from planbook.drawing.scale_marks import draw_scale_bar, third_angle_sign
from planbook.drawing.scales import Scale, scales_of
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import (
    EXTENSION_GAP,
    EXTENSION_OVERSHOOT,
    MARGIN,
    SIZE_HEIGHT,
    STACK,
    STROKE_LENGTH,
    WIDTH,
    LineKind,
)
from planbook.drawing.text import text_width
from planbook.drawing.views import Views
from planbook.drawing.wording import listed, overall_words, sentence, size, spoken
from planbook.plan.model import Plan, Role
from planbook.shape import arrange, states
from planbook.shape.direction import FRONT, SIDE, TOP
from planbook.shape.view import Kind, View

BESIDE, ABOVE = 12.0, 16.0
"""mm between the front and the side, and between the front and the top, whose name stands there."""
LEAST_APART = 4.8
"""mm between the middles of two heights that are written one above the other."""
MOST_HEIGHTS = 6
SHORT = 0.3
"""mm: shorter lines are left out."""


def three_view_picture(
    plan: Plan, *, width: float = WIDTH, height: float = 200.0, views: Views | None = None
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
    return wide + deep + BESIDE + STACK < width and high + deep + ABOVE + 3 * STACK < height


def _drawn(plan: Plan, views: Sequence[View], scale: Scale, heights: tuple[tuple[str, Fraction], ...]) -> Sheet:
    around = arrange.overall(plan)
    x0, y0, z0 = (float(value) for value in around.low)
    wide, deep, high = (float(value) * scale.factor for value in around.size)
    f = scale.factor
    sheet = Sheet()
    # The lower left corner of the front stands at the origin.
    side_x, top_y = wide + BESIDE, high + ABOVE
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
    draw_scale_bar(sheet, scale, plan.edition, (0.0, -27.0))
    return sheet


def _heights(sheet: Sheet, heights: Sequence[tuple[float, str]]) -> None:
    """Write heights at their own level beside a line that rises from the floor, as a story stick has them."""
    line = -8.0
    sheet.line(LineKind.DIMENSION, (line, -1.2), (line, heights[-1][0] + 1.2))
    last = float("-inf")
    for y, text in ((0.0, "0"), *heights):
        sheet.line(LineKind.DIMENSION, (-EXTENSION_GAP, y), (line - EXTENSION_OVERSHOOT, y))
        sheet.line(LineKind.STROKE, (line - STROKE_LENGTH / 3, y - STROKE_LENGTH / 3),
                   (line + STROKE_LENGTH / 3, y + STROKE_LENGTH / 3))  # fmt: skip
        middle = max(y, last + LEAST_APART)
        right = line - EXTENSION_OVERSHOOT - 1.0
        if middle > y:
            sheet.line(LineKind.DIMENSION, (line - EXTENSION_OVERSHOOT, y), (right - 1.5, middle))
            right -= 2.0
        x = right - text_width(text, SIZE_HEIGHT) / 2
        sheet.label(Label(kind=LabelKind.SIZE, text=text, x=x, y=middle, height=SIZE_HEIGHT))
        last = middle


def main_heights(plan: Plan) -> tuple[tuple[str, Fraction], ...]:
    """Return heights above the floor, each once, rising: undersides of lying parts, and the highest upper face.

    What is poured has none of its own, and the overall height stands elsewhere.
    """
    around = arrange.overall(plan)
    floor, high = around.low[2], around.high[2]
    found: dict[Fraction, str] = {}
    upper: dict[Fraction, str] = {}
    for place in plan.placements:
        part = plan.part(place.part)
        if place.axes[2] not in ("+z", "-z") or place.turn is not None or part.role is Role.FILL:
            continue
        low, top = sorted(
            arrange.to_assembly(place, (Fraction(0), Fraction(0), t))[2] for t in (Fraction(0), part.thick)
        )
        upper.setdefault(top, f"upper face of {place.part}")
        if low > floor:
            found.setdefault(low - floor, f"underside of {place.part}")
    rising = sorted(found.items())[:MOST_HEIGHTS]
    highest = max(upper, default=high)
    if highest < high and highest - floor not in found:
        rising.append((highest - floor, upper[highest]))
    return tuple((name, value) for value, name in rising)


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
    down, right = (0.0, -1.0), (1.0, 0.0)
    if heights:
        _heights(sheet, [(float(value) * f, size(value, edition)) for _, value in heights])
    dimension(sheet, (0.0, 0.0), (wide, 0.0), sizes[0], away=down, first=9.0)
    dimension(sheet, (side_x, 0.0), (side_x + deep, 0.0), sizes[1], away=down, first=9.0)
    dimension(sheet, (side_x + deep, 0.0), (side_x + deep, high), sizes[2], away=right)
