"""Lines of the buying list for what is neither sawn from stock nor named by the author as bought.

Slabs, bought parts, resin by the pour, and the screws, bolts and dowels that the joints need.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from planbook.cutting.prices import Offer
from planbook.cutting.purchase import Purchase, best_offer, counted, liquid, packed
from planbook.plan.drilling import hole_schedule
from planbook.plan.model import Plan, Role, Stock, StockKind
from planbook.units.write import plain_length

Offers = Mapping[str, Sequence[Offer]]
"""Ways of selling, by the name of the material or bought thing."""


def slab_lines(plan: Plan, offers: Offers, students: int, spares: Mapping[str, int]) -> Iterator[Purchase]:
    """Give a line for each slab that parts are sawn from: everybody has one of their own, and so has every spare."""
    for stock in plan.stock:
        parts = [part for part in plan.parts if part.stock == stock.name]
        if stock.kind is not StockKind.SLAB or not parts:
            continue
        offer = best_offer(offers, stock.material, "slab", nominal=stock.nominal)
        slabs = students + max(spares.get(part.key, 0) for part in parts)
        yield Purchase(
            group="slab",
            key=stock.material,
            what=f"{stock.material}, {stock.nominal}",
            need=_slab_need(plan, stock),
            buy=counted(slabs, "slab"),
            price=offer.price * slabs if offer is not None and offer.price is not None else None,
            choose=", ".join(stock.pick),
        )


def _slab_need(plan: Plan, stock: Stock) -> str:
    """Return the size of the piece that is sawn out, the greatest where there are several."""
    parts = [part for part in plan.parts if part.stock == stock.name]
    long = max(part.length.rough for part in parts)
    wide = max(part.width.rough for part in parts)
    return f"{plain_length(long, plan.edition)} x {plain_length(wide, plan.edition)} of it"


def part_lines(plan: Plan, offers: Offers, students: int) -> Iterator[Purchase]:
    """Give a line for each bought part."""
    for part in plan.fittings:
        if part.role is Role.BOUGHT:
            what, _, note = part.note.partition("; ")
            offer = best_offer(offers, what or part.key, "pack") or best_offer(offers, part.key, "pack")
            yield packed("part", what or part.key, what or part.key, part.count * students, offer, choose=note)


def resin_lines(plan: Plan, offers: Offers, students: int) -> Iterator[Purchase]:
    """Give a line for each product that is poured, with what is spare; both of its parts together."""
    needed: dict[str, Fraction] = {}
    for pour in plan.pours:
        needed[pour.product] = needed.get(pour.product, Fraction(0)) + pour.mixed * students
    for product, need in needed.items():
        ratios = {pour.ratio for pour in plan.pours if pour.product == product and pour.ratio}
        reason = f"both parts together, {ratios.pop()}" if len(ratios) == 1 else "both parts together"
        offer = best_offer(offers, product, "pack")
        yield liquid("resin", product, f"{product} resin", need, plan.edition, offer, reason=reason)


def fastener_lines(plan: Plan, offers: Offers, students: int) -> Iterator[Purchase]:
    """Give a line for each fastener that the joints need and the author's own list does not hold already."""
    needed: dict[str, tuple[str, int]] = {}
    for group in plan.fastened:
        kind, count = needed.get(group.name, (group.kind, 0))
        needed[group.name] = (kind, count + len(group.places))
    for name, (kind, count) in needed.items():
        noun = kind.split()[-1]
        all_of_kind = sum(other for other_kind, other in needed.values() if other_kind.split()[-1] == noun)
        listed = sum(thing.count for thing in plan.bought if noun in f"{thing.key} {thing.text}".split())
        if listed < all_of_kind:
            offer = best_offer(offers, name, "pack") or best_offer(offers, kind, "pack")
            yield packed("hardware", name, name, count * students, offer)
    yield from _plugs(plan, offers, students)


def _plugs(plan: Plan, offers: Offers, students: int) -> Iterator[Purchase]:
    """Give a line for the plugs over counterbored heads, by their diameter and wood; they may be cut from offcuts."""
    needed: dict[str, int] = {}
    for line in hole_schedule(plan):
        if line.plugged and line.counterbore is not None:
            wood = plan.stock_named(plan.part(line.part).stock).material
            name = f"{plain_length(line.counterbore[0], plan.edition.finest)} plug, {wood}"
            needed[name] = needed.get(name, 0) + line.count
    for name, count in needed.items():
        yield packed("hardware", name, name, count * students, best_offer(offers, name, "pack"))
