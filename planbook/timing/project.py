"""Any single project: activities, what follows what, resources of any capacity, one stretch of time.

The same model as a class with one maker, without persons. Published problems of project scheduling and of job shops
(a machine is a resource of one) are read as such.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planbook.timing.clock import plain_grid
from planbook.timing.earliest import EFFORT, earliest
from planbook.timing.faults import TimingError
from planbook.timing.implied import with_implied
from planbook.timing.items import Arc, Item, Work
from planbook.timing.listing import ending, quick_timetable
from planbook.timing.windows import windows


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
    place = {number: at for at, number in enumerate(order)}
    items = tuple(
        Item(key=str(number), copies=1, slots=activities[number].duration, uses=activities[number].needs) for number in order
    )
    arcs = tuple(Arc(place[before], place[number]) for number in order for before in activities[number].after)
    horizon = sum(activity.duration for activity in activities) + 1
    work = Work(plain_grid(horizon), items, arcs, tuple(capacity))
    frame = windows(work, horizon)
    first = quick_timetable(work, frame, aim=0) if frame is not None else None
    if first is None:  # one after the other always fits the horizon
        raise TimingError("no-time", "the activities do not fit one after the other", "report the project")
    # One slot stays over for activities of no duration that stand at the very end.
    short = with_implied(Work(plain_grid(ending(work, first) + 1), items, arcs, tuple(capacity)))
    found = earliest(short, effort=effort, known=first)
    starts = found.starts or first
    return Schedule(
        starts=tuple(starts[place[number]][0] for number in range(len(activities))),
        end=ending(short, starts),
        bound=found.bound or 0,
    )


def _check(activities: Sequence[Activity], capacity: Sequence[int]) -> None:
    for number, activity in enumerate(activities):
        if activity.duration < 0:
            raise TimingError("negative-time", f"activity {number} takes {activity.duration}", "0 or more")
        for resource, amount in activity.needs:
            if not 0 <= resource < len(capacity) or amount > capacity[resource]:
                there = capacity[resource] if 0 <= resource < len(capacity) else 0
                raise TimingError(
                    "station-short", f"activity {number} needs {amount} of resource {resource}, there are {there}", "need less"
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
