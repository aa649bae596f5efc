"""SVG from a picture, by matplotlib's SVG renderer.

One compound path per kind of line and one small artist for all labels; afterwards one finishing
function turns the file into a fragment that can stand in a page beside others: no prolog, no global
style, unique ids, title and description. The same picture gives the same bytes every time.
"""

from __future__ import annotations

import io
import re
from functools import cache
from html import escape
from typing import TYPE_CHECKING, Any, Literal

from planbook.drawing.picture import HAND_GAP, Area, Label, Picture, Point, Stroke
from planbook.drawing.style import CIRCLE_DIAMETER, CIRCLE_LINE, LINES, LineKind, Shade
from planbook.drawing.text import FAMILY, em_size, text_width

if TYPE_CHECKING:
    from matplotlib.path import Path

Medium = Literal["print", "web"]

POINTS_PER_MM = 72 / 25.4
# Stand-ins that matplotlib carries through to the file and that nothing else writes.
_MARKS = {Shade.INK: "#010203", Shade.PAPER: "#fdfefd", Shade.TONE: "#c3c5c4"}
_COLOURS: dict[Medium, dict[Shade, str]] = {
    "print": {Shade.INK: "#000000", Shade.PAPER: "#ffffff", Shade.TONE: "#c4c4c4"},
    "web": {
        Shade.INK: "var(--ink, #15181c)",
        Shade.PAPER: "var(--paper, #fcfcfa)",
        Shade.TONE: "var(--tone, #c4c4c4)",
    },
}
_FAMILIES: dict[Medium, str] = {"print": f"'{FAMILY}'", "web": f"'{FAMILY}', Verdana, sans-serif"}


def to_svg(picture: Picture, *, ids: str, medium: Medium) -> str:
    """Return the picture as one `<svg>` element, sized in points with 1 mm being 1 mm on paper.

    `ids` begins every id and must be unique on the page. `web` writes colours as the custom
    properties `--ink`, `--paper` and `--tone` with fallbacks; `print` writes black, white and grey.
    """
    from matplotlib import rcParams
    from matplotlib.figure import Figure

    wide, high = (round(side * POINTS_PER_MM, 2) for side in (picture.width, picture.height))
    figure = Figure(figsize=(wide / 72, high / 72), dpi=72)
    figure.patch.set_visible(False)
    figure.add_artist(_painter(picture))
    raw = io.StringIO()
    before = rcParams["svg.fonttype"], rcParams["svg.hashsalt"]
    rcParams["svg.fonttype"], rcParams["svg.hashsalt"] = "none", "planbook"
    try:
        figure.savefig(raw, format="svg", metadata=_NO_METADATA)
    finally:
        rcParams["svg.fonttype"], rcParams["svg.hashsalt"] = before
    return _finish(raw.getvalue(), picture, ids, medium)


_NO_METADATA = {"Date": None, "Creator": None, "Format": None, "Type": None}
_KEPT = re.compile(r"<svg[^>]*>(.*)</svg>", re.DOTALL)
_DROPPED = re.compile(
    r"<metadata>.*?</metadata>|<defs>\s*<style.*?</defs>|<metadata/>|<!--.*?-->|</?g>|<g [^>]*>"
    r"|</g>|\n\s*",
    re.DOTALL,
)


def _finish(raw: str, picture: Picture, ids: str, medium: Medium) -> str:
    """Turn matplotlib's file into a fragment of ours."""
    kept = _KEPT.search(raw)
    body = _DROPPED.sub(lambda match: " " if match.group().isspace() else "", kept.group(1) if kept else "")
    body = body.replace("<text ", '<text text-anchor="middle" ')
    for shade, mark in _MARKS.items():
        body = body.replace(mark, _COLOURS[medium][shade])
    body = body.replace(f"'{FAMILY}'", _FAMILIES[medium])
    body = body.replace("stroke-linejoin: miter", "stroke-linejoin: miter; stroke-miterlimit: 6")
    body = re.sub(r"\s*(/?>)\s*<", r"\1\n<", re.sub(r" +(?= |\")", "", body)).strip()
    wide, high = (f"{round(side * POINTS_PER_MM, 2):g}" for side in (picture.width, picture.height))
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}pt" height="{high}pt" '
        f'viewBox="0 0 {wide} {high}" role="img" aria-labelledby="{ids}-t {ids}-d">'
    )
    words = (
        f'<title id="{ids}-t">{escape(picture.title)}</title>\n<desc id="{ids}-d">{escape(picture.alt)}</desc>'
    )
    return f"{head}\n{words}\n{body}\n</svg>\n"


@cache
def _painter_class() -> Any:
    """Return the artist class; made late, because its base class is slow to import."""
    from matplotlib.artist import Artist
    from matplotlib.font_manager import FontProperties
    from matplotlib.transforms import Affine2D

    to_points = Affine2D()

    class Painter(Artist):
        """Draws a whole picture by public calls of the renderer."""

        def __init__(self, picture: Picture) -> None:
            super().__init__()
            self.picture = picture
            self.high = round(picture.height * POINTS_PER_MM, 2)

        def draw(self, renderer: Any) -> None:
            picture = self.picture
            ink_last = sorted(picture.areas, key=lambda area: area.shade is Shade.INK)
            for area in ink_last:
                if area.shade is not Shade.INK:
                    self.fill(renderer, area)
            for kind in LineKind:
                strokes = [stroke for stroke in picture.strokes if stroke.kind is kind]
                if strokes:
                    self.lines(renderer, kind, strokes)
            for area in ink_last:
                if area.shade is Shade.INK:
                    self.fill(renderer, area)
            for label in picture.labels:
                self.label(renderer, label)

        def context(self, renderer: Any, width: float, dashes: tuple[float, ...] = ()) -> Any:
            context = renderer.new_gc()
            context.set_foreground(_MARKS[Shade.INK])
            context.set_linewidth(round(width * POINTS_PER_MM, 2))
            context.set_joinstyle("miter")
            context.set_capstyle("butt")
            if dashes:
                context.set_dashes(0, [round(length * POINTS_PER_MM, 2) for length in dashes])
            if dashes[:1] == (0.0,):
                context.set_capstyle("round")
            return context

        def lines(self, renderer: Any, kind: LineKind, strokes: list[Stroke]) -> None:
            style = LINES[kind]
            context = self.context(renderer, style.width, style.dashes)
            if not style.dashes:
                context.set_capstyle("projecting" if kind in _SHARP else "butt")
            renderer.draw_path(context, _path([(s.points, s.closed) for s in strokes]), to_points, None)
            context.restore()

        def fill(self, renderer: Any, area: Area) -> None:
            context = self.context(renderer, 0.0)
            rings = [(ring, True) for ring in (area.outer, *area.holes)]
            renderer.draw_path(context, _path(rings), to_points, _rgb(_MARKS[area.shade]))
            context.restore()

        def label(self, renderer: Any, label: Label) -> None:
            if label.circled:
                context = self.context(renderer, CIRCLE_LINE)
                circle = _circle((label.x, label.y), CIRCLE_DIAMETER / 2)
                renderer.draw_path(context, circle, to_points, _rgb(_MARKS[Shade.PAPER]))
                context.restore()
                if label.hand:
                    wide = text_width(label.hand, label.height, bold=True)
                    right = label.x + CIRCLE_DIAMETER / 2 + HAND_GAP + wide / 2
                    self.text(renderer, label.hand, (right, label.y), label.height, True)
            self.text(renderer, label.text, (label.x, label.y), label.height, label.bold)

        def text(self, renderer: Any, text: str, at: Point, height: float, bold: bool) -> None:
            size = round(em_size(height) * POINTS_PER_MM, 2)
            font = FontProperties(family=FAMILY, size=size, weight="bold" if bold else "normal")
            context = self.context(renderer, 0.0)
            x = round(at[0] * POINTS_PER_MM, 2)
            y = round(self.high - (at[1] - height / 2) * POINTS_PER_MM, 2)
            renderer.draw_text(context, x, y, text, font, 0)
            context.restore()

    return Painter


_SHARP = (LineKind.EDGE, LineKind.OUTLINE, LineKind.NEW_OUTLINE)
"""Kinds whose ends meet at corners: square caps close the notch that butt ends would leave."""


def _painter(picture: Picture) -> Any:
    return _painter_class()(picture)


def _rgb(colour: str) -> tuple[float, float, float]:
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return red, green, blue


def _path(polylines: list[tuple[tuple[Point, ...], bool]]) -> Path:
    """Return one compound path, in points, rounded to 0.01 pt so that files stay small."""
    import numpy as np
    from matplotlib.path import Path

    vertices: list[Point] = []
    codes: list[int] = []
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
    import numpy as np
    from matplotlib.path import Path

    unit = Path.unit_circle()
    middle = np.asarray(centre)
    path = Path(np.round((unit.vertices * radius + middle) * POINTS_PER_MM, 2), unit.codes)
    path.should_simplify = False
    return path
