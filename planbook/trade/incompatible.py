"""What does not take over what: stain over sealed wood, a film over wax, resin over oil."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from planbook.trade.lookup import TradeError, key, table
from planbook.trade.products import find_product
from planbook.trade.sourced import Basis

NO_FINISH = ("resin", "glue")
"""What may stand over or under a finish without being one."""


@dataclass(frozen=True, slots=True)
class Clash:
    """Two products that do not go on one another."""

    over: str
    under: str
    why: str
    mend: str
    until_dry: bool
    """True where it is only a matter of waiting."""
    basis: Basis


def clash(over: str, under: str) -> Clash | None:
    """Return why one product does not go on another, or None where the table knows of nothing.

    Both are names of finishes, or `resin` or `glue`. The most particular row counts: one that names
    the products before one that names their kinds. Raises `TradeError` for an unknown finish.
    """
    data = table("finishes")
    above, below = _names(over), _names(under)
    rows = [row for row in data["pairs"] if row["over"] in above and row["under"] in below]
    if not rows:
        return None
    row = min(rows, key=lambda row: above.index(row["over"]) + below.index(row["under"]))
    return _clash(row, Basis(*data["sources"][row["source"]]), over, under)


def _clash(row: dict[str, Any], basis: Basis, over: str, under: str) -> Clash:
    return Clash(over, under, row["why"], row["mend"], bool(row.get("until_dry")), basis)


def _names(name: str) -> list[str]:
    """Return a product's own name, then its kind."""
    word = key(name)
    if word in NO_FINISH:
        return [word]
    try:
        finish = find_product("finish", name)
    except TradeError as fault:
        help = f"{fault.help}, or `resin` or `glue`" if fault.help else "write a finish, `resin` or `glue`"
        raise TradeError(fault.slug, fault.message, help) from fault
    return [finish.name, finish.kind]
