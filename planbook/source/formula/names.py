"""Names that may hold blanks, and finding the longest known one in a text."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from planbook.source.diagnostics import Findings
from planbook.source.nearest import did_you_mean
from planbook.source.text import Text
from planbook.units.factors import UNITS
from planbook.units.read import normalise

FUNCTIONS = ("ceil", "cos", "floor", "max", "min", "round_to", "sin", "sqrt", "tan")
PLACE_WORDS = frozenset(
    {"to", "from", "less", "plus", "of", "at", "on", "under", "above", "below", "behind", "before", "beyond", "floor"}
)
"""Words that join the parts of a place, and the floor, which cannot be names by themselves."""

WORD = re.compile(r"[^\W\d]\w*(?:'[^\W\d]\w*)*")
WORDS = re.compile(rf"{WORD.pattern}(?: +\w+(?:'[^\W\d]\w*)*)*")
_INNER = re.compile(r"\w")


def plain(text: str) -> str:
    """Return the text as formulas and places read it, column for column."""
    return normalise(text).replace("\n", " ")


class NameTable:
    """The names that are known where a formula stands, and the words known behind their dots."""

    __slots__ = ("_names", "_properties", "names", "properties", "trees")

    def __init__(self, names: Iterable[str], properties: Iterable[str] = ()) -> None:
        self.trees: dict[tuple[str, int, int | None], Any] = {}
        """Formulas read with these names, kept by the parser: a plan is worked out again and again with other sizes."""
        self.names = _tidy(names)
        self.properties = _tidy(properties)
        self._names = _by_first_word(self.names)
        self._properties = _by_first_word(self.properties)

    def longest(self, text: str, at: int) -> tuple[str, int] | None:
        """Return the longest known name that begins at `at` of a `plain` text, and where it ends."""
        return _longest(self._names, text, at)

    def property_at(self, text: str, at: int) -> tuple[str, int] | None:
        """Return the property that begins at `at`, the longest known one or else all the words there."""
        words = WORDS.match(text, at)
        if words is None:
            return None
        return _longest(self._properties, text, at) or (" ".join(words[0].split()), words.end())

    def whole(self, text: str) -> bool:
        """Whether the text is one known name and nothing else."""
        found = self.longest(text, 0)
        return found is not None and found[1] == len(text)

    def suggest(self, word: str) -> str | None:
        """Return help with the names nearest to a wrong one."""
        return did_you_mean(word, self.names)


def _tidy(names: Iterable[str]) -> tuple[str, ...]:
    """Return each name once, with single blanks."""
    return tuple(dict.fromkeys(" ".join(plain(name).split()) for name in names))


def _by_first_word(names: Iterable[str]) -> dict[str, list[tuple[str, ...]]]:
    """Return the words of all names by their first word, the longest name first."""
    table: dict[str, list[tuple[str, ...]]] = {}
    for name in names:
        words = tuple(name.split(" "))
        table.setdefault(words[0], []).append(words)
    for alike in table.values():
        alike.sort(key=len, reverse=True)
    return table


def _longest(table: dict[str, list[tuple[str, ...]]], text: str, at: int) -> tuple[str, int] | None:
    first = WORD.match(text, at)
    if first is None:
        return None
    for words in table.get(first[0], ()):
        end = _behind(text, first.end(), words[1:])
        if end is not None:
            return " ".join(words), end
    return None


def _behind(text: str, at: int, words: tuple[str, ...]) -> int | None:
    """Return where `words` end if exactly they follow at `at`, each behind blanks."""
    for word in words:
        start = at
        while text[at : at + 1] == " ":
            at += 1
        if at == start or not text.startswith(word, at):
            return None
        at += len(word)
        if _INNER.match(text, at):
            return None
    return at


NO_NAMES = NameTable(())


def check_name(name: Text, findings: Findings) -> bool:
    """Whether `name` can be used in formulas and places; record why not."""
    shown = plain(name)
    words = " ".join(shown.split())
    dashless = " ".join(shown.replace("-", " ").replace("_", " ").split())
    if "-" in shown and WORDS.fullmatch(dashless):
        message, hint = f"`{name}` holds a hyphen, which formulas read as minus", f"write `{dashless}`"
    elif words in UNITS:
        message, hint = f"`{name}` is a unit and cannot be a name", "choose a longer name"
    elif words in PLACE_WORDS:
        message, hint = f"`{name}` is a word of places and cannot be a name", "choose another name"
    elif words in FUNCTIONS:
        message, hint = f"`{name}` is a function of formulas and cannot be a name", "choose another name"
    elif not WORDS.fullmatch(words):
        message, hint = f"`{name}` is no name", "begin with a letter, go on with letters, digits and blanks"
    else:
        return True
    findings.stop("bad-name", message, name.span, help=hint)
    return False
