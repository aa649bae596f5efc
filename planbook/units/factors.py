"""The unit words that authors may write, with exact factors to the base units.

Source of the factors, unless a row says otherwise: NIST Special Publication 811 (2008), Guide for
the Use of the International System of Units, appendix B: inch 25.4 mm exactly (B.6), pound
0.453 592 37 kg exactly, US gallon 231 cubic inches, degree Fahrenheit from (t - 32)/1.8.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planbook.units.quantity import (
    ANGLE,
    AREA,
    LENGTH,
    MASS,
    NUMBER,
    TEMPERATURE,
    TIME,
    TURNING,
    VOLUME,
    Dimension,
    Quantity,
)

INCH = Fraction(254, 10)
FOOT = 12 * INCH
YARD = 3 * FOOT
POUND = Fraction(45359237, 100000)
GALLON = 231 * INCH**3
BOARD_FOOT = 144 * INCH**3
"""144 cubic inches: the definition of the hardwood trade (NHLA rules of measurement)."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: `value in base units = written value * factor + zero`."""

    name: str
    """How it is written in messages and suggestions."""
    factor: Fraction
    dimension: Dimension
    system: str = ""
    zero: Fraction = Fraction(0)
    """Base value of a written zero; differs from 0 for degrees Fahrenheit only."""

    def of(self, amount: Fraction) -> Quantity:
        """Return `amount` of this unit."""
        return Quantity(amount * self.factor + self.zero, self.dimension, self.system)


IN = Unit("in", INCH, LENGTH, "imperial")
FT = Unit("ft", FOOT, LENGTH, "imperial")
MM = Unit("mm", Fraction(1), LENGTH, "metric")
PERCENT = Unit("%", Fraction(1, 100), NUMBER)

_ROWS: tuple[tuple[Unit, str], ...] = (
    (IN, 'in|inch|inches|"'),
    (FT, "ft|foot|feet|'"),
    (Unit("yd", YARD, LENGTH, "imperial"), "yd|yard|yards"),
    (MM, "mm|millimetre|millimetres|millimeter|millimeters"),
    (Unit("cm", Fraction(10), LENGTH, "metric"), "cm|centimetre|centimetres|centimeter|centimeters"),
    (Unit("m", Fraction(1000), LENGTH, "metric"), "m|metre|metres|meter|meters"),
    (Unit("sq in", INCH**2, AREA, "imperial"), "sq in|square inch|square inches"),
    (Unit("sq ft", FOOT**2, AREA, "imperial"), "sq ft|square foot|square feet"),
    (Unit("m²", Fraction(10**6), AREA, "metric"), "m²|sq m|square metre|square metres|square meters"),
    (Unit("cu in", INCH**3, VOLUME, "imperial"), "cu in|cubic inch|cubic inches"),
    (Unit("cu ft", FOOT**3, VOLUME, "imperial"), "cu ft|cubic foot|cubic feet"),
    (Unit("cm³", Fraction(1000), VOLUME, "metric"), "cm³|cu cm"),
    (Unit("m³", Fraction(10**9), VOLUME, "metric"), "m³|cu m|cubic metre|cubic metres|cubic meters"),
    (Unit("board feet", BOARD_FOOT, VOLUME, "imperial"), "bf|board foot|board feet"),
    (Unit("fl oz", GALLON / 128, VOLUME, "imperial"), "fl oz|fluid ounce|fluid ounces"),
    (Unit("pt", GALLON / 8, VOLUME, "imperial"), "pt|pint|pints"),
    (Unit("qt", GALLON / 4, VOLUME, "imperial"), "qt|quart|quarts"),
    (Unit("gal", GALLON, VOLUME, "imperial"), "gal|gallon|gallons"),
    (Unit("ml", Fraction(1000), VOLUME, "metric"), "ml|mL|millilitre|millilitres|milliliter|milliliters"),
    (Unit("l", Fraction(10**6), VOLUME, "metric"), "l|L|litre|litres|liter|liters"),
    (Unit("oz", POUND / 16, MASS, "imperial"), "oz|ounce|ounces"),
    (Unit("lb", POUND, MASS, "imperial"), "lb|lbs|pound|pounds"),
    (Unit("g", Fraction(1), MASS, "metric"), "g|gram|grams"),
    (Unit("kg", Fraction(1000), MASS, "metric"), "kg|kilogram|kilograms"),
    (Unit("s", Fraction(1, 60), TIME), "s|sec|second|seconds"),
    (Unit("min", Fraction(1), TIME), "min|minute|minutes"),
    (Unit("h", Fraction(60), TIME), "h|hr|hour|hours"),
    (Unit("day", Fraction(1440), TIME), "day|days"),
    (Unit("rpm", Fraction(1), TURNING), "rpm"),
    (Unit("deg", Fraction(1), ANGLE), "deg|degree|degrees|°"),
    (Unit("°F", Fraction(5, 9), TEMPERATURE, "imperial", Fraction(-160, 9)), "F|°F|deg F|degF"),
    (Unit("°C", Fraction(1), TEMPERATURE, "metric"), "C|°C|deg C|degC"),
    (PERCENT, "%"),
)

UNITS: dict[str, Unit] = {word: unit for unit, words in _ROWS for word in words.split("|")}
"""Every word and mark an author may write behind a number; upper and lower case differ."""


def unit_of(word: str) -> Unit | None:
    """Return the unit that a word or mark stands for."""
    return UNITS.get(word)


def nearest_units(word: str) -> tuple[str, ...]:
    """Return up to three unit words that look like `word`, the likeliest first."""
    from difflib import get_close_matches

    if word.lower() in UNITS:
        return (word.lower(),)
    return tuple(get_close_matches(word.lower(), UNITS, n=3, cutoff=0.6))
