"""Writing lengths as an edition wants them, and reading them back.

The one place where a fraction is built: superscript digits, the fraction slash U+2044, subscript
digits (`16¹¹⁄₁₆`). The same string works in drawings, pages and PDF, and copied out of a PDF it is
still the right number.
"""

from __future__ import annotations

import re
from fractions import Fraction

from planbook.units.editions import Edition, nearest_step, snap
from planbook.units.factors import FOOT, INCH, UNITS
from planbook.units.quantity import UnitError
from planbook.units.read import read_quantity

_ABOVE = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_BELOW = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
_LEVEL = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉", "0123456789" * 2)
_BUILT = re.compile("(?P<whole>[0-9]*)(?P<top>[⁰¹²³⁴⁵⁶⁷⁸⁹]+)\u2044(?P<bottom>[₀₁₂₃₄₅₆₇₈₉]+)")
_SOFT_INCH = INCH / 64
_SOFT_MM = Fraction(1, 10)
MINUS = "\u2212"


def built_fraction(numerator: int, denominator: int) -> str:
    """Return a fraction in small digits, `¹¹⁄₁₆`; it follows a whole number without a blank."""
    return f"{str(numerator).translate(_ABOVE)}\u2044{str(denominator).translate(_BELOW)}"


def split_length(mm: Fraction, edition: Edition) -> tuple[int, int, int]:
    """Return whole units, numerator and denominator of a length's size at the edition's resolution.

    The sign is left out. The fraction is in lowest terms; without one the pair is 0, 1.
    """
    whole, rest = divmod(abs(snap(mm, edition)) / edition.unit_mm, 1)
    return whole, rest.numerator, rest.denominator


def write_length(mm: Fraction, edition: Edition, *, mark: bool = True) -> str:
    """Return a length for pages and drawings: `16¹¹⁄₁₆"`, `420 mm`; without mark `16¹¹⁄₁₆`, `420`."""
    text = _inches(mm, edition) if edition.unit_mm == INCH else decimal(snap(mm, edition), 1)
    if not mark:
        return text
    return f'{text}"' if edition.unit_mm == INCH else f"{text} mm"


def plain_length(mm: Fraction, edition: Edition) -> str:
    """Return a length in plain characters, for alt texts, CSV and messages: `16 11/16 in`, `420 mm`."""
    if edition.unit_mm != INCH:
        return f"{decimal(snap(mm, edition), 1, minus='-')} mm"
    whole, numerator, denominator = split_length(mm, edition)
    sign = "-" if snap(mm, edition) < 0 else ""
    parts = [str(whole)] if whole or not numerator else []
    if numerator:
        parts.append(f"{numerator}/{denominator}")
    return f"{sign}{' '.join(parts)} in"


def soft_length(mm: Fraction, edition: Edition) -> str:
    """Return the same length restated in the edition's units in plain characters, `about` where it does not come out.

    Inches to the nearest 1/64, millimetres to 0.1 (our own choice). The thing measured stays as it is.
    """
    step = _SOFT_INCH if edition.unit_mm == INCH else _SOFT_MM
    text = plain_length(mm, edition.with_resolution(step))
    return text if nearest_step(mm, step) == mm else f"about {text}"


def write_feet(mm: Fraction) -> str:
    """Return a length to buy in feet: `8 ft`, and with a rest to the nearest inch `7 ft 6 in`."""
    feet, inches = divmod(nearest_step(mm, INCH) / INCH, 12)
    parts = ([f"{feet} ft"] if feet else []) + ([f"{inches} in"] if inches or not feet else [])
    return " ".join(parts)


def write_metres(mm: Fraction) -> str:
    """Return a length to buy in metres, to the nearest centimetre: `2.4 m`."""
    return f"{decimal(mm / 1000, 2)} m"


def read_back(text: str, edition: Edition | None = None) -> Fraction:
    """Return the millimetres of a text that a function of this module wrote.

    A text without mark needs the edition. `about` is passed over. Raises `UnitError` for anything else.
    """
    plain = text.removeprefix("about ").strip().replace(MINUS, "-")
    plain = _BUILT.sub(_level, plain)
    feet = re.fullmatch(r"(\d+) ft(?: (\d+) in)?", plain)
    if feet:
        return int(feet[1]) * FOOT + int(feet[2] or 0) * INCH
    unit = None if edition is None else "in" if edition.unit_mm == INCH else "mm"
    quantity = read_quantity(plain, default_unit=unit)
    if quantity.dimension != UNITS["mm"].dimension:
        raise UnitError(f"`{text}` is {quantity.dimension.name}, not a length")
    return quantity.value


def decimal(value: Fraction, places: int, *, keep: bool = False, minus: str = MINUS) -> str:
    """Return a decimal rounded half away from zero; noughts at the end go unless `keep`."""
    rounded = nearest_step(value, Fraction(1, 10**places))
    whole, rest = divmod(abs(rounded), 1)
    digits = f"{int(rest * 10**places):0{places}d}" if places else ""
    digits = digits if keep else digits.rstrip("0")
    return f"{minus if rounded < 0 else ''}{whole}" + (f".{digits}" if digits else "")


def _inches(mm: Fraction, edition: Edition) -> str:
    whole, numerator, denominator = split_length(mm, edition)
    sign = MINUS if snap(mm, edition) < 0 else ""
    if not numerator:
        return f"{sign}{whole}"
    return f"{sign}{whole or ''}{built_fraction(numerator, denominator)}"


def _level(match: re.Match[str]) -> str:
    top, bottom = (match[name].translate(_LEVEL) for name in ("top", "bottom"))
    return f"{match['whole']} {top}/{bottom}".strip()
