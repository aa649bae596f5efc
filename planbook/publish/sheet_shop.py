"""What the shop should know of a plan: how far its wide boards move, when coats and glue are dry, how much to buy.

All from the tables of the trade and the book's own rows; a product's own sheet comes first.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from planbook.plan.model import Plan, Role, StockKind
from planbook.publish.book_info import BookInfo
from planbook.publish.sheet_runs import size
from planbook.trade.lookup import TradeError
from planbook.units.amounts import write_area, write_liquid, write_minutes
from planbook.units.editions import Edition
from planbook.units.factors import INCH
from planbook.units.write import decimal, write_length

if TYPE_CHECKING:
    from planbook.trade.products import Product
    from planbook.trade.sourced import Span

_WIDE_MM = 75
"""Boards from this width on are worth a line (our own choice)."""
_TIMES = {
    "glue": (("open", "open"), ("clamp", "in clamps"), ("cure", "full strength")),
    "resin": (("pot", "in the cup"), ("layer", "to the next pour"), ("sand", "to sanding"), ("cure", "full cure")),
}


def movement(plan: Plan, book: BookInfo) -> dict[str, Any] | None:
    """Return how far each wide board of solid wood moves over the year, or None where no room is told."""
    from planbook.trade.movement import Cut, both_ways
    from planbook.trade.species import find_wood

    room = book.rows.room
    if room is None:
        return None
    rows, sources = [], [room.basis.citation]
    for part in plan.parts:
        stock = next((stock for stock in plan.stock if stock.name == part.stock), None)
        if stock is None or stock.kind is StockKind.PANEL or part.role is not Role.PART or part.body_width < _WIDE_MM:
            continue
        try:
            wood = find_wood(stock.material, book.rows.woods)
            moves = both_ways(
                wood,
                Cut.FLAT,
                part.width.final,
                built_pct=room.built_pct,
                driest_pct=room.driest_pct,
                dampest_pct=room.dampest_pct,
            )
        except TradeError:
            continue
        rows.append(
            {
                "letter": part.letter,
                "name": part.key,
                "wood": wood.name,
                "width": size(part.width.final, plan.edition),
                "shrinks": _fine(moves.shrinks_mm, plan.edition),
                "swells": _fine(moves.swells_mm, plan.edition),
            }
        )
        sources += [moves.equation.citation, moves.coefficient.citation]
    if not rows:
        return None
    moistures = (room.built_pct, room.driest_pct, room.dampest_pct)
    built, driest, dampest = (f"{decimal(value, 1)} %" for value in moistures)
    return {"rows": rows, "built": built, "driest": driest, "dampest": dampest, "sources": list(dict.fromkeys(sources))}


def coats(plan: Plan, book: BookInfo) -> list[dict[str, Any]]:
    """Return for each finish when each coat may go on, when the piece may be used, and how much to buy."""
    from planbook.trade.coats import schedule
    from planbook.trade.products import find_product

    found = []
    for finish in plan.finish:
        try:
            product = find_product("finish", finish.product, book.rows.products.get("finish", {}))
            times = schedule(product, finish.coats)
        except TradeError:
            continue
        rows = [
            {"what": f"coat {number}", "value": "at once" if number == 1 else f"after {_range(start)}"}
            for number, start in enumerate(times.starts, 1)
        ]
        rows += [
            {"what": what, "value": f"after {_range(span)}"}
            for what, span in (("light use", times.use), ("full hardness", times.cure))
            if span is not None
        ]
        rows += _to_buy(plan, product, finish.coats)
        found.append({"product": finish.product, "rows": rows, "source": product.basis.citation})
    return found


def glues(plan: Plan, book: BookInfo) -> list[dict[str, Any]]:
    """Return the times of each glue of the plan that the tables know."""
    names = [row.key for row in plan.materials if row.group == "glue"]
    return _times(names, "glue", book)


def _to_buy(plan: Plan, product: Product, count: int) -> list[dict[str, str]]:
    """Return area and amount for all faces and edges of all parts: more than enough where some stay bare."""
    from planbook.trade.coverage import board_area_mm2, finish_mm3

    area = sum(
        (
            part.count * board_area_mm2(part.length.final, part.width.final, part.thick)
            for part in plan.parts
            if part.role is Role.PART
        ),
        Fraction(0),
    )
    rows = [{"what": "all faces and edges", "value": write_area(area, plan.edition)}] if area else []
    cover = product.spans.get("cover_m2_l")
    if cover is not None and area:
        amount = finish_mm3(area, coats=count, cover_m2_l=cover.low)
        rows.append({"what": "to buy for them, all coats", "value": write_liquid(amount, plan.edition)})
    return rows


def _times(names: list[str], group: str, book: BookInfo) -> list[dict[str, Any]]:
    from planbook.trade.products import find_product

    found = []
    for name in names:
        try:
            product = find_product("glue", name, book.rows.products.get("glue", {}))
        except TradeError:
            continue
        rows = [
            {"what": what, "value": _range(product.spans[word])}
            for word, what in _TIMES[group]
            if word in product.spans
        ]
        citations = [product.spans[word].citation for word, _ in _TIMES[group] if word in product.spans]
        found.append({"product": name, "rows": rows, "source": "; ".join(dict.fromkeys(citations))})
    return found


def _range(span: Span) -> str:
    low, high = write_minutes(span.low), write_minutes(span.high)
    return low if low == high else f"{low} to {high}"


def _fine(mm: Fraction, edition: Edition) -> str:
    step = INCH / 64 if edition.unit_mm == INCH else Fraction(1, 10)
    return write_length(mm, edition.with_resolution(step))
