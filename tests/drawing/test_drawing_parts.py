from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_plan import BACK, CASE, KICK, SHELVES, bookcase

from planbook.drawing.features import handedness, hands_of, rows_of
from planbook.drawing.hatching import hatch_lines
from planbook.drawing.measures import measures_of
from planbook.drawing.motion import moves_of
from planbook.drawing.segments import Segments
from planbook.drawing.style import LINES, LineKind
from planbook.drawing.text import CAP_UNITS, UNITS_PER_EM, em_size, missing_characters, text_width
from planbook.drawing.wording import listed
from planbook.shape import states

FONTS = Path(__file__).parents[2] / "themes" / "workshop" / "static" / "fonts"


@pytest.mark.parametrize(("name", "bold"), [("DejaVuSans.ttf", False), ("DejaVuSans-Bold.ttf", True)])
def test_widths_are_those_of_the_face_that_the_theme_serves(name: str, bold: bool) -> None:
    from fontTools.ttLib import TTFont

    font = TTFont(FONTS / name)
    names, advances = font.getBestCmap(), font["hmtx"]
    for text in ('16¹¹⁄₁₆"', "A L", "inside face up", "20 × 1190", "²³⁄₃₂", "°½−"):
        units = sum(advances[names[ord(char)]][0] for char in text)
        assert text_width(text, CAP_UNITS, bold=bold) == pytest.approx(units)
    assert font["head"].unitsPerEm == UNITS_PER_EM
    assert font["glyf"][names[ord("H")]].yMax == CAP_UNITS


def test_capitals_of_3_5_mm_are_set_in_13_6_pt() -> None:
    assert em_size(3.5) * 72 / 25.4 == pytest.approx(13.6, abs=0.05)


def test_characters_that_would_be_lost_on_paper_are_named() -> None:
    assert missing_characters('16¹¹⁄₁₆" × \u4e00 \u4e00') == "\u4e00"
    assert text_width("\u4e00", CAP_UNITS) == UNITS_PER_EM


def test_wide_and_narrow_lines_keep_two_to_one() -> None:
    """ISO 128-2:2020: groups 0.5/0.25."""
    assert LINES[LineKind.OUTLINE].width == 2 * LINES[LineKind.EDGE].width
    assert LINES[LineKind.NEW_OUTLINE].width > LINES[LineKind.OUTLINE].width
    assert LINES[LineKind.MOTION].dashes != LINES[LineKind.HIDDEN].dashes


def test_rows_of_holes_know_their_spacing() -> None:
    plan = bookcase("metric")
    rows = rows_of(plan.part("side"))
    assert [row.w for row in rows] == [50, 244]
    assert {row.every for row in rows} == {Fraction(32)}
    assert {len(row.places) for row in rows} == {21}


def test_hand_follows_from_where_the_part_stands() -> None:
    plan = bookcase()
    side = plan.part("side")
    assert hands_of(plan, side) == ("L", "R")
    assert handedness(plan, side, "L") == -handedness(plan, side, "R")
    assert handedness(plan, plan.part("bottom")) == 1


def test_measures_name_every_place_once_and_from_the_datum() -> None:
    plan = bookcase("metric")
    side = plan.part("side")
    dados = [cut for cut in side.cuts if cut.name == "shelf dados"]
    found = measures_of(side, dados, (), plan.edition)
    assert [(m.start, m.stop, m.text) for m in found] == [
        (0, 75, "75"),
        (75, 93, "18"),
        (0, 1147, "1147"),
        (1147, 1165, "18"),
    ]
    # The rabbet runs out at the back edge: its width says its place.
    rabbet = [cut for cut in side.cuts if cut.name == "back rabbet"]
    assert [(m.lengthwise, m.text) for m in measures_of(side, rabbet, (), plan.edition)] == [(False, "6")]
    stopped = replace(dados[0], box=replace(dados[0].box, w=(Fraction(20), Fraction(290))))
    assert (False, Fraction(20)) in [(m.lengthwise, m.stop) for m in measures_of(side, [stopped], (), plan.edition)]


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_parts_come_from_where_nothing_is_in_the_way(edition: str) -> None:
    plan = bookcase(edition)

    def ways(step: int) -> dict[str, tuple[int, int]]:
        moves = moves_of(plan, step, states.state_before(plan, step), states.new_in(plan, step))
        return {f"{m.placement.part} {m.placement.hand}".strip(): m.way for m in moves}

    assert ways(CASE) == {"side L": (0, -1), "side R": (0, 1)}
    assert ways(KICK) == {"kick board": (1, -1)}
    assert ways(BACK) == {"panel": (1, 1)}
    assert ways(SHELVES) == {"loose shelf": (1, -1)}


@given(st.floats(3, 60), st.floats(3, 60))
def test_hatching_fills_a_rectangle_evenly(wide: float, high: float) -> None:
    lines = hatch_lines([(0, 0), (wide, 0), (wide, high), (0, high)], spacing=1.6)
    total = sum(((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5 for a, b in lines)
    # Length of lines times their distance is the area, up to a strip along the rim.
    assert abs(total * 1.6 - wide * high) < 1.6 * (wide + high)
    for a, b in lines:
        assert b[0] - a[0] == pytest.approx(b[1] - a[1])


coordinate = st.integers(-20, 20).map(float)


@given(st.lists(st.tuples(coordinate, coordinate, coordinate, coordinate), min_size=1, max_size=8))
def test_fast_counts_agree_with_shapely(rows: list[tuple[float, float, float, float]]) -> None:
    from shapely import LineString, Point, box

    rows = [row for row in rows if row[:2] != row[2:]]
    found = Segments(2)
    for x1, y1, x2, y2 in rows[::2]:
        found.add((x1, y1), (x2, y2), 1)
    if rows[1::2]:
        found.extend(np.array(rows[1::2]), 1)
    lines = [LineString([row[:2], row[2:]]) for row in rows]
    boxes = [(-5, -3, 6, 4), (3.5, 3.5, 30, 5.25), (-0.5, -21, 0.5, 21)]
    through = [sum(line.intersection(box(*area).buffer(-1e-9)).length > 1e-6 for line in lines) for area in boxes]
    assert found.in_boxes(np.array(boxes, dtype=float))[:, 1].tolist() == through
    spots = [(1.5, 2.25), (-12.25, 7.5)]
    close = [sum(line.distance(Point(*spot)) < 4.0 for line in lines) for spot in spots]
    assert found.near(np.array(spots), 4.0)[:, 1].tolist() == close
    probes = [(-7.3, -9.1, 8.7, 11.3), (-19.3, 0.7, 18.9, 3.1)]
    crossed = [sum(line.crosses(LineString([probe[:2], probe[2:]])) for line in lines) for probe in probes]
    assert found.crossing(np.array(probes)).tolist() == [[0, count] for count in crossed]


def test_counts_of_nothing_are_zero() -> None:
    none = Segments(2)
    assert none.in_boxes(np.array([[0.0, 0.0, 1.0, 1.0]])).tolist() == [[0, 0]]
    assert none.near(np.array([[0.0, 0.0]]), 1.0).tolist() == [[0, 0]]
    assert none.crossing(np.array([[0.0, 0.0, 1.0, 1.0]])).tolist() == [[0, 0]]


def test_lists_in_sentences() -> None:
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"
