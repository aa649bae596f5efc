"""What a class took the last time: measured minutes and spoiled parts, from which the next times and spares come.

Of the minutes of a step the median counts; how unlike students are is the middle of what the steps show. Parts are
kept ready in the share in which they were spoiled, rounded up. Both rules are planbook's own.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from statistics import median
from typing import TYPE_CHECKING

from planbook.plan.model import Plan
from planbook.source.diagnostics import Findings
from planbook.source.nearest import did_you_mean

if TYPE_CHECKING:
    from planbook.source.schema.classes import NotesSource, StepNotesSource
    from planbook.source.text import Text

_MINUTES = re.compile(r"[0-9]{1,4}(?:\.[0-9])?$")
_COUNT = re.compile(r"[0-9]{1,3}$")
ENOUGH = 4
"""Fewest students of a step whose minutes tell how far the quickest and the slowest lie apart."""


@dataclass(frozen=True, slots=True)
class Notes:
    """Notes after a class, ready to be reckoned with."""

    written: str
    """Day, as it is written."""
    makers: int
    minutes: tuple[tuple[str, Fraction], ...]
    """By slug of a step: the median of its minutes."""
    quickest: Fraction | None
    slowest: Fraction | None
    """In times of the median; None where too few minutes were written down."""
    spoiled: tuple[tuple[str, int], ...]
    """Parts with how many, all steps together."""
    ran_out: tuple[str, ...]
    remarks: tuple[str, ...]

    def measured(self, slug: str) -> Fraction | None:
        """Return the median minutes of a step, None where none were written down."""
        return dict(self.minutes).get(slug)

    def spares(self, makers: int) -> dict[str, int]:
        """Return how many of each part to keep ready for so many makers."""
        return {part: -(-count * makers // self.makers) for part, count in self.spoiled}


def read_notes(source: NotesSource, plan: Plan, findings: Findings) -> Notes | None:
    """Return the notes of a class; None, with every fault recorded, where they cannot be."""
    own = Findings()
    by_title = {step.title.casefold(): step for step in plan.steps}
    minutes: dict[str, list[Fraction]] = {}
    spoiled: dict[str, int] = {}
    for title, facts in source.steps.items():
        step = by_title.get(" ".join(title.split()).casefold())
        if step is None:
            own.stop(
                "no-such-step",
                f"`{plan.title}` has no step `{title}`",
                title.span,
                help=did_you_mean(title, [step.title for step in plan.steps]) or "write its title as in `steps.md`",
            )
            continue
        taken = [value for text in facts.minutes if (value := _minutes(text, own)) is not None]
        if taken:
            minutes[step.slug] = taken
        for part, count in _spoiled(facts, plan, own).items():
            spoiled[part] = spoiled.get(part, 0) + count
    made = Notes(
        written=_day(source.written, own),
        makers=_count(source.makers, "makers", own, least=1),
        minutes=tuple((slug, Fraction(median(taken))) for slug, taken in minutes.items()),
        quickest=_spread(minutes, min),
        slowest=_spread(minutes, max),
        spoiled=tuple(spoiled.items()),
        ran_out=tuple(" ".join(text.split()) for text in source.ran_out),
        remarks=tuple(" ".join(text.split()) for text in source.remarks),
    )
    findings.extend(own)
    return None if own.stopped else made


def _spread(minutes: Mapping[str, list[Fraction]], end: Callable[[list[Fraction]], Fraction]) -> Fraction | None:
    found = [end(taken) / Fraction(median(taken)) for taken in minutes.values() if len(taken) >= ENOUGH]
    return Fraction(median(found)).limit_denominator(20) if found else None


def _spoiled(facts: StepNotesSource, plan: Plan, findings: Findings) -> dict[str, int]:
    known = [part.key for part in plan.parts]
    for name in facts.spoiled:
        if str(name) not in known:
            findings.stop(
                "unknown-name", f"`{plan.title}` has no part `{name}`", name.span, help=did_you_mean(name, known)
            )
    return {str(name): _count(count, str(name), findings, least=0) for name, count in facts.spoiled.items()}


def _minutes(text: Text, findings: Findings) -> Fraction | None:
    value = Fraction(text.strip()) if _MINUTES.match(text.strip()) else Fraction(0)
    if value <= 0:
        findings.stop(
            "wrong-minutes", f"`{text}` is no number of minutes", text.span, help="minutes: [14, 11, 19], one for each"
        )
        return None
    return value


def _count(text: Text, word: str, findings: Findings, *, least: int) -> int:
    value = int(text) if _COUNT.match(text.strip()) else -1
    if value < least:
        findings.stop(
            "wrong-count",
            f"`{word}` is `{text}`, not a whole number from {least} to 999",
            text.span,
            help=f"{word}: {max(1, least)}",
        )
        return 1
    return value


def day_of(text: str) -> datetime.date:
    """Return a day to work on. Raises `ValueError` where it is none, and outside the years 1970 to 2199.

    Clocks and calendar files reckon with the weeks round it, which must be there, too.
    """
    day = datetime.date.fromisoformat(text)
    if not 1970 <= day.year < 2200:
        raise ValueError(text)
    return day


def _day(text: Text, findings: Findings) -> str:
    try:
        return day_of(text.strip()).isoformat()
    except ValueError:
        findings.stop("wrong-date", f"`{text}` is no day of the calendar", text.span, help="written: 2026-10-21")
        return str(text)


def blank_notes(plan: Plan, title: str, makers: int, steps: tuple[str, ...]) -> bytes:
    """Return a file of notes to fill in: a line for each of the class's steps, by their slugs, all commented out."""
    lines = [
        f"# Notes after the class `{title}`. Fill them in, take the marks away, and put the file beside the class.",
        "# minutes: what each one worked at the step, one number for each; talk, queue and drying left out.",
        "written: # the day, as 2026-10-21",
        f"makers: {makers}",
        "steps:",
    ]
    lines += [f"  # {step.title}: {{minutes: [], spoiled: {{}}}}" for step in plan.steps if step.slug in steps]
    lines += ["# ran out: []", "# remarks: []"]
    return ("\n".join(lines) + "\n").encode()
