"""Packs and prices from `shop.yaml`, in one edition."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from planbook.cutting.shop import chosen_text
from planbook.source.diagnostics import Findings
from planbook.source.nearest import did_you_mean, one_of
from planbook.source.schema.book import ShopFacts
from planbook.source.schema.buying import SoldSource
from planbook.source.schema.words import Value
from planbook.source.text import Text
from planbook.units.editions import Edition
from planbook.units.quantity import UnitError
from planbook.units.read import ReadError, read_quantity

PER = ("sheet", "stick", "board foot", "cubic metre", "slab", "pack")
_PRICE = re.compile(r"[0-9]{1,7}(?:\.[0-9]{1,2})?")


@dataclass(frozen=True, slots=True)
class Offer:
    """One way of selling."""

    nominal: str = ""
    pack: Fraction | None = None
    """Pieces in a pack."""
    volume: Fraction | None = None
    """mm3 in a pack."""
    written: str = ""
    """A pack by volume as the shop writes it: `1 qt`."""
    per: str = ""
    price: Fraction | None = None
    length: Fraction | None = None
    """mm of a stick as sold."""


def offers_of(shop: ShopFacts, edition: Edition, findings: Findings) -> dict[str, tuple[Offer, ...]]:
    """Return the ways of selling by material or thing; faults are recorded, and what is wrong is left out."""
    return {
        str(key): tuple(_offer(words, edition, findings) for words in several) for key, several in shop.sold.items()
    }


def money(price: Fraction, shop: ShopFacts) -> str:
    """Return a price with two decimals and the currency behind it."""
    return f"{float(price):.2f} {shop.currency or ''}".rstrip()


def _offer(words: SoldSource, edition: Edition, findings: Findings) -> Offer:
    per = str(words.per or "")
    if words.per is not None and per not in PER:
        help = did_you_mean(words.per, PER) or f"write {one_of(PER)}"
        findings.stop("unknown-word", f"nothing is sold by the `{words.per}`", words.per.span, help=help)
    pack, volume = _pack(chosen_text(words.pack, edition), findings) if words.pack is not None else (None, None)
    return Offer(
        nominal=str(chosen_text(words.nominal, edition)) if words.nominal is not None else "",
        pack=pack,
        volume=volume,
        written=str(chosen_text(words.pack, edition)) if words.pack is not None and volume is not None else "",
        per=per,
        price=read_price(words.price, findings) if words.price is not None else None,
        length=read_sold_length(words.length, edition, findings) if words.length is not None else None,
    )


def read_sold_length(value: Value, edition: Edition, findings: Findings) -> Fraction | None:
    """Return the length of a stick in mm; a fault is recorded."""
    text = chosen_text(value, edition)
    try:
        quantity = read_quantity(text, default_unit="in" if edition.name == "imperial" else "mm")
    except ReadError as fault:
        findings.stop(fault.slug, fault.message, text.part(fault.start, fault.end).span, help=fault.help)
        return None
    if quantity.dimension.length != 1 or quantity.value <= 0:
        findings.stop("wrong-unit", f"`{text}` is no length of a stick", text.span, help="write `8 ft` or `2.4 m`")
        return None
    return quantity.value


def _pack(text: Text, findings: Findings) -> tuple[Fraction | None, Fraction | None]:
    if text.isascii() and text.isdigit() and int(text) > 0:
        return Fraction(int(text)), None
    try:
        quantity = read_quantity(text)
    except (ReadError, UnitError):
        quantity = None
    if quantity is None or quantity.dimension.length != 3 or quantity.value <= 0:
        findings.stop("wrong-unit", f"`{text}` is no pack", text.span, help="write `100` or `16 fl oz`")
        return None, None
    return None, quantity.value


def read_price(text: Text, findings: Findings) -> Fraction | None:
    """Return a price; a fault is recorded."""
    if not _PRICE.fullmatch(text):
        findings.stop("wrong-number", f"`{text}` is no price", text.span, help="write `12.50`")
        return None
    return Fraction(text)
