from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planbook.shape.lines import Strokes, line_numbers, merge, without

Stretch = tuple[int, int, int, bool]
stretches = st.lists(
    st.tuples(st.integers(0, 40), st.integers(1, 12), st.integers(0, 3), st.booleans()), min_size=1, max_size=12
)


def strokes(rows: list[Stretch]) -> Strokes:
    """Stretches on the line y = 0: (from, length, body, outline)."""
    low = np.array([float(a) for a, _, _, _ in rows])
    high = low + np.array([float(b) for _, b, _, _ in rows])
    flat = np.zeros(len(rows))
    return Strokes(
        np.zeros(len(rows), dtype=np.int64),
        low,
        high,
        np.column_stack([low, flat]),
        np.column_stack([high, flat]),
        np.array([body for _, _, body, _ in rows]),
        np.array([outline for _, _, _, outline in rows]),
        np.ones(len(rows), dtype=np.int64),
    )


def covered(of: Strokes) -> list[int]:
    """Unit lengths of the line, counted."""
    units = [0] * 60
    for low, high in zip(of.low, of.high, strict=True):
        for unit in range(round(low), round(high)):
            units[unit] += 1
    return units


@given(stretches)
def test_merging_keeps_every_place_once(rows: list[Stretch]) -> None:
    before = strokes(rows)
    assert covered(merge(before, 1e-6)) == [min(count, 1) for count in covered(before)]


@given(stretches)
def test_the_winner_of_each_place_is_the_best_there(rows: list[Stretch]) -> None:
    merged = merge(strokes(rows), 1e-6)
    for low, high, body, outline in zip(merged.low, merged.high, merged.body, merged.outline, strict=True):
        for unit in range(round(low), round(high)):
            there = [(not o, b) for a, n, b, o in rows if a <= unit < a + n]
            assert min(there) == (not outline, body)


@given(stretches, stretches)
def test_taking_away_leaves_the_rest(rows: list[Stretch], others: list[Stretch]) -> None:
    mine, gone = merge(strokes(rows), 1e-6), merge(strokes(others), 1e-6)
    left = covered(without(mine, gone, 1e-6))
    assert left == [int(a and not b) for a, b in zip(covered(mine), covered(gone), strict=True)]


def test_pieces_that_continue_become_one() -> None:
    merged = merge(strokes([(0, 5, 1, True), (5, 5, 1, True)]), 1e-6)
    assert (merged.low.tolist(), merged.high.tolist()) == ([0.0], [10.0])


def test_lines_are_told_apart_by_angle_and_place() -> None:
    start = np.array([[0, 0, 0], [5, 5, 0], [0, 1, 0], [9, 9, 0], [0, 0, 0]], dtype=np.float64)
    end = np.array([[1, 1, 0], [4, 4, 0], [1, 2, 0], [9, 0, 0], [-1, 1e-12, 0]], dtype=np.float64)
    line, along = line_numbers(start, end, 10.0)
    assert line[0] == line[1]
    assert len(set(line.tolist())) == 4
    assert along[0].tolist() == pytest.approx([0, 2**0.5])
    assert along[1].tolist() == pytest.approx([50**0.5, 32**0.5])


@given(st.floats(0, 3.14159), st.floats(-5, 5))
def test_a_line_is_the_same_both_ways(angle: float, offset: float) -> None:
    way, square = np.array([np.cos(angle), np.sin(angle)]), np.array([-np.sin(angle), np.cos(angle)])
    points = [square * offset + way * t for t in (0.0, 1.0, 7.0, 3.0)]
    start = np.array([[*points[0], 0], [*points[2], 0]])
    end = np.array([[*points[1], 0], [*points[3], 0]])
    line, _ = line_numbers(start, end, 10.0)
    assert line[0] == line[1]
