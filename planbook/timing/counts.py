"""The exact model: how many copies of each item have begun by each slot.

Whole numbers that never fall (the "started by" or step form of time-indexed models: Pritsker, Watters, Wolfe
1969; Christofides, Alvarez-Valdes, Tamarit 1987). Precedence compares one count with one earlier count, so each
row has two entries; what a resource gives is a difference of two counts per item. Because the copies of an item are
alike, counts decide as much as names do, as long as every copy goes through the items in one order.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from planbook.timing.items import Arc, Work
from planbook.timing.listing import Starts
from planbook.timing.solver import Program, refuted, solve
from planbook.timing.windows import Windows, at_once

Term = tuple[int | None, int]
"""A count at a slot: (column, 0) where it is open, (None, value) where the windows have settled it."""

_OPEN = 8_000
"""Most counts left open by the windows in a model that is handed to the solver at all."""


@dataclass(slots=True)
class Counts:
    """The model of one instance for one end of all work."""

    work: Work
    frame: Windows
    program: Program
    terms: list[list[Term]]
    """By item and slot."""

    def at(self, item: int, slot: int) -> Term:
        """Return the count of an item at a slot; nothing has begun before the first."""
        return self.terms[item][slot] if slot >= 0 else (None, 0)

    def compare(self, pairs: list[tuple[float, Term]], upper: float) -> None:
        """Add the row: the sum of factor x count is not over `upper`."""
        entries = [(column, factor) for factor, (column, _) in pairs if column is not None]
        settled = sum(factor * value for factor, (column, value) in pairs if column is None)
        if entries:
            self.program.row(entries, -float("inf"), upper - settled)
        elif settled > upper + 1e-9:
            self.program.row([(0, 0.0)], 1.0, 1.0)  # the windows alone refute it

    def settled(self) -> Starts | None:
        """Read the starts where the windows have settled everything."""
        return self.starts([])

    def starts(self, values: list[int] | None) -> Starts | None:
        """Read the starts of the copies from the counts by column."""
        if values is None:
            return None
        found: list[tuple[int, ...]] = []
        for row in self.terms:
            begun: list[int] = []
            for slot, (column, value) in enumerate(row):
                count = value if column is None else values[column]
                begun += [slot] * (count - len(begun))
            found.append(tuple(begun))
        return tuple(found)

    def values(self, starts: Starts) -> list[int] | None:
        """Return the counts of known starts by column, or None where they do not lie in the windows."""
        values = [0] * len(self.program.cost)
        for number, row in enumerate(self.terms):
            count, place, begun = 0, 0, starts[number]
            for slot, (column, settled) in enumerate(row):
                while place < len(begun) and begun[place] <= slot:
                    place += 1
                count = place
                if column is None and settled != count:
                    return None
                if column is not None:
                    values[column] = count
        return values


def too_large(frame: Windows) -> bool:
    """Return whether the solver would be busy for minutes with the first relaxation alone."""
    rows = zip(frame.least, frame.most, strict=True)
    return sum(low < high for least, most in rows for low, high in zip(least, most, strict=True)) > _OPEN


def build(work: Work, frame: Windows) -> Counts:
    """Write the model; its only wish is that all work ends in time."""
    program = Program()
    terms: list[list[Term]] = []
    for number, item in enumerate(work.items):
        row: list[Term] = []
        for slot in range(frame.end):
            least, most = frame.least[number][slot], frame.most[number][slot]
            can = work.may_start[number][slot] and slot + item.slots <= frame.end
            if least == most:
                row.append((None, least))
            elif not can and slot > 0:
                row.append(row[-1])
            else:
                row.append((program.column(least, most, loose=item.copies > 1), 0))
        terms.append(row)
    model = Counts(work, frame, program, terms)
    _rising(model)
    _precedence(model)
    _resources(model)
    _soon(model)
    return model


def _rising(model: Counts) -> None:
    for row in model.terms:
        for before, after in pairwise(row):
            if before != after:
                model.compare([(1.0, before), (-1.0, after)], 0.0)


def _precedence(model: Counts) -> None:
    work = model.work
    for number, arc in enumerate(work.arcs):
        before, after = work.items[arc.before].copies, work.items[arc.after].copies
        latest = work.latest_before[number]
        if before != after:
            (_all_after_one if before == 1 else _one_after_all)(model, arc, latest)
            continue
        done: tuple[Term, Term] | None = None
        for slot in range(model.frame.end):
            pair = model.at(arc.after, slot), model.at(arc.before, latest[slot])
            if pair != done:
                model.compare([(1.0, pair[0]), (-1.0, pair[1])], 0.0)
            done = pair


def _steps(model: Counts, number: int) -> list[int]:
    """Return in what numbers copies of an item can begin, a slot length apart: as many as fit at once."""
    item = model.work.items[number]
    rate = at_once(model.work, number)
    full, rest = divmod(item.copies, rate)
    return [rate] * full + [rest] * (rest > 0)


def _all_after_one(model: Counts, arc: Arc, latest: tuple[int, ...]) -> None:
    """After a demonstration no more begin than the stations take: so many at once, so many a slot length later."""
    length, steps = model.work.items[arc.after].slots, _steps(model, arc.after)
    for slot in range(model.frame.end):
        pairs = [(1.0, model.at(arc.after, slot))]
        for turn, count in enumerate(steps):
            place = slot - turn * length
            pairs.append((-float(count), model.at(arc.before, latest[place] if place >= 0 else -1)))
        model.compare(pairs, 0.0)


def _one_after_all(model: Counts, arc: Arc, latest: tuple[int, ...]) -> None:
    """Before a setting is changed all are through: the last few begun by then, the others a slot length before."""
    length, steps = model.work.items[arc.before].slots, _steps(model, arc.before)
    for slot in range(model.frame.end):
        last = latest[slot]
        begun = model.at(arc.after, slot)
        if begun == (None, 0):
            continue
        left = model.work.items[arc.before].copies
        for turn, count in enumerate(steps):
            model.compare([(float(left), begun), (-1.0, model.at(arc.before, last - turn * length))], 0.0)
            left -= count


def _soon(model: Counts) -> None:
    """Whoever begins first begins when the item before has just ended, and in its session."""
    work = model.work
    for before, afters in work.soon:
        latest = work.latest_before[work.arc_number[next(a for a in work.after[before] if a.after == afters[0])]]
        for slot in range(model.frame.end):
            begun: list[tuple[float, Term]] = [(-1.0, model.at(after, slot)) for after in afters]
            shown = [latest[slot], slot] if slot in work.session_ends else [latest[slot]]
            for place in shown:
                model.compare([(1.0, model.at(before, place)), *begun], 0.0)


def _resources(model: Counts) -> None:
    work, frame = model.work, model.frame
    for resource, capacity in enumerate(work.capacity):
        users = [
            (number, amount, held)
            for number, item in enumerate(work.items)
            for held, group in ((False, item.uses), (True, item.holds))
            for which, amount in group
            if which == resource and amount
        ]
        for slot in range(frame.end):
            pairs: list[tuple[float, Term]] = []
            most = 0
            for number, amount, held in users:
                ended = work.latest_free[number][slot] if held else slot - work.items[number].slots
                most += amount * (frame.most[number][slot] - (frame.least[number][ended] if ended >= 0 else 0))
                pairs += [(float(amount), model.at(number, slot)), (-float(amount), model.at(number, ended))]
            if most > capacity:
                model.compare(pairs, float(capacity))


@dataclass(frozen=True, slots=True)
class Fit:
    """Whether the work fits an end: a timetable, or proof that there is none, or neither."""

    starts: Starts | None
    sure: bool
    """Whether the answer is proven."""


def fit(work: Work, frame: Windows, *, effort: int) -> Fit:
    """Search for a timetable that ends in time.

    First with whole numbers only where one copy stands for all (demonstrations, settings): the counts between
    them mostly come out whole by themselves, and where even that is refuted nothing fits.
    """
    if too_large(frame):
        return Fit(None, False)
    model = build(work, frame)
    if not model.program.cost:
        none_refused = not model.program.row_lower
        return Fit(model.settled() if none_refused else None, True)
    if refuted(model.program):
        return Fit(None, True)
    if any(model.program.loose):
        answer = solve(model.program, work=effort, any_will_do=True, loosely=True)
        if answer.refuted or answer.values is not None:
            return Fit(model.starts(answer.values), True)
    answer = solve(model.program, work=effort, any_will_do=True)
    return Fit(model.starts(answer.values), answer.refuted or answer.values is not None)


def refutes(work: Work, frame: Windows) -> bool:
    """Return whether not even fractions of students fit; cheap, and never wrong when it says so."""
    if too_large(frame):
        return False
    model = build(work, frame)
    return bool(model.program.cost) and refuted(model.program)
