"""What to buy for a plan, in the packs that are sold: as rows for pages, handouts and spreadsheets."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from planbook.cutting.buying import buying_list, total
from planbook.cutting.prices import Offer, money, offers_of
from planbook.cutting.purchase import Purchase
from planbook.plan.model import Plan
from planbook.publish.book_info import BookInfo
from planbook.publish.sheet_lists import described
from planbook.source.diagnostics import Findings

if TYPE_CHECKING:
    from planbook.cutting.lots import Lot
    from planbook.cutting.practice import Practice
    from planbook.source.schema.book import ShopFacts

_TITLES = {"sheet": "sheets", "stick": "sticks", "slab": "slabs", "part": "parts"}
"""Heads of groups that are called otherwise than their lines."""


def buying(
    plan: Plan,
    lots: Sequence[Lot],
    practice: Practice,
    shop: ShopFacts,
    book: BookInfo,
    *,
    students: int = 1,
    spares: Mapping[str, int] | None = None,
) -> dict[str, Any]:
    """Return the buying list of a plan made by each of `students`, and of `spares`, whose layouts are `lots`.

    `groups` have a `group` and `rows` (`what`, `need`, `buy`, `left`, `price`, `choose`, `reason`, `to`);
    `total` is empty where nothing has a price, `without` counts the lines that have none, and `each` is what
    one of several students pays. `prices` says where the prices come from.
    """
    offers: Mapping[str, Sequence[Offer]] = offers_of(shop, plan.edition, Findings())
    lines = buying_list(plan, lots, practice, offers, students=students, spares=spares)
    cost, without = total(lines)
    groups = [
        {
            "group": _TITLES.get(group, group),
            "rows": [_row(line, shop, book) for line in lines if line.group == group],
        }
        for group in dict.fromkeys(line.group for line in lines)
    ]
    return {
        "groups": groups,
        "total": money(cost, shop) if cost else "",
        "without": without if cost else 0,
        "each": money(_up(cost / students), shop) if cost and students > 1 else "",
        "prices": bool(cost),
    }


def _row(line: Purchase, shop: ShopFacts, book: BookInfo) -> dict[str, str]:
    name = described(line.key, line.what, book)
    return {
        "what": line.what,
        "need": line.need,
        "buy": line.buy,
        "left": line.left,
        "price": money(line.price, shop) if line.price is not None else "",
        "choose": line.choose,
        "reason": line.reason,
        "to": f"material:{name}" if name else "",
    }


def _up(amount: Fraction) -> Fraction:
    """Return an amount of money, rounded up to the hundredth."""
    return Fraction(-int(-amount * 100 // 1), 100)


def buying_table(rows: Mapping[str, Any]) -> bytes:
    """Return a buying list as CSV (RFC 4180, UTF-8)."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream)
    writer.writerow(["kind", "what", "need", "buy", "left over", "price", "how to choose", "reckoned from"])
    for group in rows["groups"]:
        for row in group["rows"]:
            writer.writerow(
                [group["group"], *(row[name] for name in ("what", "need", "buy", "left", "price", "choose", "reason"))]
            )
    if rows["total"]:
        writer.writerow(["all", "", "", "", "", rows["total"], "", ""])
    if rows["each"]:
        writer.writerow(["each student", "", "", "", "", rows["each"], "", ""])
    return stream.getvalue().encode("utf-8")
