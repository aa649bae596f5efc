"""What tells a reader how to take a drawing: the bar of its scale, and the sign of the projection."""

from __future__ import annotations

from math import cos, pi, sin
from typing import TYPE_CHECKING

from planbook.drawing.picture import Label, LabelKind, Point
from planbook.drawing.placing import word_label
from planbook.drawing.scales import Scale, scale_bar
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LEAST_HEIGHT, LineKind, Shade
from planbook.drawing.wording import size

if TYPE_CHECKING:
    from planbook.units.editions import Edition


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


def draw_scale_bar(sheet: Sheet, scale: Scale, edition: Edition, at: Point) -> None:
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
