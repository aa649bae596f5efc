"""How a shop saws sheets: the blade, the factory edge, the order of directions, and which offcuts it keeps."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.cutting.problem import First
from planbook.units.factors import INCH

if TYPE_CHECKING:
    from planbook.cutting.board_stock import HandBoard


@dataclass(frozen=True, slots=True, kw_only=True)
class SoldStick:
    """One length in which a stick is sold."""

    material: str
    nominal: str
    """As in the plan (`2 x 4`), or empty for any."""
    length: Fraction
    price: Fraction | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """Habits of one shop in one edition; lengths in mm."""

    kerf: Fraction
    trim: Fraction
    """Taken off one long factory edge of a sheet, the blade's width included; 0 leaves it."""
    stages: int = 2
    first: First = First.EITHER
    fitting: Fraction
    """Left on both sizes of what is fitted to an opening later."""
    keep_long: Fraction
    """An offcut that is at least so long and so wide is kept; anything else is waste."""
    keep_wide: Fraction
    sticks: tuple[SoldStick, ...] = ()
    """Lengths in which the shop's own yard sells sticks; the usual ones where it is silent about a stock."""
    boards: tuple[HandBoard, ...] = ()
    """Boards on hand."""


SOURCE = "common practice, no source"

USUAL: dict[str, Practice] = {
    "imperial": Practice(
        kerf=INCH / 8, trim=INCH / 4, fitting=INCH / 4, keep_long=12 * INCH, keep_wide=4 * INCH
    ),
    "metric": Practice(
        kerf=Fraction(3), trim=Fraction(6), fitting=Fraction(6), keep_long=Fraction(300), keep_wide=Fraction(100)
    ),
}  # fmt: skip
"""By edition, where the shop says nothing. Common practice, no source."""
