"""The words of places, and cutting a phrase into them.

The words are those of the trade for the faces, ends and edges of a board and for the joints cut into it.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from planbook.source.formula.faults import FormulaError
from planbook.source.formula.names import FUNCTIONS, WORD, NameTable
from planbook.source.nearest import did_you_mean
from planbook.units.read import ReadError, read_literal, starts_literal

RELATIONS = (
    "above", "at", "before", "behind", "below", "beyond", "centred between", "flush with", "from",
    "in from", "in front of", "left of", "on", "right of", "under",
)  # fmt: skip
FACES = (
    "back", "back face", "bottom", "face", "front", "front face", "inside", "left", "left face", "lower face",
    "outside", "right", "right face", "top", "underside", "upper face",
)  # fmt: skip
ENDS = (
    "back edge", "back end", "bottom end", "each end", "edge", "end", "foot", "front edge", "front end", "head",
    "left edge", "left end", "lower edge", "right edge", "right end", "top end", "upper edge",
)  # fmt: skip
POINTS = ("centre", "middle", "shoulder")
JOINT_KINDS = (
    "butt", "chamfer", "counterbore", "dado", "groove", "half lap", "hole", "mortise", "notch", "rabbet", "slot",
    "socket", "tenon",
)  # fmt: skip
FEATURES = (*FACES, *ENDS, *POINTS, *JOINT_KINDS)
FLOOR = "floor"
HANDS = ("left", "right")
JOINING = ("less", "of", "plus", "to")

_PHRASES = NameTable((*RELATIONS, *FEATURES, *JOINING, FLOOR))
_KINDS = {
    **dict.fromkeys(FEATURES, "feature"),
    **dict.fromkeys(RELATIONS, "relation"),
    **dict.fromkeys(JOINING, "joining"),
    FLOOR: "name",
}
_HYPHENED = re.compile(r"[^\W\d]\w*(?:-[^\W\d]\w*)+")
_BRACKET = re.compile(r" *\(")


class Item(NamedTuple):
    """One word group, number or mark of a phrase, with its place in the text."""

    kind: str
    """`relation`, `feature`, `joining`, `name`, `number`, `mark`, or `word` for one that is not known."""
    text: str
    start: int
    end: int
    depth: int
    """Brackets round it."""
    asked: bool = False
    """Whether a name has a property behind a dot, so that it can only be a formula."""


def itemize(text: str, known: NameTable) -> list[Item]:
    """Cut a `plain` phrase into items; raises `FormulaError`.

    The longest reading wins, and a known name wins over other words of the same length.
    """
    items: list[Item] = []
    at, depth = 0, 0
    while at < len(text):
        if text[at] == " ":
            at += 1
            continue
        item = _item(text, at, depth, known)
        depth += {"(": 1, ")": -1}.get(item.text, 0)
        items.append(item)
        at = item.end
    return items


def _item(text: str, at: int, depth: int, known: NameTable) -> Item:
    if starts_literal(text, at):
        try:
            end = read_literal(text, at).end
        except ReadError as fault:
            raise FormulaError(fault.message, fault.start, fault.end, help=fault.help, slug=fault.slug) from None
        return Item("number", text[at:end], at, end, depth)
    word = WORD.match(text, at)
    if word is None:
        return Item("mark", text[at], at, at + 1, depth)
    _refuse_hyphen(text, at, known)
    if word[0] in FUNCTIONS and _BRACKET.match(text, word.end()):
        return Item("mark", word[0], at, word.end(), depth)
    name = known.longest(text, at)
    phrase = _PHRASES.longest(text, at)
    if phrase is not None and (name is None or phrase[1] > name[1]):
        return Item(_KINDS[phrase[0]], phrase[0], at, phrase[1], depth)
    if name is None:
        return Item("word", word[0], at, word.end(), depth)
    asked = known.property_at(text, name[1] + 1) if text[name[1] : name[1] + 1] == "." else None
    end = asked[1] if asked else name[1]
    return Item("name", name[0], at, end, depth, asked is not None)


def _refuse_hyphen(text: str, at: int, known: NameTable) -> None:
    """Refuse `front-edge` where `front edge` is meant."""
    hyphened = _HYPHENED.match(text, at)
    if hyphened is None:
        return
    spaced = hyphened[0].replace("-", " ")
    if known.whole(spaced) or _PHRASES.whole(spaced):
        raise FormulaError(
            f"`{hyphened[0]}` holds a hyphen, which places read as minus",
            at,
            hyphened.end(),
            help=f"write `{spaced}`",
            slug="tight-minus",
        )


def suggest(word: str, known: NameTable) -> str | None:
    """Return help with the names and words of places nearest to an unknown one."""
    return did_you_mean(word, (*RELATIONS, *JOINING, *known.names, *FEATURES, FLOOR))
