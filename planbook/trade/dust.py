"""Dust of woods: what is known to harm, and the limits in air."""

from __future__ import annotations

from dataclasses import dataclass

from planbook.trade.lookup import table
from planbook.trade.sourced import Basis
from planbook.trade.species import find_wood


@dataclass(frozen=True, slots=True)
class Harm:
    """What the dust of a wood does."""

    text: str
    strong: bool
    """More than the dust of any wood: cancer, asthma, sensitising."""
    basis: Basis


@dataclass(frozen=True, slots=True)
class DustLimit:
    """One body's limit of wood dust in air."""

    body: str
    mg_m3: float
    text: str
    basis: Basis


def dust_harms(wood: str) -> tuple[Harm, ...]:
    """Return what the dust of a wood is known for, gravest first; raises `TradeError` for an unknown wood."""
    name = find_wood(wood).name
    return tuple(
        Harm(row["harm"], bool(row.get("strong")), Basis(row["source"], row["status"]))
        for row in table("dust")["woods"]
        if name in row["woods"]
    )


def dust_limits(wood: str) -> tuple[DustLimit, ...]:
    """Return the limits that hold for the dust of a wood."""
    found = find_wood(wood)
    limits = []
    for row in table("dust")["limits"]:
        if found.name in row.get("woods", (found.name,)) and row.get("kind", found.kind) == found.kind:
            mg = row.get("inhalable", row.get("total"))
            limits.append(DustLimit(row["body"], mg, row["text"], Basis(row["source"], row["status"])))
    return tuple(limits)
