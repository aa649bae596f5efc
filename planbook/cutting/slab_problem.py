"""Slabs to be cut: outline, marks and the parts wanted, in mm as floats.

x runs along the chalk line from the slab's left end, y from the chalk line to the back; the front edge lies below 0.
What was measured on the wood is not rounded; places of parts are whole steps of the edition.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from math import ceil, floor

from planbook.cutting.problem import CuttingError
from planbook.units.factors import INCH

Spot = tuple[float, float]
HAIR = 1e-6
"""mm that two equal lengths may differ by after reckoning."""
CLEAR = {"imperial": INCH / 2, "metric": Fraction(12)}
"""mm that parts stay from marks where the author says nothing (common practice, no source)."""
HARMLESS = ("figure", "curl", "burl", "crotch", "ripple")
"""Marks that spoil no part: they are wanted, not avoided."""


class Natural(StrEnum):
    """Which long edges of a part stay as grown."""

    NONE = ""
    FRONT = "front"
    BACK = "back"
    BOTH = "front and back"
    EITHER = "either"


@dataclass(frozen=True, slots=True)
class SlabMark:
    """Something on the slab: a knot, a crack, a bark pocket, fine figure, a zone to keep out of."""

    name: str
    kind: str
    outline: tuple[Spot, ...]

    @property
    def spoils(self) -> bool:
        """Whether a part that does not ask for it keeps away from it."""
        return self.kind not in HARMLESS

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, front, right, back."""
        return box_of(self.outline)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slab:
    """One slab as it lies on the bench."""

    key: str
    outline: tuple[Spot, ...]
    marks: tuple[SlabMark, ...] = ()
    kerf: float
    clear: float
    """Least distance of a part from a mark that it does not keep."""
    step: float
    """Places of parts are whole numbers of this."""
    write: Callable[[float], str] = field(default="{:g} mm".format, compare=False)
    """How a length is written in faults."""

    def mark(self, name: str) -> SlabMark:
        """Return the mark of that name; raises KeyError."""
        for mark in self.marks:
            if mark.name == name:
                return mark
        raise KeyError(name)

    def up(self, mm: float) -> float:
        """Return a place at a whole step, not under `mm`."""
        return ceil(mm / self.step - HAIR) * self.step

    def down(self, mm: float) -> float:
        """Return a place at a whole step, not over `mm`."""
        return floor(mm / self.step + HAIR) * self.step


@dataclass(frozen=True, slots=True, kw_only=True)
class SlabPiece:
    """Something to saw from the slab, with its length along the chalk line."""

    key: str
    length: float
    width: float
    """Of a part with natural edges its narrowest place; 0 where the slab decides."""
    natural: Natural = Natural.NONE
    outline: tuple[Spot, ...] = ()
    """Of a part of any outline, within 0..length and 0..width; empty for the whole rectangle."""
    turns: bool = False
    """Whether its length may lie across the slab."""
    start: float | None = None
    """Where it begins, from the left end, if its author has pinned it."""
    near: float | None = None
    """Where its front side lies from the chalk line, if pinned; counted backwards."""
    keep: tuple[str, ...] = ()
    """Marks that have to lie wholly inside it."""


def box_of(spots: tuple[Spot, ...]) -> tuple[float, float, float, float]:
    """Return left, front, right and back of an outline."""
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    return min(xs), min(ys), max(xs), max(ys)


def from_survey(along: list[float], front: list[float], back: list[float]) -> tuple[Spot, ...]:
    """Return the outline of a survey: stations along the chalk line, distances to the front and to the back edge."""
    low = [(x, -y) for x, y in zip(along, front, strict=True)]
    return (*low, *reversed(list(zip(along, back, strict=True))))


def check_slab(slab: Slab) -> None:
    """Refuse a slab that crosses itself, or whose marks lie off it; raises CuttingError."""
    from shapely import Polygon
    from shapely.validation import explain_validity

    if len(slab.outline) < 3:
        raise CuttingError(
            "no-size", f"the outline of `{slab.key}` has {len(slab.outline)} points", "give three or more"
        )
    whole = Polygon(slab.outline)
    if not whole.is_valid or whole.area <= HAIR:
        where = explain_validity(whole).partition("[")[2].rstrip("]").split()
        place = f" about {slab.write(float(where[0]))} from its left end" if len(where) == 2 else ""
        raise CuttingError(
            "outline-crossed",
            f"the outline of `{slab.key}` crosses itself{place}",
            "write its points in the order in which you meet them going round",
        )
    names = set()
    for mark in slab.marks:
        if mark.name in names:
            raise CuttingError(
                "name-twice", f"two marks of `{slab.key}` are called `{mark.name}`", "give each its own name"
            )
        names.add(mark.name)
        found = Polygon(mark.outline)
        if not found.is_valid or found.area <= HAIR:
            raise CuttingError("no-size", f"the mark `{mark.name}` has no size", "look at its points")
        if not whole.intersects(found):
            raise CuttingError(
                "off-the-slab",
                f"the mark `{mark.name}` lies off the slab `{slab.key}`",
                "measure it again from the left end and from the chalk line",
            )
