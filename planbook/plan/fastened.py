"""What holds two parts together, piece by piece: every screw, bolt, dowel or tenon of a joint in its place.

Made from the finished parts, so that what stands here and the holes in both parts come from the same
places. Sizes are in mm; those that are bored are on the edition's resolution.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from planbook.plan.pieces import Placement
from planbook.plan.shapes import Vector


class Grain(StrEnum):
    """Which side of a part a fastener enters."""

    FACE = "face"
    EDGE = "edge"
    END = "end"


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One of the parts that a fastener goes through or into."""

    part: str
    thick: Fraction
    """What it has along the fastener's axis, from the side that is entered to the far side, in mm."""
    material: str
    """Species or panel of its stock; empty for what is bought."""
    panel: bool
    grain: Grain
    diameter: Fraction
    """Hole in it for the fastener, in mm; 0 where none is bored."""
    deep: Fraction | None
    """Depth of that hole, in mm; None is right through."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One fastener in the finished piece."""

    start: Vector
    """Where its axis enters the first part, on the surface of the wood; in the assembly, in mm.

    For what is hidden within both parts (dowels, biscuits, loose tenons): where they meet.
    """
    way: Vector
    """Unit vector in which it is driven."""
    passes: tuple[Placement, ...]
    """The copies it goes through, in the order of `Fastened.passes`."""
    into: Placement | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fastened:
    """Equal fasteners of a joint that go through and into the same parts."""

    joint: str
    written: str
    """As the author names it (`No. 8 x 2 in wood screw`)."""
    name: str
    """As the edition's own series has it (`4 x 50 mm wood screw`)."""
    kind: str
    """Main name of its kind in the tables (`wood screw`, `machine screw`, `dowel`, `biscuit` ...)."""
    series: str
    """`imperial` or `metric`."""
    long: Fraction
    """Its length, in mm."""
    shank: Fraction
    root: Fraction | None
    head: Fraction | None
    """Diameter of its head, in mm, where it has one that is tabled."""
    passes: tuple[Layer, ...]
    """What it goes through, the first part first."""
    into: Layer | None
    """What holds its thread or its far half; None where a nut does."""
    sunk: Fraction
    """How far the outer face of its head, or its outer end, lies below the face that it enters, in mm."""
    bite: Fraction
    """How far it reaches into the last part, in mm."""
    back: Fraction = Fraction(0)
    """How far it reaches back into the first part from `Place.start`, in mm: dowels, biscuits and loose tenons."""
    free: bool
    """Whether slots let the wood move along it."""
    plugged: bool
    """Whether its head lies under a plug."""
    places: tuple[Place, ...]
    """All of one finished piece."""
    step: int | None
    """Number of the step that drives it."""
