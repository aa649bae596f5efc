"""The earliest end of all work: quick rules from above, windows and fractions from below, the exact model between.

Each question to the solver is "can it all be done by then?", which it answers faster than "when is it done?"
(destructive improvement: Klein, Scholl 1999).
"""

from __future__ import annotations

from dataclasses import dataclass

from planbook.timing.counts import Fit, fit, refutes
from planbook.timing.items import Work
from planbook.timing.listing import Starts, ending, pushed_early, quick_timetable
from planbook.timing.windows import least_end, windows

EFFORT = 400
"""Work allowed for one question to the solver, in its checks."""


@dataclass(frozen=True, slots=True)
class Earliest:
    """The best end found, and what is proven about it."""

    starts: Starts | None
    """None where nothing was found that fits the grid."""
    end: int | None
    """The slot by which all work has ended, exclusive."""
    bound: int | None
    """No timetable of this model ends before; None where none fits the grid at all."""

    @property
    def fits(self) -> bool:
        """Whether a timetable was found."""
        return self.starts is not None

    @property
    def proven(self) -> bool:
        """Whether nothing better exists in this model, or nothing at all."""
        return self.bound is None or self.bound == self.end


def earliest(work: Work, *, effort: int = EFFORT, rules: int = 8, known: Starts | None = None) -> Earliest:
    """Return the timetable that ends earliest, or the best within the effort with its bound."""
    low = least_end(work)
    frame = windows(work, len(work.grid))
    if low is None or frame is None:
        return Earliest(None, None, None)
    found = quick_timetable(work, frame, aim=low, rules=rules)
    best = min((starts for starts in (known, found) if starts is not None), key=lambda s: ending(work, s), default=None)
    if best is None:
        answer = _ask(work, len(work.grid), effort)
        if answer.starts is None:
            return Earliest(None, None, None if answer.sure else low)
        best = answer.starts
    return _between(work, best, _fraction_bound(work, low, ending(work, best)), effort)


def _fraction_bound(work: Work, low: int, high: int) -> int:
    """Raise the bound by what even fractions of students cannot do."""
    while low < high:
        middle = (low + high) // 2
        frame = windows(work, middle)
        if frame is None or refutes(work, frame):
            low = middle + 1
        else:
            high = middle
    return low


def _between(work: Work, best: Starts, low: int, effort: int) -> Earliest:
    """Close in from above while the solver finds or refutes; from an end that is too hard for it, from below."""
    high = ending(work, best)
    hard = low - 1  # no question at or under it is worth asking from above
    while hard + 1 < high:
        end = high - 1 if high - hard <= 4 else (hard + 2 * high) // 3
        answer = _ask(work, end, effort)
        if answer.starts is not None:
            best = pushed_early(work, answer.starts)
            high = ending(work, best)
        else:
            hard = end
            low = end + 1 if answer.sure else low
    while low < high and low < hard:
        answer = _ask(work, low, effort)
        if answer.starts is not None:
            best = pushed_early(work, answer.starts)
            high = ending(work, best)
        elif answer.sure:
            low += 1
        else:
            break
    return Earliest(best, high, min(low, high))


def _ask(work: Work, end: int, effort: int) -> Fit:
    frame = windows(work, end)
    return Fit(None, True) if frame is None else fit(work, frame, effort=effort)
