"""Where the fasteners of a joint stand along it: as the author says, else by common practice."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from planbook.plan import joints, reach, values
from planbook.plan.draft import Draft
from planbook.plan.jigs import near
from planbook.plan.meeting import Meeting, chord, dot, lines
from planbook.plan.shapes import Vector
from planbook.source.schema.joints import DrivenSource
from planbook.units.editions import snap
from planbook.units.factors import INCH

INSET = {"imperial": INCH * 3 / 2, "metric": Fraction(40)}
"""From the ends of a joint to the first and last fastener, where it is long enough, mm."""
APART = {"imperial": INCH * 8, "metric": Fraction(200)}
"""Most between two fasteners where the author gives no number, mm."""
ONE = {"imperial": INCH, "metric": Fraction(25)}
"""A joint no longer than this gets one fastener, mm. All three: common practice, no source."""
MOST = 200
"""Most fasteners at one meeting: more is a slip in `every`."""


def silent(source: DrivenSource) -> bool:
    """Whether the author leaves the number of fasteners to common practice."""
    return source.each is None and source.every is None and not source.at


def spots(draft: Draft, name: str, source: DrivenSource, meeting: Meeting) -> Iterator[tuple[Vector, float]]:
    """Give where the axes of the fasteners cross the plane of a meeting, and how wide the joint is there, in mm."""
    along, over = lines(meeting)
    ends = [dot(along, corner) for corner in meeting.area]
    low, high = min(ends), max(ends)
    base = dot(meeting.normal, meeting.area[0])
    for place in _places(draft, name, source, (along, low, high), meeting):
        at = low + float(place)
        first, last = chord(meeting, along, over, at)
        x, y, z = (
            along[axis] * at + over[axis] * (first + last) / 2 + meeting.normal[axis] * base for axis in range(3)
        )
        yield (x, y, z), last - first


def _places(
    draft: Draft, name: str, source: DrivenSource, line: tuple[Vector, float, float], meeting: Meeting
) -> list[Fraction]:
    """Return the places along the joint, from its left, front or lower end, in mm, rounded."""
    _, low, high = line
    long = near(high - low)
    if source.at:
        return [_stated(draft, name, value, line, meeting) for value in source.at]
    if long <= 0:
        return []
    edition = draft.edition
    usual = min(INSET[edition.name], long / 4)
    inset = (
        snap(values.size(draft, source.inset, "joinery", word="inset"), edition)
        if source.inset
        else snap(usual, edition)
    )
    key = joints.key_of(draft, name)
    if 2 * inset > long:
        raise draft.fail(
            "no-holes",
            f"the ends of `{name}` are {values.shown(draft, long)} apart, twice its `inset` is more",
            key.span,
            help="make the inset smaller",
        )
    number, every = _number(draft, source, long, inset)
    if number > MOST:
        raise draft.fail("too-many-holes", f"`{name}` has {number} fasteners in a row, {MOST} is the most", key.span)
    if number == 1:
        return [long / 2]
    if every is None:
        return [snap(inset + (long - 2 * inset) * k / (number - 1), edition) for k in range(number)]
    start = inset if source.inset else (long - every * (number - 1)) / 2
    return [snap(start + every * k, edition) for k in range(number)]


def _number(draft: Draft, source: DrivenSource, long: Fraction, inset: Fraction) -> tuple[int, Fraction | None]:
    """Return how many fasteners stand in a row, and their spacing where the author gives one."""
    if source.each is not None:
        return values.count(draft, source.each, 1, word="each"), None
    if source.every is not None:
        every = snap(values.size(draft, source.every, "part", word="every"), draft.edition)
        return int((long - 2 * inset) / every) + 1, every
    if long <= ONE[draft.edition.name]:
        return 1, None
    return max(2, math.ceil((long - 2 * inset) / APART[draft.edition.name]) + 1), None


def _stated(
    draft: Draft, name: str, value: values.Value, line: tuple[Vector, float, float], meeting: Meeting
) -> Fraction:
    """Return a place of `at`: from an end of the joint, or where a named part tells it."""
    along, low, high = line
    written = values.place(draft, value)
    axis = "xyz"[max(range(3), key=lambda k: abs(along[k]))]
    reference, found = written.place.reference, None
    if reference is not None and reference.thing is None and written.place.offset is not None:
        away = values.worth(draft, written.place.offset, written.text, "joinery")
        if reference.feature in reach.LOW[axis]:
            found = away
        elif reference.feature in (*reach.HIGH[axis], "end"):
            found = near(high - low) - away
    if found is None:
        if max(abs(part) for part in along) < 1 - 1e-9:
            raise draft.fail(
                "wrong-direction",
                f"`{written.text}` is no place along `{name}`, which slants",
                written.text.span,
                help="give `each:` or `every:` with `inset:`",
            )
        own = meeting.one.part.key
        found = reach.point(draft, written, axis, own=own, grid="joinery", hosted=False) - near(low)
    if not 0 < found < near(high - low):
        raise draft.fail(
            "hole-outside",
            f"`{written.text}` is {values.shown(draft, found)} from the end of `{name}`, which is "
            f"{values.shown(draft, near(high - low))} long",
            written.text.span,
            help="look where the place is measured from",
        )
    return snap(found, draft.edition)
