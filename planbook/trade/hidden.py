"""Biscuits and loose tenons: what joins two parts from within."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from planbook.trade.lookup import TradeError, exact, table


@dataclass(frozen=True, slots=True)
class Biscuit:
    """A biscuit and the slot it goes into, half in each part; mm."""

    number: int
    long_mm: Fraction
    wide_mm: Fraction
    thick_mm: Fraction
    slot_deep_mm: Fraction
    slot_long_mm: Fraction
    """On the surface: the chord of the cutter at that depth, by geometry."""


def find_biscuit(number: int) -> Biscuit:
    """Return a biscuit by its number; raises `TradeError` with the numbers there are."""
    data = table("fasteners")["biscuits"]
    if number not in data["rows"]:
        sold = ", ".join(f"No. {known}" for known in data["rows"])
        raise TradeError("unknown-fastener", f"`No. {number}` is no size of a biscuit", f"write one of {sold}")
    long, wide, thick = (Fraction(size) for size in data["rows"][number])
    deep = wide / 2 + exact(data["deeper_mm"])
    radius = exact(data["cutter_mm"]) / 2
    chord = 2 * math.sqrt(float(radius**2 - (radius - deep) ** 2))
    return Biscuit(number, long, wide, thick, deep, Fraction(round(chord * 10), 10))
