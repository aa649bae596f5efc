"""Sides of a part by the words of a person in front of the piece, in the part's own axes."""

from __future__ import annotations

from fractions import Fraction

from planbook.plan import reach, stand, values
from planbook.plan.draft import Draft
from planbook.source.nearest import did_you_mean
from planbook.source.text import Text
from planbook.units.editions import snap

EACH_END = "each end"
Side = tuple[str, bool]
"""Axis of the part (`l`, `w`, `t`), and whether it is the upper end of it."""


def side(draft: Draft, part: str, text: Text) -> Side:
    """Return the side of a part that a text names; raises `Unresolved`."""
    lie = stand.frame_of(draft, part)
    face = lie.side_of_face(text)
    if face is not None:
        return "t", face == "show"
    for own in ("l", "w"):
        axis = getattr(lie, own)
        if text in reach.LOW[axis]:
            return own, False
        if text in reach.HIGH[axis] or (text == "end" and own == "l"):
            return own, True
    faces = lie.faces()
    valid = [faces.datum_end, faces.far_end, faces.datum_edge, faces.far_edge, faces.show, faces.reverse]
    raise draft.fail(
        "which-side",
        f"`{text}` is no side of `{part}`",
        text.span,
        help=did_you_mean(text, valid) or "its sides are " + ", ".join(f"`{word}`" for word in valid),
    )


def ends(draft: Draft, part: str, text: Text) -> tuple[bool, ...]:
    """Return which ends of a part a text names: True for its far end."""
    if text == EACH_END:
        return (False, True)
    own, high = side(draft, part, text)
    if own != "l":
        raise draft.fail(
            "which-side", f"`{text}` is no end of `{part}`", text.span, help=f"name an end, or `{EACH_END}`"
        )
    return (high,)


def size(draft: Draft, part: str, own: str) -> Fraction:
    """Return a finished size of a part along one of its axes, in mm, rounded."""
    low, high = stand.interval(draft, part, getattr(stand.frame_of(draft, part), own))
    return snap(high - low, draft.edition)


def along(draft: Draft, part: str, own: str, value: values.Value) -> Fraction:
    """Return where a place lies along an axis of a part, from its datum, in mm, rounded."""
    axis = getattr(stand.frame_of(draft, part), own)
    at = reach.point(draft, values.place(draft, value), axis, own=part, grid="part", hosted=False)
    return snap(at - stand.interval(draft, part, axis)[0], draft.edition)
