"""Answers about two-part resin: how much to mix, in how many pours and batches."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.cli.reckon_answer import (
    Answer,
    QuestionError,
    Row,
    asked_length,
    asked_of,
    asked_percent,
    both_lengths,
    length_row,
)
from planbook.units.amounts import write_liquid, write_minutes, write_temperature, write_volume
from planbook.units.editions import IMPERIAL, METRIC
from planbook.units.factors import POUND
from planbook.units.quantity import VOLUME
from planbook.units.write import decimal

if TYPE_CHECKING:
    from planbook.trade.mix import Mix
    from planbook.trade.products import Product

_RATIO = re.compile(r"\s*(\d+(?:\.\d+)?)\s*(?:to|:)\s*(\d+(?:\.\d+)?)\s*")
_DENSITY = re.compile(r"\s*(\d+(?:\.\d+)?)\s*(?:kg/l|g/ml|g/cm³|g/cm3)?\s*")
_TIMES = (
    ("pot", "pot life in the cup"),
    ("layer", "to the next pour"),
    ("sand", "to sanding"),
    ("demould", "out of the mould"),
    ("cure", "to full cure"),
)
_OUNCE = POUND / 16
_WARMTH = (("least_c", "slab and room at least"), ("most_c", "and at most"))


def resin(
    product: str, void: tuple[str, str, str], ratio: str, by: str, *,
    densities: tuple[str | None, str | None], proud: str, spare: str, limit: str | None, batch: str | None,
) -> Answer:  # fmt: skip
    """Return volume, mix, pours and batches for a void, length by width by depth."""
    from planbook.trade import resin as wet
    from planbook.trade.products import find_product

    kind = find_product("resin", product)
    long, wide, deep = (
        asked_length(name, text) for name, text in zip(("--long", "--wide", "--deep"), void, strict=True)
    )
    over = asked_length("--proud", proud, positive=False)
    volume = wet.void_mm3(long, wide, deep, proud_mm=over)
    mixed = wet.with_spare_mm3(volume, asked_percent("--spare", spare))
    most = wet.pour_limit(kind, asked_length("--limit", limit) if limit is not None else None)
    pours = wet.layers(deep + over, most.counts.value)
    amounts = wet.amounts(_mix(ratio, by, densities), mixed)
    rows = [
        Row("the void holds", write_volume(volume, IMPERIAL), write_volume(volume, METRIC), float(volume), "mm³"),
        _liquid(f"mix, with {spare} spare", mixed),
    ]
    for part, part_volume, grams in (("A", amounts.a_mm3, amounts.a_g), ("B", amounts.b_mm3, amounts.b_g)):
        if part_volume is not None:
            rows.append(_liquid(f"part {part} by volume", part_volume))
        if grams is not None:
            told = (f"{decimal(grams / _OUNCE, 1)} oz", f"{decimal(grams, 0)} g")
            rows.append(Row(f"part {part} by weight", *told, float(grams), "g"))
    rows += [Row("pours", str(pours.count), value=pours.count), length_row("each pour", pours.each_mm)]
    if batch is not None:
        cups = wet.batches(mixed, asked_of("--batch", batch, VOLUME, "1 qt` or `1 l"))
        rows += [Row("batches", str(cups.count), value=cups.count), _liquid("each batch", cups.each_mm3)]
    rows += _usual(kind)
    asked = (
        f"{kind.name}, {both_lengths(long)} x {both_lengths(wide)} x {both_lengths(deep)}, "
        f"{both_lengths(over)} proud, A to B {ratio} by {by}"
    )
    sources = (
        ("amounts", wet.ARITHMETIC.citation),
        ("greatest depth of a pour", most.counts.citation),
        ("times and warmth", kind.basis.citation),
    )
    beyond = tuple(
        f"The limit given is deeper than the usual {both_lengths(figure.value)} ({figure.citation})."
        for figure in most.beyond
    )
    return Answer(asked, tuple(rows), sources, (*beyond, *_remarks(amounts.a_g is None)))


def _usual(kind: Product) -> list[Row]:
    """Return the usual times and temperatures: of two figures the stricter one."""
    rows = []
    for word, what in _TIMES:
        if word in kind.spans:
            figure = kind.strictest(word)
            rows.append(Row(what, write_minutes(figure.value), value=float(figure.value), unit="min"))
    for word, what in _WARMTH:
        if word in kind.spans or word in kind.taught:
            figure = kind.strictest(word)
            told = (write_temperature(figure.value, IMPERIAL), write_temperature(figure.value, METRIC))
            rows.append(Row(what, *told, float(figure.value), "°C"))
    return rows


def _remarks(unweighed: bool) -> tuple[str, ...]:
    found = ["The product's own sheet comes first: its ratio, its depth, its times."]
    if unweighed:
        found.append(
            "Measure by volume: without the densities of both parts no weight is told, the ratio by weight is another."
        )
    found.append("Never change the ratio to speed it up. Nitrile gloves, eye protection, fresh air.")
    return tuple(found)


def _liquid(what: str, mm3: Fraction) -> Row:
    return Row(what, write_liquid(mm3, IMPERIAL), write_liquid(mm3, METRIC), float(mm3), "mm³")


def _mix(ratio: str, by: str, densities: tuple[str | None, str | None]) -> Mix:
    from planbook.trade.mix import Mix

    match = _RATIO.fullmatch(ratio)
    if match is None:
        raise QuestionError("--ratio", "impossible-ratio", f"`{ratio}` is no ratio", "write part A first, as `2 to 1`")
    a, b = (_density(name, text) for name, text in zip(("--density-a", "--density-b"), densities, strict=True))
    return Mix(Fraction(match[1]), Fraction(match[2]), "weight" if by == "weight" else "volume", a, b)


def _density(option: str, text: str | None) -> Fraction | None:
    if text is None:
        return None
    match = _DENSITY.fullmatch(text)
    if match is None:
        raise QuestionError(option, "no-density", f"`{text}` is no density", "write it in kg/l, as `1.12 kg/l`")
    value = Fraction(match[1])
    if value > 3 or value == 0:
        help = f"write `{decimal(value / 1000, 2)} kg/l`" if value > 300 else "look at the product's sheet"
        raise QuestionError(option, "no-density", f"`{text}` would be {float(value):g} kg/l, no resin is", help)
    return value
