from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planbook.units.editions import EDITIONS, IMPERIAL, METRIC, Edition, snap
from planbook.units.factors import FOOT, INCH
from planbook.units.quantity import UnitError
from planbook.units.write import (
    built_fraction,
    decimal,
    plain_length,
    read_back,
    soft_length,
    split_length,
    write_feet,
    write_length,
    write_metres,
)

FINE = [*EDITIONS.values(), IMPERIAL.with_resolution(INCH / 64), METRIC.with_resolution(Fraction(1, 10))]
lengths = st.fractions(min_value=-6000, max_value=6000, max_denominator=2000)


@pytest.mark.parametrize(
    ("inches", "built", "plain"),
    [
        (Fraction(267, 16), '16¹¹⁄₁₆"', "16 11/16 in"),
        (Fraction(3, 4), '³⁄₄"', "3/4 in"),
        (Fraction(16), '16"', "16 in"),
        (Fraction(0), '0"', "0 in"),
        (Fraction(-3, 4), '−³⁄₄"', "-3/4 in"),
        (Fraction(-5, 2), '−2¹⁄₂"', "-2 1/2 in"),
        (Fraction(1, 32), '¹⁄₃₂"', "1/32 in"),
        (Fraction(1, 100), '0"', "0 in"),
        (Fraction(1, 64), '¹⁄₃₂"', "1/32 in"),
        (Fraction(903, 32), '28⁷⁄₃₂"', "28 7/32 in"),
        (Fraction(64), '64"', "64 in"),
    ],
)
def test_inches(inches: Fraction, built: str, plain: str) -> None:
    assert write_length(inches * INCH, IMPERIAL) == built
    assert write_length(inches * INCH, IMPERIAL, mark=False) == built.removesuffix('"')
    assert plain_length(inches * INCH, IMPERIAL) == plain


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (Fraction(420), "420"),
        (Fraction(4205, 10), "421"),
        (Fraction(0), "0"),
        (Fraction(-7), "−7"),
        (Fraction(4194, 10), "419"),
    ],
)
def test_millimetres(mm: Fraction, text: str) -> None:
    assert write_length(mm, METRIC, mark=False) == text
    assert write_length(mm, METRIC) == f"{text} mm"
    assert plain_length(mm, METRIC) == f"{text} mm".replace("−", "-")


def test_half_millimetres_where_the_edition_has_them() -> None:
    half = METRIC.with_resolution(Fraction(1, 2))
    assert write_length(Fraction(4205, 10), half) == "420.5 mm"
    assert write_length(Fraction(420), half) == "420 mm"


def test_fraction_characters_are_the_agreed_ones() -> None:
    assert [f"{ord(sign):04X}" for sign in built_fraction(11, 16)] == ["00B9", "00B9", "2044", "2081", "2086"]


@given(lengths, st.sampled_from(FINE))
def test_what_is_written_reads_back_as_the_snapped_length(mm: Fraction, edition: Edition) -> None:
    expected = snap(mm, edition)
    assert read_back(write_length(mm, edition)) == expected
    assert read_back(write_length(mm, edition, mark=False), edition) == expected
    assert read_back(plain_length(mm, edition)) == expected


@given(st.integers(0, 240 * 32), st.sampled_from(FINE))
def test_split_is_in_lowest_terms_and_under_one(count: int, edition: Edition) -> None:
    mm = count * edition.resolution
    whole, numerator, denominator = split_length(mm, edition)
    assert (whole + Fraction(numerator, denominator)) * edition.unit_mm == mm
    assert 0 <= numerator < denominator
    assert Fraction(numerator, denominator).denominator == denominator


@pytest.mark.parametrize(
    ("mm", "edition", "text"),
    [
        (3 * INCH / 4, METRIC, "about 19.1 mm"),
        (Fraction(19), METRIC, "19 mm"),
        (16 * INCH, METRIC, "406.4 mm"),
        (Fraction(420), IMPERIAL, "about 16 17/32 in"),
        (Fraction(603), IMPERIAL, "about 23 47/64 in"),
        (INCH / 4, IMPERIAL, "1/4 in"),
    ],
)
def test_soft_conversion_says_about_where_it_must(mm: Fraction, edition: Edition, text: str) -> None:
    assert soft_length(mm, edition) == text


@pytest.mark.parametrize(
    ("mm", "text"),
    [(8 * FOOT, "8 ft"), (90 * INCH, "7 ft 6 in"), (6 * INCH, "6 in"), (Fraction(0), "0 in"), (Fraction(2438), "8 ft")],
)
def test_feet(mm: Fraction, text: str) -> None:
    assert write_feet(mm) == text


@given(st.integers(1, 400))
def test_feet_read_back(inches: int) -> None:
    assert read_back(write_feet(inches * INCH)) == inches * INCH


def test_metres() -> None:
    assert write_metres(Fraction(2400)) == "2.4 m"
    assert read_back(write_metres(Fraction(3050))) == 3050


@pytest.mark.parametrize("text", ["12 deg", "", "abc", '16¹¹⁄₁₆" x', "¹⁄₀ in"])
def test_read_back_refuses_what_is_no_length(text: str) -> None:
    with pytest.raises(UnitError):
        read_back(text, IMPERIAL)


@pytest.mark.parametrize(
    ("value", "places", "keep", "text"),
    [
        (Fraction(25, 10), 0, False, "3"),
        (Fraction(-25, 10), 0, False, "−3"),
        (Fraction(12), 1, True, "12.0"),
        (Fraction(12), 1, False, "12"),
        (Fraction(1205, 100), 2, False, "12.05"),
        (Fraction(9996, 1000), 2, True, "10.00"),
        (Fraction(-4, 100), 1, False, "0"),
    ],
)
def test_decimal(value: Fraction, places: int, keep: bool, text: str) -> None:
    assert decimal(value, places, keep=keep) == text
