"""How much finish or glue an area takes, and how thick a coat is. Exact arithmetic.

Areas mm², volumes mm³, masses g.
"""

from __future__ import annotations

from fractions import Fraction

from planbook.trade.lookup import TradeError
from planbook.trade.sourced import Basis
from planbook.trade.valid import need_positive
from planbook.units.factors import FOOT, GALLON

ARITHMETIC = Basis("arithmetic: area, coats and coverage", "derived")
MM2_OF_M2 = 10**6
MM3_OF_LITRE = 10**6


def board_area_mm2(long_mm: Fraction, wide_mm: Fraction, thick_mm: Fraction) -> Fraction:
    """Return both faces and all four edges of a board."""
    return 2 * (long_mm * wide_mm + long_mm * thick_mm + wide_mm * thick_mm)


def finish_mm3(area_mm2: Fraction, *, coats: int, cover_m2_l: Fraction, loss_pct: Fraction = Fraction(0)) -> Fraction:
    """Return the finish to buy: area times coats by the coverage of one coat, plus what is lost.

    Loss is 20 to 40 % when spraying (common practice, no source).
    """
    need_positive(area_mm2, "the area", "mm²")
    need_positive(coats, "the number of coats", "")
    need_positive(cover_m2_l, "the coverage", "m²/l")
    if loss_pct < 0:
        raise TradeError("negative-loss", f"the loss is `{float(loss_pct):g} %`, it is 0 or more", None)
    litres = area_mm2 / MM2_OF_M2 * coats / cover_m2_l * (1 + loss_pct / 100)
    return litres * MM3_OF_LITRE


def cover_of_sq_ft_gal(rate: Fraction) -> Fraction:
    """Return a coverage in square feet to the US gallon as m²/l."""
    return rate * FOOT**2 / MM2_OF_M2 / (GALLON / MM3_OF_LITRE)


def wet_film_mm(cover_m2_l: Fraction) -> Fraction:
    """Return the thickness of a wet coat: a litre over its area, 1/rate mm."""
    need_positive(cover_m2_l, "the coverage", "m²/l")
    return 1 / cover_m2_l


def dry_film_mm(cover_m2_l: Fraction, solids_pct: Fraction) -> Fraction:
    """Return the thickness of a dry coat: the wet one times the solids by volume."""
    if not 0 < solids_pct <= 100:
        raise TradeError("impossible-solids", f"the solids are `{float(solids_pct):g} %`, 0 to 100 % can be", None)
    return wet_film_mm(cover_m2_l) * solids_pct / 100


def glue_g(area_mm2: Fraction, spread_g_m2: Fraction, *, faces: int = 1) -> Fraction:
    """Return the glue for joints of an area, spread on one face or on both."""
    need_positive(area_mm2, "the area", "mm²")
    need_positive(spread_g_m2, "the spread", "g/m²")
    return area_mm2 / MM2_OF_M2 * spread_g_m2 * faces
