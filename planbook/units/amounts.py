"""Writing areas, volumes, masses, temperatures and times, rounded as a workshop would say them.

The number of digits is our own choice: fine enough to buy and mix by, not finer than a household
scale, jug or clock shows.
"""

from __future__ import annotations

from fractions import Fraction

from planbook.units.editions import Edition, nearest_step
from planbook.units.factors import FOOT, GALLON, INCH, POUND
from planbook.units.write import decimal

_OUNCE = POUND / 16
_FLUID_OUNCE = GALLON / 128
_GRAM = Fraction(1)
_DAY = 1440


def write_area(mm2: Fraction, edition: Edition) -> str:
    """Return an area: `12.5 sq ft` (under one, `90 sq in`) or `1.16 m²` (under 0.01, `85 cm²`)."""
    if edition.name == "imperial":
        small = f"{decimal(mm2 / INCH**2, 0)} sq in"
        return f"{decimal(mm2 / FOOT**2, 1, keep=True)} sq ft" if mm2 >= FOOT**2 else small
    return f"{decimal(mm2 / 10**6, 2, keep=True)} m²" if mm2 >= 10**4 else f"{decimal(mm2 / 100, 0)} cm²"


def write_volume(mm3: Fraction, edition: Edition) -> str:
    """Return the volume of something solid: `21.8 cu in`, `357 cm³`, and `0.012 m³` from ten litres on."""
    if edition.name == "imperial":
        return f"{decimal(mm3 / INCH**3, 1)} cu in" if mm3 < FOOT**3 else f"{decimal(mm3 / FOOT**3, 1)} cu ft"
    return f"{decimal(mm3 / 1000, 0)} cm³" if mm3 < 10**7 else f"{decimal(mm3 / 10**9, 3)} m³"


def write_liquid(mm3: Fraction, edition: Edition) -> str:
    """Return the volume of a liquid: `13.9 fl oz`, from a quart on `0.25 gal`; `411 ml`, `1.2 l`."""
    if edition.name == "imperial":
        return f"{decimal(mm3 / _FLUID_OUNCE, 1)} fl oz" if mm3 < GALLON / 4 else f"{decimal(mm3 / GALLON, 2)} gal"
    return f"{decimal(mm3 / 1000, 0)} ml" if mm3 < 10**6 else f"{decimal(mm3 / 10**6, 2)} l"


def write_mass(grams: Fraction, edition: Edition) -> str:
    """Return a mass: `12 oz`, `5.5 lb`, `52 lb`; `350 g`, `2.7 kg`, `24 kg`."""
    fine, coarse = (
        (("oz", _OUNCE), ("lb", POUND)) if edition.name == "imperial" else (("g", _GRAM), ("kg", 1000 * _GRAM))
    )
    if nearest_step(grams, fine[1]) < coarse[1]:
        return f"{decimal(grams / fine[1], 0)} {fine[0]}"
    return f"{decimal(grams / coarse[1], 1 if grams < 10 * coarse[1] else 0)} {coarse[0]}"


def write_weighed(grams: Fraction, edition: Edition) -> str:
    """Return a mass as a scale for mixing shows it: `8.8 oz (250 g)`, `250 g`, `1250 g`."""
    told = f"{decimal(grams, 0)} g"
    return f"{decimal(grams / _OUNCE, 1, keep=True)} oz ({told})" if edition.name == "imperial" else told


def write_temperature(celsius: Fraction, edition: Edition) -> str:
    """Return a temperature to the whole degree: `70 °F`, `21 °C`.

    Conversion t(°F) = 1.8 t(°C) + 32: NIST SP 811 (2008), appendix B.8.
    """
    if edition.name == "imperial":
        return f"{decimal(celsius * 9 / 5 + 32, 0)} °F"
    return f"{decimal(celsius, 0)} °C"


def write_minutes(minutes: Fraction) -> str:
    """Return a time: `30 s`, `40 min`, `1 h 20 min`, `2 h`, `1 day`, `1 day 12 h`."""
    if 0 < nearest_step(minutes, Fraction(1, 60)) < 1:
        return f"{decimal(minutes * 60, 0)} s"
    whole = int(nearest_step(minutes, Fraction(1)))
    days, rest = divmod(whole, _DAY)
    hours, rest = divmod(rest, 60)
    parts = [f"{days} day{'s' if days > 1 else ''}"] if days else []
    parts += [f"{hours} h"] if hours else []
    parts += [f"{rest} min"] if rest or not parts else []
    return " ".join(parts)


def write_board_feet(board_feet: Fraction) -> str:
    """Return board feet to one decimal: `2.4 board feet`, `1 board foot`."""
    text = decimal(board_feet, 1)
    return f"{text} board foot" if text == "1" else f"{text} board feet"
