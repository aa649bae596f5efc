"""Parts that are no plain boards: which words of a board hold for them too, where they are, what steps claim."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.plan import values
from planbook.plan.draft import Draft, Unresolved
from planbook.source.schema.parts import PartSource
from planbook.source.schema.shapes import (
    BoughtPartSource,
    DiscSource,
    FormSource,
    JigSource,
    ShapedSource,
    SlabPartSource,
)
from planbook.source.schema.words import Value
from planbook.source.text import Text

if TYPE_CHECKING:
    from planbook.plan.frames import Frame
    from planbook.plan.model import Range

OFFCUT = "offcut"
"""What a jig is made of when any piece will do."""

_SAME = (
    "of",
    "count",
    "runs",
    "on",
    "under",
    "underside",
    "left_face",
    "front_face",
    "flush",
    "centred",
    "note",
    "glue_up",
)
_UNTIL = re.compile(r"(.*?)\s+until\s+(.+)$", re.DOTALL)


def board_words(form: FormSource) -> PartSource:
    """Return the words of a plain board that hold for a shaped part too: its stock, number and place."""
    given = {word: getattr(form, word) for word in _SAME if word in form.model_fields_set}
    if isinstance(form, DiscSource):
        given |= {"length": form.disc, "width": form.disc, "upper_face": form.top}
    elif isinstance(form, ShapedSource):
        given |= {"length": form.length, "width": form.square}
        if form.around is not None:
            given.pop("on", None)
    elif isinstance(form, SlabPartSource):
        given |= {"length": form.length, "upper_face": form.top}
    elif isinstance(form, JigSource):
        given |= {"apart": form.jig}
        if form.of == OFFCUT:
            given.pop("of")
    elif isinstance(form, BoughtPartSource):
        given.pop("centred", None)
    return PartSource.model_construct(**{word: value for word, value in given.items() if value is not None})


def is_bought(draft: Draft, name: str) -> bool:
    """Whether a part is bought ready made."""
    return isinstance(draft.forms.get(name), BoughtPartSource)


def is_fitting(draft: Draft, name: str) -> bool:
    """Whether a part is not sawn from a stock of the plan: bought, or a jig of any offcut."""
    form = draft.forms.get(name)
    return isinstance(form, BoughtPartSource) or (isinstance(form, JigSource) and form.of == OFFCUT)


def frame_of(draft: Draft, name: str) -> Frame | None:
    """Return which way a shaped part lies, or None where its words tell it as for a board."""
    from planbook.plan import bought_parts
    from planbook.plan.frames import frame

    form = draft.forms.get(name)
    if isinstance(form, BoughtPartSource):
        return bought_parts.frame_of(draft, form)
    if isinstance(form, ShapedSource) and form.around is not None:
        return frame("z", "y", -1)
    return None


def thick(draft: Draft, name: str) -> Fraction | None:
    """Return the thickness of a shaped part in mm, or None where it is that of its stock."""
    from planbook.plan import bought_parts, jigs, slabs, splay

    form = draft.forms.get(name)
    if isinstance(form, ShapedSource):
        return splay.full(draft, name, form)
    if isinstance(form, SlabPartSource):
        return slabs.part_thickness(draft, form)
    if isinstance(form, BoughtPartSource):
        return bought_parts.sizes(draft, name, form)[2]
    if isinstance(form, JigSource):
        return jigs.sizes(draft, form)[2]
    return None


def interval(draft: Draft, name: str, axis: str) -> Range | None:
    """Return where the first copy of a shaped part begins and ends along an axis, or None for a board."""
    from planbook.plan import bought_parts, discs, jigs, slabs, splay

    form = draft.forms.get(name)
    if isinstance(form, DiscSource):
        return discs.interval(draft, name, form, axis)
    if isinstance(form, ShapedSource):
        return splay.interval(draft, name, form, axis)
    if isinstance(form, SlabPartSource):
        return slabs.interval(draft, name, form, axis)
    if isinstance(form, BoughtPartSource):
        return bought_parts.interval(draft, name, form, axis)
    if isinstance(form, JigSource):
        return jigs.interval(draft, form, axis)
    return None


def until(draft: Draft, value: Value) -> tuple[Text, Text]:
    """Return the size and the step of `1/4 in until Trim the tenons`; raises `Unresolved`."""
    text, _ = values.chosen(draft, value)
    match = _UNTIL.match(text)
    if match is None:
        raise draft.fail(
            "missing-word",
            f"`{text}` does not say until when it is left long",
            text.span,
            help=f"write for example `{text} until Trim the ends`, with the title of a step",
        )
    return text.part(match.start(1), match.end(1)), text.part(match.start(2), match.end(2))


def left_long(draft: Draft) -> Iterator[tuple[str, Text]]:
    """Give what steps trim: the name under which it is claimed, and the title of the step it is left long until."""
    for name, words in draft.parts.items():
        form = draft.forms.get(name)
        if words.spare is not None:
            yield name, words.spare.until
        elif isinstance(form, DiscSource) and form.square_until is not None:
            yield name, form.square_until
        elif isinstance(form, ShapedSource) and form.spare is not None:
            for end in ("top", "foot"):
                value: Value | None = getattr(form.spare, end)
                if value is None:
                    continue
                try:
                    yield f"{end} of {name}", until(draft, value)[1]
                except Unresolved:
                    continue


def shapings(draft: Draft) -> dict[str, tuple[str, Text]]:
    """Return what steps shape, by the name under which they claim it: the part, and where it is asked for."""
    found: dict[str, tuple[str, Text]] = {}
    for name, form in draft.forms.items():
        if isinstance(form, ShapedSource):
            found[f"shape of {name}"] = (name, form.shape)
        elif isinstance(form, DiscSource | SlabPartSource):
            words = ("ease_top", "ease_underside") if isinstance(form, DiscSource) else ("ease",)
            for word in words:
                value: Value | None = getattr(form, word)
                if value is not None:
                    found[f"ease of {name}"] = (name, values.chosen(draft, value)[0])
    return found


def owner(draft: Draft, claim: str) -> str | None:
    """Return the part that a claim such as `shape of leg` or `top of leg` is about, or None."""
    first, mark, name = claim.partition(" of ")
    known = first in ("shape", "ease", "top", "foot") and mark and name in draft.forms
    return name if known else None
