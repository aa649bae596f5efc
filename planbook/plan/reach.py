"""How far parts reach: between others, from edge to edge, above and below what they name."""

from __future__ import annotations

from fractions import Fraction

from planbook.plan import joints, stand, values
from planbook.plan.draft import Draft
from planbook.plan.model import Range
from planbook.source.schema.words import Value
from planbook.source.text import Text

HALF = Fraction(1, 2)

# Words for the lower and the upper side of a thing along each axis, as a person in front says them.
LOW = {
    "x": ("left", "left end", "left edge", "left face"),
    "y": ("front", "front edge", "front face", "front end"),
    "z": ("foot", "underside", "bottom", "lower edge", "lower face"),
}
HIGH = {
    "x": ("right", "right end", "right edge", "right face"),
    "y": ("back", "back edge", "back face", "back end"),
    "z": ("top", "head", "top end", "upper edge", "upper face"),
}
_WHOLE = {
    "above": ("z", 1),
    "on": ("z", 1),
    "below": ("z", 0),
    "under": ("z", 0),
    "behind": ("y", 1),
    "before": ("y", 0),
    "in front of": ("y", 0),
    "right of": ("x", 1),
    "left of": ("x", 0),
}
"""Relations to a whole thing: along which axis, and from its lower (0) or upper (1) side."""

_UPWARDS = {"above": 1, "on": 1, "behind": 1, "right of": 1, "below": -1, "under": -1, "before": -1, "in front of": -1}
_UPWARDS["left of"] = -1


def between(draft: Draft, name: str, axis: str, hosts: tuple[Text, ...]) -> Range:
    """Return the interval of a part that fits between others, with what enters each of them.

    Clear distance + what enters at each end - room of the joint - play of the part, at each end.
    """
    ends = _facing(draft, axis, hosts)
    (first, first_hand, _, low), (second, second_hand, high, _) = ends
    start = low - joints.enters(draft, first, first_hand, name)
    stop = high + joints.enters(draft, second, second_hand, name)
    play = values.clearance(draft, draft.parts[name].play, "joinery", word="play")
    start, stop = start + play, stop - play
    if stop <= start:
        raise draft.fail(
            "no-room-between",
            f"`{name}` has no room between {' and '.join(f'`{host}`' for host in hosts)}: "
            f"{values.shown(draft, stop - start)} is left",
            hosts[0].span,
        )
    return (start, stop)


def _facing(draft: Draft, axis: str, hosts: tuple[Text, ...]) -> list[tuple[str, str, Fraction, Fraction]]:
    """Return the two parts something stands between, the lower first: name, hand, start, stop."""
    named = [stand.part_named(draft, host) for host in hosts]
    if len(named) == 1:
        named = [(named[0][0], "L"), (named[0][0], "R")]
    for (part, hand), text in zip(named, hosts, strict=False):
        if draft.parts[part].pair and not hand:
            raise draft.fail(
                "which-side",
                f"`{text}` is a pair, and something is between one of the two and another part",
                text.span,
                help=f"write `left {part}` or `right {part}`",
            )
    found = [(part, hand, *stand.of_hand(draft, part, axis, hand)) for part, hand in named]
    return sorted(found, key=lambda end: end[2])


def covered(draft: Draft, name: str, axis: str) -> Range:
    """Return the interval from the outer face of the first covered part to that of the last."""
    spans = [stand.interval(draft, stand.part_named(draft, text)[0], axis) for text in draft.parts[name].covers]
    return (min(low for low, _ in spans), max(high for _, high in spans))


def extent(draft: Draft, name: str, axis: str, value: Value) -> Range | None:
    """Return the interval of a `front to rabbet less 1/8 in`, or None where the value is a formula."""
    written = values.extent(draft, value)
    if written is None:
        return None
    start = point(draft, written.start, axis, own=name, grid="part")
    stop = point(draft, written.stop, axis, own=name, grid="part")
    if written.less is not None:
        # What is taken off is a clearance, whatever the size of the part.
        less = values.worth(draft, written.less, written.text, "joinery")
        stop += written.sign * less
    if stop <= start:
        text, _ = values.chosen(draft, value)
        raise draft.fail(
            "empty-extent",
            f"`{text}` is {values.shown(draft, stop - start)} for `{name}`",
            text.span,
            help="name the lower, left or front end first",
        )
    return (start, stop)


def size(draft: Draft, name: str, own: str, value: Value) -> Fraction:
    """Return a size given as a formula, in mm."""
    found = values.length(draft, value, "part")
    if found <= 0:
        text, _ = values.chosen(draft, value)
        word = "length" if own == "l" else "width"
        raise draft.fail(
            "no-size",
            f"the {word} of `{name}` is {values.shown(draft, found)}, it wants to be more than nothing",
            text.span,
            help="look at the sizes in its formula",
        )
    return found


def place(draft: Draft, name: str, axis: str, value: Value) -> Fraction:
    """Return the coordinate of a placing word's value (`kick above floor`), in mm."""
    return point(draft, values.place(draft, value), axis, own=name, grid="part")


def point(
    draft: Draft, written: values.PlaceText, axis: str, *, own: str, grid: values.Kind, hosted: bool = True
) -> Fraction:
    """Return the coordinate along an axis that a place names, in mm.

    A bare feature (`front`, `rabbet`) is one of the parts that `own` stands between, or of the piece;
    with `hosted=False` it is one of `own` itself, as for the holes bored in it.
    """
    reference = written.place.reference
    alone = written.place.relation is None and reference is not None and reference.thing not in draft.parts
    away = values.worth(draft, written.place.offset, written.text, grid) if written.place.offset else Fraction(0)
    if reference is None or (alone and reference.feature is None and reference.thing != "floor"):
        return away
    base, inward = _reference(draft, written, axis, own, hosted=hosted)
    relation = written.place.relation or "at"
    if relation == "on" and reference.feature is not None and written.place.offset is None:
        # `on inside of side` is that face; `on side` alone is its upper side.
        relation = "at"
    if relation in _UPWARDS:
        if axis != _WHOLE[relation][0]:
            raise _wrong_axis(draft, written, axis)
        return base + _UPWARDS[relation] * away
    if relation in ("from", "in from"):
        return base + inward * away
    if relation == "beyond":
        return base - inward * away
    return base


def _wrong_axis(draft: Draft, written: values.PlaceText, axis: str) -> Exception:
    return draft.fail(
        "wrong-direction",
        f"`{written.text}` says nothing about {stand.DIRECTION[axis]}",
        written.text.span,
        help=f"name a face or end that tells {stand.DIRECTION[axis]} apart: `{LOW[axis][0]}` or `{HIGH[axis][0]}`",
    )


def _reference(draft: Draft, written: values.PlaceText, axis: str, own: str, *, hosted: bool) -> tuple[Fraction, int]:
    """Return the coordinate of what a place is measured from, and the direction inwards from it."""
    reference = written.place.reference
    assert reference is not None
    if reference.thing == "floor":
        if axis != "z":
            raise _wrong_axis(draft, written, axis)
        return (Fraction(0), 1)
    if reference.thing is None:
        return _bare(draft, written, axis, own, hosted=hosted)
    spoken = f"{reference.hand} {reference.thing}" if reference.hand else reference.thing
    named = Text(spoken, reference.span)
    part, hand = stand.part_named(draft, named)
    if axis == "x" and draft.parts[part].pair and not hand and not draft.parts[own].pair:
        raise draft.fail(
            "which-side",
            f"`{part}` is a pair, so `{written.text}` is said of two places",
            written.text.span,
            help=f"write `left {part}` or `right {part}`",
        )
    if reference.feature is None:
        return _whole(draft, written, axis, part, hand)
    return side_of(draft, written, axis, part, hand, reference.feature)


def _whole(draft: Draft, written: values.PlaceText, axis: str, part: str, hand: str) -> tuple[Fraction, int]:
    """Measure from a whole thing: the relation says from which side."""
    relation = written.place.relation or ""
    low, high = stand.of_hand(draft, part, axis, hand)
    if relation not in _WHOLE:
        raise draft.fail(
            "which-side",
            f"`{written.text}` does not say from which side of `{part}`",
            written.text.span,
            help=f"write for example `{LOW[axis][0]} of {part}` or `{HIGH[axis][0]} of {part}`",
        )
    if _WHOLE[relation][0] != axis:
        raise _wrong_axis(draft, written, axis)
    return (high, 1) if _WHOLE[relation][1] else (low, -1)


def _bare(draft: Draft, written: values.PlaceText, axis: str, own: str, *, hosted: bool) -> tuple[Fraction, int]:
    """Measure from a feature whose owner is not named: a host of the part, the part itself, the piece."""
    reference = written.place.reference
    assert reference is not None
    assert reference.feature is not None
    hosts = stand.hosts_of(draft, own) if hosted else (own,)
    for host in hosts:
        if host != own or not hosted:
            return side_of(draft, written, axis, host, "", reference.feature)
    if reference.feature in LOW[axis]:
        return (Fraction(0), 1)
    whole = stand.piece(draft, axis)
    if reference.feature in HIGH[axis] and whole is not None:
        return (whole, -1)
    raise _wrong_axis(draft, written, axis)


def side_of(
    draft: Draft, written: values.PlaceText, axis: str, part: str, hand: str, feature: str
) -> tuple[Fraction, int]:
    """Return the coordinate of one side of a part, and the direction inwards from it."""
    low, high = stand.of_hand(draft, part, axis, hand)
    lie = stand.frame_of(draft, part)
    if feature in LOW[axis]:
        return (low, 1)
    if feature in HIGH[axis] or (feature == "end" and axis == lie.l):
        return (high, -1)
    if feature == "middle":
        return ((low + high) / 2, 1)
    if feature in ("inside", "outside", "face") and axis == lie.t:
        at_high = (feature != "outside") == (lie.t_sign > 0) != (hand == "R")
        return (high, -1) if at_high else (low, 1)
    shoulder = joints.shoulder(draft, part, axis, feature)
    if shoulder is not None:
        return shoulder
    raise _wrong_axis(draft, written, axis)


def by_word(draft: Draft, name: str, axis: str, size: Fraction) -> Range | None:
    """Return the interval that words such as `on`, `under`, `set back`, `flush`, `centred` give."""
    words = draft.parts[name]
    for text in words.flush:
        if text not in stand.FLUSH:
            raise draft.fail(
                "unknown-word",
                f"`{text}` is no side of the piece",
                text.span,
                help="write " + ", ".join(f"`{word}`" for word in stand.FLUSH),
            )
        flush_axis, high = stand.FLUSH[text]
        if flush_axis == axis:
            whole = stand.piece(draft, axis)
            if high and whole is None:
                raise draft.fail("no-overall-size", f"the piece has no size for `flush: {text}`", text.span)
            return (whole - size, whole) if high and whole is not None else (Fraction(0), size)
    if words.centred and stand.CENTRED.get(words.centred) == axis:
        return _centred(draft, name, axis, size)
    if axis == "z":
        return _stacked(draft, name, size)
    if axis == "y":
        return _front_to_back(draft, name, size)
    return None


def _centred(draft: Draft, name: str, axis: str, size: Fraction) -> Range:
    words = draft.parts[name]
    whole = stand.piece(draft, axis)
    if whole is None:
        assert words.centred is not None
        raise draft.fail("no-overall-size", f"the piece has no size for `centred: {words.centred}`", words.centred.span)
    return ((whole - size) / 2, (whole + size) / 2)


def _stacked(draft: Draft, name: str, size: Fraction) -> Range | None:
    words = draft.parts[name]
    if words.on is not None:
        if words.on == "floor":
            return (Fraction(0), size)
        if any(key == words.on for key in draft.facts.holes):
            from planbook.plan.holes import resting_height

            base = resting_height(draft, name, words.on)
            return (base, base + size)
        base = stand.interval(draft, stand.part_named(draft, words.on)[0], "z")[1]
        return (base, base + size)
    if words.under is not None:
        base = stand.interval(draft, stand.part_named(draft, words.under)[0], "z")[0]
        return (base - size, base)
    if words.inside is not None:
        base = stand.interval(draft, stand.part_named(draft, words.inside)[0], "z")[1]
        return (base, base + size)
    return None


def _front_to_back(draft: Draft, name: str, size: Fraction) -> Range | None:
    words = draft.parts[name]
    if words.set_back is not None:
        hosts = stand.hosts_of(draft, name)
        front = stand.interval(draft, hosts[0], "y")[0] if hosts else Fraction(0)
        start = front + values.length(draft, words.set_back, "part")
        return (start, start + size)
    if words.covers:
        bed = joints.rabbet_bed(draft, name)
        if bed is None:
            parts = [stand.part_named(draft, text)[0] for text in words.covers]
            bed = max(stand.interval(draft, part, "y")[1] for part in parts)
        return (bed, bed + size)
    return None
