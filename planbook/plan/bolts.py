"""Joints made by screws or bolts through the holes of a bought part: its holes drive those in the wood."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from planbook.plan import bought_parts, joints, stand, values
from planbook.plan.draft import Draft
from planbook.plan.drilled import INSERT_OVER
from planbook.plan.model import Hole
from planbook.source.nearest import did_you_mean
from planbook.source.schema.joints import BoltedSource
from planbook.source.schema.shapes import BoughtPartSource
from planbook.source.text import Text
from planbook.units.editions import snap

ROOM_BELOW = {"imperial": Fraction(254, 160), "metric": Fraction(2)}
"""How much deeper than its insert a hole is bored, in mm: 1/16 in or 2 mm (common practice, no source)."""


def source_of(draft: Draft, name: str) -> BoltedSource:
    """Return the words of a bolted joint."""
    joint = joints.source_of(draft, name)
    assert isinstance(joint, BoltedSource)
    return joint


def _bought(draft: Draft, name: str) -> tuple[str, BoughtPartSource]:
    """Return the bought part whose holes the fasteners pass; raises `Unresolved`."""
    source = source_of(draft, name)
    part, _ = stand.part_named(draft, source.through[0])
    form = draft.forms.get(part)
    if not isinstance(form, BoughtPartSource) or source.at != f"{part} holes":
        bought = [f"{known} holes" for known, one in draft.forms.items() if isinstance(one, BoughtPartSource)]
        raise draft.fail(
            "unknown-name",
            f"`{source.at}` are no holes of a bought part that `{name}` goes through",
            source.at.span,
            help=did_you_mean(source.at, bought) or "name a bought part in `through`, and write `at: frame holes`",
        )
    return part, form


def own_holes(draft: Draft, name: str) -> tuple[bought_parts.OwnHole, ...]:
    """Return the holes of the bought part, after a look at those that the joint calls fixed and free."""
    source = source_of(draft, name)
    part, form = _bought(draft, name)
    found = bought_parts.holes(draft, part, form)
    known = {hole.group for hole in found}
    if not found:
        raise draft.fail("unknown-name", f"the bought part `{part}` has no holes", source.at.span, help="add `holes:`")
    for text in (*source.fixed, *source.free):
        if text not in known:
            help = did_you_mean(text, sorted(known)) or "write " + " or ".join(f"`{word}`" for word in sorted(known))
            raise draft.fail("unknown-name", f"`{part}` has no hole `{text}`", text.span, help=help)
    return found


def shank(draft: Draft, name: str) -> Fraction:
    """Return the diameter of the fastener in mm; raises `Unresolved`."""
    from planbook.trade.fasteners import find_fastener
    from planbook.trade.lookup import TradeError

    text, _ = values.chosen(draft, source_of(draft, name).by[0])
    try:
        return find_fastener(text).shank.value
    except TradeError as fault:
        raise draft.fail(fault.slug, fault.message, text.span, help=fault.help) from None


def deep(draft: Draft, name: str) -> Fraction:
    """Return how deep the holes in the wood are, in mm: the insert, and a little below it."""
    source = source_of(draft, name)
    if source.insert is None:
        key = joints.key_of(draft, name)
        raise draft.fail(
            "missing-word",
            f"`{name}` does not say what holds the thread in the wood",
            key.span,
            help="add `insert: {of: threaded brass, long: 1/2 in}`",
        )
    long = values.size(draft, source.insert.long, "joinery", word="long")
    return snap(long + ROOM_BELOW[draft.edition.name], draft.edition)


def drill(draft: Draft, name: str) -> Fraction:
    """Return the diameter of the holes in the wood, in mm."""
    source = source_of(draft, name)
    if source.insert is not None and source.insert.drill is not None:
        return snap(values.size(draft, source.insert.drill, "joinery", word="drill"), draft.edition)
    return snap(shank(draft, name) * INSERT_OVER, draft.edition)


def travel(draft: Draft, name: str) -> Fraction | None:
    """Return how far the wood may move either way at a free hole, in mm: half of the slot less the shank."""
    slots = [hole.slot for hole in own_holes(draft, name) if hole.slot]
    return (min(slots) - shank(draft, name)) / 2 if slots else None


def from_fixed(draft: Draft, name: str) -> Fraction | None:
    """Return the farthest that a free hole is from the nearest fixed one along the bar, in mm."""
    source, found = source_of(draft, name), own_holes(draft, name)
    fixed = [hole.along for hole in found if hole.group in source.fixed]
    free = [hole.along for hole in found if hole.group in source.free]
    return max(min(abs(one - other) for other in fixed) for one in free) if fixed and free else None


def count(draft: Draft, name: str) -> int:
    """Return how many fasteners a joint has in one piece."""
    part, _ = _bought(draft, name)
    return stand.copies(draft, part) * len(own_holes(draft, name))


def note(draft: Draft, name: str) -> str:
    """Return what to know about the holes."""
    source = source_of(draft, name)
    if source.insert is None:
        return ""
    told = f"{source.insert.of} insert, {values.shown(draft, values.length(draft, source.insert.long, 'joinery'))} long"
    return told if source.insert.drill is not None else f"{told}; the hole that its maker prints comes first"


def bored_in(draft: Draft, part: str, steps: dict[str, int]) -> list[Hole]:
    """Return the holes that bolted joints ask for in a part, rounded, in the order of the joints."""
    found: list[Hole] = []
    for key, joint in draft.facts.joints.items():
        if isinstance(joint, BoltedSource) and any(host == part for host, _ in joints.receiving(draft, key)):
            found.extend(_holes(draft, key, part, steps.get(str(key))))
    return found


def _holes(draft: Draft, key: Text, part: str, step: int | None) -> Iterator[Hole]:
    name = str(key)
    bought, form = _bought(draft, name)
    lie, theirs = stand.frame_of(draft, part), stand.frame_of(draft, bought)
    if lie.t != theirs.t:
        raise draft.fail(
            "joint-apart", f"the holes of `{bought}` do not lead into a face of `{part}`", key.span,
            help=f"look which way `{bought}` lies",
        )  # fmt: skip
    above = sum(stand.interval(draft, bought, lie.t)) < sum(stand.interval(draft, part, lie.t))
    from_show = (lie.t_sign > 0) != above
    faces = lie.faces()
    if deep(draft, name) >= stand.thick(draft, part):
        draft.findings.stop(
            "bored-through",
            f"the holes of `{key}` are {values.shown(draft, deep(draft, name))} deep, `{part}` is "
            f"{values.shown(draft, stand.thick(draft, part))} thick",
            key.span,
            help="choose a shorter insert",
        )
    for number, (axis, shift) in enumerate(bought_parts.shifts(draft, bought, form), 1):
        for hole in own_holes(draft, name):
            place = {
                theirs.l: stand.interval(draft, bought, theirs.l)[0] + hole.along,
                theirs.w: sum(stand.interval(draft, bought, theirs.w), Fraction(0)) / 2,
            }
            place[axis] += shift
            own = {along: place[along] - stand.interval(draft, part, along)[0] for along in (lie.l, lie.w)}
            _check_inside(draft, key, part, own)
            yield Hole(
                group=name,
                part=part,
                face=faces.show if from_show else faces.reverse,
                l=snap(own[lie.l], draft.edition),
                w=snap(own[lie.w], draft.edition),
                diameter=drill(draft, name),
                deep=deep(draft, name),
                from_show=from_show,
                role="insert",
                row=number,
                step=step,
                mate=bought,
            )


def _check_inside(draft: Draft, key: Text, part: str, own: dict[str, Fraction]) -> None:
    for along, at in own.items():
        low, high = stand.interval(draft, part, along)
        if not 0 < at < high - low:
            draft.findings.stop(
                "hole-outside",
                f"a hole of `{key}` stands {values.shown(draft, at)} from the {'left' if along == 'x' else 'front'} of "
                f"`{part}`, which is {values.shown(draft, high - low)} there",
                key.span,
                help="look where the bought part stands",
            )


def bought_holes(draft: Draft, name: str, form: BoughtPartSource) -> tuple[Hole, ...]:
    """Return the holes of a bought part in its own axes, right through its bar, rounded."""
    wide = bought_parts.sizes(draft, name, form)[1]
    if form.bar is None:
        return ()
    faces = bought_parts.frame_of(draft, form).faces()
    return tuple(
        Hole(
            group=f"{name} holes",
            part=name,
            face=faces.show,
            l=hole.along,
            w=wide / 2,
            diameter=hole.diameter,
            deep=bought_parts.bar_thickness(draft, form),
            from_show=True,
            role="clearance",
            row=1,
            step=None,
            slot=hole.slot,
        )
        for hole in bought_parts.holes(draft, name, form)
    )
