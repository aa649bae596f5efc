"""Sizes of an outline that is no rectangle: where its corners lie, and the angle of a mitre or bevel."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import atan2, degrees, hypot

from planbook.drawing.measures import Measure
from planbook.drawing.outline import whole_outline
from planbook.drawing.wording import size
from planbook.plan.model import Part
from planbook.plan.shapes import Arc, Curve, Line, Outline, Trim, Turned
from planbook.units.editions import Edition, snap

MOST_CORNERS = 12
"""More corners than this want a template, no sizes."""
STEP = 0.5
"""Degrees: an angle is set in halves or wholes; what comes to another one is told by its sizes."""
OFF = 0.02
LEAST_ANGLE = 5.0
"""Degrees: a smaller one is a taper, of which the sizes are told."""
FINE = 10**6

Spot = tuple[Fraction, Fraction]
"""From the datum end and from the datum edge, mm."""


def outline_measures(part: Part, edition: Edition, *, show: bool = True) -> list[Measure]:
    """Return where the corners of a face lie, without the overall sizes.

    There are none for a plain board, a round part, or one whose outline runs through too many places or
    is as it grew.
    """
    if part.sawn_at is not None:
        return []
    corners = list(dict.fromkeys(_corners(part, show=show)))
    if len(corners) > MOST_CORNERS:
        return []
    long, wide = part.length.final, part.width.final
    found: dict[tuple[bool, Fraction], Measure] = {}
    for l, w in corners:
        for lengthwise, place, whole, far in ((True, l, long, 2 * w > wide), (False, w, wide, 2 * l > long)):
            if 0 < place < whole:
                found.setdefault(
                    (lengthwise, place), Measure(lengthwise, Fraction(0), place, size(place, edition), far)
                )
    return list(found.values())


def _corners(part: Part, *, show: bool) -> Iterator[Spot]:
    """Give the corners of an outline, and what it runs through on its way; of straight trims to 1e-6 mm."""
    if isinstance(part.shape, Outline):
        for stretch in part.shape.stretches:
            yield from _stops(stretch)
    elif part.shape is None and part.trims:
        rim = whole_outline(part, show=show)
        for piece in getattr(rim, "geoms", [rim]):
            for l, w in piece.exterior.coords[:-1]:
                yield _exact(l), _exact(w)


def _stops(stretch: Line | Curve | Arc) -> Iterator[Spot]:
    if isinstance(stretch, Curve):
        yield from stretch.through
    elif isinstance(stretch, Arc):
        yield stretch.over
        yield stretch.to
    else:
        yield stretch.to


def _exact(value: float) -> Fraction:
    return Fraction(round(value * FINE), FINE)


def shaped_measures(part: Part, edition: Edition, step: int) -> tuple[Measure, ...]:
    """Return the sizes of an outline that a step of that number saws; none where it saws none of it."""
    sawn = part.shaped_in == step or any(trim.step == step for trim in part.trims)
    return tuple(outline_measures(part, edition)) if sawn else ()


def trim_angles(part: Part) -> list[tuple[str, Spot]]:
    """Return the angle of every mitre and bevel that a saw is set to, with a place on its cut.

    A turned part is trimmed where it stands, by a line and not by an angle.
    """
    found = []
    for trim in part.trims if not isinstance(part.shape, Turned) else ():
        text = _angle(trim)
        if text:
            l, w, _ = trim.point
            found.append((text, (_exact(l), _exact(w))))
    return found


def _angle(trim: Trim) -> str:
    a, b, c = trim.outward
    along = degrees(atan2(min(abs(a), abs(b)), max(abs(a), abs(b))))
    through = degrees(atan2(abs(c), hypot(a, b)))
    words = []
    if along > OFF and through > OFF:
        # A compound cut has no sizes to tell it by: gauge and blade are set as finely as they can be.
        return f"mitre {round(along * 20) / 20:g}°, blade {round(through * 20) / 20:g}°"
    for name, angle in (("", along), ("bevel ", through)):
        if angle >= LEAST_ANGLE and abs(angle / STEP - round(angle / STEP)) * STEP < OFF:
            words.append(f"{name}{round(angle / STEP) * STEP:g}°")
    return ", ".join(words)


def eased_words(part: Part, edition: Edition) -> str:
    """Return what is taken off the edges: `edges of the upper face 1/8" round-over`; may be empty."""
    faces = {True: part.faces.show, False: part.faces.reverse}
    found: dict[str, list[str]] = {}
    for ease in part.eased:
        found.setdefault(f"{size(snap(ease.size, edition.finest), edition.finest)} {ease.kind.value}", []).append(
            faces[ease.show]
        )
    return ", ".join(f"edges of the {' and '.join(dict.fromkeys(names))} {what}" for what, names in found.items())
