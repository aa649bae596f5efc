"""Reading a number with its unit, as the trade writes it.

`16 1/2 in`, `16-1/2"`, `5' 4 1/2"`, `3/4 in`, `19 mm`, `12 deg`, `9 %`, `½ in` and the like. A
fraction holds no blanks (`3/4`; with blanks it is a division, which belongs to formulas), and its
unit belongs to the whole literal. Offsets count characters of the text as typed, because every
substitution puts one character for one.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from planbook.units.factors import FT, IN, UNITS, Unit, nearest_units
from planbook.units.quantity import NUMBER, Quantity, UnitError

LONGEST = 30
"""Most digits a number may have; a longer one is a slip of the keyboard."""

_ALIKE = str.maketrans(
    {
        **dict.fromkeys("′’‘ʹ＇", "'"),
        **dict.fromkeys("″”“„ʺ＂", '"'),
        **dict.fromkeys("−–‒‐‑", "-"),
        **dict.fromkeys("×✕", "*"),
        **dict.fromkeys("÷⁄∕", "/"),
        **dict.fromkeys("\t\u00a0\u2007\u2009\u202f", " "),
        "º": "°",
    }
)

_VULGAR: dict[str, Fraction] = {
    sign: Fraction(unicodedata.normalize("NFKC", sign).replace("⁄", "/")) for sign in "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
}
_VULGAR_CLASS = f"[{''.join(_VULGAR)}]"

_NUMBER = re.compile(
    r"(?P<whole>[0-9]+)(?P<gap> +|-)(?P<top>[0-9]+)/(?P<bottom>[0-9]+)"
    r"|(?P<num>[0-9]+)/(?P<den>[0-9]+)"
    r"|(?P<decimal>[0-9]*\.[0-9]+)"
    rf"|(?:(?P<before>[0-9]+)(?P<room> *|-))?(?P<vulgar>{_VULGAR_CLASS})"
    r"|(?P<plain>[0-9]+)"
)
_MORE_NUMBER = re.compile(rf"\.[0-9]|[0-9]|{_VULGAR_CLASS}")
_WORD = re.compile(r"[A-Za-zµ°]+[²³]?")
_TWO_WORDS = re.compile(r"([A-Za-z]+) +([A-Za-z]+)")
_INCHES_AFTER_FEET = re.compile(rf"(?: *|-)(?=[0-9.]|{_VULGAR_CLASS})")
_COMMA = re.compile(r"([0-9]+),([0-9]+)")


class ReadError(UnitError):
    """A number or unit that cannot be read, with the stretch of text at fault."""

    def __init__(self, slug: str, message: str, start: int, end: int, help: str | None = None) -> None:
        super().__init__(message, help)
        self.slug = slug
        self.start = start
        self.end = end


@dataclass(frozen=True, slots=True)
class Literal:
    """One number with its unit, and where it stands in the text."""

    quantity: Quantity
    amount: Fraction
    """The number as written, before its unit; feet and inches count in inches."""
    start: int
    end: int
    unit: str = ""
    """The unit's name, a key of `UNITS` (`in`, `%`), or nothing for a bare number."""
    hyphen: int | None = None
    """Offset of the hyphen in `16-1/2`: a mixed number when alone, doubtful inside a formula."""

    def readings(self, text: str) -> tuple[str, str]:
        """Return both ways to write a literal with a tight hyphen: mixed number and difference."""
        if self.hyphen is None:
            raise ValueError("the literal holds no tight hyphen")
        before, after = text[self.start : self.hyphen], text[self.hyphen + 1 : self.end]
        return f"{before} {after}", f"{before} - {after}"


def normalise(text: str) -> str:
    """Return the text with typographic marks and blanks replaced by plain ones, column for column."""
    return text if text.isascii() and "\t" not in text else text.translate(_ALIKE)


def starts_literal(text: str, at: int) -> bool:
    """Tell whether a number begins at an offset of a normalised text."""
    return _NUMBER.match(text, at) is not None


def read_literal(text: str, start: int = 0) -> Literal:
    """Read the number that begins at `start` of a normalised text, with its unit if it has one.

    A word behind a blank that is no unit is left alone (it may be a name); a word that touches
    the number must be a unit. Raises `ReadError`.
    """
    value, end, hyphen = _number(text, start)
    unit, end = _unit(text, start, end)
    if unit is FT:
        more = _INCHES_AFTER_FEET.match(text, end)
        if more:
            return _feet_and_inches(text, start, end, value, more.end())
    if unit is None:
        return Literal(Quantity(value, NUMBER), value, start, end, "", hyphen)
    return Literal(unit.of(value), value, start, end, unit.name, hyphen)


def read_quantity(text: str, *, default_unit: str | None = None) -> Quantity:
    """Read a text that is one number with its unit and nothing else; a sign in front is allowed.

    A bare number takes `default_unit` (`in`, `mm`) where one is given. Raises `ReadError`.
    """
    plain = normalise(text)
    at, end = _past_blanks(plain, 0), len(plain.rstrip())
    if at >= end:
        advice = "write for example `16 1/2 in` or `420 mm`"
        raise ReadError("missing-number", "a number is missing here", 0, len(text), advice)
    negative = plain[at] == "-"
    literal = read_literal(plain, _past_blanks(plain, at + 1) if plain[at] in "+-" else at)
    if literal.end < end:
        raise _left_over(plain, literal, end)
    amount = -literal.amount if negative else literal.amount
    unit = UNITS.get(literal.unit or default_unit or "")
    return unit.of(amount) if unit else Quantity(amount)


def _past_blanks(text: str, at: int) -> int:
    while text[at : at + 1].isspace():
        at += 1
    return at


def _number(text: str, start: int) -> tuple[Fraction, int, int | None]:
    """Return value, end and the offset of a tight hyphen."""
    match = _NUMBER.match(text, start)
    if match is None:
        raise ReadError("missing-number", "a number is missing here", start, min(start + 1, len(text)))
    end = match.end()
    if end - start > LONGEST and any(len(digits) > LONGEST for digits in re.findall("[0-9]+", match[0])):
        raise ReadError("long-number", f"this number has more than {LONGEST} digits", start, end)
    _refuse_comma(text, start, match)
    more = _MORE_NUMBER.match(text, end)
    if more:
        advice = "write for example `1.5`, `1 1/2` or `3/4`"
        raise ReadError("unclear-number", f"`{text[start : more.end()]}` is not a number", start, more.end(), advice)
    hyphen = next((match.end(name) - 1 for name in ("gap", "room") if match[name] == "-"), None)
    return _value(match), end, hyphen


def _value(match: re.Match[str]) -> Fraction:
    if match["plain"]:
        return Fraction(int(match["plain"]))
    if match["decimal"]:
        return Fraction(match["decimal"] if match["decimal"][0] != "." else f"0{match['decimal']}")
    if match["vulgar"]:
        return Fraction(match["before"] or 0) + _VULGAR[match["vulgar"]]
    if match["num"]:
        return _fraction(match, "num", "den")
    part = _fraction(match, "top", "bottom")
    if part >= 1:
        whole, start, end = match["whole"], match.start("top"), match.end("bottom")
        raise ReadError(
            "large-fraction",
            f"the fraction `{match[0][start - match.start() :]}` behind `{whole}` is not under one",
            start,
            end,
            f"write `{_mixed(int(whole) + part)}`, or put a `+` or `-` with blanks between the two",
        )
    return int(match["whole"]) + part


def _fraction(match: re.Match[str], top: str, bottom: str) -> Fraction:
    if int(match[bottom]) == 0:
        start, end = match.span(top)[0], match.span(bottom)[1]
        raise ReadError("zero-below", f"`{match[top]}/{match[bottom]}` divides by zero", start, end)
    return Fraction(int(match[top]), int(match[bottom]))


def _refuse_comma(text: str, start: int, match: re.Match[str]) -> None:
    comma = _COMMA.match(text, match.start("plain")) if match["plain"] else None
    if comma:
        thousand = f" or `{comma[1]}{comma[2]}`" if len(comma[2]) == 3 else ""
        advice = f"write `{comma[1]}.{comma[2]}`{thousand}, or a blank behind the comma of a list"
        raise ReadError("decimal-comma", f"`{comma[0]}` holds a comma", start, comma.end(), advice)


def _unit(text: str, start: int, end: int) -> tuple[Unit | None, int]:
    """Return the unit behind a number and where it ends; no unit leaves `end` as it is."""
    at = _past_blanks(text, end)
    mark = text[at : at + 1]
    if mark in ('"', "'", "%"):
        if text[at : at + 2] == "''":
            message = "two foot marks stand where an inch mark is meant"
            raise ReadError("two-foot-marks", message, at, at + 2, f'write `{text[start:end]}"`')
        return UNITS[mark], at + 1
    two = _TWO_WORDS.match(text, at)
    if two and (unit := UNITS.get(f"{two[1]} {two[2]}")):
        return unit, two.end()
    word = _WORD.match(text, at)
    if word is None:
        return None, end
    found = UNITS.get(word[0])
    touched = re.match(r"[0-9A-Za-z]+", text[word.end() :])
    if found and not touched:
        return found, word.end()
    if at == end or (found and touched):
        raise _unknown(text, start, end, at, word.end() + (touched.end() if touched else 0))
    return None, end


def _unknown(text: str, start: int, number_end: int, at: int, end: int) -> ReadError:
    near = nearest_units(text[at:end])
    advice = f"write `{text[start:number_end]} {near[0]}`" if near else "leave a blank between a number and a word"
    return ReadError("unknown-unit", f"`{text[at:end]}` is not a unit", at, end, advice)


def _feet_and_inches(text: str, start: int, feet_end: int, feet: Fraction, at: int) -> Literal:
    """Read the inches behind a number of feet; `5' - 4"` with blanks never comes here."""
    inches, number_end, hyphen = _number(text, at)
    unit, end = _unit(text, at, number_end)
    whole_feet = text[start:feet_end]
    if unit is not IN:
        raise ReadError(
            "missing-inch-mark",
            f"`{text[at:number_end]}` behind feet has no inch mark",
            at,
            number_end,
            f'write `{whole_feet} {text[at:number_end]}"`',
        )
    if inches >= 12:
        total = 12 * feet + inches
        advice = f"""write `{total // 12}' {_mixed(total % 12)}"`"""
        raise ReadError("many-inches", f"`{text[at:end]}` behind feet is 12 in or more", at, end, advice)
    if feet.denominator != 1:
        advice = f'write `{_mixed(12 * feet + inches)}"`'
        message = f"`{whole_feet}` before inches is not a whole number of feet"
        raise ReadError("broken-feet", message, start, feet_end, advice)
    amount = 12 * feet + inches
    return Literal(IN.of(amount), amount, start, end, IN.name, hyphen)


def _left_over(text: str, literal: Literal, end: int) -> ReadError:
    at = _past_blanks(text, literal.end)
    if not literal.unit and text[at].isalpha() and nearest_units(text[at:end]):
        return _unknown(text, literal.start, literal.end, at, end)
    message = f"`{text[at:end]}` behind `{text[literal.start : literal.end]}` is not understood"
    return ReadError("left-over", message, at, end)


def _mixed(value: Fraction) -> str:
    """Write a fraction plainly: `16 1/2`, `3/4`, `2`."""
    whole, rest = divmod(value, 1)
    return " ".join(str(part) for part in (whole, rest) if part) or "0"
