"""What a shelf or leg is made of: stiffness and creep of woods and panels, and the loads they bear."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from planbook.trade.lookup import TradeError, exact, find, key, table
from planbook.trade.panels import find_panel, panel_names
from planbook.trade.sourced import Basis, Figure, Span, span
from planbook.trade.species import find_wood, wood_names

Direction = Literal["along", "across"]
"""Of the grain of solid wood or of a panel's face; of a board without grain both are the same."""


@dataclass(frozen=True, slots=True)
class SeatLoad:
    """Load of a seating test: straight down inside the rim, with a level pull outwards."""

    load_n: float
    inset_mm: float
    pull_n: float
    basis: Basis


def stiffness(material: str, direction: Direction = "along") -> Figure:
    """Return the modulus of elasticity in MPa of a wood or panel: the mean of a wood, the lowest of a panel.

    Across the grain of solid wood nothing is tabled. Raises `TradeError` for an unknown material.
    """
    if _is_panel(material):
        low = panel_range(material, direction)
        return Figure(low.low, low.source, low.status)
    wood = find_wood(material)
    if direction == "across" or wood.stiffness is None:
        raise TradeError(
            "no-stiffness",
            f"no stiffness {direction} the grain of `{wood.name}` is tabled",
            "run the grain along the span",
        )
    return wood.stiffness


def panel_range(name: str, word: Literal["along", "across", "strength"]) -> Span:
    """Return the printed range in MPa of a panel: stiffness `along` or `across`, or bending `strength`."""
    rows = _elastic(name)
    row = rows.get(word) or rows["along"]
    return span(row["mpa"], row["source"], row["status"])


def panel_expansion_pct(name: str) -> Figure | None:
    """Return the greatest change of a panel's length in %, or None where it moves as solid wood does."""
    row = _elastic(name)["expansion"]
    return Figure(exact(row["pct"]), row["source"], row["status"]) if "pct" in row else None


def creep_factor(material: str) -> Figure:
    """Return total over elastic sag after years under a lasting load, dry rooms."""
    return _creep()[_creep_group(material)]


def shelf_load_names() -> tuple[str, ...]:
    """Return the names of the shelf loads of the table."""
    return tuple(row["name"] for row in table("loads")["shelf"])


def shelf_load_kg_m(name: str) -> Span:
    """Return a usual load on a metre of shelf, kg; raises `TradeError` with the names there are."""
    return find(name, _shelf_loads(), "unknown-load", "load", shelf_load_names())


def point_load_names() -> tuple[str, ...]:
    """Return the names of the loads in one place."""
    return tuple(row["name"] for row in table("loads")["point"])


def point_load_kg(name: str) -> Figure:
    """Return a load in one place, kg; raises `TradeError` with the names there are."""
    return find(name, _point_loads(), "unknown-load", "load", point_load_names())


def seat_load() -> SeatLoad:
    """Return the load of the seating test."""
    row = table("loads")["seat"]
    return SeatLoad(row["load_n"], row["inset_mm"], row["pull_n"], Basis(row["source"], row["status"]))


def is_clothes_storage(high_mm: float, mass_kg: float, enclosed_litres: float) -> bool:
    """Tell whether ASTM F2057-23 would count a clothes storage unit in: high, heavy and roomy enough."""
    row = table("loads")["clothes_storage"]
    return bool(high_mm >= row["high_mm"] and mass_kg >= row["kg"] and enclosed_litres >= row["litres"])


def clothes_storage_basis() -> Basis:
    """Return what the rule for clothes storage rests on."""
    row = table("loads")["clothes_storage"]
    return Basis(row["source"], row["status"])


def _is_panel(material: str) -> bool:
    try:
        find_panel(material)
    except TradeError:
        _need_wood(material)
        return False
    return True


def _need_wood(material: str) -> None:
    """Refuse what is neither wood nor panel, with the nearest names of both."""
    try:
        find_wood(material)
    except TradeError:
        find(material, {}, "unknown-material", "wood or panel", (*wood_names(), *panel_names()))


def _elastic(name: str) -> dict[str, Any]:
    data = table("panels")
    main = find_panel(name)
    row = next(row for row in data["panels"] if row["name"] == main)
    found: dict[str, Any] = data["elastic"][row["elastic"]]
    return found


def _creep_group(material: str) -> str:
    if not _is_panel(material):
        return "wood"
    name = find_panel(material)
    if "plywood" in name:
        return "plywood"
    return "wood" if "pine" in name else "board"


@cache
def _creep() -> dict[str, Figure]:
    return {row["of"]: Figure(exact(row["factor"]), row["source"], row["status"]) for row in table("loads")["creep"]}


@cache
def _shelf_loads() -> dict[str, Span]:
    return {key(row["name"]): span(row["kg_m"], row["source"], row["status"]) for row in table("loads")["shelf"]}


@cache
def _point_loads() -> dict[str, Figure]:
    return {key(row["name"]): Figure(exact(row["kg"]), row["source"], row["status"]) for row in table("loads")["point"]}
