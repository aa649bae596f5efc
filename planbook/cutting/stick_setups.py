"""Sticks of the same cost: fewer different set-ups, then one offcut as long as it can be.

Each wish is a model of its own, with what was reached before held fast.
"""

from __future__ import annotations

from collections.abc import Sequence

from planbook.cutting.effort import Effort
from planbook.cutting.listing import list_patterns
from planbook.cutting.solver import Program
from planbook.cutting.stick_layouts import Pattern

Chosen = list[tuple[int, Pattern, int]]
_MOST_STICKS = 200
_MOST_PATTERNS = 120


def tidy(chosen: Chosen, sizes: Sequence[int], demands: Sequence[int], rooms: Sequence[int], effort: Effort) -> Chosen:
    """Return layouts from the same stock with fewer patterns, and among these with the longest offcut."""
    if sum(times for _, _, times in chosen) > _MOST_STICKS:
        return chosen
    pool = _pool(chosen, sizes, demands, rooms)
    stock: dict[int, int] = {}
    for number, _, times in chosen:
        stock[number] = stock.get(number, 0) + times
    fewer = _fewest(pool, stock, demands, len(_merged(chosen)), effort)
    chosen = fewer or chosen
    longer = _longest_offcut(pool, stock, sizes, demands, rooms, chosen, effort)
    return longer or chosen


def _merged(chosen: Chosen) -> dict[tuple[int, Pattern], int]:
    merged: dict[tuple[int, Pattern], int] = {}
    for stock, pattern, times in chosen:
        merged[stock, pattern] = merged.get((stock, pattern), 0) + times
    return merged


def _pool(
    chosen: Chosen, sizes: Sequence[int], demands: Sequence[int], rooms: Sequence[int]
) -> list[tuple[int, Pattern]]:
    """Return the patterns in use and, where they are few, every other that leaves too little for a piece."""
    pool = dict.fromkeys(_merged(chosen))
    for stock in sorted({stock for stock, _ in pool}):
        listed = list_patterns(
            sizes, sizes, demands, rooms[stock], least_value=0, least_size=rooms[stock] // 2, most=_MOST_PATTERNS
        )
        if listed is not None:
            pool.update(dict.fromkeys((stock, pattern) for pattern in listed))
    return list(pool)


def _fewest(
    pool: Sequence[tuple[int, Pattern]], stock: dict[int, int], demands: Sequence[int], now: int, effort: Effort
) -> Chosen | None:
    program, times = _model(pool, stock, demands)
    for (_, pattern), column in zip(pool, times, strict=True):
        most = max(-(-demands[kind] // count) for kind, count in pattern)
        used = program.row(0.0)
        program.extend(column, [(used, -1.0)])
        program.column(1.0, [(used, float(most))], upper=1.0)
    found = program.integral(nodes=effort.nodes // 40, checks=effort.checks // 40, below=now - 0.5, target=1.0)
    if found is None:
        return None
    return _read(pool, [found.columns[column] for column in times], demands)


def _model(
    pool: Sequence[tuple[int, Pattern]], stock: dict[int, int], demands: Sequence[int]
) -> tuple[Program, list[int]]:
    program = Program()
    rows = [program.row(float(demand)) for demand in demands]
    limits = {number: program.row(0.0, float(count)) for number, count in sorted(stock.items())}
    times = [
        program.column(0.0, [(limits[number], 1.0), *((rows[kind], float(count)) for kind, count in pattern)])
        for number, pattern in pool
    ]
    return program, times


def _read(pool: Sequence[tuple[int, Pattern]], times: Sequence[int], demands: Sequence[int]) -> Chosen | None:
    """Drop what is cut beyond the demand."""
    left = list(demands)
    chosen: Chosen = []
    for (stock, pattern), count in sorted(zip(pool, times, strict=True), key=lambda entry: -entry[1]):
        while count:
            kept = tuple((kind, min(number, left[kind])) for kind, number in pattern if left[kind])
            if not kept:
                break
            run = min(count, *(left[kind] // number for kind, number in kept))
            for kind, number in kept:
                left[kind] -= number * run
            chosen.append((stock, kept, run))
            count -= run
    return chosen if not any(left) else None


def _longest_offcut(
    pool: Sequence[tuple[int, Pattern]],
    stock: dict[int, int],
    sizes: Sequence[int],
    demands: Sequence[int],
    rooms: Sequence[int],
    chosen: Chosen,
    effort: Effort,
) -> Chosen | None:
    """Put as little as possible on one stick, with no more patterns than now."""
    merged = _merged(chosen)
    best: Chosen | None = None
    longest = max(_rest(number, pattern, sizes, rooms) for number, pattern in merged)
    for number in sorted(stock):
        program, times = _model(pool, {**stock, number: stock[number] - 1}, demands)
        room = program.row(0.0, float(rooms[number] - longest - 1))
        if rooms[number] - longest - 1 < 0:
            continue
        special = [program.column(float(size), [(room, float(size)), (kind, 1.0)]) for kind, size in enumerate(sizes)]
        patterns = program.row(0.0, float(len(merged) - 1))
        for (_, pattern), column in zip(pool, times, strict=True):
            most = max(-(-demands[kind] // count) for kind, count in pattern)
            used = program.row(0.0)
            program.extend(column, [(used, -1.0)])
            program.column(0.0, [(used, float(most)), (patterns, 1.0)], upper=1.0)
        found = program.integral(nodes=effort.nodes // 40, checks=effort.checks // 40)
        if found is None:
            continue
        alone = tuple((kind, found.columns[c]) for kind, c in enumerate(special) if found.columns[c])
        left = [demand - dict(alone).get(kind, 0) for kind, demand in enumerate(demands)]
        rest = _read(pool, [found.columns[column] for column in times], left)
        candidate = None if rest is None else rest + ([(number, alone, 1)] if alone else [])
        if candidate is None or len(_merged(candidate)) > len(merged):
            continue
        best, longest = candidate, _rest(number, alone, sizes, rooms)
    return best


def _rest(stock: int, pattern: Pattern, sizes: Sequence[int], rooms: Sequence[int]) -> int:
    return rooms[stock] - sum(sizes[kind] * count for kind, count in pattern)
