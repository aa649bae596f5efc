"""Joints: what they take out of the part that is cut, and what they add to the part that enters."""

from __future__ import annotations

from fractions import Fraction

from planbook.plan import reach, stand, values
from planbook.plan.draft import Draft
from planbook.source.nearest import did_you_mean
from planbook.source.schema.joints import (
    AnyJoint,
    BoltedSource,
    FastenedSource,
    HalfLapSource,
    JointSource,
    MortiseSource,
    SocketSource,
)
from planbook.source.schema.words import PerEdition, Value
from planbook.source.text import Text
from planbook.units.editions import snap

CHANNELS = ("dado", "groove", "rabbet", "butt")
"""Kinds that are told apart by the one of these words that a joint has."""
SOCKET, BOLTS, MORTISE, HALF_LAP, FASTENED = "socket", "bolts", "mortise", "half lap", "fastened"
KINDS = (*CHANNELS, SOCKET, BOLTS, MORTISE, HALF_LAP, FASTENED)
BORED = (SOCKET, BOLTS)
"""Kinds that make holes, not cuts."""
UNCUT = ("butt", FASTENED)
"""Kinds that hold parts without a cut, so that no step need claim one."""


def kind_of(draft: Draft, name: str) -> str:
    """Return which kind of joint it is, one of `KINDS`."""
    joint = source_of(draft, name)
    if not isinstance(joint, JointSource):
        _check_own(draft, name, joint)
        kinds: dict[type, str] = {
            SocketSource: SOCKET,
            BoltedSource: BOLTS,
            MortiseSource: MORTISE,
            HalfLapSource: HALF_LAP,
            FastenedSource: FASTENED,
        }
        return kinds[type(joint)]
    given = [kind for kind in CHANNELS if getattr(joint, kind)]
    if len(given) == 1:
        _check_members(draft, name, given[0])
        return given[0]
    key = key_of(draft, name)
    message = f"the joint `{name}` says " + (" and ".join(given) if given else "no kind")
    raise draft.fail("which-joint", message, key.span, help="give one of `dado`, `groove`, `rabbet`, `butt`")


def _check_members(draft: Draft, name: str, kind: str) -> None:
    """Refuse a joint that does not say which parts it has; only a rabbet may have nothing that enters."""
    joint = source_of(draft, name)
    lacking = {
        "to": (kind == "butt" and not joint.to, "what the part is set against"),
        "in": (kind != "butt" and not joint.in_, "which part is cut"),
        "for": (kind in ("dado", "groove") and not joint.for_, "which part enters"),
    }
    own = {part for part, _ in receiving(draft, name)}
    for text in joint.butt or joint.for_:
        if stand.part_named(draft, text)[0] in own:
            raise draft.fail("joint-apart", f"`{text}` cannot enter or meet itself", text.span)
    for word, (missing, says) in lacking.items():
        if missing:
            raise draft.fail(
                "missing-word",
                f"the joint `{name}` does not say {says}",
                key_of(draft, name).span,
                help=f"add `{word}:` with the name of a part",
            )


def _check_own(draft: Draft, name: str, joint: AnyJoint) -> None:
    """Refuse a joint of its own kind that names no part, or two ways to make it."""
    if isinstance(joint, SocketSource) and bool(joint.through) == bool(joint.into):
        raise draft.fail(
            "which-joint",
            f"the joint `{name}` is bored " + ("both `through` and `into`" if joint.through else "nowhere"),
            key_of(draft, name).span,
            help="give either `through:` or `into:` with `deep:`",
        )
    if isinstance(joint, HalfLapSource) and len(joint.half_lap) != 2:
        key, number = key_of(draft, name), len(joint.half_lap)
        raise draft.fail("which-joint", f"the half lap `{name}` has {number} parts, two are wanted", key.span)
    own = {part for part, _ in receiving(draft, name)}
    for text in joint.for_:
        if stand.part_named(draft, text)[0] in own:
            raise draft.fail("joint-apart", f"`{text}` cannot enter or meet itself", text.span)


def check_upright(draft: Draft, name: str) -> None:
    """Refuse a cut in a part that leans: its faces are square to nothing that enters. Raises `Unresolved`."""
    from planbook.plan.splay import stance

    for part in dict.fromkeys([*(host for host, _ in receiving(draft, name)), *entering(draft, name)]):
        if stance(draft, part) is not None:
            raise draft.fail(
                "leaning-cut",
                f"`{part}` leans or stands turned, so the joint `{name}` cannot be cut square to its faces",
                key_of(draft, name).span,
                help="bore a socket for a round end with `bore:`, or let the part stand plumb",
            )


def source_of(draft: Draft, name: str) -> AnyJoint:
    """Return the words of a joint."""
    return draft.facts.joints[key_of(draft, name)]


def key_of(draft: Draft, name: str) -> Text:
    """Return the name of a joint as the author wrote it, with its place."""
    return next(key for key in draft.facts.joints if key == name)


def receiving(draft: Draft, name: str) -> list[tuple[str, str]]:
    """Return the parts that are cut, or butted against, with their hand."""
    joint = source_of(draft, name)
    return [stand.part_named(draft, text) for text in (joint.to if joint.butt else joint.in_)]


def entering(draft: Draft, name: str) -> list[str]:
    """Return the parts that enter, or are set against others."""
    joint = source_of(draft, name)
    return [stand.part_named(draft, text)[0] for text in (joint.butt or joint.for_)]


def deep(draft: Draft, name: str) -> Fraction:
    """Return how deep a joint is cut, square to its face, in mm, rounded; 0 for a butt joint.

    What enters is as long as the cut is deep, so the depth is rounded before anything follows from it.
    """
    kind = kind_of(draft, name)
    if kind in UNCUT:
        return Fraction(0)
    if kind in (SOCKET, BOLTS, MORTISE, HALF_LAP):
        from planbook.plan import bolts, framing, sockets

        own = {SOCKET: sockets.deep, BOLTS: bolts.deep}.get(kind, framing.deep)
        return own(draft, name)
    value: Value = getattr(source_of(draft, name), kind)
    span = key_of(draft, name).span
    return draft.once(f"{name}.deep", span, lambda: _rounded(draft, _bare(value), kind))


def _rounded(draft: Draft, value: Value, word: str) -> Fraction:
    return snap(values.size(draft, value, "joinery", word=word), draft.edition)


def _bare(value: Value) -> Value:
    """Return the value without the word `deep` behind it."""
    if isinstance(value, PerEdition):
        return PerEdition(imperial=_without_deep(value.imperial), metric=_without_deep(value.metric))
    return _without_deep(value)


def _without_deep(text: Text) -> Text:
    stem = text.rstrip()
    return text.part(0, len(stem) - len(" deep")) if stem.endswith(" deep") else text


def wide(draft: Draft, name: str) -> Fraction:
    """Return how wide a rabbet is along its face, a bore, or the thickness of what enters a dado, in mm."""
    joint = source_of(draft, name)
    if isinstance(joint, SocketSource):
        return _rounded(draft, joint.bore, "bore")
    if isinstance(joint, BoltedSource):
        from planbook.plan import bolts

        return bolts.drill(draft, name)
    if isinstance(joint, MortiseSource | HalfLapSource):
        from planbook.plan import framing

        return framing.wide(draft, name)
    if joint.wide is not None:
        return _rounded(draft, joint.wide, "wide")
    parts = entering(draft, name)
    if not parts:
        raise draft.fail("no-size", f"the joint `{name}` has no `wide`", key_of(draft, name).span)
    return stand.thick(draft, parts[0])


def room(draft: Draft, name: str) -> Fraction:
    """Return the clearance at each end of what enters, in mm."""
    return values.clearance(draft, source_of(draft, name).room, "joinery", word="room")


def enters(draft: Draft, host: str, hand: str, part: str) -> Fraction:
    """Return how far a part goes into a host at one end, less the room of the joint, in mm."""
    total = Fraction(0)
    for key, joint in draft.facts.joints.items():
        if not isinstance(joint, JointSource | MortiseSource) or joint.butt or not joint.for_ or not joint.in_:
            continue
        if part not in entering(draft, key):
            continue
        if any(found == host and theirs in ("", hand) for found, theirs in receiving(draft, key)):
            total += deep(draft, key) - room(draft, key)
    return total


def edge_of(draft: Draft, name: str, part: str) -> tuple[str, bool]:
    """Return the axis a rabbet steps back along, and whether it stands at the upper end of it."""
    joint = source_of(draft, name)
    if joint.along is None:
        raise draft.fail(
            "which-edge",
            f"the rabbet `{name}` does not say along which edge of `{part}` it runs",
            key_of(draft, name).span,
            help="add for example `along: back edge`",
        )
    lie = stand.frame_of(draft, part)
    for axis in (lie.w, lie.l):
        if joint.along in reach.LOW[axis]:
            return axis, False
        if joint.along in reach.HIGH[axis]:
            return axis, True
    faces = lie.faces()
    valid = [faces.datum_edge, faces.far_edge, faces.datum_end, faces.far_end]
    raise draft.fail(
        "which-edge",
        f"`{joint.along}` is no edge of `{part}`",
        joint.along.span,
        help=did_you_mean(joint.along, valid) or "its edges are " + ", ".join(f"`{edge}`" for edge in valid),
    )


def shoulder(draft: Draft, part: str, axis: str, feature: str) -> tuple[Fraction, int] | None:
    """Return the coordinate of a rabbet's shoulder in a part, and the direction away from its edge.

    None where the part has no such cut along the axis.
    """
    for key, joint in draft.facts.joints.items():
        if not joint.rabbet or feature not in ("rabbet", str(key)):
            continue
        if not any(found == part for found, _ in receiving(draft, key)):
            continue
        found_axis, high = edge_of(draft, key, part)
        if found_axis == axis:
            low, top = stand.interval(draft, part, axis)
            step = wide(draft, key)
            return (top - step, -1) if high else (low + step, 1)
    return None


def rabbet_bed(draft: Draft, part: str) -> Fraction | None:
    """Return the y at which a panel lies against the shoulder of its rabbet, or None."""
    for key, joint in draft.facts.joints.items():
        if joint.rabbet and part in entering(draft, key):
            for host, _ in receiving(draft, key):
                found = shoulder(draft, host, "y", str(key))
                if found is not None:
                    return found[0]
    return None
