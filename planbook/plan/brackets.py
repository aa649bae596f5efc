"""Angle brackets in the corner between two parts: a bought thing whose own holes say where its screws go."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from planbook.plan import values
from planbook.plan.draft import Draft
from planbook.plan.meeting import Hull, Meeting, chord, dot, lines, minus, plus, scaled
from planbook.plan.shapes import Vector
from planbook.source.schema.joints import BracketSource
from planbook.source.text import Text
from planbook.units.editions import snap
from planbook.units.factors import INCH

THICK = {"imperial": INCH / 16, "metric": Fraction(2)}
"""Thickness of a bracket where the author gives none, in mm (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Leg:
    """One screw of a bracket: the part it goes into, where on its surface, and which way."""

    hull: Hull
    other: Hull
    start: Vector
    way: Vector


def reach(draft: Draft, source: BracketSource, long: Fraction) -> Fraction:
    """Return how far a screw goes into the wood, in mm: its length less the thickness of the bracket."""
    thick = THICK[draft.edition.name]
    if source.thick is not None:
        thick = snap(values.size(draft, source.thick, "joinery", word="thick"), draft.edition)
    return long - thick


def legs(draft: Draft, key: Text, source: BracketSource, met: Meeting, spot: Vector) -> Iterator[Leg]:
    """Give the two screws of a bracket at one place of a joint: first into the part that stands on its edge.

    The bracket sits in the corner towards the middle of the other part, out of sight from outside.
    """
    hole = snap(values.size(draft, source.hole, "joinery", word="hole"), draft.edition)
    standing, flat, normal = _corner(draft, key, met)
    along, over = lines(met)
    first, last = chord(met, along, over, dot(along, spot))
    if dot(minus(_middle(flat), spot), over) < 0:
        over, first, last = scaled(over, -1.0), -last, -first
    face = plus(spot, scaled(over, last - dot(over, spot)))
    for hull, start, way, other in (
        (standing, minus(face, scaled(normal, float(hole))), scaled(over, -1.0), flat),
        (flat, plus(face, scaled(over, float(hole))), normal, standing),
    ):
        if hull.along(plus(start, scaled(way, 0.5)), way) is None:
            raise draft.fail(
                "hole-outside",
                f"the hole of a bracket of `{key}`, {values.shown(draft, hole)} from its bend, lies beside "
                f"`{hull.part.key}`",
                values.chosen(draft, source.hole)[0].span,
                help="measure it on the bracket in the hand, or set the brackets elsewhere",
            )
        yield Leg(hull, other, start, way)


def _corner(draft: Draft, key: Text, met: Meeting) -> tuple[Hull, Hull, Vector]:
    """Return the part that stands on its edge or end, the one that lies on it, and the way from one to the other."""
    flat = [abs(dot(met.normal, hull.turn[2])) > 0.7 for hull in (met.one, met.other)]
    if flat == [False, True]:
        return met.one, met.other, met.normal
    if flat == [True, False]:
        return met.other, met.one, scaled(met.normal, -1.0)
    raise draft.fail(
        "joint-apart",
        f"`{met.one.part.key}` and `{met.other.part.key}` make no corner for a bracket of `{key}`",
        key.span,
        help="a bracket joins the edge or end of one part to the face of another",
    )


def _middle(hull: Hull) -> Vector:
    points = [corner for face in hull.faces for corner in face.corners]
    x, y, z = (sum(point[axis] for point in points) / len(points) for axis in range(3))
    return (x, y, z)
