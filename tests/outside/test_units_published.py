"""Units against published figures and against pint, a library of its own making."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from planbook.units.amounts import write_temperature
from planbook.units.editions import IMPERIAL, METRIC, snap
from planbook.units.factors import BOARD_FOOT, FOOT, INCH, UNITS
from planbook.units.read import read_quantity
from planbook.units.unusual import registry
from planbook.units.write import plain_length, read_back

if TYPE_CHECKING:
    from planbook.units.factors import Unit

# NIST SP 811 (2008), appendix B.8, factors to metre, square metre, cubic metre and kilogram; bold
# (exact) figures first, then figures of seven digits.
EXACT = {
    "in": "0.0254",
    "ft": "0.3048",
    "yd": "0.9144",
    "sq in": "0.00064516",
    "sq ft": "0.09290304",
    "l": "0.001",
}
SEVEN_DIGITS = {
    "cu in": "1.638706E-05",
    "cu ft": "2.831685E-02",
    "fl oz": "2.957353E-05",
    "pt": "4.731765E-04",
    "qt": "9.463529E-04",
    "gal": "3.785412E-03",
    "board feet": "2.359737E-03",
    "oz": "2.834952E-02",
    "lb": "4.535924E-01",
}


def to_si(unit: Unit) -> Fraction:
    """Return the factor to metre, square metre, cubic metre or kilogram."""
    return unit.factor / 1000 ** (unit.dimension.length + unit.dimension.mass)


@pytest.mark.parametrize("word", EXACT)
def test_exact_factors_of_nist_sp_811(word: str) -> None:
    assert to_si(UNITS[word]) == Fraction(EXACT[word])


@pytest.mark.parametrize("word", SEVEN_DIGITS)
def test_rounded_factors_of_nist_sp_811(word: str) -> None:
    printed = SEVEN_DIGITS[word]
    assert f"{float(to_si(UNITS[word])):.6E}" == printed


def test_pound_of_nist_sp_811() -> None:
    """Appendix B, footnote on the pound: 0.453 592 37 kg exactly."""
    assert UNITS["lb"].factor == Fraction("453.59237")


PINT_WORDS = {
    '"': "inch",
    "'": "foot",
    "m": "meter",
    "m²": "meter**2",
    "cm³": "centimeter**3",
    "m³": "meter**3",
    "sq in": "inch**2",
    "sq ft": "foot**2",
    "cu in": "inch**3",
    "cu ft": "foot**3",
    "board feet": "board_foot",
    "fl oz": "fluid_ounce",
    "oz": "ounce",
    "h": "hour",
    "s": "second",
    "g": "gram",
    "l": "liter",
    "°F": "degF",
    "°C": "degC",
    "deg": "degree",
    "%": "percent",
    "rpm": "revolution/minute",
}
_BASE = {
    "length": "millimeter",
    "mass": "gram",
    "time": "minute",
    "temperature": "degree_Celsius",
    "angle": "degree",
}


@pytest.mark.parametrize("name", sorted({unit.name for unit in UNITS.values()}))
@pytest.mark.parametrize("amount", [Fraction(1), Fraction(70)])
def test_every_unit_agrees_with_pint(name: str, amount: Fraction) -> None:
    unit = UNITS[name]
    if name == "rpm":  # pint counts a turn as an angle, we count turns
        assert unit.of(amount).value == Fraction(registry().Quantity(amount, "1/minute").magnitude)
        return
    parts = [f"{_BASE[kind]}**{power}" for kind, power in unit.dimension._asdict().items() if power]
    theirs = registry().Quantity(amount, PINT_WORDS.get(name, name)).to(" * ".join(parts) or "dimensionless")
    assert unit.of(amount).value == Fraction(theirs.magnitude)


def test_thirty_six_feet() -> None:
    """NIST SP 811, appendix B.7: 36 ft is 10.9728 m before rounding."""
    assert read_quantity("36 ft").value == Fraction("10972.8")


@pytest.mark.parametrize(("text", "cm"), [("36 in", "91.44"), ("40.1 in", "101.854")])
def test_inches_of_nist_lc_1137(text: str, cm: str) -> None:
    assert read_quantity(text).value == 10 * Fraction(cm)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [("32 F", 0), ("212 F", 100), ("-40 F", -40), ("98.6 F", 37)])
def test_fixed_points_of_the_two_scales(fahrenheit: str, celsius: int) -> None:
    """NIST SP 811, appendix B.8: t/°C = (t/°F - 32)/1.8; ice, steam, and the point where both agree."""
    quantity = read_quantity(fahrenheit)
    assert quantity.value == celsius
    assert write_temperature(quantity.value, METRIC) == write_temperature(Fraction(celsius), METRIC)


@pytest.mark.parametrize(
    ("mm", "denominator", "text"),
    [
        (Fraction(603), 16, "23 3/4 in"),  # 379.84 sixteenths: arithmetic
        (Fraction("2.996") * INCH, 16, "3 in"),  # 2 16/16 must carry: arithmetic
        (Fraction(8, 16) * INCH, 16, "1/2 in"),  # reduced: arithmetic
        (Fraction("182") / 10, 32, "23/32 in"),  # a hardwood plywood sold as 3/4 in, usual 18.2 mm (common practice)
    ],
)
def test_rounding_to_a_rule(mm: Fraction, denominator: int, text: str) -> None:
    assert plain_length(mm, IMPERIAL.with_resolution(INCH / denominator)) == text


def test_23_19_32_inches() -> None:
    """23 19/32 in is 599.28 mm to two decimals: arithmetic with the exact inch of NIST SP 811."""
    assert round(float(read_back("23 19/32 in")), 2) == 599.28


@pytest.mark.parametrize(
    ("denominator", "most"), [(16, Fraction("0.79375")), (32, Fraction("0.396875")), (64, Fraction("0.1984375"))]
)
def test_rounding_error_is_at_most_half_a_step(denominator: int, most: Fraction) -> None:
    """Nearest 1/n inch is off by at most 1/(2n) inch: arithmetic; swept over a foot in steps of 0.1 mm."""
    edition = IMPERIAL.with_resolution(INCH / denominator)
    worst = max(abs(snap(Fraction(tenth, 10), edition) - Fraction(tenth, 10)) for tenth in range(int(FOOT * 10)))
    assert worst <= most
    assert worst > most * Fraction(9, 10)


def test_board_foot_of_the_hardwood_trade() -> None:
    """144 cubic inches; 1 m³ is 423.776 board feet (NHLA definition, arithmetic)."""
    assert BOARD_FOOT == 144 * INCH**3
    assert round(float(Fraction(10**9) / BOARD_FOOT), 3) == 423.776


def test_resin_in_inches() -> None:
    """60 x 4 x 1 3/4 in is 420 cu in, 1.8182 US gallons, 6.8826 litres (gallon of 231 cu in, NIST SP 811)."""
    volume = 60 * 4 * Fraction(7, 4) * INCH**3
    assert volume / UNITS["cu in"].factor == 420
    assert round(float(volume / UNITS["gal"].factor), 4) == 1.8182
    assert round(float(volume / UNITS["l"].factor), 4) == 6.8826
