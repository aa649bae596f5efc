"""What to mix for a pour of resin: both parts, in how many pours and batches, how warm, and what to wait for.

The product's own sheet comes first. What it does not say is what is usual, marked as such; no ratio is
ever taken from another product.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from planbook.plan import resin, stand, values
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.model import Part
from planbook.plan.pours import TIMES, Mixing, Told
from planbook.plan.volumes import volume
from planbook.source.schema.plan import FinishSource
from planbook.source.text import Text
from planbook.trade.lookup import TradeError
from planbook.trade.sourced import Figure
from planbook.units import amounts
from planbook.units.editions import Edition
from planbook.units.write import decimal

if TYPE_CHECKING:
    from planbook.trade.products import Product
    from planbook.trade.resin import Amounts

_OF = re.compile(r"(.+?)\s+of\s+(.+)$")


def mixing(draft: Draft, name: str) -> Mixing:
    """Return what to mix for a pour; raises `Unresolved` after recording why."""
    return draft.once(f"{name} (mix)", resin.key_of(draft, name).span, lambda: _mixing(draft, name))


def coat(draft: Draft, parts: Iterable[Part]) -> tuple[Mixing, ...]:
    """Return what to mix where the finish is a resin poured over faces of finished parts; nothing for other finishes.

    A face is as large as the volume of its part over its thickness.
    """
    source = draft.facts.finish
    if source is None or not source.floods:
        return ()
    try:
        return (_coat(draft, source, tuple(parts)),)
    except Unresolved:
        return ()


def _coat(draft: Draft, source: FinishSource, parts: tuple[Part, ...]) -> Mixing:
    product = _product(draft, source.product)
    if source.thick is None:
        raise draft.fail(
            "missing-word",
            f"`{source.product}` is poured over `{source.floods[0]}`, and no thickness of a coat is told",
            source.product.span,
            help="add `thick: 1/16 in`",
        )
    thick = values.size(draft, source.thick, "joinery", word="thick")
    coats = values.count(draft, source.coats, 1, word="coats")
    names = [stand.part_named(draft, text)[0] for text in source.floods]
    flooded = [part for part in parts if part.key in names]
    area = sum((part.count * volume(part) / part.thick for part in flooded), Fraction(0))
    limit, stated = _limit(draft, source.product, product)
    pours = coats * ceil(thick / limit.counts.value)
    whole = area * thick * coats
    each = ceil(whole / pours / product.largest_batch.value) if product.largest_batch is not None else 1
    return Mixing(
        name=str(source.product),
        product=str(source.product),
        usual=product.name,
        into=f"upper face of {' and '.join(names)}",
        part=names[0],
        long=max((part.length.final for part in flooded), default=Fraction(0)),
        wide=max((part.width.final for part in flooded), default=Fraction(0)),
        deep=thick * coats,
        embedded=Fraction(0),
        volume=whole,
        spare_pct=None,
        mixed=whole,
        ratio=_ratio(product),
        amounts=_amounts(draft, source.product, product, whole),
        limit=limit,
        limit_stated=stated,
        pours=pours,
        batches=pours * each,
        largest=product.largest_batch,
        sealed=0,
        walls=Fraction(0),
        dam="",
        through=False,
        least_c=_told(product, "least_c"),
        most_c=_told(product, "most_c"),
        times=_times(product),
        source=product.basis.citation,
        span=source.product.span,
        coats=coats,
        area=area,
    )


def _ratio(product: Product) -> str:
    mix = product.mix
    return f"{decimal(mix.a, 2)} to {decimal(mix.b, 2)} by {mix.by}" if mix is not None else ""


def _times(product: Product) -> tuple[tuple[str, Told], ...]:
    return tuple((word, told) for word, _ in TIMES if (told := _told(product, word)) is not None)


def mixings(draft: Draft) -> tuple[Mixing, ...]:
    """Return what to mix for each pour of the plan that could be worked out."""
    found = []
    for key in draft.facts.resin:
        try:
            found.append(mixing(draft, str(key)))
        except Unresolved:
            continue
    return tuple(found)


def _mixing(draft: Draft, name: str) -> Mixing:
    source, pour, void = resin.source_of(draft, name), resin.pour(draft, name), resin.void(draft, name)
    product = _product(draft, source.product)
    limit, stated = _limit(draft, source.product, product)
    pours = ceil(pour.deep / limit.counts.value)
    share = pour.mixed / pours
    each = ceil(share / product.largest_batch.value) if product.largest_batch is not None else 1
    return Mixing(
        name=name,
        product=str(source.product),
        usual=product.name,
        into=void.kind,
        part=resin.host(draft, name)[0],
        long=pour.long,
        wide=pour.wide,
        deep=pour.deep,
        embedded=pour.embedded,
        volume=pour.volume,
        spare_pct=pour.spare_pct,
        mixed=pour.mixed,
        ratio=_ratio(product),
        amounts=_amounts(draft, source.product, product, pour.mixed),
        limit=limit,
        limit_stated=stated,
        pours=pours,
        batches=pours * each,
        largest=product.largest_batch,
        sealed=resin.sealed(draft, name),
        walls=_walls(pour, through=void.deep is None),
        dam=str(source.dam or ""),
        through=void.deep is None,
        least_c=_told(product, "least_c"),
        most_c=_told(product, "most_c"),
        times=_times(product),
        source=product.basis.citation,
        span=source.product.span,
    )


def _product(draft: Draft, text: Text) -> Product:
    from planbook.trade.products import find_product

    try:
        return find_product("resin", text, draft.rows.products.get("resin", {}))
    except TradeError as fault:
        help = fault.help or "describe it under `products` in `shop.yaml`"
        raise draft.fail(fault.slug, fault.message, text.span, help=help) from None


def _limit(draft: Draft, text: Text, product: Product) -> tuple[Told, bool]:
    """Return the greatest depth of one pour, and whether the product's own sheet says it."""
    from planbook.trade.resin import pour_limit

    usual = _told(product, "pour_mm")
    if "pour_mm" in product.stated:
        counts = product.spans["pour_mm"]
        figure = Figure(counts.high, counts.source, counts.status)
        return Told(counts=figure, others=pour_limit(product, figure.value).beyond), True
    if usual is None:
        raise draft.fail(
            "no-pour-limit",
            f"`{text}` has no greatest depth of a pour, and none is usual",
            text.span,
            help="write `deepest pour` under `products` in `shop.yaml`, from the product's own sheet",
        )
    return usual, False


def _told(product: Product, word: str) -> Told | None:
    """Return the figure that counts of a word, with what else is told: the usual range, what is taught."""
    if word not in product.spans:
        taught = product.taught.get(word)
        return Told(counts=taught) if taught is not None else None
    counts, usual = product.strictest(word), product.spans[word]
    all_told = [Figure(value, usual.source, usual.status) for value in dict.fromkeys((usual.low, usual.high))]
    all_told += [product.taught[word]] if word in product.taught else []
    return Told(counts=counts, others=tuple(figure for figure in all_told if figure.value != counts.value))


def _amounts(draft: Draft, text: Text, product: Product, mixed: Fraction) -> Amounts | None:
    from planbook.trade.resin import amounts as parts

    if product.mix is None:
        return None
    try:
        return parts(product.mix, mixed)
    except TradeError as fault:
        raise draft.fail(fault.slug, f"`{text}`: {fault.message}", text.span, help=fault.help) from None


def _walls(pour: resin.Pour, *, through: bool) -> Fraction:
    sides = 2 * (pour.long + pour.wide) * pour.deep
    return sides if through else sides + pour.long * pour.wide


def told(draft: Draft, text: Text) -> str | None:
    """Return what a reference to a pour says in words, such as `fill.part A`; None for any other reference.

    Raises `Unresolved` where the pour has no such figure, after recording why.
    """
    name, dot, word = (" ".join(piece.split()) for piece in text.partition("."))
    if not dot or name not in draft.facts.resin or word not in _WORDS:
        return None
    found = _WORDS[word](mixing(draft, name), draft.edition)
    if found:
        return found
    product = resin.source_of(draft, name).product
    if word in ("part A", "part B", "measure", "ratio"):
        raise draft.fail(
            "no-ratio",
            f"`{text}` follows from the ratio of `{product}`, which is not told",
            text.span,
            help="write `ratio by volume` or `ratio by weight` under `products` in `shop.yaml`, from its sheet",
        )
    raise draft.fail(
        "no-figure",
        f"no {word} of `{product}` is known",
        text.span,
        help="write it under `products` in `shop.yaml`, from the product's own sheet",
    )


def wait_of(draft: Draft, text: Text) -> tuple[Fraction, str] | None:
    """Return minutes and what is waited for, for a wait such as `cure of fill`; None for any other text."""
    match = _OF.match(" ".join(text.split()))
    word = {told: word for word, told in TIMES}.get(match[1]) if match else None
    if match is None or word is None or match[2] not in draft.facts.resin:
        return None
    time = mixing(draft, match[2]).time(word)
    if time is None:
        raise draft.fail(
            "no-figure",
            f"no {match[1]} of `{resin.source_of(draft, match[2]).product}` is known",
            text.span,
            help="write the time, or the figure under `products` in `shop.yaml`, from the product's own sheet",
        )
    return time.counts.value, match[2]


def warmth(least: Told | None, most: Told | None, edition: Edition) -> str:
    """Return how warm it has to be: `70 °F or more`, `70 °F to 77 °F`; empty where nothing is known."""
    if least is None:
        return ""
    low = amounts.write_temperature(least.counts.value, edition)
    if most is None or most.counts.value <= least.counts.value:
        return f"{low} or more"
    return f"{low} to {amounts.write_temperature(most.counts.value, edition)}"


def part_of(found: Mixing, part: str, edition: Edition) -> str:
    """Return how much of part `A` or `B` to take, by weight where that is known; empty without a ratio."""
    if found.amounts is None:
        return ""
    grams = found.amounts.a_g if part == "A" else found.amounts.b_g
    volume = found.amounts.a_mm3 if part == "A" else found.amounts.b_mm3
    if found.measure == "weight" and grams is not None:
        return amounts.write_weighed(grams, edition)
    return amounts.write_liquid(volume, edition) if volume is not None else ""


def _minutes(word: str) -> Callable[[Mixing, Edition], str]:
    def write(found: Mixing, _edition: Edition) -> str:
        time = found.time(word)
        return amounts.write_minutes(time.counts.value) if time is not None else ""

    return write


_WORDS: dict[str, Callable[[Mixing, Edition], str]] = {
    "part A": lambda found, edition: part_of(found, "A", edition),
    "part B": lambda found, edition: part_of(found, "B", edition),
    "measure": lambda found, _: found.measure,
    "ratio": lambda found, _: found.ratio,
    "pours": lambda found, _: str(found.pours),
    "batches": lambda found, _: str(found.batches),
    "temperature": lambda found, edition: warmth(found.least_c, found.most_c, edition),
    **{told: _minutes(word) for word, told in TIMES},
}
"""What a reference to a pour says besides its sizes, by its word."""

WORDS = tuple(_WORDS)
