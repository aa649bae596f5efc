"""Stretches on common straight lines: each part of a line is kept once."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from planbook.shape.mesh import Flags, Floats, Ints

SAME_ANGLE = 1e-8
"""Radians between directions of one line."""
SAME_PLACE = 1e-6
"""Distance between lines that count as one, as a part of the picture's size."""


@dataclass(frozen=True, slots=True, eq=False)
class Strokes:
    """Stretches of lines, as columns of equal length."""

    line: Ints
    """Number of the straight line it lies on."""
    low: Floats
    high: Floats
    """From and to along that line, mm."""
    start: Floats
    end: Floats
    """(n, 2), the same ends on the picture."""
    body: Ints
    outline: Flags
    rank: Ints
    """Who wins where stretches coincide: the lowest."""

    def take(self, rows: Ints) -> Strokes:
        """Return some of the rows, in that order."""
        return Strokes(
            self.line[rows],
            self.low[rows],
            self.high[rows],
            self.start[rows],
            self.end[rows],
            self.body[rows],
            self.outline[rows],
            self.rank[rows],
        )

    def upright(self) -> Strokes:
        """Return the same stretches, all running the way of their line."""
        back = (self.low > self.high)[:, None]
        start, end = np.where(back, self.end, self.start), np.where(back, self.start, self.end)
        low, high = np.minimum(self.low, self.high), np.maximum(self.low, self.high)
        return Strokes(self.line, low, high, start, end, self.body, self.outline, self.rank)


def line_numbers(start: Floats, end: Floats, size: float) -> tuple[Ints, Floats]:
    """Number the straight lines that edges lie on.

    Returns the number for each edge, and (n, 2) the places of its ends along the line. Lines
    within the margins of each other count as one.
    """
    if not len(start):
        return np.zeros(0, dtype=np.int64), np.zeros((0, 2))
    run = end[:, :2] - start[:, :2]
    angle = np.arctan2(run[:, 1], run[:, 0])
    angle = np.where(angle < -SAME_ANGLE, angle + math.pi, angle)
    angle = np.where(angle >= math.pi - SAME_ANGLE, angle - math.pi, angle)
    bundle = _bundles(angle, SAME_ANGLE)
    # One direction for a whole bundle, so that places along the line agree.
    typical = np.zeros(int(bundle.max()) + 1)
    typical[bundle[::-1]] = angle[::-1]
    way_x, way_y = np.cos(typical[bundle]), np.sin(typical[bundle])
    offset = way_x * start[:, 1] - way_y * start[:, 0]
    order = np.lexsort((offset, bundle))
    new = np.ones(len(order), dtype=np.bool_)
    near = np.diff(offset[order]) <= SAME_PLACE * size
    new[1:] = (np.diff(bundle[order]) > 0) | ~near
    line = np.empty(len(order), dtype=np.int64)
    line[order] = np.cumsum(new) - 1
    along = np.stack([way_x * p[:, 0] + way_y * p[:, 1] for p in (start, end)], axis=1)
    return line, along


def _bundles(values: Floats, gap: float) -> Ints:
    """Number groups of values that follow each other within the gap."""
    order = np.argsort(values, kind="stable")
    number = np.empty(len(values), dtype=np.int64)
    number[order] = np.concatenate([[0], np.cumsum(np.diff(values[order]) > gap)])
    return number


def merge(strokes: Strokes, shortest: float) -> Strokes:
    """Keep every part of every line once, join what continues, and drop what is too short to draw.

    Where stretches coincide the lowest rank wins, then an outline, then the earlier body.
    """
    if not len(strokes.line):
        return strokes
    strokes = strokes.take(np.lexsort((strokes.high, strokes.low, strokes.line)))
    lone, groups = _groups(strokes, shortest)
    kept = [strokes.take(lone)]
    rows = [_settle(strokes, range(first, last), shortest) for first, last in groups]
    flat = [row for group in rows for row in group]
    if flat:
        kept.append(_stretches(strokes, flat))
    return _sorted(_joined(kept), shortest)


def without(strokes: Strokes, others: Strokes, shortest: float) -> Strokes:
    """Take away whatever coincides with the others."""
    count = len(strokes.line)
    taken: dict[int, list[tuple[float, float]]] = {}
    for line, low, high in zip(others.line.tolist(), others.low.tolist(), others.high.tolist(), strict=True):
        taken.setdefault(line, []).append((low, high))
    flat = []
    for row, line in enumerate(strokes.line.tolist()):
        for low, high in _free((float(strokes.low[row]), float(strokes.high[row])), taken.get(line, [])):
            flat.append((row, low, high))
    return _sorted(_stretches(strokes, flat), shortest) if count else strokes


def _groups(strokes: Strokes, shortest: float) -> tuple[Ints, list[tuple[int, int]]]:
    """Return the rows that meet no other on their line, and the runs of rows that do meet."""
    lift = strokes.line * (4.0 * (np.abs(strokes.high).max() + np.abs(strokes.low).max() + 1.0))
    reach = np.maximum.accumulate(strokes.high + lift)
    new = np.ones(len(lift), dtype=np.bool_)
    new[1:] = (strokes.low + lift)[1:] > reach[:-1] + shortest
    firsts = np.flatnonzero(new)
    lasts = np.append(firsts[1:], len(lift))
    alone = lasts - firsts == 1
    runs = zip(firsts[~alone].tolist(), lasts[~alone].tolist(), strict=True)
    return firsts[alone], list(runs)


def _settle(strokes: Strokes, rows: range, shortest: float) -> list[tuple[int, float, float]]:
    """Share one line among stretches that meet: (row, low, high) of what each keeps."""
    by_owner: dict[tuple[int, bool, int], list[int]] = {}
    for row in rows:
        key = (int(strokes.rank[row]), not strokes.outline[row], int(strokes.body[row]))
        by_owner.setdefault(key, []).append(row)
    taken: list[tuple[float, float]] = []
    result: list[tuple[int, float, float]] = []
    for key in sorted(by_owner):
        mine: list[tuple[float, float]] = []
        for row in by_owner[key]:
            low, high = float(strokes.low[row]), float(strokes.high[row])
            if mine and low <= mine[-1][1] + shortest:
                mine[-1] = (mine[-1][0], max(mine[-1][1], high))
            else:
                mine.append((low, high))
        owner = by_owner[key][0]
        for stretch in mine:
            result += [(owner, low, high) for low, high in _free(stretch, taken)]
        taken += mine
    return result


def _free(stretch: tuple[float, float], taken: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return what is left of a stretch beside the taken ones."""
    left, high = stretch
    free = []
    for begin, finish in sorted(taken):
        if finish <= left:
            continue
        if begin >= high:
            break
        if begin > left:
            free.append((left, begin))
        left = max(left, finish)
    if left < high:
        free.append((left, high))
    return free


def _stretches(strokes: Strokes, parts: list[tuple[int, float, float]]) -> Strokes:
    """Return new stretches on the lines of some rows."""
    rows = np.array([row for row, _, _ in parts], dtype=np.int64)
    low, high = np.array([low for _, low, _ in parts]), np.array([high for _, _, high in parts])
    of = strokes.take(rows)
    way = (of.end - of.start) / (of.high - of.low)[:, None]
    return Strokes(
        of.line,
        low,
        high,
        of.start + way * (low - of.low)[:, None],
        of.start + way * (high - of.low)[:, None],
        of.body,
        of.outline,
        of.rank,
    )


def _joined(parts: list[Strokes]) -> Strokes:
    if len(parts) == 1:
        return parts[0]
    a, b = parts
    return Strokes(
        np.concatenate([a.line, b.line]),
        np.concatenate([a.low, b.low]),
        np.concatenate([a.high, b.high]),
        np.concatenate([a.start, b.start]),
        np.concatenate([a.end, b.end]),
        np.concatenate([a.body, b.body]),
        np.concatenate([a.outline, b.outline]),
        np.concatenate([a.rank, b.rank]),
    )


def _sorted(strokes: Strokes, shortest: float) -> Strokes:
    """Drop what is too short to draw; order by body, then outline before edge, then place."""
    keys = (strokes.start[:, 1], strokes.start[:, 0], ~strokes.outline, strokes.body)
    order = np.lexsort(keys)
    return strokes.take(order[(strokes.high - strokes.low)[order] > shortest])
