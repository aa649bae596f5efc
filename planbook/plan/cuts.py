"""The cuts that joints make: the space that becomes empty, in the part's own axes."""

from __future__ import annotations

from fractions import Fraction

from planbook.plan import joints, stand, values
from planbook.plan.draft import Draft
from planbook.plan.frames import AXES
from planbook.plan.model import Box, Cut, CutKind, Range
from planbook.source.text import Text
from planbook.units.editions import snap


def cuts_in(draft: Draft, part: str, steps: dict[str, int]) -> tuple[Cut, ...]:
    """Return all cuts of a part, rounded, in the order of the joints; `steps` says who makes them."""
    found: list[Cut] = []
    for key in draft.facts.joints:
        kind = joints.kind_of(draft, key)
        if kind not in ("dado", "groove", "rabbet"):
            continue
        for host, hand in joints.receiving(draft, key):
            if host != part:
                continue
            joints.check_upright(draft, str(key))
            if kind == "rabbet":
                found.append(_rabbet(draft, key, part, hand, steps.get(str(key))))
            else:
                found.extend(_channels(draft, key, kind, part, hand, steps.get(str(key))))
    return tuple(found)


def _depth(draft: Draft, key: Text, part: str) -> Fraction:
    """Return the depth of a joint after a look at the wood it leaves."""
    depth, thick = joints.deep(draft, key), stand.thick(draft, part)
    if depth >= thick:
        draft.findings.stop(
            "cut-through",
            f"`{key}` is {values.shown(draft, depth)} deep, but `{part}` is {values.shown(draft, thick)} thick",
            key.span,
            help="make the joint less deep, or the part of thicker stock",
        )
        depth = thick / 2
    return snap(depth, draft.edition)


def _band(draft: Draft, part: str, depth: Fraction, *, show: bool) -> Range:
    thick = stand.thick(draft, part)
    return (thick - depth, thick) if show else (Fraction(0), depth)


def _is_show(draft: Draft, key: Text, part: str, towards: bool | None) -> bool:
    """Whether a joint is cut into the show face: as `on` says, or on the side of what enters.

    `towards` is whether what enters stands on the side of the show face; None where nothing tells.
    """
    joint = joints.source_of(draft, key)
    if joint.on is None:
        return True if towards is None else towards
    lie = stand.frame_of(draft, part)
    side = lie.side_of_face(joint.on)
    if side is None and joint.on == "inside" and towards is not None:
        side = "show" if towards else "reverse"
    faces = lie.faces()
    if side is None:
        raise draft.fail(
            "which-face",
            f"`{joint.on}` is no face of `{part}`",
            joint.on.span,
            help=f"its faces are `{faces.show}` and `{faces.reverse}`",
        )
    if towards is not None and (side == "show") != towards:
        raise draft.fail(
            "wrong-face",
            f"`{key}` is cut into the {joint.on} of `{part}`, but what enters comes from the other side",
            joint.on.span,
            help=f"write `on: {faces.show if towards else faces.reverse}`",
        )
    return side == "show"


def _rabbet(draft: Draft, key: Text, part: str, hand: str, step: int | None) -> Cut:
    lie = stand.frame_of(draft, part)
    axis, high = joints.edge_of(draft, key, part)
    wide = snap(joints.wide(draft, key), draft.edition)
    depth = _depth(draft, key, part)
    sizes = {own: _size(draft, part, own) for own in ("l", "w")}
    spans: dict[str, Range] = {own: (Fraction(0), sizes[own]) for own in ("l", "w")}
    own = lie.own_axis(axis)
    if wide >= sizes[own]:
        raise draft.fail(
            "cut-through",
            f"`{key}` is {values.shown(draft, wide)} wide, but `{part}` is {values.shown(draft, sizes[own])} there",
            key.span,
            help="make the rabbet less wide, or look along which edge it runs",
        )
    spans[own] = (sizes[own] - wide, sizes[own]) if high else (Fraction(0), wide)
    show = _is_show(draft, key, part, None)
    faces = lie.faces()
    entering = joints.entering(draft, key)
    return Cut(
        name=str(key),
        kind=CutKind.RABBET,
        part=part,
        hand=hand,
        face=faces.show if show else faces.reverse,
        box=Box(spans["l"], spans["w"], _band(draft, part, depth, show=show)),
        deep=depth,
        wide=wide,
        for_part=entering[0] if entering else None,
        step=step,
    )


def _size(draft: Draft, part: str, own: str) -> Fraction:
    low, high = stand.interval(draft, part, getattr(stand.frame_of(draft, part), own))
    return snap(high - low, draft.edition)


def _channels(draft: Draft, key: Text, kind: str, part: str, hand: str, step: int | None) -> list[Cut]:
    """Return a dado or groove for each part, each copy and each hand of it, that enters."""
    found = []
    for text in joints.source_of(draft, key).for_:
        entering, named = stand.part_named(draft, text)
        for theirs in _hands(draft, part, hand, entering, named):
            for shift in stand.copy_shifts(draft, entering):
                found.append(_channel(draft, key, kind, (part, hand), (entering, theirs), shift, step))
    return found


def _hands(draft: Draft, part: str, hand: str, entering: str, named: str) -> tuple[str, ...]:
    """Return which hands of a pair enter; a pair in a pair meets the hand on its own side alone."""
    if named or not draft.parts[entering].pair:
        return (named,)
    return (hand or "L",) if draft.parts[part].pair else ("L", "R")


def _channel(
    draft: Draft,
    key: Text,
    kind: str,
    host: tuple[str, str],
    guest: tuple[str, str],
    shift: tuple[Fraction, ...],
    step: int | None,
) -> Cut:
    """Return the channel that one hand of a host gets for one hand of a guest."""
    (part, hand), (entering, theirs) = host, guest
    lie = stand.frame_of(draft, part)
    spans: dict[str, Range] = {}
    for own in ("l", "w"):
        axis = getattr(lie, own)
        low, high = stand.interval(draft, part, axis)
        place = stand.of_hand(draft, entering, axis, theirs)
        if hand == "R" and axis == "x":
            # A cut is told in the axes of the left hand.
            place = stand.mirrored(draft, entering, place)
        start, stop = (end + shift[AXES.index(axis)] for end in place)
        start, stop = max(start, low), min(stop, high)
        if stop <= start:
            raise draft.fail(
                "joint-apart",
                f"`{entering}` does not meet `{part}`, so `{key}` has nothing to cut",
                key.span,
                help=f"look where `{entering}` and `{part}` stand",
            )
        spans[own] = (snap(start - low, draft.edition), snap(stop - low, draft.edition))
    depth = _depth(draft, key, part)
    towards = _towards(draft, host, guest)
    show = _is_show(draft, key, part, towards)
    along = next(own for own in ("l", "w") if getattr(lie, own) != stand.frame_of(draft, entering).t)
    spans[along] = _through(draft, part, along, spans[along], depth, show=show)
    faces = lie.faces()
    wide = min(stop - start for start, stop in spans.values())
    return Cut(
        name=str(key),
        kind=CutKind(kind),
        part=part,
        hand=hand,
        face=faces.show if show else faces.reverse,
        box=Box(spans["l"], spans["w"], _band(draft, part, depth, show=show)),
        deep=depth,
        wide=wide,
        for_part=entering,
        step=step,
    )


def _through(draft: Draft, part: str, along: str, span: Range, depth: Fraction, *, show: bool) -> Range:
    """Let a channel run on through a rabbet of the same face that takes the wood there anyway.

    It is then one cut from edge to edge, with no place to stop at that nobody will see.
    """
    lie = stand.frame_of(draft, part)
    size = _size(draft, part, along)
    for key, joint in draft.facts.joints.items():
        if not joint.rabbet or all(host != part for host, _ in joints.receiving(draft, key)):
            continue
        axis, high = joints.edge_of(draft, key, part)
        if lie.own_axis(axis) != along or _is_show(draft, key, part, None) != show:
            continue
        if snap(joints.deep(draft, key), draft.edition) < depth:
            continue
        wide = snap(joints.wide(draft, key), draft.edition)
        if high and span[1] == size - wide:
            span = (span[0], size)
        elif not high and span[0] == wide:
            span = (Fraction(0), span[1])
    return span


def _towards(draft: Draft, host: tuple[str, str], guest: tuple[str, str]) -> bool:
    """Whether what enters stands on the side of the part's show face."""
    part, hand = host
    lie = stand.frame_of(draft, part)
    own = stand.of_hand(draft, part, lie.t, hand)
    other = stand.of_hand(draft, guest[0], lie.t, guest[1])
    sign = -lie.t_sign if hand == "R" and lie.t == "x" else lie.t_sign
    return (sum(other) > sum(own)) == (sign > 0)
