"""The timetable of a class, solved and counted through; what does not fit is told with the smallest preparation."""

from __future__ import annotations

from dataclasses import dataclass

from planbook.publish.book_info import BookInfo
from planbook.publish.cache import Store, program
from planbook.publish.class_facts import Class, timing_slug
from planbook.publish.class_work import ClassWork, by_longest_way, class_work
from planbook.publish.sheet_runs import joined
from planbook.source.diagnostics import Findings, Span
from planbook.timing.class_table import Outcome, class_timetable
from planbook.timing.faults import TimingError
from planbook.timing.timetable import Timetable

FITS = b"fits"
"""Kept in the store of a class that was found to fit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """A class with its work and its timetable."""

    one: Class
    work: ClassWork
    table: Timetable
    proven: bool
    model: str

    @property
    def slugs(self) -> tuple[str, ...]:
        """Return the steps that are done in class, in its order."""
        made = (share.step.slug for share in self.work.shares if share.step.slug not in self.one.prepared)
        return tuple(dict.fromkeys(made))


def solve_class(one: Class, book: BookInfo, findings: Findings) -> Solved | None:
    """Return the timetable of a class; None, with a finding, where its steps do not fit into its sessions.

    A timetable is played back as persons and counted through before it is handed on.
    """
    from planbook.timing.clashes import clashes

    work = class_work(one, book)
    if all(operation.prepared for operation in work.lesson.operations):
        findings.stop(
            "no-step", "no step of the plan is left for the class", one.span, help="take one out of `prepared`"
        )
        return None
    try:
        work, outcome = _better(work)
        if outcome.table is None:
            _told(one, work, outcome, findings)
            return None
    except TimingError as fault:
        findings.stop(timing_slug(fault), fault.message, _where(one, work, fault), help=fault.help or None)
        return None
    wrong = clashes(outcome.table)
    if wrong:
        raise AssertionError(f"the timetable of {one.slug} cannot be lived: {wrong[0]}")
    if not outcome.proven:
        findings.note(
            "not-proven", f"the timetable holds, but a shorter one may exist ({outcome.model})", one.where("sessions")
        )
    return Solved(one=one, work=work, table=outcome.table, proven=outcome.proven, model=outcome.model)


def answer_key(work: ClassWork) -> str:
    """Return under which key of the store it is kept whether a class fits."""
    return f"{program()} {work.lesson!r}"


def tell_fit(one: Class, book: BookInfo, findings: Findings, store: Store) -> None:
    """Tell in a hurry whether a class fits; what only the whole search tells is told if an earlier run made it.

    That search is made when the class is published or printed; nothing is kept here.
    """
    from planbook.timing.fits import fits

    work = class_work(one, book)
    if all(operation.prepared for operation in work.lesson.operations):
        return
    kept = store.get("timetables", answer_key(work))
    if kept == FITS:
        return
    try:
        asked = {each.shares: each for each in (work, by_longest_way(work))}.values()
        answers = [fits(each.lesson) for each in asked]
        if any(answers) or (None in answers and kept is None):
            return
        outcome = Outcome(table=None, proven=True, model="one order of steps for all")
        _told(one, list(asked)[-1], outcome, findings, most=1)
    except TimingError as fault:
        findings.stop(timing_slug(fault), fault.message, _where(one, work, fault), help=fault.help or None)


def _better(work: ClassWork) -> tuple[ClassWork, Outcome]:
    """Return the timetable in the order of the plan, or in that by the longest way where this one ends earlier."""
    from planbook.timing.class_table import no_earlier_than

    outcome = _timetable(work)
    other = by_longest_way(work)
    if other.shares == work.shares:
        return work, outcome
    least = no_earlier_than(other.lesson)
    if least is None or (outcome.table is not None and least >= outcome.table.end):
        return work, outcome
    found = _timetable(other)
    if outcome.table is None or (found.table is not None and found.table.end < outcome.table.end):
        return other, found
    return work, outcome


def _timetable(work: ClassWork) -> Outcome:
    try:
        return class_timetable(work.lesson)
    except TimingError as fault:
        if fault.slug != "settings-cross":
            raise
        # Two orders of the steps would want one station in two settings: everybody keeps the one order.
        return class_timetable(work.lesson, two_tracks=False)


def _told(one: Class, work: ClassWork, outcome: Outcome, findings: Findings, *, most: int = 3) -> None:
    """Say that a class does not fit, and what the teacher can prepare so that it does."""
    from planbook.timing.preparation import preparations

    ways = preparations(work.lesson, count=most)
    sure = "do not fit" if outcome.proven else "were not fitted"
    told = []
    for way in ways:
        steps = list(dict.fromkeys(work.share(key).step for key in way.operations))
        told.append(f"{joined(f'`{step.title}`' for step in steps)} ({way.minutes} min of the teacher's)")
    kept = [step.title for step in one.plan.steps if step.slug in one.prepared]
    first = [work.share(key).step.title for key in ways[0].operations] if ways else []
    help = (
        f"prepared: [{', '.join(dict.fromkeys([*kept, *first]))}]" if ways else "add a session, or leave steps for home"
    )
    findings.warn(
        "does-not-fit",
        f"the steps of `{one.title}` {sure} into its {len(one.sessions)} sessions for the slowest quarter of "
        f"{one.students} students; "
        + (f"it fits with prepared: {'; or '.join(told)}" if told else "no preparation helps"),
        one.where("sessions"),
        help=help,
        rule=outcome.model,
    )


def _where(one: Class, work: ClassWork, fault: TimingError) -> Span:
    """Return the step that a fault names, else the class."""
    named = next((share.step for share in work.shares if f"`{share.key}`" in fault.message), None)
    return named.span if named is not None else one.span
