"""Figures with their source, and how a source is told to a reader.

Five words say how well a figure is founded: `confirmed` (read in the source or in a document that
reprints it), `cross-checked` (from memory, and reproduced by an independent computation), `derived`
(computed by the rule named), `practice` (common practice, no source) and `from memory` (not looked
up). A book's own rows add `own measurement` and `as the book states`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from planbook.trade.lookup import exact

CONFIRMED, CROSS_CHECKED, DERIVED = "confirmed", "cross-checked", "derived"
PRACTICE, FROM_MEMORY = "practice", "from memory"
OWN_MEASUREMENT, AS_STATED = "own measurement", "as the book states"
STATUSES = (CONFIRMED, CROSS_CHECKED, DERIVED, PRACTICE, FROM_MEMORY, OWN_MEASUREMENT, AS_STATED)


def cite(source: str, status: str) -> str:
    """Return what a reader is told about a source.

    What was not looked up is never shown as if it were: it names no document as its witness.
    """
    if status == FROM_MEMORY:
        return f"from memory, not looked up ({source})" if source else "from memory, not looked up"
    if status == CROSS_CHECKED:
        return f"{source}; from memory, reproduced by computation"
    if status == PRACTICE:
        return source if "no source" in source else f"common practice, no source ({source})"
    if status == OWN_MEASUREMENT:
        return OWN_MEASUREMENT
    return source


@dataclass(frozen=True, slots=True)
class Basis:
    """What an equation, a rule or a row rests on."""

    source: str
    status: str = CONFIRMED

    @property
    def citation(self) -> str:
        """The source as a reader is told."""
        return cite(self.source, self.status)


@dataclass(frozen=True, slots=True)
class Figure:
    """A number of a table with its source and how well it is founded."""

    value: Fraction
    source: str
    status: str
    inch: Fraction | None = None
    """The same figure in inch-pound units where the source prints both; each was rounded on its own."""

    @property
    def citation(self) -> str:
        """The source as a reader is told."""
        return cite(self.source, self.status)


@dataclass(frozen=True, slots=True)
class Span:
    """A usual range, lowest and highest, with its source."""

    low: Fraction
    high: Fraction
    source: str
    status: str

    @property
    def citation(self) -> str:
        """The source as a reader is told."""
        return cite(self.source, self.status)


def figure(cell: Sequence[Any], sources: Mapping[str, str]) -> Figure:
    """Return the figure of a cell `[value, source, status]` or `[value, source, status, inch-pound value]`.

    `sources` gives the words of a source that the cell names by its short mark.
    """
    value, source, status, *inch = cell
    return Figure(exact(value), sources.get(source, source), status, exact(inch[0]) if inch else None)


def span(cell: Sequence[Any] | int | float, source: str, status: str, *, scale: int | Fraction = 1) -> Span:
    """Return the range of a cell `[low, high]`, or of one number, times `scale`."""
    low, high = (cell[0], cell[1]) if isinstance(cell, Sequence) else (cell, cell)
    return Span(exact(low) * scale, exact(high) * scale, source, status)
