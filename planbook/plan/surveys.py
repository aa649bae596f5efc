"""Slabs as they lie in the shop, as frozen data: edges from a chalk line, marks, and where parts are sawn from them.

What was measured on the wood is exact, in mm, and on no grid.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Survey:
    """Edges of a slab, in mm, exact."""

    along: tuple[Fraction, ...]
    """From the left end, rising."""
    front: tuple[Fraction, ...]
    """From the chalk line to the front edge."""
    back: tuple[Fraction, ...]
    """From the chalk line to the back edge."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark on a slab, in mm, exact: along from the left end, across from the chalk line, backward counted up."""

    name: str
    kind: str
    along: tuple[Fraction, Fraction]
    across: tuple[Fraction, Fraction]
    deep: Fraction | None
    """None is right through."""
    points: tuple[tuple[Fraction, Fraction], ...] = ()
    """Its outline, along and across, where its author drew one; else it is the whole box."""

    @property
    def long(self) -> Fraction:
        """Its length along the chalk line."""
        return self.along[1] - self.along[0]

    @property
    def wide(self) -> Fraction:
        """Its width across."""
        return self.across[1] - self.across[0]


@dataclass(frozen=True, slots=True)
class SawnAt:
    """What the author wishes of a part's place on its slab."""

    start: Fraction | None = None
    """From the left end, in mm; None leaves it to the layout."""
    behind: Fraction | None = None
    """From the chalk line back to its nearer side, in mm."""
    before: Fraction | None = None
    """From the chalk line forward to its nearer side, in mm."""
    natural: tuple[str, ...] = ()
    """`front` and `back`: the edges that stay as grown."""
    keep: tuple[str, ...] = ()
    """Marks that have to lie wholly inside it."""
    line: Fraction | None = None
    """How far behind the foremost place of the part the chalk line runs, in mm; None where no line is known."""
