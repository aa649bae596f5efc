"""Boxes in the assembly: what they share, what is left of one without another, how far they are apart."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeVar

from planbook.checks.last import Last
from planbook.plan.boxes import Space, placed, placed_box
from planbook.plan.model import Box, Part, Placement, Plan, Range

Number = TypeVar("Number", float, Fraction)
Span = tuple[Number, Number]
Boxed = tuple[Span[Number], Span[Number], Span[Number]]
"""A box, exact or in floats: from and to along each axis."""


@dataclass(frozen=True, slots=True)
class Standing:
    """One copy of a part where it stands."""

    part: Part
    placement: Placement
    solid: tuple[Space, ...]
    """Its body and its edgings, cuts not taken out; of one that is no plain box, the box round it."""
    empty: tuple[Space, ...]
    """Its cuts."""

    @property
    def shaped(self) -> bool:
        """Whether its boxes only surround it: it leans, or is no plain board."""
        return self.placement.turn is not None or self.part.shape is not None or bool(self.part.trims)

    @property
    def name(self) -> str:
        """The part in words, with its hand."""
        hand = {"L": "left ", "R": "right "}.get(self.placement.hand, "")
        return f"{hand}{self.part.key}"

    @property
    def around(self) -> Space:
        """The smallest box round it."""
        x, y, z = (
            (min(space[axis][0] for space in self.solid), max(space[axis][1] for space in self.solid))
            for axis in range(3)
        )
        return (x, y, z)


def standing(plan: Plan) -> tuple[Standing, ...]:
    """Return all copies of all parts that have a place, in the order of the plan."""
    return _standing(plan)


@Last
def _standing(plan: Plan) -> tuple[Standing, ...]:
    parts = {part.key: part for part in (*plan.parts, *plan.fittings)}
    return tuple(_stand(parts[placement.part], placement) for placement in plan.placements)


def _stand(part: Part, placement: Placement) -> Standing:
    if placement.turn is not None:
        return Standing(part, placement, (placed_box(part, placement),), ())
    boxes = (body(part), *(edging.box for edging in part.edgings))
    cuts = (cut.box for cut in part.cuts if cut.hand in ("", placement.hand))
    return Standing(
        part,
        placement,
        tuple(placed(box, placement) for box in boxes),
        tuple(placed(box, placement) for box in cuts),
    )


def body(part: Part) -> Box:
    """Return the space of a part without the strips on its edges."""
    sides = {edging.edge: edging.box for edging in part.edgings}

    def span(size: Fraction, near: Range | None, far: Range | None) -> Range:
        return (near[1] if near else Fraction(0), far[0] if far else size)

    return Box(
        span(part.length.final, _along(sides, "datum_end"), _along(sides, "far_end")),
        span(part.width.final, _across(sides, "datum_edge"), _across(sides, "far_edge")),
        (Fraction(0), part.thick),
    )


def _along(sides: dict[str, Box], side: str) -> Range | None:
    return sides[side].l if side in sides else None


def _across(sides: dict[str, Box], side: str) -> Range | None:
    return sides[side].w if side in sides else None


def common(one: Boxed[Number], other: Boxed[Number]) -> Boxed[Number] | None:
    """Return the space that two boxes share, or None."""
    found = []
    for a, b in zip(one, other, strict=True):
        low, high = max(a[0], b[0]), min(a[1], b[1])
        if low >= high:
            return None
        found.append((low, high))
    return (found[0], found[1], found[2])


def without(space: Boxed[Number], holes: Iterable[Boxed[Number]]) -> tuple[Boxed[Number], ...]:
    """Return what is left of a box when others are taken out of it, as boxes side by side."""
    left = [space]
    for hole in holes:
        left = [piece for whole in left for piece in _cut_out(whole, hole)]
    return tuple(left)


def _cut_out(space: Boxed[Number], hole: Boxed[Number]) -> list[Boxed[Number]]:
    shared = common(space, hole)
    if shared is None:
        return [space]
    pieces: list[Boxed[Number]] = []
    rest = space
    for axis in (0, 1, 2):
        (low, high), (start, stop) = rest[axis], shared[axis]
        if low < start:
            pieces.append(_with_span(rest, axis, (low, start)))
        if stop < high:
            pieces.append(_with_span(rest, axis, (stop, high)))
        rest = _with_span(rest, axis, (start, stop))
    return pieces


def _with_span(box: Boxed[Number], axis: int, span: Span[Number]) -> Boxed[Number]:
    """Return a box with another extent along one axis."""
    x, y, z = box
    return ((span, y, z), (x, span, z), (x, y, span))[axis]


def gap(one: Space, other: Space) -> Fraction:
    """Return the largest distance between two boxes along an axis, in mm; 0 or less where they touch or overlap."""
    return max(max(a[0] - b[1], b[0] - a[1]) for a, b in zip(one, other, strict=True))


def thinnest(space: Space) -> Fraction:
    """Return the least of a box's three sizes, in mm."""
    return min(high - low for low, high in space)
