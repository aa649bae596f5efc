"""The holes of one fastener in the parts it holds, in their own axes, rounded from their datums."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from planbook.plan import joints, values
from planbook.plan.brackets import Leg
from planbook.plan.draft import Draft
from planbook.plan.drilled import Drilled, Sizes
from planbook.plan.driven import Driven
from planbook.plan.jigs import near
from planbook.plan.meeting import Hull, dot, minus, scaled, unit
from planbook.plan.model import Hole
from planbook.plan.shapes import Vector
from planbook.source.schema.joints import DrivenSource
from planbook.source.text import Text
from planbook.units.editions import snap

SQUARE = 1e-9
"""A bit whose way differs less from square to a face stands square."""


def bracket_hole(
    draft: Draft, key: Text, source: DrivenSource, what: Driven, leg: Leg, reach: Fraction
) -> tuple[Hole, Fraction]:
    """Return the pilot hole for one screw of a bracket, and how much wood lies ahead of it, in mm."""
    inside = leg.hull.along(leg.start, leg.way) or (0.0, 0.0)
    ahead = near(inside[1])
    if reach <= 0 or reach >= ahead:
        told = "is no longer than its metal is thick" if reach <= 0 else f"comes out of `{leg.hull.part.key}`"
        raise draft.fail(
            "too-short" if reach <= 0 else "bored-through",
            f"the {what.name} of `{key}` {told}",
            what.text.span,
            help="take a longer one" if reach <= 0 else "take a shorter one",
        )
    pilot = Sizes(draft, key, source, what).pilot_in(leg.hull)
    deep = snap(reach, draft.edition) or draft.edition.resolution
    hole = _hole(
        draft,
        leg.hull,
        leg.start,
        leg.way,
        mate=leg.other.part.key,
        slot_way=None,
        group=str(key),
        diameter=pilot,
        deep=deep,
        role="pilot",
        step=None,
        fastener=what.name,
    )
    return hole, ahead


def near_hole(draft: Draft, drilled: Drilled, common: Mapping[str, Any]) -> Hole | None:
    """Return the hole in the part that is passed, or that holds the first half."""
    hull = drilled.meeting.one
    if not drilled.near_diameter or not hull.part.stock:
        return None
    hidden = drilled.near_deep is not None
    start = drilled.spot if hidden else drilled.start
    way = scaled(drilled.way, -1.0) if hidden else drilled.way
    return _hole(
        draft,
        hull,
        start,
        way,
        mate=drilled.meeting.other.part.key,
        diameter=drilled.near_diameter,
        deep=drilled.near_deep,
        role=drilled.near_role,
        slot=drilled.slot,
        slot_way=drilled.slot_way,
        counterbore=drilled.counterbore,
        countersink=drilled.countersink,
        plugged=drilled.plugged,
        **common,
    )


def far_hole(draft: Draft, drilled: Drilled, common: Mapping[str, Any]) -> Hole | None:
    """Return the hole in the part that holds the thread or the second half; a bolt passes it too."""
    hull = drilled.meeting.other
    if not drilled.far_diameter or not hull.part.stock:
        return None
    hidden = drilled.near_deep is not None
    return _hole(
        draft,
        hull,
        drilled.far_start,
        drilled.way,
        mate=drilled.meeting.one.part.key,
        diameter=drilled.far_diameter,
        deep=drilled.far_deep,
        role=drilled.far_role,
        slot=drilled.slot if hidden else Fraction(0),
        slot_way=drilled.slot_way if hidden else None,
        **common,
    )


def _hole(
    draft: Draft, hull: Hull, start: Vector, way: Vector, *, slot_way: Vector | None, mate: str, **words: Any
) -> Hole:
    """Return a hole in a part's own axes, its places rounded from the part's datum."""
    part, edition = hull.part, draft.edition
    own, inward = hull.own(start), _plain(unit(hull.own_way(way)))
    square_to = _entered(hull, start, way)
    axis = max(range(3), key=lambda k: abs(square_to[k]))
    sizes = (part.length.final, part.width.final, part.thick)
    at = [snap(near(value), edition) for value in own]
    surface = Fraction(0) if square_to[axis] > 0 else sizes[axis]
    plain = abs(own[axis] - float(surface)) < float(edition.resolution)
    at[axis] = surface if plain else near(own[axis])
    square = abs(inward[axis]) > 1 - SQUARE
    wide = axis == 2 and plain
    faces = part.faces
    named = (
        (faces.datum_end, faces.far_end),
        (faces.datum_edge, faces.far_edge),
        (faces.reverse, faces.show),
    )[axis][square_to[axis] < 0]
    long_way = _plain(unit(hull.own_way(slot_way))) if slot_way is not None else None
    if long_way is not None and abs(long_way[0]) > 1 - SQUARE:
        long_way = None
    return Hole(
        part=part.key,
        face=named,
        l=at[0],
        w=at[1],
        from_show=axis == 2 and square_to[2] < 0,
        row=1,
        axis=None if wide and square else inward,
        t=None if wide else at[2],
        mate=mate,
        slot_way=long_way,
        **words,
    )


def _plain(way: Vector) -> Vector:
    """Return a direction without the last digits, in which copies that are mirror images differ."""
    x, y, z = (round(value, 9) + 0.0 for value in way)
    return (x, y, z)


def _entered(hull: Hull, start: Vector, way: Vector) -> Vector:
    """Return the way square into the wood where a bit enters, in the part's own axes.

    On the bed of a cut there is no outer face: there it is the bit's own way.
    """
    face = hull.side_at(start)
    on_it = abs(dot(minus(start, face.corners[0]), face.outward)) < 0.1
    return hull.own_way(scaled(face.outward, -1.0) if on_it else way)


def joint_holds_by(draft: Draft, name: str) -> tuple[str, ...]:
    """Return what holds a joint, fasteners by their names in the edition's own series, the rest as written."""
    from planbook.plan.driven import driven, words_of

    source = words_of(draft, name)
    written = source.by if source is not None else joints.source_of(draft, name).by
    what = driven(draft, name)
    found = []
    for value in written:
        text = values.chosen(draft, value)[0]
        found.append(what.name if what is not None and text is what.text else str(text))
    return tuple(found)
