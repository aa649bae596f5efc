"""Edgings: strips glued to the edges of a part, inside its finished size."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planbook.plan import stand, values
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.model import Box, Edging
from planbook.source.nearest import did_you_mean
from planbook.source.schema.parts import EdgingSource
from planbook.source.text import Text
from planbook.units.editions import snap

WORDS = {
    "front": ("y", 0),
    "back": ("y", 1),
    "left_end": ("x", 0),
    "right_end": ("x", 1),
    "lower_edge": ("z", 0),
    "upper_edge": ("z", 1),
}
"""Words of a part that put an edging on one of its sides, with the axis and end of that side."""

OVER = {"imperial": Fraction(254, 160), "metric": Fraction(2)}
"""Left over at glue-up where the author gives nothing, in mm: 1/16 in or 2 mm (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Worn:
    """An edging as one part wears it: on which side of the part, and how much of its size it takes."""

    name: str
    key: str
    """Key of its strips on the cut list: `lip of side`, or `front lip of lid` where more sides wear it."""
    side: str
    """`datum_edge`, `far_edge`, `datum_end` or `far_end`."""
    thick: Fraction
    text: Text


def source_of(draft: Draft, name: str) -> EdgingSource:
    """Return the words of an edging."""
    return next(source for key, source in draft.facts.edgings.items() if key == name)


def stock_thickness(draft: Draft, name: str) -> Fraction:
    """Return the thickness of the stock an edging is ripped from, in mm."""
    from planbook.plan.stock import named_stock

    return named_stock(draft, source_of(draft, name).of).thickness


def thick(draft: Draft, name: str) -> Fraction:
    """Return how much of the finished size an edging takes, in mm."""
    value = source_of(draft, name).thick
    if stand.value_text(value) == "full":
        return stock_thickness(draft, name)
    return values.size(draft, value, "joinery", word="thick")


def tall(draft: Draft, name: str) -> Fraction | None:
    """Return the other size of an edging in mm, or None where it is flush with both faces of its part."""
    value = source_of(draft, name).tall
    if stand.value_text(value) == "flush":
        return None
    return values.size(draft, value, "part", word="tall")


def over(draft: Draft, name: str) -> Fraction:
    """Return what stands over at glue-up and is trimmed off, in mm."""
    value = source_of(draft, name).over
    if value is None:
        return OVER[draft.edition.name]
    return values.clearance(draft, value, "joinery", word="over")


def worn_by(draft: Draft, part: str) -> tuple[Worn, ...]:
    """Return the edgings a part wears."""
    words, lie = draft.parts[part], stand.frame_of(draft, part)
    found = []
    given = [str(getattr(words, word)) for word in WORDS if getattr(words, word) is not None]
    for word, (axis, high) in WORDS.items():
        text: Text | None = getattr(words, word)
        if text is None:
            continue
        if text not in draft.facts.edgings:
            help = did_you_mean(text, [str(key) for key in draft.facts.edgings])
            raise draft.fail("unknown-edging", f"there is no edging `{text}`", text.span, help=help)
        own = lie.own_axis(axis)
        if own == "t":
            raise draft.fail(
                "which-edge",
                f"`{part}` has no edge there: `{word.replace('_', ' ')}` is one of its faces",
                text.span,
            )
        side = ("far" if high else "datum") + ("_edge" if own == "w" else "_end")
        name = str(text)
        where = f"{word.replace('_', ' ')} " if given.count(name) > 1 else ""
        found.append(Worn(name, f"{where}{name} of {part}", side, thick(draft, name), text))
    return tuple(found)


def wearers(draft: Draft) -> dict[str, str]:
    """Return the part that wears each strip of edging, by the strip's key; parts with a fault are left out."""
    found: dict[str, str] = {}
    for part in draft.parts:
        try:
            found.update((worn.key, part) for worn in worn_by(draft, part))
        except Unresolved:
            continue
    return found


def boxes(
    draft: Draft, part: str, size: tuple[Fraction, Fraction, Fraction], claims: dict[str, tuple[int | None, int | None]]
) -> tuple[Edging, ...]:
    """Return the edgings of a part with the space they take; `claims` has who glues and who trims each.

    Strips on the long edges run from end to end; those on the ends stop at them (common practice, no source).
    """
    long, across, thickness = size
    taken = {worn.side: snap(worn.thick, draft.edition) for worn in worn_by(draft, part)}
    first, last = taken.get("datum_edge", Fraction(0)), taken.get("far_edge", Fraction(0))
    found = []
    for worn in worn_by(draft, part):
        height = tall(draft, worn.name)
        band = (Fraction(0), thickness) if height is None else (thickness - snap(height, draft.edition), thickness)
        deep = snap(worn.thick, draft.edition)
        along, wide = (Fraction(0), long), (first, across - last)
        if worn.side.endswith("edge"):
            wide = (Fraction(0), deep) if worn.side.startswith("datum") else (across - deep, across)
        else:
            along = (Fraction(0), deep) if worn.side.startswith("datum") else (long - deep, long)
        glued, trimmed = claims.get(worn.name, (None, None))
        found.append(
            Edging(
                name=worn.name,
                part=part,
                key=worn.key,
                edge=worn.side,
                box=Box(along, wide, band),
                glued_in=glued,
                trimmed_in=trimmed,
            )
        )
    return tuple(found)
