"""Sizes and names as pictures write them, and the pieces of alternative texts."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from planbook.plan.model import Part, Plan
from planbook.units.editions import Edition
from planbook.units.factors import INCH
from planbook.units.write import plain_length, write_length


def size(mm: Fraction, edition: Edition) -> str:
    """Return a size for a drawing: `16¹¹⁄₁₆"`, or `420` where all sizes are in millimetres."""
    return write_length(mm, edition, mark=edition.unit_mm == INCH)


def spoken(mm: Fraction, edition: Edition) -> str:
    """Return a size for an alternative text: `16 11/16 in`, `420 mm`."""
    return plain_length(mm, edition)


def listed(items: Iterable[str]) -> str:
    """Return words as a list in a sentence: `a, b and c`."""
    words = list(items)
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def lettered(part: Part, hand: str = "") -> str:
    """Return name, letter and hand: `side A L`."""
    return f"{part.key} {part.letter} {hand}".rstrip()


def sized(part: Part, edition: Edition, hand: str = "") -> str:
    """Return name, letter, hand and the three sizes: `side A L (17 in by 14 in by 3/4 in)`."""
    sizes = " by ".join(spoken(value, edition) for value in (part.length.final, part.width.final, part.thick))
    return f"{lettered(part, hand)} ({sizes})"


def overall_words(plan: Plan) -> str:
    """Return the three overall sizes in words."""
    wide, deep, high = (spoken(value, plan.edition) for value in plan.overall)
    return f"{wide} wide, {deep} deep, {high} high"


def sentence(*pieces: str) -> str:
    """Join pieces into one text, each ended by a full stop."""
    return " ".join(f"{piece.strip().rstrip('.')}." for piece in pieces if piece.strip())
