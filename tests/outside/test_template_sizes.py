"""Templates measured in the coordinates of the PDF itself.

A unit of a page is 1/72 inch (ISO 32000-1:2008, 8.3.2.3), an inch 25.4 mm (NIST SP 811, 2008, B.6): 0.1 mm over
200 mm is the most that a printed template may be off before the printer adds its own error.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations
from typing import Any

import pikepdf
import pytest
from sample_plan import bookcase
from sample_sheet import BOOK, THEME

from planbook.drawing.svg import to_svg
from planbook.plan.templates import Template, TemplateKind
from planbook.publish.handout import Paper, handout
from planbook.publish.sheet import sheet
from planbook.publish.sheet_templates import template_pictures
from planbook.publish.typst_tree import TEMPLATES

POINT = 25.4 / 72
OFF = 0.1 / 200
USUAL = [("imperial", "letter"), ("imperial", "a4"), ("metric", "a4"), ("metric", "letter")]

Matrix = tuple[float, ...]
Segment = tuple[tuple[float, float], tuple[float, float]]


@cache
def pages(edition: str, paper: Paper) -> pikepdf.Pdf:
    """Return the template of the side's pin holes as it is printed."""
    plan = bookcase(edition)
    side = plan.part("side")
    template = Template(
        name="pin holes", kind=TemplateKind.SHEET, part="side", show=True, cuts=(),
        holes=(side.holes[0].group,), whole=False, note="", span=side.span,
    )  # fmt: skip
    plan = replace(plan, templates=(template,))
    drawn = dict(template_pictures(plan))
    data = sheet(plan, BOOK, pictures={key: picture.alt for key, picture in drawn.items()})
    svgs = {key: to_svg(picture, ids=key, medium="print") for key, picture in drawn.items()}
    return pikepdf.open(io.BytesIO(handout(data, svgs, paper=paper, theme_dir=THEME, main=TEMPLATES)))


def times(a: Matrix, b: Matrix) -> Matrix:
    """Return what it means to apply `a`, then `b` (ISO 32000-1, 8.3.4)."""
    return (
        a[0] * b[0] + a[1] * b[2], a[0] * b[1] + a[1] * b[3], a[2] * b[0] + a[3] * b[2], a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4], a[4] * b[1] + a[5] * b[3] + b[5],
    )  # fmt: skip


def segments(holder: Any, matrix: Matrix = (1, 0, 0, 1, 0, 0)) -> Iterator[Segment]:
    """Give every straight line of a page and of what is placed on it, in mm of paper."""

    def at(x: Any, y: Any) -> tuple[float, float]:
        x, y = float(x), float(y)
        m = here
        return (m[0] * x + m[2] * y + m[4]) * POINT, (m[1] * x + m[3] * y + m[5]) * POINT

    here, stack, last = matrix, [], (0.0, 0.0)
    for operands, operator in pikepdf.parse_content_stream(holder):
        name = str(operator)
        if name == "q":
            stack.append(here)
        elif name == "Q":
            here = stack.pop()
        elif name == "cm":
            here = times(tuple(map(float, operands)), here)
        elif name == "m":
            last = at(*operands)
        elif name == "l":
            point = at(*operands)
            yield last, point
            last = point
        elif name == "Do":
            form = (holder.Resources if hasattr(holder, "Resources") else holder.resources).XObject[operands[0]]
            if form.get("/Subtype") == "/Form":
                own = tuple(map(float, form.get("/Matrix", (1, 0, 0, 1, 0, 0))))
                yield from segments(form, times(own, here))


def level(found: list[Segment], length: float) -> list[tuple[float, float]]:
    """Return the middles of all level lines of a length."""
    return [
        ((a[0] + b[0]) / 2, a[1])
        for a, b in found
        if abs(a[1] - b[1]) < 1e-3 and abs(abs(a[0] - b[0]) - length) < max(length * OFF, 0.02)
    ]


@pytest.mark.parametrize(("edition", "paper"), USUAL)
def test_holes_on_a_tile_are_as_far_apart_as_in_the_plan(edition: str, paper: Paper) -> None:
    side = bookcase(edition).part("side")
    arm = 2 * (float(side.holes[0].diameter) / 2 + 3.0)
    places = sorted({float(hole.l) for hole in side.holes})
    rows = sorted({float(hole.w) for hole in side.holes})
    wanted = {round(b - a, 6) for a, b in combinations(places, 2)} | {round(rows[-1] - rows[0], 6), 0.0}
    far = 0.0
    for page in pages(edition, paper).pages:
        crosses = level(list(segments(page)), arm)
        for (x1, y1), (x2, y2) in combinations(crosses, 2):
            for apart in (abs(x2 - x1), abs(y2 - y1)):
                nearest = min(wanted, key=lambda one: abs(one - apart))
                assert abs(apart - nearest) <= max(nearest * OFF, 0.02)
                far = max(far, apart)
    assert far > 150


@pytest.mark.parametrize(("edition", "paper"), USUAL)
def test_check_lengths_are_true_in_both_directions(edition: str, paper: Paper) -> None:
    length = 152.4 if edition == "imperial" else 140.0
    file = pages(edition, paper)
    tiles = list(file.pages)[1:]
    for page in tiles:
        found = list(segments(page))
        assert level(found, length)
        assert level([((a[1], a[0]), (b[1], b[0])) for a, b in found], length)
    assert len(tiles) > 2
