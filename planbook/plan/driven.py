"""What a joint says of its screws, bolts, dowels, biscuits or loose tenons, in the edition's own series."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.plan import joints, values
from planbook.plan.draft import Draft
from planbook.source.schema.joints import AnyDriven, DrivenSource
from planbook.source.text import Text
from planbook.trade.lookup import TradeError
from planbook.units.editions import round_to_grid
from planbook.units.factors import INCH
from planbook.units.read import ReadError, read_quantity
from planbook.units.write import plain_length

if TYPE_CHECKING:
    from planbook.plan.fastened import Fastened
    from planbook.trade.fasteners import Fastener

SCREWS = ("wood screw", "lag screw", "structural screw")
BOLT, HANGER, DOWEL, DOUBLE = "machine screw", "hanger bolt", "dowel", "dowel screw"
BISCUIT, TENON = "biscuit", "loose tenon"
HIDDEN = (DOWEL, DOUBLE, BISCUIT, TENON)
"""Kinds that go half into one part and half into the other, and are not seen."""

_BORED = re.compile(r"\b(screws?|bolts?|dowels?|dowel pins?|biscuits?|loose tenons?)\b", re.IGNORECASE)
_LENGTH_FIRST = re.compile(r"^(?P<long>\d[\d /.-]*(?:in|mm|\"))\s+(?P<size>(?:no\.?\s*|number\s+)\d+|m\d+)\b", re.I)
_WORDS = (
    "round head wood screw", "round-head wood screw", "pan head wood screw", "pan-head wood screw",
    "washer head screw", "structural screw", "double-ended screw",
    "dowel screw", "hanger bolt", "carriage bolt", "hex bolt", "machine screw", "coach screw", "lag screw", "lag bolt",
    "wood screw", "dowel pin", "dowel", "biscuit", "loose tenon", "bolt",
)  # fmt: skip
"""Words that authors call them by, the longer ones first where one holds another."""
_TIMES = re.compile(r"\s*(?:x|×)\s*")
_ROUND = re.compile(r"\b(round|pan|washer)[ -]head\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Driven:
    """The fastener of a joint; sizes in mm."""

    text: Text
    name: str
    """As it is bought in the edition: `4 x 50 mm wood screw`."""
    kind: str
    series: str
    long: Fraction
    shank: Fraction
    """Diameter, or the thickness of a biscuit or loose tenon."""
    root: Fraction | None = None
    head: Fraction | None = None
    wide: Fraction = Fraction(0)
    """Width of a loose tenon; length on the surface of a biscuit's slot."""
    deep: Fraction | None = None
    """Depth of a biscuit's slot."""
    fastener: Fastener | None = None
    """Its row of the tables."""

    @property
    def hidden(self) -> bool:
        """Whether it lies within both parts."""
        return self.kind in HIDDEN

    @property
    def proud(self) -> bool:
        """Whether its head is made to stand on the face, not in it."""
        return self.kind != "wood screw" or _ROUND.search(self.text) is not None


def words_of(draft: Draft, name: str) -> AnyDriven | None:
    """Return the words of a joint that fasteners may hold, or None for one that tells its places otherwise."""
    source = joints.source_of(draft, name)
    return source if isinstance(source, AnyDriven) else None


def driven(draft: Draft, name: str) -> Driven | None:
    """Return what is bored for in a joint, or None where `by` names nothing of that kind with a size.

    Raises `Unresolved` where the tables do not know it.
    """
    source = words_of(draft, name)
    if source is None:
        return None
    span = joints.key_of(draft, name).span
    return draft.once(f"{name} (its fastener)", span, lambda: _driven(draft, name, source))


def _driven(draft: Draft, name: str, source: DrivenSource) -> Driven | None:
    if source.bracket is not None:
        text, _ = values.chosen(draft, source.bracket.by)
        try:
            return _read(draft, text)
        except TradeError as fault:
            raise draft.fail(fault.slug, fault.message, text.span, help=fault.help) from None
    texts = [text for text in (values.chosen(draft, value)[0] for value in source.by) if _is_bored(text)]
    if len(texts) > 1:
        raise draft.fail(
            "which-fastener",
            f"the joint `{name}` is held by `{texts[0]}` and by `{texts[1]}`, and one set of places is for one of them",
            texts[1].span,
            help="write a second joint with `through:` and `into:` for the other",
        )
    if not texts:
        return None
    try:
        return _read(draft, texts[0])
    except TradeError as fault:
        raise draft.fail(fault.slug, fault.message, texts[0].span, help=fault.help) from None


def _is_bored(text: Text) -> bool:
    """Whether a text names a fastener with a size, so that its holes can be told."""
    return _BORED.search(text) is not None and any(mark.isdigit() for mark in text)


def _read(draft: Draft, text: Text) -> Driven:
    word = next((word for word in _WORDS if word in text.casefold()), "")
    if word == BISCUIT:
        return _biscuit(text)
    if word == TENON:
        return _tenon(draft, text)
    from planbook.trade.fasteners import find_fastener, in_series

    match = _LENGTH_FIRST.match(text)
    plain = f"{match['size']} x {match['long']}{text[match.end() :]}" if match else str(text)
    found = in_series(find_fastener(plain), draft.edition.name)
    if found.long_mm is None:
        raise TradeError("no-length", f"`{text}` does not say how long it is", f"write for example `{_example(text)}`")
    return Driven(
        text=text,
        name=f"{_size(draft, found.size, found.long_mm)} {word or found.kind}",
        kind=found.kind,
        series=found.series,
        long=found.long_mm,
        shank=found.shank.value,
        root=found.root.value if found.root else None,
        head=found.head.value if found.head else None,
        fastener=found,
    )


def _example(text: Text) -> str:
    return "3/8 x 2 in dowel" if DOWEL in text.casefold() else "No. 8 x 2 in wood screw"


def _size(draft: Draft, size: str, long: Fraction) -> str:
    """Return size and length as the trade writes them: `No. 8 x 2 in`, `4 x 50 mm`, `3/8 x 2 in`."""
    written = plain_length(long, draft.edition)
    unit = written.rsplit(" ", 1)[-1]
    return f"{size.removesuffix(f' {unit}')} x {written}"


def _biscuit(text: Text) -> Driven:
    from planbook.trade.hidden import find_biscuit

    match = re.search(r"\d+", text)
    found = find_biscuit(int(match[0]) if match else 0)
    return Driven(
        text=text,
        name=f"No. {found.number} biscuit",
        kind=BISCUIT,
        series="metric",
        long=found.wide_mm,
        shank=found.thick_mm,
        wide=found.slot_long_mm,
        deep=found.slot_deep_mm,
    )


def _tenon(draft: Draft, text: Text) -> Driven:
    """Read `3/8 x 1 1/2 x 3 in loose tenon`: thickness, width, length."""
    rest = text.casefold().replace("tenons", "tenon").split(TENON)[0]
    pieces = [piece.strip() for piece in _TIMES.split(rest) if piece.strip()]
    unit = "mm" if pieces and pieces[-1].endswith("mm") else "in"
    try:
        sizes = [read_quantity(piece, default_unit=unit).value for piece in pieces]
    except ReadError as fault:
        raise TradeError("unknown-fastener", f"`{text}` has no readable size: {fault.message}", fault.help) from fault
    if len(sizes) != 3 or min(sizes) <= 0:
        raise TradeError(
            "unknown-fastener",
            f"`{text}` wants thickness, width and length",
            "write for example `3/8 x 1 1/2 x 3 in loose tenon`",
        )
    native = (unit == "mm") == (draft.edition.name == "metric")
    thick, wide, long = sizes
    if not native:
        from planbook.trade.bits import nearest_bit

        thick = nearest_bit(thick, "brad-point", draft.edition.name).bit.diameter_mm
        wide, long = (round_to_grid(size, "part", draft.edition, native=False) for size in (wide, long))
    written = " x ".join(plain_length(size, draft.edition) for size in (thick, wide, long))
    return Driven(
        text=text,
        name=f"{_one_unit(written)} {TENON}",
        kind=TENON,
        series=draft.edition.name,
        long=long,
        shank=thick,
        wide=wide,
    )


def _one_unit(written: str) -> str:
    """Return `10 mm x 40 mm x 60 mm` with its unit once, at the end."""
    unit = written.rsplit(" ", 1)[-1]
    return written.replace(f" {unit} x", " x")


def in_place(draft: Draft, name: str) -> tuple[Fastened, ...]:
    """Return the fasteners of a joint, once the parts that it holds are finished; raises `Unresolved` before."""

    def too_early() -> tuple[Fastened, ...]:
        raise draft.fail(
            "cycle",
            f"the fasteners of `{name}` are counted when its parts are finished, so no size can rest on their number",
            joints.key_of(draft, name).span,
            help="write the number",
        )

    return draft.once(f"{name} (in place)", joints.key_of(draft, name).span, too_early)


def count(draft: Draft, name: str) -> int:
    """Return how many fasteners hold a joint, or how many brackets, each of which has two screws."""
    number = sum(len(one.places) for one in in_place(draft, name))
    source = words_of(draft, name)
    return number // 2 if source is not None and source.bracket is not None else number


def step_of(draft: Draft, name: str, cut_in: int | None, joined_in: int | None) -> int | None:
    """Return the step that bores for a joint: that which cuts it where it has no cuts of its own, else joins it."""
    if joints.kind_of(draft, name) in joints.UNCUT and cut_in is not None:
        return cut_in
    return joined_in if joined_in is not None else cut_in


def group_of(draft: Draft, name: str) -> str:
    """Return what the holes of a joint are called: by its name, where that does not name a cut as well."""
    return name if joints.kind_of(draft, name) in joints.UNCUT else f"holes of {name}"


ROOM_BELOW = {"imperial": INCH / 16, "metric": Fraction(2)}
"""How much deeper than half a dowel or loose tenon its hole is, in mm: for glue (common practice, no source)."""
