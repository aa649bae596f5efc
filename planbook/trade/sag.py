"""Sag of shelves: elastic bending of a plain or edged shelf, creep, and what the eye notices.

Floats: fourth powers of measured sizes. Lengths mm, forces N, stress and stiffness MPa (N/mm²).
Equations are the standard results of strength of materials for small deflections, as in any handbook
of engineering (the factors from memory; they follow from the beam equation by integration). Good
where the span is more than about 20 thicknesses; stiffness is a mean of clear wood, so for a promise
reckon with 80 % of it (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from planbook.trade.lookup import TradeError
from planbook.trade.sourced import Basis
from planbook.trade.valid import Number, need_positive

BENDING = Basis("strength of materials, elastic beam, small deflections", "derived")
COMPOSITE = Basis("strength of materials, transformed section", "derived")
VISIBLE = Basis("common practice, no source: 1/32 in in a foot of span shows", "practice")
TARGET = Basis("common practice, no source: 0.02 in in a foot of span, creep included", "practice")
G_M_S2 = 9.80665
"""Standard gravity, newtons on a kilogram: NIST SP 811 (2008), appendix B.8."""
VISIBLE_RATIO = 384.0
"""Span over sag at which the eye notices it: 12 in by 1/32 in."""
TARGET_RATIO = 600.0
"""Span over sag of a careful design: 12 in by 0.02 in."""
SLENDER = 20.0
"""Span over thickness from which on bending alone is good enough: shear adds under 5 % (from memory)."""


class Ends(Enum):
    """How a shelf is held."""

    RESTING = "both ends rest on supports"
    FIXED = "both ends fixed"
    CANTILEVER = "one end fixed, the other free"
    PROPPED = "one end fixed, the other rests"


_UNIFORM = {Ends.RESTING: 5 / 384, Ends.FIXED: 1 / 384, Ends.CANTILEVER: 1 / 8, Ends.PROPPED: 1 / 185}
_POINT = {Ends.RESTING: 1 / 48, Ends.FIXED: 1 / 192, Ends.CANTILEVER: 1 / 3}
_MOMENT = {Ends.RESTING: 1 / 8, Ends.FIXED: 1 / 12, Ends.CANTILEVER: 1 / 2, Ends.PROPPED: 1 / 8}


@dataclass(frozen=True, slots=True)
class Strip:
    """One rectangle of a shelf's cross section."""

    wide_mm: float
    """Front to back."""
    high_mm: float
    top_mm: float
    """Its upper edge below the shelf's upper face."""
    stiffness_mpa: float


@dataclass(frozen=True, slots=True)
class Section:
    """A cross section: its stiffness is that of the first strip, into whose material all are reckoned."""

    axis_mm: float
    """Neutral axis below the shelf's upper face."""
    inertia_mm4: float
    stiffness_mpa: float


def rectangle_mm4(wide_mm: Number, thick_mm: Number) -> float:
    """Return the second moment of area of a plain shelf, b t³/12."""
    need_positive(wide_mm, "the depth of the shelf", "mm")
    need_positive(thick_mm, "the thickness of the shelf", "mm")
    return float(wide_mm) * float(thick_mm) ** 3 / 12


def section(strips: Sequence[Strip]) -> Section:
    """Return the common section of a shelf and its edge strips; the shelf itself stands first.

    Each strip counts as n = E/E1 times its width; the load is taken to reach all strips alike.
    """
    for strip in strips:
        need_positive(strip.wide_mm, "the width of a strip", "mm")
        need_positive(strip.high_mm, "the height of a strip", "mm")
        need_positive(strip.stiffness_mpa, "the stiffness", "MPa", slug="no-stiffness")
    stiffness = strips[0].stiffness_mpa
    areas = [strip.stiffness_mpa / stiffness * strip.wide_mm * strip.high_mm for strip in strips]
    middles = [strip.top_mm + strip.high_mm / 2 for strip in strips]
    axis = sum(area * middle for area, middle in zip(areas, middles, strict=True)) / sum(areas)
    inertia = sum(
        area * (strip.high_mm**2 / 12 + (middle - axis) ** 2)
        for strip, area, middle in zip(strips, areas, middles, strict=True)
    )
    return Section(axis, inertia, stiffness)


def sag_uniform_mm(ends: Ends, load_n_mm: Number, span_mm: Number, stiffness_mpa: Number, inertia_mm4: Number) -> float:
    """Return the largest sag under a load spread evenly, k w L⁴/(E I).

    k: 5/384 resting, 1/384 fixed, 1/8 cantilever, 1/185 propped and each of two equal spans.
    """
    _need_beam(load_n_mm, "N/mm", span_mm, stiffness_mpa, inertia_mm4)
    return _UNIFORM[ends] * float(load_n_mm) * float(span_mm) ** 4 / (float(stiffness_mpa) * float(inertia_mm4))


def sag_point_mm(ends: Ends, load_n: Number, span_mm: Number, stiffness_mpa: Number, inertia_mm4: Number) -> float:
    """Return the sag under a load in the middle, or at the free end of a cantilever, k P L³/(E I).

    k: 1/48 resting, 1/192 fixed, 1/3 cantilever; a propped shelf is not reckoned here.
    """
    _need_beam(load_n, "N", span_mm, stiffness_mpa, inertia_mm4)
    if ends not in _POINT:
        raise TradeError(
            "no-such-case", f"a load in one point is not reckoned where `{ends.value}`", "spread the load evenly"
        )
    return _POINT[ends] * float(load_n) * float(span_mm) ** 3 / (float(stiffness_mpa) * float(inertia_mm4))


def sag_spaced_mm(each_n: Number, count: int, span_mm: Number, stiffness_mpa: Number, inertia_mm4: Number) -> float:
    """Return the sag in the middle of a resting shelf under equal loads, each in the middle of its own share.

    One load is that in the middle; several add up, each by P a (3 L² - 4 a²)/(48 E I), a from the nearer end.
    """
    _need_beam(each_n, "N", span_mm, stiffness_mpa, inertia_mm4)
    span = float(span_mm)
    places = [span * (2 * index + 1) / (2 * count) for index in range(count)]
    near = [min(place, span - place) for place in places]
    total = sum(a * (3 * span**2 - 4 * a**2) for a in near)
    return float(each_n) * total / (48 * float(stiffness_mpa) * float(inertia_mm4))


def bending_stress_mpa(
    ends: Ends, load_n_mm: Number, span_mm: Number, inertia_mm4: Number, farthest_mm: Number
) -> float:
    """Return the largest bending stress under a load spread evenly, M c/I, c from the axis to the farthest face.

    M = w L²/8 resting and propped, w L²/12 fixed, w L²/2 cantilever.
    """
    _need_beam(load_n_mm, "N/mm", span_mm, 1.0, inertia_mm4)
    return _MOMENT[ends] * float(load_n_mm) * float(span_mm) ** 2 * float(farthest_mm) / float(inertia_mm4)


def load_n_mm(mass_kg: Number, length_mm: Number) -> float:
    """Return a mass spread over a length as a force on each millimetre."""
    need_positive(mass_kg, "the load", "kg", slug="no-load")
    need_positive(length_mm, "the length", "mm")
    return float(mass_kg) * G_M_S2 / float(length_mm)


def with_creep_mm(lasting_mm: Number, passing_mm: Number, factor: Number) -> float:
    """Return the sag after years: the lasting part times the creep factor, plus the passing part.

    NDS 3.5.2: 1.5 for seasoned lumber in dry rooms, 2.0 for unseasoned or wet.
    """
    if factor < 1:
        raise TradeError("creep-below-one", f"the creep factor is `{float(factor):g}`, it is 1 or more", None)
    return float(factor) * float(lasting_mm) + float(passing_mm)


def longest_span_mm(load_n_mm: Number, stiffness_mpa: Number, inertia_mm4: Number, ratio: Number) -> float:
    """Return the longest span of a resting shelf that sags by no more than span/ratio, evenly loaded.

    (384 E I/(5 w r))^(1/3); with creep, give the load times the creep factor.
    """
    _need_beam(load_n_mm, "N/mm", 1.0, stiffness_mpa, inertia_mm4)
    need_positive(ratio, "the ratio of span to sag", "")
    cube = 384 * float(stiffness_mpa) * float(inertia_mm4) / (5 * float(load_n_mm) * float(ratio))
    return math.cbrt(cube)


def limit_mm(span_mm: Number, ratio: Number = TARGET_RATIO) -> float:
    """Return the most sag for a span: by `TARGET_RATIO` of a careful design, by `VISIBLE_RATIO` what shows."""
    need_positive(span_mm, "the span", "mm")
    return float(span_mm) / float(ratio)


def _need_beam(load: Number, unit: str, span_mm: Number, stiffness_mpa: Number, inertia_mm4: Number) -> None:
    need_positive(load, "the load", unit, slug="no-load")
    need_positive(span_mm, "the span", "mm")
    need_positive(stiffness_mpa, "the stiffness", "MPa", slug="no-stiffness")
    need_positive(inertia_mm4, "the second moment of area", "mm⁴")
