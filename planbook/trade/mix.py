"""The ratio of a two-part product, by volume, by weight or both, as its own sheet states it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from planbook.trade.lookup import TradeError
from planbook.trade.valid import need_positive

By = Literal["volume", "weight"]

Ratio = tuple[Fraction, Fraction]
"""Part A to part B."""

APART = Fraction(3, 100)
"""By how much of itself a ratio by weight may differ from the one that volumes and densities give (our own choice)."""


@dataclass(frozen=True, slots=True)
class Mix:
    """The ratio of part A to part B as the product states it, and by which measure."""

    a: Fraction
    b: Fraction
    by: By
    density_a: Fraction | None = None
    """kg/l, from the product's sheet."""
    density_b: Fraction | None = None


def mix_of(
    name: str,
    *,
    by_volume: Ratio | None = None,
    by_weight: Ratio | None = None,
    density_a: Fraction | None = None,
    density_b: Fraction | None = None,
) -> Mix | None:
    """Return the mix of a product from what its sheet states, or None where it states no ratio.

    With both ratios one density gives the other: r_w = r_v ρa/ρb. Three that do not go together raise
    `TradeError` (`ratios-differ`): then one of them is misread.
    """
    for density, part in ((density_a, "A"), (density_b, "B")):
        if density is not None:
            need_positive(density, f"the density of part {part} of {name}", "kg/l", slug="no-density")
            if density > 3:
                raise TradeError(
                    "no-density",
                    f"the density of part {part} of `{name}` is `{float(density):g} kg/l`, no resin is so heavy",
                    "write it in kg/l, as `1.12`",
                )
    for ratio in (by_volume, by_weight):
        if ratio is not None:
            need_positive(min(ratio), f"a part of the ratio of {name}", "", slug="impossible-ratio")
    if by_volume is None:
        return Mix(*by_weight, "weight", density_a, density_b) if by_weight is not None else None
    if by_weight is not None:
        quotient = (by_weight[0] / by_weight[1]) / (by_volume[0] / by_volume[1])
        if density_a is not None and density_b is not None:
            _need_agreement(name, quotient, density_a / density_b)
        elif density_a is not None:
            density_b = density_a / quotient
        elif density_b is not None:
            density_a = density_b * quotient
    return Mix(*by_volume, "volume", density_a, density_b)


def _need_agreement(name: str, stated: Fraction, dense: Fraction) -> None:
    if abs(stated / dense - 1) > APART:
        raise TradeError(
            "ratios-differ",
            f"by both ratios of `{name}` part A weighs `{float(stated):.3g}` times part B, "
            f"by both densities `{float(dense):.3g}` times",
            "look at the product's sheet again: one of the four is misread",
        )
