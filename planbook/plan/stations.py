"""Thickness by stations: how thick a turned or tapered part is where, and what it is sawn from."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from planbook.plan import forms, reach, stand, values
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.jigs import near
from planbook.plan.shapes import Profile, Station, Turned
from planbook.plan.splay import full, stance
from planbook.source.formula.faults import FormulaError
from planbook.source.nearest import did_you_mean
from planbook.source.places.parser import Extent, parse_station
from planbook.source.schema.joints import SocketSource
from planbook.source.schema.shapes import ShapedSource
from planbook.source.schema.words import Value
from planbook.units.editions import grid_mm, snap

AT_ONE_PLACE = Fraction(1, 100)
"""mm: stations nearer than this make a shoulder."""


def profile(draft: Draft, form: ShapedSource) -> Profile:
    """Return the section that an author names; raises `Unresolved`."""
    known = [str(item) for item in Profile]
    if form.shape in known:
        return Profile(str(form.shape))
    help = did_you_mean(form.shape, known) or "write " + ", ".join(f"`{word}`" for word in known)
    raise draft.fail("unknown-shape", f"`{form.shape}` is no section", form.shape.span, help=help)


def exact_length(draft: Draft, name: str) -> Fraction:
    """Return the length along the middle line, in mm, not yet rounded."""
    stands = stance(draft, name)
    if stands is not None:
        return near(stands.length)
    low, high = stand.interval(draft, name, stand.frame_of(draft, name).l)
    return high - low


def turned(draft: Draft, name: str) -> Turned:
    """Return the shape of a part, its stations rounded once, from the foot up."""
    span = draft.part_key(name).span
    return draft.once(f"{name} (how thick it is)", span, lambda: _turned(draft, name))


def _turned(draft: Draft, name: str) -> Turned:
    form = draft.forms[name]
    assert isinstance(form, ShapedSource)
    found: list[Station] = []
    for value in form.thick:
        found.extend(_station(draft, name, form, value))
    found.sort(key=lambda station: station.at)
    if any(third.at - first.at < AT_ONE_PLACE for first, third in zip(found, found[2:], strict=False)):
        raise draft.fail(
            "stations-meet",
            f"`{name}` has three thicknesses at one place",
            draft.part_key(name).span,
            help="leave one of them out",
        )
    if len(found) < 2:
        raise draft.fail(
            "no-size",
            f"`{name}` says how thick it is at one place only",
            draft.part_key(name).span,
            help="add a second one, as `7/8 in at floor`, or an extent, as `1 in from foot to top`",
        )
    low, high = _over(draft, name, form, found)
    return Turned(tuple(_with_shoulders(found)), low, high)


def _with_shoulders(found: list[Station]) -> Iterator[Station]:
    """Give the stations, and where the kind of section changes, a second one: each stretch is of one kind."""
    for number, station in enumerate(found):
        before = found[number - 1] if number else station
        after = found[number + 1] if number + 1 < len(found) else station
        if station.profile is Profile.ROUND and before.profile is not Profile.ROUND and before.at < station.at:
            yield replace(station, profile=before.profile)
        yield station
        if station.profile is Profile.ROUND and after.profile is not Profile.ROUND and after.at > station.at:
            yield replace(station, profile=after.profile)


def _station(draft: Draft, name: str, form: ShapedSource, value: Value) -> list[Station]:
    """Return the one or two sections that a text such as `7/8 in at floor` tells."""
    text, _ = values.chosen(draft, value)
    try:
        tree = parse_station(text, values.name_table(draft))
    except FormulaError as fault:
        draft.findings.add(fault.diagnostic(text))
        raise Unresolved(text) from None
    section = profile(draft, form)
    side = full(draft, name, form)
    size = side
    if tree.value is not None:
        # A section is set with calipers, as a tenon is: it goes to the grid of joints.
        size = snap(values.worth(draft, tree.value, text, "joinery"), draft.edition)
    if not 0 < size <= side:
        raise draft.fail(
            "no-size" if size <= 0 else "thicker-than-blank",
            f"`{text}` is {values.shown(draft, size)}, `{name}` is made from a square of {values.shown(draft, side)}",
            text.span,
            help="make it thinner, or the part of thicker stock" if size > 0 else "write a size above 0",
        )
    wheres = (tree.where.start, tree.where.stop) if isinstance(tree.where, Extent) else (tree.where,)
    places = sorted(_along(draft, name, values.PlaceText(where, text)) for where in wheres)
    if len(places) == 2 and _bored_for(draft, name, *places):
        section = Profile.ROUND
    return [Station(place, size, section) for place in places]


def _along(draft: Draft, name: str, where: values.PlaceText) -> Fraction:
    """Return the place of a station from the foot, along the part, in mm, rounded."""
    lie = stand.frame_of(draft, name)
    at = reach.point(draft, where, lie.l, own=name, grid="part", hosted=False)
    stands = stance(draft, name)
    if stands is None:
        place = at - stand.interval(draft, name, lie.l)[0]
    else:
        place = near(float(at - stands.low) / math.cos(stands.angle))
    whole = exact_length(draft, name)
    if not -AT_ONE_PLACE <= place <= whole + AT_ONE_PLACE:
        raise draft.fail(
            "station-outside",
            f"`{where.text}` is {values.shown(draft, place)} from the foot of `{name}`, which is "
            f"{values.shown(draft, whole)} long",
            where.text.span,
            help="name a place between its foot and its top",
        )
    return snap(place, draft.edition)


def _bored_for(draft: Draft, name: str, low: Fraction, high: Fraction) -> bool:
    """Whether a socket is bored for the stretch from `low` to `high` along a part."""
    stands = stance(draft, name)
    for joint in draft.facts.joints.values():
        if not isinstance(joint, SocketSource) or name not in (" ".join(text.split()) for text in joint.for_):
            continue
        for text in joint.in_:
            host = stand.part_named(draft, text)[0]
            axis = stand.frame_of(draft, name).l
            first, last = stand.interval(draft, host, axis)
            base = stand.interval(draft, name, axis)[0]
            stretch = 1.0 if stands is None else math.cos(stands.angle)
            if float(low) * stretch < float(last - base) and float(high) * stretch > float(first - base):
                return True
    return False


def _over(draft: Draft, name: str, form: ShapedSource, found: list[Station]) -> tuple[Fraction, Fraction]:
    """Return how far the blank goes on beyond foot and top: what is spare, and the slanted corner."""
    stands = stance(draft, name)
    slope = stands.slope if stands is not None else 0.0
    ends = []
    for end, station in (("foot", found[0]), ("top", found[-1])):
        value: Value | None = getattr(form.spare, end) if form.spare is not None else None
        spare = Fraction(0)
        if value is not None:
            size, _ = forms.until(draft, value)
            spare = values.clearance(draft, size, "part", word=f"spare at the {end}")
        ends.append(spare + near(float(station.size) / 2 * slope))
    return ends[0], ends[1]


def blank(draft: Draft, name: str) -> Fraction:
    """Return the length of the blank in mm: rounded up to the next 1/8 in (5 mm), as a rough size is."""
    made = turned(draft, name)
    step = grid_mm("part", draft.edition)
    whole = exact_length(draft, name) + made.below + made.above
    return -(-whole // step) * step


def size_at(shape: Turned, at: Fraction) -> Fraction:
    """Return how thick a part is at a place along it, in mm."""
    first, last = shape.stations[0], shape.stations[-1]
    if at <= first.at:
        return first.size
    for one, other in pairwise(shape.stations):
        if one.at <= at <= other.at and other.at > one.at:
            return one.size + (other.size - one.size) * (at - one.at) / (other.at - one.at)
    return last.size
