"""Facts of the trade without a publication, each worded as practice and marked as such."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from planbook.trade.lookup import find, key, table
from planbook.trade.sourced import Basis


@dataclass(frozen=True, slots=True)
class Practice:
    """One fact as practitioners tell it."""

    slug: str
    topic: str
    """`resin`, `finish`, `fasteners`, `safety`, `wood` or `strength`."""
    text: str
    basis: Basis


@cache
def practices() -> tuple[Practice, ...]:
    """Return all facts in table order."""
    data = table("practices")
    basis = Basis(data["source"], data["status"])
    return tuple(Practice(row["slug"], row["topic"], row["text"], basis) for row in data["rows"])


def practice(slug: str) -> Practice:
    """Return one fact; raises `TradeError`."""
    rows = {key(row.slug): row for row in practices()}
    return find(slug, rows, "unknown-practice", "practice", (row.slug for row in practices()))
