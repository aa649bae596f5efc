"""Sheet goods: what a nominal thickness really measures in each edition, sheet sizes, densities."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from planbook.trade.lookup import TradeError, by_name, exact, find, millimetres, table
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


def panel_names() -> tuple[str, ...]:
    """Return the main names of all panels, in table order."""
    return tuple(row["name"] for row in table("panels")["panels"])


def find_panel(name: str) -> str:
    """Return the main name of a panel; raises `TradeError` with the nearest names."""
    return str(_row(name)["name"])


def panel_labels(name: str, edition_name: str) -> tuple[str, ...]:
    """Return the nominal thicknesses a panel is sold in, as labels."""
    return tuple(_series(find_panel(name), edition_name))


def panel(name: str, nominal_mm: Fraction, edition_name: str) -> PanelStock:
    """Return the panel of the edition's series whose nominal thickness is nearest to the one asked for.

    Of two equally near ones it is the thinner. Raises `TradeError` for an unknown panel and where
    even the nearest is off by more than a quarter.
    """
    row = _row(name)
    label, stock = min(
        _series(row["name"], edition_name).items(),
        key=lambda item: (abs(item[1].nominal_mm - nominal_mm), item[1].nominal_mm),
    )
    if abs(stock.nominal_mm - nominal_mm) > nominal_mm * _FARTHEST:
        asked = plain_length(nominal_mm, EDITIONS[edition_name])
        raise TradeError(
            "unsold-thickness",
            f"`{row['name']}` is not sold near {asked} thick, the nearest is {label}",
            f"write one of {', '.join(panel_labels(name, edition_name))}",
        )
    return stock


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
