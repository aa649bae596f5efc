"""Where parts stand: from the words about faces to an interval along each axis of the assembly.

Everything here is exact; sizes are rounded once, later, when the part is finished. Intervals are
those of the first copy, the left hand of a pair; the right hand is its mirror image.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.plan import values
from planbook.plan.draft import Draft
from planbook.plan.frames import LOOKS, RUNS, Frame, frame
from planbook.source.nearest import did_you_mean
from planbook.source.schema.parts import PartSource
from planbook.source.schema.words import PerEdition, Value
from planbook.source.text import Text

if TYPE_CHECKING:
    from planbook.plan.model import Range

FLUSH = {
    "left": ("x", 0),
    "right": ("x", 1),
    "front": ("y", 0),
    "back": ("y", 1),
    "floor": ("z", 0),
    "bottom": ("z", 0),
    "top": ("z", 1),
}
CENTRED = {"across": "x", "front to back": "y", "up and down": "z"}
DIRECTION = {"x": "left and right", "y": "front and back", "z": "up and down"}
PIECE = {"x": ("wide", "long", "across"), "y": ("deep", "across"), "z": ("high",)}
"""Names of the dims that give the size of the piece along an axis, the first one given wins."""

LOW_WORDS = {"x": "left_face", "y": "front_face", "z": "underside"}
HIGH_WORDS = {"x": "right_face", "y": "back_face", "z": "upper_face"}


def value_text(value: Value) -> Text:
    """Return the text that stands for a value: itself, or that of its first edition."""
    return value.imperial if isinstance(value, PerEdition) else value


def hosts_of(draft: Draft, name: str) -> tuple[str, ...]:
    """Return the parts a part stands between, or stands under."""
    words = draft.parts[name]
    return tuple(part_named(draft, text)[0] for text in words.between) or (
        (part_named(draft, words.under)[0],) if words.under else ()
    )


def part_named(draft: Draft, text: Text) -> tuple[str, str]:
    """Return the part a text names and its hand (`L`, `R` or empty); raises `Unresolved`."""
    words = " ".join(text.split())
    if words in draft.parts:
        return words, ""
    first, _, rest = words.partition(" ")
    if first in ("left", "right") and rest in draft.parts and draft.parts[rest].pair:
        return rest, first[0].upper()
    help = did_you_mean(words, list(draft.parts))
    raise draft.fail("unknown-part", f"there is no part `{text}`", text.span, help=help)


def between_axis(draft: Draft, name: str, hosts: tuple[Text, ...]) -> str:
    """Return the axis along which a part fits between others."""
    for text in hosts:
        if part_named(draft, text)[0] == name:
            raise draft.fail("not-a-pair", f"`{name}` cannot fit between itself", text.span, help="name other parts")
    if len(hosts) == 1:
        host, hand = part_named(draft, hosts[0])
        if not draft.parts[host].pair or hand:
            raise draft.fail(
                "not-a-pair",
                f"`{name}` cannot fit between `{hosts[0]}`, which is one part",
                hosts[0].span,
                help="name two parts, as `[bottom, top]`, or a part with `pair: left right`",
            )
        return frame_of(draft, host).t
    if len(hosts) != 2:
        raise draft.fail("not-a-pair", f"`{name}` is between {len(hosts)} parts, two are wanted", hosts[0].span)
    frames = [frame_of(draft, part_named(draft, text)[0]) for text in hosts]
    if frames[0].t != frames[1].t:
        raise draft.fail(
            "not-facing",
            f"`{hosts[0]}` and `{hosts[1]}` do not face each other, so nothing fits between them",
            hosts[1].span,
        )
    return frames[0].t


def frame_of(draft: Draft, name: str) -> Frame:
    """Return which way a part lies, from its words or from where it stands."""
    words = draft.parts[name]
    span = draft.part_key(name).span
    return draft.once(f"{name} (the way it lies)", span, lambda: _frame(draft, name, words))


def _frame(draft: Draft, name: str, words: PartSource) -> Frame:
    from planbook.plan import forms

    own = forms.frame_of(draft, name)
    if own is not None:
        return own
    runs = _runs(draft, name, words)
    inside = bool(words.pair) and (words.faces is None or words.faces == "inside")
    if inside:
        axis, sign = "x", 1
    elif words.faces is not None:
        axis, sign = _looks(draft, words.faces)
    else:
        axis, sign = _usual_look(words, runs)
    try:
        return frame(runs, axis, sign, inside=inside)
    except ValueError:
        place = words.faces or words.runs or draft.part_key(name)
        raise draft.fail(
            "impossible-direction",
            f"`{name}` cannot run the way its face looks",
            place.span,
            help="give `runs: up`, `across` or `back` and `faces: up`, `front`, `left` ... that are square to it",
        ) from None


def _runs(draft: Draft, name: str, words: PartSource) -> str:
    if words.runs is not None:
        if words.runs in RUNS:
            return RUNS[words.runs]
        help = did_you_mean(words.runs, list(RUNS)) or "write `up`, `across` or `back`"
        raise draft.fail("unknown-direction", f"`{words.runs}` is no direction", words.runs.span, help=help)
    if words.between:
        return between_axis(draft, name, words.between)
    return "z" if words.pair else "x"


def _looks(draft: Draft, text: Text) -> tuple[str, int]:
    if text in LOOKS:
        return LOOKS[text]
    if text == "inside":
        return ("y", -1)
    help = did_you_mean(text, [*LOOKS, "inside"]) or "write `up`, `front`, `inside` ..."
    raise draft.fail("unknown-direction", f"`{text}` is no direction a face can look", text.span, help=help)


def _usual_look(words: PartSource, runs: str) -> tuple[str, int]:
    """Choose the look that the placing words imply: lying flat, standing across, or a divider."""
    if runs == "z":
        sideways = words.left_face or words.right_face or words.centred == "across"
        return ("x", 1) if sideways else ("y", -1)
    standing = words.under or words.set_back or words.covers or words.front_face or words.back_face
    return ("y", -1) if standing and runs == "x" else ("z", 1)


def mirrored(draft: Draft, name: str, span: Range) -> Range:
    """Return an interval of a part along x as the right hand has it."""
    wide = piece(draft, "x")
    if wide is None:
        raise draft.fail(
            "no-overall-size",
            f"the pair `{name}` stands at the left and right end of the piece, but the piece has no dim `wide`",
            draft.part_key(name).span,
            help="add `wide` to `dims`",
        )
    return (wide - span[1], wide - span[0])


def piece(draft: Draft, axis: str) -> Fraction | None:
    """Return the size of the whole piece along an axis as its dims give it, or None."""
    for name in PIECE[axis]:
        if name in draft.facts.dims:
            return values.dim_value(draft, name).value
    return None


def thick(draft: Draft, name: str) -> Fraction:
    """Return the thickness of a part in mm: that of its stock, where its shape has none of its own."""
    from planbook.plan import forms
    from planbook.plan.stock import stock_of

    own = forms.thick(draft, name)
    return stock_of(draft, name).thickness * layers(draft, name) if own is None else own


def layers(draft: Draft, name: str) -> int:
    """Return of how many layers of its stock a board is glued up, face to face."""
    return values.count(draft, draft.parts[name].layers, 1, word="layers")


def interval(draft: Draft, name: str, axis: str) -> Range:
    """Return where the first copy of a part begins and ends along an axis, exact, in mm."""
    span = draft.part_key(name).span
    return draft.once(f"{name} ({DIRECTION[axis]})", span, lambda: _interval(draft, name, axis))


def of_hand(draft: Draft, name: str, axis: str, hand: str) -> Range:
    """Return the interval of the left or right hand of a pair, or of the only copy."""
    own = interval(draft, name, axis)
    return mirrored(draft, name, own) if hand == "R" and axis == "x" else own


def _interval(draft: Draft, name: str, axis: str) -> Range:
    from planbook.plan import forms, reach

    shaped = forms.interval(draft, name, axis)
    if shaped is not None:
        return shaped
    words = draft.parts[name]
    lie = frame_of(draft, name)
    own = lie.own_axis(axis)
    for hosts in (words.between, words.across_between):
        if hosts and axis == between_axis(draft, name, hosts):
            if own == "t":
                raise draft.fail(
                    "impossible-direction",
                    f"`{name}` is between {' and '.join(f'`{host}`' for host in hosts)} with its faces, "
                    "but its thickness is that of its stock",
                    hosts[0].span,
                    help="let it run or lie the other way with `runs` or `faces`",
                )
            return reach.between(draft, name, axis, hosts)
    if own == "t":
        return position(draft, name, axis, thick(draft, name))
    if words.covers and (own == "w" or not words.length) and not _sized(words, own):
        return reach.covered(draft, name, axis)
    value = words.length if own == "l" else words.width
    if value is None:
        word = "length" if own == "l" else "width"
        raise draft.fail(
            "no-size",
            f"`{name}` has no {word}",
            draft.part_key(name).span,
            help=f"add `{word}:` with a formula, or `between:` with what it fits between",
        )
    extent = reach.extent(draft, name, axis, value)
    if extent is not None:
        return extent
    return position(draft, name, axis, reach.size(draft, name, own, value))


def _sized(words: PartSource, own: str) -> bool:
    return (words.length if own == "l" else words.width) is not None


def position(draft: Draft, name: str, axis: str, size: Fraction) -> Range:
    """Return the interval of a part whose size along the axis is known, from its placing words."""
    from planbook.plan import reach

    words = draft.parts[name]
    low, high = getattr(words, LOW_WORDS[axis]), getattr(words, HIGH_WORDS[axis])
    if low is not None:
        start = reach.place(draft, name, axis, low)
        return (start, start + size)
    if high is not None:
        stop = reach.place(draft, name, axis, high)
        return (stop - size, stop)
    found = reach.by_word(draft, name, axis, size)
    if found is not None:
        return found
    if axis == "x" and words.pair:
        return (Fraction(0), size)
    if axis == "y":
        return (Fraction(0), size)
    if words.apart:
        return (Fraction(0), size)
    raise draft.fail(
        "not-placed",
        f"`{name}` does not say where it stands {'left to right' if axis == 'x' else 'up and down'}",
        draft.part_key(name).span,
        help=_placing_help(axis),
    )


def _placing_help(axis: str) -> str:
    if axis == "x":
        return "add `between:`, `left face:`, `right face:`, `flush: left` or `centred: across`"
    return "add `on:`, `under:`, `underside:` or `upper face:`"


def copies(draft: Draft, name: str) -> int:
    """Return how many copies of a part stand in the piece; both hands of a pair count."""
    words = draft.parts[name]
    if words.pair is not None:
        if " ".join(words.pair.split()) != "left right":
            raise draft.fail(
                "unknown-pair", f"`{words.pair}` is no pair", words.pair.span, help="write `pair: left right`"
            )
        if values.count(draft, words.count, 2) != 2:
            assert words.count is not None
            raise draft.fail("wrong-number", f"a pair is two, so `{name}` cannot count {words.count}", words.count.span)
        return 2
    return values.count(draft, words.count, 1)


def copy_shifts(draft: Draft, name: str) -> tuple[tuple[Fraction, Fraction, Fraction], ...]:
    """Return how far each copy stands from the first, along x, y and z, in mm; a pair is left out."""
    words = draft.parts[name]
    number = copies(draft, name)
    if words.pair is not None or number == 1 or words.apart:
        return ((Fraction(0),) * 3,) * (1 if words.pair else number)
    if words.on is not None and any(key == words.on for key in draft.facts.holes):
        from planbook.plan.holes import resting_heights

        heights = resting_heights(draft, name, words.on)
        return tuple((Fraction(0), Fraction(0), height - heights[0]) for height in heights)
    if words.spread is None:
        raise draft.fail(
            "not-placed",
            f"`{name}` has {number} copies, and does not say how they are spread",
            (words.count or draft.part_key(name)).span,
            help="add `spread: across`, `spread: front to back` or `spread: up and down`",
        )
    return _spread(draft, name, words.spread, number)


def _spread(draft: Draft, name: str, text: Text, number: int) -> tuple[tuple[Fraction, Fraction, Fraction], ...]:
    """Spread copies with equal gaps, the first where it stands and the last as far from the other side."""
    if text not in CENTRED:
        raise draft.fail(
            "unknown-direction", f"`{text}` is no way to spread", text.span, help="write `across` or `front to back`"
        )
    axis = CENTRED[text]
    low, high = interval(draft, name, axis)
    whole = piece(draft, axis)
    if whole is None:
        raise draft.fail("no-overall-size", f"the piece has no size for `spread: {text}`", text.span)
    # The last copy keeps the distance from its side that the first keeps from the other.
    step = (whole - low - high) / (number - 1)

    def shift(index: int) -> tuple[Fraction, Fraction, Fraction]:
        x, y, z = (step * index if axis == one else Fraction(0) for one in "xyz")
        return x, y, z

    return tuple(shift(index) for index in range(number))
