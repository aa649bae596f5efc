"""From a phrase such as `1 in below end of side` to its tree.

The grammar (EBNF; blanks stand between words)::

    station   = value , ( "from" , extent | "at" , place ) ;
    value     = "full" | formula ;
    extent    = [ "from" ] , place , "to" , place , [ ( "less" | "plus" ) , formula ] ;
    place     = [ formula ] , relation , reference | reference | formula ;
    reference = [ feature , "of" ] , thing | feature ;
    thing     = [ "left" | "right" ] , known name | "floor" ;
    relation  = "above" | "below" | "behind" | "before" | "in front of" | "left of" | "right of" | "from"
              | "in from" | "beyond" | "flush with" | "centred between" | "on" | "under" | "at" ;
    feature   = a face, end, edge, point or kind of joint: `planbook.source.places.words.FEATURES` ;
    formula   = as in `planbook.source.formula.parser` ;

The first relation outside brackets ends the formula before it. The longest reading of words wins, and
a known name wins over a feature of the same length: where a part is called `top`, `top` is that part,
but `top of side` is still the top of the side.
Whether a name is a part, a joint or a dimension is for the reader of the tree to say.
"""

from __future__ import annotations

from dataclasses import dataclass

from planbook.source.diagnostics import Span
from planbook.source.formula.faults import FormulaError
from planbook.source.formula.names import NameTable, plain
from planbook.source.formula.parser import Formula, Name, parse
from planbook.source.formula.tokenizer import LONGEST
from planbook.source.places.words import FEATURES, FLOOR, HANDS, itemize, suggest
from planbook.source.text import Text

FULL = "full"
SIDES_OF = ("left of", "right of")


@dataclass(frozen=True, slots=True)
class Reference:
    """What a place is measured from: a feature, a thing, or a feature of a thing."""

    feature: str | None
    hand: str | None
    """`left` or `right`, where the thing is one of a pair."""
    thing: str | None
    span: Span


@dataclass(frozen=True, slots=True)
class Place:
    """One place: so far in this relation to that.

    A phrase that is one known name alone has both `offset` and `reference`, and no relation: it is a
    distance where the name is a dimension, and a thing where it is a part.
    """

    offset: Formula | None
    relation: str | None
    reference: Reference | None
    span: Span


@dataclass(frozen=True, slots=True)
class Extent:
    """From one place to another, the end moved by a formula: `sign` is -1 for less, 1 for plus."""

    start: Place
    stop: Place
    less: Formula | None
    sign: int
    span: Span


@dataclass(frozen=True, slots=True)
class Station:
    """A size that a shape has along an extent or at a place; no size means the full one."""

    value: Formula | None
    where: Extent | Place
    span: Span


def parse_place(text: Text, known: NameTable) -> Place:
    """Return the tree of a place; raises `FormulaError`."""
    parser = _Parser(text, known)
    return parser.place(0, parser.size)


def parse_extent(text: Text, known: NameTable) -> Extent:
    """Return the tree of an extent; raises `FormulaError`."""
    parser = _Parser(text, known)
    return parser.extent(0, parser.size)


def parse_station(text: Text, known: NameTable) -> Station:
    """Return the tree of a station; raises `FormulaError`."""
    parser = _Parser(text, known)
    return parser.station()


class _Parser:
    """Works on stretches of items, from `first` to before `last`."""

    def __init__(self, text: Text, known: NameTable) -> None:
        if len(text) > LONGEST:
            message = f"this place has {len(text)} characters, {LONGEST} are allowed"
            raise FormulaError(message, LONGEST, len(text), slug="too-long")
        self.text = text
        self.plain = plain(text)
        self.known = known
        self.items = itemize(self.plain, known)
        self.size = len(self.items)

    def station(self) -> Station:
        mark = self.find(0, self.size, "relation", ("from", "at"))
        if mark is None:
            raise self.fault(
                "a shape's size wants `at` and a place, or `from` ... `to`",
                0,
                self.size,
                "write for example `1 in at foot`",
            )
        value = None
        if not (mark == 1 and self.items[0].text == FULL):
            value = self.formula(0, mark)
        if self.items[mark].text == "from":
            return Station(value, self.extent(mark + 1, self.size), self.span(0, self.size))
        return Station(value, self.place(mark + 1, self.size), self.span(0, self.size))

    def extent(self, first: int, last: int) -> Extent:
        begin = first
        if first < last and self.items[first].text == "from":
            begin += 1
        middle = self.find(begin, last, "joining", ("to",))
        if middle is None:
            self.refuse_unknown(begin, last)
            raise self.fault(
                "an extent wants `to` between two places", first, last, "write for example `front to rabbet`"
            )
        change = self.find(middle + 1, last, "joining", ("less", "plus"))
        end = last if change is None else change
        start, stop = self.place(begin, middle), self.place(middle + 1, end)
        if change is None:
            return Extent(start, stop, None, 0, self.span(first, last))
        sign = -1 if self.items[change].text == "less" else 1
        return Extent(start, stop, self.formula(change + 1, last), sign, self.span(first, last))

    def place(self, first: int, last: int) -> Place:
        if first >= last:
            raise self.fault("a place is missing here", first, last, "write for example `2 in from front`")
        mark = self.find(first, last, "relation")
        span = self.span(first, last)
        if mark is not None:
            offset = self.formula(first, mark) if mark > first else None
            reference = self.reference(mark + 1, last, after=mark)
            return Place(offset, self.items[mark].text, reference, span)
        self.refuse_unknown(first, last)
        head = self.items[first]
        of_something = last > first + 1 and self.items[first + 1].text == "of"
        if head.kind == "feature" or head.text == FLOOR or of_something:
            return Place(None, None, self.reference(first, last), span)
        if head.kind == "name" and not head.asked and last == first + 1:
            named = Name(head.text, "", head.start, head.end)
            return Place(named, None, Reference(None, None, head.text, span), span)
        return Place(self.formula(first, last), None, None, span)

    def reference(self, first: int, last: int, *, after: int | None = None) -> Reference:
        """Read all items as one reference; `after` is the relation before it, if any."""
        if first >= last:
            behind = after if after is not None else first
            word = self.items[behind].text if after is not None else "it"
            raise self.fault(f"a face, an end or a thing is missing behind `{word}`", behind, behind + 1)
        self.refuse_unknown(first, last)
        span = self.span(first, last)
        head = self.items[first]
        if head.text in SIDES_OF:
            # Behind a relation, `left of side` is the left face of the side.
            hand, thing = self.thing(first + 1, last)
            return Reference(head.text.removesuffix(" of"), hand, thing, span)
        if last - first >= 2 and self.items[first + 1].text == "of":
            # A part or a dimension may be called `top` or `tenon`; before `of` the feature is meant.
            if head.asked or head.text not in FEATURES:
                raise self.fault(f"`{head.text}` is no face, end, edge or joint", first, first + 1)
            hand, thing = self.thing(first + 2, last)
            return Reference(head.text, hand, thing, span)
        if head.kind == "feature" and last == first + 1:
            return Reference(head.text, None, None, span)
        hand, thing = self.thing(first, last)
        return Reference(None, hand, thing, span)

    def thing(self, first: int, last: int) -> tuple[str | None, str]:
        """Read all items as a hand and a name."""
        if first >= last:
            raise self.fault(f"a thing is missing behind `{self.items[first - 1].text}`", first, last)
        hand = None
        if last - first == 2 and self.items[first].text in HANDS:
            hand = self.items[first].text
            first += 1
        item = self.items[first]
        if last > first + 1:
            extra = self.items[first + 1]
            raise self.fault(f"`{extra.text}` is not understood behind `{item.text}`", first + 1, last)
        if item.kind == "name" and not item.asked:
            return hand, item.text
        what = "is a size, but" if item.asked or item.kind == "number" else "stands where"
        raise self.fault(f"`{self.shown(first, last)}` {what} a face, an end or a thing is wanted", first, last)

    def formula(self, first: int, last: int) -> Formula:
        """Read items as a formula."""
        if first >= last:
            raise self.fault("a size is missing here", first, last, "write for example `1/8 in`")
        return parse(self.text, self.known, start=self.items[first].start, end=self.items[last - 1].end)

    def find(self, first: int, last: int, kind: str, words: tuple[str, ...] = ()) -> int | None:
        """Return the first item of a kind (and of these words) outside brackets."""
        for place in range(first, last):
            item = self.items[place]
            if item.kind == kind and item.depth == 0 and (not words or item.text in words):
                return place
        return None

    def refuse_unknown(self, first: int, last: int) -> None:
        """Refuse the first word that is neither a known name nor a word of places."""
        place = self.find(first, last, "word")
        if place is not None:
            item = self.items[place]
            raise self.fault(
                f"`{item.text}` is not known here",
                place,
                place + 1,
                suggest(item.text, self.known),
                slug="unknown-name",
            )

    def offsets(self, first: int, last: int) -> tuple[int, int]:
        """Return the characters that items stand on; those of the nearest text where there is no item."""
        if not self.items:
            return 0, max(len(self.text), 1)
        if first >= last:
            first = max(first - 1, 0)
            last = first + 1
        return self.items[first].start, self.items[last - 1].end

    def span(self, first: int, last: int) -> Span:
        return self.text.span.part(*self.offsets(first, last))

    def shown(self, first: int, last: int) -> str:
        start, end = self.offsets(first, last)
        return self.plain[start:end]

    def fault(
        self, message: str, first: int, last: int, help: str | None = None, *, slug: str = "broken-place"
    ) -> FormulaError:
        start, end = self.offsets(first, last)
        return FormulaError(message, start, end, help=help, slug=slug)
