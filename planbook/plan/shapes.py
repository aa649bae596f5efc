"""Shapes of parts that are no plain boards, as frozen data in the part's own axes, in mm.

Sizes are exact and rounded once, as all sizes of a plan. Directions come from angles, whose sines and
cosines are no fractions, so they are floats: unit vectors good to about 1e-15.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

Vector = tuple[float, float, float]
"""A direction of length 1; in a part along l, w, t, in the assembly along x, y, z."""
Turn = tuple[Vector, Vector, Vector]
"""Where a part's l, w and t point in the assembly: three unit vectors square to one another."""
Point = tuple[Fraction, Fraction]
"""A place on a part's face: l and w."""


class Profile(StrEnum):
    """A section square to the length; its size is the diameter, or across the flats."""

    ROUND = "round"
    OCTAGON = "octagon"
    SQUARE = "square"


@dataclass(frozen=True, slots=True)
class Station:
    """The section at one place of the length, about the middle of the blank."""

    at: Fraction
    """Along l, from the datum end."""
    size: Fraction
    profile: Profile


@dataclass(frozen=True, slots=True)
class Disc:
    """A round part: a circle that touches all four sides of its blank, right through its thickness."""

    diameter: Fraction
    sides: int = 0
    """Number of straight sides round that circle, two of them along the grain; 0 for the circle itself."""


@dataclass(frozen=True, slots=True)
class Turned:
    """A part whose section changes straight from one station to the next; the last ones go on beyond its ends."""

    stations: tuple[Station, ...]
    """By rising place; two at one place make a shoulder."""
    below: Fraction
    """How far it goes on beyond its datum end until it is trimmed, along its length."""
    above: Fraction
    """The same beyond its far end."""


@dataclass(frozen=True, slots=True)
class Line:
    """A straight stretch to a point."""

    to: Point


@dataclass(frozen=True, slots=True)
class Curve:
    """A smooth stretch through points, the last of which it ends at."""

    through: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Arc:
    """A stretch of a circle to a point; `over` is a point that it passes on its way."""

    over: Point
    to: Point


Stretch = Line | Curve | Arc


@dataclass(frozen=True, slots=True)
class Outline:
    """A part with this outline on its face, right through its thickness."""

    start: Point
    stretches: tuple[Stretch, ...]
    """The last one ends at `start`; seen on the show face it runs anticlockwise."""


@dataclass(frozen=True, slots=True)
class Block:
    """A box of a bought part or of a fill: from and to along l, w and t."""

    low: tuple[Fraction, Fraction, Fraction]
    high: tuple[Fraction, Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Blocks:
    """A bought part made of boxes that touch or overlap."""

    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Cylinder:
    """A bought part that stands along its length as a cylinder."""

    diameter: Fraction


@dataclass(frozen=True, slots=True)
class Ramp:
    """A wedge: no thickness at its datum end, its full thickness at its far end."""

    slope: Fraction
    """Degrees."""


Shape = Disc | Turned | Outline | Blocks | Cylinder | Ramp


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """A straight cut that takes away everything beyond a plane."""

    name: str
    point: Vector
    """A place in the plane, mm."""
    outward: Vector
    """Unit vector square to the plane, toward what is taken away."""
    step: int | None


class EaseKind(StrEnum):
    """How an edge is broken."""

    ROUND_OVER = "round-over"
    CHAMFER = "chamfer"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ease:
    """What is taken off all edges round one face."""

    name: str
    kind: EaseKind
    size: Fraction
    """Radius, or how far a chamfer of 45 degrees goes back on both sides."""
    show: bool
    """Whether it is round the show face, else round the reverse."""
    step: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lean:
    """How a part leans in the finished piece."""

    angle: Fraction
    """Degrees off plumb in its own plane (the resultant)."""
    front: float
    """Degrees off plumb as seen from the front."""
    side: float
    """Degrees off plumb as seen from the side."""
    sight: float
    """Degrees from the grain of what it enters to its sight line, seen from above, anticlockwise; of the first copy."""
    circle: Fraction
    """Diameter of the circle through the middles of all copies on the marked face, mm."""
    circle_beyond: Fraction
    """The same circle on the opposite face, mm."""
    feet: Fraction
    """Distance between the middles of neighbouring feet on the floor, mm."""
