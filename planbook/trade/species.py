"""Woods: density and movement, each figure with its source."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from planbook.trade.lookup import by_name, exact, find, table


@dataclass(frozen=True, slots=True)
class Figure:
    """A number of a table with its source and how well it is founded."""

    value: Fraction
    source: str
    status: str
    """`confirmed`, `cross-checked`, `derived`, `practice` or `from memory`."""


@dataclass(frozen=True, slots=True)
class Wood:
    """One wood at 12 % moisture."""

    name: str
    also: tuple[str, ...]
    botanical: str
    kind: str
    """`hardwood` or `softwood`."""
    specific_gravity: Figure | None
    """Ovendry mass over volume at 12 % moisture; not tabled for some European woods."""
    density: Figure
    """Mass over volume at 12 % moisture, kg/m³."""
    radial: Figure
    """Change of size across the rings for 1 % change of moisture, as a part of the size, 6 to 14 %."""
    tangential: Figure
    """The same along the rings, as of a flat-sawn board's width."""

    @property
    def density_kg_m3(self) -> Fraction:
        """Density at 12 % moisture."""
        return self.density.value


def wood_names() -> tuple[str, ...]:
    """Return every name a wood may be called, in table order."""
    return tuple(name for row in table("species")["woods"] for name in (row["name"], *row["also"]))


def find_wood(name: str) -> Wood:
    """Return a wood by any of its names; raises `TradeError` with the nearest names."""
    return find(name, _woods(), "unknown-wood", "wood", wood_names())


@cache
def _woods() -> dict[str, Wood]:
    data = table("species")
    woods = [_wood(row, data["sources"]) for row in data["woods"]]
    return by_name(((wood.name, *wood.also), wood) for wood in woods)


def _wood(row: dict[str, Any], sources: dict[str, str]) -> Wood:
    def figure(word: str) -> Figure:
        cell = row[word]
        return Figure(exact(cell["value"]), sources[cell["source"]], cell["status"])

    return Wood(
        name=row["name"],
        also=tuple(row["also"]),
        botanical=row["botanical"],
        kind=row["kind"],
        specific_gravity=figure("specific_gravity") if "specific_gravity" in row else None,
        density=figure("density_kg_m3"),
        radial=figure("radial"),
        tangential=figure("tangential"),
    )
