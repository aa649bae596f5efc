"""Rows of holes: where each hole stands, counted from one named end, the same on both hands."""

from __future__ import annotations

from fractions import Fraction

from planbook.plan import reach, stand, values
from planbook.plan.draft import Draft
from planbook.plan.model import Hole
from planbook.source.schema.joints import HolesSource, JointSource
from planbook.source.text import Text
from planbook.units.editions import snap

MOST = 500
"""Most holes in one row: more is a slip in `every`."""


def source_of(draft: Draft, name: str) -> HolesSource:
    """Return the words of a group of holes."""
    return draft.facts.holes[key_of(draft, name)]


def key_of(draft: Draft, name: str) -> Text:
    """Return the name of a group of holes as the author wrote it, with its place."""
    return next(key for key in draft.facts.holes if key == name)


def bored(draft: Draft, name: str) -> str:
    """Return the first part that is bored; the others are bored alike."""
    return stand.part_named(draft, source_of(draft, name).in_[0])[0]


def diameter(draft: Draft, name: str) -> Fraction:
    """Return the diameter of the holes in mm."""
    return values.size(draft, source_of(draft, name).drill, "joinery", word="drill")


def deep(draft: Draft, name: str) -> Fraction | None:
    """Return the depth of the holes in mm, or None for right through."""
    value = source_of(draft, name).deep
    if value is None or stand.value_text(value) == "through":
        return None
    return values.size(draft, value, "joinery", word="deep")


def places(draft: Draft, name: str) -> tuple[Fraction, ...]:
    """Return where the holes of each row stand along the part, from its datum end, in mm, rounded."""
    return draft.once(f"{name} (places)", key_of(draft, name).span, lambda: _places(draft, name))


def _places(draft: Draft, name: str) -> tuple[Fraction, ...]:
    source, part = source_of(draft, name), bored(draft, name)
    axis = stand.frame_of(draft, part).l
    base = stand.interval(draft, part, axis)[0]

    def along(value: values.Value) -> Fraction:
        written = values.place(draft, value)
        return reach.point(draft, written, axis, own=part, grid="joinery", hosted=False) - base

    start = along(source.start)
    stop = along(source.stop) if source.stop is not None else None
    if source.every is not None and stop is not None and source.count is None:
        every = values.size(draft, source.every, "joinery", word="every")
        number = _how_many(draft, name, start, stop, every)
    elif source.count is not None:
        number = values.count(draft, source.count, 1)
        every = _spacing(draft, name, start, stop, number)
    else:
        raise draft.fail(
            "how-many-holes",
            f"`{name}` does not say how many holes stand in a row",
            key_of(draft, name).span,
            help="give `stop` and `every`, or `count` and `every`, or `count` and `stop`",
        )
    return tuple(snap(start + every * index, draft.edition) for index in range(number))


def _how_many(draft: Draft, name: str, start: Fraction, stop: Fraction, every: Fraction) -> int:
    if every <= 0 or stop < start:
        raise draft.fail(
            "no-holes",
            f"no hole of `{name}` fits between {values.shown(draft, start)} and {values.shown(draft, stop)}",
            key_of(draft, name).span,
        )
    number = int((stop - start) / every) + 1
    if number > MOST:
        raise draft.fail(
            "too-many-holes", f"`{name}` has {number} holes in a row, {MOST} is the most", key_of(draft, name).span
        )
    return number


def _spacing(draft: Draft, name: str, start: Fraction, stop: Fraction | None, number: int) -> Fraction:
    source = source_of(draft, name)
    if source.every is not None:
        return values.size(draft, source.every, "joinery", word="every")
    if number == 1:
        return Fraction(0)
    if stop is None:
        raise draft.fail(
            "how-many-holes",
            f"`{name}` does not say how far apart its holes are",
            key_of(draft, name).span,
            help="add `stop` or `every`",
        )
    return (stop - start) / (number - 1)


def resting_heights(draft: Draft, shelf: str, name: str) -> tuple[Fraction, ...]:
    """Return the height of the underside of each copy of a shelf on its pins, spread over the rows.

    A shelf lies on the pin, half a diameter above the centre of its hole.
    """
    part = bored(draft, name)
    rows, number = places(draft, name), stand.copies(draft, shelf)
    base = stand.interval(draft, part, "z")[0]
    half = diameter(draft, name) / 2
    chosen = [rows[min(round(Fraction(len(rows) * (k + 1), number + 1)), len(rows) - 1)] for k in range(number)]
    return tuple(base + place + half for place in chosen)


def resting_height(draft: Draft, shelf: str, name: str) -> Fraction:
    """Return the height of the underside of the first copy of a shelf on its pins, in mm."""
    return resting_heights(draft, shelf, name)[0]


def bored_in(draft: Draft, part: str, steps: dict[str, int]) -> tuple[Hole, ...]:
    """Return all holes of a part, rounded, in the order of the source; `steps` says who bores them."""
    found: list[Hole] = []
    for key, source in draft.facts.holes.items():
        named = [stand.part_named(draft, text) for text in source.in_]
        if any(name == part for name, _ in named):
            found.extend(_holes(draft, key, source, part, steps.get(str(key))))
    if any(not isinstance(joint, JointSource) for joint in draft.facts.joints.values()):
        from planbook.plan import bolts, sockets

        found += [*sockets.bored_in(draft, part, steps), *bolts.bored_in(draft, part, steps)]
    return tuple(found)


def _check_hands(draft: Draft, source: HolesSource, part: str) -> None:
    """Refuse holes in one hand of a pair alone: a part and its mirror image are bored alike."""
    for text in source.in_:
        name, hand = stand.part_named(draft, text)
        if name == part and hand:
            raise draft.fail(
                "which-side",
                f"`{text}` is one hand of a pair, and both are bored alike",
                text.span,
                help=f"write `in: {part}`, or make the two sides parts of their own",
            )


def _check_inside(draft: Draft, key: Text, part: str, row: Text, across: Fraction) -> None:
    """Record a row, or the first or last hole of it, whose centre lies beside the part."""
    lie = stand.frame_of(draft, part)
    for own, stands, where in (("w", (across,), row), ("l", places(draft, key), key)):
        low, high = stand.interval(draft, part, getattr(lie, own))
        outside = next((at for at in stands if not 0 < at < high - low), None)
        if outside is None:
            continue
        faces = lie.faces()
        side = faces.datum_edge if own == "w" else faces.datum_end
        draft.findings.stop(
            "hole-outside",
            f"a hole of `{key}` stands {values.shown(draft, outside)} from the {side} of `{part}`, "
            f"which is {values.shown(draft, high - low)} {'wide' if own == 'w' else 'long'}",
            where.span,
            help="look where the row is measured from",
        )


def _check_fits(draft: Draft, key: Text, source: HolesSource, part: str) -> None:
    """Record holes as wide as the part they are bored in."""
    lie = stand.frame_of(draft, part)
    least = min(high - low for low, high in (stand.interval(draft, part, axis) for axis in (lie.l, lie.w)))
    wide = diameter(draft, str(key))
    if wide >= least:
        draft.findings.stop(
            "hole-too-wide",
            f"the holes of `{key}` are {values.shown(draft, wide)} wide, "
            f"`{part}` is {values.shown(draft, least)} there",
            values.chosen(draft, source.drill)[0].span,
            help="make them smaller, or look at the unit",
        )


def _counterbore(
    draft: Draft, key: Text, source: HolesSource, part: str, depth: Fraction | None
) -> tuple[Fraction, Fraction] | None:
    """Return diameter and depth of the wider hole round the mouth, after a look at the wood it leaves."""
    if source.counterbore is None:
        return None
    if source.counterbore_deep is None:
        raise draft.fail(
            "missing-word", f"the counterbore of `{key}` has no depth", key.span, help="add `counterbore deep: 3/8 in`"
        )
    wide = values.size(draft, source.counterbore, "joinery", word="counterbore")
    deep = values.size(draft, source.counterbore_deep, "joinery", word="counterbore deep")
    whole = stand.thick(draft, part) if depth is None else depth
    if deep >= whole or wide <= diameter(draft, key):
        raise draft.fail(
            "counterbore-takes-all",
            f"the counterbore of `{key}` is {values.shown(draft, wide)} wide and {values.shown(draft, deep)} deep, its "
            f"holes {values.shown(draft, diameter(draft, key))} and {values.shown(draft, whole)}",
            values.chosen(draft, source.counterbore)[0].span,
            help="make it wider and less deep than the hole",
        )
    return snap(wide, draft.edition), snap(deep, draft.edition)


def _holes(draft: Draft, key: Text, source: HolesSource, part: str, step: int | None) -> list[Hole]:
    lie = stand.frame_of(draft, part)
    faces = lie.faces()
    side = "show" if source.on is None else lie.side_of_face(source.on)
    if side is None:
        assert source.on is not None
        raise draft.fail(
            "which-face",
            f"`{source.on}` is no face of `{part}`",
            source.on.span,
            help=f"its faces are `{faces.show}` and `{faces.reverse}`",
        )
    _check_hands(draft, source, part)
    base = stand.interval(draft, part, lie.w)[0]
    depth = deep(draft, key)
    if depth is not None and depth >= stand.thick(draft, part):
        draft.findings.stop(
            "bored-through",
            f"the holes of `{key}` are {values.shown(draft, depth)} deep, `{part}` is "
            f"{values.shown(draft, stand.thick(draft, part))} thick",
            key.span,
            help="make them less deep, or write `deep: through`",
        )
    wider = _counterbore(draft, key, source, part, depth)
    _check_fits(draft, key, source, part)
    found = []
    for row, text in enumerate(source.rows, 1):
        written = values.place(draft, text)
        across = reach.point(draft, written, lie.w, own=part, grid="joinery", hosted=False) - base
        _check_inside(draft, key, part, written.text, across)
        for along in places(draft, key):
            found.append(
                Hole(
                    group=str(key),
                    part=part,
                    face=faces.show if side == "show" else faces.reverse,
                    l=along,
                    w=snap(across, draft.edition),
                    diameter=diameter(draft, key),
                    deep=depth,
                    from_show=side == "show",
                    role=str(source.role or "pin"),
                    row=row,
                    step=step,
                    counterbore=wider,
                )
            )
    return found
