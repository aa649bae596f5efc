"""From a class to what the solver sees: items for the steps, the demonstrations and the settings.

Students of one track go through the steps in one order. Two tracks are two sets of items that share stations,
demonstrations and settings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from planbook.timing.clock import Grid, Pause, session_grid
from planbook.timing.faults import TimingError
from planbook.timing.items import Arc, Item, Work
from planbook.timing.problem import Lesson, Operation, check_lesson

_SLOTS = 2_000


@dataclass(frozen=True, slots=True)
class Track:
    """Some of the makers, and the order in which they take the steps."""

    makers: int
    order: tuple[int, ...]
    """Numbers of operations; prepared ones are not in it."""


@dataclass(frozen=True, slots=True)
class Role:
    """What an item of the work stands for."""

    kind: str
    """`work`, `demonstration` or `setting`."""
    operation: int
    track: int = 0


@dataclass(frozen=True, slots=True)
class LessonWork:
    """The instance and what its items mean."""

    lesson: Lesson
    tracks: tuple[Track, ...]
    work: Work
    roles: tuple[Role, ...]


def one_track(lesson: Lesson) -> tuple[Track, ...]:
    """Return the track of everybody in the order of the plan."""
    order = tuple(number for number, one in enumerate(lesson.operations) if not one.prepared)
    return (Track(lesson.group.makers, order),)


def lesson_grid(lesson: Lesson) -> Grid:
    """Check a class and lay its slots; raises `TimingError` also where a step is longer than any session."""
    check_lesson(lesson)
    grid = session_grid(lesson.sessions, lesson.slot)
    if len(grid) > _SLOTS:
        raise TimingError(
            "slot-too-short", f"starts every {lesson.slot} min make {len(grid)} slots, {_SLOTS} at most", "slot: 15 min"
        )
    for operation in lesson.operations:
        if not operation.prepared:
            _check_room(lesson, operation, grid)
    return grid


def _check_room(lesson: Lesson, operation: Operation, grid: Grid) -> None:
    parts = (
        (lesson.minutes(operation), operation.pause),
        (operation.demonstration, Pause.NONE),
        (operation.set_up, Pause.BREAK),
    )
    for minutes, pause in parts:
        slots = grid.needed(minutes)
        if any(grid.may_start(slot, slots, pause) for slot in range(len(grid))):
            continue
        room = _longest(grid, pause) * grid.slot
        where = {Pause.NONE: "stretch without a break", Pause.BREAK: "session", Pause.NIGHT: "class"}[pause]
        raise TimingError(
            "step-longer-than-session",
            f"`{operation.key}` takes {minutes} min for the slowest quarter, the longest {where} has {room} min",
            "make the session longer, split the step, or let it lie overnight",
        )


def _longest(grid: Grid, pause: Pause) -> int:
    if pause is Pause.NIGHT:
        return len(grid)
    places = grid.stretch if pause is Pause.NONE else grid.session
    return max(places.count(place) for place in dict.fromkeys(places))


class _Building:
    def __init__(self, lesson: Lesson, tracks: Sequence[Track], grid: Grid) -> None:
        self.lesson = lesson
        self.tracks = tracks
        self.grid = grid
        self.items: list[Item] = []
        self.roles: list[Role] = []
        self.arcs: dict[tuple[int, int], int] = {}
        self.stations = {station.key: number for number, station in enumerate(lesson.stations)}
        self.eyes = len(lesson.stations)
        self.persons = self.eyes + 1
        self.numbers: dict[Role, int] = {}
        self.shown: int | None = None

    def add(self, role: Role, item: Item) -> int:
        self.numbers[role] = len(self.items)
        self.items.append(item)
        self.roles.append(role)
        return len(self.items) - 1

    def arc(self, before: int, after: int, lag: int) -> None:
        self.arcs[before, after] = max(lag, self.arcs.get((before, after), 0))


def lesson_work(lesson: Lesson, tracks: Sequence[Track], grid: Grid) -> LessonWork:
    """Write the items, arcs and resources of a class in the given tracks."""
    build = _Building(lesson, tracks, grid)
    for number, operation in enumerate(lesson.operations):
        if not operation.prepared:
            _add_before_first(build, number, operation)
            for place, track in enumerate(tracks):
                _add_step(build, number, operation, place, track.makers)
    for place, track in enumerate(tracks):
        _chain(build, place, track)
    _settings(build)
    capacity = [station.count for station in lesson.stations]
    capacity += [1 + lesson.group.assistants, sum(track.makers for track in tracks) * lesson.group.hands]
    capacity += [station.count for station in lesson.stations]
    keys = tuple(station.key for station in lesson.stations)
    names = (*keys, "teacher", "students", *keys)
    arcs = tuple(Arc(before, after, lag) for (before, after), lag in build.arcs.items())
    work = Work(grid, tuple(build.items), arcs, tuple(capacity), names, _soon(build))
    return _in_topological_order(LessonWork(lesson, tuple(tracks), work, tuple(build.roles)))


def _soon(build: _Building) -> tuple[tuple[int, tuple[int, ...]], ...]:
    """Tie each demonstration to the first who begins its step: what is shown is tried at once, or it is forgotten."""
    return tuple(
        (number, tuple(build.numbers[Role("work", role.operation, place)] for place in range(len(build.tracks))))
        for number, role in enumerate(build.roles)
        if role.kind == "demonstration"
    )


def _add_before_first(build: _Building, number: int, operation: Operation) -> None:
    lesson = build.lesson
    if operation.set_up and not (lesson.ready_set and _first_at_its_stations(lesson, number)):
        uses = [
            (build.stations[use.station], lesson.stations[build.stations[use.station]].count)
            for use in operation.uses
            if _is_set(lesson, use.station)
        ]
        build.add(
            Role("setting", number),
            Item(key=operation.key, copies=1, slots=build.grid.needed(operation.set_up), uses=(*uses, (build.eyes, 1))),
        )
    if operation.demonstration:
        everybody = sum(track.makers for track in build.tracks) * lesson.group.hands
        # Nobody works while all watch: said again for each station, which the solver needs to see it early.
        idle = [(build.persons + 1 + place, station.count) for place, station in enumerate(lesson.stations)]
        item = Item(
            key=operation.key,
            copies=1,
            slots=build.grid.needed(operation.demonstration),
            pause=Pause.NONE,
            uses=((build.eyes, 1), (build.persons, everybody), *idle),
        )
        mine = build.add(Role("demonstration", number), item)
        if build.shown is not None:  # demonstrations come in the order of the plan
            build.arc(build.shown, mine, 0)
        build.shown = mine


def _is_set(lesson: Lesson, key: str) -> bool:
    return any(station.key == key and station.set for station in lesson.stations)


def _first_at_its_stations(lesson: Lesson, number: int) -> bool:
    """Return whether no earlier step of the plan sets any of the step's stations."""
    mine = {use.station for use in lesson.operations[number].uses}
    return not any(
        use.station in mine
        for other in lesson.operations[:number]
        if other.set_up and not other.prepared
        for use in other.uses
    )


def _add_step(build: _Building, number: int, operation: Operation, place: int, makers: int) -> None:
    lesson = build.lesson
    amounts: dict[int, int] = {}
    held: dict[int, int] = {}
    eye = operation.eye
    for use in operation.uses:
        station = build.stations[use.station]
        eye = eye or lesson.stations[station].eye
        group = held if use.while_waiting else amounts
        group[station] = group.get(station, 0) + use.count
    for station, count in [*amounts.items(), *held.items()]:
        amounts[build.persons + 1 + station] = count + amounts.get(build.persons + 1 + station, 0)
    if eye:
        amounts[build.eyes] = 1
    amounts[build.persons] = min(max(operation.hands, lesson.group.hands), lesson.group.makers * lesson.group.hands)
    item = Item(
        key=operation.key,
        copies=makers,
        slots=build.grid.needed(lesson.minutes(operation)),
        pause=operation.pause,
        wait=operation.wait,
        uses=tuple(amounts.items()),
        holds=tuple(held.items()),
    )
    mine = build.add(Role("work", number, place), item)
    setting = build.numbers.get(Role("setting", number))
    shown = build.numbers.get(Role("demonstration", number))
    if setting is not None:
        build.arc(setting, mine, 0)
    if shown is not None:
        build.arc(shown, mine, 0)
    if setting is not None and shown is not None:
        build.arc(setting, shown, 0)


def _chain(build: _Building, place: int, track: Track) -> None:
    lesson = build.lesson
    keys = {operation.key: number for number, operation in enumerate(lesson.operations)}
    previous: int | None = None
    for number in track.order:
        operation = lesson.operations[number]
        mine = build.numbers[Role("work", number, place)]
        slack = lesson.slack if operation.pause is Pause.NONE else 0
        if previous is not None:
            build.arc(build.numbers[Role("work", previous, place)], mine, slack)
        for key in operation.after:
            before = lesson.operations[keys[key]]
            if not before.prepared:
                build.arc(build.numbers[Role("work", keys[key], place)], mine, before.wait + slack)
        previous = number


def _settings(build: _Building) -> None:
    """Let a setting wait until everybody is through with the one before on the same station."""
    lesson = build.lesson
    at: dict[str, int] = {}
    for number, operation in enumerate(lesson.operations):
        if operation.prepared or not operation.set_up:
            continue
        setting = build.numbers.get(Role("setting", number))
        for use in operation.uses:
            if not _is_set(lesson, use.station):
                continue
            if setting is not None and use.station in at:
                for place in range(len(build.tracks)):
                    build.arc(build.numbers[Role("work", at[use.station], place)], setting, 0)
            at[use.station] = number


def _in_topological_order(built: LessonWork) -> LessonWork:
    """Return the same with items in an order in which no arc points back; plan order among the free ones."""
    work = built.work
    waiting = [len(arcs) for arcs in work.before]
    order: list[int] = []
    free = [number for number, count in enumerate(waiting) if count == 0]
    while free:
        number = min(free)
        free.remove(number)
        order.append(number)
        for arc in work.after[number]:
            waiting[arc.after] -= 1
            if waiting[arc.after] == 0:
                free.append(arc.after)
    if len(order) < len(work.items):
        raise TimingError(
            "settings-cross",
            "students of different tracks would need one station in two settings at once",
            "one order for all",
        )
    new = {old: place for place, old in enumerate(order)}
    arcs = tuple(replace(arc, before=new[arc.before], after=new[arc.after]) for arc in work.arcs)
    soon = tuple((new[before], tuple(new[after] for after in afters)) for before, afters in work.soon)
    items = tuple(work.items[old] for old in order)
    sorted_work = Work(work.grid, items, arcs, work.capacity, work.names, soon)
    return replace(built, work=sorted_work, roles=tuple(built.roles[old] for old in order))
