"""How much wood moves across the grain when its moisture changes. All exact.

Along the grain it is ignored: 0.1 to 0.2 % from green to ovendry (from memory). Means of clear wood;
real boards scatter, so no more than 1/64 in or 0.1 mm of a computed movement is worth printing.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from planbook.trade.lookup import TradeError
from planbook.trade.sourced import Basis, Figure
from planbook.trade.species import SATURATION_PCT, Wood
from planbook.trade.valid import need_between, need_positive

SMALL_CHANGE = Basis("Wood Handbook, FPL-GTR-190 (2010), equation 13-2, 6 to 14 % moisture")
ANY_CHANGE = Basis("Wood Handbook, FPL-GTR-190 (2010), equation 13-3, below the fiber saturation point")
GREEN_CHANGE = Basis("Wood Handbook, FPL-GTR-190 (2010), chapter 4, linear shrinkage below 30 %", "from memory")
SOFTWOOD_LUMBER = Basis("FPL-RP-489 (Green 1989), 8 to 19 % moisture, not for redwood and the cedars")
BETWEEN_CUTS = Basis("common practice, no source: between flat and quarter sawn, reckon as flat sawn", "practice")

_LOW_PCT, _HIGH_PCT = 6, 14
_SOFTWOOD = {"width": (Fraction("6.031"), Fraction("0.215")), "thickness": (Fraction("5.062"), Fraction("0.181"))}


class Cut(Enum):
    """How a board was sawn out of the log: which way its rings run."""

    FLAT = "flat sawn"
    QUARTER = "quarter sawn"
    BETWEEN = "between"


@dataclass(frozen=True, slots=True)
class Movement:
    """How far a width moves from one moisture to another, and by what."""

    change_mm: Fraction
    """Above 0 it grows."""
    coefficient: Figure
    equation: Basis


@dataclass(frozen=True, slots=True)
class BothWays:
    """Movement of a width over the year, from the moisture at which it was built."""

    shrinks_mm: Fraction
    """0 or more: from building to the driest time."""
    swells_mm: Fraction
    """0 or more: from building to the dampest time."""
    coefficient: Figure
    equation: Basis


def change_by_coefficient(size: Fraction, coefficient: Fraction, from_pct: Fraction, to_pct: Fraction) -> Fraction:
    """Return the change of a size, in its own unit: D C (M2 - M1).

    Wood Handbook, FPL-GTR-190 (2010), equation 13-2; both moistures from 6 to 14 %, else `TradeError`.
    """
    for pct in (from_pct, to_pct):
        need_between(pct, _LOW_PCT, _HIGH_PCT, what="the moisture", unit="%", slug="outside-the-equation")
    return size * coefficient * (to_pct - from_pct)


def change_by_shrinkage(
    size: Fraction,
    shrinkage_pct: Fraction,
    from_pct: Fraction,
    to_pct: Fraction,
    saturation_pct: Fraction = SATURATION_PCT,
) -> Fraction:
    """Return the change of a size from its shrinkage green to ovendry: D (M2 - M1) / (100 F/S - F + M1).

    Wood Handbook, FPL-GTR-190 (2010), equation 13-3. A moisture above the fibre saturation point F
    counts as F: nothing moves there.
    """
    need_positive(shrinkage_pct, "the shrinkage", "%")
    _need_moistures(from_pct, to_pct)
    start, end = min(from_pct, saturation_pct), min(to_pct, saturation_pct)
    return size * (end - start) / (100 * saturation_pct / shrinkage_pct - saturation_pct + start)


def coefficient_of_shrinkage(shrinkage_pct: Fraction, saturation_pct: Fraction = SATURATION_PCT) -> Fraction:
    """Return the change for 1 % of moisture at 10 %: S / (100 F - (F - 10) S), equation 13-3 at M1 = 10 %.

    With F = 30 it returns the coefficients printed in Table 13-5 of the Wood Handbook.
    """
    need_positive(shrinkage_pct, "the shrinkage", "%")
    return shrinkage_pct / (100 * saturation_pct - (saturation_pct - 10) * shrinkage_pct)


def shrinkage_of_coefficient(coefficient: Fraction, saturation_pct: Fraction = SATURATION_PCT) -> Fraction:
    """Return the shrinkage in % that a coefficient stands for: the rule above, solved for S."""
    need_positive(coefficient, "the coefficient", "")
    return 100 * saturation_pct * coefficient / (1 + (saturation_pct - 10) * coefficient)


def shrinkage_to_pct(shrinkage_pct: Fraction, to_pct: Fraction) -> Fraction:
    """Return the shrinkage from green down to a moisture, %: S (30 - M)/30; nothing above 30 %.

    Wood Handbook, FPL-GTR-190 (2010), chapter 4; a straight line, for whole boards from 6 % up.
    """
    _need_moistures(to_pct)
    return shrinkage_pct * (SATURATION_PCT - min(to_pct, SATURATION_PCT)) / SATURATION_PCT


def softwood_lumber_size(size: Fraction, from_pct: Fraction, to_pct: Fraction, side: str = "width") -> Fraction:
    """Return the `width` or `thickness` of softwood lumber at another moisture.

    Shrinkage from green: 6.031 - 0.215 M % of the width, 5.062 - 0.181 M % of the thickness: FPL-RP-489
    (Green 1989), 8 to 19 %; not for redwood and the cedars.
    """
    for pct in (from_pct, to_pct):
        need_between(pct, 8, 19, what="the moisture", unit="%", slug="outside-the-equation")
    green, slope = _SOFTWOOD[side]
    return size * (100 - green + slope * to_pct) / (100 - green + slope * from_pct)


def coefficient(wood: Wood, cut: Cut) -> Figure:
    """Return the change of a board's width for 1 % of moisture, as a part of the width."""
    return wood.radial if cut is Cut.QUARTER else wood.tangential


def movement(wood: Wood, cut: Cut, width_mm: Fraction, from_pct: Fraction, to_pct: Fraction) -> Movement:
    """Return how far a width moves between two moistures.

    From 6 to 14 % by equation 13-2. Beyond, by equation 13-3 with the shrinkage that the coefficient
    stands for: so that a row of a group of species, or one whose printed shrinkage says less than its
    coefficient, stays on the safe side. Raises `TradeError` for a moisture below 0.
    """
    _need_moistures(from_pct, to_pct)
    rate = coefficient(wood, cut)
    if all(_LOW_PCT <= pct <= _HIGH_PCT for pct in (from_pct, to_pct)):
        return Movement(change_by_coefficient(width_mm, rate.value, from_pct, to_pct), rate, SMALL_CHANGE)
    shrinkage = shrinkage_of_coefficient(rate.value, wood.saturation_pct)
    change = change_by_shrinkage(width_mm, shrinkage, from_pct, to_pct, wood.saturation_pct)
    return Movement(change, rate, ANY_CHANGE)


def both_ways(
    wood: Wood, cut: Cut, width_mm: Fraction, *, built_pct: Fraction, driest_pct: Fraction, dampest_pct: Fraction
) -> BothWays:
    """Return how far a width shrinks and swells over the year from the moisture it was built at.

    For one half of a panel fixed in its middle, give half the width: what counts is the distance from
    the fixed point. A piece built damper than the dampest month only shrinks, and so on.
    """
    if driest_pct > dampest_pct:
        raise TradeError(
            "driest-above-dampest",
            f"the driest moisture `{float(driest_pct):g} %` is above the dampest `{float(dampest_pct):g} %`",
            "write the lower one as the driest",
        )
    dry = movement(wood, cut, width_mm, built_pct, driest_pct)
    damp = movement(wood, cut, width_mm, built_pct, dampest_pct)
    equation = SMALL_CHANGE if dry.equation == damp.equation == SMALL_CHANGE else ANY_CHANGE
    nothing = Fraction(0)
    return BothWays(max(-dry.change_mm, nothing), max(damp.change_mm, nothing), dry.coefficient, equation)


def slot_length_mm(moves: BothWays, shank_mm: Fraction) -> Fraction:
    """Return the shortest slot across the grain for a screw set in its middle.

    Twice the larger movement plus the shank: common practice, no source.
    """
    return 2 * max(moves.shrinks_mm, moves.swells_mm) + shank_mm


def _need_moistures(*moistures_pct: Fraction) -> None:
    for pct in moistures_pct:
        if pct < 0:
            raise TradeError(
                "negative-moisture",
                f"the moisture is `{float(pct):g} %`, wood holds no less than 0 %",
                "write the moisture as a meter shows it, for example `8 %`",
            )
