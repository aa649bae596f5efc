"""Holes of a plan's parts on the sheet they are cut from, for machines that bore as they cut.

A piece lies with that face up into which most of its holes go; holes of the other face are left out, unless they
go through. What stands on the sheet is the piece without its edgings. A piece that is trimmed or fitted later
gets no holes there: they are measured from an edge that does not exist yet.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from planbook.cutting.diagram import Lying
from planbook.plan.drilling import Side, side_of
from planbook.plan.model import Hole, Life, Part, Plan

Drill = tuple[Fraction, Fraction, Fraction]
"""Along and across from the corner of the lying piece, diameter; mm."""


def drills_of(plan: Plan) -> Callable[[Lying], tuple[Drill, ...]]:
    """Return what gives the holes of a lying piece, seen from above with the length of the sheet to the right."""
    return lambda lying: _drills(plan, lying)


def _drills(plan: Plan, lying: Lying) -> tuple[Drill, ...]:
    part = plan.part(lying.wanted.part)
    if any(size.life is not Life.NOW for size in (part.length, part.width)):
        return ()
    hand = lying.wanted.hand
    square = [
        hole
        for hole in part.holes
        if side_of(hole).wide and (hole.axis is None) and hole.slot == 0 and hole.hand in ("", hand)
    ]
    show_up = sum(_from(hole, show=True) for hole in square) >= sum(_from(hole, show=False) for hole in square)
    # The right hand is the mirror image of the left; seen from the other face, across runs the other way.
    upward = show_up == (hand != "R")
    long, wide = lying.wanted.length, lying.wanted.width
    found = []
    for hole in square:
        if hole.deep is not None and not _from(hole, show=show_up):
            continue
        along = hole.l - _edged(part, "datum_end")
        across = hole.w - _edged(part, "datum_edge")
        if not upward:
            across = wide - across
        if not (0 < along < long and 0 < across < wide):
            continue
        # A piece lying across the sheet is turned by a quarter, not mirrored.
        place = (wide - across, along) if lying.turned else (along, across)
        found.append((*place, hole.diameter))
    return tuple(found)


def _from(hole: Hole, *, show: bool) -> bool:
    return side_of(hole) is (Side.SHOW if show else Side.REVERSE)


def _edged(part: Part, edge: str) -> Fraction:
    """Return how thick the strip on an edge is, mm; it is glued on after sawing."""
    boxes = [edging.box for edging in part.edgings if edging.edge == edge]
    spans = [box.l if edge.endswith("end") else box.w for box in boxes]
    return max((span[1] - span[0] for span in spans), default=Fraction(0))
