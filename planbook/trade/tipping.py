"""Whether a piece tips: moments about the edge it turns on, and the polygon of a stool's feet.

Statics of a rigid piece on a hard floor; floats. Masses kg, lengths mm, forces N. A margin above 1
is no pass of any furniture standard's test, and tall cases are fixed to the wall in any case (common
practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planbook.trade.lookup import TradeError
from planbook.trade.sag import G_M_S2
from planbook.trade.sourced import Basis
from planbook.trade.valid import Number, need_positive

STATICS = Basis("statics, moments about the tipping edge of a rigid piece on a hard floor", "derived")

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Weight:
    """A mass and how far it stands from the tipping edge."""

    mass_kg: float
    behind_mm: float
    """Above 0 behind the edge, where it holds the piece down; below 0 in front of it."""


@dataclass(frozen=True, slots=True)
class Balance:
    """Moments about the tipping edge."""

    holding_nm: float
    tipping_nm: float

    @property
    def margin(self) -> float:
        """Holding over tipping: below 1 the piece tips; infinite where nothing tips it."""
        return self.holding_nm / self.tipping_nm if self.tipping_nm else math.inf


def balance(weights: Sequence[Weight], *, pull_n: Number = 0.0, pull_height_mm: Number = 0.0) -> Balance:
    """Return the moments of weights and of a level pull at a height.

    An open drawer counts with its own weight at its own place, not with the case.
    """
    for weight in weights:
        need_positive(weight.mass_kg, "the mass", "kg", slug="no-load")
    moments = [weight.mass_kg * G_M_S2 * weight.behind_mm / 1000 for weight in weights]
    pulling = float(pull_n) * float(pull_height_mm) / 1000
    holding = sum(moment for moment in moments if moment > 0)
    return Balance(holding, pulling - sum(moment for moment in moments if moment < 0))


def pull_to_tip_n(mass_kg: Number, behind_mm: Number, pull_height_mm: Number) -> float:
    """Return the level pull at a height that tips a piece whose centre of mass lies behind the edge."""
    need_positive(mass_kg, "the mass", "kg", slug="no-load")
    need_positive(pull_height_mm, "the height of the pull", "mm")
    return float(mass_kg) * G_M_S2 * float(behind_mm) / float(pull_height_mm)


def tilted_mm(behind_mm: Number, centre_height_mm: Number, tilt_deg: Number) -> float:
    """Return the distance behind the edge once the floor leans forward, as on carpet: x cos q - h sin q."""
    angle = math.radians(float(tilt_deg))
    return float(behind_mm) * math.cos(angle) - float(centre_height_mm) * math.sin(angle)


def foot_reach_mm(feet: Sequence[Point], at: Point = (0.0, 0.0)) -> float:
    """Return how far a point lies inside the polygon of the feet; below 0, outside of it.

    The polygon is the smallest round all feet; a load straight down outside it tips the piece unless
    the piece's own weight holds it.
    """
    ring = _hull(feet)
    if len(ring) < 3:
        raise TradeError("no-foothold", f"`{len(ring)}` feet in a line hold nothing up", "give at least three feet")
    return min(_inside(a, b, at) for a, b in zip(ring, [*ring[1:], ring[0]], strict=True))


def seat_balance(
    feet: Sequence[Point], seat_radius_mm: Number, mass_kg: Number, *, load_n: Number, inset_mm: Number
) -> Balance:
    """Return the moments for a load straight down near the rim of a round seat, in the weakest direction.

    The load stands `inset_mm` inside the rim; the piece's own mass acts in the middle of the seat.
    """
    need_positive(mass_kg, "the mass", "kg", slug="no-load")
    need_positive(load_n, "the load", "N", slug="no-load")
    reach = foot_reach_mm(feet)
    beyond = float(seat_radius_mm) - float(inset_mm) - reach
    holding = float(mass_kg) * G_M_S2 * max(reach, 0.0) / 1000
    return Balance(holding, float(load_n) * max(beyond, 0.0) / 1000)


def _inside(a: Point, b: Point, at: Point) -> float:
    """Return the distance of a point from the line through a and b, to its left."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    return (dx * (at[1] - a[1]) - dy * (at[0] - a[0])) / math.hypot(dx, dy)


def _hull(points: Sequence[Point]) -> list[Point]:
    """Return the corners of the smallest convex polygon, anticlockwise (monotone chain)."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return ordered

    def half(line: Sequence[Point]) -> list[Point]:
        chain: list[Point] = []
        for point in line:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0:
                chain.pop()
            chain.append(point)
        return chain[:-1]

    return half(ordered) + half(ordered[::-1])


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
