"""The master problem of linked levels: which cuts are made how often, so that every piece comes out.

A column turns one block of a level into blocks of the next (a sheet into strips, a strip into pieces). Each
level keeps its books: not more strips of a width are cut up than came off the sheets. Whole layouts as columns
would be fewer rows, but rounding could not recombine their strips; linked levels can
(the idea: Gilmore, Gomory 1965, and the arc-flow models of Macedo, Alves, Valerio de Carvalho 2010).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil, gcd

from planbook.cutting.solver import Integral, Program

Key = tuple[int, ...]
"""A level: (STOCK, number), (STRIP, direction, run, height), (SECTION, direction, height, width) or (PIECE, kind)."""
STOCK, STRIP, SECTION, PIECE = 0, 1, 2, 3
SCALE = 10**9
"""Duals are rounded down to this part of the highest price, so that pricing can be exact."""
_SHORT = 1_000.0
"""Price of a missing piece, in highest prices of the stock."""
_MARGIN = 1e-7


@dataclass(frozen=True, slots=True)
class Column:
    """One way to cut one block: `of` is used up, `makes` comes off, as often as said."""

    of: Key
    makes: tuple[tuple[Key, int], ...]


@dataclass(frozen=True, slots=True)
class Duals:
    """What a piece is worth now, in whole parts of the highest price by `SCALE`."""

    cost: Fraction
    """Of the relaxed master, in prices."""
    pieces: list[int]
    thresholds: list[float]
    """By stock: a layout must be worth more than this to be of use."""
    short: bool
    """Whether pieces are missing in the relaxed master."""


@dataclass(slots=True)
class Master:
    """A growing set of columns over fixed demands and stock."""

    demands: Sequence[int]
    prices: Sequence[int]
    limits: Sequence[int | None]
    missing: Sequence[int] = ()
    """What each kind costs where it is left out; empty where none may be."""
    columns: list[Column] = field(default_factory=list)
    nodes: int = 0
    complete: bool = False
    """Whether the last integer search ran to its end."""
    _program: Program = field(default_factory=Program)
    _rows: dict[Key, int] = field(default_factory=dict)
    _numbers: dict[Column, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for kind, demand in enumerate(self.demands):
            row = self._program.row(float(demand))
            self._rows[PIECE, kind] = row
            self._program.column(self.missing[kind] / self.unit if self.missing else _SHORT, [(row, 1.0)])
        for number, limit in enumerate(self.limits):
            self._rows[STOCK, number] = self._program.row(-float(sum(self.demands) if limit is None else limit))

    @property
    def unit(self) -> int:
        """The highest price, which the program reckons in."""
        return max(1, *self.prices, *self.missing)

    def add(self, column: Column) -> bool:
        """Take a column in; returns False where it is known."""
        if column in self._numbers:
            return False
        entries = {self._row(column.of): -1.0}
        for key, count in column.makes:  # a piece lying both ways counts in one row
            row = self._row(key)
            entries[row] = entries.get(row, 0.0) + count
        cost = self.prices[column.of[1]] / self.unit if column.of[0] == STOCK else 0.0
        self._numbers[column] = self._program.column(cost, list(entries.items()))
        self.columns.append(column)
        return True

    def levels(self, kind: int) -> list[Key]:
        """Return the known levels of a kind, sorted."""
        return sorted(key for key in self._rows if key[0] == kind)

    def _row(self, key: Key) -> int:
        if key[0] == PIECE:
            key = key[:2]
        row = self._rows.get(key)
        if row is None:
            row = self._rows[key] = self._program.row(0.0)
        return row

    def relax(self) -> Duals:
        """Solve the relaxed master."""
        relaxed = self._program.relax()
        if relaxed is None:  # the shortage columns make every master solvable
            raise RuntimeError("the relaxed master has no solution")
        values = [max(0, int(relaxed.duals[self._rows[PIECE, kind]] * SCALE)) for kind in range(len(self.demands))]
        if self.missing:  # no piece is worth more than it costs to leave it out
            values = [min(v, cost * SCALE // self.unit) for v, cost in zip(values, self.missing, strict=True)]
        thresholds = [
            (price / self.unit + max(0.0, relaxed.duals[self._rows[STOCK, number]])) * (1 + _MARGIN) * SCALE
            for number, price in enumerate(self.prices)
        ]
        short = sum(relaxed.columns[: len(self.demands)]) > 1e-6
        self._last = relaxed.columns
        return Duals(Fraction(relaxed.value).limit_denominator(10**9) * self.unit, values, thresholds, short)

    _last: list[float] = field(default_factory=list)

    def relaxed_uses(self) -> list[tuple[Column, float]]:
        """Return the columns of the last relaxed master that are in use, and how much."""
        return [(c, self._last[n]) for c, n in self._numbers.items() if n < len(self._last) and self._last[n] > 1e-9]

    def integral(
        self, *, nodes: int, checks: int, target: int | None = None, below: int | None = None
    ) -> list[tuple[Column, int]] | None:
        """Choose columns in whole numbers; None where nothing under `below` was found that lacks no piece."""
        if not self.missing:
            self._forbid_missing(most=0.0)
        found: Integral | None = self._program.integral(
            nodes=nodes,
            checks=checks,
            target=None if target is None else target / self.unit,
            below=None if below is None else (below - 0.5) / self.unit,
        )
        if not self.missing:
            self._forbid_missing(most=float("inf"))
        self.nodes += self._program.nodes
        self.complete = self._program.complete
        if found is None:
            return None
        return [(column, found.columns[n]) for column, n in self._numbers.items() if found.columns[n]]

    def _forbid_missing(self, *, most: float) -> None:
        for kind in range(len(self.demands)):
            self._program.bounds(kind, 0.0, most)


@dataclass(frozen=True, slots=True)
class Certificate:
    """A bound on the cost, and what it says about each layout of a cheaper solution."""

    bound: Fraction
    shrink: Fraction
    """The values of the pieces are divided by this."""
    charges: tuple[Fraction, ...]
    """By stock, its price and what its limit adds, in parts of the highest price by `SCALE`."""
    slack_unit: Fraction
    """One price in these parts."""

    def least_value(self, stock: int, cost: int) -> int:
        """Return what a layout must be worth at least to be part of a solution of that cost (reduced cost fixing)."""
        least = (self.charges[stock] - (cost - self.bound) * self.slack_unit) * self.shrink
        return max(0, ceil(least))


def dual_bound(duals: Duals, demands: Sequence[int], stock: Master, best: Sequence[int]) -> Certificate:
    """Return a cost no solution goes below, from what the best layout of each stock is worth.

    Farley (1990): duals shrunk until no layout is worth more than it costs are feasible. Stock with a limit
    need not shrink them; its gain is taken off as often as there are pieces of it (Lagrange).
    `best` must come from exact pricing with `duals.pieces`, or be too high.
    """
    scaled = [Fraction(price * SCALE, stock.unit) for price in stock.prices]
    shrink = Fraction(1)
    for price, limit, value in zip(scaled, stock.limits, best, strict=True):
        if limit is None and value > price * shrink:
            shrink = Fraction(value) / price
    worth = Fraction(sum(value * demand for value, demand in zip(duals.pieces, demands, strict=True))) / shrink
    charges = []
    for price, limit, value in zip(scaled, stock.limits, best, strict=True):
        extra = Fraction(0) if limit is None else max(Fraction(0), value / shrink - price)
        charges.append(price + extra)
        worth -= extra * (limit or 0)
    unit = Fraction(SCALE, stock.unit)
    return Certificate(worth / unit, shrink, tuple(charges), unit)


def attainable(bound: Fraction, prices: Sequence[int], limits: Sequence[int | None]) -> int:
    """Return the smallest sum of prices not under the bound; free stock adds nothing."""
    paid = [(price, limit) for price, limit in zip(prices, limits, strict=True) if price]
    least = max(0, ceil(bound))
    if not paid:
        return least
    step = gcd(*(price for price, _ in paid))
    goal = -(-least // step)
    if len(paid) == 1 or goal > 100_000:
        return goal * step
    sizes = [price // step for price, _ in paid]
    ceiling = goal + max(sizes)
    sums = 1
    for size, (_, limit) in zip(sizes, paid, strict=True):
        for _ in range(ceiling // size if limit is None else min(limit, ceiling // size)):
            wider = sums | (sums << size) & ((2 << ceiling) - 1)
            if wider == sums:
                break
            sums = wider
    above = sums >> goal
    return (goal + (above & -above).bit_length() - 1) * step if above else goal * step
