"""Sheets: edge-to-edge layouts by column generation over linked levels, with a bound from exact pricing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from planbook.cutting.bounds import Sized, area_share, cheapest, stock_share
from planbook.cutting.drafts import Assembly, Drafts, Sizes, drop_surplus
from planbook.cutting.effort import NORMAL, Effort
from planbook.cutting.enumerate import list_sections, maximal_heights, maximal_strips, near_strips
from planbook.cutting.few_diagrams import fewer_diagrams
from planbook.cutting.frames import Frame, SheetInstance, reduce_sheets
from planbook.cutting.layout import Solution, Work
from planbook.cutting.levels import link_levels
from planbook.cutting.master import PIECE, STRIP, Certificate, Column, Duals, Master, attainable, dual_bound
from planbook.cutting.problem import CuttingError, First, Piece, Saw, Sheet, check_sheets
from planbook.cutting.sections import SectionPlaces, SectionPricing
from planbook.cutting.sequential import Sequential
from planbook.cutting.sheet_layouts import build_panels
from planbook.cutting.strips import StripPricing

_FEW_PIECES = 60
_SHARES = (1.0, 0.85, 0.7, 0.5)
"""Parts of the relaxed uses that are cut before the rest is looked at."""
_MANY_COLUMNS = 700
_THOROUGH_CHECKS = 5_000
_FIRST = {First.RIP: "rip cuts first", First.CROSSCUT: "crosscuts first", First.EITHER: "rip or crosscut first"}


def solve_sheets(pieces: Sequence[Piece], sheets: Sequence[Sheet], saw: Saw, *, effort: Effort = NORMAL) -> Solution:
    """Return layouts of least cost, of few different diagrams and with a large offcut, in this order.

    Raises CuttingError where no layout exists or none is found.
    """
    check_sheets(pieces, sheets, saw)
    instance = reduce_sheets(pieces, sheets, saw)
    search = SheetSearch(instance, effort)
    drafts = search.solve()
    if effort.tidy:
        drafts = fewer_diagrams(drafts, instance, search.columns(), effort)
    return Solution(
        layouts=build_panels(drafts, pieces, instance, sheets, saw),
        cost=search.cost(drafts),
        bound=search.bound,
        bound_any=search.bound_any,
        model=cutting_model(saw),
        work=Work(search.rounds, len(search.master.columns), search.master.nodes),
    )


def cutting_model(saw: Saw) -> str:
    """Return in words which layouts are looked at; a proof holds for these only."""
    stages = "two" if saw.stages == 2 else "three"
    return f"edge-to-edge cuts in {stages} stages and a last trim of single pieces, {_FIRST[saw.first]}"


Pricing = StripPricing | SectionPricing


@dataclass(slots=True)
class SheetSearch:
    """The search for sheets of least cost."""

    instance: SheetInstance
    effort: Effort
    missing: tuple[int, ...] = ()
    """What each kind costs where it is left out; empty where all have to come."""
    bound: int = 0
    bound_any: int = 0
    rounds: int = 0
    master: Master = field(init=False)
    sizes: Sizes = field(init=False)
    proof: Certificate | None = None
    """From the last pricing, with its values."""
    duals: Duals | None = None
    priced: list[Pricing] = field(default_factory=list)
    _places: dict[int, SectionPlaces] = field(default_factory=dict)
    _listed: list[Column] = field(default_factory=list)

    def __post_init__(self) -> None:
        problem = self.instance
        self.master = Master(problem.demands, problem.prices, problem.limits, self.missing)
        self.sizes = Sizes(problem)
        if problem.stages == 3:
            self._places = {frame.direction: SectionPlaces(frame, problem.demands) for frame in problem.frames}

    def cost(self, drafts: Drafts) -> int:
        """Return what the stock of the drafts costs."""
        return sum(self.instance.prices[draft.stock] * times for draft, times in drafts.items())

    def columns(self) -> list[Column]:
        """Return every way to cut a block that was met."""
        return [*self.master.columns, *self._listed]

    def solve(self) -> Drafts:
        """Return the cheapest sheets found; raises CuttingError where there are none."""
        self.bound_any = self.bound = self._bound_of_areas()
        duals = self.generate()
        best = self._greedy()
        for attempt in (
            self._from_columns,
            self._from_near_strips,
            self._from_residue,
            self._from_lists,
            self._corrected,
        ):
            if best is not None and self.cost(best) <= self.bound:
                break
            found = attempt(best)
            if found is not None and (best is None or self.cost(found) < self.cost(best)):
                best = found
        if best is None:
            short = "does not give" if duals.short else "was not made to give"
            raise CuttingError(
                "stock-short", f"the stock at hand {short} all pieces", "add stock, lift a limit, or allow three stages"
            )
        return best

    def _bound_of_areas(self) -> int:
        problem, kerf = self.instance, self.instance.kerf
        sized = [
            Sized(length + kerf, width + kerf, demand, turns)
            for (length, width), demand, turns in zip(problem.sizes, problem.demands, problem.turns, strict=True)
        ]
        rooms = [self._flat(number) for number in range(len(problem.prices))]
        share = stock_share if len(rooms) == 1 else area_share
        shares = [share(sized, *room) if min(room) > 0 else Fraction(0) for room in rooms]
        entries = [entry for entry in zip(shares, problem.prices, problem.limits, strict=True) if entry[0]]
        return attainable(cheapest(entries), problem.prices, problem.limits)

    def _flat(self, stock: int) -> tuple[int, int]:
        frame = self.instance.frames[0]
        along, across = frame.rooms[stock]
        return (across, along) if frame.direction else (along, across)

    # column generation

    def _price(self, frame: Frame, values: Sequence[int], demands: Sequence[int]) -> Pricing:
        if self.instance.stages == 3:
            return SectionPricing(frame, self._places[frame.direction], demands, values)
        return StripPricing(frame, demands, values)

    def generate(self) -> Duals:
        """Add columns until none is of use, or the rounds are over; raises the bound on the way."""
        if self.instance.stages == 3 and sum(self.instance.demands) > _FEW_PIECES:
            # strips of single pieces are cheap to find, and most of what many pieces need
            self._generate(self._priced_strips, exact=False)
        return self._generate(self._priced, exact=True)

    def _priced(self, frame: Frame, values: Sequence[int]) -> Pricing:
        return self._price(frame, values, self.instance.demands)

    def _priced_strips(self, frame: Frame, values: Sequence[int]) -> Pricing:
        return StripPricing(frame, self.instance.demands, values)

    def _generate(self, price: Callable[[Frame, Sequence[int]], Pricing], *, exact: bool) -> Duals:
        problem = self.instance
        stocks = range(len(problem.prices))
        for _ in range(self.effort.rounds):
            link_levels(self.master)
            duals = self.master.relax()
            self.rounds += 1
            priced = [price(frame, duals.pieces) for frame in problem.frames]
            if exact:
                best = [max(pricing.best(stock) for pricing in priced) for stock in stocks]
                self.proof = dual_bound(duals, problem.demands, self.master, best)
                self.priced, self.duals = priced, duals
                self.bound = max(self.bound, attainable(self.proof.bound, problem.prices, problem.limits))
            added = False
            for pricing in priced:
                for stock in stocks:
                    if pricing.best(stock) > duals.thresholds[stock]:
                        for column in pricing.columns(stock, tall=self.rounds % 2 == 1):
                            added |= self.master.add(column)
            if not added:
                break
        link_levels(self.master)
        return duals

    # whole numbers

    def _greedy(self) -> Drafts | None:
        """Cut sheet after sheet; always ends, and bounds the cost from above."""
        best: Drafts | None = None
        for stages in range(2, self.instance.stages + 1):
            sequential = Sequential(self.instance, self.sizes, stages=stages)
            best = self._cheaper(best, sequential.cut(sequential.areas()))
        return best

    def _cheaper(self, best: Drafts | None, found: Drafts | None) -> Drafts | None:
        if best is None or (found is not None and self.cost(found) < self.cost(best)):
            return found
        return best

    def _corrected(self, best: Drafts | None) -> Drafts | None:
        """Cut sheet after sheet again and again, with the values of badly lying pieces raised."""
        pieces = sum(self.instance.demands)
        for stages in range(2, self.instance.stages + 1):
            sequential = Sequential(self.instance, self.sizes, stages=stages)
            values = sequential.areas()
            for _ in range(max(2, self.effort.corrections // max(1, pieces // 20))):
                best = self._cheaper(best, sequential.cut(values, correct=True))
                if best is not None and self.cost(best) <= self.bound:
                    return best
        return best

    def _from_columns(self, best: Drafts | None) -> Drafts | None:
        """Choose among the columns that pricing gave."""
        problem = self.instance
        many = sum(problem.demands) > _FEW_PIECES and problem.stages == 2 and len(problem.prices) == 1
        return self._choose(self.master, best, self.effort.checks * 9 // 10 if many else self.effort.checks // 3)

    def _from_residue(self, best: Drafts | None) -> Drafts | None:
        """Price again for what is left once the whole parts of the relaxed uses are cut, and choose anew (many pieces).

        Rounding down leaves pieces that the best columns for all do not suit (the residual problem of Scheithauer,
        Terno 1995). Where there are many columns, as with three stages, that is only worth it for a thorough search.
        """
        problem = self.instance
        thorough = self.effort.checks >= _THOROUGH_CHECKS
        many = problem.stages == 3 or len(self.master.columns) > _MANY_COLUMNS
        if sum(problem.demands) <= _FEW_PIECES or (many and not thorough):
            return None
        self.master.relax()
        uses = self.master.relaxed_uses()
        for share in _SHARES:
            left = list(problem.demands)
            for column, use in uses:
                for key, count in column.makes:
                    if key[0] == PIECE:
                        left[key[1]] -= count * int(use * share)
            rest = SheetSearch(replace(problem, demands=tuple(max(0, count) for count in left)), self.effort)
            if any(rest.instance.demands):
                rest.generate()
                for column in rest.master.columns:
                    self.master.add(column)
        link_levels(self.master)
        return self._choose(self.master, best, self.effort.checks // (2 if len(problem.prices) == 1 else 8))

    def _from_near_strips(self, best: Drafts | None) -> Drafts | None:
        """Choose among strips that are nearly worth their height as well (many pieces)."""
        if self.duals is None or sum(self.instance.demands) <= _FEW_PIECES:
            return None
        for frame in self.instance.frames:
            for key in self.master.levels(STRIP):
                if key[1] == frame.direction:
                    for column in near_strips(frame, key, self.duals.pieces, self.instance.demands):
                        self.master.add(column)
        return self._choose(self.master, best, self.effort.checks // 6)

    def _choose(self, master: Master, best: Drafts | None, checks: int) -> Drafts | None:
        below = None if best is None else self.cost(best)
        found = master.integral(nodes=self.effort.nodes, checks=checks, target=self.bound, below=below)
        if found is None:
            return None
        return drop_surplus(Assembly(found, self.sizes).drafts(), self.instance.demands, self.sizes)

    def _from_lists(self, best: Drafts | None) -> Drafts | None:
        """List what there is for few pieces: all maximal strips and sets of heights, one direction after the other.

        With three stages only more sections for the strips at hand, which proves nothing.
        """
        problem = self.instance
        if sum(problem.demands) > _FEW_PIECES:
            return best
        if problem.stages == 3:
            for column in list_sections(self.master, problem, most=self.effort.patterns // 8):
                self.master.add(column)
            link_levels(self.master)
            return self._cheaper(best, self._choose(self.master, best, self.effort.checks))
        settled = True
        for frame in problem.frames:
            master = Master(problem.demands, problem.prices, problem.limits)
            whole = self._list(master, frame)
            link_levels(master)
            found = self._choose(master, best, self.effort.checks)
            self.master.nodes += master.nodes
            settled = settled and whole and found is None and master.complete
            if found is not None and (best is None or self.cost(found) < self.cost(best)):
                best = found
                settled = whole and master.complete
            if best is not None and self.cost(best) <= self.bound:
                return best
        if settled and best is not None and len(problem.frames) == 1:
            self.bound = self.cost(best)
        return best

    def _list(self, master: Master, frame: Frame) -> bool:
        """Fill a master with everything a frame has; returns whether it is everything."""
        whole = True
        strips: dict[int, list[Column]] = {}
        for run in sorted({room[0] for room in frame.rooms}):
            strips[run], all_strips = maximal_strips(frame, run, self.instance.demands, most=self.effort.patterns)
            whole = whole and all_strips
        for stock, (run, _) in enumerate(frame.rooms):
            heights, all_heights = maximal_heights(frame, stock, strips[run], most=self.effort.patterns)
            whole = whole and all_heights
            for column in heights:
                master.add(column)
        for columns in strips.values():
            for column in columns:
                master.add(column)
            self._listed += columns
        return whole
