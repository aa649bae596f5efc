"""A class as its file says it, with every number and time read: plain data, or findings that say what is wrong."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from planbook.plan.model import Plan, Step
from planbook.publish.class_notes import Notes, day_of, read_notes
from planbook.source.diagnostics import Findings, Span
from planbook.source.nearest import did_you_mean, one_of
from planbook.source.text import Text
from planbook.timing.clock import Session, session_grid
from planbook.timing.faults import TimingError
from planbook.units.quantity import TIME
from planbook.units.read import ReadError, read_quantity

if TYPE_CHECKING:
    from planbook.source.book import Book, WrittenClass
    from planbook.source.schema.book import ShopFacts, StationSource
    from planbook.source.schema.classes import ClassSource, CostSource, SessionSource

_CLOCK = re.compile(r"([0-9]{1,2}):([0-9]{2})$")
_BREAK = re.compile(r"(\S+)\s+to\s+(\S+)$")
_MONEY = re.compile(r"[0-9]{1,7}(?:\.[0-9]{1,2})?$")
_WHOLE = re.compile(r"[0-9]{1,4}$")
_WORKING = {"alone": False, "in pairs": True}
MOST = 60
"""Most students of one class: more than that stand at no bench together, and none of them hears the teacher."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopStation:
    """A station of the shop."""

    key: str
    tools: tuple[str, ...]
    """Keys of the tools whose work is done there; its own name where it stands for no tool."""
    count: int
    set_up: int | None
    minimum_age: int
    """Years; 0 where nothing is said."""
    eye: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """An item of what the class costs."""

    what: str
    amount: Fraction
    once: bool
    """For the class as a whole, not for each piece."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Class:
    """A class, ready to be reckoned with."""

    slug: str
    title: str
    summary: str
    plan: Plan
    students: int
    pairs: bool
    assistants: int
    place: str
    zone: str
    sessions: tuple[Session, ...]
    slot: int
    slowest: Fraction
    demonstrate: int
    prepared: tuple[str, ...]
    """Slugs of steps."""
    at_home: tuple[str, ...]
    ready_made: tuple[tuple[str, int], ...]
    """Parts with how many."""
    brings: tuple[str, ...]
    costs: tuple[Cost, ...]
    price: Fraction | None
    money: str
    stations: tuple[ShopStation, ...]
    span: Span
    quickest: Fraction = Fraction(3, 5)
    notes: Notes | None = None
    """What the class took the last time."""
    spans: tuple[tuple[str, Span], ...] = field(default=(), repr=False)
    """Where what is named stands in the file: `students`, `sessions`, steps by their slug."""

    @property
    def makers(self) -> int:
        """Pieces that are built: one for each student, or one for each pair; an odd student makes a three."""
        return max(1, self.students // 2) if self.pairs else self.students

    def where(self, word: str) -> Span:
        """Return where a word stands, or the file's beginning."""
        return dict(self.spans).get(word, self.span)


def read_classes(book: Book, plans: Iterable[Plan], findings: Findings) -> tuple[Class, ...]:
    """Return the classes of a book whose plans could be worked out; every fault in them is recorded."""
    resolved = {(plan.slug, plan.edition.name): plan for plan in plans}
    written_plans = {plan.slug for plan in book.plans}
    stations = read_stations(book.shop, findings)
    found = []
    for written in book.classes:
        facts = written.facts
        if str(facts.plan) not in written_plans:
            if (book.root / "plans" / facts.plan).is_dir():
                continue  # it could not be read, which is told at its own place
            findings.stop(
                "unknown-name",
                f"there is no plan `{facts.plan}`",
                facts.plan.span,
                help=did_you_mean(facts.plan, written_plans),
            )
            continue
        editions = [str(name) for name in book.facts.editions]
        edition = str(facts.edition or editions[0])
        if edition not in editions:
            span = facts.edition.span if facts.edition is not None else facts.title.span
            findings.stop(
                "unknown-edition", f"the book has no edition `{edition}`", span, help=f"write {one_of(editions)}"
            )
            continue
        plan = resolved.get((str(facts.plan), edition))
        made = read_class(written, plan, stations, findings) if plan is not None else None
        if made is not None:
            found.append(made)
    return tuple(found)


def read_class(
    written: WrittenClass, plan: Plan, stations: tuple[ShopStation, ...], findings: Findings
) -> Class | None:
    """Return the class of a plan in its edition; None, with every fault recorded, where it cannot be."""
    own = Findings()
    made = _Reader(written.facts, plan, own).made(written, stations)
    notes = read_notes(written.notes, plan, own) if written.notes is not None else None
    findings.extend(own)
    return None if own.stopped else _after(made, notes, slowest_is_said=written.facts.slowest is not None)


def _after(one: Class, notes: Notes | None, *, slowest_is_said: bool) -> Class:
    """Return the class with what its notes tell: how unlike students are, and spares of what was spoiled."""
    if notes is None:
        return one
    spares = notes.spares(one.makers)
    kept = {part: max(count, spares.pop(part, 0)) for part, count in one.ready_made}
    measured = not slowest_is_said and notes.slowest is not None and notes.quickest is not None
    return replace(
        one,
        notes=notes,
        ready_made=(*kept.items(), *((part, count) for part, count in spares.items() if count)),
        slowest=notes.slowest if measured and notes.slowest is not None else one.slowest,
        quickest=notes.quickest if measured and notes.quickest is not None else one.quickest,
    )


def read_stations(shop: ShopFacts, findings: Findings) -> tuple[ShopStation, ...]:
    """Return the stations of the shop; faults are recorded, and a station with one is left out."""
    known = {str(name).casefold(): str(key) for key, tool in shop.tools.items() for name in (key, *tool.also)}
    found = []
    for key, source in shop.stations.items():
        before = len(findings)
        station = _station(key, source, known, findings)
        if len(findings) == before:
            found.append(station)
    return tuple(found)


def _station(key: Text, source: StationSource, known: dict[str, str], findings: Findings) -> ShopStation:
    tools = []
    for name in source.of or (key,):
        tool = known.get(str(name).casefold())
        if tool is None and source.of:
            findings.stop(
                "unknown-tool", f"the shop has no tool `{name}`", name.span,
                help=did_you_mean(name, known) or f"describe `{name}` under `tools`",
            )  # fmt: skip
        tools.append(tool or str(name))
    eye = str(source.teachers_eye or "no")
    if eye not in ("yes", "no") and source.teachers_eye is not None:
        findings.stop("wrong-word", f"`teacher's eye` wants `yes` or `no`, not `{eye}`", source.teachers_eye.span)
    return ShopStation(
        key=str(key),
        tools=tuple(tools),
        count=_whole(source.count, 1, 1000, "count", findings),
        set_up=_minutes(source.set_up, findings) if source.set_up is not None else None,
        minimum_age=_whole(source.minimum_age, 1, 99, "minimum age", findings) if source.minimum_age else 0,
        eye=eye == "yes",
    )


class _Reader:
    """One reading of one file."""

    def __init__(self, facts: ClassSource, plan: Plan, findings: Findings) -> None:
        self.facts, self.plan, self.findings = facts, plan, findings
        self.spans: list[tuple[str, Span]] = []

    def made(self, written: WrittenClass, stations: tuple[ShopStation, ...]) -> Class:
        facts, findings = self.facts, self.findings
        students = _whole(facts.students, 1, MOST, "students", findings)
        prepared, at_home = self._steps(facts.prepared), self._steps(facts.at_home)
        self._both(prepared, at_home)
        self.spans += [
            ("students", facts.students.span),
            ("sessions", facts.sessions[0].date.span if facts.sessions else facts.title.span),
        ]
        return Class(
            slug=written.slug,
            title=_plain(facts.title),
            summary=_plain(facts.summary),
            plan=self.plan,
            students=students,
            pairs=self._pairs(),
            assistants=_whole(facts.assistants, 0, 20, "assistants", findings) if facts.assistants else 0,
            place=_plain(facts.place),
            zone=str(facts.zone),
            sessions=self._sessions(),
            slot=self._slot(),
            slowest=self._slowest(),
            demonstrate=_minutes(facts.demonstrate, findings) if facts.demonstrate else 0,
            prepared=prepared,
            at_home=at_home,
            ready_made=self._ready_made(),
            brings=tuple(_plain(text) for text in facts.brings),
            costs=tuple(cost for source in facts.costs if (cost := self._cost(source)) is not None),
            price=_money(facts.price, findings) if facts.price else None,
            money=_plain(facts.money),
            stations=stations,
            span=facts.title.span,
            spans=tuple(self.spans),
        )

    def _pairs(self) -> bool:
        word = str(self.facts.working)
        if word not in _WORKING:
            self.findings.stop(
                "unknown-working",
                f"nobody works `{word}` here",
                self.facts.working.span,
                help=f"write {one_of(_WORKING)}",
            )
        return _WORKING.get(word, False)

    def _slot(self) -> int:
        if self.facts.slot is None:
            return 15
        minutes = _minutes(self.facts.slot, self.findings)
        if not 5 <= minutes <= 60:
            self.findings.stop(
                "wrong-slot",
                f"stretches of {minutes} min are not between 5 and 60 min",
                self.facts.slot.span,
                help="slot: 15 min",
            )
        return minutes

    def _slowest(self) -> Fraction:
        text = self.facts.slowest
        if text is None:
            return Fraction(2)
        try:
            value = Fraction(str(text))
        except (ValueError, ZeroDivisionError):
            value = Fraction(0)
        if not 1 <= value <= 5:
            self.findings.stop(
                "wrong-pace", f"`{text}` is no number from 1 to 5 of times the median", text.span, help="slowest: 2"
            )
        return value

    def _steps(self, titles: tuple[Text, ...]) -> tuple[str, ...]:
        by_title = {step.title.casefold(): step for step in self.plan.steps}
        found: list[str] = []
        for title in titles:
            step = by_title.get(" ".join(title.split()).casefold())
            if step is None:
                self.findings.stop(
                    "no-such-step",
                    f"`{self.plan.title}` has no step `{title}`",
                    title.span,
                    help=did_you_mean(title, [step.title for step in self.plan.steps])
                    or "write the title of the step as it stands in `steps.md`",
                )
                continue
            self.spans.append((step.slug, title.span))
            found.append(step.slug)
        return tuple(dict.fromkeys(found))

    def _both(self, prepared: tuple[str, ...], at_home: tuple[str, ...]) -> None:
        """A step stands in one list only, and nothing prepared waits for what is made later, nor the class for home."""
        place = {
            step.slug: 0 if step.slug in prepared else 2 if step.slug in at_home else 1 for step in self.plan.steps
        }
        spans = dict(self.spans)
        for slug in prepared:
            if slug in at_home:
                self.findings.stop(
                    "made-twice",
                    "the step is prepared beforehand and left for home",
                    spans[slug],
                    help="name it in one of the lists",
                )
        when = ("is prepared beforehand", "is done in class", "is left for home")
        for step in self.plan.steps:
            for before in steps_before(self.plan, step):
                if place[before.slug] <= place[step.slug]:
                    continue
                self.findings.stop(
                    "made-later",
                    f"`{step.title}` {when[place[step.slug]]}, but `{before.title}`, which it needs, "
                    f"{when[place[before.slug]]}",
                    spans.get(step.slug) or spans.get(before.slug) or self.facts.title.span,
                    help=f"prepared: [..., {before.title}]"
                    if place[step.slug] == 0
                    else f"at home: [..., {step.title}]",
                )

    def _ready_made(self) -> tuple[tuple[str, int], ...]:
        known = [part.key for part in self.plan.parts]
        found = []
        for name, count in self.facts.ready_made.items():
            if str(name) not in known:
                self.findings.stop(
                    "unknown-name",
                    f"`{self.plan.title}` has no part `{name}`",
                    name.span,
                    help=did_you_mean(name, known),
                )
            found.append((str(name), _whole(count, 1, 100, str(name), self.findings)))
        return tuple(found)

    def _cost(self, source: CostSource) -> Cost | None:
        if (source.each is None) == (source.once is None):
            self.findings.stop(
                "each-or-once", f"`{source.what}` wants either `each:` or `once:`", source.what.span, help="each: 12.50"
            )
            return None
        amount = source.each if source.each is not None else source.once
        assert amount is not None
        return Cost(what=_plain(source.what), amount=_money(amount, self.findings), once=source.once is not None)

    def _zone(self) -> ZoneInfo | None:
        try:
            return ZoneInfo(str(self.facts.zone))
        except (ZoneInfoNotFoundError, ValueError, OSError):
            self.findings.stop(
                "unknown-zone",
                f"there is no time zone `{self.facts.zone}`",
                self.facts.zone.span,
                help="zone: Europe/Oslo",
            )
            return None

    def _sessions(self) -> tuple[Session, ...]:
        zone = self._zone()
        welcome = _minutes(self.facts.welcome, self.findings) if self.facts.welcome else 20
        clean_up = _minutes(self.facts.clean_up, self.findings) if self.facts.clean_up else 20
        if not self.facts.sessions:
            self.findings.stop(
                "no-session",
                "the class has no session",
                self.facts.title.span,
                help="give at least one, with `date`, `start` and `end`",
            )
        found: list[Session] = []
        for number, source in enumerate(self.facts.sessions):
            session = self._session(source, zone, welcome if number == 0 else 0, clean_up)
            if session is None:
                continue
            if not self._sound((*found[-1:], session), source):
                continue
            found.append(session)
        return tuple(found)

    def _session(self, source: SessionSource, zone: ZoneInfo | None, welcome: int, clean_up: int) -> Session | None:
        try:
            day = day_of(str(source.date))
        except ValueError:
            self.findings.stop(
                "wrong-date", f"`{source.date}` is no day of the calendar", source.date.span, help="date: 2026-10-06"
            )
            return None
        start, end = self._moment(day, source.start, zone), self._moment(day, source.end, zone)
        breaks = []
        for text in source.breaks:
            match = _BREAK.match(text.strip())
            if match is None:
                self.findings.stop("wrong-time", f"`{text}` is no break", text.span, help="breaks: 19:30 to 19:45")
                continue
            at = text.index(text.strip())
            pair = [self._moment(day, text.part(at + match.start(k), at + match.end(k)), zone) for k in (1, 2)]
            if pair[0] is not None and pair[1] is not None:
                breaks.append((pair[0], pair[1]))
        if start is None or end is None:
            return None
        return Session(start=start, end=end, breaks=tuple(breaks), opening=welcome, clean_up=clean_up)

    def _moment(self, day: datetime.date, text: Text, zone: ZoneInfo | None) -> datetime.datetime | None:
        match = _CLOCK.match(text.strip())
        if match is None or int(match[1]) > 23 or int(match[2]) > 59:
            self.findings.stop(
                "wrong-time", f"`{text}` is no time of the clock", text.span, help="write hours and minutes, as `18:00`"
            )
            return None
        if zone is None:
            return None
        moment = datetime.datetime.combine(day, datetime.time(int(match[1]), int(match[2])), tzinfo=zone)
        back = moment.astimezone(datetime.UTC).astimezone(zone)
        if (back.hour, back.minute) != (moment.hour, moment.minute):
            self.findings.stop(
                "clock-changes",
                f"on {day} the clocks of `{zone.key}` leave out {text}",
                text.span,
                help=f"write for example `{back:%H:%M}`",
            )
            return None
        return moment

    def _sound(self, sessions: tuple[Session, ...], source: SessionSource) -> bool:
        """Whether a session lies in time as it must, after the one before it."""
        try:
            session_grid(sessions, 5)
        except TimingError as fault:
            self.findings.stop(timing_slug(fault), fault.message, source.start.span, help=fault.help or None)
            return False
        return True


def timing_slug(fault: TimingError) -> str:
    """Return the name of a finding about the timetable; a plan has a finding of the one name that differs."""
    return "no-room" if fault.slug == "no-time" else fault.slug


def steps_before(plan: Plan, step: Step) -> tuple[Step, ...]:
    """Return the steps that must be done before a step: for each part it works on, the last one that worked on it."""
    found: dict[int, Step] = {}
    for part in step.handles:
        for earlier in reversed(plan.steps[: step.number - 1]):
            if part in earlier.handles:
                found[earlier.number] = earlier
                break
    return tuple(found[number] for number in sorted(found))


def _whole(text: Text, least: int, most: int, word: str, findings: Findings) -> int:
    value = int(text) if _WHOLE.match(text.strip()) else -1
    if not least <= value <= most:
        slug = "no-students" if word == "students" and value == 0 else "wrong-count"
        findings.stop(
            slug,
            f"`{word}` is `{text}`, not a whole number from {least} to {most}",
            text.span,
            help=f"{word}: {max(least, min(12, most))}",
        )
        return least
    return value


def _minutes(text: Text, findings: Findings) -> int:
    try:
        quantity = read_quantity(str(text))
    except ReadError as fault:
        findings.stop(fault.slug, fault.message, text.span.part(fault.start, fault.end), help=fault.help)
        return 0
    if quantity.dimension != TIME or quantity.value < 0:
        findings.stop("wrong-unit", f"a time is wanted, not `{text}`", text.span, help="write `20 min` or `2 h`")
        return 0
    return -int(-quantity.value // 1)


def _money(text: Text, findings: Findings) -> Fraction:
    if not _MONEY.match(text.strip()):
        findings.stop(
            "wrong-money",
            f"`{text}` is no amount of money",
            text.span,
            help="write the number alone, as `12.50`, and its sign once, as `money: $`",
        )
        return Fraction(0)
    return Fraction(text.strip())


def _plain(text: str | None) -> str:
    return " ".join(str(text).split()) if text else ""
