"""What the shop should know of a plan: how far its wide boards move, when coats and glue are dry, how much to buy.

All from the tables of the trade and the book's own rows; a product's own sheet comes first.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from planbook.plan.model import Part, Plan, Role, StockKind
from planbook.plan.shop_rows import ShopRows
from planbook.publish.book_info import BookInfo
from planbook.publish.sheet_runs import counted, size
from planbook.trade.lookup import TradeError
from planbook.units.amounts import write_area, write_liquid, write_minutes, write_temperature
from planbook.units.editions import Edition
from planbook.units.factors import INCH
from planbook.units.write import decimal, write_length

if TYPE_CHECKING:
    from planbook.trade.movement import BothWays
    from planbook.trade.products import Product
    from planbook.trade.sourced import Span

_WIDE_MM = 75
"""Boards from this width on are worth a line (our own choice)."""
_GLUE_TIMES = (("open", "open"), ("closed", "until it is clamped"), ("clamp", "in clamps"), ("cure", "full strength"))


@dataclass(frozen=True, slots=True)
class Moving:
    """A wide board of solid wood, and how it moves over the year."""

    part: Part
    wood: str
    moves: BothWays


def moving(plan: Plan, own: ShopRows) -> list[Moving]:
    """Return the wide boards of solid wood; none where no room is told. Each is reckoned as flat sawn."""
    from planbook.trade.movement import Cut, both_ways
    from planbook.trade.species import find_wood

    room, found = own.room, list[Moving]()
    if room is None:
        return found
    stocks = {stock.name: stock for stock in plan.stock}
    for part in plan.parts:
        stock = stocks.get(part.stock)
        if stock is None or stock.kind is StockKind.PANEL or part.role is not Role.PART or part.body_width < _WIDE_MM:
            continue
        try:
            wood = find_wood(stock.material, own.woods)
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
        found.append(Moving(part, wood.name, moves))
    return found


def movement(plan: Plan, book: BookInfo, picture: str = "") -> dict[str, Any] | None:
    """Return how far each wide board of solid wood moves over the year, or None where no room is told.

    `picture` is the key of the drawing of the year, or empty.
    """
    room, found = book.rows.room, moving(plan, book.rows)
    if room is None or not found:
        return None
    sources = [room.basis.citation]
    for each in found:
        sources += [each.moves.equation.citation, each.moves.coefficient.citation]
    built, driest, dampest = (moisture(value) for value in (room.built_pct, room.driest_pct, room.dampest_pct))
    return {
        "rows": [
            {
                "letter": each.part.letter,
                "name": each.part.key,
                "wood": each.wood,
                "width": size(each.part.width.final, plan.edition),
                "shrinks": fine(each.moves.shrinks_mm, plan.edition),
                "swells": fine(each.moves.swells_mm, plan.edition),
            }
            for each in found
        ],
        "built": built,
        "driest": driest,
        "dampest": dampest,
        "picture": picture,
        "sources": list(dict.fromkeys(sources)),
    }


def moisture(pct: Fraction) -> str:
    """Return a moisture as a meter shows it."""
    return f"{decimal(pct, 1)} %"


def coats(plan: Plan, book: BookInfo) -> list[dict[str, Any]]:
    """Return for each finish when each coat may go on, when the piece may be used, and how much to buy.

    `starts` holds the time of each coat, counted from the first one.
    """
    from planbook.trade.coats import schedule
    from planbook.trade.products import find_product

    found = []
    for finish in plan.finish:
        try:
            product = find_product("finish", finish.product, book.rows.products.get("finish", {}))
            times = schedule(product, finish.coats)
        except TradeError:
            continue
        starts = ["at once" if number == 0 else f"after {_range(start)}" for number, start in enumerate(times.starts)]
        rows = [_row(f"coat {number}", start) for number, start in enumerate(starts, 1)]
        rows += [
            _row(what, f"after {_range(span)}")
            for what, span in (("light use", times.use), ("full hardness", times.cure))
            if span is not None
        ]
        rows += _taught(product, "topcoat", "before another product goes on it")
        rows += _warmth(product, plan.edition)
        rows += _to_buy(plan, product, finish.coats)
        sources = [product.basis.citation, *(span.citation for span in product.spans.values())]
        source = "; ".join(dict.fromkeys(sources))
        found.append({"product": finish.product, "starts": starts, "rows": rows, "source": source})
    return found


def glues(plan: Plan, book: BookInfo) -> list[dict[str, Any]]:
    """Return the times of each glue of the plan that the tables know."""
    from planbook.trade.products import find_product

    named = [row.key for row in plan.materials if row.group == "glue"]
    named += [text for joint in plan.joints for text in joint.by if text.casefold() != "glue"]
    found: dict[str, dict[str, Any]] = {}
    for name in named:
        try:
            product = find_product("glue", name, book.rows.products.get("glue", {}))
        except TradeError:
            continue
        rows = []
        for word, what in _GLUE_TIMES:
            if word in product.spans:
                rows += _taught(product, word, what) or [_row(what, _range(product.spans[word]))]
        rows += _warmth(product, plan.edition)
        citations = [product.spans[word].citation for word, _ in _GLUE_TIMES if word in product.spans]
        source = "; ".join(dict.fromkeys(citations))
        found.setdefault(product.name, {"product": name, "rows": rows, "source": source})
    return list(found.values())


def _row(what: str, value: str) -> dict[str, str]:
    return {"what": what, "value": value}


def _taught(product: Product, word: str, what: str) -> list[dict[str, str]]:
    """Return a time that is told in two ways, both of them: the stricter one counts."""
    if word not in product.spans or word not in product.taught:
        return []
    strict, usual = product.strictest(word), product.spans[word]
    taught = write_minutes(product.taught[word].value)
    return [_row(what, f"{write_minutes(strict.value)} (usual {_range(usual)}; as practitioners teach it {taught})")]


def _warmth(product: Product, edition: Edition) -> list[dict[str, str]]:
    if "least_c" not in product.spans and "least_c" not in product.taught:
        return []
    least = product.strictest("least_c") if "least_c" in product.spans else product.taught["least_c"]
    return [_row("room and wood", f"{write_temperature(least.value, edition)} or more")]


def _to_buy(plan: Plan, product: Product, count: int) -> list[dict[str, str]]:
    """Return areas and amount for all faces, edges and ends of all parts: more than enough where some stay bare."""
    from planbook.trade.coverage import finish_mm3

    areas = _areas(plan)
    whole = sum(areas.values(), Fraction(0))
    if not whole:
        return []
    rows = [_row(what, write_area(area, plan.edition)) for what, area in areas.items() if area]
    rows.append(_row("all of them", write_area(whole, plan.edition)))
    cover = product.spans.get("cover_m2_l")
    if cover is not None:
        loss = product.spans["loss_pct"].high if "loss_pct" in product.spans else Fraction(0)
        amount = finish_mm3(whole, coats=count, cover_m2_l=cover.low, loss_pct=loss)
        lost = f", {decimal(loss, 0)} % lost in the air" if loss else ""
        rows.append(_row(f"to buy for {counted(count, 'coat')}{lost}", write_liquid(amount, plan.edition)))
    return rows


def _areas(plan: Plan) -> dict[str, Fraction]:
    """Return what the parts show to a brush, by what it is: faces, long edges, end grain."""
    parts = [part for part in plan.parts if part.role is Role.PART]
    sizes = [(part.count * 2, part.length.final, part.width.final, part.thick) for part in parts]
    return {
        "faces": sum((times * long * wide for times, long, wide, _ in sizes), Fraction(0)),
        "long edges": sum((times * long * thick for times, long, _, thick in sizes), Fraction(0)),
        "ends": sum((times * wide * thick for times, _, wide, thick in sizes), Fraction(0)),
    }


def _range(span: Span) -> str:
    low, high = write_minutes(span.low), write_minutes(span.high)
    return low if low == high else f"{low} to {high}"


def fine(mm: Fraction, edition: Edition) -> str:
    """Return a small size to 1/64 in or 0.1 mm."""
    step = INCH / 64 if edition.unit_mm == INCH else Fraction(1, 10)
    return write_length(mm, edition.with_resolution(step))
