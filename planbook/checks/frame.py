"""The whole frame: whether it can rack, and whether a body fits to it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from planbook.checks.outcome import Outcome, judged
from planbook.checks.spaces import Standing, standing
from planbook.checks.strength import persons
from planbook.checks.subject import PRACTICE, Subject
from planbook.plan.model import Joint, Role
from planbook.source.diagnostics import Severity
from planbook.units.factors import INCH

TALL_MM = {"imperial": 2 * INCH, "metric": Fraction(50)}
"""Least height of a rail that keeps a frame square (our own choice)."""
STIFF = ("mortise", "half lap")
"""Joints that hold an angle by themselves."""
SEATS = {
    "imperial": tuple((low * INCH, most * INCH) for low, most in ((16, 19), (23, 27), (28, 32))),
    "metric": tuple((Fraction(low), Fraction(most)) for low, most in ((400, 480), (580, 690), (710, 810))),
}
AT = ("a chair or bench", "a counter", "a bar")
SEAT_RULE = (
    "common practice, no source: seats 16 to 19 in (400 to 480 mm), at a counter 23 to 27 in, at a bar 28 to 32 in"
)
KNEE_MM = {"imperial": 24 * INCH, "metric": Fraction(610)}
KNEE_RULE = "common practice, no source: 24 in (610 mm) for knees below a table"
_NO_SEAT = re.compile(r"\bstand(?:s|ing)?\b|\bl(?:ies|ying)\b|\bkneel|\bsteps?\b|\bladder\b|\bbed\b|\bfootstool\b")
_TABLE = re.compile(r"\b(?:desk|dining table|kitchen table|writing table|study table)\b")
_REACH = 10 * INCH
"""A sitter's knees: so far to both sides of the middle, and back from the front edge (our own choice)."""


def racks(subject: Subject) -> Iterator[Outcome]:
    """Look what keeps upright boards and posts square: a back, a rail on edge, a brace, a joint that holds an angle."""
    everything = [one for one in standing(subject.plan) if one.part.role is Role.PART]
    uprights = [one for one in everything if _upright(one)]
    if len(uprights) < 2:
        return
    keys = {one.part.key for one in uprights}
    joints = [joint for joint in subject.plan.joints if _between(joint, keys)]
    if not joints:
        return
    for axis, plane in (("x", "from side to side"), ("y", "from front to back")):
        if not _apart(uprights, "xyz".index(axis)) or all(one.placement.axes[2][1] != axis for one in uprights):
            continue  # boards that lie in this plane are stiff in it
        by = _stiffened(subject, joints, keys, everything, axis)
        names = " and ".join(f"`{key}`" for key in sorted(keys))
        yield judged(
            "racks",
            f"{names.replace('`', '')}, {plane}",
            figure=f"kept square by {by}" if by else "nothing but shelves between them",
            limit="a back, a rail on edge, a brace or a stiff joint",
            rule=PRACTICE,
            wrong=f"nothing keeps {names} square {plane}: the piece leans over and its joints work loose"
            if not by
            else "",
            span=joints[0].span,
            help="add a back, a rail below the top, or a brace",
        )


def _upright(one: Standing) -> bool:
    """Whether a part stands on the floor and is longest upward; one that leans braces by itself."""
    return one.placement.turn is None and one.placement.axes[0][1] == "z" and one.around[2][0] <= 1


def _between(joint: Joint, keys: set[str]) -> bool:
    members = {*joint.receiving, *joint.entering}
    return bool(members & keys) and bool(members - keys)


def _apart(uprights: list[Standing], axis: int) -> bool:
    return len({one.around[axis] for one in uprights}) > 1


def _stiffened(subject: Subject, joints: list[Joint], keys: set[str], everything: list[Standing], axis: str) -> str:
    """Return what keeps the uprights square along an axis, or nothing."""
    least = TALL_MM[subject.plan.edition.name]
    flat = "y" if axis == "x" else "x"
    for joint in joints:
        others = {*joint.receiving, *joint.entering} - keys
        if joint.kind in STIFF:
            return f"`{joint.name}`"
        for one in everything:
            if one.part.key not in others:
                continue
            if one.placement.turn is not None:
                return f"`{one.part.key}`"
            high = one.around[2][1] - one.around[2][0]
            if one.placement.axes[2][1] == flat and high >= least:
                return f"`{one.part.key}`"
    return ""


def body_fit(subject: Subject) -> Iterator[Outcome]:
    """Compare the height of seats, and the room for knees below a table, with what fits most people."""
    edition = subject.plan.edition
    for name, text in subject.plan.loads:
        one = next((item for item in standing(subject.plan) if item.part.key == name), None)
        if one is None or not persons(text) or _NO_SEAT.search(f"{subject.plan.title} {name} {text}".casefold()):
            continue
        high = one.around[2][1]
        ranges = SEATS[edition.name]
        kind = next((told for (low, most), told in zip(ranges, AT, strict=True) if low <= high <= most), "")
        usual = f"{subject.shown(ranges[0][0])} to {subject.shown(ranges[0][1])}"
        yield judged(
            "body-fit",
            name,
            figure=f"{subject.shown(high)} high" + (f", as at {kind}" if kind else ""),
            limit=f"{usual} for a chair or bench",
            rule=SEAT_RULE,
            wrong=f"`{name}` is {subject.shown(high)} high, seats have {usual}, more only at a counter or a bar"
            if not kind
            else "",
            span=subject.load_span(name),
            help="change the height, or say for whom it is meant: `accept: {body-fit: a seat for small children}`",
            severity=Severity.NOTE,
        )
    yield from _knees(subject)


def _knees(subject: Subject) -> Iterator[Outcome]:
    plan = subject.plan
    if _TABLE.search(plan.title.casefold()) is None:
        return
    found = standing(plan)
    if not found:
        return
    left, right = min(one.around[0][0] for one in found), max(one.around[0][1] for one in found)
    front, middle = min(one.around[1][0] for one in found), (left + right) / 2
    over = [
        one
        for one in found
        if one.around[0][0] < middle + _REACH
        and one.around[0][1] > middle - _REACH
        and one.around[1][0] < front + _REACH
    ]
    lowest = min(over, key=lambda one: one.around[2][0], default=None)
    if lowest is None:
        return
    clear, least = lowest.around[2][0], KNEE_MM[plan.edition.name]
    yield judged(
        "body-fit",
        "room for knees",
        figure=f"{subject.shown(clear)} below `{lowest.part.key}`",
        limit=f"at least {subject.shown(least)}",
        rule=KNEE_RULE,
        wrong=f"knees have {subject.shown(clear)} below `{lowest.part.key}`, {subject.shown(least)} is the least"
        if clear < least
        else "",
        span=lowest.part.span,
        help="make the rail less tall, set it back, or the table higher",
    )
