"""Reading the figures of a book's own rows: numbers with their units, ratios, amounts."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from planbook.source.text import Text
from planbook.trade.lookup import TradeError
from planbook.units.quantity import LENGTH, NUMBER, TEMPERATURE, TIME, VOLUME, Dimension
from planbook.units.read import read_quantity

_RATIO = re.compile(r"\s*(\d{1,5}(?:\.\d{1,4})?)\s*(?:to|:)\s*(\d{1,5}(?:\.\d{1,4})?)\s*")
_DENSITY = re.compile(r"\s*(\d{1,5}(?:\.\d{1,4})?)\s*(?:kg/l|g/ml|g/cm³|g/cm3)?\s*")


_EXAMPLES: Mapping[Dimension, str] = {
    LENGTH: "write for example `2 in` or `50 mm`",
    TIME: "write for example `12 h` or `2 days`",
    TEMPERATURE: "write for example `70 F` or `21 C`",
    VOLUME: "write for example `1 qt` or `1 l`",
    NUMBER: "write a plain number",
}


def number(text: Text | None, dimension: Dimension, *, times: Fraction = Fraction(1)) -> Fraction | None:
    """Return a figure of a dimension, or None where none is given.

    Raises `TradeError` (`wrong-unit`) for another dimension, `UnitError` for what cannot be read.
    """
    if text is None:
        return None
    quantity = read_quantity(text)
    if quantity.dimension != dimension:
        told = f"`{text}` is {quantity.dimension.name}, {dimension.name} is wanted"
        raise TradeError("wrong-unit", told, _EXAMPLES.get(dimension))
    return quantity.value * times


def ratio(text: Text | None) -> tuple[Fraction, Fraction] | None:
    """Return a ratio of part A to part B; raises `TradeError`."""
    if text is None:
        return None
    match = _RATIO.fullmatch(text)
    if match is None:
        raise TradeError("impossible-ratio", f"`{text}` is no ratio", "write part A first, as `2 to 1`")
    return Fraction(match[1]), Fraction(match[2])


def density(text: Text | None) -> Fraction | None:
    """Return a density in kg/l, the same as g/ml; raises `TradeError`."""
    if text is None:
        return None
    match = _DENSITY.fullmatch(text)
    if match is None:
        raise TradeError("no-density", f"`{text}` is no density", "write it in kg/l, as `1.12`")
    return Fraction(match[1])
