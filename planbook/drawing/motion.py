"""Which parts of a step move, from where they come, and along which way they can come at all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planbook.plan.model import Joint, Placement, Plan, Role
from planbook.shape import arrange
from planbook.shape.arrange import Bounds, axis_of
from planbook.shape.direction import Vector
from planbook.shape.states import State

REACH = 0.2
"""How far a part is moved out, as a share of the diagonal of what stands at the end of the step."""
ENDS = ("dado", "groove", "socket", "mortise")
"""Joints that take the end of a part."""
SOCKET = "socket"
"""Role of the holes that take the end of a part."""
TOUCH = 0.5
"""mm: boxes that share less are only touching."""

Way = tuple[int, int]
"""Axis (0 for x) and sign of the direction from which a part comes."""
# Toward the viewer first: a part that comes from there hides nothing of its place.
_WAYS: tuple[Way, ...] = ((1, -1), (2, 1), (0, 1), (0, -1), (1, 1), (2, -1))


@dataclass(frozen=True, slots=True)
class Move:
    """One copy on its way to its place."""

    placement: Placement
    way: Way
    shift: Vector
    """From its place to where it is drawn, in mm."""

    @property
    def leans(self) -> bool:
        """Whether it goes along its own length, which leans."""
        return self.placement.turn is not None and sum(step != 0.0 for step in self.shift) > 1


class Boxes:
    """The boxes round the copies of a plan where they stand, each reckoned once."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self._boxes: dict[tuple[str, int], Bounds] = {}

    def of(self, place: Placement) -> Bounds:
        """Return the box round one copy."""
        key = (place.part, place.copy)
        if key not in self._boxes:
            self._boxes[key] = arrange.bounds(self.plan, place)
        return self._boxes[key]


def moves_of(
    plan: Plan, number: int, before: State, new: State, *, share: float = REACH, boxes: Boxes | None = None
) -> tuple[Move, ...]:
    """Return the copies that are drawn moved out of their places in a step.

    Where nothing stands before, the parts that enter others stay, and those that receive them come
    on from outside; where parts lean, it is the other way round. A part with no free way is not moved;
    what was poured goes with the part that holds it. `share` is the way as a share of the diagonal of
    what stands at the end.
    """
    boxes = boxes or Boxes(plan)
    joints = [joint for joint in plan.joints if joint.joined_in == number]
    staying = [standing.placement for standing in before]
    coming = [standing.placement for standing in new if plan.part(standing.placement.part).role is not Role.FILL]
    if not staying:
        base = _base(joints, coming)
        staying, coming = base, [place for place in coming if place not in base]
    reach = share * _diagonal(boxes, [*staying, *coming])
    ways: list[tuple[Placement, Way]] = []
    for place in coming:
        way = _way(boxes, place, staying, joints)
        if way is not None:
            ways.append((place, way))
    return tuple(Move(place, way, _shift(boxes, place, way, ways, joints, reach)) for place, way in ways)


def move_of(plan: Plan, moves: Sequence[Move], place: Placement) -> Move | None:
    """Return the move of a copy, for what was poured that of the part that holds it; None where it stays."""
    part = plan.part(place.part)
    if part.role is Role.FILL:
        return next((move for move in moves if move.placement.part == part.for_part), None)
    return next(
        (move for move in moves if (move.placement.part, move.placement.copy) == (place.part, place.copy)), None
    )


def contacts(boxes: Boxes, place: Placement, others: Sequence[Placement]) -> list[tuple[Placement, Bounds]]:
    """Return the other copies whose boxes meet that of a copy, each with the common box."""
    own = boxes.of(place)
    found = []
    for other in others:
        box = boxes.of(other)
        low = tuple(max(a, b) for a, b in zip(own.low, box.low, strict=True))
        high = tuple(min(a, b) for a, b in zip(own.high, box.high, strict=True))
        if all(b - a >= 0 for a, b in zip(low, high, strict=True)):
            found.append((other, Bounds((low[0], low[1], low[2]), (high[0], high[1], high[2]))))
    return found


def _base(joints: Sequence[Joint], coming: Sequence[Placement]) -> list[Placement]:
    entering = {key for joint in joints for key in joint.entering}
    receiving = {key for joint in joints for key in joint.receiving}
    base = [place for place in coming if place.part in entering and place.part not in receiving]
    if any(place.turn is not None for place in base):
        # Parts that lean each another way go in one after the other: what takes them stays.
        base = [place for place in coming if place.part in receiving]
    return base or list(coming[:1])


def _diagonal(boxes: Boxes, places: Sequence[Placement]) -> float:
    each = [boxes.of(place) for place in places]
    sides = [float(max(box.high[axis] for box in each) - min(box.low[axis] for box in each)) for axis in range(3)]
    return float(sum(side * side for side in sides) ** 0.5)


def _way(boxes: Boxes, place: Placement, staying: Sequence[Placement], joints: Sequence[Joint]) -> Way | None:
    wanted, mouth = _wanted_axis(place, joints), _from_mouth(boxes.plan, place, staying, joints)
    ways = sorted(_WAYS, key=lambda way: (way != mouth, way[0] != wanted, _WAYS.index(way)))
    return next((way for way in ways if _free(boxes, place, way, staying)), None)


def _from_mouth(plan: Plan, place: Placement, staying: Sequence[Placement], joints: Sequence[Joint]) -> Way | None:
    """Return from where a part comes to the sockets that are bored for it: from the face that the bit entered."""
    names = {joint.name for joint in joints if place.part in joint.entering}
    for other in staying:
        for hole in plan.part(other.part).holes:
            if hole.group in names and hole.role == SOCKET:
                axis, sign = axis_of(other.axes[2])
                return axis, sign if hole.from_show else -sign
    return None


def _wanted_axis(place: Placement, joints: Sequence[Joint]) -> int | None:
    """Return the axis along which a joint closes: an end goes into a dado, a face onto everything else."""
    long, _, thick = (axis_of(direction)[0] for direction in place.axes)
    for joint in joints:
        if place.part in joint.entering:
            return long if joint.kind in ENDS else thick
        if place.part in joint.receiving:
            return thick
    return None


def _free(boxes: Boxes, place: Placement, way: Way, others: Sequence[Placement]) -> bool:
    """Whether nothing stands in the space through which a copy would come."""
    axis, sign = way
    own = boxes.of(place)
    for other in others:
        box = boxes.of(other)
        ahead = box.high[axis] > own.high[axis] + TOUCH if sign > 0 else box.low[axis] < own.low[axis] - TOUCH
        beside = any(
            min(own.high[k], box.high[k]) - max(own.low[k], box.low[k]) <= TOUCH for k in range(3) if k != axis
        )
        if ahead and not beside and not _opens(boxes, other, place.part, way):
            return False
    return True


def _opens(boxes: Boxes, other: Placement, for_part: str, way: Way) -> bool:
    """Whether the cut that takes a part runs out of the other on the side from which the part comes."""
    axis, sign = way
    box = boxes.of(other)
    for cut in boxes.plan.part(other.part).cuts:
        if cut.for_part != for_part:
            continue
        ends = [arrange.to_assembly(other, (cut.box.l[k], cut.box.w[k], cut.box.t[k]))[axis] for k in (0, 1)]
        if max(ends) >= box.high[axis] if sign > 0 else min(ends) <= box.low[axis]:
            return True
    return False


def _shift(
    boxes: Boxes,
    place: Placement,
    way: Way,
    ways: Sequence[tuple[Placement, Way]],
    joints: Sequence[Joint],
    reach: float,
) -> Vector:
    """Return how far a copy is moved out: clear of its place, and behind what it closes upon.

    A part that leans goes along its own length where that is its way, as it is put in.
    """
    axis, sign = way
    size = float(boxes.of(place).size[axis])
    far = max(reach, min(size + 0.15 * reach, 2.0 * reach))
    same = {other.part for other, its in ways if its == way and other is not place}
    behind = any(place.part in joint.receiving and same & set(joint.entering) for joint in joints)
    far *= 2.0 if behind else 1.0
    if place.turn is not None and axis_of(place.axes[0])[0] == axis:
        x, y, z = place.turn[0]
        along = far if place.turn[0][axis] * sign > 0 else -far
        return x * along, y * along, z * along
    shift = [0.0, 0.0, 0.0]
    shift[axis] = sign * far
    return shift[0], shift[1], shift[2]
