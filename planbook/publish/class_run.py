"""The run sheet: what happens in each session, row by row, for the teacher who stands in it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from planbook.drawing.timetable import minute_of
from planbook.plan.model import Step
from planbook.publish.class_facts import Class
from planbook.publish.class_work import BENCH, LOOK, ClassWork
from planbook.publish.sheet_runs import Runs, joined, run, runs
from planbook.timing.clock import Pause
from planbook.timing.timetable import Common, Timetable, Visit

_WAITED = {"glue": ("glue on", "clamps off"), "resin": ("poured on", "may be sanded from")}
"""What is written down of a wait: when it began, and what may be done when it is over."""
_DAYS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


def session_name(number: int) -> str:
    """Return `first session` for 0."""
    return f"{_DAYS[number] if number < len(_DAYS) else f'{number + 1}th'} session"


def unit_of(one: Class) -> str:
    """Return what a place number counts: `pair` or `student`."""
    return "pair" if one.pairs and one.students > 1 else "student"


def sessions(one: Class, work: ClassWork, table: Timetable) -> list[dict[str, Any]]:
    """Return the run sheet of each session."""
    return [_Session(one, work, table, number).sheet() for number in range(len(one.sessions))]


def numbers_in_words(numbers: Iterable[int]) -> str:
    """Return place numbers as short as they are read: `1-3, 5`, with a dash."""
    found: list[list[int]] = []
    for number in sorted(set(numbers)):
        if found and number == found[-1][-1] + 1:
            found[-1].append(number)
        else:
            found.append([number])
    return ", ".join(
        str(group[0])
        if len(group) == 1
        else f"{group[0]}, {group[1]}"
        if len(group) == 2
        else f"{group[0]}–{group[-1]}"
        for group in found
    )


def capital(stretch: Runs) -> Runs:
    """Return running text with a capital in front: its lead word stands in the head of the column."""
    if not stretch:
        return stretch
    first = stretch[0]
    return [{**first, "s": first["s"][:1].upper() + first["s"][1:]}, *stretch[1:]]


class _Session:
    """One session of a class, with what happens in it."""

    def __init__(self, one: Class, work: ClassWork, table: Timetable, number: int) -> None:
        self.one, self.work, self.table, self.number = one, work, table, number
        self.session = one.sessions[number]
        self.start, self.end = minute_of(table, self.session.start), minute_of(table, self.session.end)
        self.visits = [visit for visit in table.visits if self.start <= visit.start < self.end]
        self.late = {late.operation: late for late in table.late}

    def sheet(self) -> dict[str, Any]:
        steps = self._steps()
        return {
            "name": session_name(self.number),
            "date": f"{self.session.start:%A, %B} {self.session.start.day}",
            "hours": f"{self.session.start:%H:%M} to {self.session.end:%H:%M}",
            "stations": f"chart-stations-{self.number}",
            "groups": f"chart-groups-{self.number}",
            "rows": [row for _, row in sorted(self._rows(steps), key=lambda pair: pair[0])],
            "checkpoints": self._checkpoints(steps),
            "quick": [capital(runs(step.meanwhile)) for step in steps if step.meanwhile],
            "prepare": self._settings(),
            "leaves": self._leaves(home=False),
            "home": self._leaves(home=True),
            "last": self._is_last(),
        }

    def _steps(self) -> list[Step]:
        """Return the steps that anybody begins, or that are shown, in this session, in order."""
        shown = [
            c.operation for c in self.table.common if c.kind == "demonstration" and self.start <= c.start < self.end
        ]
        found = {}
        for key in [*(visit.operation for visit in self.visits), *shown]:
            step = self.work.share(key).step
            found[step.number] = step
        return [found[number] for number in sorted(found)]

    def _clock(self, minute: int) -> str:
        return f"{self.table.grid.moment(minute):%H:%M}"

    def _rows(self, steps: list[Step]) -> Iterable[tuple[tuple[int, int], dict[str, Any]]]:
        one, unit = self.session, unit_of(self.one)
        if one.opening:
            said = [
                run(
                    "text",
                    "Who you are, what is built, how the room is left in a fire. Initials on the sign-off sheet.",
                )
            ]
            who = [run("strong", "All: "), run("text", "the safety page together, then the tour of the machines.")]
            late = [run("text", "Latecomers read the safety page with you before they touch a machine.")]
            yield (self.start, 0), self._row(self.start, "", who, said, late, kind="all")
        for pause, resume in one.breaks:
            who = [run("strong", f"Break until {resume:%H:%M}. "), run("text", "Machines unplugged, keys with you.")]
            yield (
                (minute_of(self.table, pause), 1),
                self._row(minute_of(self.table, pause), "", who, [], [], kind="all"),
            )
        for step in steps:
            visits = [visit for visit in self.visits if self.work.share(visit.operation).step is step]
            shown = [
                c
                for c in self.table.common
                if c.kind == "demonstration"
                and self.start <= c.start < self.end
                and self.work.share(c.operation).step is step
            ]
            begin = min([visit.start for visit in visits] + [common.start for common in shown])
            yield (
                (begin, 2),
                self._row(
                    begin,
                    self._latest(step),
                    self._who(step, visits, shown),
                    self._say(step),
                    self._wrong(step),
                    kind="step",
                ),
            )
        if one.clean_up:
            begin = self.end - one.clean_up
            last = self.number == len(self.one.sessions) - 1
            who = [
                run("strong", "All: "),
                run("text", f"clean up. Every {unit} its bench, its floor and one machine. Rags under water, lid on."),
            ]
            done = [run("text", "Write names and place numbers on the wood.")] if not last else []
            yield (
                (begin, 3),
                self._row(begin, "", who, [run("text", "Switch off, unplug, count tools back in.")], done, kind="all"),
            )

    def _row(self, minute: int, latest: str, who: Runs, say: Runs, wrong: Runs, *, kind: str) -> dict[str, Any]:
        return {"clock": self._clock(minute), "latest": latest, "who": who, "say": say, "wrong": wrong, "kind": kind}

    def _latest(self, step: Step) -> str:
        """Return the latest start of a step, if it lies in this session."""
        late = self._late_of(step)
        return self._clock(late) if late is not None and self.start <= late < self.end else ""

    def _late_of(self, step: Step) -> int | None:
        """Return the latest start of what cannot be stopped in a step, else of its first share."""
        mine = [
            operation
            for operation, share in zip(self.work.lesson.operations, self.work.shares, strict=True)
            if share.step is step
        ]
        return self.late[next((o for o in mine if o.pause is Pause.NONE), mine[0]).key].start

    def _who(self, step: Step, visits: list[Visit], shown: list[Common]) -> Runs:
        """Return the queue of a step: at each station by time, place numbers in order."""
        found: Runs = [run("strong", f"{step.number}. {step.title}. ")]
        measured = self.one.notes.measured(step.slug) if self.one.notes is not None else None
        if measured is not None:
            found.append(run("emphasis", f"Measured, {float(measured):g} min. "))
        for common in shown:
            where = self.work.share(common.operation).station
            found.append(run("text", f"All watch at the {where}, {self._clock(common.start)}. "))
        for share in self.work.shares:
            mine = [visit for visit in visits if visit.operation == share.key]
            if share.step is not step or not mine:
                continue
            starts = sorted({visit.start for visit in mine})
            queue = "; ".join(
                f"{self._clock(start)} {numbers_in_words(v.maker for v in mine if v.start == start)}"
                for start in starts
            )
            name = {LOOK: "You look", BENCH: "Bench"}.get(share.station, share.station.capitalize())
            found += [run("emphasis", f"{name}: "), run("text", f"{queue}{self._at_once(share.key, starts)}. ")]
        if step.hands > 1 and not self.one.pairs:
            found.append(run("text", f"{step.hands} at each piece. "))
        return found

    def _at_once(self, key: str, starts: list[int]) -> str:
        """Return what lets only some begin at once, where there is a queue for something brought to the bench."""
        if len(starts) < 2:
            return ""
        lesson = self.work.lesson
        operation = next(operation for operation in lesson.operations if operation.key == key)
        there = {station.key: station for station in lesson.stations if not station.set}
        few = [
            f"{use.station} for {there[use.station].count // use.count}"
            for use in operation.uses
            if use.station in there and there[use.station].count // use.count < lesson.group.makers
        ]
        return f" ({joined(few)} at a time)" if few else ""

    def _say(self, step: Step) -> Runs:
        found: Runs = []
        for line in step.teacher:
            found += [*capital(runs(line)), run("text", " ")]
        eyes = {station.key for station in self.table.lesson.stations if station.eye}
        places = [share.station for share in self.work.shares if share.step is step and share.station in eyes]
        if places:
            found.append(run("emphasis", f"Stand at the {joined(places)}."))
        return found

    def _wrong(self, step: Step) -> Runs:
        found = capital(runs(step.went_wrong))
        ready = [f"{count} of {part}" for part, count in self.one.ready_made if part in step.handles]
        if ready:
            found += [run("text", " "), run("emphasis", f"Ready made: {joined(ready)}.")]
        whole = any(
            operation.pause is Pause.NONE
            for operation, share in zip(self.work.lesson.operations, self.work.shares, strict=True)
            if share.step is step
        )
        late = self._late_of(step)
        if whole and late is not None and self.start <= late < self.end:
            found += [
                run("text", " "),
                run("strong", f"After {self._clock(late)} do not start: it must be done in one go."),
            ]
        return found

    def _checkpoints(self, steps: list[Step]) -> list[dict[str, Any]]:
        rows = []
        for step in steps:
            if step.teachers_eye and any(
                self.work.share(visit.operation).station == LOOK and self.work.share(visit.operation).step is step
                for visit in self.visits
            ):
                rows.append({"name": f"{step.number}. {step.teachers_eye}", "lines": False})
            if step.joins and step.time.wait:
                names = _WAITED.get(step.time.wait_for or "glue", (f"{step.time.wait_for} on", "hard at"))
                rows += [{"name": f"{step.number}. {name}", "lines": True} for name in names]
        return rows

    def _settings(self) -> list[str]:
        found = []
        for common in self.table.common:
            if common.kind == "setting" and self.start <= common.start < self.end:
                share = self.work.share(common.operation)
                found.append(f"{self._clock(common.start)} set the {share.station} for step {share.step.number}")
        return found

    def _is_last(self) -> bool:
        return self.number == len(self.one.sessions) - 1

    def _leaves(self, *, home: bool) -> str:
        """Return what stays behind in clamps or wet at the end of the session, or what goes home so after the last.

        What holds no clamps and no place of the shop while it waits goes home wet.
        """
        waiting = [
            visit
            for visit in self.visits
            if visit.cured > self.end and home == (self._is_last() and not self.work.share(visit.operation).step.holds)
        ]
        if not waiting:
            return ""
        steps = {
            self.work.share(visit.operation).step.number: self.work.share(visit.operation).step for visit in waiting
        }
        told = []
        for number in sorted(steps):
            makers = numbers_in_words(v.maker for v in waiting if self.work.share(v.operation).step is steps[number])
            ends = max(visit.cured for visit in waiting if self.work.share(visit.operation).step is steps[number])
            until = f"{self.table.grid.moment(ends):%a %H:%M}"
            waits = steps[number].time.wait_for or "waiting"
            told.append(f"step {number}, {unit_of(self.one)}s {makers}: {waits} until {until}")
        return "; ".join(told)
