"""Whether the parts go together: no two in one place, joints that meet, nothing outside the piece.

Boards are taken as boxes with their cuts as boxes, other shapes as solids; small holes, and the path along
which a part is moved into place, are not looked at here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from planbook.checks.neighbours import floated, near_pairs
from planbook.checks.spaces import Standing, common, gap, standing, thinnest, without
from planbook.checks.subject import EXACT, PRACTICE, Subject, finely_shown
from planbook.plan.boxes import Space, placed, placed_box
from planbook.plan.model import Joint
from planbook.plan.stand import PIECE
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.source.text import Text
from planbook.units.editions import Edition
from planbook.units.factors import INCH

if TYPE_CHECKING:
    from planbook.checks.sockets import Entered
    from planbook.plan.shapes import Vector

TOUCH = INCH / 32
"""Two members of a joint within this, and the room of the joint, touch, in mm (common practice, no source)."""

SIDES = {"x": ("left", "right"), "y": ("front", "back"), "z": ("lower side", "upper side")}


def tolerance(edition: Edition) -> Fraction:
    """Return what rounding may bring about, in mm: 1/64 in, or half a step of the edition's sizes."""
    return max(INCH / 64, edition.resolution / 2)


def parts_overlap(subject: Subject) -> Iterator[Diagnostic]:
    """Find two parts that take the same space, other than in a cut of one of them."""
    limit = tolerance(subject.plan.edition)
    worst: dict[tuple[str, str], tuple[Fraction, Standing, Standing]] = {}
    spans: dict[int, tuple[Vector, ...]] = {}
    for one, other in _neighbours(standing(subject.plan)):
        depth = _shared(one, other, limit)
        if depth is not None and (one.shaped or other.shaped):
            # Only their boxes are known to share space.
            depth = None if _plainly_apart(one, other, limit, spans) else subject.shapes().shared(one, other, limit)
        key = (one.part.key, other.part.key)
        if depth is not None and (key not in worst or depth > worst[key][0]):
            worst[key] = (depth, one, other)
    for depth, one, other in worst.values():
        names = f"`{one.name}` and `{other.name}`"
        if one.part.key == other.part.key and one.name == other.name:
            names = f"copies {one.placement.copy} and {other.placement.copy} of `{one.name}`"
        yield Diagnostic(
            "parts-overlap",
            Severity.STOP,
            f"{names} run into each other by {finely_shown(depth, subject.plan.edition)}, "
            f"the limit is {finely_shown(limit, subject.plan.edition)}",
            other.part.span,
            further=((one.part.span, f"`{one.part.key}` is described here"),),
            help="look where both stand, or let a joint make the cut for the one that enters",
            rule=EXACT,
        )


VIEWS = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def _plainly_apart(one: Standing, other: Standing, limit: Fraction, spans: dict[int, tuple[Vector, ...]]) -> bool:
    """Whether two copies of which one leans share no space beyond the limit: in closed form, without solids.

    `spans` keeps the points that span each copy.
    """
    socket = _socket(one, other)
    if socket is not None:
        return socket.depth <= float(limit)
    turns = [copy.placement.turn for copy in (one, other) if copy.placement.turn is not None]
    if not turns:
        return False
    from planbook.checks.sockets import hull_points, seen_apart

    for copy in (one, other):
        if id(copy) not in spans:
            boxes = [floated(space) for space in copy.solid]
            spans[id(copy)] = hull_points(copy.part, copy.placement, boxes)
    ways = (*VIEWS, *(turn[0] for turn in turns))
    return seen_apart(spans[id(one)], spans[id(other)], ways, float(limit))


def _socket(one: Standing, other: Standing) -> Entered | None:
    """Return how one of two copies stands in a socket of the other, or None."""
    for leg, board in ((one, other), (other, one)):
        if leg.placement.turn is not None:
            from planbook.checks.sockets import entered

            found = entered(leg.part, leg.placement, board.part, board.placement)
            if found is not None:
                return found
    return None


def _neighbours(all_standing: tuple[Standing, ...]) -> Iterator[tuple[Standing, Standing]]:
    """Give the pairs whose boxes overlap, in the order of the plan."""
    spaces = [one.around for one in all_standing]
    for one, other in near_pairs(spaces):
        if gap(spaces[one], spaces[other]) < 0:
            yield all_standing[one], all_standing[other]


def _shared(one: Standing, other: Standing, limit: Fraction) -> Fraction | None:
    """Return how far two parts run into each other beyond the limit, or None."""
    found = []
    for mine in one.solid:
        for theirs in other.solid:
            both = common(mine, theirs)
            if both is not None:
                found += [thinnest(piece) for piece in without(both, (*one.empty, *other.empty))]
    return max((depth for depth in found if depth > limit), default=None)


def joint_open(subject: Subject) -> Iterator[Diagnostic]:
    """Find joints whose members do not meet: a part that ends before it, or a cut that is not filled."""
    placed_parts = standing(subject.plan)
    for joint in subject.plan.joints:
        entering = [one for one in placed_parts if one.part.key in joint.entering]
        receiving = [one for one in placed_parts if one.part.key in joint.receiving and _meant(subject, joint, one)]
        if not entering or not receiving:
            continue
        found = list(_unmet(subject, joint, entering, receiving))
        if joint.kind == "butt":
            found += _unmet(subject, joint, receiving, entering)
        else:
            found += _unfilled(joint, receiving, entering)
        for name, (distance, limit) in _worst(found).items():
            yield Diagnostic(
                "joint-open",
                Severity.WARN,
                f"`{joint.name}` stays open at `{name}` by {finely_shown(distance, subject.plan.edition)}, "
                f"the limit is {finely_shown(limit, subject.plan.edition)}",
                joint.span,
                help="look at the sizes and places of its parts, or leave out of it what does not belong to it",
                rule=PRACTICE,
            )


def _meant(subject: Subject, joint: Joint, one: Standing) -> bool:
    """Whether a joint means this hand of a pair: where the source names one hand, only that one."""
    if subject.written is None or not one.placement.hand:
        return True
    source = next((words for key, words in subject.written.facts.joints.items() if key == joint.name), None)
    named: Sequence[Text] = (*source.in_, *source.to) if source is not None else ()
    words = [" ".join(text.split()) for text in named]
    return not words or one.part.key in words or one.name in words


class Apart(NamedTuple):
    """How far a part is from what it should meet."""

    name: str
    distance: Fraction
    limit: Fraction


def _unmet(subject: Subject, joint: Joint, ones: list[Standing], others: list[Standing]) -> Iterator[Apart]:
    """Give how far each of some parts is from the nearest of the others."""
    limit = joint.room + TOUCH
    for one in ones:
        apart = [(min(gap(mine, theirs) for mine in one.solid for theirs in other.solid), other) for other in others]
        distance, other = min(apart, key=lambda found: found[0])
        leans = one.placement.turn is not None or other.placement.turn is not None
        if leans and distance <= limit:
            # Only the boxes round them are known to meet.
            near = (other for box, other in apart if box <= limit)
            distance = min(_measured(subject, one, other, limit) for other in near)
        yield Apart(one.name, distance, limit)


def _measured(subject: Subject, one: Standing, other: Standing, limit: Fraction) -> Fraction:
    """Return how far two copies are apart, of which one leans."""
    socket = _socket(one, other)
    if socket is not None and socket.touches <= float(limit):
        return Fraction(0)
    return subject.shapes().apart(one, other, limit)


def _unfilled(joint: Joint, receiving: list[Standing], entering: list[Standing]) -> Iterator[Apart]:
    """Give how far what enters each cut stays from its bed: half of the depth at most, for parts with play."""
    for host in receiving:
        for cut in host.part.cuts:
            if cut.name != joint.name or cut.hand not in ("", host.placement.hand):
                continue
            space = placed(cut.box, host.placement)
            solids = [solid for one in entering if one.part.key == cut.for_part for solid in one.solid]
            if solids:
                distance = min(_from_bed(space, solid, host) for solid in solids)
                yield Apart(host.name, distance, max(joint.room + TOUCH, cut.deep / 2))


def _from_bed(cut: Space, solid: Space, host: Standing) -> Fraction:
    """Return how far a part is from a cut, or from the bed of the cut where it lies in it."""
    axis = "xyz".index(host.placement.axes[2][1])
    (low, high), whole = cut[axis], placed_box(host.part, host.placement)[axis]
    # The bed is the side of the cut that has wood behind it.
    from_bed = solid[axis][0] - low if low - whole[0] >= whole[1] - high else high - solid[axis][1]
    return max(gap(cut, solid), from_bed)


def _worst(found: list[Apart]) -> dict[str, tuple[Fraction, Fraction]]:
    """Return the largest distance beyond its limit for each part, with the limit."""
    worst: dict[str, tuple[Fraction, Fraction]] = {}
    for name, distance, limit in found:
        if distance > limit and (name not in worst or distance > worst[name][0]):
            worst[name] = (distance, limit)
    return worst


def parts_outside(subject: Subject) -> Iterator[Diagnostic]:
    """Find parts that stand beyond the dims of the piece: wide, deep, high."""
    limit = tolerance(subject.plan.edition)
    worst: dict[str, tuple[Fraction, str, str, Fraction]] = {}
    ends = _piece(subject)
    for one in standing(subject.plan):
        for axis, (name, size) in ends.items():
            low, high = one.around["xyz".index(axis)]
            for beyond, side in zip((-low, high - size), SIDES[axis], strict=True):
                if beyond > limit and (one.part.key not in worst or beyond > worst[one.part.key][0]):
                    worst[one.part.key] = (beyond, side, name, size)
    spans = {part.key: part.span for part in (*subject.plan.parts, *subject.plan.fittings)}
    for key, (beyond, side, name, size) in worst.items():
        yield Diagnostic(
            "parts-outside",
            Severity.WARN,
            f"`{key}` stands out at the {side} by {finely_shown(beyond, subject.plan.edition)}, "
            f"the piece is {subject.shown(size)} by its dim `{name}`",
            spans[key],
            help=f"look where `{key}` stands, or change `{name}`",
            rule=EXACT,
        )


def _piece(subject: Subject) -> dict[str, tuple[str, Fraction]]:
    """Return name and size of the dim that gives the piece along each axis, where there is one."""
    dims = {dim.name: dim.value for dim in subject.plan.dims if not dim.angle}
    found = {}
    for axis, names in PIECE.items():
        name = next((name for name in names if name in dims), None)
        if name is not None:
            found[axis] = (name, dims[name])
    return found
