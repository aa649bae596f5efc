"""SVG from a picture, by matplotlib's SVG renderer.

One compound path per kind of line and one small artist for all labels; afterwards one finishing
function turns the file into a fragment that can stand in a page beside others: no prolog, no global
style, unique ids, title and description. The same picture gives the same bytes every time.
"""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from html import escape
from typing import Literal

from planbook.drawing.picture import Picture
from planbook.drawing.style import Shade
from planbook.drawing.text import FAMILY

Medium = Literal["print", "web"]

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
    return to_svgs(picture, ids=ids, media=(medium,))[medium]


def to_svgs(picture: Picture, *, ids: str, media: Sequence[Medium]) -> dict[Medium, str]:
    """Return what `to_svg` gives for each medium, painted once."""
    fragment = _fragment(_painted(picture), picture, ids)
    return {medium: _coloured(fragment, medium) for medium in media}


def _painted(picture: Picture) -> str:
    """Return matplotlib's file."""
    from matplotlib import rcParams
    from matplotlib.figure import Figure

    from planbook.drawing.painter import POINTS_PER_MM, Painter

    wide, high = (round(side * POINTS_PER_MM, 2) for side in (picture.width, picture.height))
    figure = Figure(figsize=(wide / 72, high / 72), dpi=72)
    figure.patch.set_visible(False)
    figure.add_artist(Painter(picture))
    raw = io.StringIO()
    before = rcParams["svg.fonttype"], rcParams["svg.hashsalt"]
    rcParams["svg.fonttype"], rcParams["svg.hashsalt"] = "none", "planbook"
    try:
        figure.savefig(raw, format="svg", metadata=_NO_METADATA)
    finally:
        rcParams["svg.fonttype"], rcParams["svg.hashsalt"] = before
    return raw.getvalue()


_NO_METADATA = {"Date": None, "Creator": None, "Format": None, "Type": None}
_KEPT = re.compile(r"<svg[^>]*>(.*)</svg>", re.DOTALL)
_DROPPED = re.compile(
    r"<metadata>.*?</metadata>|<defs>\s*<style.*?</defs>|<metadata/>|<!--.*?-->|</?g>|<g [^>]*>"
    r"|</g>|\n\s*",
    re.DOTALL,
)


def _fragment(raw: str, picture: Picture, ids: str) -> str:
    """Turn matplotlib's file into a fragment of ours, with marks for colours and faces."""
    from planbook.drawing.painter import POINTS_PER_MM

    kept = _KEPT.search(raw)
    body = _DROPPED.sub(lambda match: " " if match.group().isspace() else "", kept.group(1) if kept else "")
    body = body.replace("<text ", '<text text-anchor="middle" ')
    body = body.replace("stroke-linejoin: miter", "stroke-linejoin: miter; stroke-miterlimit: 6")
    body = re.sub(r"\s*(/?>)\s*<", r"\1\n<", re.sub(r" +(?= |\")", "", body)).strip()
    wide, high = (f"{round(side * POINTS_PER_MM, 2):g}" for side in (picture.width, picture.height))
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}pt" height="{high}pt" '
        f'viewBox="0 0 {wide} {high}" role="img" aria-labelledby="{ids}-t {ids}-d">'
    )
    words = f'<title id="{ids}-t">{escape(picture.title)}</title>\n<desc id="{ids}-d">{escape(picture.alt)}</desc>'
    return f"{head}\n{words}\n{body}\n</svg>\n"


def _coloured(fragment: str, medium: Medium) -> str:
    """Return a fragment with the colours and faces of a medium."""
    from planbook.drawing.painter import MARKS

    for shade, mark in MARKS.items():
        fragment = fragment.replace(mark, _COLOURS[medium][shade])
    return fragment.replace(f"'{FAMILY}'", _FAMILIES[medium])
