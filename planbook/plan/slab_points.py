"""Outlines by points on a slab: lines of two sizes, along from the left end and across from the chalk line."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise

from planbook.plan import curves, values
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.surveys import Survey
from planbook.source.text import Text

Spot = tuple[Fraction, Fraction]


def columns_of(line: str) -> list[str]:
    """Return the columns of a line: two blanks, a bar or a tab stand between them."""
    return [column for column in re.split(r"\s{2,}|\s*\|\s*|\t", line.strip()) if column]


def points(draft: Draft, text: Text, word: str) -> tuple[Spot, ...]:
    """Return the points of an outline, in mm, exact; raises `Unresolved` for a line that is no point, or too few."""
    from planbook.plan.slabs import measured

    found: list[Spot] = []
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip():
            continue
        columns = columns_of(line)
        if len(columns) != 2:
            raise draft.fail(
                "survey-row",
                f"line {number} of `{word}` has {len(columns)} columns, two are wanted: `{line.strip()}`",
                text.span,
                help="write along and across from the chalk line, with two blanks between them",
            )
        across = columns[1]
        back = -1 if across.startswith(("-", "−")) else 1
        along, side = (measured(draft, Text(column.lstrip("-−"), text.span), word) for column in (columns[0], across))
        found.append((along, back * side))
    if len(found) < 3:
        raise draft.fail("no-size", f"`{word}` has {len(found)} points, three are the least", text.span)
    _check_round(draft, text, found, word)
    return tuple(found)


def _check_round(draft: Draft, text: Text, found: list[Spot], word: str) -> None:
    crossing = curves.crossing([(float(x), float(y)) for x, y in found])
    if crossing is not None:
        at = values.shown(draft, Fraction(crossing[0][0]))
        raise draft.fail(
            "outline-crossed",
            f"`{word}` crosses itself about {at} from the left end",
            text.span,
            help="write its points in the order in which you meet them going round",
        )


def as_survey(draft: Draft, text: Text, key: Text) -> Survey:
    """Return an outline as a survey: a station at every point, edges straight between them."""
    spots = points(draft, text, f"outline of {key}")
    twice = sum((a[0] * b[1] - b[0] * a[1] for a, b in zip(spots, (*spots[1:], spots[0]), strict=True)), Fraction(0))
    ring = list(spots if twice > 0 else reversed(spots))  # anticlockwise: the front edge runs from left to right
    low, high = min(x for x, _ in ring), max(x for x, _ in ring)
    first = min((y, n) for n, (x, y) in enumerate(ring) if x == low)[1]
    ring = ring[first:] + ring[:first]
    last = min((y, n) for n, (x, y) in enumerate(ring) if x == high)[1]
    front, back = ring[: last + 1], [*ring[last:], ring[0]]
    if back[1][0] == high:
        back = back[1:]  # the right end runs straight across
    if back[-2][0] == low:
        back = back[:-1]
    back.reverse()
    for edge in (front, back):
        if any(after[0] <= before[0] for before, after in pairwise(edge)):
            raise draft.fail(
                "survey-order",
                f"an edge of `{key}` turns back on itself, so that no width belongs to each place",
                text.span,
                help="leave out the points in the bay, or survey the slab by widths from a chalk line",
            )
    along = sorted({x for x, _ in (*front, *back)})
    return Survey(tuple(along), tuple(-_at(front, x) for x in along), tuple(_at(back, x) for x in along))


def _at(edge: list[Spot], x: Fraction) -> Fraction:
    for (x0, y0), (x1, y1) in pairwise(edge):
        if x0 <= x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    raise Unresolved(str(x))
