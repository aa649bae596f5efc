"""The artist that draws a whole picture by public calls of a matplotlib renderer.

This module imports matplotlib; only the SVG writer imports it, when it writes.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.font_manager import FontProperties
from matplotlib.path import Path
from matplotlib.transforms import Affine2D

from planbook.drawing.picture import HAND_GAP, Area, Label, Picture, Point, Stroke, signed_area
from planbook.drawing.style import CIRCLE_DIAMETER, CIRCLE_LINE, LINES, LineKind, Shade
from planbook.drawing.text import FAMILY, em_size, text_width

POINTS_PER_MM = 72 / 25.4
MARKS = {Shade.INK: "#010203", Shade.PAPER: "#fdfefd", Shade.TONE: "#c3c5c4"}
"""Stand-ins for colours, which matplotlib carries through to the file and nothing else writes."""
SHARP = (LineKind.EDGE, LineKind.OUTLINE, LineKind.NEW_OUTLINE)
"""Kinds whose ends meet at corners: square caps close the notch that butt ends would leave."""
_TO_POINTS = Affine2D()


class Painter(Artist):
    """Draws a whole picture by public calls of the renderer."""

    def __init__(self, picture: Picture) -> None:
        super().__init__()
        self.picture = picture
        self.high = round(picture.height * POINTS_PER_MM, 2)

    def draw(self, renderer: Any) -> None:
        """Draw areas, lines by kind from thin to thick, ink, and labels on top."""
        picture = self.picture
        # Paper may lie on tone, and tone on paper: runs of one shade keep their order.
        below = [area for area in picture.areas if area.shade is not Shade.INK]
        for shade, areas in groupby(below, key=lambda area: area.shade):
            self._draw_fill(renderer, shade, areas)
        for kind in LineKind:
            strokes = [stroke for stroke in picture.strokes if stroke.kind is kind]
            if strokes:
                self._draw_lines(renderer, kind, strokes)
        self._draw_fill(renderer, Shade.INK, [area for area in picture.areas if area.shade is Shade.INK])
        for label in picture.labels:
            self._draw_label(renderer, label)

    def _pen(self, renderer: Any, width: float, dashes: tuple[float, ...] = ()) -> Any:
        context = renderer.new_gc()
        context.set_foreground(MARKS[Shade.INK])
        context.set_linewidth(round(width * POINTS_PER_MM, 2))
        context.set_joinstyle("miter")
        context.set_capstyle("butt")
        if dashes:
            context.set_dashes(0, [round(length * POINTS_PER_MM, 2) for length in dashes])
        if dashes[:1] == (0.0,):
            context.set_capstyle("round")
        return context

    def _draw_lines(self, renderer: Any, kind: LineKind, strokes: list[Stroke]) -> None:
        style = LINES[kind]
        context = self._pen(renderer, style.width, style.dashes)
        if not style.dashes:
            context.set_capstyle("projecting" if kind in SHARP else "butt")
        renderer.draw_path(context, _path([(s.points, s.closed) for s in strokes]), _TO_POINTS, None)
        context.restore()

    def _draw_fill(self, renderer: Any, shade: Shade, areas: Iterable[Area]) -> None:
        """Fill areas as one path; outlines run one way and holes the other, as the rule `nonzero` wants it."""
        rings = []
        for area in areas:
            rings.append((_turned(area.outer, 1), True))
            rings += [(_turned(hole, -1), True) for hole in area.holes]
        if rings:
            context = self._pen(renderer, 0.0)
            renderer.draw_path(context, _path(rings), _TO_POINTS, _rgb(MARKS[shade]))
            context.restore()

    def _draw_label(self, renderer: Any, label: Label) -> None:
        if label.circled:
            context = self._pen(renderer, CIRCLE_LINE)
            circle = _circle((label.x, label.y), CIRCLE_DIAMETER / 2)
            renderer.draw_path(context, circle, _TO_POINTS, _rgb(MARKS[Shade.PAPER]))
            context.restore()
            if label.hand:
                wide = text_width(label.hand, label.height, bold=True)
                right = label.x + CIRCLE_DIAMETER / 2 + HAND_GAP + wide / 2
                self._draw_text(renderer, label.hand, (right, label.y), label.height, True)
        shade = Shade.PAPER if label.on_ink else Shade.INK
        self._draw_text(renderer, label.text, (label.x, label.y), label.height, label.bold, shade=shade)

    def _draw_text(
        self, renderer: Any, text: str, at: Point, height: float, bold: bool, *, shade: Shade = Shade.INK
    ) -> None:
        size = round(em_size(height) * POINTS_PER_MM, 2)
        font = FontProperties(family=FAMILY, size=size, weight="bold" if bold else "normal")
        context = self._pen(renderer, 0.0)
        context.set_foreground(MARKS[shade])
        x = round(at[0] * POINTS_PER_MM, 2)
        y = round(self.high - (at[1] - height / 2) * POINTS_PER_MM, 2)
        renderer.draw_text(context, x, y, text, font, 0)
        context.restore()


def _turned(ring: tuple[Point, ...], sign: int) -> tuple[Point, ...]:
    """Return a ring that runs anticlockwise for sign 1, clockwise for -1."""
    return ring if signed_area(ring) * sign > 0 else ring[::-1]


def _rgb(colour: str) -> tuple[float, float, float]:
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return red, green, blue


def _path(polylines: list[tuple[tuple[Point, ...], bool]]) -> Path:
    """Return one compound path, in points, rounded to 0.01 pt so that files stay small."""
    vertices: list[Point] = []
    codes: list[Any] = []
    for points, closed in polylines:
        vertices += points
        codes += [Path.MOVETO] + [Path.LINETO] * (len(points) - 1)
        if closed:
            vertices.append(points[0])
            codes.append(Path.CLOSEPOLY)
    path = Path(np.round(np.asarray(vertices) * POINTS_PER_MM, 2), codes)
    path.should_simplify = False
    return path


def _circle(centre: Point, radius: float) -> Path:
    unit = Path.unit_circle()
    middle = np.asarray(centre)
    path = Path(np.round((np.asarray(unit.vertices) * radius + middle) * POINTS_PER_MM, 2), unit.codes)
    path.should_simplify = False
    return path
