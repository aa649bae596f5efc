"""Editions of a plan, and the one place that knows how sizes are rounded in each.

A plan is resolved once per edition. What the author wrote in the edition's own units stands as
written; what comes from the other system goes to a round size, by the kind of size it is.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from planbook.units.factors import INCH
from planbook.units.quantity import UnitError

Kind = Literal["overall", "part", "joinery"]
"""What a size is: of the whole piece, of a part, or of a joint or hole."""


@dataclass(frozen=True, slots=True)
class Edition:
    """One set of units in which a book is published."""

    name: str
    """`imperial` or `metric`; also the name of its system of units."""
    title: str
    resolution: Fraction
    """Finest step of a printed size, in mm; every size in `plan` is a whole number of these."""
    unit_mm: Fraction
    """The unit sizes are written in: one inch or one millimetre."""
    paper: str

    def with_resolution(self, mm: Fraction) -> Edition:
        """Return the edition with another finest step.

        An inch is halved from 1/2 to 1/64; a millimetre edition takes 1, 0.5, 0.2 or 0.1 mm.
        Any other step raises `UnitError`.
        """
        steps, choice = _STEPS[self.name]
        if mm not in steps:
            raise UnitError(f"the {self.name} edition cannot be rounded to {float(mm):g} mm", f"write {choice}")
        return replace(self, resolution=mm)

    @property
    def finest(self) -> Edition:
        """The edition with its finest step: for bits, which come in steps of 1/64 in or 0.1 mm, and for limits."""
        return self.with_resolution(INCH / 64 if self.unit_mm == INCH else Fraction(1, 10))


_STEPS = {
    "imperial": (tuple(INCH / 2**power for power in range(1, 7)), "1/2, 1/4, 1/8, 1/16, 1/32 or 1/64 in"),
    "metric": ((Fraction(1), Fraction(1, 2), Fraction(1, 5), Fraction(1, 10)), "1, 0.5, 0.2 or 0.1 mm"),
}

IMPERIAL = Edition("imperial", "inches", INCH / 32, INCH, "letter")
METRIC = Edition("metric", "millimetres", Fraction(1), Fraction(1), "a4")
EDITIONS: dict[str, Edition] = {edition.name: edition for edition in (IMPERIAL, METRIC)}

# Our own choice, after what a tape and a rule show: outer sizes of a piece go to the coarse marks,
# joints to the fine ones. No publication stands behind these steps.
_GRIDS: dict[str, dict[str, Fraction]] = {
    "imperial": {"overall": INCH / 4, "part": INCH / 8, "joinery": INCH / 32},
    "metric": {"overall": Fraction(10), "part": Fraction(5), "joinery": Fraction(1)},
}


def nearest_step(value: Fraction, step: Fraction) -> Fraction:
    """Return the whole number of steps nearest to a value; an exact half goes away from zero."""
    # In whole numbers: this is asked thousands of times, and every operation of fractions makes a new one.
    top, bottom = abs(value.numerator) * step.denominator, value.denominator * step.numerator
    whole = (2 * top + bottom) // (2 * bottom)
    return Fraction((whole if value >= 0 else -whole) * step.numerator, step.denominator)


def snap(mm: Fraction, edition: Edition) -> Fraction:
    """Return a length rounded to the edition's resolution."""
    return nearest_step(mm, edition.resolution)


def grid_mm(kind: Kind, edition: Edition) -> Fraction:
    """Return the step for sizes that come from the other system of units.

    It is never finer than the edition's resolution.
    """
    return max(_GRIDS[edition.name][kind], edition.resolution)


def round_to_grid(mm: Fraction, kind: Kind, edition: Edition, *, native: bool) -> Fraction:
    """Return a driving size as the edition has it.

    `native` says that the author wrote the value in the edition's own units: then it is only
    snapped to the resolution. A small size of the other system may become 0 (1/64 in on a 1 mm
    grid); whoever calls decides whether that is a fault.
    """
    return snap(mm, edition) if native else nearest_step(mm, grid_mm(kind, edition))
