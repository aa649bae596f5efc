"""Drawings against published conventions, read back from the SVG as it is printed.

Line widths: ISO 128-2:2020, wide and narrow continuous lines in the ratio 2 : 1, groups 0.5/0.25 and 0.7/0.35;
at least 0.7 mm between parallel lines. Heights of lettering: ISO 3098-1, 2.5 - 3.5 - 5 ... mm, of which capitals
of 3.5 mm are used for sizes (the series from memory).
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

import pytest
from fixtures.target_books import target_plan
from sample_plan import bookcase

from planbook.drawing.part import part_picture
from planbook.drawing.svg import to_svg
from planbook.drawing.three_view import main_heights, three_view_picture
from planbook.plan.model import Plan
from planbook.units.write import read_back

SVG = "{http://www.w3.org/2000/svg}"
POINT = 25.4 / 72
# Height of capitals of DejaVu Sans for each unit of type size: 1493 / 2048 (read from the face).
CAPITAL = 1493 / 2048

PLANS = {
    f"{name} {edition}": plan(edition)
    for name, plan in (
        ("case", bookcase),
        ("stool", lambda edition: target_plan("b", edition)),
        ("table", lambda edition: target_plan("c", edition)),
    )
    for edition in ("imperial", "metric")
}


def svgs(plan: Plan) -> Iterator[ET.Element]:
    """Give the views of a piece and the drawings of its parts, as they are printed."""
    yield ET.fromstring(to_svg(three_view_picture(plan), ids="v", medium="print"))
    for part in plan.parts:
        if part.cuts or part.holes or part.shape is not None:
            yield ET.fromstring(to_svg(part_picture(plan, part.key), ids="p", medium="print"))


def widths(svg: ET.Element) -> set[float]:
    """Return the widths of lines in mm."""
    found = re.findall(r"stroke-width: ([\d.]+)", ET.tostring(svg, encoding="unicode"))
    return {round(float(one) * POINT, 2) for one in found}


def texts(svg: ET.Element) -> list[tuple[str, float]]:
    """Return every label that is not bold with the height of its capitals in mm: letters and numbers of holes are."""
    found = []
    for text in svg.iter(f"{SVG}text"):
        if "font-weight: 700" in (text.get("style") or ""):
            continue
        size = re.search(r"([\d.]+)px", f"{text.get('style')} {text.get('font-size')}px")
        assert size is not None
        found.append(("".join(text.itertext()), float(size[1]) * POINT * CAPITAL))
    return found


@pytest.mark.parametrize("name", PLANS)
def test_wide_lines_are_twice_as_wide_as_narrow_ones(name: str) -> None:
    for svg in svgs(PLANS[name]):
        found = widths(svg)
        assert {0.5, 0.25} <= found
        assert all(0.17 < width <= 0.65 for width in found)


@pytest.mark.parametrize("name", PLANS)
def test_sizes_are_lettered_3_5_mm_high_and_nothing_below_2_4(name: str) -> None:
    for svg in svgs(PLANS[name]):
        for text, high in texts(svg):
            assert high > 2.39, text
            if text.endswith('"') and " " not in text and high < 3.4:
                # Only the figures under a scale bar are smaller.
                assert high == pytest.approx(2.4, abs=0.05)


def lengths(plan: Plan) -> set[Fraction]:
    """Return every size and place in mm that a drawing of parts may carry, from the plan itself."""
    found = set(plan.overall) | {value for _, value in main_heights(plan)}
    for part in plan.parts:
        found |= {part.length.final, part.width.final, part.thick}
        for box in [cut.box for cut in part.cuts] + [strip.box for strip in part.edgings]:
            for low, high in (box.l, box.w, box.t):
                found |= {low, high, high - low}
        for hole in part.holes:
            found |= {hole.l, hole.w, hole.diameter, hole.deep or Fraction(0)}
        places = sorted({hole.l for hole in part.holes})
        found |= {b - a for a, b in pairwise(places)}
        if part.sawn_at is not None and part.sawn_at.line is not None:
            # Across a part with natural edges everything is measured from its chalk line.
            places = [hole.w for hole in part.holes] + [w for cut in part.cuts for w in cut.box.w]
            found |= {abs(w - part.sawn_at.line) for w in places}
        for station in getattr(part.shape, "stations", ()):
            found |= {station.at, station.size}
        found |= {ease.size for ease in part.eased}
    return found


def numbers(text: str, edition: str) -> list[str]:
    """Return the sizes in a label of a drawing."""
    if edition == "metric":
        return re.findall(r"(?<![\d:.°])\d+(?:[.,]\d+)?(?![\d°])", text)
    return re.findall(r'\d*[⁰¹²³⁴-⁹]+⁄[₀-₉]+"|\d+"', text)


@pytest.mark.parametrize("name", PLANS)
def test_every_size_in_a_drawing_is_a_size_of_the_plan(name: str) -> None:
    plan = PLANS[name]
    edition = plan.edition.name
    known = lengths(plan)
    step = plan.edition.resolution
    checked = 0
    for svg in svgs(plan):
        for text, high in texts(svg):
            # Left out: the scale with its bar, numbers of holes, and spans told as equal spaces.
            if high < 2.5 or re.search(r"scale|equal|:|half size|full size", text):
                continue
            for number in numbers(re.sub(r"\d+ × (?=\d)", "", text), edition):
                value = read_back(number, plan.edition)
                assert any(abs(value - one) <= step / 2 for one in known), (text, number)
                checked += 1
    assert checked > 10
