"""The solids and views of one plan, each made once for all of its pictures."""

from __future__ import annotations

from collections.abc import Sequence

from planbook.drawing.motion import Boxes
from planbook.drawing.pictorial import Item, Pictorial
from planbook.plan.model import Plan
from planbook.shape.direction import Direction, Vector
from planbook.shape.solids import Body, Solids
from planbook.shape.states import Standing


class Views:
    """Makes pictorial views of a plan; the same items seen from the same side are one view."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.solids = Solids(plan)
        self.boxes = Boxes(plan)
        self._placed: dict[tuple[Standing, Vector], tuple[Body, ...]] = {}
        self._made: dict[tuple[tuple[Item, ...], Direction], Pictorial] = {}

    def of(self, items: Sequence[Item], direction: Direction) -> Pictorial:
        """Return the view of some items from a direction."""
        key = (tuple(items), direction)
        if key not in self._made:
            self._made[key] = Pictorial(self.plan, items, [self._bodies(item) for item in items], direction)
        return self._made[key]

    def _bodies(self, item: Item) -> tuple[Body, ...]:
        key = (item.standing, item.shift)
        if key not in self._placed:
            self._placed[key] = self.solids.bodies((item.standing,), shift=item.shift, holes=False)
        return tuple(body for body in self._placed[key] if item.only is None or body.piece in item.only)
