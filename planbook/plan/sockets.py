"""Bored sockets for round ends: they follow the lean of what enters them."""

from __future__ import annotations

import math
from fractions import Fraction

from planbook.plan import joints, stand, values
from planbook.plan.draft import Draft
from planbook.plan.frames import AXES
from planbook.plan.jigs import near
from planbook.plan.model import Hole
from planbook.plan.shapes import Vector
from planbook.plan.splay import Stance, stance
from planbook.source.schema.joints import SocketSource
from planbook.source.schema.shapes import DiscSource
from planbook.source.text import Text
from planbook.units.editions import snap


def source_of(draft: Draft, name: str) -> SocketSource:
    """Return the words of a socket joint."""
    joint = joints.source_of(draft, name)
    assert isinstance(joint, SocketSource)
    return joint


def deep(draft: Draft, name: str) -> Fraction:
    """Return how deep a socket is square to its face, in mm: the thickness of what is bored through."""
    source = source_of(draft, name)
    if source.through:
        return stand.thick(draft, joints.receiving(draft, name)[0][0])
    if source.deep is None:
        key = joints.key_of(draft, name)
        raise draft.fail("no-size", f"the socket `{name}` has no depth", key.span, help="add `deep:`, or `through:`")
    return snap(values.size(draft, source.deep, "joinery", word="deep"), draft.edition)


def count(draft: Draft, name: str) -> int:
    """Return how many sockets a joint has in one piece."""
    hosts = sum(1 if hand else stand.copies(draft, part) for part, hand in joints.receiving(draft, name))
    return hosts * sum(stand.copies(draft, part) for part in joints.entering(draft, name))


def diameter(draft: Draft, name: str) -> Fraction:
    """Return the diameter of the bore in mm: that of what enters, and the room of the joint."""
    return snap(joints.wide(draft, name) + joints.room(draft, name), draft.edition)


def stroke(draft: Draft, name: str) -> Fraction:
    """Return how far the bit travels through the wood, in mm.

    Along the slanted bore, and on until the whole rim of the bit is through: t / cos a + d tan a, by geometry.
    """
    angle = max((found.angle for found in _stances(draft, name)), default=0.0)
    along = float(deep(draft, name)) / math.cos(angle)
    return near(along + float(diameter(draft, name)) * math.tan(angle))


def wood_outside(draft: Draft, name: str) -> Fraction | None:
    """Return the least wood between a socket's rim and the rim of a disc, on either face, in mm; None for others.

    The slanted bore meets a face in an ellipse whose long axis lies along the lean: d / (2 cos a).
    """
    host = joints.receiving(draft, name)[0][0]
    form = draft.forms.get(host)
    if not isinstance(form, DiscSource):
        return None
    low, high = stand.interval(draft, host, "x")
    rim = float(high - low) / 2
    half = float(diameter(draft, name)) / 2
    least = rim
    for found in _stances(draft, name):
        for height in (found.face, found.beyond):
            x, y = (a - b for a, b in zip(found.spot(0, height), found.middle, strict=True))
            out = math.hypot(x, y)
            along = (x * found.ways[0][0] + y * found.ways[0][1]) / out if out else 1.0
            reach = math.hypot(half / math.cos(found.angle) * along, half * math.sqrt(max(1 - along * along, 0.0)))
            least = min(least, rim - out - reach)
    return near(least)


def _stances(draft: Draft, name: str) -> list[Stance]:
    found = (stance(draft, part) for part in joints.entering(draft, name))
    return [one for one in found if one is not None]


def bored_in(draft: Draft, part: str, steps: dict[str, int]) -> list[Hole]:
    """Return all sockets of a part, in the order of the joints; places are exact, they are set out by angles."""
    found: list[Hole] = []
    for key, joint in draft.facts.joints.items():
        if not isinstance(joint, SocketSource):
            continue
        if any(host == part for host, _ in joints.receiving(draft, key)):
            for entering in joints.entering(draft, key):
                found.extend(_sockets(draft, key, joint, part, entering, steps.get(str(key))))
    return found


def _sockets(draft: Draft, key: Text, joint: SocketSource, part: str, entering: str, step: int | None) -> list[Hole]:
    lie = stand.frame_of(draft, part)
    stands = stance(draft, entering)
    from_show = _from_show(draft, joint, part)
    faces = lie.faces()
    if stands is not None and lie.t != "z":
        raise draft.fail(
            "which-face", f"`{part}` does not lie flat, so no socket of it follows the lean of `{entering}`", key.span
        )
    deepness = None if joint.through else deep(draft, str(key))
    if deepness is not None and deepness >= stand.thick(draft, part):
        draft.findings.stop(
            "bored-through",
            f"`{key}` is {values.shown(draft, deepness)} deep, `{part}` is "
            f"{values.shown(draft, stand.thick(draft, part))} thick",
            key.span,
            help=f"make it less deep, or write `through: {part}`",
        )
    spots = _leaning(draft, part, stands, from_show) if stands is not None else _square(draft, part, entering)
    return [
        Hole(
            group=str(key),
            part=part,
            face=faces.show if from_show else faces.reverse,
            l=long,
            w=wide,
            diameter=diameter(draft, str(key)),
            deep=deepness,
            from_show=from_show,
            role="socket",
            row=1,
            step=step,
            mate=entering,
            axis=axis,
        )
        for long, wide, axis in spots
    ]


def _from_show(draft: Draft, joint: SocketSource, part: str) -> bool:
    lie = stand.frame_of(draft, part)
    if joint.from_ is None:
        return lie.t_sign < 0
    side = lie.side_of_face(joint.from_)
    if side is None:
        faces = lie.faces()
        raise draft.fail(
            "which-face",
            f"`{joint.from_}` is no face of `{part}`",
            joint.from_.span,
            help=f"its faces are `{faces.show}` and `{faces.reverse}`",
        )
    return side == "show"


Spot = tuple[Fraction, Fraction, Vector | None]


def _leaning(draft: Draft, part: str, stands: Stance, from_show: bool) -> list[Spot]:
    """Return where each bit enters, and which way it goes, for parts that lean."""
    lie = stand.frame_of(draft, part)
    low, high = stand.interval(draft, part, "z")
    up = lie.t_sign > 0
    enters_above = from_show == up
    height = high if enters_above else low
    found: list[Spot] = []
    for copy, (x, y) in enumerate(stands.ways):
        spot = stands.spot(copy, height)
        own = {axis: near(spot["xy".index(axis)]) - stand.interval(draft, part, axis)[0] for axis in (lie.l, lie.w)}
        run, rise = math.sin(stands.angle), math.cos(stands.angle)
        # Up along the middle line of the part that enters, or down where the bit comes from above.
        sign = -1.0 if enters_above else 1.0
        way = {"x": -x * run * sign, "y": -y * run * sign, "z": rise * sign}
        axis = (way[lie.l], way[lie.w], way["z"] * lie.t_sign)
        found.append((own[lie.l], own[lie.w], axis if stands.slope else None))
    return found


def _square(draft: Draft, part: str, entering: str) -> list[Spot]:
    """Return where sockets stand for parts that enter square to the face."""
    lie = stand.frame_of(draft, part)
    found: list[Spot] = []
    for shift in stand.copy_shifts(draft, entering):
        place = []
        for axis in (lie.l, lie.w):
            middle = sum(stand.interval(draft, entering, axis), Fraction(0)) / 2 + shift[AXES.index(axis)]
            place.append(snap(middle - stand.interval(draft, part, axis)[0], draft.edition))
        found.append((place[0], place[1], None))
    return found
