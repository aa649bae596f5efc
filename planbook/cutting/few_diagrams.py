"""Sheets of the same cost: fewer different diagrams, then one offcut as large as it can be.

The stock stays as it is. For a number of diagrams and a way to share out the sheets among them, one integer
model asks which strips go into each diagram so that every piece comes out exactly. Each wish is a model of
its own, with what was reached before held fast.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from planbook.cutting.drafts import Draft, Drafts, Sizes, Strip, counts_of
from planbook.cutting.effort import Effort
from planbook.cutting.frames import SheetInstance
from planbook.cutting.master import PIECE, STRIP, Column
from planbook.cutting.repeating import repeated_sheets
from planbook.cutting.solver import Program

_MOST_SHEETS = 24
_MOST_DIAGRAMS = 5
_MOST_STRIPS = 60
_MOST_OFFCUT_SHEETS = 12

Share = tuple[tuple[int, int], ...]
"""Stock and number of copies of each diagram."""


def fewer_diagrams(drafts: Drafts, instance: SheetInstance, columns: Sequence[Column], effort: Effort) -> Drafts:
    """Return sheets of the same stock with as few diagrams as are found, and among these with the largest offcut."""
    sizes = Sizes(instance)
    drafts = repeated_sheets(drafts, instance, sizes)
    stock: dict[int, int] = {}
    for draft, times in drafts.items():
        stock[draft.stock] = stock.get(draft.stock, 0) + times
    if sum(stock.values()) > _MOST_SHEETS:
        return drafts
    model = _Diagrams(instance, sizes, _pool(drafts, instance, sizes, columns), effort)
    tried = 0
    for number in range(len(stock), min(len(drafts), _MOST_DIAGRAMS + 1)):
        for share in _shares(stock, number):
            if not _divides(share, instance.demands):
                continue
            tried += 1
            found = model.solve(share)
            if found is not None:
                return _larger_offcut(found, model)
            if tried >= effort.tidy:
                return _larger_offcut(drafts, model)
    return _larger_offcut(drafts, model)


def _shares(stock: dict[int, int], number: int) -> Iterator[Share]:
    """Yield the ways to share out the sheets among so many diagrams, even ones first."""
    entries = sorted(stock.items())

    def parts(total: int, count: int, most: int) -> Iterator[tuple[int, ...]]:
        if count == 1:
            if total <= most:
                yield (total,)
            return
        for first in range(-(-total // count), min(most, total - count + 1) + 1):
            for rest in parts(total - first, count - 1, first):
                yield (first, *rest)

    splits = [counts for counts in product(*(range(1, count + 1) for _, count in entries)) if sum(counts) == number]
    for counts in splits:
        ways = [list(parts(total, count, total)) for (_, total), count in zip(entries, counts, strict=True)]
        for choice in product(*ways):
            yield tuple((stock_no, r) for (stock_no, _), rs in zip(entries, choice, strict=True) for r in rs)


def _divides(share: Share, demands: Sequence[int]) -> bool:
    """Tell whether each demand is a sum of the numbers of copies at all."""
    copies = [count for _, count in share]
    for demand in demands:
        sums = 1
        for count in copies:
            for _ in range(demand // count):
                wider = sums | (sums << count)
                if wider == sums:
                    break
                sums = wider
        if not sums >> demand & 1:
            return False
    return True


@dataclass(frozen=True, slots=True)
class _Candidate:
    direction: int
    run: int
    height: int
    strip: Strip


def _pool(
    drafts: Drafts, instance: SheetInstance, sizes: Sizes, columns: Sequence[Column]
) -> dict[int, list[_Candidate]]:
    """Return by direction the strips in use and the fullest others."""
    pool: dict[int, list[_Candidate]] = {}
    for frame in instance.frames:
        own: dict[Strip, None] = {}
        for draft in drafts:
            if draft.direction == frame.direction:
                own.update(dict.fromkeys(draft.strips))
        others: dict[Strip, None] = {}
        for column in columns:
            if column.of[:2] == (STRIP, frame.direction) and column.makes[0][0][0] == PIECE:
                lying = [((key[1], key[2]),) for key, count in column.makes for _ in range(count)]
                strip = sizes.sorted(0, frame.direction, [tuple(lying)]).strips[0]
                if strip not in own:
                    others[strip] = None
        run = max(room[0] for room in frame.rooms)
        ranked = sorted(others, key=lambda s: (-_filled(s, sizes, frame.direction), s))
        chosen = [*own, *ranked[: max(0, _MOST_STRIPS - len(own))]]
        pool[frame.direction] = [
            _Candidate(frame.direction, sizes.run(frame.direction, s), sizes.height(frame.direction, s), s)
            for s in chosen
            if sizes.run(frame.direction, s) <= run
        ]
    return pool


def _filled(strip: Strip, sizes: Sizes, direction: int) -> float:
    area = sum(sizes.along(direction, p) * sizes.across(direction, p) for cell in strip for p in cell)
    return area / sizes.height(direction, strip)


@dataclass(slots=True)
class _Diagrams:
    instance: SheetInstance
    sizes: Sizes
    pool: dict[int, list[_Candidate]]
    effort: Effort

    def solve(self, share: Share, *, spare: int | None = None, least: int = 0) -> Drafts | None:
        """Return diagrams for a share, or None where none were found.

        With `spare` the strips of that diagram take as little breadth as can be, and leave at least `least`.
        """
        program = Program()
        demands = [program.row(float(d), float(d)) for d in self.instance.demands]
        placed: list[list[int]] = []
        strips: list[tuple[int, _Candidate, int]] = []
        for number, (stock, copies) in enumerate(share):
            made = [program.row(0.0) for _ in demands]
            placed.append(
                [program.column(0.0, [(row, -1.0), (d, float(copies))]) for row, d in zip(made, demands, strict=True)]
            )
            ways = program.row(-1.0)
            for frame in self.instance.frames:
                run, breadth = frame.rooms[stock]
                limit = breadth - least if number == spare else breadth
                if limit <= 0:
                    continue
                room = program.row(0.0)
                program.column(0.0, [(room, float(limit)), (ways, -1.0)], upper=1.0)
                for candidate in self.pool[frame.direction]:
                    if candidate.run > run or candidate.height > limit:
                        continue
                    counts = counts_of(Draft(stock, frame.direction, (candidate.strip,)))
                    entries = [(room, -float(candidate.height)), *((made[k], float(n)) for k, n in counts.items())]
                    cost = float(candidate.height) if number == spare else 0.0
                    strips.append((number, candidate, program.column(cost, entries)))
        found = program.integral(nodes=self.effort.nodes // 40, checks=self.effort.checks // 40)
        if found is None:
            return None
        return self._read(share, found.columns, placed, strips)

    def _read(
        self,
        share: Share,
        values: Sequence[int],
        placed: Sequence[Sequence[int]],
        strips: Sequence[tuple[int, _Candidate, int]],
    ) -> Drafts:
        drafts: Drafts = {}
        for number, (stock, copies) in enumerate(share):
            left = {kind: values[column] for kind, column in enumerate(placed[number])}
            kept: list[Strip] = []
            direction = 0
            for diagram, candidate, column in strips:
                if diagram != number or not values[column]:
                    continue
                direction = candidate.direction
                for _ in range(values[column]):
                    kept.append(_wanted(candidate.strip, left))
            draft = self.sizes.sorted(stock, direction, kept)
            if draft.strips:
                drafts[draft] = drafts.get(draft, 0) + copies
        return drafts


def _wanted(strip: Strip, left: dict[int, int]) -> Strip:
    """Return a strip without the pieces that are not wanted any more."""
    cells = []
    for cell in strip:
        kept = []
        for lying in cell:
            if left[lying[0]] > 0:
                left[lying[0]] -= 1
                kept.append(lying)
        cells.append(tuple(kept))
    return tuple(cells)


def _larger_offcut(drafts: Drafts, model: _Diagrams) -> Drafts:
    """Clear as much of one sheet as the others can take over, with no more diagrams than now."""
    if sum(drafts.values()) > _MOST_OFFCUT_SHEETS or len(drafts) > _MOST_DIAGRAMS:
        return drafts
    best = drafts
    for number, (draft, times) in enumerate(drafts.items()):
        if times > 1:
            continue
        share = tuple((other.stock, count) for other, count in drafts.items())
        least = _largest_rest(best, model) + 1
        if least > max(frame.rooms[draft.stock][1] for frame in model.instance.frames):
            continue
        found = model.solve(share, spare=number, least=least)
        if found is not None and len(found) <= len(best) and _largest_rest(found, model) >= least:
            best = found
    return best


def _largest_rest(drafts: Drafts, model: _Diagrams) -> int:
    """Return the widest strip that is left whole on a sheet."""
    widest = 0
    for draft in drafts:
        frame = next(frame for frame in model.instance.frames if frame.direction == draft.direction)
        used = sum(model.sizes.height(draft.direction, strip) for strip in draft.strips)
        widest = max(widest, frame.rooms[draft.stock][1] - used)
    return widest
