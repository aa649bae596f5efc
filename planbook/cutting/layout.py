"""What comes out: layouts as trees of cuts, and solutions with their cost and their bound."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from planbook.cutting.problem import Way


@dataclass(frozen=True, slots=True)
class Rect:
    """A place on the stock: `x`, `length` along the grain from the left end, `y`, `width` from the lower edge."""

    x: int
    y: int
    length: int
    width: int

    @property
    def area(self) -> int:
        """Square units; for a stick, whose width is 1, its length."""
        return self.length * self.width


@dataclass(frozen=True, slots=True)
class Block:
    """A rectangle that comes off the saw in one piece, and what it is cut into.

    The blocks within a block lie side by side along the cut's direction of advance, one kerf apart,
    each reaching over its whole other side. What the last kerf leaves of the block is gone or an offcut.
    """

    at: Rect
    cut: Way | None = None
    """How it is divided; None for what stays whole."""
    blocks: tuple[Block, ...] = ()
    piece: str = ""
    """The piece it is; empty for an offcut and for what is cut further."""
    turned: bool = False
    """Whether the length of the piece lies across the stock."""

    def leaves(self) -> Iterator[Block]:
        """Yield what stays whole: pieces and offcuts, in the order of cutting."""
        if self.cut is None:
            yield self
        for block in self.blocks:
            yield from block.leaves()


@dataclass(frozen=True, slots=True)
class Layout:
    """One diagram: how a stick or sheet is cut, and how many are cut like it."""

    stock: str
    length: int
    """Of the stock as bought."""
    width: int
    repeats: int
    root: Block
    """The stock within its trimmed edges."""

    def pieces(self) -> tuple[Block, ...]:
        """Return the pieces of one copy."""
        return tuple(block for block in self.root.leaves() if block.piece)

    def offcuts(self) -> tuple[Block, ...]:
        """Return what is left whole of one copy, largest first."""
        rest = [block for block in self.root.leaves() if not block.piece]
        return tuple(sorted(rest, key=lambda block: (-block.at.area, block.at.x, block.at.y)))

    def counts(self) -> Counter[str]:
        """Return how often each piece lies on one copy."""
        return Counter(block.piece for block in self.pieces())

    @property
    def waste(self) -> Fraction:
        """Share of one copy that is not a piece: offcuts, kerfs and trimmed edges."""
        return 1 - Fraction(sum(block.at.area for block in self.pieces()), self.length * self.width)


@dataclass(frozen=True, slots=True)
class Work:
    """What the answer took, in steps that do not depend on the machine."""

    rounds: int = 0
    """Of pricing."""
    columns: int = 0
    nodes: int = 0
    """Of branch and bound, all integer models together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """Layouts that yield every piece, the cost of their stock, and what no other layouts can go below."""

    layouts: tuple[Layout, ...]
    cost: int
    bound: int
    """No layout of the cutting model costs less."""
    bound_any: int
    """No layout costs less however it is cut (areas and dual feasible functions only)."""
    model: str
    """The cutting model in words: what `bound` and `proven` hold for."""
    work: Work = Work()

    @property
    def proven(self) -> bool:
        """Whether nothing cheaper exists within the cutting model."""
        return self.cost == self.bound

    @property
    def gap(self) -> int:
        """Cost over the bound."""
        return self.cost - self.bound

    @property
    def stock(self) -> Counter[str]:
        """How many of each stock are cut."""
        count: Counter[str] = Counter()
        for layout in self.layouts:
            count[layout.stock] += layout.repeats
        return count

    @property
    def diagrams(self) -> int:
        """Number of different layouts."""
        return len(self.layouts)

    def reason(self) -> str:
        """Return in a sentence why it cannot be cheaper, or how far that is open."""
        if self.cost == self.bound_any:
            return f"no layout costs under {self.cost}, however it is cut: the material does not suffice"
        if self.proven:
            return f"under {self.cost} is impossible with {self.model}"
        return f"{self.cost} found; with {self.model} nothing costs under {self.bound}; between them it is open"
