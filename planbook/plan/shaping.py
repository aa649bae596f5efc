"""Cuts that shape one part alone: straight ones as planes, notches as boxes, slots as holes, eased edges."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from planbook.plan import sides, stand, values
from planbook.plan.draft import Draft
from planbook.plan.model import Box, Cut, CutKind, Hole
from planbook.plan.shapes import Ease, EaseKind, Trim, Vector
from planbook.source.schema.shaping import ShapingSource
from planbook.source.schema.words import Value
from planbook.source.text import Text
from planbook.units.editions import snap

KINDS = ("taper", "mitre", "bevel", "notch", "slot", "cut_out", "arc", "curve", "chamfer", "round_over")
STEEPEST = 80
"""Most degrees off square that a saw cut can be meant."""


@dataclass(frozen=True, slots=True)
class Work:
    """What the shaping cuts do to one part."""

    trims: tuple[Trim, ...] = ()
    cuts: tuple[Cut, ...] = ()
    holes: tuple[Hole, ...] = ()
    eased: tuple[Ease, ...] = ()


def of_part(draft: Draft, part: str) -> list[tuple[Text, ShapingSource]]:
    """Return the shaping cuts of a part, in the order of the source."""
    return [
        (key, source)
        for key, source in draft.facts.cuts.items()
        if part in [stand.part_named(draft, text)[0] for text in source.in_]
    ]


def kind_of(draft: Draft, key: Text, source: ShapingSource) -> str:
    """Return the one word of `KINDS` that a cut has; raises `Unresolved`."""
    given = [kind for kind in KINDS if getattr(source, kind)]
    if source.tilt is not None and given != ["mitre"]:
        text, _ = values.chosen(draft, source.tilt)
        raise draft.fail(
            "which-cut", f"the cut `{key}` has a `tilt` and no `mitre`", text.span, help="write `bevel:` for it alone"
        )
    if len(given) == 1:
        return given[0]
    told = " and ".join(kind.replace("_", " ") for kind in given) if given else "no kind"
    words = ", ".join(f"`{kind.replace('_', ' ')}`" for kind in KINDS)
    raise draft.fail("which-cut", f"the cut `{key}` says {told}", key.span, help=f"give one of {words}")


def work(draft: Draft, part: str, steps: dict[str, int]) -> Work:
    """Return all that shaping cuts do to a part; curves of its edges are told by `planbook.plan.edges`."""
    trims: list[Trim] = []
    cuts: list[Cut] = []
    holes: list[Hole] = []
    eased: list[Ease] = []
    for key, source in of_part(draft, part):
        kind, step = kind_of(draft, key, source), steps.get(str(key))
        if kind == "taper":
            trims += _taper(draft, key, source, part, step)
        elif kind == "mitre":
            trims += _mitre(draft, key, source, part, step)
        elif kind == "bevel":
            trims += _bevel(draft, key, source, part, step)
        elif kind == "notch":
            cuts += _notches(draft, key, source, part, step)
        elif kind in ("slot", "cut_out"):
            _opening(draft, key, source, part, step, cuts, holes)
        elif kind in ("chamfer", "round_over"):
            eased += _eases(draft, key, source, part, kind, step)
    return Work(tuple(trims), tuple(cuts), tuple(holes), tuple(eased))


def _need(draft: Draft, key: Text, value: Value | Text | None, word: str, example: str) -> Value:
    if value is None:
        raise draft.fail("missing-word", f"the cut `{key}` has no `{word}`", key.span, help=f"add `{word}: {example}`")
    return value


def _ends(draft: Draft, key: Text, source: ShapingSource, part: str) -> tuple[bool, ...]:
    if len(source.at) != 1:
        raise draft.fail("missing-word", f"the cut `{key}` does not say at which end", key.span, help="add `at: foot`")
    return sides.ends(draft, part, values.chosen(draft, source.at[0])[0])


def _angle(draft: Draft, value: Value, word: str) -> float:
    found = values.field(draft, value, "part", wants="angle", word=word).value
    if not 0 < found <= STEEPEST:
        text, _ = values.chosen(draft, value)
        raise draft.fail(
            "wrong-angle",
            f"`{word}` is {float(found):g} deg off square, it wants 0 to {STEEPEST} deg",
            text.span,
            help="give the angle off a square cut: a corner of 90 deg has two mitres of 45 deg",
        )
    return math.radians(float(found))


def _vector(**given: float) -> Vector:
    length = math.sqrt(sum(value * value for value in given.values()))
    return (given.get("l", 0.0) / length, given.get("w", 0.0) / length, given.get("t", 0.0) / length)


def _taper(draft: Draft, key: Text, source: ShapingSource, part: str, step: int | None) -> Iterator[Trim]:
    assert source.taper is not None
    left = snap(values.size(draft, source.taper, "part", word="taper"), draft.edition)
    (far, *others) = _ends(draft, key, source, part)
    if others:
        raise draft.fail("which-side", f"the taper `{key}` wants one end", key.span, help="write two tapers")
    length = sides.size(draft, part, "l")
    begin = sides.along(draft, part, "l", _need(draft, key, source.from_, "from", "5 in below top"))
    run = length - begin if far else begin
    if run <= 0 or begin < 0 or begin > length:
        text, _ = values.chosen(draft, _need(draft, key, source.from_, "from", ""))
        raise draft.fail(
            "taper-crosses",
            f"`{key}` begins {values.shown(draft, begin)} from the datum end of `{part}`, which is "
            f"{values.shown(draft, length)} long",
            text.span,
            help="begin it between both ends, away from the end that becomes thin",
        )
    taken = [sides.side(draft, part, text) for text in source.on] or [("w", True)]
    for own, high in taken:
        whole = sides.size(draft, part, own) if own != "t" else stand.thick(draft, part)
        off = (whole - left) / (2 if (own, not high) in taken else 1)
        if own == "l" or off <= 0:
            raise draft.fail(
                "taper-crosses",
                f"`{key}` leaves {values.shown(draft, left)} of {values.shown(draft, whole)} of `{part}`",
                key.span,
                help="leave less than the full size, on an edge or a face",
            )
        # The plane goes through the full side where the taper begins, and lies `off` deeper at the end.
        along = float(off) * (1 if far else -1)
        outward = _vector(**{"l": along, own: float(run) * (1 if high else -1)})
        point = {"l": float(begin), own: float(whole) if high else 0.0}
        yield _trim(key, point, outward, step)


def _trim(key: Text, point: dict[str, float], outward: Vector, step: int | None) -> Trim:
    place = (point.get("l", 0.0), point.get("w", 0.0), point.get("t", 0.0))
    return Trim(name=str(key), point=place, outward=outward, step=step)


def _mitre(draft: Draft, key: Text, source: ShapingSource, part: str, step: int | None) -> Iterator[Trim]:
    assert source.mitre is not None
    angle = _angle(draft, source.mitre, "mitre")
    long_edge = Text(str(_need(draft, key, source.along, "along", "the long edge")), key.span)
    own, high = sides.side(draft, part, source.along or long_edge)
    if own != "w":
        raise draft.fail(
            "which-edge", f"`{long_edge}` is no edge of `{part}`", key.span, help="name the edge that stays long"
        )
    length, wide = sides.size(draft, part, "l"), sides.size(draft, part, "w")
    at = _ends(draft, key, source, part)
    if float(wide) * math.tan(angle) * len(at) >= float(length):
        raise draft.fail(
            "taper-crosses", f"the mitres of `{key}` leave nothing of the short edge of `{part}`", key.span
        )
    # A leaning blade meets the face that is cut along the line of the gauge, and goes back below it.
    tilt = 0.0 if source.tilt is None else _angle(draft, source.tilt, "tilt")
    show = _full_at_show(draft, source, part)
    thick = stand.thick(draft, part)
    for far in at:
        outward = _vector(
            l=math.cos(tilt) * math.cos(angle) * (1 if far else -1),
            w=math.cos(tilt) * math.sin(angle) * (-1 if high else 1),
            t=math.sin(tilt) * (-1 if show else 1),
        )
        corner = {"l": float(length) if far else 0.0, "w": float(wide) if high else 0.0}
        yield _trim(key, {**corner, "t": float(thick) if show and tilt else 0.0}, outward, step)


def _full_at_show(draft: Draft, source: ShapingSource, part: str) -> bool:
    """Whether a tilted cut leaves its full size at the show face; raises `Unresolved` where `on` is no face."""
    if not source.on:
        return True
    own, show = sides.side(draft, part, source.on[0])
    if own != "t":
        raise draft.fail("which-face", f"`{source.on[0]}` is no face of `{part}`", source.on[0].span)
    return show


def _bevel(draft: Draft, key: Text, source: ShapingSource, part: str, step: int | None) -> Iterator[Trim]:
    """Tilt an end or an edge: it stays full at the face in `on` (the show face), and recedes toward the other."""
    assert source.bevel is not None
    angle = _angle(draft, source.bevel, "bevel")
    show = _full_at_show(draft, source, part)
    thick = stand.thick(draft, part)
    if source.along is not None:
        tilted = [sides.side(draft, part, source.along)]
    else:
        tilted = [("l", far) for far in _ends(draft, key, source, part)]
    for own, high in tilted:
        whole = sides.size(draft, part, own)
        if float(thick) * math.tan(angle) * len(tilted) >= float(whole):
            raise draft.fail("taper-crosses", f"the bevel `{key}` leaves nothing of one face of `{part}`", key.span)
        outward = _vector(**{own: math.cos(angle) * (1 if high else -1), "t": math.sin(angle) * (-1 if show else 1)})
        yield _trim(key, {own: float(whole) if high else 0.0, "t": float(thick) if show else 0.0}, outward, step)


def _notches(draft: Draft, key: Text, source: ShapingSource, part: str, step: int | None) -> Iterator[Cut]:
    assert source.notch is not None
    long = snap(values.size(draft, source.notch, "part", word="notch"), draft.edition)
    wide = snap(values.size(draft, _need(draft, key, source.wide, "wide", "1 in"), "part", word="wide"), draft.edition)
    edge = Text(str(_need(draft, key, source.along, "along", "back edge")), key.span)
    own, high = sides.side(draft, part, source.along or edge)
    length, width = sides.size(draft, part, "l"), sides.size(draft, part, "w")
    _check_fits(draft, key, part, long, length)
    _check_fits(draft, key, part, wide, width)
    if own != "w":
        raise draft.fail("which-edge", f"`{edge}` is no edge of `{part}`", key.span, help="name a long edge")
    for far in _ends(draft, key, source, part):
        span_l = (length - long, length) if far else (Fraction(0), long)
        span_w = (width - wide, width) if high else (Fraction(0), wide)
        yield _cut(draft, key, source, part, (span_l, span_w), CutKind.NOTCH, step)


def _check_fits(draft: Draft, key: Text, part: str, cut: Fraction, whole: Fraction) -> None:
    if cut >= whole:
        raise draft.fail(
            "cut-through",
            f"`{key}` takes {values.shown(draft, cut)} of `{part}`, which has {values.shown(draft, whole)} there",
            key.span,
            help="make the cut smaller, or look which way it is measured",
        )


def _band(draft: Draft, key: Text, source: ShapingSource, part: str) -> tuple[tuple[Fraction, Fraction], bool]:
    """Return the depth of a cut as an interval along t, and whether it is open to the show face."""
    thick, show = stand.thick(draft, part), True
    if source.on:
        own, show = sides.side(draft, part, source.on[0])
        if own != "t":
            raise draft.fail("which-face", f"`{source.on[0]}` is no face of `{part}`", source.on[0].span)
    if source.deep is None or stand.value_text(source.deep) == "through":
        return (Fraction(0), thick), show
    deep = snap(values.size(draft, source.deep, "joinery", word="deep"), draft.edition)
    _check_fits(draft, key, part, deep, thick)
    return ((thick - deep, thick) if show else (Fraction(0), deep)), show


def _cut(
    draft: Draft,
    key: Text,
    source: ShapingSource,
    part: str,
    spans: tuple[tuple[Fraction, Fraction], tuple[Fraction, Fraction]],
    kind: CutKind,
    step: int | None,
) -> Cut:
    band, show = _band(draft, key, source, part)
    faces = stand.frame_of(draft, part).faces()
    return Cut(
        name=str(key),
        kind=kind,
        part=part,
        face=faces.show if show else faces.reverse,
        box=Box(spans[0], spans[1], band),
        deep=band[1] - band[0],
        wide=spans[1][1] - spans[1][0],
        for_part=None,
        step=step,
    )


def _opening(
    draft: Draft,
    key: Text,
    source: ShapingSource,
    part: str,
    step: int | None,
    cuts: list[Cut],
    holes: list[Hole],
) -> None:
    """Add a slot, a round cut-out or one with corners, its middle at the two places in `at`."""
    value = source.slot or source.cut_out
    assert value is not None
    if len(source.at) != 2:
        raise draft.fail(
            "missing-word",
            f"the cut `{key}` wants two places in `at`: along and across",
            key.span,
            help="write for example `at: [5 in from left end, 2 in from front edge]`",
        )
    place = [sides.along(draft, part, own, at) for own, at in zip("lw", source.at, strict=True)]
    word = "slot" if source.slot is not None else "cut out"
    long = snap(values.size(draft, value, "joinery", word=word), draft.edition)
    wide = long
    if source.wide is not None or source.slot is not None:
        wide = snap(
            values.size(draft, _need(draft, key, source.wide, "wide", "3/8 in"), "joinery", word="wide"), draft.edition
        )
    for middle, size, own in ((place[0], long, "l"), (place[1], wide, "w")):
        whole = sides.size(draft, part, own)
        if middle - size / 2 <= 0 or middle + size / 2 >= whole:
            raise draft.fail(
                "cut-outside",
                f"`{key}` reaches from {values.shown(draft, middle - size / 2)} to "
                f"{values.shown(draft, middle + size / 2)}, `{part}` from 0 to {values.shown(draft, whole)}",
                key.span,
                help="look where its middle is measured from",
            )
    if source.cut_out is not None and source.wide is not None:
        span_l, span_w = ((at - size / 2, at + size / 2) for at, size in ((place[0], long), (place[1], wide)))
        cuts.append(_cut(draft, key, source, part, (span_l, span_w), CutKind.CUT_OUT, step))
        return
    band, show = _band(draft, key, source, part)
    faces = stand.frame_of(draft, part).faces()
    holes.append(
        Hole(
            group=str(key),
            part=part,
            face=faces.show if show else faces.reverse,
            l=place[0],
            w=place[1],
            diameter=wide,
            deep=None if band == (Fraction(0), stand.thick(draft, part)) else band[1] - band[0],
            from_show=show,
            role="slot" if source.slot is not None else "cut-out",
            row=1,
            step=step,
            slot=long if long > wide else Fraction(0),
        )
    )


def _eases(draft: Draft, key: Text, source: ShapingSource, part: str, kind: str, step: int | None) -> Iterator[Ease]:
    value: Value | None = getattr(source, kind)
    assert value is not None
    size = snap(values.size(draft, value, "joinery", word=kind.replace("_", " ")), draft.edition)
    _check_fits(draft, key, part, 2 * size, stand.thick(draft, part))
    shows = []
    for text in source.on:
        own, show = sides.side(draft, part, text)
        if own != "t":
            raise draft.fail("which-face", f"`{text}` is no face of `{part}`", text.span)
        shows.append(show)
    for show in dict.fromkeys(shows) or (True, False):
        how = EaseKind.CHAMFER if kind == "chamfer" else EaseKind.ROUND_OVER
        yield Ease(name=str(key), kind=how, size=size, show=show, step=step)
