"""Jigs: made for the work, no part of the piece."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.plan import values
from planbook.plan.draft import Draft
from planbook.source.schema.shapes import JigSource
from planbook.units.editions import snap

if TYPE_CHECKING:
    from planbook.plan.model import Range

RUN = {"imperial": 12 * Fraction(254, 10), "metric": Fraction(300)}
"""Length over which the rise of a slope is told, in mm; also that of a ramp whose author gives none."""
ACROSS = {"imperial": 6 * Fraction(254, 10), "metric": Fraction(150)}
"""Width of a jig whose author gives none, in mm (common practice, no source)."""
FINE = 10**9


def near(value: float) -> Fraction:
    """Return a float as a fraction to 1e-9: the one way in which what an angle gives comes back into the plan."""
    return Fraction(round(value * FINE), FINE)


def slope(draft: Draft, form: JigSource) -> Fraction | None:
    """Return the slope of a ramp in degrees, or None for another jig."""
    if form.slope is None:
        return None
    angle = values.field(draft, form.slope, "part", wants="angle", word="slope").value
    if not 0 < angle <= 60:
        text, _ = values.chosen(draft, form.slope)
        raise draft.fail("wrong-angle", f"a ramp of {float(angle):g} deg is none: it wants 0 to 60 deg", text.span)
    return angle


def rise(draft: Draft, form: JigSource) -> Fraction | None:
    """Return how far a ramp rises in 12 in (300 mm), in mm."""
    angle = slope(draft, form)
    return None if angle is None else near(float(RUN[draft.edition.name]) * math.tan(math.radians(float(angle))))


def sizes(draft: Draft, form: JigSource) -> tuple[Fraction, Fraction, Fraction]:
    """Return length, width and greatest thickness of a jig, in mm, rounded."""
    edition = draft.edition
    long, wide = RUN[edition.name], ACROSS[edition.name]
    if form.length is not None:
        long = snap(values.size(draft, form.length, "part", word="length"), edition)
    if form.width is not None:
        wide = snap(values.size(draft, form.width, "part", word="width"), edition)
    angle = slope(draft, form)
    if angle is None:
        from planbook.plan.forms import OFFCUT
        from planbook.plan.stock import named_stock

        return long, wide, wide / 8 if form.of == OFFCUT else named_stock(draft, form.of).thickness
    return long, wide, snap(near(float(long) * math.tan(math.radians(float(angle)))), edition)


def interval(draft: Draft, form: JigSource, axis: str) -> Range:
    """Return a jig's size along an axis: it has no place in the piece."""
    return (Fraction(0), sizes(draft, form)["xyz".index(axis)])
