"""Bolts through the holes of a bought part: whether the holes in the wood lie within the play of theirs.

The holes of a bought part are as they are; those in the wood are rounded to sizes that a tape shows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from planbook.checks.axes import FINE, in_assembly
from planbook.checks.outcome import Outcome
from planbook.checks.subject import Subject, finely_shown
from planbook.plan.drilling import inward, side_of
from planbook.plan.model import Hole, Joint, Placement
from planbook.plan.shapes import Vector
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.trade.lookup import TradeError

RULE = "exact (geometry)"


class Spot(NamedTuple):
    """A hole where it stands in the finished piece."""

    hole: Hole
    at: Vector
    way: Vector
    along: Vector
    """Which way a slot runs."""


def bolt_misses(subject: Subject) -> Iterator[Outcome]:
    """Reckon how far the holes in the wood are from those of the bought part, and the play of the bolt there."""
    from planbook.trade.fasteners import find_fastener

    for joint in subject.plan.joints:
        if joint.kind != "bolts" or not joint.by:
            continue
        wood = [spot for key in joint.receiving for spot in _spots(subject, key, joint.name)]
        bought = [spot for key in joint.entering for spot in _spots(subject, key, f"{key} holes")]
        if not wood or not bought:
            continue
        try:
            shank = float(find_fastener(joint.by[0]).shank.value)
        except TradeError as fault:
            yield Outcome(of=joint.name, missing=fault.message)
            continue
        off, play = max((_nearest(spot, bought, shank) for spot in wood), key=lambda found: found[0] - found[1])
        yield _outcome(subject, joint, off, play)


def _spots(subject: Subject, key: str, group: str) -> Iterator[Spot]:
    part = subject.plan.part(key)
    for placement in subject.plan.placements:
        if placement.part == key:
            for hole in part.holes:
                if hole.group == group and hole.hand in ("", placement.hand):
                    yield _spot(placement, hole, float(part.thick))


def _spot(placement: Placement, hole: Hole, thick: float) -> Spot:
    entry = float(hole.t) if hole.t is not None else (thick if hole.from_show else 0.0)
    at, way = in_assembly(placement, (float(hole.l), float(hole.w), entry), hole.axis or inward(side_of(hole)))
    _, along = in_assembly(placement, (0.0, 0.0, 0.0), hole.slot_way or (1.0, 0.0, 0.0))
    return Spot(hole, at, way, along)


def _nearest(wood: Spot, bought: Sequence[Spot], shank: float) -> tuple[float, float]:
    """Return how far a hole is from the nearest one of the bought part, and the play there, in mm.

    Along a slot, what is beyond its own play counts as off.
    """
    found = [_off(wood, other, shank) for other in bought]
    return min(found, key=lambda pair: pair[0] - pair[1])


def _off(wood: Spot, other: Spot, shank: float) -> tuple[float, float]:
    away = [b - a for a, b in zip(wood.at, other.at, strict=True)]
    deep = sum(a * b for a, b in zip(away, wood.way, strict=True))
    flat = [a - deep * b for a, b in zip(away, wood.way, strict=True)]
    run = sum(a * b for a, b in zip(flat, other.along, strict=True))
    aside = math.sqrt(max(0.0, sum(a * a for a in flat) - run * run))
    hole = other.hole
    beyond = max(0.0, abs(run) - float(max(hole.slot - hole.diameter, Fraction(0))) / 2)
    return math.hypot(aside, beyond), (float(hole.diameter) - shank) / 2


def _outcome(subject: Subject, joint: Joint, off: float, play: float) -> Outcome:
    shown = [finely_shown(Fraction(round(mm * 1000), 1000), subject.plan.edition) for mm in (off, play)]
    problem = None
    if off > play + FINE:
        problem = Diagnostic(
            "bolt-misses",
            Severity.WARN,
            f"a hole of `{joint.name}` in the wood is {shown[0]} from that of `{', '.join(joint.entering)}`, "
            f"its bolt has {shown[1]} of play",
            joint.span,
            help="use a thinner bolt, or sizes for the bought part that the edition's rounding leaves as they are",
            rule=RULE,
        )
    return Outcome(of=joint.name, figure=f"{shown[0]} off", limit=f"{shown[1]} of play", rule=RULE, problem=problem)
