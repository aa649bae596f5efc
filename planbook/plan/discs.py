"""Discs: round parts in the middle of the piece, or where their words say."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.plan import stand, values
from planbook.plan.draft import Draft
from planbook.plan.shapes import Ease, EaseKind
from planbook.source.nearest import did_you_mean
from planbook.source.schema.shapes import DiscSource
from planbook.source.schema.words import Value
from planbook.units.editions import snap

if TYPE_CHECKING:
    from planbook.plan.model import Range

MOST_SIDES = 24
"""More straight sides than these are sawn as a circle."""

_EASED = re.compile(r"(.*?)\s+(round-over|rounded over|chamfer)$", re.DOTALL)


def diameter(draft: Draft, name: str, form: DiscSource) -> Fraction:
    """Return the diameter of a disc in mm, rounded."""
    span = draft.part_key(name).span
    return draft.once(
        f"{name}.across", span, lambda: snap(values.size(draft, form.disc, "part", word="disc"), draft.edition)
    )


def sides(draft: Draft, form: DiscSource) -> int:
    """Return the number of straight sides of a disc: 4, 8, 12 ..., or 0 for a circle."""
    if form.sides is None:
        return 0
    found = values.count(draft, form.sides, 0, word="sides")
    if found % 4 or found > MOST_SIDES:
        raise draft.fail(
            "wrong-number",
            f"`sides` is {found}, it wants 4, 8, 12 up to {MOST_SIDES}",
            form.sides.span,
            help="write `sides: 8` for an octagon; leave it out for a circle",
        )
    return found


def interval(draft: Draft, name: str, form: DiscSource, axis: str) -> Range:
    """Return where a disc begins and ends along an axis: in the middle of the piece, and as high as its words say."""
    if stand.frame_of(draft, name).own_axis(axis) == "t":
        return stand.position(draft, name, axis, stand.thick(draft, name))
    across = diameter(draft, name, form)
    whole = stand.piece(draft, axis) or across
    return ((whole - across) / 2, (whole + across) / 2)


def ease(
    draft: Draft, name: str, value: Value | None, thick: Fraction, *, show: bool, step: int | None
) -> tuple[Ease, ...]:
    """Return what is taken off round a face: `1/8 in`, `1/4 in round-over`, `1/8 in chamfer`; nothing if not given."""
    if value is None:
        return ()
    text, _ = values.chosen(draft, value)
    match = _EASED.match(text)
    named = any(text.endswith(str(dim)) for dim in draft.facts.dims)
    if match is None and not named and re.search(r"[a-z]-?[a-z]{3,}$", text):
        word = text.split()[-1]
        help = did_you_mean(word, ["round-over", "chamfer"]) or "write `1/4 in round-over` or `1/8 in chamfer`"
        raise draft.fail("wrong-word", f"`{word}` does not say how an edge is eased", text.span, help=help)
    stem = text if match is None else text.part(match.start(1), match.end(1))
    size = snap(values.size(draft, stem, "joinery", word="ease"), draft.edition)
    if size > thick / 2:
        raise draft.fail(
            "cut-through",
            f"`{text}` takes more than half of `{name}`, which is {values.shown(draft, thick)} thick",
            text.span,
            help=f"ease it by {values.shown(draft, thick / 4)} at most",
        )
    kind = EaseKind.CHAMFER if match is not None and match[2] == "chamfer" else EaseKind.ROUND_OVER
    return (Ease(name=f"ease of {name}", kind=kind, size=size, show=show, step=step),)
