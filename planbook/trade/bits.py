"""Bits of each edition's own series, and the one nearest to a hole that is wanted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from planbook.trade.lookup import TradeError, exact, table
from planbook.trade.sourced import Basis, Span, span
from planbook.trade.valid import Number, need_positive
from planbook.units.factors import INCH
from planbook.units.read import read_quantity

KINDS = ("twist", "brad-point", "forstner", "plug cutter")


@dataclass(frozen=True, slots=True)
class Bit:
    """One bit as it is sold."""

    kind: str
    label: str
    """`11/64 in`, `4.5 mm`."""
    diameter_mm: Fraction
    basis: Basis


@dataclass(frozen=True, slots=True)
class Choice:
    """The bit chosen for a hole, and how far it is off."""

    bit: Bit
    wanted_mm: Fraction

    @property
    def error_mm(self) -> Fraction:
        """Bit less what was wanted: above 0 the hole comes out larger."""
        return self.bit.diameter_mm - self.wanted_mm


def series(kind: str, edition_name: str) -> tuple[Bit, ...]:
    """Return the bits of a kind in an edition's own series, thin to thick; raises `TradeError`."""
    if kind not in KINDS:
        raise TradeError("unknown-bit", f"`{kind}` is no kind of bit of the tables", f"write one of {', '.join(KINDS)}")
    return _series(kind, edition_name)


def nearest_bit(wanted_mm: Fraction, kind: str, edition_name: str) -> Choice:
    """Return the bit nearest to a diameter; of two equally near the thinner."""
    _need_in_reach(wanted_mm, kind, edition_name)
    bits = series(kind, edition_name)
    return Choice(min(bits, key=lambda bit: (abs(bit.diameter_mm - wanted_mm), bit.diameter_mm)), wanted_mm)


def bit_at_least(wanted_mm: Fraction, kind: str, edition_name: str) -> Choice:
    """Return the thinnest bit that is no thinner than a diameter; raises `TradeError` where none is."""
    _need_in_reach(wanted_mm, kind, edition_name)
    return Choice(next(bit for bit in series(kind, edition_name) if bit.diameter_mm >= wanted_mm), wanted_mm)


def speed_rpm(bit: Bit) -> Span:
    """Return the usual speed range of a bit, turns a minute: 1000 v/(pi d) with the rim speed of its kind.

    Common practice, no source; the speed printed on the bit or in its sheet comes first.
    """
    data = table("bits")["speed"]
    low, high = data["m_min"].get(bit.kind, data["m_min"]["forstner"])
    cells = [Fraction(round(turns(rim, bit.diameter_mm))) for rim in (low, high)]
    return span([str(cell) for cell in cells], data["source"], data["status"])


def turns(rim_m_min: Number, diameter_mm: Number) -> float:
    """Return turns a minute for a speed at the rim: 1000 v/(pi d), by geometry."""
    need_positive(diameter_mm, "the diameter", "mm")
    return 1000 * float(rim_m_min) / (math.pi * float(diameter_mm))


def rim_m_min(turns_a_minute: Number, diameter_mm: Number) -> float:
    """Return the speed at the rim in metres a minute: pi d n/1000, by geometry."""
    need_positive(diameter_mm, "the diameter", "mm")
    return math.pi * float(diameter_mm) * float(turns_a_minute) / 1000


@cache
def _series(kind: str, edition_name: str) -> tuple[Bit, ...]:
    row = table("bits")[kind][edition_name]
    basis = Basis(row["source"], row["status"])
    if edition_name == "metric":
        return tuple(Bit(kind, f"{size:g} mm", exact(size), basis) for size in row["sizes"])
    inches = row.get("sizes") or [str(Fraction(step, 64)) for step in range(1, row["sixty_fourths"] + 1)]
    return tuple(Bit(kind, f"{size} in", read_quantity(str(size), default_unit="in").value, basis) for size in inches)


def _need_in_reach(wanted_mm: Fraction, kind: str, edition_name: str) -> None:
    need_positive(wanted_mm, "the hole", "mm")
    largest = series(kind, edition_name)[-1]
    if wanted_mm > largest.diameter_mm:
        unit = INCH if edition_name == "imperial" else 1
        name = "in" if edition_name == "imperial" else "mm"
        raise TradeError(
            "no-such-bit",
            f"a hole of `{float(wanted_mm / unit):.3g} {name}` is wider than the widest {kind} bit, {largest.label}",
            f"choose another kind of bit than `{kind}`",
        )
