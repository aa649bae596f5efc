"""The drawing of wide boards over the year."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.drawing.picture import LabelKind
from planbook.drawing.season import MOST, Swing, Year, season
from planbook.drawing.style import LineKind

YEAR = Year(built="8 %", driest="5.9 %", dampest="10.5 %", driest_month=1, dampest_month=7)


def swing(letter: str, shrinks: float, swells: float) -> Swing:
    return Swing(letter=letter, shrinks_mm=shrinks, swells_mm=swells, shrinks='⁵⁄₆₄"', swells='³⁄₃₂"')


def test_a_board_is_drawn_so_many_times_as_large_as_is_told() -> None:
    picture = season("a bench", [swing("G", 2.0, 2.4)], YEAR)
    (curve,) = (stroke for stroke in picture.strokes if stroke.kind is LineKind.NEW_OUTLINE)
    heights = [y for _, y in curve.points]
    assert max(heights) - min(heights) == pytest.approx(10 * 4.4)
    assert "drawn 10 times as large" in [label.text for label in picture.labels]


def test_it_is_lowest_in_the_driest_month_and_highest_in_the_dampest() -> None:
    (curve,) = (s for s in season("a bench", [swing("G", 2, 2)], YEAR).strokes if s.kind is LineKind.NEW_OUTLINE)
    months = {
        label.x: place
        for place, label in enumerate(
            label for label in season("a bench", [swing("G", 2, 2)], YEAR).labels if label.text in "JFMASOND"
        )
    }
    lowest, highest = (pick(curve.points, key=lambda point: point[1])[0] for pick in (min, max))
    assert months[min(months, key=lambda x: abs(x - lowest))] == 1
    assert months[min(months, key=lambda x: abs(x - highest))] == 7
    assert all(abs(b[1] - a[1]) < 6 for a, b in pairwise(curve.points))


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.1, 12), st.floats(0.1, 12)), min_size=1, max_size=6),
    st.integers(0, 11),
    st.integers(1, 11),
    st.booleans(),
)
def test_no_label_lies_over_another_or_outside(
    sizes: list[tuple[float, float]], driest: int, later: int, narrow: bool
) -> None:
    year = Year(built="8 %", driest="5.9 %", dampest="10.5 %", driest_month=driest, dampest_month=(driest + later) % 12)
    picture = season("a piece", [swing("ABCDEF"[at], *size) for at, size in enumerate(sizes)], year, narrow=narrow)
    assert picture.overlapping_labels() == ()
    left, bottom, right, top = picture.bounds
    assert min(left, bottom) >= 0
    assert right <= picture.width
    assert top <= picture.height
    assert sum(label.kind is LabelKind.LETTER for label in picture.labels) == min(len(sizes), MOST)
