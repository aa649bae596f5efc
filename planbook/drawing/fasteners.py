"""Screws, nails and bolts of a step, each as a short axis with its head, where it is driven in."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from planbook.drawing.dimension import along, unit
from planbook.drawing.motion import Boxes, Move, contacts
from planbook.drawing.pictorial import Item, Pictorial, Scaled, to_space
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LineKind
from planbook.plan.driven import HIDDEN
from planbook.plan.fastened import Fastened
from planbook.plan.model import Joint, Placement, Plan
from planbook.shape.arrange import Bounds, axis_of
from planbook.shape.direction import Vector

DRIVEN = re.compile(r"\b(screw|nail|bolt|brad)s?\b", re.IGNORECASE)
NAILED = re.compile(r"\b(nail|brad)s?\b", re.IGNORECASE)
AXIS, SHANK, HEAD = 9.0, 4.5, 1.5
"""mm on paper: the axis outside the wood, the shank at its end, half of the head."""
MOST = 24
"""More fasteners than this on one joint are not drawn one by one."""


@dataclass(frozen=True, slots=True)
class Fastener:
    """Where one is driven in, and the way back out along its axis, in the assembly."""

    foot: Vector
    out: Vector


def fasteners_of(
    view: Pictorial, plan: Plan, boxes: Boxes, joint: Joint, moves: Sequence[Move], staying: Sequence[Placement]
) -> list[Fastener]:
    """Return the fasteners of a joint that enter a part that comes, on a side turned to the viewer.

    They stand in the holes of the joint. Where it has none and their count or spacing is known, they are
    spaced evenly along the line on which the parts meet: nails through the part that comes, screws only
    if it receives the other, since a screw may as well come from within.
    """
    if not any(DRIVEN.search(text) for text in joint.by):
        return []
    placed = [one for one in plan.fastened if one.joint == joint.name]
    if placed:
        return _in_place(view, placed, moves, staying)
    if joint.kind == "bolts":
        # They come through the bar of what is bought, from the side that is turned away.
        return []
    partners = {*joint.receiving, *joint.entering}
    found: list[Fastener] = []
    for move in moves:
        out = _vector(*move.way)
        if move.placement.part not in partners or not _turned(view, out):
            continue
        item = next(item for item in view.items if item.standing.placement is move.placement)
        bored = _in_holes(plan, item, joint)
        if bored:
            found += [one for one in bored if _turned(view, one.out)]
            continue
        if move.placement.part not in joint.receiving and not any(NAILED.search(text) for text in joint.by):
            continue
        own = boxes.of(move.placement)
        for _, meeting in contacts(boxes, move.placement, [p for p in staying if p.part in partners]):
            found += [Fastener(_moved(foot, move.shift), out) for foot in _spaced(own, meeting, move, joint)]
    return found if len(found) <= MOST else []


def _in_place(
    view: Pictorial, fastened: Sequence[Fastened], moves: Sequence[Move], staying: Sequence[Placement]
) -> list[Fastener]:
    """Return those that are driven in this step from a side turned to the viewer, each in its place.

    A head moves out with the part it lies on. What lies within both parts has none.
    """
    shifts = {id(move.placement): move.shift for move in moves}
    there = {*shifts, *(id(placement) for placement in staying)}
    found = []
    for one in fastened:
        if one.kind in HIDDEN:
            continue
        for place in one.places:
            members = [*place.passes, *([place.into] if place.into is not None else [])]
            if not all(id(member) in there for member in members):
                continue
            out = (-place.way[0], -place.way[1], -place.way[2])
            if _turned(view, out):
                found.append(Fastener(_moved(place.start, shifts.get(id(members[0]), (0.0, 0.0, 0.0))), out))
    return found if len(found) <= MOST else []


def _vector(axis: int, sign: float) -> Vector:
    x, y, z = (sign if k == axis else 0.0 for k in range(3))
    return x, y, z


def _turned(view: Pictorial, out: Vector) -> bool:
    return sum(a * b for a, b in zip(view.view.direction.toward, out, strict=True)) > 1e-6


def _moved(point: Vector, shift: Vector) -> Vector:
    return point[0] + shift[0], point[1] + shift[1], point[2] + shift[2]


def _in_holes(plan: Plan, item: Item, joint: Joint) -> list[Fastener]:
    part = plan.part(item.standing.version.part)
    axis, sign = axis_of(item.standing.placement.axes[2])
    found = []
    for hole in part.holes:
        if hole.group == joint.name and hole.deep is None:
            # Through holes are entered from the reverse, which is outside: the show face meets the mate.
            foot = to_space(item, (float(hole.l), float(hole.w), 0.0))
            found.append(Fastener(foot, _vector(axis, -float(sign))))
    return found


def _spaced(own: Bounds, meeting: Bounds, move: Move, joint: Joint) -> list[Vector]:
    """Return where fasteners enter the outer face of a part, over the middle of what meets another."""
    axis, sign = move.way
    line = max((k for k in range(3) if k != axis), key=lambda k: meeting.size[k])
    long = float(meeting.size[line])
    if joint.count is not None:
        count = joint.count
    elif joint.every is not None:
        count = int(long / float(joint.every)) + 1
    else:
        return []
    step = float(joint.every) if joint.every is not None and joint.count is None else long / count
    centre = [float(a + b) / 2 for a, b in zip(meeting.low, meeting.high, strict=True)]
    centre[axis] = float(own.high[axis] if sign > 0 else own.low[axis])
    middle = centre[line]
    feet: list[Vector] = []
    for number in range(count):
        centre[line] = middle + (number - (count - 1) / 2) * step
        feet.append((centre[0], centre[1], centre[2]))
    return feet


def draw_fasteners(sheet: Sheet, view: Scaled, fasteners: Sequence[Fastener]) -> None:
    """Draw each as its axis, with shank and head at the outer end."""
    for one in fasteners:
        foot, ahead = view.at(one.foot), view.at(_moved(one.foot, one.out))
        way = unit(ahead[0] - foot[0], ahead[1] - foot[1])
        end = along(foot, way, AXIS)
        sheet.line(LineKind.CENTRE, foot, end)
        sheet.line(LineKind.STROKE, along(end, way, -SHANK), end)
        square = (-way[1], way[0])
        sheet.line(LineKind.STROKE, along(end, square, -HEAD), along(end, square, HEAD))
