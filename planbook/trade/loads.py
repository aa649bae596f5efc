"""Loads as a plan or a question words them: `books`, `25 lb/ft`, `40 kg`, `two persons`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from planbook.trade.lookup import TradeError, key, nearest
from planbook.trade.sourced import AS_STATED, Figure, Span
from planbook.trade.stiffness import point_load_kg, point_load_names, shelf_load_kg_m, shelf_load_names
from planbook.trade.valid import need_positive
from planbook.units.factors import FOOT
from planbook.units.quantity import MASS
from planbook.units.read import ReadError, read_quantity

PERSON = "one person"
_COUNTS = ("one", "two", "three", "four", "five", "six")
_PERSONS = re.compile(rf"({'|'.join(_COUNTS)}|a|[1-9][0-9]?)\s+(?:persons?|people|adults?)\b.*", re.DOTALL)
_RATE = re.compile(r"(.+?)\s*(?:/|\bper\b|\bon each\b|\ba\b)\s*(ft|foot|m|metre|meter)\s*$", re.DOTALL)
_STATED = "as stated in the plan"


@dataclass(frozen=True, slots=True)
class Load:
    """A load: either so much on each metre, or so many equal weights in places of their own."""

    text: str
    kg_m: Span | None = None
    """Spread along a shelf and left there for years."""
    kg: Figure | None = None
    """One weight in one place; of a person, that comes and goes."""
    count: int = 1
    lasting: bool = True

    @property
    def citation(self) -> str:
        """Where the figure comes from."""
        found = self.kg_m or self.kg
        return found.citation if found else ""


def load_names(own: Mapping[str, Load] | None = None) -> tuple[str, ...]:
    """Return the words that stand for a load, a book's own first."""
    return (*(own or ()), *shelf_load_names(), *point_load_names())


def read_load(text: str, own: Mapping[str, Load] | None = None, *, stated: str = _STATED) -> Load:
    """Return the load that a text stands for; raises `TradeError` with the words there are.

    `own` holds a book's own loads by name. `stated` is what to say of a weight written out.
    """
    words = " ".join(str(text).split())
    for name, load in (own or {}).items():
        if key(name) == key(words):
            return load
    persons = _PERSONS.fullmatch(words.casefold())
    if persons:
        return Load(words, kg=point_load_kg(PERSON), count=_number(persons[1]), lasting=False)
    if key(words) in {key(name) for name in shelf_load_names()}:
        return Load(words, kg_m=shelf_load_kg_m(words))
    if key(words) in {key(name) for name in point_load_names()}:
        return Load(words, kg=point_load_kg(words), lasting=False)
    return _weight(words, own, stated)


def _weight(words: str, own: Mapping[str, Load] | None, stated: str) -> Load:
    rate = _RATE.fullmatch(words)
    try:
        quantity = read_quantity(rate[1] if rate else words)
    except ReadError:
        quantity = None
    if quantity is None or quantity.dimension != MASS:
        near = nearest(words, load_names(own)) or load_names(own)[:3]
        raise TradeError(
            "unknown-load",
            f"`{words}` is no load that a weight is known for",
            f"write {', '.join(f'`{name}`' for name in near)}, or its weight as `25 lb/ft`, `40 kg` or `two persons`",
        )
    need_positive(quantity.value, "the load", "g", slug="no-load")
    kg = quantity.value / 1000
    if rate:
        metres = FOOT / 1000 if rate[2].startswith("f") else Fraction(1)
        return Load(words, kg_m=Span(kg / metres, kg / metres, stated, AS_STATED))
    return Load(words, kg=Figure(kg, stated, AS_STATED))


def _number(word: str) -> int:
    if word.isdecimal():
        return int(word)
    return 1 if word == "a" else _COUNTS.index(word) + 1
