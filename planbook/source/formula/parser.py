"""From the text of a formula to its tree.

The grammar (EBNF; blanks may stand between any two items, and must stand round a minus between two
values)::

    formula  = sum ;
    sum      = product , { ( "+" | "-" ) , product } ;
    product  = factor , { ( "*" | "/" ) , factor } ;
    factor   = [ "-" | "+" ] , ( literal | call | name | "(" , sum , ")" ) ;
    call     = function , "(" , sum , { "," , sum } , ")" ;
    function = "min" | "max" | "round_to" | "floor" | "ceil" | "sqrt" | "sin" | "cos" | "tan" ;
    name     = known name , [ "." , property ] ;
    literal  = a number with or without its unit, as `planbook.units.read` reads it ;

The longest known name wins, so `shelf dados.deep` is one name where `shelf dados` is known. There is
no silent multiplication: two values side by side are a fault.
"""

from __future__ import annotations

from dataclasses import dataclass

from planbook.source.formula.faults import FormulaError
from planbook.source.formula.names import NameTable, plain
from planbook.source.formula.tokenizer import Token, tokenize
from planbook.units.quantity import Quantity

DEEPEST = 50
"""Most brackets, calls and signs inside one another."""


@dataclass(frozen=True, slots=True)
class Number:
    """A number with or without a unit; `start` and `end` of every item count characters from 0."""

    quantity: Quantity
    unit: str
    """The unit as typed in messages, or nothing for a bare number."""
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Name:
    """A known name, with the property asked of it behind the dot, if any."""

    name: str
    property: str
    start: int
    end: int

    def __str__(self) -> str:
        return f"{self.name}.{self.property}" if self.property else self.name


@dataclass(frozen=True, slots=True)
class Negative:
    """A minus in front of a value."""

    operand: Formula
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Step:
    """One further operand of a row of sums or products: the mark, where it stands, the value."""

    mark: str
    at: int
    operand: Formula


@dataclass(frozen=True, slots=True)
class Row:
    """Values joined by marks of one kind, worked out from left to right."""

    first: Formula
    steps: tuple[Step, ...]
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Call:
    """A function and what it is given."""

    function: str
    arguments: tuple[Formula, ...]
    start: int
    end: int


Formula = Number | Name | Negative | Row | Call

_MOST_ARGUMENTS = {"min": 99, "max": 99, "round_to": 2, "floor": 2, "ceil": 2}


def parse(text: str, known: NameTable, *, start: int = 0, end: int | None = None) -> Formula:
    """Return the tree of the formula between `start` and `end` of a text; raises `FormulaError`."""
    key = (str(text), start, end)
    tree: Formula | None = known.trees.get(key)
    if tree is None:
        tree = known.trees[key] = _parse(text, known, start, end)
    return tree


def _parse(text: str, known: NameTable, start: int, end: int | None) -> Formula:
    readable = plain(text[:end])
    tokens = tokenize(readable, known, start=start)
    if len(tokens) == 1:
        raise FormulaError(
            "a value is missing here", start, len(readable), help="write for example `16 1/2 in`", slug="missing-value"
        )
    parser = _Parser(readable, tokens)
    tree = parser.row(0, "+-")
    parser.expect_end()
    return tree


class _Parser:
    """Recursive descent over the tokens."""

    def __init__(self, text: str, tokens: list[Token]) -> None:
        self.text = text
        self.tokens = tokens
        self.at = 0

    def take(self) -> Token:
        token = self.tokens[self.at]
        self.at += 1
        return token

    def row(self, depth: int, marks: str) -> Formula:
        """Read values joined by one kind of marks; one value alone is no row."""
        first = self.row(depth, "*/") if marks == "+-" else self.factor(depth)
        steps = []
        while self.tokens[self.at].kind in marks:
            mark = self.take()
            operand = self.row(depth, "*/") if marks == "+-" else self.factor(depth)
            steps.append(Step(mark.kind, mark.start, operand))
        if not steps:
            return first
        return Row(first, tuple(steps), first.start, steps[-1].operand.end)

    def factor(self, depth: int) -> Formula:
        token = self.take()
        if depth > DEEPEST:
            raise FormulaError(
                f"values are nested deeper than {DEEPEST} levels", token.start, token.end, slug="nested-too-deep"
            )
        if token.kind == "number":
            assert token.literal is not None
            return Number(token.literal.quantity, token.literal.unit, token.start, token.end)
        if token.kind == "name":
            return Name(token.text, token.property, token.start, token.end)
        if token.kind == "call":
            return self.call(token, depth)
        if token.kind == "(":
            inner = self.row(depth + 1, "+-")
            self.close(token)
            return inner
        if token.kind in "+-":
            operand = self.factor(depth + 1)
            return Negative(operand, token.start, operand.end) if token.kind == "-" else operand
        raise self.missing(token)

    def missing(self, token: Token) -> FormulaError:
        """Return the fault of a mark where a value is wanted."""
        before = self.tokens[self.at - 2] if self.at > 1 else None
        if before is not None:
            message = f"a value is missing behind `{self.text[before.start : before.end]}`"
            return FormulaError(message, before.start, before.end, slug="missing-value")
        message = f"a value is missing before `{self.text[token.start : token.end]}`"
        return FormulaError(message, token.start, token.end, slug="missing-value")

    def close(self, opening: Token) -> Token:
        """Take the closing bracket of `opening`."""
        token = self.take()
        if token.kind == ")":
            return token
        if token.kind in ("end", ","):
            raise FormulaError(
                "the `(` that opens here has no `)`", opening.start, opening.start + 1, slug="open-bracket"
            )
        raise self.side_by_side(token)

    def call(self, name: Token, depth: int) -> Call:
        """Read what a function is given."""
        opening = self.take()
        arguments = [self.row(depth + 1, "+-")]
        while self.tokens[self.at].kind == ",":
            self.take()
            arguments.append(self.row(depth + 1, "+-"))
        closing = self.close(opening)
        most = _MOST_ARGUMENTS.get(name.text, 1)
        if len(arguments) > most:
            extra = arguments[most]
            raise FormulaError(
                f"`{name.text}` takes {most} {'value' if most == 1 else 'values'}, {len(arguments)} are given",
                extra.start,
                extra.end,
            )
        return Call(name.text, tuple(arguments), name.start, closing.end)

    def expect_end(self) -> None:
        """Refuse whatever stands behind a complete formula."""
        token = self.take()
        if token.kind == "end":
            return
        if token.kind == ")":
            raise FormulaError("this `)` closes nothing", token.start, token.end, slug="open-bracket")
        if token.kind == ",":
            raise FormulaError("a comma belongs inside the brackets of a function", token.start, token.end)
        raise self.side_by_side(token)

    def side_by_side(self, token: Token) -> FormulaError:
        """Return the fault of two values without a mark between them."""
        before = self.tokens[self.at - 2]
        first, second = self.text[before.start : before.end], self.text[token.start : token.end]
        return FormulaError(
            f"a mark is missing between `{first}` and `{second}`",
            before.start,
            token.end,
            help=f"write `{first} * {second}`, or the mark that is meant" if second != "(" else f"write `{first} * (`",
            slug="missing-mark",
        )
