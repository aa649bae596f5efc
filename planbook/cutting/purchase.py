"""One line of a buying list: how something is counted, packed and priced."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from planbook.cutting.prices import Offer
from planbook.units.amounts import write_liquid
from planbook.units.editions import Edition
from planbook.units.write import decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """One line of the list."""

    group: str
    """`lumber`, `sheet`, `stick`, `hardware`, `glue`, `abrasive` or `finish`."""
    key: str
    what: str
    need: str
    buy: str
    left: str = ""
    price: Fraction | None = None
    """Of all that is bought, in whole coins of the currency's hundredths; None where no price is known."""
    choose: str = ""
    """How to choose it, in the author's words."""
    reason: str = ""
    """What the figure rests on."""


def packed(
    group: str, key: str, what: str, count: int, offer: Offer | None, *, choose: str = "", reason: str = ""
) -> Purchase:
    """Return a line for something that is counted; its pack is a number of pieces."""
    if offer is None or offer.pack is None:
        price = offer.price * count if offer is not None and offer.price is not None else None
        return Purchase(
            group=group, key=key, what=what, need=str(count), buy=str(count), price=price, choose=choose, reason=reason
        )
    packs = -int(-count // offer.pack)
    rest = packs * offer.pack - count
    return Purchase(
        group=group,
        key=key,
        what=what,
        need=str(count),
        buy=f"{counted(packs, 'pack')} of {decimal(offer.pack, 0)}",
        left=str(int(rest)) if rest else "",
        price=offer.price * packs if offer.price is not None else None,
        choose=choose,
        reason=reason,
    )


def liquid(
    group: str,
    key: str,
    what: str,
    need: Fraction,
    edition: Edition,
    offer: Offer | None,
    *,
    choose: str = "",
    reason: str = "",
) -> Purchase:
    """Return a line for something by volume, mm3; its pack is a volume, too."""
    written = write_liquid(need, edition)
    if offer is None or offer.volume is None:
        return Purchase(group=group, key=key, what=what, need=written, buy=written, choose=choose, reason=reason)
    packs = -int(-need // offer.volume)
    return Purchase(
        group=group,
        key=key,
        what=what,
        need=written,
        buy=f"{counted(packs, 'pack')} of {offer.written or write_liquid(offer.volume, edition)}",
        left=write_liquid(packs * offer.volume - need, edition),
        price=offer.price * packs if offer.price is not None else None,
        choose=choose,
        reason=reason,
    )


def best_offer(offers: Mapping[str, Sequence[Offer]], key: str, per: str, *, nominal: str = "") -> Offer | None:
    """Return the way of selling that fits best: of that nominal size, else of any."""
    fitting = [offer for offer in offers.get(key, ()) if offer.per in (per, "")]
    named = [offer for offer in fitting if offer.nominal and nominal.startswith(offer.nominal)]
    return next(iter([*named, *(offer for offer in fitting if not offer.nominal)]), None)


def counted(count: int, noun: str) -> str:
    """Return a count with its noun: `1 sheet`, `3 sheets`."""
    return f"{count} {noun}{'' if count == 1 else 's'}"
