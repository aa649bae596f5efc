"""Slender legs: how slender, and at what load a straight one buckles.

Floats. Buckling is Euler's: a straight leg of even thickness, loaded in its middle line. A real leg is
weaker at a joint or where its grain runs out; nothing of that is reckoned here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from planbook.trade.sourced import Basis
from planbook.trade.valid import Number, need_positive

EULER = Basis("Euler's column: pi² E I/(K L)²", "derived")
SLENDER_LIMIT = Basis("National Design Specification for Wood Construction (NDS 2018), solid columns: le/d at most 50")
MOST_SLENDER = 50.0
"""Effective length over least thickness of a solid column: NDS 2018."""


class Held(Enum):
    """How the ends of a leg are held; the value is the effective length over the real one.

    Theoretical values of the buckling modes. Where a frame can sway, as legs without stretchers or a
    stiff apron, the upper end counts as free.
    """

    BOTH_PINNED = 1.0
    SWAYS = 2.0
    FIXED_AND_PINNED = 0.7
    BOTH_FIXED = 0.5


@dataclass(frozen=True, slots=True)
class Leg:
    """Slenderness and buckling load of one leg."""

    slenderness: float
    """Effective length over least thickness."""
    buckles_n: float


def leg(long_mm: Number, thick_mm: Number, wide_mm: Number, stiffness_mpa: Number, held: Held) -> Leg:
    """Return slenderness and buckling load of a rectangular leg at its thinnest section.

    Euler: pi² E I/(K L)² with I = b d³/12, d the smaller side.
    """
    need_positive(long_mm, "the length of the leg", "mm")
    need_positive(thick_mm, "the thickness of the leg", "mm")
    need_positive(wide_mm, "the width of the leg", "mm")
    need_positive(stiffness_mpa, "the stiffness", "MPa", slug="no-stiffness")
    least, most = sorted((float(thick_mm), float(wide_mm)))
    effective = held.value * float(long_mm)
    inertia = most * least**3 / 12
    return Leg(effective / least, math.pi**2 * float(stiffness_mpa) * inertia / effective**2)
