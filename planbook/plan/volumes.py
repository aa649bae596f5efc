"""Volumes of parts in closed form: what a list or a mass is reckoned from, without solids."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

from planbook.plan.convex import trimmed_volume
from planbook.plan.curves import area, traced
from planbook.plan.jigs import near
from planbook.plan.model import Hole, Part
from planbook.plan.shapes import Blocks, Cylinder, Disc, Ease, EaseKind, Outline, Profile, Ramp, Turned

_AREA = {Profile.ROUND: math.pi / 4, Profile.SQUARE: 1.0, Profile.OCTAGON: 2 * (math.sqrt(2) - 1)}
"""Area of a section over the square of its size; the octagon's size is across its flats."""


def volume(part: Part) -> Fraction:
    """Return the volume of a part's own wood in mm3: cuts and sockets taken out, edgings not counted.

    Prismatoids between stations are V = h (A1 + 4 Am + A2) / 6, exact for sections that change straight.
    """
    whole = _shaped(part)
    for cut in part.cuts:
        box = cut.box
        whole -= (box.l[1] - box.l[0]) * (box.w[1] - box.w[0]) * (box.t[1] - box.t[0])
    for hole in part.holes:
        if hole.role == "socket":
            whole -= _bore(part, hole)
    return whole


def _shaped(part: Part) -> Fraction:
    shape = part.shape
    if shape is None and part.trims:
        return near(trimmed_volume((float(part.body_length), float(part.body_width), float(part.thick)), part.trims))
    if shape is None:
        return part.body_length * part.body_width * part.thick
    if isinstance(shape, Turned):
        return near(_between_stations(shape, float(part.length.final)))
    if isinstance(shape, Disc):
        rim = (shape.sides * math.tan(math.pi / shape.sides) if shape.sides else math.pi) * float(shape.diameter)
        whole = rim * float(shape.diameter) / 4 * float(part.thick)
        return near(whole - sum(_eased_disc(float(shape.diameter) / 2, ease) for ease in part.eased))
    if isinstance(shape, Outline):
        return near(abs(area(traced(shape)[0])) * float(part.thick))
    if isinstance(shape, Blocks):
        return sum((_block(block.low, block.high) for block in shape.blocks), Fraction(0))
    if isinstance(shape, Cylinder):
        return near(math.pi / 4 * float(shape.diameter) ** 2 * float(part.thick))
    assert isinstance(shape, Ramp)
    return part.length.final * part.width.final * part.thick / 2


def _block(low: tuple[Fraction, ...], high: tuple[Fraction, ...]) -> Fraction:
    size = [b - a for a, b in zip(low, high, strict=True)]
    return size[0] * size[1] * size[2]


def _between_stations(shape: Turned, length: float) -> float:
    total = 0.0
    first, last = shape.stations[0], shape.stations[-1]
    total += float(first.at) * _AREA[first.profile] * float(first.size) ** 2
    total += (length - float(last.at)) * _AREA[last.profile] * float(last.size) ** 2
    for one, other in pairwise(shape.stations):
        kind, high = _AREA[one.profile], float(other.at - one.at)
        low, top = float(one.size), float(other.size)
        middle = (low + top) / 2
        total += high * kind * (low**2 + 4 * middle**2 + top**2) / 6
    return total


def _eased_disc(radius: float, ease: Ease) -> float:
    """Return what an ease takes off round a disc: section times the way of its centroid (Pappus)."""
    size = float(ease.size)
    if ease.kind is EaseKind.CHAMFER:
        return size**2 / 2 * math.tau * (radius - size / 3)
    section = size**2 * (1 - math.pi / 4)
    # Centroid of the corner outside a quarter circle, from the corner: s (10 - 3 pi) / (12 - 3 pi).
    inward = size * (10 - 3 * math.pi) / (12 - 3 * math.pi)
    return section * math.tau * (radius - inward)


def _bore(part: Part, hole: Hole) -> Fraction:
    """Return the wood a socket takes: its section square to its axis, along the slanted way through."""
    deep = float(part.thick if hole.deep is None else hole.deep)
    tilt = 1.0 if hole.axis is None or hole.deep is not None else abs(hole.axis[2])
    return near(math.pi / 4 * float(hole.diameter) ** 2 * deep / tilt)
