from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planbook.units.quantity import (
    ANGLE,
    AREA,
    LENGTH,
    NUMBER,
    TEMPERATURE,
    TIME,
    VOLUME,
    Dimension,
    Quantity,
    UnitError,
    length,
    number,
)

values = st.fractions(min_value=-1000, max_value=1000, max_denominator=64)


def test_arithmetic_keeps_dimensions() -> None:
    assert length(3) + length(4) == length(7)
    assert length(3) - length(4) == length(-1)
    assert length(3) * length(4) == Quantity(Fraction(12), AREA)
    assert Quantity(Fraction(24), VOLUME) / length(2) == Quantity(Fraction(12), AREA)
    assert length(3) / length(4) == number(Fraction(3, 4))
    assert -length(3) == length(-3)
    assert abs(length(-3)) == length(3)


@given(values, values, values)
def test_sums_are_exact(a: Fraction, b: Fraction, c: Fraction) -> None:
    assert (length(a) + length(b)) + length(c) == length(c) + (length(b) + length(a))
    assert (length(a) + length(b)) * number(c) == length(a) * number(c) + length(b) * number(c)


@pytest.mark.parametrize(
    ("first", "second", "words"),
    [
        (length(1), number(1), "a length and a plain number"),
        (length(1), Quantity(Fraction(1), AREA), "a length and an area"),
        (Quantity(Fraction(1), TIME), Quantity(Fraction(1), ANGLE), "a time and an angle"),
    ],
)
def test_sums_of_unlike_things_are_refused(first: Quantity, second: Quantity, words: str) -> None:
    with pytest.raises(UnitError, match=f"{words} cannot be added"):
        first + second
    with pytest.raises(UnitError, match=f"{words} cannot be subtracted"):
        first - second
    with pytest.raises(UnitError, match=f"{words} cannot be compared"):
        _ = first < second


def test_sum_with_a_plain_number_says_what_to_write() -> None:
    with pytest.raises(UnitError) as caught:
        length(1) + number(2)
    assert caught.value.help == "give the plain number a unit, for example `2 in` or `50 mm`"


def test_temperatures_are_only_compared() -> None:
    warm, cold = Quantity(Fraction(21), TEMPERATURE), Quantity(Fraction(5), TEMPERATURE)
    assert cold < warm
    for reckon in (
        lambda: warm + cold,
        lambda: warm - cold,
        lambda: -warm,
        lambda: warm * number(2),
        lambda: warm / cold,
    ):
        with pytest.raises(UnitError, match="temperatures"):
            reckon()


def test_division_by_zero_is_a_unit_error() -> None:
    with pytest.raises(UnitError, match="divides by zero"):
        length(3) / number(0)


def test_remarks_travel_and_do_not_count_for_equality() -> None:
    inch, metric, plain = length(1, "imperial"), length(1, "metric"), number(2)
    assert (inch * plain).system == "imperial"
    assert (plain * inch).system == "imperial"
    assert (inch + metric).system == "mixed"
    assert ((inch + metric) + metric).system == "mixed"
    assert inch == metric
    assert not (Quantity(Fraction(2), AREA).root() + inch).exact


@given(st.fractions(min_value=0, max_value=1000, max_denominator=64))
def test_roots_of_squares_are_exact(side: Fraction) -> None:
    root = (length(side) * length(side)).root()
    assert root == length(side)
    assert root.exact


@given(st.fractions(min_value=0, max_value=10**6, max_denominator=1000))
def test_other_roots_are_right_to_nine_places(area: Fraction) -> None:
    root = Quantity(area, AREA).root()
    half = Fraction(1, 2 * 10**9)
    assert root.exact or max(root.value - half, 0) ** 2 <= area <= (root.value + half) ** 2


def test_roots_refused() -> None:
    with pytest.raises(UnitError, match="a length has no square root"):
        length(4).root()
    with pytest.raises(UnitError, match="below zero"):
        number(-1).root()


@pytest.mark.parametrize(
    ("dimension", "name"),
    [
        (NUMBER, "a plain number"),
        (LENGTH, "a length"),
        (AREA.per(LENGTH).per(LENGTH), "a plain number"),
        (AREA.times(AREA), "a quantity of length^4"),
        (Dimension(mass=1, length=-3), "a quantity of mass per length^3"),
        (Dimension(money=1, length=-1, time=-1), "a quantity of money per length and time"),
        (Dimension(mass=-1), "a quantity of one per mass"),
    ],
)
def test_names(dimension: Dimension, name: str) -> None:
    assert dimension.name == name
