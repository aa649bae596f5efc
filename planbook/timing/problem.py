"""A class as plain data: steps, stations, students, sessions; and what makes it impossible to begin with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from planbook.timing.clock import Pause, Session
from planbook.timing.faults import TimingError

_VISITS = 5_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A machine, or anything else of which there are only so many: clamps, level curing places."""

    key: str
    count: int
    eye: bool = False
    """Whether the teacher or an assistant stands by whenever somebody works at it."""
    set: bool = True
    """Whether a step's set-up changes how it stands, so that two steps cannot share one setting."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """What one student, or pair, takes of a station."""

    station: str
    count: int = 1
    while_waiting: bool = False
    """Kept from the start of the work until the wait is over (clamps), not only while at work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """One step as the timetable sees it. Minutes are those of the median student."""

    key: str
    set_up: int = 0
    """Minutes to set the stations for this step, once for the whole class, all units of it together."""
    each: int
    """Minutes of work for one piece."""
    wait: int = 0
    """Minutes of the clock after the work before a later step may go on: glue, finish, resin."""
    after: tuple[str, ...] = ()
    """Steps that must be done, waits included."""
    uses: tuple[Use, ...] = ()
    demonstration: int = 0
    """Minutes in which all watch, before the first begins."""
    eye: bool = False
    """Whether the teacher or an assistant stands by."""
    hands: int = 1
    """Persons at the work; a student alone borrows the others from those who are free."""
    pause: Pause = Pause.BREAK
    preparation: int | None = None
    """Minutes of the teacher for one piece done beforehand; None where it cannot be."""
    prepared: bool = False
    """Done beforehand for everybody."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How unlike students are in time. The default spread is common practice, no source."""

    quickest: Fraction = Fraction(3, 5)
    slowest: Fraction = Fraction(2)

    def at(self, share: Fraction) -> Fraction:
        """Return the factor on the median's minutes that this share of the class is quicker than.

        Straight lines between the quickest, the median (1) and the slowest.
        """
        half = Fraction(1, 2)
        if share <= half:
            return self.quickest + (1 - self.quickest) * share / half
        return 1 + (self.slowest - 1) * (share - half) / half

    @property
    def planned(self) -> Fraction:
        """The factor that timetables reckon with: the average student of the slowest quarter."""
        return self.at(Fraction(7, 8))


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Who is there. Nothing is known of them but how many they are."""

    students: int
    pairs: bool = False
    assistants: int = 0
    pace: Pace = Pace()

    @property
    def makers(self) -> int:
        """Pieces made: one a student, or one a pair; an odd student makes a three."""
        return max(1, self.students // 2) if self.pairs else self.students

    @property
    def hands(self) -> int:
        """Persons at each piece."""
        return 2 if self.pairs and self.students > 1 else 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """The whole question."""

    operations: tuple[Operation, ...]
    """In the order of the plan, which no `after` contradicts."""
    stations: tuple[Station, ...]
    sessions: tuple[Session, ...]
    group: Group
    slot: int = 15
    """Minutes; starts lie on this raster."""
    slack: int = 15
    """Minutes kept free before work that bears no pause."""
    ready_set: bool = True
    """Whether each station stands set for its first step when the class begins (it is on the prep list)."""

    def minutes(self, operation: Operation) -> int:
        """Return the minutes one piece takes the average student of the slowest quarter, rounded up."""
        return ceil(operation.each * self.group.pace.planned)

    def preparation(self, operation: Operation) -> int:
        """Return the teacher's minutes to make a step beforehand for everybody."""
        return (operation.preparation or 0) * self.group.makers


def check_lesson(lesson: Lesson) -> None:
    """Raise the first `TimingError` of a question that makes no sense; sessions are checked with the grid."""
    if lesson.group.students < 1:
        raise TimingError(
            "no-students", f"a class of {lesson.group.students} students has nobody to teach", "students: 12"
        )
    if lesson.group.assistants < 0:
        raise TimingError("no-students", f"{lesson.group.assistants} assistants cannot be", "assistants: 0")
    if not lesson.operations:
        raise TimingError("no-step", "the class has no step to do", "name a plan with steps")
    for station in lesson.stations:
        if station.count < 1:
            raise TimingError(
                "no-such-station",
                f"the shop has {station.count} of `{station.key}`",
                f"count: 1, or leave `{station.key}` out",
            )
    if lesson.group.students * len(lesson.operations) > _VISITS:
        raise TimingError(
            "class-too-large",
            f"{lesson.group.students} students at {len(lesson.operations)} steps are more than {_VISITS} visits",
            "divide the class",
        )
    _check_names([one.key for one in lesson.operations], "step")
    _check_names([one.key for one in lesson.stations], "station")
    done: dict[str, Operation] = {}
    for operation in lesson.operations:
        _check_times(operation)
        _check_uses(lesson, operation)
        _check_before(lesson, operation, done)
        done[operation.key] = operation
    pace = lesson.group.pace
    if not 0 < pace.quickest <= 1 <= pace.slowest:
        raise TimingError(
            "no-pace",
            f"the quickest takes {float(pace.quickest):g} and the slowest {float(pace.slowest):g} of the median's time",
            "quickest: 0.6, slowest: 2",
        )


def _check_names(keys: Sequence[str], kind: str) -> None:
    for place, key in enumerate(keys):
        if key in keys[:place]:
            raise TimingError("twice", f"the {kind} `{key}` is there twice", "give one of them another name")


def _check_times(operation: Operation) -> None:
    for name in ("set_up", "each", "wait", "demonstration", "preparation"):
        minutes = getattr(operation, name) or 0
        if minutes < 0:
            raise TimingError(
                "negative-time", f"`{operation.key}` takes {minutes} min of {name.replace('_', ' ')}", "0 min or more"
            )
        if minutes > 10**6:
            raise TimingError(
                "endless-time",
                f"`{operation.key}` takes {minutes} min of {name.replace('_', ' ')}",
                "1,000,000 min at most",
            )


def _check_uses(lesson: Lesson, operation: Operation) -> None:
    there = {station.key: station for station in lesson.stations}
    for use in operation.uses:
        station = there.get(use.station)
        if station is None:
            named = ", ".join(f"`{key}`" for key in there) or "none"
            raise TimingError(
                "no-such-station",
                f"`{operation.key}` {'holds' if use.while_waiting else 'is done at'} `{use.station}`, "
                "which is no station of the shop",
                f"stations there: {named}",
            )
        if use.count < 1 or use.count > station.count:
            raise TimingError(
                "station-short",
                f"`{operation.key}` takes {use.count} of `{use.station}` for one piece, the shop has {station.count}",
                f"count: {max(1, use.count)} in the shop, or fewer for each",
            )
    persons = lesson.group.students + 1 + lesson.group.assistants
    if operation.hands > persons:
        raise TimingError(
            "hands-short",
            f"`{operation.key}` needs {operation.hands} pairs of hands, {persons} persons are there",
            "assistants: 1, or do it with clamps",
        )


def _check_before(lesson: Lesson, operation: Operation, done: dict[str, Operation]) -> None:
    for key in operation.after:
        before = done.get(key)
        if before is None:
            known = any(one.key == key for one in lesson.operations)
            why = "comes later in the plan" if known else "does not exist"
            raise TimingError("no-such-step", f"`{operation.key}` follows `{key}`, which {why}", "name an earlier step")
        if operation.prepared and not before.prepared:
            raise TimingError(
                "made-later",
                f"`{operation.key}` is prepared beforehand, but `{key}` before it is still made in class",
                f"prepare `{key}` too, or make `{operation.key}` in class",
            )
        waited = before.wait > 0 and not before.prepared and not operation.prepared
        span = (
            round((lesson.sessions[-1].end - lesson.sessions[0].start).total_seconds() / 60) if lesson.sessions else 0
        )
        if waited and span > 0 and before.wait >= span:
            raise TimingError(
                "wait-too-long",
                f"`{key}` waits {before.wait} min before `{operation.key}`, the whole class lasts {span} min",
                f"prepare `{key}` beforehand, or add a session",
            )
