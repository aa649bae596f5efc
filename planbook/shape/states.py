"""What stands where, and what has been done to it, before and after each step.

Pure plan data: a part before its dados and the same part after them are two versions.
"""

from __future__ import annotations

from dataclasses import dataclass

from planbook.plan.model import Part, Placement, Plan, Role


@dataclass(frozen=True, slots=True)
class PartVersion:
    """A part at one moment of the work; a key for everything computed from its shape."""

    part: str
    cuts: tuple[str, ...]
    """Names of the cuts, groups of holes, shape, trims and eased edges made so far, in the order of the part."""
    edgings: tuple[str, ...]
    """Names of the edgings glued on so far, in the order of the part."""
    hand: str = ""
    """Which hand of a pair, where the two are not cut and bored alike; a version without one has the work of both."""

    def has(self, hand: str) -> bool:
        """Whether what one hand alone has (or both, where `hand` is empty) is on this one."""
        return not hand or not self.hand or hand == self.hand


@dataclass(frozen=True, slots=True)
class Standing:
    """One copy of a part in its place, as it is at that moment."""

    placement: Placement
    version: PartVersion


State = tuple[Standing, ...]
"""Everything that stands in its place at one moment, in the order of the placements."""


def version_before(plan: Plan, part: str, step: int) -> PartVersion:
    """Return the part as it comes to the step of that number."""
    return _version(plan.part(part), step - 1)


def version_after(plan: Plan, part: str, step: int) -> PartVersion:
    """Return the part as it leaves the step of that number."""
    return _version(plan.part(part), step)


def finished_version(plan: Plan, part: str) -> PartVersion:
    """Return the part with every cut, hole and edging."""
    return _version(plan.part(part), None)


def state_before(plan: Plan, step: int) -> State:
    """Return what stands in its place when the step of that number begins."""
    return _state(plan, step - 1)


def state_after(plan: Plan, step: int) -> State:
    """Return what stands in its place when the step of that number has ended."""
    return _state(plan, step)


def new_in(plan: Plan, step: int) -> State:
    """Return what the step of that number joins or sets in place."""
    return tuple(
        Standing(placement, _version(plan.part(placement.part), step, placement.hand))
        for placement in plan.placements
        if _joined_in(plan, placement) == step
    )


def finished(plan: Plan) -> State:
    """Return the finished piece."""
    return tuple(Standing(place, _version(plan.part(place.part), None, place.hand)) for place in plan.placements)


def _state(plan: Plan, last: int) -> State:
    """Return what stands after step `last`; a part that no step joins stands only in the finished piece."""
    standing = []
    for placement in plan.placements:
        joined = _joined_in(plan, placement)
        if joined is not None and joined <= last:
            standing.append(Standing(placement, _version(plan.part(placement.part), last, placement.hand)))
    return tuple(standing)


def _joined_in(plan: Plan, placement: Placement) -> int | None:
    """Return the step that puts a part in its place: what was poured comes with the part that holds it."""
    part = plan.part(placement.part)
    if part.role is not Role.FILL or part.joined_in is None or part.for_part is None:
        return part.joined_in
    host = plan.part(part.for_part).joined_in
    return None if host is None else max(host, part.joined_in)


def _version(part: Part, last: int | None, hand: str = "") -> PartVersion:
    """Return the part after step `last` (None: at the end).

    What no step claims counts as there from the beginning, so that it is never lost from a picture.
    """

    def done(step: int | None) -> bool:
        return step is None or last is None or step <= last

    cuts = dict.fromkeys(
        [cut.name for cut in part.cuts if done(cut.step)]
        + [hole.group for hole in part.holes if done(hole.step)]
        + ([part.shape_name] if part.shape is not None and done(part.shaped_in) else [])
        + [trim.name for trim in part.trims if done(trim.step)]
        + [ease.name for ease in part.eased if done(ease.step)]
    )
    edgings = tuple(edging.name for edging in part.edgings if done(edging.glued_in))
    unlike = any(cut.hand for cut in part.cuts) or any(hole.hand for hole in part.holes)
    return PartVersion(part.key, tuple(cuts), edgings, hand if unlike else "")
