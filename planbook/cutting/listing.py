"""Every pattern that is worth enough and full enough, one by one."""

from __future__ import annotations

from collections.abc import Sequence

from planbook.cutting.knapsack import Knapsack, Values

_MOST_CELLS = 8_000_000
_STEPS_PER_PATTERN = 30


def list_patterns(
    sizes: Sequence[int],
    values: Sequence[int],
    counts: Sequence[int],
    room: int,
    *,
    least_value: int,
    least_size: int,
    most: int,
) -> list[tuple[tuple[int, int], ...]] | None:
    """Return all full patterns within `room` of at least that value and size, as (kind, count) pairs.

    Full: no further piece that is wanted goes in; where pieces over the demand are allowed others are not needed.
    None where there are more than `most`, or where the search for them would take too long: a list cut short
    proves nothing.
    """
    if (len(sizes) + 1) * (room + 1) > _MOST_CELLS:
        return None
    worth, filled = _tails(sizes, values, counts, room), _tails(sizes, sizes, counts, room)
    found: list[tuple[tuple[int, int], ...]] = []
    stack: list[tuple[int, int, int, tuple[tuple[int, int], ...]]] = [(0, room, 0, ())]
    steps = 0
    while stack:
        kind, rest, value, pattern = stack.pop()
        steps += 1
        if steps > most * _STEPS_PER_PATTERN:
            return None
        if kind == len(sizes):
            if pattern and _full(pattern, sizes, counts, rest):
                found.append(pattern)
                if len(found) > most:
                    return None
            continue
        size = sizes[kind]
        for count in range(min(counts[kind], rest // size) + 1):
            left, now = rest - count * size, value + count * values[kind]
            if now + worth[kind + 1][left] < least_value or room - left + filled[kind + 1][left] < least_size:
                continue
            stack.append((kind + 1, left, now, (*pattern, (kind, count)) if count else pattern))
    return found


def _full(pattern: tuple[tuple[int, int], ...], sizes: Sequence[int], counts: Sequence[int], rest: int) -> bool:
    packed = dict(pattern)
    return all(size > rest or packed.get(kind, 0) >= counts[kind] for kind, size in enumerate(sizes))


def _tails(sizes: Sequence[int], values: Sequence[int], counts: Sequence[int], room: int) -> list[list[int]]:
    """By kind: the best that it and all after it can add, for every room."""
    sack = Knapsack(room)
    tails: list[Values] = [sack.best.copy()]
    for kind in reversed(range(len(sizes))):
        sack.add(kind, size=sizes[kind], value=values[kind], count=counts[kind])
        tails.append(sack.best.copy())
    return [tail.tolist() for tail in reversed(tails)]
