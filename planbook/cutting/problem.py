"""What is to be cut, from what, on which saw: whole numbers of the smallest unit of one edition.

Whoever fills these in rounds pieces, kerf and trims up and stock down, so that nothing fits by luck.
The unit should be as coarse as the shop can measure (1/32 in, 1 mm): the work grows with the number of
units in a sheet.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

MOST_PIECES = 50_000
"""Pieces of one problem; more is taken for a slip of the pen."""
MOST_KINDS = 400
"""Different sizes of one problem."""
MOST_UNITS = 200_000
"""Units in the longest stock; finer units make the tables too large."""


class CuttingError(Exception):
    """A problem that cannot be cut: `slug` names the fault, `message` is a sentence, `help` what would work."""

    def __init__(self, slug: str, message: str, help: str = "") -> None:
        super().__init__(message)
        self.slug = slug
        self.message = message
        self.help = help


class Grain(StrEnum):
    """Whether a piece has to lie along the length of its sheet."""

    FIXED = "fixed"
    FREE = "free"


class Way(StrEnum):
    """Direction of a cut: a rip runs along the length of the stock, a crosscut across it."""

    RIP = "rip"
    CROSSCUT = "crosscut"


class First(StrEnum):
    """Which way the first cuts through a sheet go."""

    RIP = "rip"
    CROSSCUT = "crosscut"
    EITHER = "either"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Something to cut, `count` times; `length` lies along the grain, `width` is ignored for sticks."""

    key: str
    length: int
    width: int = 1
    count: int = 1
    grain: Grain = Grain.FIXED


@dataclass(frozen=True, slots=True, kw_only=True)
class Stick:
    """Stock that is only cut to length."""

    key: str
    length: int
    price: int = 1
    """In the smallest coin; zero only with a limit (an offcut on hand costs nothing)."""
    limit: int | None = None
    """How many there are; None where as many can be bought as are needed."""
    offcut: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Stock that is cut both ways; the grain of its face runs along `length`."""

    key: str
    length: int
    width: int
    price: int = 1
    """As for sticks."""
    limit: int | None = None
    offcut: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """What is taken off the edges first, the blade's own width included."""

    start: int = 0
    """Off the left end of the length."""
    end: int = 0
    near: int = 0
    """Off the lower edge of the width."""
    far: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Saw:
    """The saw and the way it is used."""

    kerf: int
    trim: Trim = Trim()
    stages: int = 2
    """2: strips, then pieces out of strips. 3: strips, sections of strips, pieces out of sections.

    A last cut that trims a single piece to its size is allowed after either.
    """
    first: First = First.EITHER


def check_sticks(pieces: Sequence[Piece], sticks: Sequence[Stick], saw: Saw) -> None:
    """Refuse what cannot be cut from sticks; raises CuttingError."""
    _check(pieces, [(stick.key, stick.length, 1, stick.price, stick.limit) for stick in sticks], saw)
    longest = max(stick.length for stick in sticks) - saw.trim.start - saw.trim.end
    for piece in pieces:
        if piece.length > longest:
            raise CuttingError(
                "longer-than-stock",
                f"`{piece.key}` is {piece.length} long, the longest stick gives {longest}",
                "take longer stock, or make the piece of two with a joint",
            )


def check_sheets(pieces: Sequence[Piece], sheets: Sequence[Sheet], saw: Saw) -> None:
    """Refuse what cannot be cut from sheets; raises CuttingError."""
    _check(pieces, [(sheet.key, min(sheet.length, sheet.width), 1, sheet.price, sheet.limit) for sheet in sheets], saw)
    if max(max(sheet.length, sheet.width) for sheet in sheets) > MOST_UNITS:
        raise CuttingError("unit-too-fine", f"a sheet has over {MOST_UNITS} units on a side", "take a coarser unit")
    if saw.stages not in (2, 3):
        raise CuttingError("stages-unknown", f"{saw.stages} stages of cuts are asked for", "write 2 or 3")
    rooms = [usable(sheet, saw.trim) for sheet in sheets]
    for piece in pieces:
        if any(_inside(piece.length, piece.width, room) for room in rooms):
            continue
        turned = any(_inside(piece.width, piece.length, room) for room in rooms)
        if turned and piece.grain is Grain.FREE:
            continue
        largest = max(rooms)
        raise CuttingError(
            "larger-than-stock",
            f"`{piece.key}` is {piece.length} x {piece.width}, the largest sheet gives {largest[0]} x {largest[1]}",
            "let its grain be free: turned, it fits" if turned else "take larger stock, or make the piece of two",
        )


def usable(sheet: Sheet, trim: Trim) -> tuple[int, int]:
    """Return length and width of a sheet within its trimmed edges."""
    return sheet.length - trim.start - trim.end, sheet.width - trim.near - trim.far


def _inside(length: int, width: int, room: tuple[int, int]) -> bool:
    return length <= room[0] and width <= room[1]


def _check(pieces: Sequence[Piece], stock: Sequence[tuple[str, int, int, int, int | None]], saw: Saw) -> None:
    if not pieces:
        raise CuttingError("no-pieces", "there is nothing to cut", "list at least one piece")
    if not stock:
        raise CuttingError("no-stock", "there is no stock to cut from", "list at least one stick or sheet")
    _check_saw(saw)
    _check_pieces(pieces, saw)
    _unique("piece", (piece.key for piece in pieces))
    _unique("stock", (entry[0] for entry in stock))
    for key, length, _, price, limit in stock:
        if length <= 0:
            raise CuttingError("size-not-positive", f"stock `{key}` measures {length}", "write its size")
        if length > MOST_UNITS:
            raise CuttingError("unit-too-fine", f"stock `{key}` has {length} units", "take a coarser unit")
        if price < 0 or (limit is not None and limit < 0):
            raise CuttingError(
                "price-negative", f"stock `{key}` has price {price} and limit {limit}", "write 0 or more"
            )
        if price == 0 and limit is None:
            raise CuttingError(
                "free-without-limit", f"stock `{key}` costs nothing and has no limit", "say how many are on hand"
            )


def _check_pieces(pieces: Sequence[Piece], saw: Saw) -> None:
    for piece in pieces:
        if piece.length <= 0 or piece.width <= 0:
            raise CuttingError(
                "size-not-positive", f"`{piece.key}` measures {piece.length} x {piece.width}", "write its size"
            )
        if piece.count <= 0:
            raise CuttingError("count-not-positive", f"`{piece.key}` is wanted {piece.count} times", "write 1 or more")
        if saw.kerf > piece.length:
            raise CuttingError(
                "kerf-over-piece",
                f"the kerf is {saw.kerf}, `{piece.key}` only {piece.length} long",
                "take a thinner blade, or cut the piece another way",
            )
    total = sum(piece.count for piece in pieces)
    if total > MOST_PIECES:
        most = max(pieces, key=lambda piece: piece.count)
        raise CuttingError(
            "too-many-pieces",
            f"{total} pieces are wanted, `{most.key}` alone {most.count} times; the limit is {MOST_PIECES}",
            "cut in several lots",
        )
    if len(pieces) > MOST_KINDS:
        raise CuttingError("too-many-kinds", f"{len(pieces)} sizes, the limit is {MOST_KINDS}", "cut in several lots")


def _check_saw(saw: Saw) -> None:
    if saw.kerf < 0:
        raise CuttingError("kerf-negative", f"the kerf is {saw.kerf}", "write the width of the cut")
    if min(saw.trim.start, saw.trim.end, saw.trim.near, saw.trim.far) < 0:
        raise CuttingError("trim-negative", "a trimmed edge is below zero", "write 0 where nothing is trimmed")


def _unique(what: str, keys: Iterable[str]) -> None:
    seen: set[str] = set()
    for key in keys:
        if key in seen:
            raise CuttingError("name-twice", f"two entries of {what} are called `{key}`", "give each its own name")
        seen.add(key)
