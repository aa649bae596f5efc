"""Every strip worth having, for small problems: the longest list of columns there is.

A strip is maximal where no further piece fits in; with pieces over the demand allowed, others are not needed
(two stages only). A list cut short still makes good columns, but proves nothing.
"""

from __future__ import annotations

from collections.abc import Sequence

from planbook.cutting.frames import Frame, Item, SheetInstance
from planbook.cutting.knapsack import Knapsack
from planbook.cutting.listing import list_patterns
from planbook.cutting.master import PIECE, SECTION, STOCK, STRIP, Column, Key, Master

_NEAR = (970, 990, 997)
"""Parts in a thousand of the best strip's worth, tried until the strips are few enough."""
_MOST_NEAR = 40


def maximal_strips(frame: Frame, run: int, demands: Sequence[int], *, most: int) -> tuple[list[Column], bool]:
    """Return the maximal strips of every height in a run, and whether that is all of them."""
    items = sorted((item for item in frame.items if item.a <= run), key=lambda item: (-item.b, item.a, item.kind))
    heights = sorted({item.b for item in items})
    columns: dict[Column, None] = {}
    steps, limit = 0, most * 20
    for height in heights:
        low = [item for item in items if item.b <= height]
        must = [item for item in low if item.b == height]
        stack: list[tuple[int, int, tuple[int, ...]]] = [(0, run, ())]
        while stack:
            place, rest, counts = stack.pop()
            steps += 1
            if steps > limit or len(columns) > most:
                return list(columns), False
            if place == len(low):
                if _maximal(low, counts, rest, demands) and any(counts[: len(must)]):
                    columns[_strip(frame, run, height, low, counts)] = None
                continue
            item = low[place]
            used = sum(count for other, count in zip(low, counts, strict=False) if other.kind == item.kind)
            for count in range(min(demands[item.kind] - used, rest // item.a) + 1):
                stack.append((place + 1, rest - count * item.a, (*counts, count)))
    return list(columns), True


def maximal_heights(frame: Frame, stock: int, strips: Sequence[Column], *, most: int) -> tuple[list[Column], bool]:
    """Return the sets of strip heights that fill a sheet, and whether that is all of them."""
    run, breadth = frame.rooms[stock]
    heights = sorted({column.of[3] for column in strips if column.of[3] <= breadth}, reverse=True)
    columns: list[Column] = []
    if not heights:
        return columns, True
    stack: list[tuple[int, int, tuple[int, ...]]] = [(0, breadth, ())]
    steps = 0
    while stack:
        place, rest, counts = stack.pop()
        steps += 1
        if steps > most * 20 or len(columns) > most:
            return columns, False
        if place == len(heights):
            if rest < heights[-1]:
                makes = tuple(
                    ((STRIP, frame.direction, run, height), count)
                    for height, count in sorted(zip(heights, counts, strict=True))
                    if count
                )
                columns.append(Column((STOCK, stock), makes))
            continue
        for count in range(rest // heights[place] + 1):
            stack.append((place + 1, rest - count * heights[place], (*counts, count)))
    return columns, True


def near_strips(frame: Frame, key: Key, values: Sequence[int], demands: Sequence[int]) -> list[Column]:
    """Return the strips of a level that are worth nearly as much as its best one, best first."""
    _, _, run, height = key
    items = [item for item in frame.items if item.b <= height and item.a <= run and values[item.kind]]
    worth = [values[item.kind] for item in items]
    counts = [demands[item.kind] for item in items]
    sack = Knapsack(run)
    for place, item in enumerate(items):
        sack.add(place, size=item.a, value=worth[place], count=counts[place])
    for part in _NEAR:
        least = int(sack.best[run]) * part // 1000
        listed = list_patterns(
            [item.a for item in items], worth, counts, run, least_value=least, least_size=0, most=_MOST_NEAR
        )
        if listed is not None:
            return [
                Column(key, tuple(((PIECE, items[place].kind, items[place].turned), n) for place, n in pattern))
                for pattern in listed
            ]
    return []


def list_sections(master: Master, instance: SheetInstance, *, most: int) -> list[Column]:
    """Return more ways to divide the strips at hand into sections, and the sections into pieces."""
    columns: list[Column] = []
    frames = {frame.direction: frame for frame in instance.frames}
    for key in master.levels(SECTION):
        _, direction, height, width = key
        items = [item for item in frames[direction].items if item.a <= width and item.b <= height]
        counts = [instance.demands[item.kind] for item in items]
        sizes = [item.b for item in items]
        stacks = list_patterns(sizes, sizes, counts, height, least_value=0, least_size=height // 2, most=most)
        for stack in stacks or []:
            makes = tuple(((PIECE, items[place].kind, items[place].turned), count) for place, count in stack)
            columns.append(Column(key, makes))
    for key in master.levels(STRIP):
        _, direction, run, height = key
        widths = sorted({other[3] for other in master.levels(SECTION) if other[1:3] == (direction, height)})
        many = [run // width for width in widths]
        rows = list_patterns(widths, widths, many, run, least_value=0, least_size=run // 2, most=most)
        for row in rows or []:
            columns.append(Column(key, tuple(((SECTION, direction, height, widths[p]), n) for p, n in row)))
    return columns[: most * 4]


def _maximal(low: Sequence[Item], counts: Sequence[int], rest: int, demands: Sequence[int]) -> bool:
    used: dict[int, int] = {}
    for item, count in zip(low, counts, strict=True):
        used[item.kind] = used.get(item.kind, 0) + count
    return all(item.a > rest or used[item.kind] >= demands[item.kind] for item in low)


def _strip(frame: Frame, run: int, height: int, low: Sequence[Item], counts: Sequence[int]) -> Column:
    makes = tuple(((PIECE, item.kind, item.turned), count) for item, count in zip(low, counts, strict=True) if count)
    return Column((STRIP, frame.direction, run, height), makes)
