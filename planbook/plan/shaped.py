"""Finished parts that are no plain boards, and where each copy of them stands."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

from planbook.plan import bolts, bought_parts, discs, holes, jigs, resin, slabs, splay, stand, stations, values, volumes
from planbook.plan.claims import Claims
from planbook.plan.draft import Draft
from planbook.plan.forms import OFFCUT
from planbook.plan.frames import frame
from planbook.plan.joining import first_joined
from planbook.plan.model import Box, Cut, CutKind, Faces, Life, Part, Placement, Role, Size
from planbook.plan.shapes import Disc, Ramp, Trim, Turn
from planbook.plan.surveys import SawnAt
from planbook.source.schema.shapes import BoughtPartSource, DiscSource, JigSource, ShapedSource, SlabPartSource
from planbook.trade.allowances import allowance
from planbook.units.editions import snap

UPRIGHT = Faces(
    show="outer face",
    reverse="inner face",
    datum_edge="left edge",
    far_edge="right edge",
    datum_end="foot",
    far_end="top end",
)


def finish(draft: Draft, claims: Claims, name: str, letter: str) -> Part:
    """Return a finished part of a shape of its own. Raises `Unresolved`."""
    form = draft.forms[name]
    if isinstance(form, DiscSource):
        return _disc(draft, claims, name, letter, form)
    if isinstance(form, ShapedSource):
        return _turned(draft, claims, name, letter, form)
    if isinstance(form, SlabPartSource):
        return _slab_part(draft, claims, name, letter, form)
    if isinstance(form, BoughtPartSource):
        return _bought(draft, claims, name, letter, form)
    return _jig(draft, claims, name, letter, form)


def _bare(draft: Draft, claims: Claims, name: str, letter: str, size: tuple[Size, Size, Fraction]) -> Part:
    """Return a part with its blank's sizes and without a shape."""
    length, width, thick = size
    words = draft.parts[name]
    return Part(
        key=name,
        letter=letter,
        role=Role.PART,
        count=stand.copies(draft, name),
        pair=False,
        stock=str(words.of or ""),
        length=length,
        width=width,
        thick=thick,
        body_width=width.final,
        body_length=length.final,
        faces=stand.frame_of(draft, name).faces(),
        cuts=(),
        holes=holes.bored_in(draft, name, claims.cut_in),
        edgings=(),
        made_in=claims.made_in.get(name),
        joined_in=first_joined(draft, claims, name),
        for_part=None,
        note=str(words.note or ""),
        span=draft.part_key(name).span,
    )


def _disc(draft: Draft, claims: Claims, name: str, letter: str, form: DiscSource) -> Part:
    from planbook.plan.parts import (  # it makes all parts, and so asks here for the shaped ones
        glue_up_note,
        widest_strip,
    )

    across, thick = discs.diameter(draft, name, form), stand.thick(draft, name)
    allowed = allowance("lumber", draft.edition.name)
    until = claims.trimmed_in.get(name)
    life = Life.LONG if form.square_until is not None else Life.NOW
    length, width = (
        Size(final=across, rough=across + extra, life=life, until=until)
        for extra in (allowed.length_mm, allowed.width_mm)
    )
    part = _bare(draft, claims, name, letter, (length, width, thick))
    step = claims.cut_in.get(f"ease of {name}")
    return replace(
        part,
        shape=Disc(across, discs.sides(draft, form)),
        shaped_in=until if form.square_until is not None else part.made_in,
        eased=(
            *discs.ease(draft, name, form.ease_top, thick, show=True, step=step),
            *discs.ease(draft, name, form.ease_underside, thick, show=False, step=step),
        ),
        note=glue_up_note(draft, draft.parts[name]),
        strips=widest_strip(draft, draft.parts[name]),
    )


def _turned(draft: Draft, claims: Claims, name: str, letter: str, form: ShapedSource) -> Part:
    side, exact = splay.full(draft, name, form), stations.exact_length(draft, name)
    made = stations.turned(draft, name)
    allowed = allowance("lumber", draft.edition.name)
    trimmed = [claims.trimmed_in.get(f"{end} of {name}") for end in ("foot", "top")]
    until = max((step for step in trimmed if step is not None), default=None)
    rough = stations.blank(draft, name)
    if form.spare is None:
        rough = max(rough, snap(exact, draft.edition) + allowed.length_mm)
    length = Size(
        final=snap(exact, draft.edition),
        rough=rough,
        life=Life.LONG if until is not None else Life.NOW,
        until=until,
    )
    width = Size(final=side, rough=side + allowed.width_mm)
    part = _bare(draft, claims, name, letter, (length, width, side))
    stands = splay.stance(draft, name)
    return replace(
        part,
        faces=part.faces if stands is None else UPRIGHT,
        shape=made,
        shaped_in=claims.cut_in.get(part.shape_name),
        trims=_ends(claims, name, exact, side, 0.0 if stands is None else stands.angle),
        lean=splay.lean_of(draft, name),
        note="; ".join(filter(None, (f"from a square of {values.shown(draft, side)}", part.note))),
    )


def _ends(claims: Claims, name: str, exact: Fraction, side: Fraction, angle: float) -> tuple[Trim, ...]:
    """Return the cuts that level foot and top: square to plumb, so slanted in the part's own axes."""
    middle = float(side) / 2
    up = (math.cos(angle), 0.0, math.sin(angle))
    down = (-up[0], 0.0, -up[2])
    return tuple(
        Trim(
            name=f"{end} of {name}",
            point=(at, middle, middle),
            outward=outward,
            step=claims.trimmed_in.get(f"{end} of {name}"),
        )
        for end, at, outward in (("foot", 0.0, down), ("top", float(exact), up))
    )


def _slab_part(draft: Draft, claims: Claims, name: str, letter: str, form: SlabPartSource) -> Part:
    made, wide, line = slabs.outline(draft, name, form)
    low, high = stand.interval(draft, name, stand.frame_of(draft, name).l)
    allowed = allowance("slab", draft.edition.name)
    length = Size(final=high - low, rough=high - low + allowed.length_mm)
    part = _bare(draft, claims, name, letter, (length, Size(final=wide, rough=wide), stand.thick(draft, name)))
    slabs.check_kept(draft, name, form)
    step = claims.cut_in.get(f"ease of {name}")
    eased = [
        ease for show in (True, False) for ease in discs.ease(draft, name, form.ease, part.thick, show=show, step=step)
    ]
    natural, keep = tuple(map(str, form.natural_edge)), tuple(map(str, form.keep))
    return replace(
        part,
        shape=made,
        shaped_in=part.made_in,
        cuts=_voids(draft, name),
        eased=tuple(eased),
        sawn_at=SawnAt(slabs.start_of(draft, form), natural=natural, keep=keep, line=line),
    )


def _voids(draft: Draft, name: str) -> tuple[Cut, ...]:
    """Return the voids of a part that are filled: they are there from the beginning."""
    found = []
    for key in draft.facts.resin:
        if resin.host(draft, key)[0] != name:
            continue
        long, wide, band = resin.space(draft, key)
        found.append(
            Cut(
                name=str(draft.facts.resin[key].into),
                kind=CutKind.VOID,
                part=name,
                face=stand.frame_of(draft, name).faces().show,
                box=Box(long, wide, band),
                deep=band[1] - band[0],
                wide=wide[1] - wide[0],
                for_part=str(key),
                step=None,
            )
        )
    return tuple(found)


def _bought(draft: Draft, claims: Claims, name: str, letter: str, form: BoughtPartSource) -> Part:
    long, wide, high = bought_parts.sizes(draft, name, form)
    size = (Size(final=long, rough=long), Size(final=wide, rough=wide), high)
    part = replace(
        _bare(draft, claims, name, letter, size),
        role=Role.BOUGHT,
        stock="",
        shape=bought_parts.shape(draft, name, form),
        holes=bolts.bought_holes(draft, name, form),
        note=str(form.bought) + (f"; {form.note}" if form.note is not None else ""),
    )
    mass = bought_parts.mass_g(draft, form)
    if mass is None:
        return part
    # What is bought is weighed, not reckoned: spread over its volume, so that centres of gravity come out.
    return replace(part, density=mass * 10**6 / volumes.volume(part))


def _jig(draft: Draft, claims: Claims, name: str, letter: str, form: JigSource) -> Part:
    long, wide, thick = jigs.sizes(draft, form)
    slope = jigs.slope(draft, form)
    part = _bare(draft, claims, name, letter, (Size(final=long, rough=long), Size(final=wide, rough=wide), thick))
    remarks = [
        str(form.jig),
        "of any offcut" if form.of == OFFCUT else "",
        "kept" if form.keep == "yes" else "",
        part.note,
    ]
    return replace(
        part,
        role=Role.JIG,
        stock="" if form.of == OFFCUT else str(form.of),
        faces=frame("x", "z", 1).faces(),
        shape=Ramp(slope) if slope is not None else None,
        shaped_in=part.made_in,
        note="; ".join(filter(None, remarks)),
    )


def fill(draft: Draft, claims: Claims, name: str, letter: str) -> Part:
    """Return a pour of resin as a part of the piece. Raises `Unresolved`."""
    host = resin.host(draft, name)[0]
    long, wide, band = ((high - low) for low, high in resin.space(draft, name))
    poured = claims.joined_in.get(name)
    return Part(
        key=name,
        letter=letter,
        role=Role.FILL,
        count=1,
        pair=False,
        stock="",
        length=Size(final=long, rough=long),
        width=Size(final=wide, rough=wide),
        thick=band,
        body_width=wide,
        body_length=long,
        faces=stand.frame_of(draft, host).faces(),
        cuts=(),
        holes=(),
        edgings=(),
        made_in=poured,
        joined_in=poured,
        for_part=host,
        note=resin.remark(draft, name),
        span=resin.key_of(draft, name).span,
        density=resin.DENSITY,
    )


def placements(draft: Draft, name: str) -> list[Placement]:
    """Return where every copy of a part stands; a jig stands nowhere."""
    form = draft.forms[name]
    if isinstance(form, JigSource):
        return []
    stands = splay.stance(draft, name) if isinstance(form, ShapedSource) else None
    if stands is not None:
        side = float(stand.thick(draft, name))
        return [_leaning(name, copy, stands, side) for copy in range(len(stands.ways))]
    if isinstance(form, BoughtPartSource):
        return [
            _upright(draft, name, copy, {axis: shift})
            for copy, (axis, shift) in enumerate(bought_parts.shifts(draft, name, form), 1)
        ]
    return [
        _upright(draft, name, copy, dict(zip("xyz", shift, strict=True)))
        for copy, shift in enumerate(stand.copy_shifts(draft, name), 1)
    ]


def _upright(draft: Draft, name: str, copy: int, shift: dict[str, Fraction]) -> Placement:
    lie = stand.frame_of(draft, name)
    origin, axes = {}, []
    for own in ("l", "w", "t"):
        axis = getattr(lie, own)
        low, high = stand.interval(draft, name, axis)
        sign = lie.t_sign if own == "t" else 1
        origin[axis] = (low if sign > 0 else high) + shift.get(axis, Fraction(0))
        axes.append(("+" if sign > 0 else "-") + axis)
    place = (origin["x"], origin["y"], origin["z"])
    return Placement(part=name, copy=copy, hand="", origin=place, axes=(axes[0], axes[1], axes[2]))


def _leaning(name: str, copy: int, stands: splay.Stance, side: float) -> Placement:
    """Return a leaning copy: l up its middle line, t outward square to it, w level."""
    x, y = stands.ways[copy]
    run, rise = math.sin(stands.angle), math.cos(stands.angle)
    up = (-x * run, -y * run, rise)
    out = (x * rise, y * rise, run)
    level = (-y, x, 0.0)
    foot = (*stands.spot(copy, stands.low), float(stands.low))
    corner = tuple(jigs.near(foot[k] - side / 2 * (level[k] + out[k])) for k in range(3))
    turn: Turn = (up, level, out)
    nearest = "x" if abs(x) >= abs(y) else "y"
    sign = "+" if (x if nearest == "x" else y) >= 0 else "-"
    # l x w = t: with l up, the level axis follows from where the outer face looks.
    across = {"+x": "+y", "-x": "-y", "+y": "-x", "-y": "+x"}[sign + nearest]
    return Placement(
        part=name,
        copy=copy + 1,
        hand="",
        origin=(corner[0], corner[1], corner[2]),
        axes=("+z", across, sign + nearest),
        turn=turn,
    )


def fill_placement(draft: Draft, name: str) -> Placement:
    """Return where a fill stands: in its void, lying as the part that holds it."""
    host = resin.host(draft, name)[0]
    base = _upright(draft, host, 1, {})
    place = list(base.origin)
    for (low, _), direction in zip(resin.space(draft, name), base.axes, strict=True):
        place["xyz".index(direction[1])] += low if direction[0] == "+" else -low
    return replace(base, part=name, origin=(place[0], place[1], place[2]))
