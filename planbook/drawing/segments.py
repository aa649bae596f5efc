"""Many straight pieces against many places at once: which run through a box, come near a point, cross a line.

Questions come in rows, one for each place that is tried; the pieces far from all of them are left out first.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from planbook.drawing.picture import Point

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Flags = NDArray[np.bool_]


TOUCH = 1e-9
"""mm: what has less in common only touches."""


class Segments:
    """A growing set of straight pieces, each of a class from 0; answers are counts (n, classes)."""

    def __init__(self, classes: int) -> None:
        self._classes = classes
        self._waiting: list[tuple[float, float, float, float]] = []
        self._waiting_codes: list[int] = []
        self._blocks: list[tuple[Floats, int]] = []
        self._rows: Floats = np.zeros((0, 4))
        self._low: Floats = np.zeros((0, 2))
        self._high: Floats = np.zeros((0, 2))
        self._one_hot: Floats = np.zeros((0, classes))

    def add(self, a: Point, b: Point, code: int) -> None:
        """Add a piece of a class."""
        self._waiting.append((*a, *b))
        self._waiting_codes.append(code)

    def extend(self, rows: Floats, code: int) -> None:
        """Add pieces (n, 4) of one class."""
        self._blocks.append((rows, code))

    def in_boxes(self, boxes: Floats) -> Floats:
        """Count the pieces that have more than a touching point in common with each box (n, 4)."""
        few = self._around(boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0))
        if not len(few):
            return np.zeros((len(boxes), self._classes))
        return self._count(meet_boxes(self._rows[few], boxes), few)

    def near(self, points: Floats, reach: float) -> Floats:
        """Count the pieces that come nearer to each point (n, 2) than `reach`."""
        few = self._around(points.min(axis=0) - reach, points.max(axis=0) + reach)
        if not len(few):
            return np.zeros((len(points), self._classes))
        rows = self._rows[few]
        x, y = rows[:, 0] - points[:, 0, None], rows[:, 1] - points[:, 1, None]
        dx, dy = rows[:, 2] - rows[:, 0], rows[:, 3] - rows[:, 1]
        t = np.clip(-(x * dx + y * dy) / np.maximum(dx * dx + dy * dy, 1e-12), 0.0, 1.0)
        return self._count((x + t * dx) ** 2 + (y + t * dy) ** 2 < reach * reach, few)

    def crossing(self, lines: Floats) -> Floats:
        """Count the pieces that each line (n, 4) crosses; ends that only touch are left out."""
        ends = lines.reshape(-1, 2)
        few = self._around(ends.min(axis=0) - 1e-9, ends.max(axis=0) + 1e-9)
        if not len(few):
            return np.zeros((len(lines), self._classes))
        x1, y1, x2, y2 = self._rows[few].T
        ax, ay, bx, by = (lines[:, k, None] for k in range(4))
        dx, dy, ex, ey = bx - ax, by - ay, x2 - x1, y2 - y1
        first = (dx * (y1 - ay) - dy * (x1 - ax)) * (dx * (y2 - ay) - dy * (x2 - ax))
        second = (ex * (ay - y1) - ey * (ax - x1)) * (ex * (by - y1) - ey * (bx - x1))
        return self._count((first < -1e-9) & (second < -1e-9), few)

    def _around(self, low: Floats, high: Floats) -> NDArray[np.int64]:
        """Return the numbers of the pieces whose boxes meet a box: the quick test before the exact one."""
        if self._waiting or self._blocks:
            self._gather()
        if not len(self._rows):
            return np.zeros(0, dtype=np.int64)
        near = (self._low < high) & (self._high > low)
        return np.flatnonzero(near[:, 0] & near[:, 1])

    def _count(self, hits: Flags, few: NDArray[np.int64]) -> Floats:
        # Sums of zeros and ones are exact, whatever the order in which a processor adds them.
        counts: Floats = hits.astype(np.float64) @ self._one_hot[few]
        return counts

    def _gather(self) -> None:
        """Turn what was added since the last question into arrays."""
        blocks, self._blocks = self._blocks, []
        rows = [block for block, _ in blocks]
        codes = [np.full(len(block), code) for block, code in blocks]
        if self._waiting:
            rows.append(np.asarray(self._waiting, dtype=np.float64))
            codes.append(np.asarray(self._waiting_codes))
            self._waiting, self._waiting_codes = [], []
        fresh = np.concatenate(rows)
        one_hot = np.zeros((len(fresh), self._classes))
        one_hot[np.arange(len(fresh)), np.concatenate(codes)] = 1.0
        self._rows = np.concatenate([self._rows, fresh])
        self._low = np.concatenate([self._low, np.minimum(fresh[:, :2], fresh[:, 2:])])
        self._high = np.concatenate([self._high, np.maximum(fresh[:, :2], fresh[:, 2:])])
        self._one_hot = np.concatenate([self._one_hot, one_hot])


def meet_boxes(lines: Floats, boxes: Floats) -> Flags:
    """Return (boxes, lines): whether a line has more than a touching point in common with a box.

    Two convex shapes are apart if they are on one of a few directions: here along x, along y, and
    square to the line.
    """
    dx, dy = (lines[:, 2] - lines[:, 0]) / 2, (lines[:, 3] - lines[:, 1]) / 2
    wide, high = (boxes[:, 2, None] - boxes[:, 0, None]) / 2, (boxes[:, 3, None] - boxes[:, 1, None]) / 2
    x = (lines[:, 0] + dx) - (boxes[:, 0, None] + wide)
    y = (lines[:, 1] + dy) - (boxes[:, 1, None] + high)
    long, tall = np.abs(dx), np.abs(dy)
    met: Flags = np.abs(x) < wide + long - TOUCH
    met &= np.abs(y) < high + tall - TOUCH
    met &= np.abs(dx * y - dy * x) < wide * tall + high * long
    return met


def boxes_meet(boxes: Floats, others: Floats, gap: float = 0.0) -> Flags:
    """Return (boxes, others): whether two boxes share more than their rims, or come closer than `gap`."""
    met: Flags = (
        (boxes[:, 0, None] < others[:, 2] + gap)
        & (others[:, 0] < boxes[:, 2, None] + gap)
        & (boxes[:, 1, None] < others[:, 3] + gap)
        & (others[:, 1] < boxes[:, 3, None] + gap)
    )
    return met
