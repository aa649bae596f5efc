"""Joints as the finished plan states them: who meets whom, and what holds them."""

from __future__ import annotations

from planbook.plan import bolts, driven, joints, places, sockets, values
from planbook.plan.claims import Claims
from planbook.plan.draft import Draft
from planbook.plan.holing import joint_holds_by
from planbook.plan.model import Joint
from planbook.source.schema.joints import BoltedSource, SocketSource
from planbook.source.text import Text


def joint(draft: Draft, claims: Claims, key: Text) -> Joint:
    """Return a finished joint. Raises `Unresolved`."""
    source = joints.source_of(draft, key)
    kind = joints.kind_of(draft, key)
    remarks = [str(source.note)] if source.note is not None else []
    if isinstance(source, SocketSource):
        remarks += [f"wedge {source.wedge}"] if source.wedge is not None else []
        remarks += [f"backed by {source.backed}"] if source.backed is not None else []
    elif isinstance(source, BoltedSource):
        remarks.append(bolts.note(draft, str(key)))
    words = driven.words_of(draft, str(key))
    if words is not None and driven.driven(draft, str(key)) is not None and places.silent(words):
        remarks.append(
            f"placed by common practice, no more than {values.shown(draft, places.APART[draft.edition.name])} apart"
        )
    if source.blocks is not None:
        remarks.append(f"{values.count(draft, source.blocks, 1, word='blocks')} glue blocks")
    return Joint(
        name=str(key),
        kind=kind,
        receiving=tuple(dict.fromkeys(part for part, _ in joints.receiving(draft, key))),
        entering=tuple(joints.entering(draft, key)),
        by=joint_holds_by(draft, str(key)),
        every=values.size(draft, source.every, "part", word="every") if source.every is not None else None,
        count=_count(draft, key),
        room=joints.room(draft, key),
        deep=joints.deep(draft, key),
        wide=joints.wide(draft, key) if kind not in joints.UNCUT and (source.wide or source.for_) else None,
        note="; ".join(filter(None, remarks)),
        fixed=tuple(map(str, source.fixed)) if isinstance(source, BoltedSource) else (),
        free=tuple(map(str, source.free)) if isinstance(source, BoltedSource) else (),
        cut_in=claims.cut_in.get(str(key)),
        joined_in=claims.joined_in.get(str(key)),
        span=key.span,
    )


def _count(draft: Draft, key: Text) -> int | None:
    """Return the number of fasteners: as told for each meeting, or counted where a joint bores its own places."""
    source = joints.source_of(draft, key)
    if isinstance(source, BoltedSource):
        return bolts.count(draft, str(key))
    if isinstance(source, SocketSource):
        return sockets.count(draft, str(key))
    if driven.driven(draft, str(key)) is not None:
        return driven.count(draft, str(key))
    return values.count(draft, source.each, 1, word="each") if source.each is not None else None
