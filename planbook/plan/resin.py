"""Pours of resin: how much a void of a slab takes, and where the fill stands in the part."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from planbook.plan import slabs, stand, values
from planbook.plan.draft import Draft
from planbook.plan.surveys import Mark
from planbook.source.formula.faults import FormulaError
from planbook.source.formula.parser import Number, parse
from planbook.source.nearest import did_you_mean
from planbook.source.schema.shapes import SlabPartSource
from planbook.source.schema.slabs import ResinSource
from planbook.source.text import Text
from planbook.units.quantity import VOLUME

DENSITY = Fraction(1100)
"""kg/m3 of cured clear epoxy (common figure, no source; the product's own sheet comes first)."""

_PERCENT = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,2})?)\s*%$")
SEALED = {"once": 1, "twice": 2}


@dataclass(frozen=True, slots=True)
class Pour:
    """One void to fill, in mm and mm3, exact as measured."""

    long: Fraction
    wide: Fraction
    deep: Fraction
    """Of the void in the slab as it lies in the shop, and what stands proud of it."""
    embedded: Fraction
    """Volume of what lies in it for good, taken off."""
    volume: Fraction
    spare_pct: Fraction | None
    """What is mixed over the volume, in %, or None where the plan does not say."""
    mixed: Fraction
    """Volume with what is spare."""


def key_of(draft: Draft, name: str) -> Text:
    """Return the name of a pour as the author wrote it, with its place."""
    return next(key for key in draft.facts.resin if key == name)


def source_of(draft: Draft, name: str) -> ResinSource:
    """Return the words of a pour."""
    return draft.facts.resin[key_of(draft, name)]


def void(draft: Draft, name: str) -> Mark:
    """Return the mark that a pour fills; raises `Unresolved`."""
    source, known = source_of(draft, name), slabs.marks(draft)
    if source.into not in known:
        raise draft.fail(
            "unknown-name",
            f"no slab has a mark `{source.into}` to fill",
            source.into.span,
            help=did_you_mean(source.into, list(known)) or "name a mark of a slab",
        )
    return slabs.mark(draft, str(source.into))


def proud(draft: Draft, name: str) -> Fraction:
    """Return how far the fill stands over the slab, in mm."""
    return values.clearance(draft, source_of(draft, name).proud, "joinery", word="proud")


def pour(draft: Draft, name: str) -> Pour:
    """Return the size of a pour: length x width x depth, with what stands proud."""
    span = key_of(draft, name).span
    return draft.once(f"{name} (pour)", span, lambda: _pour(draft, name))


def _pour(draft: Draft, name: str) -> Pour:
    found, source = void(draft, name), source_of(draft, name)
    slab, _ = slabs.marks(draft)[found.name]
    key, stock = slabs.stock_key(draft, slab)
    deep = (slabs.thickness(draft, stock, key) if found.deep is None else found.deep) + proud(draft, name)
    within = _embedded(draft, source)
    volume = found.long * found.wide * deep - within
    if volume <= 0:
        raise draft.fail(
            "no-void",
            f"what lies in `{found.name}` leaves nothing of it to fill",
            source.embeds[0].span,
            help="look at its size, and at that of the void",
        )
    spare = _spare(draft, source)
    return Pour(found.long, found.wide, deep, within, volume, spare, volume * (1 + (spare or Fraction(0)) / 100))


def sealed(draft: Draft, name: str) -> int:
    """Return how often a void is sealed before it is filled; raises `Unresolved`."""
    source = source_of(draft, name)
    if source.seal is None:
        return 0
    if source.seal not in SEALED:
        help = did_you_mean(source.seal, list(SEALED)) or "write `once` or `twice`"
        raise draft.fail("wrong-word", f"`{source.seal}` does not say how often", source.seal.span, help=help)
    return SEALED[source.seal]


def _embedded(draft: Draft, source: ResinSource) -> Fraction:
    """Return the volume of what lies in a void for good, mm³: amounts, and parts by their boxes."""
    total = Fraction(0)
    for text in source.embeds:
        if text in draft.parts:
            part, _ = stand.part_named(draft, text)
            sides = [high - low for low, high in (stand.interval(draft, part, axis) for axis in "xyz")]
            total += stand.copies(draft, part) * sides[0] * sides[1] * sides[2]
            continue
        try:
            tree = parse(text, values.name_table(draft))
        except FormulaError:
            tree = None
        if not isinstance(tree, Number) or tree.quantity.dimension != VOLUME or tree.quantity.value <= 0:
            raise draft.fail(
                "wrong-unit",
                f"`{text}` is neither a part nor an amount",
                text.span,
                help="name a part, or write for example `1 1/2 cu in`",
            )
        total += tree.quantity.value
    return total


def _spare(draft: Draft, source: ResinSource) -> Fraction | None:
    if source.spare is None:
        return None
    match = _PERCENT.match(source.spare)
    if match is None or Fraction(match[1]) > 100:
        raise draft.fail("wrong-number", f"`{source.spare}` is no share", source.spare.span, help="write `spare: 15 %`")
    return Fraction(match[1])


def host(draft: Draft, name: str) -> tuple[str, SlabPartSource]:
    """Return the part that holds the void; raises `Unresolved`."""
    slab, _ = slabs.marks(draft)[void(draft, name).name]
    part = slabs.sawn_from(draft, slab)
    form = draft.forms.get(part) if part is not None else None
    if part is None or not isinstance(form, SlabPartSource):
        raise draft.fail(
            "unknown-part", f"no part is sawn from the slab that `{name}` is poured into", key_of(draft, name).span
        )
    return part, form


def space(draft: Draft, name: str) -> tuple[tuple[Fraction, Fraction], ...]:
    """Return the space of a fill in the part that holds it, from and to along l, w and t, rounded."""
    part, form = host(draft, name)
    found = void(draft, name)
    long, wide = slabs.mark_in(draft, part, form, found)
    thick = stand.thick(draft, part)
    low = Fraction(0) if found.deep is None else max(thick - found.deep, Fraction(0))
    return long, wide, (low, thick)


def remark(draft: Draft, name: str) -> str:
    """Return a pour's remark for the list: sealed how often, dammed where."""
    source = source_of(draft, name)
    told = [f"poured into the {void(draft, name).kind}"]
    if sealed(draft, name):
        told.append(f"sealed {source.seal} before")
    if source.dam is not None:
        told.append(f"dammed at the {source.dam}")
    return ", ".join(told)
