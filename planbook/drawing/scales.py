"""Standard drawing scales, and the scale bar that survives a copy at the wrong size."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planbook.units.editions import Edition
from planbook.units.factors import INCH


@dataclass(frozen=True, slots=True)
class Scale:
    """A reduction: one unit on paper stands for `ratio` units of wood."""

    ratio: Fraction
    text: str
    """As it is stated on a drawing."""

    @property
    def factor(self) -> float:
        """Paper length for each unit of wood."""
        return float(1 / self.ratio)


# ISO 5455:1979, reductions and full size.
METRIC_SCALES = tuple(Scale(Fraction(ratio), f"1 : {ratio}") for ratio in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000))


def _foot(inches: str) -> Scale:
    written = sum((Fraction(word) for word in inches.split()), Fraction(0))
    return Scale(12 / written, f"{inches} in = 1 ft")


# US architectural scales (from memory; the ratio is 12 / inches to the foot). Half size stands between
# full size and 3 in to the foot on a triangular scale (common practice, no source).
INCH_SCALES = (
    Scale(Fraction(1), "full size"),
    Scale(Fraction(2), "half size"),
    *(
        _foot(inches)
        for inches in (
            "3",
            "1 1/2",
            "1",
            "3/4",
            "1/2",
            "3/8",
            "1/4",
            "3/16",
            "1/8",
            "3/32",
            "1/16",
        )
    ),
)


def scales_of(edition: Edition) -> tuple[Scale, ...]:
    """Return the scales of an edition, largest drawing first."""
    return INCH_SCALES if edition.unit_mm == INCH else METRIC_SCALES


@dataclass(frozen=True, slots=True)
class ScaleBar:
    """Lengths for a bar of whole units that is about as long as asked."""

    steps: int
    step: Fraction
    """mm of wood for each step."""


def scale_bar(scale: Scale, edition: Edition, *, about: float = 40.0) -> ScaleBar:
    """Return the bar whose drawn length is nearest below `about` mm: 2 to 6 steps of a round size."""
    sizes = _INCH_STEPS if edition.unit_mm == INCH else _MM_STEPS
    best = ScaleBar(2, sizes[0])
    best_length = 0.0
    for size in sizes:
        for steps in (2, 3, 4, 5, 6):
            length = float(size) * steps * scale.factor
            if best_length < length <= about and float(size) * scale.factor >= about / 6.5:
                best, best_length = ScaleBar(steps, size), length
    return best


_INCH_STEPS = tuple(INCH * Fraction(n) for n in (Fraction(1, 4), Fraction(1, 2), 1, 2, 3, 6, 12, 24, 48, 96))
_MM_STEPS = tuple(Fraction(n) for n in (5, 10, 20, 50, 100, 200, 500, 1000, 2000))
