"""Copies of parts at one moment of the work, as boxes of wood: what a part is moved past on its way in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planbook.checks.neighbours import Floated, floated
from planbook.checks.spaces import body, without
from planbook.plan.boxes import placed, placed_box
from planbook.plan.model import Box, Part, Placement, Plan
from planbook.plan.shapes import Blocks
from planbook.shape.states import PartVersion, version_after

Depths = tuple[float, float, float, float, float, float]
"""For the six ways of `WAYS`, how much of another is in the way, in mm; 0 for nothing."""

WAYS = ("+x", "-x", "+y", "-y", "+z", "-z")


@dataclass(frozen=True, slots=True, eq=False)
class Copy:
    """One copy of a part as it is after a step."""

    part: Part
    placement: Placement
    version: PartVersion
    boxes: tuple[Floated, ...]
    """Its wood as boxes side by side; of one that is no board or leans, the box round it."""
    around: Floated
    shaped: bool
    """Whether its boxes only surround it."""

    @property
    def name(self) -> str:
        """The part in words, with its hand."""
        hand = {"L": "left ", "R": "right "}.get(self.placement.hand, "")
        return f"{hand}{self.part.key}"


class Copies:
    """The copies of a plan; each version of a part is taken to boxes once."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.parts = {part.key: part for part in (*plan.parts, *plan.fittings)}
        self._made: dict[tuple[int, PartVersion], Copy] = {}
        self._around: dict[int, Floated] = {}

    def after(self, step: int) -> tuple[Copy, ...]:
        """Return all that stands in its place after a step, in the order of the placements."""
        found = []
        for number, placement in enumerate(self.plan.placements):
            joined = self.parts[placement.part].joined_in
            if joined is not None and joined <= step:
                found.append(self.copy(number, placement, version_after(self.plan, placement.part, step)))
        return tuple(found)

    def copy(self, number: int, placement: Placement, version: PartVersion) -> Copy:
        """Return a copy, by the number of its placement, as it is in one version."""
        key = (number, version)
        if key not in self._made:
            part = self.parts[placement.part]
            if number not in self._around:
                self._around[number] = floated(placed_box(part, placement))
            self._made[key] = _made(part, placement, version, self._around[number])
        return self._made[key]


def _made(part: Part, placement: Placement, version: PartVersion, around: Floated) -> Copy:
    blocks = isinstance(part.shape, Blocks) and placement.turn is None
    if placement.turn is not None or bool(part.trims) or (part.shape is not None and not blocks):
        return Copy(part, placement, version, (around,), around, True)
    cuts = [cut.box for cut in part.cuts if cut.hand in ("", placement.hand) and cut.name in version.cuts]
    away = [floated(placed(box, placement)) for box in cuts]
    whole = [floated(placed(box, placement)) for box in _whole(part, version)]
    boxes = tuple(piece for one in whole for piece in without(one, away))
    return Copy(part, placement, version, boxes, around_all(boxes) or around, False)


def _whole(part: Part, version: PartVersion) -> list[Box]:
    """Return the boxes of a part before its cuts: its blocks, or its own wood and the strips that are on."""
    if isinstance(part.shape, Blocks):
        return [
            Box(*((low, high) for low, high in zip(one.low, one.high, strict=True))) for one in part.shape.blocks
        ]  # fmt: skip
    return [body(part), *(edging.box for edging in part.edgings if edging.name in version.edgings)]


def around_all(boxes: Sequence[Floated]) -> Floated | None:
    """Return the box round some boxes, or None where there are none."""
    if not boxes:
        return None
    x, y, z = ((min(box[axis][0] for box in boxes), max(box[axis][1] for box in boxes)) for axis in range(3))
    return (x, y, z)


def in_the_way(moving: Sequence[Floated], standing: Sequence[Floated], play: float) -> Depths:
    """Return for each of `WAYS` how wide the strip is in which standing boxes lie ahead of moving ones, in mm.

    What is no wider than `play` does not count: parts slide along each other. Nor does a layer no thicker, nor
    do boxes that share space as they stand, which is a finding of its own.
    """
    widest = [0.0] * 6
    for mine in moving:
        for theirs in standing:
            shared = [min(a[1], b[1]) - max(a[0], b[0]) for a, b in zip(mine, theirs, strict=True)]
            if sum(width > play for width in shared) != 2:
                continue
            axis = next(at for at in range(3) if shared[at] <= play)
            if theirs[axis][1] - theirs[axis][0] <= play:
                continue
            way = 2 * axis if theirs[axis][0] > mine[axis][0] else 2 * axis + 1
            widest[way] = max(widest[way], min(shared[axis - 1], shared[axis - 2]))
    return (widest[0], widest[1], widest[2], widest[3], widest[4], widest[5])
