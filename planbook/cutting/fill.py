"""One sheet filled with the most valuable pieces: what an offcut or a spare sheet still gives."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from planbook.cutting.drafts import Assembly, Draft, Drafts, counts_of, drop_surplus
from planbook.cutting.effort import NORMAL, Effort
from planbook.cutting.enumerate import list_sections
from planbook.cutting.frames import Frame, SheetInstance, reduce_sheets
from planbook.cutting.layout import Layout
from planbook.cutting.levels import link_levels
from planbook.cutting.listing import list_patterns
from planbook.cutting.master import PIECE, STRIP, Column, Key
from planbook.cutting.problem import CuttingError, Grain, Piece, Saw, Sheet, check_sheets, usable
from planbook.cutting.sequential import Sequential
from planbook.cutting.sheet_layouts import build_panels
from planbook.cutting.sheets import SheetSearch, cutting_model
from planbook.cutting.solver import Program
from planbook.cutting.strips import StripPricing


@dataclass(frozen=True, slots=True)
class Filled:
    """A sheet and what it is worth."""

    layout: Layout
    value: int
    bound: int
    """No sheet of the cutting model is worth more."""
    model: str

    @property
    def proven(self) -> bool:
        """Whether nothing better exists within the cutting model."""
        return self.value == self.bound


def fill_sheet(
    pieces: Sequence[Piece],
    sheet: Sheet,
    saw: Saw,
    *,
    values: Mapping[str, int] | None = None,
    effort: Effort = NORMAL,
) -> Filled:
    """Return the most valuable sheet with at most `count` of each piece; a piece is worth its area if not said.

    Pieces that do not fit are left out. Raises CuttingError where none fits.
    """
    fitting = [piece for piece in pieces if _fits(piece, sheet, saw)]
    if not fitting:
        raise CuttingError("larger-than-stock", f"no piece fits on `{sheet.key}`", "take a larger sheet")
    one = replace(sheet, price=0, limit=1)
    check_sheets(fitting, [one], saw)
    worth = [(values or {}).get(piece.key, piece.length * piece.width) for piece in fitting]
    instance = reduce_sheets(fitting, [one], saw, values=worth)
    by_kind = tuple(worth[numbers[0]] for numbers in instance.kinds)
    best, value, bound = Draft(0, 0, ()), 0, 0
    for frame in instance.frames:
        search = _Fill(replace(instance, frames=(frame,)), by_kind, effort)
        search.solve()
        bound = max(bound, search.bound)
        if search.value > value:
            best, value = search.best, search.value
    if not best.strips:
        raise CuttingError("nothing-of-value", "no piece is worth anything", "give the pieces values above zero")
    layout = build_panels({best: 1}, fitting, instance, [one], saw)[0]
    return Filled(layout, value, bound, cutting_model(saw))


class _Fill:
    """The search for one direction of the first cuts."""

    def __init__(self, instance: SheetInstance, worth: tuple[int, ...], effort: Effort) -> None:
        self._instance, self._worth, self._effort = instance, worth, effort
        self._all = sum(value * demand for value, demand in zip(worth, instance.demands, strict=True))
        self._search = SheetSearch(instance, effort, worth)
        self.best, self.value, self.bound = Draft(0, instance.frames[0].direction, ()), 0, self._all

    @property
    def _frame(self) -> Frame:
        return self._instance.frames[0]

    def solve(self) -> None:
        """Find a best sheet and a bound."""
        self._one_by_one()
        self._search.generate()
        self.bound = self._all - self._search.bound
        if self.value < self.bound:
            self._from_columns()
        if self.value < self.bound:
            self._from_list() if self._instance.stages == 2 else self._from_sections()

    def _keep(self, drafts: Drafts) -> None:
        for draft in drop_surplus(drafts, self._instance.demands, self._search.sizes):
            value = sum(self._worth[kind] * count for kind, count in counts_of(draft).items())
            if value > self.value:
                self.best, self.value = draft, value

    def _one_by_one(self) -> None:
        for stages in range(2, self._instance.stages + 1):
            sequential = Sequential(self._instance, self._search.sizes, stages=stages)
            self._keep({sequential.sheet(self._frame, 0, self._worth, self._instance.demands): 1})

    def _from_columns(self) -> None:
        found = self._search.master.integral(
            nodes=self._effort.nodes,
            checks=self._effort.checks // 3,
            target=self._search.bound,
            below=self._all - self.value,
        )
        if found is not None:
            self._keep(Assembly(found, self._search.sizes).drafts())

    def _from_sections(self) -> None:
        """Choose among more sections for the strips at hand; proves nothing."""
        master = self._search.master
        for column in list_sections(master, self._instance, most=self._effort.patterns // 8):
            master.add(column)
        link_levels(master)
        self._from_columns()

    def _from_list(self) -> None:
        """List every strip that a better sheet could hold, and choose among them; settles it where the list is whole.

        A strip is of use only if what it and the rest of the sheet are worth at most is enough
        (reduced cost fixing).
        """
        proof, duals = self._search.proof, self._search.duals
        if proof is None or duals is None:
            return
        pricing = self._search.priced[0]
        if not isinstance(pricing, StripPricing):
            return
        breadth = self._frame.rooms[0][1]
        least = proof.least_value(0, self._all - self.value - 1)
        strips: list[tuple[int, Column]] = []
        for height in sorted({item.b for item in self._frame.items if item.b <= breadth}):
            listed = self._strips(height, duals.pieces, least - pricing.rest_value(0, breadth - height))
            if listed is None or len(strips) + len(listed) > self._effort.patterns:
                return
            strips += [(height, column) for column in listed]
        self._choose(strips, breadth)

    def _strips(self, height: int, values: Sequence[int], least: int) -> list[Column] | None:
        items = [item for item in self._frame.items if item.b <= height and item.a <= self._frame.rooms[0][0]]
        patterns = list_patterns(
            [item.a for item in items],
            [values[item.kind] for item in items],
            [self._instance.demands[item.kind] for item in items],
            self._frame.rooms[0][0],
            least_value=max(0, least),
            least_size=0,
            most=self._effort.patterns,
        )
        if patterns is None:
            return None
        key: Key = (STRIP, self._frame.direction, self._frame.rooms[0][0], height)
        return [
            Column(key, tuple(((PIECE, items[place].kind, items[place].turned), count) for place, count in pattern))
            for pattern in patterns
            if any(items[place].b == height for place, _ in pattern)
        ]

    def _choose(self, strips: Sequence[tuple[int, Column]], breadth: int) -> None:
        program = Program()
        unit = max(self._worth)
        room = program.row(-float(breadth))
        wanted = [program.row(float(demand)) for demand in self._instance.demands]
        for kind, row in enumerate(wanted):
            program.column(self._worth[kind] / unit, [(row, 1.0)])
        numbers = []
        for height, column in strips:
            entries = {room: -float(height)}
            for key, count in column.makes:
                entries[wanted[key[1]]] = entries.get(wanted[key[1]], 0.0) + count
            numbers.append(program.column(0.0, list(entries.items())))
        found = program.integral(
            nodes=self._effort.nodes,
            checks=self._effort.checks,
            target=(self._all - self.bound) / unit,
            below=(self._all - self.value - 0.5) / unit,
        )
        if found is not None:
            chosen = [
                strip
                for (_, column), number in zip(strips, numbers, strict=True)
                for strip in [tuple(((key[1], key[2]),) for key, count in column.makes for _ in range(count))]
                * found.columns[number]
            ]
            self._keep({self._search.sizes.sorted(0, self._frame.direction, chosen): 1})
        if program.complete:
            self.bound = self.value


def _fits(piece: Piece, sheet: Sheet, saw: Saw) -> bool:
    length, width = usable(sheet, saw.trim)
    straight = piece.length <= length and piece.width <= width
    return straight or (piece.grain is Grain.FREE and piece.width <= length and piece.length <= width)
