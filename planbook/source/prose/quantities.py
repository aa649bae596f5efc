"""Sizes typed as plain text, which an edition cannot convert.

Prose should say `{3/8 in}` or `{shelf dados.deep}`; what is found here was typed without braces.
Times, counts, trade sizes such as `2 x 4` and gauges such as `No. 8` are not sizes in this sense.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from planbook.source.diagnostics import Span
from planbook.source.prose.inlines import Break, Code, Emphasis, Inlines, Link, Plain, Reference, Strong
from planbook.source.text import Text


@dataclass(frozen=True, slots=True)
class TypedQuantity:
    """A quantity found in plain text."""

    text: Text
    """As typed, with its place."""
    kind: str
    """`length`, `angle`, `temperature`, `mass` or `volume`."""
    literal: str
    """The same with a unit word that planbook reads, ready for braces: `16-1/2 in`, `70 °F`."""


_UNITS: tuple[tuple[str, str, str], ...] = (
    ("volume", "cu in", r"cu\.? ?in|cubic inch(?:es)?"),
    ("volume", "fl oz", r"fl\.? ?oz|fluid ounces?"),
    ("volume", "ml", r"ml|mL|millilit(?:er|re)s?"),
    ("volume", "l", r"litres?|liters?|[lL]"),
    ("volume", "gal", r"gal|gallons?"),
    ("volume", "qt", r"qt|quarts?"),
    ("volume", "pt", r"pt|pints?"),
    ("temperature", "°F", r"° ?F|deg(?:rees?)? F(?:ahrenheit)?"),
    ("temperature", "°C", r"° ?C|deg(?:rees?)? C(?:elsius)?"),
    ("angle", "deg", r"°|deg(?:rees?)?"),
    ("length", "in", r"inch(?:es)?|in|″|”|\"|''|′′"),
    ("length", "ft", r"feet|foot|ft|′|’|'"),
    ("length", "yd", r"yards?|yd"),
    ("length", "mm", r"mm|millimet(?:er|re)s?"),
    ("length", "cm", r"cm|centimet(?:er|re)s?"),
    ("length", "m", r"met(?:er|re)s?|m"),
    ("mass", "lb", r"lbs?|pounds?"),
    ("mass", "oz", r"oz|ounces?"),
    ("mass", "kg", r"kg|kilograms?"),
    ("mass", "g", r"grams?|g"),
)

_VULGAR = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_FRACTION = rf"(?:\d+ ?[/⁄] ?\d+|[⁰¹²³⁴-⁹]+⁄[₀-₉]+|[{_VULGAR}])"
_NUMBER = rf"(?:\d+[ \u00a0\u202f-]?{_FRACTION}|{_FRACTION}|\d+\.\d+|\.\d+|\d{{1,3}}(?:,\d{{3}})+|\d+,\d+|\d+)"
_GAP = r"[ \u00a0\u202f-]?"
_ALTERNATIVES = "|".join(f"(?P<u{place}>{words})" for place, (_, _, words) in enumerate(_UNITS))
_FEET_AND_INCHES = (
    rf"(?P<compound>(?P<feet>\d+) ?(?:'|’|′|ft\b\.?|foot\b|feet\b)[ \u00a0-]?"
    rf"(?P<inches>{_NUMBER}){_GAP}(?:\"|″|”|''|in(?:ch(?:es)?)?(?![\w²³])))"
)
_QUANTITY = re.compile(
    rf"(?<![\w.,/⁄#-])(?:{_FEET_AND_INCHES}|(?P<number>{_NUMBER}){_GAP}(?:{_ALTERNATIVES})(?![\w²³]))"
)

_NAMED = re.compile(
    r"(?:\bNo\.|\b(?:step|steps|page|figure|fig\.|class|group|row|station|sheet|part|item|table|number|size|grit"
    r"|picture|hole|place))\s*$",
    re.IGNORECASE,
)
"""Words before a number that make it a name: `step 3 in ...` is no length."""

_PREPOSITION = re.compile(
    r"\s+(?:the|a|an|each|every|this|that|these|those|its|their|your|our|his|her|my|all|both|any|one|two|three"
    r"|four|place|order|turn|turns|pairs|front|all|line|use|case|total|class|hand|half|\d+)\b",
    re.IGNORECASE,
)
"""What follows the word `in` where it is no unit: `put 4 in each bag`, `a slope of 1 in 8`."""

_LOOK_BACK = 200
"""Characters before a number that may show that it is no size; a longer quotation is not seen."""

_BARRIER = "\ufffc"
"""Stands for what is not plain text, so that no quantity reaches across it."""


def typed_quantities(inlines: Inlines) -> tuple[TypedQuantity, ...]:
    """Return the lengths, angles, temperatures, masses and volumes that stand in plain text, in order.

    Bold, italic and link words are looked into; references, code and addresses are not.
    """
    flat = _Flat()
    flat.add(inlines)
    string = "".join(flat.characters)
    found = []
    for match in _QUANTITY.finditer(string):
        quantity = _read(match, string, flat)
        if quantity is not None:
            found.append(quantity)
    return tuple(found)


class _Flat:
    """Plain characters in one row, each with its place."""

    def __init__(self) -> None:
        self.characters: list[str] = []
        self.places: list[tuple[Text, int] | None] = []
        """Text that a character stands in, and its place in it; a span for each would take most of the time."""

    def add(self, inlines: Inlines) -> None:
        """Append the characters of running text."""
        for inline in inlines:
            match inline:
                case Plain(text):
                    self.characters.extend(text)
                    self.places.extend((text, place) for place in range(len(text)))
                case Strong(children) | Emphasis(children) | Link(children):
                    self.add(children)
                case Reference() | Code() | Break():
                    self.characters.append(_BARRIER)
                    self.places.append(None)

    def text(self, start: int, end: int) -> Text:
        """Return characters `start` to `end`, none of them a barrier, as text with its place."""
        first, last = self._span(start), self._span(end - 1)
        span = Span(first.file, first.line, first.column, last.end_line, last.end_column)
        return Text("".join(self.characters[start:end]), span)

    def _span(self, at: int) -> Span:
        place = self.places[at]
        assert place is not None
        text, start = place
        return text.span.part(start, start + 1)


def _read(match: re.Match[str], string: str, flat: _Flat) -> TypedQuantity | None:
    """Turn a match into a quantity, or None where it only looks like one."""
    start, end = match.span()
    before = string[max(start - _LOOK_BACK, 0) : start]
    if match["compound"]:
        literal = f"{match['feet']}' {_plain_number(match['inches'])}\""
        return TypedQuantity(flat.text(start, end), "length", literal)
    if _NAMED.search(before):
        return None
    place = next(index for index in range(len(_UNITS)) if match[f"u{index}"] is not None)
    kind, unit, _ = _UNITS[place]
    number, mark = match["number"], match[f"u{place}"]
    if number.isdigit():
        if mark == "in" and _PREPOSITION.match(string, end):
            return None
        if mark in _CLOSERS and _quoted(before, mark):
            return None
    return TypedQuantity(flat.text(start, end), kind, f"{_plain_number(number)} {unit}")


_CLOSERS = {'"': '"', "'": "'", "”": "“", "’": "‘"}


def _quoted(before: str, mark: str) -> bool:
    """Whether a quotation is open, so that `mark` closes it and is no inch or foot mark."""
    opener = _CLOSERS[mark]
    if opener != mark:
        return before.rfind(opener) > before.rfind(mark)
    opened = re.findall(rf"(?<![\w{re.escape(mark)}]){re.escape(mark)}(?=\S)", before)
    closed = re.findall(rf"(?<=[^\s\d(]){re.escape(mark)}(?!\w)", before)
    return len(opened) > len(closed)


def _plain_number(number: str) -> str:
    """Return a number with an ordinary fraction in it: `16½` becomes `16 1/2`."""
    import unicodedata

    spaced = re.sub(rf"(?<=\d)(?=[⁰¹²³⁴-⁹{_VULGAR}])", " ", number)
    digits = "".join(unicodedata.normalize("NFKC", char) if not char.isascii() else char for char in spaced)
    plain = digits.replace("⁄", "/").replace("\u00a0", " ")
    grouped = re.fullmatch(r"\d{1,3}(?:,\d{3})+", plain)
    plain = plain.replace(",", "" if grouped else ".")
    return re.sub(r" ?/ ?", "/", " ".join(plain.split()))
