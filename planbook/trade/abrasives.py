"""Abrasive papers: grades of the P scale, and steps from one to the next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
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


def too_wide_steps(grades: Sequence[str]) -> tuple[tuple[Abrasive, Abrasive], ...]:
    """Return the steps of a sanding sequence that skip too much: scratches of the coarse grade stay.

    Wider than 1.7 in the number of the grade, common practice, no source.
    """
    rows = [find_abrasive(grade) for grade in grades]
    most = table("abrasives")["steps"]["most_ratio"]
    return tuple((a, b) for a, b in pairwise(rows) if b.number > most * a.number)
