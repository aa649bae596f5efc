"""Sticks: lengths out of stock lengths, by column generation with exact pricing.

Gilmore, Gomory: A linear programming approach to the cutting-stock problem (1961). A kerf is added to each
piece and to the stock: the last piece of a stick needs none behind it, so n pieces and n - 1 kerfs fit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from planbook.cutting.bounds import Sized, area_share, cheapest, stock_share
from planbook.cutting.effort import NORMAL, Effort
from planbook.cutting.knapsack import Knapsack
from planbook.cutting.layout import Solution, Work
from planbook.cutting.listing import list_patterns
from planbook.cutting.master import PIECE, STOCK, Certificate, Column, Duals, Master, attainable, dual_bound
from planbook.cutting.problem import CuttingError, Piece, Saw, Stick, check_sticks
from planbook.cutting.stick_layouts import Pattern, build_layouts
from planbook.cutting.stick_setups import tidy

_NEAR = (960, 980, 990, 996, 999)
"""Parts in a thousand of the best pattern's worth, tried until the patterns are few enough."""
_MOST_NEAR = 150
Chosen = list[tuple[int, Pattern, int]]
"""Stock, what is cut from it, how often."""


def solve_sticks(pieces: Sequence[Piece], sticks: Sequence[Stick], saw: Saw, *, effort: Effort = NORMAL) -> Solution:
    """Return layouts of least cost, of few different set-ups and with the longest offcut, in this order.

    Raises CuttingError where no layout exists. The bound is always a true one; `proven` says whether the
    cost meets it.
    """
    check_sticks(pieces, sticks, saw)
    search = _Search(_reduced(pieces, sticks, saw), effort)
    chosen = search.solve()
    if effort.tidy:
        chosen = tidy(chosen, search.instance.sizes, search.instance.demands, search.rooms, effort)
    return Solution(
        layouts=build_layouts(chosen, pieces, search.instance.kinds, sticks, saw),
        cost=search.cost(chosen),
        bound=search.bound,
        bound_any=search.bound_any,
        model="crosscuts from sticks, whole kerfs and trimmed ends counted",
        work=Work(search.rounds, len(search.master.columns), search.master.nodes),
    )


@dataclass(frozen=True, slots=True)
class Instance:
    """The problem in bare numbers, kerf included."""

    kinds: tuple[tuple[int, ...], ...]
    """By kind: the numbers of the pieces of this length."""
    sizes: tuple[int, ...]
    demands: tuple[int, ...]
    rooms: tuple[int, ...]
    """By stock."""
    prices: tuple[int, ...]
    limits: tuple[int | None, ...]


def _reduced(pieces: Sequence[Piece], sticks: Sequence[Stick], saw: Saw) -> Instance:
    """Merge equal lengths, longest first."""
    by_length: dict[int, list[int]] = {}
    for number, piece in enumerate(pieces):
        by_length.setdefault(piece.length, []).append(number)
    lengths = sorted(by_length, reverse=True)
    return Instance(
        kinds=tuple(tuple(by_length[length]) for length in lengths),
        sizes=tuple(length + saw.kerf for length in lengths),
        demands=tuple(sum(pieces[number].count for number in by_length[length]) for length in lengths),
        rooms=tuple(max(0, stick.length - saw.trim.start - saw.trim.end + saw.kerf) for stick in sticks),
        prices=tuple(stick.price for stick in sticks),
        limits=tuple(stick.limit for stick in sticks),
    )


@dataclass(slots=True)
class _Search:
    instance: Instance
    effort: Effort
    bound: int = 0
    bound_any: int = 0
    rounds: int = 0
    master: Master = field(init=False)
    proof: Certificate | None = None
    values: list[int] = field(default_factory=list)
    """Of the pieces, where the proof comes from."""

    def __post_init__(self) -> None:
        problem = self.instance
        self.master = Master(problem.demands, problem.prices, problem.limits)

    @property
    def rooms(self) -> tuple[int, ...]:
        return self.instance.rooms

    def cost(self, chosen: Chosen) -> int:
        return sum(self.instance.prices[stock] * times for stock, _, times in chosen)

    def solve(self) -> Chosen:
        best = self._first()
        self.bound_any = self.bound = self._bound_of_areas()
        if best is not None and self.cost(best) == self.bound:
            return best
        if self._generate(self.instance.demands).short and best is None:
            raise CuttingError(
                "stock-short", "the stock at hand does not give all pieces", "add stock, or lift a limit"
            )
        for attempt in (self._from_columns, self._dive, self._from_near, self._from_list):
            if best is not None and self.cost(best) <= self.bound:
                break
            found = attempt(best)
            if found is not None and (best is None or self.cost(found) < self.cost(best)):
                best = found
        if best is None:
            raise CuttingError(
                "stock-short", "no way was found to cut all pieces from the stock at hand", "add stock, or lift a limit"
            )
        return best

    def _bound_of_areas(self) -> int:
        problem = self.instance
        sized = [Sized(size, 1, demand, False) for size, demand in zip(problem.sizes, problem.demands, strict=True)]
        share = stock_share if len(problem.rooms) == 1 else area_share
        shares = [share(sized, room, 1) if room else Fraction(0) for room in problem.rooms]
        entries = [entry for entry in zip(shares, problem.prices, problem.limits, strict=True) if entry[0]]
        return attainable(cheapest(entries), problem.prices, problem.limits)

    # first layouts

    def _first(self) -> Chosen | None:
        """Return the cheaper of two simple ways, whose patterns also start the master."""
        best: Chosen | None = None
        for way in (self._fullest, self._longest_first):
            found = self._greedy(way)
            if found is None:
                continue
            for stock, pattern, _ in found:
                self.master.add(_column(stock, pattern))
            if best is None or self.cost(found) < self.cost(best):
                best = found
        return best

    def _greedy(self, way: Callable[[Sequence[int], int], Pattern]) -> Chosen | None:
        left = list(self.instance.demands)
        limits = list(self.instance.limits)
        chosen: Chosen = []
        while any(left):
            offers = []
            for stock, room in enumerate(self.rooms):
                if limits[stock] == 0:
                    continue
                pattern = way(left, room)
                filled = sum(self.instance.sizes[kind] * count for kind, count in pattern)
                if filled:
                    offers.append((Fraction(self.instance.prices[stock], filled), stock, pattern))
            if not offers:
                return None
            _, stock, pattern = min(offers, key=lambda offer: offer[:2])
            times = min(left[kind] // count for kind, count in pattern)
            limit = limits[stock]
            if limit is not None:
                times = min(times, limit)
                limits[stock] = limit - times
            for kind, count in pattern:
                left[kind] -= count * times
            chosen.append((stock, pattern, times))
        return chosen

    def _longest_first(self, left: Sequence[int], room: int) -> Pattern:
        pattern = []
        for kind, size in enumerate(self.instance.sizes):
            count = min(left[kind], room // size)
            if count:
                pattern.append((kind, count))
                room -= count * size
        return tuple(pattern)

    def _fullest(self, left: Sequence[int], room: int) -> Pattern:
        """Fill a stick as full as it goes, long pieces first where there is a choice."""
        longest = next((k for k, size in enumerate(self.instance.sizes) if left[k] and size <= room), None)
        if longest is None:
            return ()
        rest = room - self.instance.sizes[longest]
        sack = Knapsack(rest)
        for kind in reversed(range(len(left))):
            count = left[kind] - (kind == longest)
            sack.add(kind, size=self.instance.sizes[kind], value=self.instance.sizes[kind], count=count)
        packed = sack.contents(rest)
        packed[longest] = packed.get(longest, 0) + 1
        return tuple(sorted(packed.items()))

    # column generation

    def _generate(self, demands: Sequence[int], *, master: Master | None = None) -> Duals:
        """Add columns until none is of use, or the bound shows that the relaxed cost is settled."""
        own = master is None
        master = master or self.master
        for _ in range(self.effort.rounds):
            duals = master.relax()
            self.rounds += 1
            sack = self._price(duals, demands)
            best = [int(sack.best[room]) for room in self.rooms]
            if own:
                self._raise_bound(duals, best)
            added = False
            for stock, room in enumerate(self.rooms):
                if best[stock] > duals.thresholds[stock]:
                    added |= master.add(_column(stock, tuple(sorted(sack.contents(room).items()))))
            settled = (
                own
                and not duals.short
                and self.bound
                >= attainable(duals.cost - Fraction(1, 10**6), self.instance.prices, self.instance.limits)
            )
            if not added or settled:
                break
        return duals

    def _price(self, duals: Duals, demands: Sequence[int]) -> Knapsack:
        return self._sack(duals.pieces, demands)

    def _sack(self, values: Sequence[int], demands: Sequence[int]) -> Knapsack:
        sack = Knapsack(max(self.rooms))
        for kind, size in enumerate(self.instance.sizes):
            sack.add(kind, size=size, value=values[kind], count=demands[kind])
        return sack

    def _raise_bound(self, duals: Duals, best: list[int]) -> None:
        proof = dual_bound(duals, self.instance.demands, self.master, best)
        self.bound = max(self.bound, attainable(proof.bound, self.instance.prices, self.instance.limits))
        if self.proof is None or proof.bound >= self.proof.bound:
            self.proof, self.values = proof, duals.pieces

    # whole numbers

    def _from_columns(self, best: Chosen | None, *, share: int = 4) -> Chosen | None:
        """Choose among the columns at hand, with a part of the checks."""
        found = self.master.integral(
            nodes=self.effort.nodes,
            checks=self.effort.checks // share,
            target=self.bound,
            below=None if best is None else self.cost(best),
        )
        return None if found is None else self._exact(found)

    def _exact(self, columns: Sequence[tuple[Column, int]]) -> Chosen:
        """Leave away what is cut beyond the demand."""
        left = list(self.instance.demands)
        chosen: Chosen = []
        for column, times in columns:
            while times:
                pattern = tuple((key[1], min(count, left[key[1]])) for key, count in column.makes if left[key[1]])
                if not pattern:
                    break
                run = min(times, *(left[kind] // count for kind, count in pattern))
                for kind, count in pattern:
                    left[kind] -= count * run
                chosen.append((column.of[1], pattern, run))
                times -= run
        return chosen

    def _dive(self, best: Chosen | None) -> Chosen | None:
        """Fix the whole parts of the relaxed master, then its largest fraction, and price again for the rest."""
        for push in (0.999, 0.6):
            found = self._dive_once(push)
            if found is not None and (best is None or self.cost(found) < self.cost(best)):
                best = found
                if self.cost(best) <= self.bound:
                    break
        return best

    def _dive_once(self, push: float) -> Chosen | None:
        left = list(self.instance.demands)
        limits = list(self.instance.limits)
        pool = list(self.master.columns)
        chosen: Chosen = []
        while any(left):
            master = Master(left, self.instance.prices, limits)
            for column in pool:
                if all(left[key[1]] >= count for key, count in column.makes) and limits[column.of[1]] != 0:
                    master.add(column)
            if self._generate(left, master=master).short:
                return None
            pool += [column for column in master.columns if column not in pool]
            uses = master.relaxed_uses()
            fixed = [(column, int(use + 1 - push)) for column, use in uses if int(use + 1 - push)]
            if not fixed:
                fixed = [(max(uses, key=lambda entry: entry[1])[0], 1)]
            for column, times in fixed:
                chosen += self._fix(column, times, left, limits)
        return chosen

    def _fix(self, column: Column, times: int, left: list[int], limits: list[int | None]) -> Chosen:
        stock = column.of[1]
        limit = limits[stock]
        times = min([times, *(left[key[1]] // count for key, count in column.makes)])
        times = times if limit is None else min(times, limit)
        if not times:
            return []
        if limit is not None:
            limits[stock] = limit - times
        for key, count in column.makes:
            left[key[1]] -= count * times
        return [(stock, tuple((key[1], count) for key, count in column.makes), times)]

    def _from_near(self, best: Chosen | None) -> Chosen | None:
        """Choose among patterns that are worth nearly what their stick costs as well."""
        problem = self.instance
        for stock, room in enumerate(self.rooms):
            sack = self._sack(self.values, problem.demands)
            for part in _NEAR:
                listed = list_patterns(
                    problem.sizes,
                    self.values,
                    problem.demands,
                    room,
                    least_value=int(sack.best[room]) * part // 1000,
                    least_size=0,
                    most=_MOST_NEAR,
                )
                if listed is not None:
                    for pattern in listed:
                        self.master.add(_column(stock, pattern))
                    break
        return self._from_columns(best, share=3)

    def _from_list(self, best: Chosen | None) -> Chosen | None:
        """List every pattern a cheaper solution could hold, and choose among them; settles it where the list is whole.

        A pattern takes part in a solution of cost C only if its reduced cost is at most C less the bound
        (reduced cost fixing), and its waste at most the waste of all.
        """
        problem = self.instance
        if best is None or self.proof is None:
            return None
        below = self.cost(best)
        master = Master(problem.demands, problem.prices, problem.limits)
        for stock, room in enumerate(self.rooms):
            patterns = list_patterns(
                problem.sizes,
                self.values,
                problem.demands,
                room,
                least_value=self.proof.least_value(stock, below - 1),
                least_size=self._least_filled(below - 1),
                most=self.effort.patterns,
            )
            if patterns is None:
                return None
            for pattern in patterns:
                master.add(_column(stock, pattern))
        found = master.integral(nodes=self.effort.nodes, checks=self.effort.checks, target=self.bound, below=below)
        self.master.nodes += master.nodes
        if found is not None:
            return self._exact(found)
        if master.complete:
            self.bound = below
        return None

    def _least_filled(self, cost: int) -> int:
        """Return what each stick must be filled with if all together cost that: the waste of all is known."""
        problem = self.instance
        if len(self.rooms) != 1 or not problem.prices[0]:
            return 0
        pieces = sum(size * demand for size, demand in zip(problem.sizes, problem.demands, strict=True))
        sticks = cost // problem.prices[0]
        return max(0, self.rooms[0] - (sticks * self.rooms[0] - pieces))


def _column(stock: int, pattern: Pattern) -> Column:
    return Column((STOCK, stock), tuple(((PIECE, kind), count) for kind, count in pattern))
