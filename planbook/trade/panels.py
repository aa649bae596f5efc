"""Sheet goods: what a nominal thickness really measures in each edition, sheet sizes, densities."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from planbook.trade.lookup import TradeError, by_name, exact, find, key, millimetres, table
from planbook.units.editions import EDITIONS
from planbook.units.write import plain_length

_FARTHEST = Fraction(1, 4)
"""A sold thickness may differ from the one asked for by this part of it (our own choice)."""


@dataclass(frozen=True, slots=True)
class PanelStock:
    """One panel in one edition's own series."""

    name: str
    label: str
    """Thickness as the seller names it: `3/4 in`, `18 mm`."""
    nominal_mm: Fraction
    """The label as a length; compare it with what was asked for."""
    thickness_mm: Fraction
    """What it usually measures, exactly as tabled."""
    sheet_mm: tuple[Fraction, Fraction]
    """Width and length of the usual sheet."""
    density_kg_m3: Fraction
    source: str
    """Source of the thickness."""
    status: str
    """`confirmed`, `derived`, `practice` or `from memory`: how well the thickness is founded."""
    sheet_source: str
    density_source: str


@dataclass(frozen=True, slots=True)
class OwnPanel:
    """A sheet good of a book's own: what it is sold as, in both systems, and which of the tables it is like."""

    name: str
    also: tuple[str, ...]
    like: str
    """Main name of the panel of the tables that is as stiff and moves as much, or empty."""
    stocks: tuple[tuple[str, PanelStock], ...]
    """System (`imperial` or `metric`) and stock, in the order of the book."""


def panel_names() -> tuple[str, ...]:
    """Return the main names of all panels, in table order."""
    return tuple(row["name"] for row in table("panels")["panels"])


def find_panel(name: str) -> str:
    """Return the main name of a panel; raises `TradeError` with the nearest names."""
    return str(_row(name)["name"])


def panel_labels(name: str, edition_name: str) -> tuple[str, ...]:
    """Return the nominal thicknesses a panel is sold in, as labels."""
    return tuple(_series(find_panel(name), edition_name))


def panel(name: str, nominal_mm: Fraction, edition_name: str, own: Mapping[str, OwnPanel] | None = None) -> PanelStock:
    """Return the panel of the edition's series whose nominal thickness is nearest to the one asked for.

    Of two equally near ones it is the thinner. `own` holds a book's own panels by name, which stand before
    those of the tables. Raises `TradeError` for an unknown panel and where even the nearest is off by more
    than a quarter.
    """
    mine = find_own_panel(name, own)
    if mine is not None:
        called, stocks = mine.name, [stock for system, stock in mine.stocks if system == edition_name]
        stocks = stocks or [stock for _, stock in mine.stocks]
    else:
        called = find(name, _rows(), "unknown-panel", "panel", (*(own or ()), *panel_names()))["name"]
        stocks = list(_series(called, edition_name).values())
    found = min(stocks, key=lambda stock: (abs(stock.nominal_mm - nominal_mm), stock.nominal_mm))
    if abs(found.nominal_mm - nominal_mm) > nominal_mm * _FARTHEST:
        asked = plain_length(nominal_mm, EDITIONS[edition_name])
        raise TradeError(
            "unsold-thickness",
            f"`{called}` is not sold near {asked} thick, the nearest is {found.label}",
            f"write one of {', '.join(stock.label for stock in stocks)}",
        )
    return found


def find_own_panel(name: str, own: Mapping[str, OwnPanel] | None) -> OwnPanel | None:
    """Return a book's own panel by any of its names, or None where it is none."""
    return next(
        (plate for called, plate in (own or {}).items() if key(name) in {key(called), *map(key, plate.also)}), None
    )


def _row(name: str) -> dict[str, Any]:
    row: dict[str, Any] = find(name, _rows(), "unknown-panel", "panel", panel_names())
    return row


@cache
def _rows() -> dict[str, dict[str, Any]]:
    return by_name(([row["name"], *row["also"]], row) for row in table("panels")["panels"])


@cache
def _series(name: str, edition_name: str) -> dict[str, PanelStock]:
    """Return the stocks of a panel by label, thin to thick."""
    data, row = table("panels"), _row(name)
    series = data["series"][row[edition_name]["series"]]
    sheet = data["sheets"][row[edition_name]["sheet"]]
    stocks = {}
    for label, thickness, *more in series["rows"]:
        density, status = [*more, None, None][:2]
        stocks[label] = PanelStock(
            name=row["name"],
            label=label,
            nominal_mm=millimetres(label),
            thickness_mm=exact(thickness),
            sheet_mm=(millimetres(sheet["size"][0]), millimetres(sheet["size"][1])),
            density_kg_m3=exact(density or row["density"]["kg_m3"]),
            source=series["source"],
            status=status or series["status"],
            sheet_source=sheet["source"],
            density_source=series["source"] if density else row["density"]["source"],
        )
    return stocks
