"""Woods: density, strength, stiffness, hardness and movement, each figure with its source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from planbook.trade.lookup import by_name, find, key, table
from planbook.trade.sourced import Figure, figure

SATURATION_PCT = Fraction(30)
"""Fibre saturation point unless a wood has its own: Wood Handbook, FPL-GTR-190 (2010), equation 13-3."""


@dataclass(frozen=True, slots=True)
class Wood:
    """One wood at 12 % moisture."""

    name: str
    also: tuple[str, ...]
    botanical: str
    kind: str
    """`hardwood` or `softwood`."""
    density: Figure
    """Mass over volume at 12 % moisture, kg/m³."""
    radial: Figure
    """Change of size across the rings for 1 % change of moisture, as a part of the size, 6 to 14 %."""
    tangential: Figure
    """The same along the rings, as of a flat-sawn board's width."""
    specific_gravity: Figure | None = None
    """Ovendry mass over volume at 12 % moisture; not tabled for some European woods."""
    gravity_green: Figure | None = None
    """Ovendry mass over green volume, where that is what the source prints."""
    bending_strength: Figure | None = None
    """Modulus of rupture, MPa (psi): clear straight-grained wood, a mean."""
    stiffness: Figure | None = None
    """Modulus of elasticity along the grain, MPa (psi): a mean; boards scatter widely about it."""
    hardness: Figure | None = None
    """Side hardness, N (lbf)."""
    shrinkage_radial: Figure | None = None
    """Green to ovendry across the rings, %."""
    shrinkage_tangential: Figure | None = None
    """Green to ovendry along the rings, %."""
    shrinkage_volume: Figure | None = None
    """Green to ovendry by volume, %."""
    saturation: Figure | None = None
    """Fibre saturation point, %, where it is not the usual one."""
    note: str = ""
    """What to know before trusting the row."""

    @property
    def density_kg_m3(self) -> Fraction:
        """Density at 12 % moisture."""
        return self.density.value

    @property
    def saturation_pct(self) -> Fraction:
        """Fibre saturation point: above it the size no longer changes."""
        return self.saturation.value if self.saturation else SATURATION_PCT


def wood_names() -> tuple[str, ...]:
    """Return every name a wood may be called, in table order."""
    return tuple(name for row in table("species")["woods"] for name in (row["name"], *row["also"]))


def find_wood(name: str, own: Mapping[str, Wood] | None = None) -> Wood:
    """Return a wood by any of its names; raises `TradeError` with the nearest names.

    `own` holds a book's own woods by name; they stand before those of the tables.
    """
    if own:
        for called, wood in own.items():
            if key(name) in {key(called), *map(key, wood.also)}:
                return wood
    return find(name, _woods(), "unknown-wood", "wood", (*(own or ()), *wood_names()))


@cache
def _woods() -> dict[str, Wood]:
    data = table("species")
    woods = [_wood(row, data["sources"]) for row in data["woods"]]
    return by_name(((wood.name, *wood.also), wood) for wood in woods)


def _wood(row: dict[str, Any], sources: dict[str, str]) -> Wood:
    def cell(word: str) -> Figure | None:
        return figure(row[word], sources) if word in row else None

    def shrinkage(direction: str) -> Figure | None:
        group = row.get("shrinkage_pct")
        return figure((group[direction], group["source"], group["status"]), sources) if group else None

    return Wood(
        name=row["name"],
        also=tuple(row["also"]),
        botanical=row["botanical"],
        kind=row["kind"],
        density=figure(row["density_kg_m3"], sources),
        radial=figure(row["radial"], sources),
        tangential=figure(row["tangential"], sources),
        specific_gravity=cell("specific_gravity"),
        gravity_green=cell("gravity_green"),
        bending_strength=cell("bending_strength_mpa"),
        stiffness=cell("stiffness_mpa"),
        hardness=cell("hardness_n"),
        shrinkage_radial=shrinkage("radial"),
        shrinkage_tangential=shrinkage("tangential"),
        shrinkage_volume=shrinkage("volume"),
        saturation=cell("saturation_pct"),
        note=row.get("note", ""),
    )
