"""Any single project: activities, what follows what, resources of any capacity, one stretch of time.

The same model as a class with one maker, without persons. Published problems of project scheduling and of job shops
(a machine is a resource of one) are read as such.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planbook.timing.clock import plain_grid
from planbook.timing.earliest import earliest
from planbook.timing.faults import TimingError
from planbook.timing.implied import with_implied
from planbook.timing.items import Arc, Item, Work
from planbook.timing.listing import ending, quick_timetable
from planbook.timing.windows import windows

EFFORT = 1_500
"""Work allowed for one question to the solver, in its checks; a published project wants more than a class does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Activity:
    """One piece of work."""

    duration: int
    after: tuple[int, ...] = ()
    """Numbers of the activities that must have ended."""
    needs: tuple[tuple[int, int], ...] = ()
    """(resource, amount) while it goes on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """When each activity starts, and what is proven."""

    starts: tuple[int, ...]
    end: int
    bound: int

    @property
    def proven(self) -> bool:
        """Whether no schedule ends earlier."""
        return self.end == self.bound


def shortest_project(activities: Sequence[Activity], capacity: Sequence[int], *, effort: int = EFFORT) -> Schedule:
    """Return the schedule that ends earliest, or the best within the effort with its bound.

    Raises `TimingError` where activities follow each other in a circle or need more than there is.
    """
    order = _order(activities)
    _check(activities, capacity)
    after = _real_predecessors(activities, order)
    place = {number: at for at, number in enumerate(number for number in order if activities[number].duration)}
    if not place:
        return Schedule(starts=(0,) * len(activities), end=0, bound=0)
    items = tuple(Item(key=str(n), copies=1, slots=activities[n].duration, uses=activities[n].needs) for n in place)
    arcs = tuple(Arc(place[before], place[number]) for number in place for before in sorted(after[number]))
    horizon = sum(activity.duration for activity in activities)
    work = Work(plain_grid(horizon), items, arcs, tuple(capacity))
    frame = windows(work, horizon)
    first = quick_timetable(work, frame, aim=0) if frame is not None else None
    if first is None:  # one after the other always fits the horizon
        raise TimingError("no-time", "the activities do not fit one after the other", "report the project")
    short = with_implied(Work(plain_grid(ending(work, first)), items, arcs, tuple(capacity)))
    found = earliest(short, effort=effort, known=first)
    best = found.starts or first
    ends = {number: best[at][0] + activities[number].duration for number, at in place.items()}
    starts = tuple(
        best[place[n]][0] if n in place else max((ends[before] for before in after[n]), default=0)
        for n in range(len(activities))
    )
    return Schedule(starts=starts, end=ending(short, best), bound=found.bound or 0)


def _real_predecessors(activities: Sequence[Activity], order: Sequence[int]) -> list[set[int]]:
    """Return by activity what must end before it, with those of no duration replaced by what stands before them."""
    found: list[set[int]] = [set() for _ in activities]
    for number in order:
        for before in activities[number].after:
            found[number] |= {before} if activities[before].duration else found[before]
    return found


def _check(activities: Sequence[Activity], capacity: Sequence[int]) -> None:
    for number, activity in enumerate(activities):
        if activity.duration < 0:
            raise TimingError("negative-time", f"activity {number} takes {activity.duration}", "0 or more")
        for resource, amount in activity.needs:
            if not 0 <= resource < len(capacity) or amount > capacity[resource]:
                there = capacity[resource] if 0 <= resource < len(capacity) else 0
                raise TimingError(
                    "station-short",
                    f"activity {number} needs {amount} of resource {resource}, there are {there}",
                    "need less",
                )


def _order(activities: Sequence[Activity]) -> list[int]:
    waiting = [len(set(activity.after)) for activity in activities]
    followers: list[list[int]] = [[] for _ in activities]
    for number, activity in enumerate(activities):
        for before in sorted(set(activity.after)):
            followers[before].append(number)
    order = [number for number, count in enumerate(waiting) if count == 0]
    for number in order:  # grows while it is walked through
        for after in followers[number]:
            waiting[after] -= 1
            if waiting[after] == 0:
                order.append(after)
    if len(order) < len(activities):
        raise TimingError("cycle", "activities follow each other in a circle", "take one of the links out")
    return order
