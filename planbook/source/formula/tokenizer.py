"""Cutting a formula into numbers, names and marks."""

from __future__ import annotations

import re
from typing import NamedTuple

from planbook.source.formula.faults import FormulaError
from planbook.source.formula.names import FUNCTIONS, WORDS, NameTable
from planbook.source.nearest import did_you_mean
from planbook.units.read import Literal, ReadError, read_literal, starts_literal

LONGEST = 1000
"""Most characters of a formula."""

_MARKS = "+-*/(),"
_STRANGE = {
    "^": "write a square as `a * a`",
    "#": "write `No.` for a number sign",
    ":": "write a ratio as `2 to 1`, a slope as `1 in 8`",
    "=": "write the value alone",
    "{": "write the name alone, without braces",
    "}": "write the name alone, without braces",
    "$": "write the amount without a sign",
}
_AFTER_MINUS = re.compile(r" *([\w.'\"/]+(?: +(?:in|mm|ft|cm|m)\b)?)")
_CALLED = re.compile(r" *\(")


class Token(NamedTuple):
    """One number, name, function or mark, with its place in the text."""

    kind: str
    """`number`, `name`, `call`, `end` or the mark itself."""
    start: int
    end: int
    text: str = ""
    """The name or function as known, its runs of blanks made one."""
    property: str = ""
    """The words behind the dot of a name."""
    literal: Literal | None = None


def tokenize(text: str, known: NameTable, *, start: int = 0) -> list[Token]:
    """Cut a `plain` text from `start` on into tokens, an `end` token last; raises `FormulaError`."""
    if len(text) - start > LONGEST:
        message = f"this formula has {len(text) - start} characters, {LONGEST} are allowed"
        raise FormulaError(message, start, len(text), help="give parts of it names", slug="too-long")
    tokens: list[Token] = []
    at, size = start, len(text)
    while at < size:
        char = text[at]
        if char == " ":
            at += 1
            continue
        if char in _MARKS:
            token = Token(char, at, at + 1)
            if char == "-" and tokens:
                _refuse_tight_minus(text, at, tokens[-1], known)
        elif starts_literal(text, at):
            token = _number(text, at)
            if token.literal and token.literal.hyphen and (tokens or text[token.end :].strip()):
                raise _doubtful_hyphen(text, token.literal)
        elif WORDS.match(text, at):
            token = _name(text, at, known)
        else:
            raise _strange(text, at)
        tokens.append(token)
        at = token.end
    tokens.append(Token("end", size, size + 1))
    return tokens


def _number(text: str, at: int) -> Token:
    try:
        literal = read_literal(text, at)
    except ReadError as fault:
        raise FormulaError(fault.message, fault.start, fault.end, help=fault.help, slug=fault.slug) from None
    return Token("number", at, literal.end, literal=literal)


def _name(text: str, at: int, known: NameTable) -> Token:
    """Read a name, its property, or the function before a bracket."""
    words = WORDS.match(text, at)
    assert words is not None
    found = known.longest(text, at)
    first = words[0].split(" ", 1)[0]
    if _CALLED.match(text, at + len(first)) and (found is None or found[1] == at + len(first)):
        if first in FUNCTIONS:
            return Token("call", at, at + len(first), first)
        if found is None:
            hint = did_you_mean(first, FUNCTIONS) or "the functions are " + ", ".join(FUNCTIONS)
            raise FormulaError(f"`{first}` is not a function", at, at + len(first), help=hint, slug="unknown-function")
    if found is None:
        raise _unknown(text, at, words.end(), known)
    name, end = found
    if text[end : end + 1] != ".":
        return Token("name", at, end, name)
    behind = known.property_at(text, end + 1)
    if behind is None:
        raise FormulaError("a word is missing behind the dot", end, end + 1, help="write for example `.length`")
    asked, stop = behind
    if text[stop : stop + 1] == ".":
        raise FormulaError("a name takes one dot only", stop, stop + 1)
    return Token("name", at, stop, name, asked)


def _unknown(text: str, at: int, end: int, known: NameTable) -> FormulaError:
    """Return the fault of words that are no known name."""
    words = text[at:end]
    first = words.split(" ", 1)[0]
    if words in FUNCTIONS:
        hint = f"write `{first}(...)` with what it works on in brackets"
        return FormulaError(f"`{words}` is a function and wants brackets", at, end, help=hint)
    hyphened = re.match(r"[\w'-]+(?: [\w'-]+)*", text[at:])
    if hyphened and "-" in hyphened[0]:
        spaced = " ".join(hyphened[0].replace("-", " ").split())
        whole = known.longest(spaced, 0)
        if whole and whole[1] == len(spaced):
            return FormulaError(
                f"`{hyphened[0]}` holds a hyphen, which formulas read as minus",
                at,
                at + hyphened.end(),
                help=f"write `{spaced}`",
                slug="tight-minus",
            )
    near = known.suggest(words) or known.suggest(first)
    return FormulaError(f"`{words}` is not known here", at, end, help=near, slug="unknown-name")


def _doubtful_hyphen(text: str, literal: Literal) -> FormulaError:
    """Return the fault of `16-1/2` inside a longer formula."""
    mixed, difference = literal.readings(text)
    return FormulaError(
        f"`{text[literal.start : literal.end]}` can be read in two ways inside a formula",
        literal.start,
        literal.end,
        help=f"write `{mixed}` for the mixed number, `{difference}` for the difference",
        slug="tight-minus",
    )


def _refuse_tight_minus(text: str, at: int, before: Token, known: NameTable) -> None:
    """Refuse a minus between two values that lacks a blank on either side."""
    if before.kind not in ("number", "name", ")"):
        return
    if text[at - 1 : at] == " " and text[at + 1 : at + 2] in (" ", ""):
        return
    start = before.start if before.kind != ")" else at
    behind = _AFTER_MINUS.match(text, at + 1)
    end = behind.end() if behind else at + 1
    raise FormulaError(
        f"`{text[start:end]}` can be read in two ways, a minus wants a blank on both sides",
        start,
        end,
        help=_minus_readings(text, before, behind[1] if behind else "...", known),
        slug="tight-minus",
    )


def _minus_readings(text: str, before: Token, second: str, known: NameTable) -> str:
    """Return what to write for each reading of a tight minus before `second`."""
    if before.kind == ")":
        return f"write `) - {second}`"
    first = text[before.start : before.end]
    difference = f"write `{first} - {second}` for the difference"
    if before.kind == "number":
        return difference + (f", `{first} {second}` for the mixed number" if "/" in second else "")
    if known.whole(f"{first} {second}"):
        return difference + f", `{first} {second}` for the name"
    return difference + ", a name holds no hyphen"


def _strange(text: str, at: int) -> FormulaError:
    """Return the fault of a character that formulas do not know."""
    char = text[at]
    if char == ".":
        return FormulaError("a dot belongs behind a name, or inside a number", at, at + 1)
    if char in "\"'":
        return FormulaError(f"the mark {char} wants a number before it", at, at + 1, help='write for example `16 1/2"`')
    return FormulaError(f"`{char}` has no meaning in a formula", at, at + 1, help=_STRANGE.get(char))
