"""Where parts stand: exact boxes, points carried from a part to the assembly, parts laid on the bench."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from planbook.plan.boxes import placed_box
from planbook.plan.model import Box, Part, Placement, Plan
from planbook.plan.shapes import Turned

Point = tuple[Fraction, Fraction, Fraction]

AXES = ("x", "y", "z")


@dataclass(frozen=True, slots=True)
class Bounds:
    """A box along the axes of the assembly, in mm."""

    low: Point
    high: Point

    @property
    def size(self) -> Point:
        """Return its size along x, y and z."""
        x, y, z = (high - low for low, high in zip(self.low, self.high, strict=True))
        return (x, y, z)


def axis_of(direction: str) -> tuple[int, int]:
    """Return the number of the axis (0 for x) and the sign of a direction such as `-y`."""
    return AXES.index(direction[1]), -1 if direction[0] == "-" else 1


def mirrored(placement: Placement) -> bool:
    """Whether the part's axes l, w, t form a left-handed frame where it stands."""
    columns = [axis_of(direction) for direction in placement.axes]
    order = tuple(axis for axis, _ in columns)
    sign = columns[0][1] * columns[1][1] * columns[2][1]
    even = order in ((0, 1, 2), (1, 2, 0), (2, 0, 1))
    return (sign > 0) != even


def to_assembly(placement: Placement, point: Point) -> Point:
    """Return where a point of the part (l, w, t) lies in the assembly; exact unless the part leans."""
    place = list(placement.origin)
    if placement.turn is not None:
        for value, way in zip(point, placement.turn, strict=True):
            for axis in range(3):
                place[axis] += value * Fraction(way[axis])
        return (place[0], place[1], place[2])
    for value, direction in zip(point, placement.axes, strict=True):
        axis, sign = axis_of(direction)
        place[axis] += sign * value
    return (place[0], place[1], place[2])


def part_box(part: Part) -> Box:
    """Return the box around the part and its edgings, in the part's own axes.

    An edging may stand beyond the part's thickness (a rail under a shelf).
    """
    zero = Fraction(0)
    own = Box((zero, part.length.final), (zero, part.width.final), (zero, part.thick))
    boxes = [own, *(edging.box for edging in part.edgings)]

    def around(axis: str) -> tuple[Fraction, Fraction]:
        ranges = [getattr(box, axis) for box in boxes]
        return min(low for low, _ in ranges), max(high for _, high in ranges)

    return Box(around("l"), around("w"), around("t"))


def bounds(plan: Plan, placement: Placement) -> Bounds:
    """Return the box around one copy where it stands."""
    part = plan.part(placement.part)
    if placement.turn is not None or isinstance(part.shape, Turned):
        x, y, z = placed_box(part, placement)
        return Bounds((x[0], y[0], z[0]), (x[1], y[1], z[1]))
    box = part_box(part)
    one = to_assembly(placement, (box.l[0], box.w[0], box.t[0]))
    other = to_assembly(placement, (box.l[1], box.w[1], box.t[1]))
    return _around([one, other])


def overall(plan: Plan) -> Bounds:
    """Return the box around everything that is placed; raises ValueError where nothing is."""
    each = [bounds(plan, placement) for placement in plan.placements]
    return _around([corner for one in each for corner in (one.low, one.high)])


def laid_flat(plan: Plan, placement: Placement, *, show_up: bool = True) -> Placement:
    """Return the same copy lying on the bench: l to the right, its show face (or its reverse) up.

    A left and a right hand stay mirror images: the datum edge is toward the viewer on one and away on
    the other. The box around the part begins at x = y = z = 0.
    """
    upward = "+z" if show_up else "-z"
    across = "-y" if mirrored(placement) == show_up else "+y"
    flat = replace(placement, origin=(Fraction(0),) * 3, axes=("+x", across, upward), turn=None)
    low = bounds(plan, flat).low
    return replace(flat, origin=(-low[0], -low[1], -low[2]))


def _around(points: list[Point]) -> Bounds:
    if not points:
        raise ValueError("nothing is placed")
    columns = list(zip(*points, strict=True))
    return Bounds(
        (min(columns[0]), min(columns[1]), min(columns[2])),
        (max(columns[0]), max(columns[1]), max(columns[2])),
    )
