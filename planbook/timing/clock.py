"""The clock of a class: slots of equal length that lie inside sessions, and the minutes that pass between them.

Work is counted in slots, waiting in minutes of the clock: glue cures through lunch and through the night.
Minutes are those that pass, so a night in which the clocks are changed is an hour longer or shorter.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import IntEnum

from planbook.timing.faults import TimingError


class Pause(IntEnum):
    """The longest pause that a piece of work bears once it is begun."""

    NONE = 0
    """Glue on, resin mixed: it must be finished in one go."""
    BREAK = 1
    """It may lie over lunch, and must be done by the end of the session."""
    NIGHT = 2
    """It may be left and taken up again in the next session."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """A stretch of teaching; times carry their time zone."""

    start: datetime
    end: datetime
    breaks: tuple[tuple[datetime, datetime], ...] = ()
    opening: int = 0
    """Minutes at the start that are not for work: welcome, safety."""
    clean_up: int = 0
    """Minutes at the end that are not for work."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Slots in order. A slot never crosses a break; what is left over at the end of a stretch is nobody's."""

    slot: int
    """Minutes."""
    starts: tuple[int, ...]
    """Minutes that have passed since the first slot began."""
    session: tuple[int, ...]
    """By slot: number of its session, from 0."""
    stretch: tuple[int, ...]
    """By slot: number of the stretch without a break, from 0."""
    moments: tuple[datetime, ...] = ()
    """By slot: when it begins, in the zone of its session; empty where a grid has no dates."""

    def __len__(self) -> int:
        return len(self.starts)

    def end(self, slot: int) -> int:
        """Return the minute at which a slot ends."""
        return self.starts[slot] + self.slot

    def moment(self, minute: int) -> datetime:
        """Return the date and time of a minute at the beginning of, inside or after a slot."""
        place = max(0, bisect_right(self.starts, minute) - 1)
        begun = self.moments[place]
        return (begun.astimezone(UTC) + timedelta(minutes=minute - self.starts[place])).astimezone(begun.tzinfo)

    def needed(self, minutes: int) -> int:
        """Return how many slots hold that many minutes of work; the shortest work takes one."""
        return max(1, -(-minutes // self.slot))

    def may_start(self, slot: int, length: int, pause: Pause) -> bool:
        """Return whether work of that many slots can begin in a slot."""
        last = slot + length - 1
        if last >= len(self.starts):
            return False
        if pause is Pause.NIGHT:
            return True
        places = self.stretch if pause is Pause.NONE else self.session
        return places[slot] == places[last]

    def first_from(self, minute: int) -> int:
        """Return the first slot that begins at or after a minute; `len(self)` where there is none."""
        return bisect_left(self.starts, minute)


def plain_grid(slots: int, *, slot: int = 1) -> Grid:
    """Return one stretch without dates, for a project that knows no sessions."""
    return Grid(slot, tuple(range(0, slots * slot, slot)), (0,) * slots, (0,) * slots)


def session_grid(sessions: Sequence[Session], slot: int) -> Grid:
    """Lay slots into the sessions; raises `TimingError` where they overlap, run backwards or hold no slot."""
    if slot < 1:
        raise TimingError("no-slot", f"a slot of {slot} minutes holds no work", "slot: 15 min")
    if not sessions:
        raise TimingError("no-session", "the class has no session", "give at least one session with start and end")
    _check(sessions)
    starts: list[int] = []
    session: list[int] = []
    stretch: list[int] = []
    moments: list[datetime] = []
    origin: datetime | None = None
    number = -1
    for place, one in enumerate(sessions):
        for begin, end in _stretches(one):
            number += 1
            for step in range(_minutes(begin, end) // slot):
                moment = (begin.astimezone(UTC) + timedelta(minutes=step * slot)).astimezone(one.start.tzinfo)
                origin = origin or moment
                starts.append(_minutes(origin, moment))
                session.append(place)
                stretch.append(number)
                moments.append(moment)
    if not starts:
        raise TimingError(
            "no-time",
            f"no session holds a slot of {slot} minutes beside its breaks and clean-up",
            "make the slot shorter",
        )
    return Grid(slot, tuple(starts), tuple(session), tuple(stretch), tuple(moments))


def _check(sessions: Sequence[Session]) -> None:
    previous: Session | None = None
    for one in sessions:
        named = f"{one.start:%Y-%m-%d %H:%M}"
        _check_session(one, named)
        if previous is not None and one.start < previous.end:
            raise TimingError(
                "sessions-overlap",
                f"the session of {named} starts before the one of {previous.start:%Y-%m-%d %H:%M} ends, "
                f"at {previous.end:%Y-%m-%d %H:%M}",
                "write the sessions in order, each after the end of the one before",
            )
        previous = one


def _check_session(one: Session, named: str) -> None:
    times = [one.start, one.end, *(moment for pair in one.breaks for moment in pair)]
    if any(moment.tzinfo is None for moment in times):
        raise TimingError("no-time-zone", f"the session of {named} names no time zone", "zone: Europe/Oslo")
    if one.end <= one.start:
        raise TimingError(
            "session-backwards",
            f"the session of {named} ends at {one.end:%H:%M}, before it starts",
            "swap the two times",
        )
    at = one.start
    for begin, end in one.breaks:
        if end <= begin:
            raise TimingError(
                "break-backwards", f"the break at {begin:%H:%M} ends at {end:%H:%M}", "swap the two times"
            )
        if begin < at or end > one.end:
            raise TimingError(
                "break-outside",
                f"the break from {begin:%H:%M} to {end:%H:%M} lies outside the session or in another break",
                f"keep it between {at:%H:%M} and {one.end:%H:%M}",
            )
        at = end
    if one.opening < 0 or one.clean_up < 0:
        raise TimingError("negative-time", f"the session of {named} has less than no time to open or clean up", "0 min")


def _stretches(one: Session) -> list[tuple[datetime, datetime]]:
    begin = (one.start.astimezone(UTC) + timedelta(minutes=one.opening)).astimezone(one.start.tzinfo)
    last = (one.end.astimezone(UTC) - timedelta(minutes=one.clean_up)).astimezone(one.start.tzinfo)
    found: list[tuple[datetime, datetime]] = []
    for pause, resume in one.breaks:
        if pause > begin:
            found.append((begin, min(pause, last)))
        begin = max(begin, resume)
    found.append((begin, last))
    return [pair for pair in found if _minutes(*pair) > 0]


def _minutes(begin: datetime, end: datetime) -> int:
    """Return the minutes that pass; two times of one zone are told apart by UTC, not by their faces."""
    return int((end.astimezone(UTC) - begin.astimezone(UTC)).total_seconds() // 60)
