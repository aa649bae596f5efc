"""What one fastener wants in the woods it goes through and into, and how much it holds there.

Holes follow from the density of the wood that holds the thread; the bit is the nearest of the
edition's own series, with its error. Strength is for the usual case, in side grain.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeVar

from planbook.trade import withdrawal
from planbook.trade.fasteners import Fastener, thread_mm
from planbook.trade.lookup import TradeError
from planbook.trade.pilot import Countersink, Density, Hole, clearance, countersink, density_class, pilot, plug
from planbook.trade.sourced import Basis, Figure

_Found = TypeVar("_Found")

OF_PANEL = Basis("common practice, no source: a panel is bored as a wood of the same density", "practice")
_DRYING = Fraction("1.12")
"""Mass at 12 % moisture over ovendry mass, by definition of moisture content; the shrinkage to ovendry is left out,
so that the gravity comes out a little low."""


@dataclass(frozen=True, slots=True)
class Ground:
    """What holds the thread."""

    gravity_ovendry: Fraction | None
    """Specific gravity on ovendry volume, or None where no density is known."""
    gravity_twelve: Fraction | None
    """On the volume at 12 % moisture, solid wood only."""
    basis: Basis | None
    end_grain: bool = False
    panel: bool = False


@dataclass(frozen=True, slots=True)
class Hold:
    """Pull-out load of one fastener, N."""

    working_n: float
    """What may be counted on."""
    ultimate_n: float | None
    """At which it comes out, a mean of tests; None where no equation is printed."""
    basis: Basis
    end_grain: Figure | None
    """The part that counts in end grain, where it stands in it."""


@dataclass(frozen=True, slots=True)
class Driven:
    """The holes of one fastener."""

    density: Density | None
    pilot: Hole | None
    clearance: Hole | None
    sink: Countersink | None
    plug: Hole | None
    hold: Hold | None
    remarks: tuple[str, ...]


def driven(
    fastener: Fastener, edition_name: str, ground: Ground | None, *, passes: bool, plugged: bool, bite_mm: Fraction
) -> Driven:
    """Return holes and hold of a fastener; what no rule gives is None, with a remark.

    `ground` is None where a nut or insert holds the thread; `passes` tells whether it goes through a part.
    """
    remarks: list[str] = []
    gravity = ground.gravity_ovendry if ground is not None else None
    density = density_class(gravity) if gravity is not None else None
    hole = None
    if gravity is not None:
        try:
            hole = pilot(fastener, gravity, edition_name)
        except TradeError as fault:
            remarks.append(fault.message)
    if density is Density.DENSE and fastener.kind == "wood screw":
        remarks.append("bore always, and clear the chips; drive a steel screw first, then a brass one")
    return Driven(
        density,
        hole,
        _or_none(lambda: clearance(fastener, edition_name)) if passes and fastener.kind != "nail" else None,
        _or_none(lambda: countersink(fastener)) if passes and not plugged else None,
        _or_none(lambda: plug(fastener, edition_name)) if plugged else None,
        _hold(fastener, ground, bite_mm),
        tuple(remarks),
    )


def panel_ground(density_kg_m3: Fraction | None, *, end_grain: bool = False) -> Ground:
    """Return a sheet good as ground: bored as a wood of its density; no hold is printed for it."""
    gravity = density_kg_m3 / 1000 / _DRYING if density_kg_m3 is not None else None
    return Ground(gravity, None, OF_PANEL, end_grain, True)


def _or_none(work: Callable[[], _Found]) -> _Found | None:
    try:
        return work()
    except TradeError:
        return None


def _hold(fastener: Fastener, ground: Ground | None, bite_mm: Fraction) -> Hold | None:
    """Return the pull-out load in the last piece, or None where no rule gives it."""
    if ground is None or ground.panel or ground.gravity_ovendry is None or bite_mm <= 0:
        return None
    try:
        thread = min(bite_mm, thread_mm(fastener))
        factor = withdrawal.end_grain_factor(fastener.kind) if ground.end_grain else None
        share = float(factor.value) if factor is not None else 1.0
        shank = fastener.shank.value
        ultimate = None
        if ground.gravity_twelve is not None:
            ultimate = withdrawal.ultimate_n(
                fastener.kind, gravity=ground.gravity_twelve, shank_mm=shank, thread_mm=thread
            )
        if fastener.kind in ("wood screw", "nail"):
            working = withdrawal.working_n(
                fastener.kind, gravity_ovendry=ground.gravity_ovendry, shank_mm=shank, thread_mm=thread
            )
            basis = withdrawal.working_basis()
        elif ultimate is not None:
            working = ultimate * float(withdrawal.working_share().value)
            basis = withdrawal.withdrawal_basis()
        else:
            return None
    except TradeError:
        return None
    return Hold(working * share, ultimate * share if ultimate is not None else None, basis, factor)
