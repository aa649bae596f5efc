from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.cutting.boards import Blank, board_yield
from planbook.trade.lumber import board_feet_net
from planbook.units.factors import INCH

KERF = INCH / 8


def blank(length: int, width: int, count: int = 1) -> Blank:
    return Blank(length * INCH, width * INCH, count)


def test_the_same_seed_gives_the_same_lots() -> None:
    blanks = [blank(36, 3, 14), blank(20, 15, 5)]
    first = board_yield(blanks, INCH, kerf=KERF, seed="ash 4/4")
    assert first == board_yield(blanks, INCH, kerf=KERF, seed="ash 4/4")
    others = {board_yield(blanks, INCH, kerf=KERF, seed=str(seed)) for seed in range(5)}
    assert len(others) > 1


@settings(max_examples=20, deadline=None)
@given(
    st.lists(st.tuples(st.integers(6, 100), st.integers(1, 30), st.integers(1, 6)), min_size=1, max_size=6),
    st.sampled_from([INCH, INCH * 5 / 4, INCH * 2]),
)
def test_a_lot_is_never_less_than_what_is_cut_from_it(sizes: list[tuple[int, int, int]], thick: Fraction) -> None:
    found = board_yield([blank(*size) for size in sizes], thick, kerf=KERF, seed="any", lots=10)
    net = sum(count * board_feet_net(thick, length * INCH, width * INCH) for length, width, count in sizes)
    assert found.net == net
    # A yard rounds the surface of a board to the whole foot, so that a lot may count half a foot less each.
    assert found.low > net * Fraction(9, 10)
    assert found.low <= found.middle <= found.high


def test_more_of_the_same_wastes_a_smaller_share() -> None:
    few = board_yield([blank(36, 3, 2)], INCH, kerf=KERF, seed="any")
    many = board_yield([blank(36, 3, 60)], INCH, kerf=KERF, seed="any")
    assert many.waste < few.waste
    assert many.waste < Fraction(1, 2)


def test_what_its_author_glues_up_comes_in_strips_from_narrow_boards() -> None:
    """A top of 31 x 9 1/2 in: one board of 6 ft by 5 1/2 in gives both strips, in one piece it wants a wide one."""
    top = Blank(31 * INCH, INCH * 19 / 2, 1)
    whole = board_yield([top], 2 * INCH, kerf=KERF, seed="any")
    glued = board_yield([replace(top, strips=5 * INCH)], 2 * INCH, kerf=KERF, seed="any")
    assert glued.net == whole.net
    assert glued.high < whole.high
    assert glued.high <= 2 * glued.net


def test_a_blank_longer_than_boards_is_refused() -> None:
    with pytest.raises(ValueError, match="longer than the boards"):
        board_yield([blank(160, 3)], INCH, kerf=KERF, seed="any")
