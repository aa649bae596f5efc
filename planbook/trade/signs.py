"""Registered safety signs, signal words, and what to wear, by the standards' own numbers and meanings."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from planbook.trade.lookup import TradeError, find, key, table
from planbook.trade.sourced import Basis


@dataclass(frozen=True, slots=True)
class Sign:
    """One sign of ISO 7010."""

    ref: str
    """Its number there: `M004`."""
    title: str
    category: str
    """`mandatory`, `prohibition`, `warning`, `safe condition` or `fire equipment`."""
    use: str
    basis: Basis
    short: str = ""
    """What it asks, in a word or two."""
    picture: str = ""
    """Name of the drawing that stands for it, or empty where a theme has none."""


@dataclass(frozen=True, slots=True)
class Shape:
    """Shape and colours of a category of signs; a grey print keeps the shape."""

    category: str
    letter: str
    shape: str
    colour: str
    contrast: str
    symbol: str


@dataclass(frozen=True, slots=True)
class SignalWord:
    """One signal word with what it means."""

    word: str
    colour: str
    alert_symbol: bool
    meaning: str


@dataclass(frozen=True, slots=True)
class Wear:
    """One piece of protective equipment, its sign and what to choose."""

    word: str
    text: str
    sign: Sign
    choose: str
    basis: Basis


def sign(ref: str) -> Sign:
    """Return a sign by its number; raises `TradeError`."""
    return find(ref, _signs(), "unknown-sign", "sign", (row.ref for row in _signs().values()))


def sign_refs() -> tuple[str, ...]:
    """Return the numbers of all signs of the table."""
    return tuple(row.ref for row in _signs().values())


@cache
def shapes() -> tuple[Shape, ...]:
    """Return shape and colours of each category (ISO 3864-1, ISO 7010)."""
    return tuple(Shape(**row) for row in table("signs")["categories"]["rows"])


@cache
def signal_words() -> tuple[SignalWord, ...]:
    """Return the signal words, gravest first (ANSI Z535.4)."""
    return tuple(SignalWord(**row) for row in table("signs")["signal_words"]["rows"])


def signal_rank(word: str) -> int:
    """Return 0 for the gravest signal word and more for the milder ones; raises `TradeError`."""
    for rank, row in enumerate(signal_words()):
        if row.word == word:
            return rank
    known = ", ".join(row.word for row in signal_words())
    raise TradeError("unknown-signal-word", f"`{word}` is no signal word", f"write one of {known}")


def wear_words() -> tuple[str, ...]:
    """Return the words for protective equipment."""
    return tuple(row.word for row in _wear().values())


def wear(word: str) -> Wear:
    """Return protective equipment by its word: `eyes`, `ears`, `mask` and so on; raises `TradeError`."""
    return find(word, _wear(), "unknown-equipment", "protective equipment", wear_words())


@cache
def _signs() -> dict[str, Sign]:
    data = table("signs")["signs"]
    return {
        key(row["ref"]): Sign(
            row["ref"],
            row["title"],
            row["category"],
            row.get("use", ""),
            Basis(data["source"], row.get("status", data["status"])),
            row.get("short", row["title"]),
            row.get("picture", ""),
        )
        for row in data["rows"]
    }


@cache
def _wear() -> dict[str, Wear]:
    data = table("signs")["wear"]
    basis = Basis(data["source"], data["status"])
    return {
        key(row["word"]): Wear(row["word"], row["text"], sign(row["sign"]), row["choose"], basis)
        for row in data["rows"]
    }
