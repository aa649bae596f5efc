"""Biscuits: the slot of a cutter that goes so deep, by the chord of a circle."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from planbook.trade.hidden import find_biscuit
from planbook.trade.lookup import TradeError


@pytest.mark.parametrize("number", [0, 10, 20])
def test_a_slot_takes_half_the_biscuit_and_a_little_more(number: int) -> None:
    biscuit = find_biscuit(number)
    assert biscuit.slot_deep_mm == biscuit.wide_mm / 2 + Fraction(4, 5)
    # Half the chord, the radius of 50 mm and what is left of it below the face are a right triangle.
    left = 50 - float(biscuit.slot_deep_mm)
    assert math.hypot(float(biscuit.slot_long_mm) / 2, left) == pytest.approx(50, abs=0.05)
    assert biscuit.slot_long_mm > biscuit.long_mm


def test_a_number_that_is_not_sold() -> None:
    with pytest.raises(TradeError, match=r"No\. 7") as caught:
        find_biscuit(7)
    assert caught.value.help == "write one of No. 0, No. 10, No. 20"
