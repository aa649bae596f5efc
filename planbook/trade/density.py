"""Density of wood at any moisture, and the mass of a part."""

from __future__ import annotations

from fractions import Fraction

from planbook.trade.lookup import TradeError
from planbook.trade.sourced import Basis
from planbook.trade.species import Wood
from planbook.trade.valid import Number, need_between, need_positive

EQUATION = Basis("Wood Handbook, FPL-GTR-190 (2010), chapter 4: 1000 G (1 + x/100) kg/m³")
GRAVITY_EQUATION = Basis("FPL-GTR-76 (Simpson 1993): G = Gb / (1 - S (1 - x/30)/100)", "from memory")

_TWELVE = Fraction(12)
_SATURATED = Fraction(30)
_ESTIMATE = Fraction("26.5")
"""Shrinkage by volume, %, over specific gravity on green volume, where none is tabled: FPL-GTR-76."""


def density_kg_m3(gravity: Fraction, moisture_pct: Fraction) -> Fraction:
    """Return mass over volume at a moisture; `gravity` is ovendry mass over volume at that moisture.

    Wood Handbook, FPL-GTR-190 (2010), chapter 4.
    """
    _need_moisture(moisture_pct)
    return 1000 * gravity * (1 + Fraction(moisture_pct) / 100)


def gravity_at(green: Fraction, moisture_pct: Fraction, shrinkage_volume_pct: Fraction | None = None) -> Fraction:
    """Return specific gravity on the volume at a moisture from that on green volume.

    G = Gb / (1 - S (1 - x/30)/100), S the shrinkage by volume in %, 26.5 Gb where it is not known; x no
    more than 30 %, above it the volume no longer changes: FPL-GTR-76 (Simpson 1993).
    """
    need_positive(green, "the specific gravity", "")
    _need_moisture(moisture_pct)
    shrinkage = _ESTIMATE * green if shrinkage_volume_pct is None else shrinkage_volume_pct
    dried = 1 - min(Fraction(moisture_pct), _SATURATED) / _SATURATED
    return green / (1 - shrinkage * dried / 100)


def gravity_green(wood: Wood) -> Fraction:
    """Return ovendry mass over green volume: as printed, or reckoned back from 12 % moisture."""
    if wood.gravity_green is not None:
        return wood.gravity_green.value
    twelve = gravity_twelve(wood)
    dried = 1 - _TWELVE / _SATURATED
    if wood.shrinkage_volume is not None:
        return twelve * (1 - wood.shrinkage_volume.value * dried / 100)
    # Gb / (1 - 0.265 Gb d) = G12, solved for Gb.
    return twelve / (1 + twelve * _ESTIMATE * dried / 100)


def gravity_ovendry(wood: Wood) -> Fraction:
    """Return ovendry mass over ovendry volume: what the design code sorts woods by."""
    shrinkage = wood.shrinkage_volume.value if wood.shrinkage_volume else None
    return gravity_at(gravity_green(wood), Fraction(0), shrinkage)


def wood_density_kg_m3(wood: Wood, moisture_pct: Fraction) -> Fraction:
    """Return a wood's density at a moisture: at 12 % exactly the tabled one, else scaled by the equations."""
    if moisture_pct == _TWELVE:
        return wood.density.value
    shrinkage = wood.shrinkage_volume.value if wood.shrinkage_volume else None
    green = gravity_green(wood)
    ratio = density_kg_m3(gravity_at(green, moisture_pct, shrinkage), moisture_pct) / density_kg_m3(
        gravity_at(green, _TWELVE, shrinkage), _TWELVE
    )
    return wood.density.value * ratio


def density_of_ovendry_lb_ft3(gravity: Number, moisture_pct: Number) -> float:
    """Return density in lb/ft³ from specific gravity on ovendry volume: 62.4 G / (1 + 0.009 G x) (1 + x/100).

    National Design Specification for Wood Construction (NDS), supplement.
    """
    need_positive(gravity, "the specific gravity", "")
    g, x = float(gravity), float(moisture_pct)
    return 62.4 * g / (1 + 0.009 * g * x) * (1 + x / 100)


def mass_g(density: Fraction, volume_mm3: Fraction) -> Fraction:
    """Return a mass in grams from kg/m³ and mm³: 1 kg/m³ is a millionth of a gram per mm³."""
    need_positive(density, "the density", "kg/m³", slug="no-density")
    return density * volume_mm3 / 10**6


def gravity_twelve(wood: Wood) -> Fraction:
    """Return ovendry mass over volume at 12 % moisture: as printed, or from the density there."""
    if wood.specific_gravity is not None:
        return wood.specific_gravity.value
    return wood.density.value / 1000 / (1 + _TWELVE / 100)


def _need_moisture(moisture_pct: Fraction) -> None:
    if moisture_pct < 0:
        raise TradeError(
            "negative-moisture",
            f"the moisture is `{float(moisture_pct):g} %`, wood holds no less than 0 %",
            "write the moisture as a meter shows it, for example `8 %`",
        )
    need_between(moisture_pct, 0, 200, what="the moisture", unit="%", slug="impossible-moisture")
