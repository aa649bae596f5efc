"""What the teacher must prepare for a class to fit: the smallest sets of steps first.

A set is closed under what comes before: who hands out the glued panel has sawn it too. Sets are tried by the
teacher's minutes, so the first that fits is the smallest; each one named was played through as a timetable.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from dataclasses import dataclass, replace

from planbook.timing.clock import Grid
from planbook.timing.counts import fit
from planbook.timing.faults import TimingError
from planbook.timing.fits import fits_quickly
from planbook.timing.items import Work
from planbook.timing.lesson_work import lesson_grid, lesson_work, one_track
from planbook.timing.problem import Lesson
from planbook.timing.windows import windows

_SETS = 3_000
"""Most sets looked at."""
_HARD = 12
"""Most sets put to the solver; the windows and the quick rules decide nearly all."""
EFFORT = 60
"""Work allowed for each of those, in the solver's checks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Preparation:
    """Steps to do beforehand for everybody."""

    operations: tuple[str, ...]
    """What is added to what is prepared already, in the order of the plan."""
    minutes: int
    """The teacher's work, for all pieces."""
    smallest: bool
    """Whether no set of fewer minutes makes the class fit, as far as one order of steps goes."""


def preparations(lesson: Lesson, *, count: int = 3, effort: int = EFFORT) -> tuple[Preparation, ...]:
    """Return up to `count` ways to make a class fit, by the teacher's minutes; a set that holds another is left out.

    Empty where no preparation helps. A class that fits already gives one empty set.
    """
    found: list[frozenset[int]] = []
    ways: list[Preparation] = []
    unsure = False
    hard = 0
    for minutes, chosen in _sets(lesson):
        if any(small <= chosen for small in found):
            continue
        fits = _fits_quickly(lesson, chosen)
        if fits is None and hard < _HARD:
            hard += 1
            fits = _fits_exactly(lesson, chosen, effort)
        unsure = unsure or fits is None
        if fits:
            found.append(chosen)
            keys = tuple(lesson.operations[number].key for number in sorted(chosen))
            ways.append(Preparation(operations=keys, minutes=minutes, smallest=not ways and not unsure))
            if len(ways) == count or not chosen:
                break
    return tuple(ways)


def with_prepared(lesson: Lesson, keys: tuple[str, ...]) -> Lesson:
    """Return the class with these steps done beforehand."""
    return replace(
        lesson, operations=tuple(replace(o, prepared=True) if o.key in keys else o for o in lesson.operations)
    )


def _sets(lesson: Lesson) -> Iterator[tuple[int, frozenset[int]]]:
    """Yield closed sets by minutes; each grows from a smaller one by a step whose predecessors are in it."""
    numbers = {operation.key: number for number, operation in enumerate(lesson.operations)}
    before = [
        frozenset(numbers[key] for key in o.after if not lesson.operations[numbers[key]].prepared)
        for o in lesson.operations
    ]
    free = [number for number, o in enumerate(lesson.operations) if not o.prepared and o.preparation is not None]
    heap: list[tuple[int, int, tuple[int, ...]]] = [(0, 0, ())]
    seen: set[tuple[int, ...]] = {()}
    for _ in range(_SETS):
        if not heap:
            return
        minutes, _, row = heapq.heappop(heap)
        chosen = frozenset(row)
        yield minutes, chosen
        for number in free:
            if number in chosen or not before[number] <= chosen:
                continue
            grown = tuple(sorted((*row, number)))
            if grown not in seen:
                seen.add(grown)
                heapq.heappush(heap, (minutes + lesson.preparation(lesson.operations[number]), len(grown), grown))


def _work(lesson: Lesson, chosen: frozenset[int]) -> Work | None:
    """Return what is left to do in class; None where a step alone is longer than a session."""
    prepared = with_prepared(lesson, tuple(lesson.operations[number].key for number in sorted(chosen)))
    grid = _grid(prepared)
    return None if grid is None else lesson_work(prepared, one_track(prepared), grid).work


def _fits_quickly(lesson: Lesson, chosen: frozenset[int]) -> bool | None:
    """Ask the windows and the quick rules; None where they leave it open."""
    work = _work(lesson, chosen)
    return False if work is None else fits_quickly(work)


def _fits_exactly(lesson: Lesson, chosen: frozenset[int], effort: int) -> bool | None:
    """Ask the solver; None where the effort does not suffice."""
    work = _work(lesson, chosen)
    frame = windows(work, len(work.grid)) if work is not None else None
    if work is None or frame is None:
        return False
    answer = fit(work, frame, effort=effort)
    return answer.starts is not None if answer.sure else None


def _grid(lesson: Lesson) -> Grid | None:
    try:
        return lesson_grid(lesson)
    except TimingError as error:
        if error.slug in ("step-longer-than-session", "wait-too-long"):  # preparing more may take it out of class
            return None
        raise
