from __future__ import annotations

from fractions import Fraction

import pytest

from planbook.units.amounts import (
    write_area,
    write_board_feet,
    write_liquid,
    write_mass,
    write_minutes,
    write_temperature,
    write_volume,
)
from planbook.units.editions import IMPERIAL, METRIC
from planbook.units.factors import FOOT, GALLON, INCH, POUND


def test_areas() -> None:
    assert write_area(Fraction(25, 2) * FOOT**2, IMPERIAL) == "12.5 sq ft"
    assert write_area(32 * FOOT**2, IMPERIAL) == "32.0 sq ft"
    assert write_area(90 * INCH**2, IMPERIAL) == "90 sq in"
    assert write_area(Fraction(1_160_000), METRIC) == "1.16 m²"
    assert write_area(Fraction(8_500), METRIC) == "85 cm²"


def test_volumes() -> None:
    assert write_volume(Fraction(218, 10) * INCH**3, IMPERIAL) == "21.8 cu in"
    assert write_volume(2 * FOOT**3, IMPERIAL) == "2 cu ft"
    assert write_volume(Fraction(218, 10) * INCH**3, METRIC) == "357 cm³"
    assert write_volume(Fraction(12_000_000), METRIC) == "0.012 m³"


def test_liquids() -> None:
    mix = Fraction(218, 10) * Fraction(115, 100) * INCH**3
    assert write_liquid(mix, IMPERIAL) == "13.9 fl oz"
    assert write_liquid(mix, METRIC) == "411 ml"
    assert write_liquid(GALLON / 4, IMPERIAL) == "0.25 gal"
    assert write_liquid(Fraction(1_250_000), METRIC) == "1.25 l"


def test_masses() -> None:
    assert write_mass(POUND * Fraction(3, 4), IMPERIAL) == "12 oz"
    assert write_mass(POUND * Fraction(11, 2), IMPERIAL) == "5.5 lb"
    assert write_mass(POUND * Fraction(999, 1000), IMPERIAL) == "1 lb"
    assert write_mass(Fraction(23_650), METRIC) == "24 kg"
    assert write_mass(Fraction(2_664), METRIC) == "2.7 kg"
    assert write_mass(Fraction(350), METRIC) == "350 g"


def test_temperatures() -> None:
    assert write_temperature(Fraction(190, 9), IMPERIAL) == "70 °F"
    assert write_temperature(Fraction(190, 9), METRIC) == "21 °C"
    assert write_temperature(Fraction(-5), METRIC) == "−5 °C"


@pytest.mark.parametrize(
    ("minutes", "text"),
    [
        (Fraction(0), "0 min"),
        (Fraction(1, 2), "30 s"),
        (Fraction(40), "40 min"),
        (Fraction(59999, 60000), "1 min"),
        (Fraction(80), "1 h 20 min"),
        (Fraction(120), "2 h"),
        (Fraction(1440), "1 day"),
        (Fraction(2880), "2 days"),
        (Fraction(2160), "1 day 12 h"),
    ],
)
def test_times(minutes: Fraction, text: str) -> None:
    assert write_minutes(minutes) == text


def test_board_feet_words() -> None:
    assert write_board_feet(Fraction(24245, 10000)) == "2.4 board feet"
    assert write_board_feet(Fraction(1)) == "1 board foot"
