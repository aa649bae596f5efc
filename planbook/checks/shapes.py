"""What parts that are no plain boxes share, measured on their solids."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.checks.spaces import Standing
from planbook.plan.model import Placement, Plan
from planbook.shape import states
from planbook.shape.solids import Body, Solids, as_solid, common

if TYPE_CHECKING:
    from manifold3d import Manifold


FAR = 100.0
"""mm beyond a limit: farther apart is not measured."""


class Shapes:
    """The solids of a plan, each copy made once."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self._solids = Solids(plan)
        self._finished: dict[Placement, tuple[Manifold, ...]] = {}
        self._bodies: dict[tuple[Placement, states.PartVersion], tuple[Body, ...]] = {}

    def shared(self, one: Standing, other: Standing, limit: Fraction) -> Fraction | None:
        """Return how deep two copies run into each other beyond the limit, in mm, or None.

        The depth of a thin common space is twice its volume over its surface.
        """
        found = [common(mine, theirs) for mine in self._of(one) for theirs in self._of(other)]
        depth = max((2 * volume / surface for volume, surface in found if surface > 0), default=0.0)
        exact = Fraction(round(depth * 1000), 1000)
        return exact if exact > limit else None

    def apart(self, one: Standing, other: Standing, limit: Fraction) -> Fraction:
        """Return how far two copies are from each other, in mm; where that is more than `FAR`, that much."""
        found = [mine.min_gap(theirs, FAR + float(limit)) for mine in self._of(one) for theirs in self._of(other)]
        return Fraction(round(min(found) * 1000), 1000)

    def _of(self, standing: Standing) -> tuple[Manifold, ...]:
        placement = standing.placement
        if placement not in self._finished:
            bodies = self.bodies(placement, states.finished_version(self.plan, placement.part))
            self._finished[placement] = tuple(as_solid(body.mesh) for body in bodies)
        return self._finished[placement]

    def bodies(self, placement: Placement, version: states.PartVersion) -> tuple[Body, ...]:
        """Return the solids of a copy without its bores, each made once."""
        key = (placement, version)
        if key not in self._bodies:
            self._bodies[key] = self._solids.bodies((states.Standing(placement, version),), holes=False)
        return self._bodies[key]
