"""Pours of resin as the finished plan has them: what is mixed, how deep, how warm, and what is waited for."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.source.diagnostics import Span

if TYPE_CHECKING:
    from planbook.trade.resin import Amounts
    from planbook.trade.sourced import Figure

TIMES = (
    ("pot", "pot life"),
    ("layer", "next pour"),
    ("recoat", "next coat"),
    ("demould", "demoulding"),
    ("sand", "sanding"),
    ("cure", "cure"),
)
"""Times of a resin by their words in the tables and in references."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A figure that counts, and others that were told: what is usual, or what practitioners teach."""

    counts: Figure
    others: tuple[Figure, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixing:
    """One pour, mixed: lengths mm, volumes mm³, masses g, temperatures °C, times in minutes."""

    name: str
    product: str
    """As the plan calls it."""
    usual: str
    """Name of the resin of the tables or of the book, whose figures these are."""
    into: str
    """What is filled: `bark pocket`."""
    part: str
    long: Fraction
    wide: Fraction
    deep: Fraction
    """With what stands proud."""
    embedded: Fraction
    volume: Fraction
    spare_pct: Fraction | None
    """None where the plan does not say."""
    mixed: Fraction
    ratio: str
    """`2 to 1 by volume`, or empty where no ratio is known."""
    amounts: Amounts | None
    limit: Told
    """Greatest depth of one pour."""
    limit_stated: bool
    """Whether the product's own sheet was read for it."""
    pours: int
    batches: int
    largest: Figure | None
    """Most that is mixed at once, where the sheet says."""
    sealed: int
    """How often the void is sealed first."""
    walls: Fraction
    """Area of the void that is sealed, mm²."""
    dam: str
    through: bool
    least_c: Told | None
    most_c: Told | None
    times: tuple[tuple[str, Told], ...]
    """By the words of `TIMES`."""
    source: str
    span: Span
    coats: int = 0
    """Of resin over a face: how many coats; 0 for a void."""
    area: Fraction = Fraction(0)
    """Of resin over faces: their area, mm²."""

    @property
    def each_deep(self) -> Fraction:
        """Depth of one pour, mm."""
        return self.deep / self.pours

    @property
    def measure(self) -> str:
        """By what the two parts are measured: `weight` where it is known, else `volume`; empty without a ratio."""
        if self.amounts is None:
            return ""
        return "weight" if self.amounts.a_g is not None and self.amounts.b_g is not None else "volume"

    def time(self, word: str) -> Told | None:
        """Return a time by its word in the tables, or None."""
        return dict(self.times).get(word)
