"""From the steps of a plan to the work of a class: what is done at which station, what is held, what waits.

A step names its tools but not how long each is in use. Its minutes are shared out evenly among the stations it
needs, in the order in which it names them, and the bench, where it also names hand tools: planbook's own rule.
Where the class has notes of the last time, their median stands in place of the author's minutes.
The bench comes first where the step marks parts out. Where the teacher looks, everybody comes for a look: before
glue is spread, else at the end of the step.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction

from planbook.plan.model import Step
from planbook.publish.book_info import BookInfo
from planbook.publish.class_facts import Class, ShopStation, steps_before
from planbook.timing.clock import Pause
from planbook.timing.problem import Group, Lesson, Operation, Pace, Station, Use

BENCH = "bench"
LOOK = "look"
LOOK_MINUTES = 2
"""Minutes of the teacher at one piece; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One operation of the timetable, as part of a step."""

    key: str
    step: Step
    station: str
    """Key of the station, or `bench`, or `look` where the teacher looks at the work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassWork:
    """The question for the timetable, and what its operations stand for."""

    lesson: Lesson
    shares: tuple[Share, ...]
    """In the order of the operations."""

    def share(self, key: str) -> Share:
        """Return what an operation stands for; raises KeyError."""
        for share in self.shares:
            if share.key == key:
                return share
        raise KeyError(key)


def class_work(one: Class, book: BookInfo) -> ClassWork:
    """Return the work of a class; steps left for home are not in it."""
    maker = _Maker(one, book)
    for step in one.plan.steps:
        if step.slug not in one.at_home:
            maker.add(step)
    lesson = Lesson(
        operations=tuple(maker.operations),
        stations=tuple(
            Station(key=station.key, count=station.count, eye=station.eye, set=maker.is_place(station))
            for station in one.stations
        ),
        sessions=one.sessions,
        group=Group(
            students=one.students,
            pairs=one.pairs,
            assistants=one.assistants,
            pace=Pace(quickest=one.quickest, slowest=one.slowest),
        ),
        slot=one.slot,
    )
    return ClassWork(lesson=lesson, shares=tuple(maker.shares))


def moment(one: Class, lesson_start: datetime, minute: int) -> datetime:
    """Return the time of the clock, in the zone of the class, of a minute of the timetable."""
    from datetime import UTC, timedelta

    return (lesson_start.astimezone(UTC) + timedelta(minutes=minute)).astimezone(one.sessions[0].start.tzinfo)


class _Maker:
    """Operations in the making."""

    def __init__(self, one: Class, book: BookInfo) -> None:
        self.one, self.book = one, book
        self.operations: list[Operation] = []
        self.shares: list[Share] = []
        self.last: dict[str, str] = {}
        """By slug of a step: the key of its last operation."""

    def is_place(self, station: ShopStation) -> bool:
        """Whether one goes to a station to work there; clamps are brought to the bench."""
        return any(tool is not None and tool.powered for tool in map(self.book.tool, station.tools))

    def add(self, step: Step) -> None:
        """Add the operations of a step, each after the one before it."""
        prepared = step.slug in self.one.prepared
        places = [] if prepared else self._places(step)
        names = self._order(step, places)
        minutes = step.time.each * step.time.pieces + (Fraction(0) if places else step.time.set_up)
        measured = self.one.notes.measured(step.slug) if self.one.notes is not None else None
        if measured is not None and not prepared:
            minutes = measured
        each = max(1, -int(-minutes / len(names) // 1))
        glued = bool(step.joins and step.time.wait)
        if step.teachers_eye and not prepared:
            names.insert(len(names) - 1 if glued else len(names), LOOK)
        waits = len(names) - 1 if glued or names[-1] != LOOK else len(names) - 2
        after = tuple(
            self.last[before.slug] for before in steps_before(self.one.plan, step) if before.slug in self.last
        )
        for number, name in enumerate(names):
            key = step.title if len(names) == 1 else f"{step.title} ({name})"
            station = next((place for place in places if place.key == name), None)
            self.operations.append(
                Operation(
                    key=key,
                    set_up=_set_up(step, station) if station is not None else 0,
                    each=LOOK_MINUTES if name == LOOK else each,
                    wait=int(step.time.wait) if number == waits else 0,
                    after=after,
                    uses=() if name == LOOK else tuple(self._uses(step, station, last=number == waits)),
                    demonstration=self.one.demonstrate if station is not None else 0,
                    eye=name == LOOK,
                    hands=1 if name == LOOK else step.hands,
                    pause=Pause.NONE if glued and number == waits else Pause.BREAK,
                    preparation=0 if name == LOOK else each,
                    prepared=prepared,
                )
            )
            self.shares.append(Share(key=key, step=step, station=name))
            after = (key,)
        self.last[step.slug] = self.operations[-1].key

    def _places(self, step: Step) -> list[ShopStation]:
        keys = [use.key for use in step.tools]
        found = [s for s in self.one.stations if self.is_place(s) and any(tool in keys for tool in s.tools)]
        return sorted(found, key=lambda s: min(keys.index(tool) for tool in s.tools if tool in keys))

    def _order(self, step: Step, places: list[ShopStation]) -> list[str]:
        """Return where the shares of a step are done, in order."""
        names = [place.key for place in places]
        if not names:
            return [BENCH]
        by_hand = any(
            tool is not None and not tool.powered and tool.kind != "supply"
            for tool in (self.book.tool(use.key) for use in step.tools)
        )
        if not by_hand:
            return names
        return [BENCH, *names] if step.marks else [*names, BENCH]

    def _uses(self, step: Step, place: ShopStation | None, *, last: bool) -> Iterator[Use]:
        if place is not None:
            yield Use(station=place.key)
        held = {self._named(name): count for name, count in step.holds}
        for station in self.one.stations:
            if self.is_place(station):
                continue
            count = held.get(station.key, 0)
            if count and last:
                yield Use(station=station.key, count=count, while_waiting=True)
            taken = max((use.count for use in step.tools if use.key in station.tools), default=0)
            if taken > count or (taken and not last):
                yield Use(station=station.key, count=taken if not last or not count else taken - count)
        there = {station.key for station in self.one.stations}
        for name, count in held.items():
            if last and name not in there:
                # The check of the timetable says that the shop has none of it.
                yield Use(station=name, count=count, while_waiting=True)

    def _named(self, name: str) -> str:
        """Return the station that a step calls by its name or that of its tool."""
        tool = self.book.tool(name) or self.book.tool(name.removesuffix("s"))
        for station in self.one.stations:
            if station.key == name or (tool is not None and tool.key in station.tools):
                return station.key
        return name


def _set_up(step: Step, station: ShopStation) -> int:
    return station.set_up if station.set_up is not None else -int(-step.time.set_up // 1)


def by_longest_way(work: ClassWork) -> ClassWork:
    """Return the work with its steps in another order: first those with most work and waiting still behind them.

    What hurries nobody, a shelf that lies loose, is then done while glue or oil holds the rest up.
    """
    shares = list(zip(work.lesson.operations, work.shares, strict=True))
    steps = list(dict.fromkeys(share.step.number for share in work.shares))
    step_of = {operation.key: share.step.number for operation, share in shares}
    before = {
        number: {step_of[key] for o, s in shares if s.step.number == number for key in o.after} for number in steps
    }
    left = dict.fromkeys(steps, 0)
    for number in reversed(steps):
        mine = [operation for operation, share in shares if share.step.number == number and not operation.prepared]
        after = max((left[other] for other in steps if number in before[other] - {other}), default=0)
        left[number] = after + sum(work.lesson.minutes(operation) + operation.wait for operation in mine)
    order: list[int] = []
    while len(order) < len(steps):
        free = [n for n in steps if n not in order and before[n] - {n} <= set(order)]
        order.append(max(free, key=lambda n: (left[n], -n)))
    place = {number: at for at, number in enumerate(order)}
    shares.sort(key=lambda pair: place[pair[1].step.number])
    operations = tuple(operation for operation, _ in shares)
    return ClassWork(lesson=replace(work.lesson, operations=operations), shares=tuple(share for _, share in shares))
