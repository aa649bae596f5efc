"""Running text and spoken amounts, as plain data."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from planbook.plan.model import Line, Plan, Step
from planbook.units.editions import Edition, nearest_step
from planbook.units.write import write_length

Runs = list[dict[str, Any]]
"""Stretches of text: `k` kind, `s` characters, `to` target or None."""

NIGHT = Fraction(8 * 60)
"""A wait from eight hours on is a night for a workshop; our own choice."""
_HALF = "\u00bd"


def run(kind: str, text: str, target: str | None = None) -> dict[str, Any]:
    """Return one stretch of text."""
    return {"k": kind, "s": text, "to": target}


def runs(line: Line) -> Runs:
    """Return a line of running text as plain data."""
    return [run(piece.kind.value, str(piece.text), piece.target) for piece in line]


def all_runs(lines: Iterable[Line]) -> list[Runs]:
    """Return several lines of running text."""
    return [runs(line) for line in lines]


def plain(stretch: Runs) -> str:
    """Return the characters of running text alone."""
    return "".join(" " if piece["k"] == "break" else piece["s"] for piece in stretch)


def size(mm: Fraction, edition: Edition) -> str:
    """Return a size as it stands alone: with the inch mark, and without `mm` in the metric edition."""
    return write_length(mm, edition, mark=edition.name == "imperial")


def number(mm: Fraction, edition: Edition) -> str:
    """Return a size for a table whose head names the unit."""
    return write_length(mm, edition, mark=False)


def hours(minutes: Fraction) -> str:
    """Return a time rounded to half hours, in words: `1½ hours`; below a quarter of an hour in minutes."""
    if minutes < 15:
        return counted(int(nearest_step(minutes, Fraction(1))), "minute")
    halves = int(max(nearest_step(minutes, Fraction(30)), Fraction(30)) / 30)
    whole, half = divmod(halves, 2)
    text = f"{whole or ''}{_HALF if half else ''}"
    return f"{text} hour" if halves <= 2 else f"{text} hours"


def bench_minutes(minutes: Fraction) -> str:
    """Return hands-on time in words: to the minute up to 10, to 5 minutes up to 90, then to half hours."""
    whole = int(max(nearest_step(minutes, Fraction(1) if minutes <= 10 else Fraction(5)), Fraction(1)))
    return f"about {hours(minutes)}" if whole > 90 or whole in (60, 90) else f"about {counted(whole, 'minute')}"


def waiting_minutes(minutes: Fraction) -> str:
    """Return a wait in words: `1 hour`, `1 h 30 min` as `1½ hours`, from eight hours on `overnight` or days."""
    if minutes < 60:
        return counted(int(nearest_step(minutes, Fraction(1))), "minute")
    if minutes < NIGHT:
        return hours(minutes)
    return "overnight" if minutes < 24 * 60 else counted(-int(-minutes // (24 * 60)), "day")


def waiting_in_all(plan: Plan) -> str:
    """Return the waiting of a plan: nights and days counted, shorter waits added up; empty without any."""
    waits = [step.time.wait for step in plan.steps if step.time.wait]
    days = sum(-int(-wait // (24 * 60)) for wait in waits if wait >= 24 * 60)
    nights = sum(1 for wait in waits if NIGHT <= wait < 24 * 60)
    short = sum((wait for wait in waits if wait < NIGHT), Fraction(0))
    parts = [counted(days, "day")] if days else []
    parts += [counted(nights, "night")] if nights else []
    parts += [hours(short)] if short else []
    return joined(parts)


def counted(count: int, noun: str) -> str:
    """Return a number with its noun: `1 hour`, `3 hours`."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def joined(parts: Iterable[str]) -> str:
    """Return a list in a sentence: `a`, `a and b`, `a, b and c`."""
    items = list(parts)
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"


def step_target(step: Step) -> str:
    """Return the target of a link to a step."""
    return f"step:{step.slug}"
