"""Units outside our own table, through pint. Slow to load, so only where a rare unit is met."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, cast

from planbook.units.quantity import Dimension, Quantity, UnitError
from planbook.units.read import normalise, read_literal

if TYPE_CHECKING:
    from pint import UnitRegistry

_KINDS = {"[length]": "length", "[mass]": "mass", "[time]": "time", "[temperature]": "temperature"}
_BASES = {"length": "millimeter", "mass": "gram", "time": "minute", "temperature": "degree_Celsius"}


@cache
def registry() -> UnitRegistry[Fraction]:
    """Return pint's registry with exact fractions; about a quarter of a second the first time."""
    from pint import UnitRegistry

    return UnitRegistry(non_int_type=Fraction)


def read_unusual(text: str) -> Quantity:
    """Read a number with a unit that only pint knows, such as `3 furlong`; raises `UnitError`.

    The unit is one word or several joined by blanks, never an expression; angles are
    left to our own table, because pint counts them as plain numbers.
    """
    plain = normalise(text).strip()
    literal = read_literal(plain)
    word = plain[literal.end :].strip()
    if literal.unit:
        if word:
            raise UnitError(f"`{word}` behind `{plain[: literal.end]}` is not understood")
        return literal.quantity
    if not word or not all(part.isalpha() for part in word.replace("_", " ").split()):
        raise UnitError(f"`{word}` is not a unit")
    return convert(literal.quantity.value, word.replace(" ", "_"))


def convert(value: Fraction, unit: str) -> Quantity:
    """Return a value of a pint unit as a quantity in our base units; raises `UnitError`."""
    from pint.errors import DimensionalityError, UndefinedUnitError

    known = registry()
    try:
        amount = known.Quantity(value, unit)
        exponents = {_KINDS[kind]: cast(int, power) for kind, power in amount.dimensionality.items()}
        if not exponents:  # an angle or a pure number; pint's `mil` is such an angle
            raise UnitError(f"`{unit}` measures nothing planbook reckons with")
        base = " * ".join(f"{_BASES[kind]}**{power}" for kind, power in exponents.items())
        return Quantity(Fraction(amount.to(base).magnitude), Dimension(**exponents))
    except (UndefinedUnitError, DimensionalityError, KeyError, ValueError, TypeError) as fault:
        raise UnitError(f"`{unit}` is not a unit planbook can use") from fault
