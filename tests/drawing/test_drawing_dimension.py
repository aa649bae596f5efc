from __future__ import annotations

from math import atan2, cos, degrees, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planbook.drawing.dimension import dimension, make_dimension
from planbook.drawing.picture import boxes_overlap, distance, segment_meets_box
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LineKind


def test_number_stands_in_a_gap_of_its_line() -> None:
    placed = make_dimension((0, 0), (60, 0), '16¹⁄₂"', away=(0, -1), offset=10)
    (first, left), (right, last) = placed.lines
    box = placed.label.box
    assert left[0] < box[0] < box[2] < right[0]
    assert placed.label.y == pytest.approx(-10)
    assert first[0] < 0
    assert last[0] > 60
    assert placed.span == ((0, -10), (60, -10))


def test_number_without_room_goes_outside_on_the_line_made_longer() -> None:
    sheet = Sheet()
    placed = dimension(sheet, (0, 0), (3, 0), '²³⁄₃₂"', away=(0, -1))
    assert placed.label.box[0] > 3
    assert len(placed.lines) == 1
    before = dimension(Sheet(), (0, 0), (3, 0), '²³⁄₃₂"', away=(0, -1), outside=-1)
    assert before.label.box[2] < 0


@given(st.integers(0, 359), st.floats(20, 80), st.sampled_from(['47"', "1190", '16¹¹⁄₁₆"', "75"]))
def test_no_number_touches_its_own_line_in_any_direction(turn: int, length: float, text: str) -> None:
    angle = radians(turn)
    end = (length * cos(angle), length * sin(angle))
    placed = dimension(Sheet(), (0.0, 0.0), end, text, away=(-sin(angle), cos(angle)))
    for a, b in (*placed.lines, *placed.extensions):
        assert not segment_meets_box(a, b, placed.label.box)
    assert distance(*placed.span) == pytest.approx(length, rel=1e-6)
    for a, b in placed.strokes:
        stroke = degrees(atan2(b[1] - a[1], b[0] - a[0]))
        assert abs((stroke - turn) % 90 - 45) < 1e-6


def test_extension_lines_keep_a_gap_and_pass_the_line() -> None:
    placed = make_dimension((0, 0), (60, 0), "60", away=(0, -1), offset=10)
    for (x, foot), (_, head) in placed.extensions:
        assert x in (0, 60)
        assert foot == pytest.approx(-1.5)
        assert head == pytest.approx(-12)


@given(st.lists(st.floats(5, 100), min_size=2, max_size=6, unique_by=lambda x: round(x)))
def test_dimensions_from_one_datum_are_stacked_without_overlap(places: list[float]) -> None:
    sheet = Sheet()
    placed = [dimension(sheet, (0, 0), (x, 0), f"{x:.0f}", away=(0, -1), outside=-1) for x in sorted(places)]
    levels = [round(one.span[0][1], 3) for one in placed]
    assert len(set(levels)) == len(levels)
    assert all(level % 10 == pytest.approx(0, abs=1e-6) for level in levels)
    for place, one in enumerate(placed):
        for other in placed[place + 1 :]:
            assert not boxes_overlap(one.label.box, other.label.box)


def test_a_chain_shares_one_line() -> None:
    sheet = Sheet()
    first = dimension(sheet, (0, 0), (40, 0), "40", away=(0, -1))
    second = dimension(sheet, (40, 0), (90, 0), "50", away=(0, -1))
    assert first.span[1] == second.span[0]


def test_a_dimension_avoids_wood_and_labels_in_its_way() -> None:
    sheet = Sheet()
    sheet.line(LineKind.OUTLINE, (-10, -10), (70, -10))
    placed = dimension(sheet, (0, 0), (60, 0), "60", away=(0, -1))
    assert placed.span[0][1] == pytest.approx(-20)


def test_feet_at_different_depths_keep_the_line_level() -> None:
    placed = make_dimension((0, 0), (60, -4), "60", away=(0, -1), offset=10)
    (_, y1), (_, y2) = placed.span
    assert y1 == pytest.approx(y2)
