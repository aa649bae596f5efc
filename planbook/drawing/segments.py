"""Many straight pieces at once: which of them run through a box, come near a point, cross a line."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planbook.drawing.picture import Box, Point

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

Counts = tuple[int, ...]
"""How many pieces of each class."""


class Segments:
    """A growing set of straight pieces, each of a class from 0; answers are counts for each class."""

    def __init__(self, classes: int) -> None:
        self._classes = classes
        self._waiting: list[tuple[float, float, float, float]] = []
        self._waiting_codes: list[int] = []
        self._none: Counts = (0,) * classes
        self._rows: Floats | None = None

    def add(self, a: Point, b: Point, code: int) -> None:
        """Add a piece of a class."""
        self._waiting.append((*a, *b))
        self._waiting_codes.append(code)

    def in_box(self, box: Box) -> Counts:
        """Count the pieces that have more than a touching point in common with a box."""
        import numpy as np

        few = self._boxes_meet(*box)
        if few is None:
            return self._none
        rows = self._arrays[0][few]
        low, high = np.zeros(len(rows)), np.ones(len(rows))
        for axis in (0, 1):
            start, step = rows[:, axis], rows[:, axis + 2] - rows[:, axis]
            flat = np.abs(step) < 1e-12
            safe = np.where(flat, 1.0, step)
            one, other = (box[axis] - start) / safe, (box[axis + 2] - start) / safe
            low = np.where(flat, low, np.maximum(low, np.minimum(one, other)))
            high = np.where(flat, high, np.minimum(high, np.maximum(one, other)))
        return self._count(few[low < high - 1e-9])

    def near(self, point: Point, reach: float) -> Counts:
        """Count the pieces that come nearer to a point than `reach`."""
        import numpy as np

        px, py = point
        few = self._boxes_meet(px - reach, py - reach, px + reach, py + reach)
        if few is None:
            return self._none
        rows = self._arrays[0][few]
        x, y = rows[:, 0] - px, rows[:, 1] - py
        dx, dy = rows[:, 2] - rows[:, 0], rows[:, 3] - rows[:, 1]
        t = np.clip(-(x * dx + y * dy) / np.maximum(dx * dx + dy * dy, 1e-12), 0.0, 1.0)
        return self._count(few[(x + t * dx) ** 2 + (y + t * dy) ** 2 < reach * reach])

    def crossing(self, a: Point, b: Point) -> Counts:
        """Count the pieces that a line from a to b crosses; ends that only touch are left out."""
        few = self._boxes_meet(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]), touching=True)
        if few is None:
            return self._none
        x1, y1, x2, y2 = self._arrays[0][few].T
        dx, dy = b[0] - a[0], b[1] - a[1]
        first = (dx * (y1 - a[1]) - dy * (x1 - a[0])) * (dx * (y2 - a[1]) - dy * (x2 - a[0]))
        ex, ey = x2 - x1, y2 - y1
        second = (ex * (a[1] - y1) - ey * (a[0] - x1)) * (ex * (b[1] - y1) - ey * (b[0] - x1))
        return self._count(few[(first < -1e-9) & (second < -1e-9)])

    def _boxes_meet(
        self, left: float, bottom: float, right: float, top: float, *, touching: bool = False
    ) -> NDArray[np.int64] | None:
        """Return the numbers of the pieces whose boxes meet a box, or None: the quick test before the exact one."""
        import numpy as np

        self._gather()
        if self._rows is None:
            return None
        slack = 1e-12 if touching else 0.0
        _, low_x, low_y, high_x, high_y, _ = self._arrays
        few = np.flatnonzero(
            (low_x < right + slack) & (high_x > left - slack) & (low_y < top + slack) & (high_y > bottom - slack)
        )
        return few if len(few) else None

    def _count(self, found: NDArray[np.int64]) -> Counts:
        import numpy as np

        if not len(found):
            return self._none
        counts: Any = np.bincount(self._arrays[5][found], minlength=self._classes).tolist()
        return tuple(counts)

    def _gather(self) -> None:
        """Turn what was added since the last question into arrays."""
        import numpy as np

        if not self._waiting:
            return
        fresh = np.asarray(self._waiting, dtype=float)
        codes = np.asarray(self._waiting_codes, dtype=np.int64)
        if self._rows is not None:
            fresh = np.concatenate([self._rows, fresh])
            codes = np.concatenate([self._arrays[5], codes])
        self._rows = fresh
        low, high = np.minimum(fresh[:, :2], fresh[:, 2:]), np.maximum(fresh[:, :2], fresh[:, 2:])
        self._arrays: tuple[Any, ...] = (fresh, low[:, 0], low[:, 1], high[:, 0], high[:, 1], codes)
        self._waiting, self._waiting_codes = [], []
