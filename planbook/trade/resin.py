"""Two-part resin: volume, mix by volume and by weight, layers, batches, and what a product allows. Exact.

The product's own sheet comes first: its ratio, densities, limit of a pour and temperatures. No ratio is
ever guessed from another. Volumes mm³, masses g, densities kg/l (the same as g/ml).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from planbook.trade.lookup import TradeError
from planbook.trade.mix import Mix
from planbook.trade.products import Product
from planbook.trade.sourced import AS_STATED, Basis, Figure
from planbook.trade.valid import need_positive

ARITHMETIC = Basis("arithmetic with the product's ratio and densities", "derived")
MM3_OF_LITRE = 10**6


@dataclass(frozen=True, slots=True)
class Amounts:
    """Both parts of a mix; a measure is None where it needs a density that nobody gave."""

    a_mm3: Fraction | None
    b_mm3: Fraction | None
    a_g: Fraction | None
    b_g: Fraction | None


@dataclass(frozen=True, slots=True)
class Layers:
    """A pour in equal layers."""

    count: int
    each_mm: Fraction


@dataclass(frozen=True, slots=True)
class Batches:
    """A mix in equal batches."""

    count: int
    each_mm3: Fraction


@dataclass(frozen=True, slots=True)
class PourLimit:
    """Greatest depth of one pour: what counts, and the usual figures that it goes beyond."""

    counts: Figure
    beyond: tuple[Figure, ...]


def void_mm3(
    long_mm: Fraction,
    wide_mm: Fraction,
    deep_mm: Fraction,
    *,
    proud_mm: Fraction = Fraction(0),
    filled_mm3: Fraction = Fraction(0),
) -> Fraction:
    """Return the volume of a void: length, width and depth with what stands proud, less what lies in it."""
    for value, what in ((long_mm, "the length"), (wide_mm, "the width"), (deep_mm, "the depth")):
        need_positive(value, f"{what} of the void", "mm")
    volume = long_mm * wide_mm * (deep_mm + proud_mm) - filled_mm3
    need_positive(volume, "the volume left in the void", "mm³", slug="no-void")
    return volume


def coat_mm3(area_mm2: Fraction, thick_mm: Fraction) -> Fraction:
    """Return the volume of a coat over an area."""
    need_positive(area_mm2, "the area", "mm²")
    need_positive(thick_mm, "the thickness of the coat", "mm")
    return area_mm2 * thick_mm


def with_spare_mm3(volume_mm3: Fraction, spare_pct: Fraction) -> Fraction:
    """Return a volume with what stays in the cup and on the surface; 5 to 10 % is common practice, no source."""
    if spare_pct < 0:
        raise TradeError("negative-spare", f"the spare is `{float(spare_pct):g} %`, it is 0 or more", None)
    return volume_mm3 * (1 + spare_pct / 100)


def amounts(mix: Mix, volume_mm3: Fraction) -> Amounts:
    """Return both parts for a volume of mixed resin, by volume and by weight as far as the densities tell.

    Mixing adds the volumes of both parts. A ratio by weight needs both densities to fill a volume:
    without them `TradeError`.
    """
    need_positive(volume_mm3, "the volume", "mm³", slug="no-void")
    share_a, share_b = _volume_shares(mix)
    a, b = volume_mm3 * share_a / (share_a + share_b), volume_mm3 * share_b / (share_a + share_b)
    return Amounts(a, b, _grams(a, mix.density_a), _grams(b, mix.density_b))


def amounts_of_mass(mix: Mix, total_g: Fraction) -> Amounts:
    """Return both parts for a mass of mixed resin; a ratio by volume needs both densities."""
    need_positive(total_g, "the mass", "g", slug="no-void")
    ratio_a, ratio_b = _mass_shares(mix)
    a, b = total_g * ratio_a / (ratio_a + ratio_b), total_g * ratio_b / (ratio_a + ratio_b)
    return Amounts(_litres(a, mix.density_a), _litres(b, mix.density_b), a, b)


def mass_ratio(mix: Mix) -> Fraction:
    """Return A to B by weight as one number: r ρa/ρb for a ratio by volume."""
    a, b = _mass_shares(mix)
    return a / b


def layers(deep_mm: Fraction, limit_mm: Fraction) -> Layers:
    """Return the fewest equal layers no deeper than a limit; an exact multiple adds none."""
    need_positive(deep_mm, "the depth", "mm")
    need_positive(limit_mm, "the greatest depth of a pour", "mm", slug="no-pour-limit")
    count = ceil(deep_mm / limit_mm)
    return Layers(count, deep_mm / count)


def batches(volume_mm3: Fraction, most_mm3: Fraction) -> Batches:
    """Return the fewest equal batches no larger than what is mixed at once.

    What is mixed at once is poured within the pot life; a deep cup sets sooner than the sheet says.
    """
    need_positive(volume_mm3, "the volume", "mm³", slug="no-void")
    need_positive(most_mm3, "the largest batch", "mm³")
    count = ceil(volume_mm3 / most_mm3)
    return Batches(count, volume_mm3 / count)


def pour_limit(resin: Product, stated_mm: Fraction | None) -> PourLimit:
    """Return the greatest depth of one pour of a product.

    What the product's sheet states counts; usual figures that it goes beyond are named, strictest
    first. Without a stated limit nothing counts: `TradeError` tells what is usual.
    """
    usual = _usual_limits(resin)
    if stated_mm is None:
        told = f", usual is up to {float(usual[0].value):g} mm" if usual else ""
        raise TradeError(
            "no-pour-limit",
            f"`{resin.name}` has no greatest depth of a pour{told}",
            "write the limit from the product's sheet",
        )
    need_positive(stated_mm, "the greatest depth of a pour", "mm", slug="no-pour-limit")
    counts = Figure(stated_mm, "the product's sheet", AS_STATED)
    return PourLimit(counts, tuple(figure for figure in usual if stated_mm > figure.value))


def _usual_limits(resin: Product) -> list[Figure]:
    found = [resin.taught["pour_mm"]] if "pour_mm" in resin.taught else []
    if "pour_mm" in resin.spans:
        usual = resin.spans["pour_mm"]
        found.append(Figure(usual.high, usual.source, usual.status))
    return sorted(found, key=lambda figure: figure.value)


def _volume_shares(mix: Mix) -> tuple[Fraction, Fraction]:
    _need_ratio(mix)
    if mix.by == "volume":
        return mix.a, mix.b
    density_a, density_b = _densities(mix, "fill a volume with a ratio by weight")
    return mix.a / density_a, mix.b / density_b


def _mass_shares(mix: Mix) -> tuple[Fraction, Fraction]:
    _need_ratio(mix)
    if mix.by == "weight":
        return mix.a, mix.b
    density_a, density_b = _densities(mix, "weigh a ratio by volume")
    return mix.a * density_a, mix.b * density_b


def _need_ratio(mix: Mix) -> None:
    for value, part in ((mix.a, "A"), (mix.b, "B")):
        need_positive(value, f"part {part} of the ratio", "", slug="impossible-ratio")
    for density in (mix.density_a, mix.density_b):
        if density is not None:
            need_positive(density, "the density", "kg/l", slug="no-density")


def _densities(mix: Mix, purpose: str) -> tuple[Fraction, Fraction]:
    if mix.density_a is None or mix.density_b is None:
        raise TradeError(
            "no-density",
            f"both densities are needed to {purpose}",
            "write the densities of part A and part B from the product's sheet",
        )
    return mix.density_a, mix.density_b


def _grams(volume_mm3: Fraction, density: Fraction | None) -> Fraction | None:
    return None if density is None else volume_mm3 * density / 1000


def _litres(grams: Fraction, density: Fraction | None) -> Fraction | None:
    return None if density is None else grams * 1000 / density
