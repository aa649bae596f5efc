"""How much larger than the finished part a rough piece is cut."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from planbook.trade.lookup import millimetres, table


@dataclass(frozen=True, slots=True)
class Allowance:
    """What is added to the finished length and width; thickness comes from the stock itself."""

    length_mm: Fraction
    width_mm: Fraction
    source: str


@cache
def allowance(kind: str, edition_name: str) -> Allowance:
    """Return the allowance for a kind of stock: `lumber`, `dressed`, `slab` or `panel`.

    Inch and metric figures are both round ones, not conversions of each other.
    """
    data = table("allowances")
    row = data["kinds"][kind][edition_name]
    return Allowance(millimetres(row["length"]), millimetres(row["width"]), data["source"])
