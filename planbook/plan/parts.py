"""Finished parts: sizes rounded once, with letters, cuts, holes and edgings, and where each copy stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from planbook.plan import (
    cuts,
    edges,
    edgings,
    forms,
    framing,
    holes,
    joints,
    remains,
    shaped,
    shaping,
    slabs,
    stand,
    values,
)
from planbook.plan.claims import Claims
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.frames import AXES, Frame, frame
from planbook.plan.joining import first_joined
from planbook.plan.model import Life, Part, Placement, Role, Size, Stock, StockKind
from planbook.plan.stock import named_stock, stock_of
from planbook.source.schema.parts import PartSource, SpareSource
from planbook.source.schema.steps import TestSource
from planbook.source.schema.words import Value
from planbook.source.text import Text
from planbook.trade.allowances import allowance
from planbook.units.editions import snap
from planbook.units.write import write_length

STRIPS = "strips up to "
"""How `glue up` begins: behind it stands the widest strip."""

TEST_WIDTH = {"imperial": 3 * Fraction(254, 10), "metric": Fraction(75)}
"""Width of a test piece where the author gives none, in mm (common practice, no source)."""


def letters() -> Iterator[str]:
    """Give A, B, C ... Z, AA, AB ... without end, and without I and O, which read as 1 and 0."""
    alphabet = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    yield from alphabet
    for first in letters():
        for second in alphabet:
            yield first + second


@dataclass(frozen=True, slots=True)
class Made:
    """All finished parts and where their copies stand."""

    parts: tuple[Part, ...]
    placements: tuple[Placement, ...]
    fittings: tuple[Part, ...] = ()
    """What nobody saws from stock: bought parts, pours, jigs of an offcut."""


def lettered(draft: Draft) -> dict[str, str]:
    """Return the letter of each part and pour, then of each strip of edging, by name."""
    given = letters()
    names = [*draft.parts, *map(str, draft.facts.resin)]
    for part in draft.parts:
        try:
            names.extend(worn.key for worn in edgings.worn_by(draft, part))
        except Unresolved:
            continue
    return {name: next(given) for name in names}


def make_parts(draft: Draft, claims: Claims, names: dict[str, str], tests: list[tuple[int, str, TestSource]]) -> Made:
    """Finish all parts; one that cannot be resolved is left out after its fault was recorded."""
    parts: list[Part] = []
    strips: list[Part] = []
    fittings: list[Part] = []
    placements: list[Placement] = []
    for name in draft.parts:
        try:
            if name in draft.forms:
                part = shaped.finish(draft, claims, name, names[name])
                (fittings if forms.is_fitting(draft, name) else parts).append(part)
                placements.extend(shaped.placements(draft, name))
                continue
            _look_everywhere(draft, name)
            part = _part(draft, claims, name, names[name])
            remains.check(draft, part)
            parts.append(part)
            strips.extend(_strip(draft, claims, part, worn, names) for worn in edgings.worn_by(draft, name))
            if not draft.parts[name].apart:
                placements.extend(_placements(draft, name))
        except Unresolved:
            continue
    for key in draft.facts.resin:
        try:
            fittings.append(shaped.fill(draft, claims, key, names[key]))
            placements.append(shaped.fill_placement(draft, key))
        except Unresolved:
            continue
    given = iter(letters())
    used = set(names.values())
    for number, title, test in tests:
        letter = next(letter for letter in given if letter not in used)
        try:
            parts_of_test = _test_piece(draft, number, title, test, letter)
        except Unresolved:
            continue
        strips.append(parts_of_test)
    return Made((*parts, *strips), tuple(placements), tuple(fittings))


def _look_everywhere(draft: Draft, name: str) -> None:
    """Work a part out along each axis by itself, so that one fault does not hide those along another."""
    for axis in AXES:
        try:
            stand.interval(draft, name, axis)
        except Unresolved:
            continue


def _rounded(draft: Draft, name: str, own: str) -> Fraction:
    """Return a size of a part, rounded once, after a look at what the rounding does to its fit."""
    axis = getattr(stand.frame_of(draft, name), own)
    low, high = stand.interval(draft, name, axis)
    exact = high - low
    size = snap(exact, draft.edition)
    if size <= 0:
        word = "length" if own == "l" else "width"
        finest = values.shown(draft, draft.edition.resolution)
        raise draft.fail(
            "no-size",
            f"the {word} of `{name}` is less than half of {finest}, the finest step of the edition",
            draft.part_key(name).span,
        )
    words = draft.parts[name]
    hosts = words.between if words.between and axis == stand.between_axis(draft, name, words.between) else ()
    if hosts and size != exact:
        _report_fit(draft, name, exact, size, hosts[0])
    return size


def _report_fit(draft: Draft, name: str, exact: Fraction, size: Fraction, host: Text) -> None:
    """Record a rounding that takes more than the room of the joint: the part would no longer fit."""
    rooms = [
        joints.room(draft, key)
        for key, joint in draft.facts.joints.items()
        if not joint.butt and joint.for_ and name in joints.entering(draft, key)
    ]
    play = values.clearance(draft, draft.parts[name].play, "joinery", word="play")
    if not rooms and not play:
        # A butted board is planed to fit: half a step of the rule is nothing.
        return
    allowed = 2 * (min(rooms, default=Fraction(0)) + play)
    if abs(size - exact) > allowed:
        draft.findings.warn(
            "fit-lost",
            f"`{name}` is {float(exact):.3f} mm between its neighbours and {float(size):.3f} mm when rounded, "
            f"the joint has {float(allowed):.3f} mm room",
            host.span,
            help="give the joint more `room`, or choose sizes that come out on the rule",
        )


def _part(draft: Draft, claims: Claims, name: str, letter: str) -> Part:
    words = draft.parts[name]
    key = draft.part_key(name)
    stock = stock_of(draft, name)
    lie = stand.frame_of(draft, name)
    length, width = _rounded(draft, name, "l"), _rounded(draft, name, "w")
    thick = stand.thick(draft, name)
    strips = edgings.boxes(draft, name, (length, width, thick), claims.edging_claims())
    body_length = length - sum((_taken(strip.box.l) for strip in strips if strip.edge.endswith("end")), Fraction(0))
    body_width = width - sum((_taken(strip.box.w) for strip in strips if strip.edge.endswith("edge")), Fraction(0))
    if body_width <= 0 or body_length <= 0:
        raise draft.fail("no-size", f"the edgings of `{name}` leave nothing of it", key.span)
    made = claims.made_in.get(name)
    shaped_by = shaping.work(draft, name, claims.cut_in)
    curved = edges.outline(draft, name, claims.cut_in)
    return Part(
        key=name,
        letter=letter,
        role=Role.JIG if words.apart else Role.PART,
        count=stand.copies(draft, name),
        pair=words.pair is not None,
        stock=stock.name,
        length=_size(draft, claims, name, stock, length, body_length, "length"),
        width=_size(draft, claims, name, stock, width, body_width, "width"),
        thick=thick,
        layers=stand.layers(draft, name),
        body_width=body_width,
        body_length=body_length,
        faces=lie.faces(),
        cuts=(
            *cuts.cuts_in(draft, name, claims.cut_in),
            *framing.cuts_in(draft, name, claims.cut_in),
            *shaped_by.cuts,
        ),
        holes=(*holes.bored_in(draft, name, claims.cut_in), *shaped_by.holes),
        edgings=strips,
        made_in=made,
        joined_in=first_joined(draft, claims, name),
        for_part=None,
        note=glue_up_note(draft, words),
        span=key.span,
        shape=curved[0] if curved is not None else None,
        shaped_by=curved[1] if curved is not None else "",
        shaped_in=curved[2] if curved is not None else None,
        trims=shaped_by.trims,
        eased=shaped_by.eased,
        strips=widest_strip(draft, words),
        sawn_at=slabs.sawn_at(draft, words, slab=stock.kind is StockKind.SLAB),
    )


def _taken(span: tuple[Fraction, Fraction]) -> Fraction:
    return span[1] - span[0]


def glue_up_note(draft: Draft, words: PartSource) -> str:
    """Return the remark for the cut list, with how it is glued up in the edition's own sizes."""
    remarks = [str(words.note)] if words.note is not None else []
    if words.layers is not None:
        remarks.append(f"glued up from {values.count(draft, words.layers, 1, word='layers')} layers")
    widest = widest_strip(draft, words)
    if widest is not None:
        remarks.append(f"glued up from {STRIPS}{write_length(widest, draft.edition)}")
    return "; ".join(remarks)


def widest_strip(draft: Draft, words: PartSource) -> Fraction | None:
    """Return how wide the strips of a part may be that is glued up, in mm, rounded; None for one that is not."""
    if words.glue_up is None:
        return None
    start = len(STRIPS) if words.glue_up.startswith(STRIPS) else 0
    if not start:
        raise draft.fail(
            "wrong-word",
            f"`{words.glue_up}` does not say how wide the strips are",
            words.glue_up.span,
            help=f"write for example `{STRIPS}5 in`",
        )
    found = snap(
        values.length(draft, words.glue_up.part(start, len(words.glue_up)), "part", word="glue up"), draft.edition
    )
    if found <= 0:
        raise draft.fail(
            "no-size", f"strips up to {values.shown(draft, found)} wide are none", words.glue_up.span,
            help=f"write for example `{STRIPS}5 in`",
        )  # fmt: skip
    return found


def _size(draft: Draft, claims: Claims, name: str, stock: Stock, final: Fraction, body: Fraction, word: str) -> Size:
    """Return a size with what is cut first: the body without its edgings, with the allowance of its stock."""
    words = draft.parts[name]
    extra = _extra(draft, words.spare, word)
    # What the author leaves long stands in place of the usual allowance, not on top of it.
    rough = body + extra
    if stock.kind is StockKind.LUMBER and not extra:
        allowed = allowance("lumber" if stock.rough_thickness else "dressed", draft.edition.name)
        rough += allowed.length_mm if word == "length" else allowed.width_mm
    if extra:
        return Size(final=final, rough=rough, life=Life.LONG, until=claims.trimmed_in.get(name))
    if words.fit is not None:
        return Size(final=final, rough=rough, life=Life.FITTED, until=claims.made_in.get(name))
    return Size(final=final, rough=rough)


def _extra(draft: Draft, spare: SpareSource | None, word: str) -> Fraction:
    if spare is None:
        return Fraction(0)
    value: Value | None = spare.length if word == "length" else spare.width
    return values.clearance(draft, value, "part", word=f"spare {word}")


def _strip(draft: Draft, claims: Claims, part: Part, worn: edgings.Worn, names: dict[str, str]) -> Part:
    """Return the strips of an edging that a part wears, as a piece of the cut list."""
    key = worn.key
    stock = named_stock(draft, edgings.source_of(draft, worn.name).of)
    edge = next(edging for edging in part.edgings if edging.name == worn.name and edging.edge == worn.side)
    along = edge.box.l if worn.side.endswith("edge") else edge.box.w
    length, tall = _taken(along), _taken(edge.box.t)
    thick = edge.box.w if worn.side.endswith("edge") else edge.box.l
    over = edgings.over(draft, worn.name)
    allowed = allowance("lumber", draft.edition.name)
    trimmed = claims.trimmed_in.get(worn.name)
    return Part(
        key=key,
        letter=names[key],
        role=Role.EDGING,
        count=part.count,
        pair=False,
        stock=stock.name,
        length=Size(final=length, rough=length + allowed.length_mm, life=Life.LONG, until=trimmed),
        width=Size(final=tall, rough=tall + over, life=Life.LONG, until=trimmed),
        thick=_taken(thick),
        body_width=tall,
        body_length=length,
        faces=part.faces,
        cuts=(),
        holes=(),
        edgings=(),
        made_in=claims.made_in.get(key),
        joined_in=claims.joined_in.get(worn.name),
        for_part=part.key,
        note=f"for {part.letter}",
        span=worn.text.span,
    )


def _test_piece(draft: Draft, number: int, title: str, test: TestSource, letter: str) -> Part:
    stock = named_stock(draft, test.of)
    length = snap(values.size(draft, test.length, "part", word="length"), draft.edition)
    width = TEST_WIDTH[draft.edition.name]
    if test.width is not None:
        width = snap(values.size(draft, test.width, "part", word="width"), draft.edition)
    return Part(
        key=f"test piece for step {number}",
        letter=letter,
        role=Role.TEST,
        count=values.count(draft, test.count, 1),
        pair=False,
        stock=stock.name,
        length=Size(final=length, rough=length),
        width=Size(final=width, rough=width),
        thick=stock.thickness,
        body_width=width,
        body_length=length,
        faces=frame("x", "z", 1).faces(),
        cuts=(),
        holes=(),
        edgings=(),
        made_in=number,
        joined_in=None,
        for_part=None,
        note=f"test piece for step {number}, {title}",
        span=test.of.span,
    )


def _placements(draft: Draft, name: str) -> list[Placement]:
    """Return where every copy of a part stands."""
    lie = stand.frame_of(draft, name)
    pair = draft.parts[name].pair is not None
    found: list[Placement] = []
    for shift in stand.copy_shifts(draft, name):
        for hand in ("L", "R") if pair else ("",):
            found.append(_placement(draft, name, lie, hand, shift, len(found) + 1))
    return found


def _placement(draft: Draft, name: str, lie: Frame, hand: str, shift: tuple[Fraction, ...], copy: int) -> Placement:
    origin: dict[str, Fraction] = {}
    axes = []
    for own in ("l", "w", "t"):
        axis = getattr(lie, own)
        low, high = stand.of_hand(draft, name, axis, hand)
        sign = lie.t_sign if own == "t" else 1
        if hand == "R" and axis == "x":
            sign = -sign
        origin[axis] = (low if sign > 0 else high) + shift["xyz".index(axis)]
        axes.append(("+" if sign > 0 else "-") + axis)
    return Placement(
        part=name,
        copy=copy,
        hand=hand,
        origin=(origin["x"], origin["y"], origin["z"]),
        axes=(axes[0], axes[1], axes[2]),
    )
