"""A timetable as persons live it: who is at which station when, in minutes since the class began."""

from __future__ import annotations

from dataclasses import dataclass

from planbook.timing.clock import Grid
from planbook.timing.problem import Lesson


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Units of a station that somebody has."""

    station: str
    units: tuple[int, ...]
    """From 1."""
    until: int
    """Minute at which they are free again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One maker at one step."""

    maker: int
    """Place number of a student, or of a pair, from 1."""
    operation: str
    start: int
    end: int
    """Minute; breaks that the work lies over are inside."""
    cured: int
    """Minute at which the wait after it is over."""
    places: tuple[Place, ...]
    helpers: tuple[tuple[int, int, int], ...] = ()
    """(maker, from, to) of the free ones who lend a hand; they take turns where none is free throughout."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Common:
    """What happens once for all."""

    kind: str
    """`demonstration`, with everybody; or `setting`, by the teacher or an assistant."""
    operation: str
    start: int
    end: int
    stations: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Late:
    """When a step must begin at the latest."""

    operation: str
    start: int | None
    """Minute of the latest start for somebody who finds every station free from then on; None where it is prepared."""
    planned_last: int | None
    """Minute at which the last maker begins it in the timetable."""
    ready_made: bool
    """Whether the teacher can hand out the part ready made to who is later than that."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Timetable:
    """The answer for a class."""

    lesson: Lesson
    grid: Grid
    visits: tuple[Visit, ...]
    """By start, then maker."""
    common: tuple[Common, ...]
    """By start."""
    done: tuple[int, ...]
    """By maker: minute at which the last step is done."""
    waiting: tuple[int, ...]
    """By maker: minutes of sessions before being done without work, demonstration or help."""
    bound: int
    """No timetable of this model ends before this minute."""
    proven: bool
    """Whether none ends earlier."""
    model: str
    """What the proof holds for, in words."""
    late: tuple[Late, ...]

    @property
    def end(self) -> int:
        """Minute at which the last maker is done."""
        return max(self.done)

    @property
    def makers(self) -> int:
        """How many places there are."""
        return len(self.done)

    def of(self, maker: int) -> tuple[Visit, ...]:
        """Return the visits of one maker in order."""
        return tuple(visit for visit in self.visits if visit.maker == maker)

    def at(self, station: str) -> tuple[Visit, ...]:
        """Return the visits that take a station, in order of start: the queue of the run sheet."""
        return tuple(visit for visit in self.visits if any(place.station == station for place in visit.places))
