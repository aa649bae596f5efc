"""Mortise and tenon, and half laps: what they take out of both parts, in the parts' own axes."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from planbook.plan import joints, stand, values
from planbook.plan.draft import Draft
from planbook.plan.frames import AXES
from planbook.plan.model import Box, Cut, CutKind, Range
from planbook.source.schema.joints import HalfLapSource, MortiseSource
from planbook.source.text import Text
from planbook.units.editions import snap

Space = dict[str, Range]
"""From and to along x, y and z, in mm."""


def deep(draft: Draft, name: str) -> Fraction:
    """Return how deep a mortise is, or how much each part of a half lap loses, in mm, rounded."""
    source = joints.source_of(draft, name)
    if isinstance(source, MortiseSource):
        return snap(values.size(draft, source.deep, "joinery", word="deep"), draft.edition)
    space, axis = _crossing(draft, joints.key_of(draft, name))
    low, high = space[axis]
    return snap((high - low) / 2, draft.edition)


def wide(draft: Draft, name: str) -> Fraction:
    """Return the width of a mortise, or of what enters a half lap, in mm, rounded."""
    source = joints.source_of(draft, name)
    if isinstance(source, MortiseSource):
        return snap(values.size(draft, source.mortise, "joinery", word="mortise"), draft.edition)
    part = joints.entering(draft, name)[0]
    low, high = stand.interval(draft, part, stand.frame_of(draft, part).w)
    return snap(high - low, draft.edition)


def cuts_in(draft: Draft, part: str, steps: dict[str, int]) -> Iterator[Cut]:
    """Give what these joints take out of a part, in the order of the source."""
    for key, source in draft.facts.joints.items():
        if isinstance(source, MortiseSource):
            yield from _mortises(draft, key, source, part, steps.get(str(key)))
        elif isinstance(source, HalfLapSource):
            yield from _lap(draft, key, part, steps.get(str(key)))


def _mortises(draft: Draft, key: Text, source: MortiseSource, part: str, step: int | None) -> Iterator[Cut]:
    entering = joints.entering(draft, key)
    if part in (*entering, *(host for host, _ in joints.receiving(draft, key))):
        joints.check_upright(draft, str(key))
    for host, hand in joints.receiving(draft, key):
        for rail in entering:
            if host == part:
                for at in _hands(draft, host, hand)[:1]:
                    yield _mortise(draft, key, host, hand, rail, at, step)
            if rail == part:
                for at in _hands(draft, host, hand):
                    yield from _tenon(draft, key, source, host, at, rail, step)


def _hands(draft: Draft, host: str, hand: str) -> list[str]:
    """Return the hands of a host that a part enters: that which is named, or both of a pair that it is between."""
    words = draft.parts[host]
    if words.pair is None:
        return [""]
    return [hand] if hand else ["L", "R"]


def _space(draft: Draft, part: str, hand: str = "") -> Space:
    return {axis: stand.of_hand(draft, part, axis, hand) for axis in AXES}


def _meeting(draft: Draft, key: Text, host: str, hand: str, rail: str) -> tuple[str, bool]:
    """Return the axis along which a part enters its host, and whether it comes from the upper side."""
    lie = stand.frame_of(draft, rail)
    mine, theirs = _space(draft, rail)[lie.l], _space(draft, host, hand)[lie.l]
    if stand.frame_of(draft, host).l == lie.l:
        raise draft.fail(
            "joint-apart",
            f"`{rail}` runs along `{host}`, so its end does not enter it",
            key.span,
            help=f"look which way `{rail}` and `{host}` run",
        )
    return lie.l, sum(mine) > sum(theirs)


def _section(draft: Draft, key: Text, rail: str) -> Space:
    """Return the tenon square to its length: centred in the thickness, short of the edges by the shoulders."""
    source = joints.source_of(draft, key)
    assert isinstance(source, MortiseSource)
    lie, whole = stand.frame_of(draft, rail), _space(draft, rail)
    thick = wide(draft, key)
    low, high = whole[lie.t]
    if thick >= high - low:
        raise draft.fail(
            "cut-through",
            f"the tenon of `{key}` is {values.shown(draft, thick)} thick, `{rail}` {values.shown(draft, high - low)}",
            key.span,
            help="make it about a third of the thickness",
        )
    shoulder = snap(values.clearance(draft, source.shoulder, "joinery", word="shoulder"), draft.edition)
    first, last = whole[lie.w]
    if 2 * shoulder >= last - first:
        raise draft.fail("cut-through", f"the shoulders of `{key}` leave nothing of its tenon", key.span)
    middle = (low + high) / 2
    return {lie.t: (middle - thick / 2, middle + thick / 2), lie.w: (first + shoulder, last - shoulder)}


def _mortise(draft: Draft, key: Text, host: str, hand: str, rail: str, at: str, step: int | None) -> Cut:
    axis, above = _meeting(draft, key, host, at, rail)
    whole, depth = _space(draft, host, at), deep(draft, key)
    low, high = whole[axis]
    if depth > high - low:
        raise draft.fail(
            "cut-through",
            f"the mortise of `{key}` is {values.shown(draft, depth)} deep, `{host}` has "
            f"{values.shown(draft, high - low)} there",
            key.span,
            help="make it less deep",
        )
    space = {**_section(draft, key, rail), axis: (high - depth, high) if above else (low, low + depth)}
    for other, (start, stop) in space.items():
        if start < whole[other][0] or stop > whole[other][1]:
            raise draft.fail(
                "joint-apart",
                f"the tenon of `{rail}` misses `{host}` {stand.DIRECTION[other]}",
                key.span,
                help=f"look where `{rail}` stands",
            )
    # A pair is described as its left hand: the right one is its mirror image.
    return _cut(draft, key, host, hand, _own(draft, host, space, whole, at), CutKind.MORTISE, rail, depth, step)


def _tenon(
    draft: Draft, key: Text, source: MortiseSource, host: str, at: str, rail: str, step: int | None
) -> Iterator[Cut]:
    axis, above = _meeting(draft, key, host, at, rail)
    whole, section = _space(draft, rail), _section(draft, key, rail)
    long = deep(draft, key) - snap(values.clearance(draft, source.room, "joinery", word="room"), draft.edition)
    low, high = whole[axis]
    end = (low, low + long) if above else (high - long, high)
    lie = stand.frame_of(draft, rail)
    for own in (lie.t, lie.w):
        first, last = whole[own]
        start, stop = section[own]
        for span in ((first, start), (stop, last)):
            if span[0] < span[1]:
                space = {**whole, axis: end, own: span}
                box = _own(draft, rail, space, whole)
                yield _cut(draft, key, rail, "", box, CutKind.TENON, host, span[1] - span[0], step)


def _own(draft: Draft, part: str, space: Space, whole: Space, hand: str = "") -> Box:
    """Return a space of the assembly in a part's own axes, rounded once from its datum."""
    lie = stand.frame_of(draft, part)
    spans = []
    for own in ("l", "w", "t"):
        axis = getattr(lie, own)
        base, far = whole[axis]
        low, high = (snap(place - base, draft.edition) for place in space[axis])
        if (own == "t" and lie.t_sign < 0) != (hand == "R" and axis == "x"):
            size = snap(far - base, draft.edition)
            low, high = size - high, size - low
        spans.append((low, high))
    return Box(spans[0], spans[1], spans[2])


def _cut(
    draft: Draft,
    key: Text,
    part: str,
    hand: str,
    box: Box,
    kind: CutKind,
    for_part: str,
    depth: Fraction,
    step: int | None,
) -> Cut:
    faces = stand.frame_of(draft, part).faces()
    show = box.t[1] >= stand.thick(draft, part)
    return Cut(
        name=str(key),
        kind=kind,
        part=part,
        hand=hand,
        face=faces.show if show else faces.reverse,
        box=box,
        deep=depth,
        wide=min(box.w[1] - box.w[0], box.l[1] - box.l[0]),
        for_part=for_part,
        step=step,
    )


def _crossing(draft: Draft, key: Text) -> tuple[Space, str]:
    """Return the space in which two parts cross, and the axis of their thickness."""
    source = joints.source_of(draft, key)
    assert isinstance(source, HalfLapSource)
    names = [stand.part_named(draft, text)[0] for text in source.half_lap]
    axis = stand.frame_of(draft, names[0]).t
    if stand.frame_of(draft, names[1]).t != axis:
        raise draft.fail("joint-apart", f"`{names[0]}` and `{names[1]}` do not lie in one plane", key.span)
    one, other = _space(draft, names[0]), _space(draft, names[1])
    space = {own: (max(one[own][0], other[own][0]), min(one[own][1], other[own][1])) for own in AXES}
    if any(low >= high for low, high in space.values()):
        raise draft.fail(
            "joint-apart",
            f"`{names[0]}` and `{names[1]}` do not cross, so `{key}` has nothing to cut",
            key.span,
            help="let both lie at one height",
        )
    return space, axis


def _lap(draft: Draft, key: Text, part: str, step: int | None) -> Iterator[Cut]:
    upper, lower = joints.entering(draft, key)[0], joints.receiving(draft, key)[0][0]
    if part not in (upper, lower):
        return
    joints.check_upright(draft, str(key))
    space, axis = _crossing(draft, key)
    low, high = space[axis]
    middle = low + deep(draft, key)
    span = (low, middle) if part == upper else (middle, high)
    box = _own(draft, part, {**space, axis: span}, _space(draft, part))
    other = lower if part == upper else upper
    yield _cut(draft, key, part, "", box, CutKind.HALF_LAP, other, span[1] - span[0], step)
