"""The timetable of a class: does it fit, who is where when, what holds it up, when is it too late."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from planbook.timing.clock import Grid
from planbook.timing.earliest import EFFORT, Earliest, earliest
from planbook.timing.faults import TimingError
from planbook.timing.fits import RULES
from planbook.timing.lesson_work import LessonWork, Track, lesson_grid, lesson_work, one_track
from planbook.timing.listing import Starts, begun_early, brought_near, ending, quick_timetable
from planbook.timing.playback import play
from planbook.timing.problem import Group, Lesson
from planbook.timing.tidy import tidied
from planbook.timing.timetable import Common, Late, Timetable, Visit
from planbook.timing.tracks import second_tracks
from planbook.timing.windows import least_end, windows


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """Whether a class fits its sessions."""

    table: Timetable | None
    """The best timetable found; None where none fits, or none was found."""
    proven: bool
    """Whether nothing better exists in the model; without a table: whether it is proven not to fit."""
    model: str
    """What the proof holds for, in words."""

    @property
    def fits(self) -> bool:
        """Whether there is a timetable."""
        return self.table is not None


def class_timetable(lesson: Lesson, *, effort: int = EFFORT, tidy: bool = True, two_tracks: bool = True) -> Outcome:
    """Return the timetable that ends earliest, then waits least, then crowds the machines least.

    Raises `TimingError` for a question that makes no sense. With `two_tracks` a second order of steps is
    tried for half of the class where a station is busy enough to hold the others up.
    """
    grid = lesson_grid(lesson)
    built = lesson_work(lesson, one_track(lesson), grid)
    if not built.work.items:
        return Outcome(table=_nothing_to_do(lesson, grid), proven=True, model=_model(lesson, 1))
    found = earliest(built.work, effort=effort, rules=RULES)
    proven_for = 1
    if two_tracks:
        for tracks in second_tracks(lesson, built, found):
            other = _crossing_free(lesson, tracks, grid)
            better = _ends_earlier(other, found) if other is not None else None
            if other is not None and better is not None:
                built, found, proven_for = other, better, 2
    if found.starts is None or found.end is None:
        return Outcome(table=None, proven=found.bound is None, model=_model(lesson, 1))
    starts = _tidy(built, found.starts, found.end) if tidy else found.starts
    table = _table(built, brought_near(built.work, starts), found, proven_for)
    return Outcome(table=table, proven=found.proven, model=table.model)


def no_earlier_than(lesson: Lesson) -> int | None:
    """Return a minute before which no timetable of one order ends, from the windows alone; None where none fits."""
    grid = lesson_grid(lesson)
    low = least_end(lesson_work(lesson, one_track(lesson), grid).work)
    return None if low is None else grid.end(low - 1) if low else 0


def _crossing_free(lesson: Lesson, tracks: tuple[Track, ...], grid: Grid) -> LessonWork | None:
    """Return the work of two tracks, or None where they would need a station in two settings at once."""
    try:
        return lesson_work(lesson, tracks, grid)
    except TimingError:
        return None


def _ends_earlier(built: LessonWork, found: Earliest) -> Earliest | None:
    """Return a timetable in other tracks that ends before the known one, if the quick rules find one."""
    work = built.work
    low = least_end(work)
    frame = windows(work, len(work.grid))
    if low is None or frame is None or (found.end is not None and low >= found.end):
        return None
    starts = quick_timetable(work, frame, aim=low)
    if starts is None or (found.end is not None and ending(work, starts) >= found.end):
        return None
    return Earliest(starts, ending(work, starts), low)


def _model(lesson: Lesson, orders: int) -> str:
    order = "one order of steps for all" if orders == 1 else f"{orders} orders of steps"
    shown = ", each step begun right after it is shown" if any(o.demonstration for o in lesson.operations) else ""
    return f"{order}, starts every {lesson.slot} minutes, times of the slowest quarter{shown}"


def _tidy(built: LessonWork, starts: Starts, end: int) -> Starts:
    lasts = tuple(
        next(
            n
            for n, role in enumerate(built.roles)
            if role.kind == "work" and (role.operation, role.track) == (track.order[-1], place)
        )
        for place, track in enumerate(built.tracks)
        if track.order
    )
    machines = tuple(number for number, station in enumerate(built.lesson.stations) if station.count > 1)
    found = tidied(built.work, starts, end, lasts, machines)
    # Nobody waits beside a free machine for the sake of a tidy one.
    return begun_early(built.work, found, [n for n, role in enumerate(built.roles) if role.kind == "work"])


def _nothing_to_do(lesson: Lesson, grid: Grid) -> Timetable:
    makers = lesson.group.makers
    late = tuple(Late(operation=o.key, start=None, planned_last=None, ready_made=True) for o in lesson.operations)
    return Timetable(
        lesson=lesson, grid=grid, visits=(), common=(), done=(0,) * makers, waiting=(0,) * makers, bound=0, proven=True,
        model=_model(lesson, 1), late=late,
    )  # fmt: skip


def _table(built: LessonWork, starts: Starts, found: Earliest, orders: int) -> Timetable:
    lesson, grid = built.lesson, built.work.grid
    visits, common = play(built, starts)
    makers = range(1, lesson.group.makers + 1)
    done = tuple(max(visit.end for visit in visits if visit.maker == maker) for maker in makers)
    bound = grid.end(found.bound - 1) if found.bound else 0
    return Timetable(
        lesson=lesson,
        grid=grid,
        visits=visits,
        common=common,
        done=done,
        waiting=tuple(_waiting(grid, visits, common, maker, done[maker - 1]) for maker in makers),
        bound=bound,
        proven=found.proven,
        model=_model(lesson, orders),
        late=_latest_starts(lesson, grid, built.tracks, visits),
    )


def _waiting(grid: Grid, visits: tuple[Visit, ...], common: tuple[Common, ...], maker: int, done: int) -> int:
    taken = [(v.start, v.end) for v in visits if v.maker == maker]
    taken += [(a, b) for v in visits for helper, a, b in v.helpers if helper == maker]
    taken += [(one.start, one.end) for one in common if one.kind == "demonstration"]
    idle = [start for start in grid.starts if start < done and not any(a <= start < b for a, b in taken)]
    return len(idle) * grid.slot


def _latest_starts(
    lesson: Lesson, grid: Grid, tracks: tuple[Track, ...], visits: tuple[Visit, ...]
) -> tuple[Late, ...]:
    """Go back from the end of the class for somebody alone at free stations, in the order of the first track."""
    alone = replace(
        lesson,
        group=Group(students=1, pace=lesson.group.pace),
        operations=tuple(replace(o, demonstration=0, set_up=0, hands=1) for o in lesson.operations),
    )
    built = lesson_work(alone, (Track(1, tracks[0].order),), grid)
    frame = windows(built.work, len(grid))
    latest = {
        role.operation: grid.starts[frame.latest(number, 0)] for number, role in enumerate(built.roles)
    } if frame is not None else {}  # fmt: skip
    last = {visit.operation: visit.start for visit in visits}  # visits stand in the order of their starts
    return tuple(
        Late(
            operation=o.key,
            start=latest.get(n),
            planned_last=last.get(o.key),
            ready_made=o.preparation is not None or o.prepared,
        )
        for n, o in enumerate(lesson.operations)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """How busy a station is, and what one more of it would save."""

    station: str
    minutes: int
    """Work at it, all units together."""
    share: Fraction
    """Of the time from the first to the last visit that its units are taken, on average."""
    saves: int | None
    """Minutes that the class ends earlier with one more; None where it was not asked."""


def bottlenecks(lesson: Lesson, outcome: Outcome, *, ask: int = 2, effort: int = EFFORT) -> tuple[Load, ...]:
    """Return the stations by load, the busiest first, with the saving of one more for the first few.

    A saving compares two timetables of one order each, and is at least that where the first is proven.
    """
    table = outcome.table
    if table is None:
        return ()
    counts = {station.key: station.count for station in lesson.stations}
    loads = sorted(
        (_load(table, key, count) for key, count in counts.items()),
        key=lambda load: -Fraction(load.minutes, counts[load.station]),
    )
    # The busiest machine and the busiest of what is brought to the bench come before the rest.
    machines = {station.key for station in lesson.stations if station.set}
    first = [next((load.station for load in loads if (load.station in machines) == kind), "") for kind in (True, False)]
    wanted = [key for key in dict.fromkeys([*first, *(load.station for load in loads)]) if key][:ask]
    asked: list[Load] = []
    for load in loads:
        if load.station in wanted and load.minutes:
            stations = tuple(replace(s, count=s.count + 1) if s.key == load.station else s for s in lesson.stations)
            more = class_timetable(replace(lesson, stations=stations), effort=effort, tidy=False, two_tracks=False)
            load = replace(load, saves=max(0, table.end - more.table.end) if more.table is not None else 0)
        asked.append(load)
    return tuple(asked)


def _load(table: Timetable, station: str, count: int) -> Load:
    visits = table.at(station)
    grid = table.grid
    first, last = min((v.start for v in visits), default=0), max((v.end for v in visits), default=0)
    there = sum(grid.slot for start in grid.starts if first <= start < last)
    taken = sum(
        grid.slot * len(place.units)
        for visit in visits
        for place in visit.places
        if place.station == station
        for start in grid.starts
        if visit.start <= start < place.until
    )
    return Load(
        station=station, minutes=taken, share=Fraction(taken, count * there) if there else Fraction(0), saves=None
    )
