"""Sticks as sold: in which lengths a dressed softwood comes, and what each costs."""

from __future__ import annotations

from fractions import Fraction

from planbook.cutting.practice import Practice, SoldStick
from planbook.cutting.prices import offers_of
from planbook.cutting.problem import Stick
from planbook.plan.model import Stock
from planbook.source.diagnostics import Findings
from planbook.source.schema.book import ShopFacts
from planbook.trade.lumber import stick_lengths
from planbook.units.editions import Edition
from planbook.units.factors import INCH
from planbook.units.write import write_feet, write_metres

END = INCH / 2
"""Sawn off one end of a stick first, the blade included: it is rough, painted or split (common practice, no source)."""
COIN = 100
"""Prices are counted in hundredths."""


def sold_sticks(shop: ShopFacts, edition: Edition, findings: Findings) -> tuple[SoldStick, ...]:
    """Return the lengths that the shop names; faults of packs and prices are recorded."""
    return tuple(
        SoldStick(material=material, nominal=offer.nominal, length=offer.length, price=offer.price)
        for material, offers in offers_of(shop, edition, findings).items()
        for offer in offers
        if offer.length is not None
    )


def sticks_of(stock: Stock, practice: Practice, edition: Edition) -> tuple[Stick, ...]:
    """Return the sticks of a stock, short to long, in whole steps of the edition.

    Where every length has a price, that is what a layout costs; else it is the wood that is bought, in mm.
    """
    own = [sold for sold in practice.sticks if sold.material == stock.material and _fits(sold, stock)]
    if not own:
        return tuple(_stick(stock, length, None, edition) for length in stick_lengths(edition.name))
    priced = all(sold.price is not None for sold in own)
    return tuple(
        _stick(stock, sold.length, sold.price if priced else None, edition)
        for sold in sorted(own, key=lambda sold: sold.length)
    )


def _fits(sold: SoldStick, stock: Stock) -> bool:
    return not sold.nominal or _plain(stock.nominal).startswith(_plain(sold.nominal))


def _plain(nominal: str) -> str:
    return "".join(nominal.split()).casefold()


def _stick(stock: Stock, length: Fraction, price: Fraction | None, edition: Edition) -> Stick:
    steps = int(length // edition.resolution)
    cost = int(price * COIN) if price is not None else int(length)
    written = write_feet(length) if edition.name == "imperial" else write_metres(length)
    return Stick(key=f"{stock.name}, {written}", length=steps, price=cost)
