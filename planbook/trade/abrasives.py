"""Abrasive papers: grades of the P scale, and steps from one to the next."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import pairwise

from planbook.trade.lookup import exact, find, key, table
from planbook.trade.sourced import Figure


@dataclass(frozen=True, slots=True)
class Abrasive:
    """One grade of paper."""

    grade: str
    number: int
    grain_um: Figure
    """Mean grain in micrometres."""
    use: str


@cache
def abrasives() -> tuple[Abrasive, ...]:
    """Return the grades, coarse to fine."""
    data = table("abrasives")
    return tuple(
        Abrasive(
            row["grade"],
            int(row["grade"][1:]),
            Figure(exact(row["um"]), data["source"], row.get("status", data["status"])),
            row["for"],
        )
        for row in data["rows"]
    )


def find_abrasive(grade: str) -> Abrasive:
    """Return a grade such as `P120` or `120`; raises `TradeError` with the nearest."""
    rows = {key(name): row for row in abrasives() for name in (row.grade, str(row.number))}
    return find(grade, rows, "unknown-grade", "grade of abrasive", (row.grade for row in abrasives()))


_GRADE = re.compile(r"\b(?:P ?)?([0-9]{2,4})\b")
_SPAN = re.compile(r"\b(?:P ?)?([0-9]{2,4})\s*(?:to|-|–)\s*(?:P ?)?([0-9]{2,4})\b")


def grades_named(text: str) -> tuple[Abrasive, ...]:
    """Return the grades that words name, coarse to fine: `120 and 180 grit`; of `80 to 220` all that sanding takes.

    Between the ends no step is wider than `too_wide_steps` allows, and as few grades are taken as that leaves.
    """
    known = {row.number: row for row in abrasives()}
    ends = [(int(a), int(b)) for a, b in _SPAN.findall(text)]
    wanted = {int(number) for number in _GRADE.findall(text)} & set(known)
    for first, last in ends:
        here = first
        while here in known and here < last:
            reach = [number for number in known if here < number <= last and number <= _most_ratio() * here]
            here = max(reach, default=last)
            wanted.add(here)
    return tuple(known[number] for number in sorted(wanted & set(known)))


def sheets_of_grade(area_mm2: Fraction) -> int:
    """Return how many sheets of each grade an area takes, at least one (common practice, no source)."""
    return max(1, -int(-area_mm2 // (exact(table("abrasives")["lasts"]["m2"]) * 10**6)))


def _most_ratio() -> float:
    return float(table("abrasives")["steps"]["most_ratio"])


def too_wide_steps(grades: Sequence[str]) -> tuple[tuple[Abrasive, Abrasive], ...]:
    """Return the steps of a sanding sequence that skip too much: scratches of the coarse grade stay.

    Wider than 1.7 in the number of the grade, common practice, no source.
    """
    rows = [find_abrasive(grade) for grade in grades]
    most = _most_ratio()
    return tuple((a, b) for a, b in pairwise(rows) if b.number > most * a.number)
