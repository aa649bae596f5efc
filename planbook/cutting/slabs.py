"""Slabs cut into parts: places, straight cuts in order, what each part holds, what is left.

Nothing here is proven to be best: the result is a layout that was checked to lie on sound wood, kerf and distances
kept. What does not fit is named, with the nearest thing that would.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from planbook.cutting.problem import CuttingError
from planbook.cutting.slab_cuts import Falls, Sawyer, SlabCut
from planbook.cutting.slab_places import Box, Ground, Laid
from planbook.cutting.slab_problem import HAIR, Natural, Slab, SlabPiece, check_slab
from planbook.cutting.slab_search import Search

MOST_PIECES = 60
"""Parts of one slab; more is taken for a slip of the pen."""


@dataclass(frozen=True, slots=True)
class Near:
    """What a part comes nearest to."""

    mark: str
    distance: float


@dataclass(frozen=True, slots=True)
class SlabPart:
    """A part on the slab, with what there is to know of its place."""

    laid: Laid
    holds: tuple[tuple[str, bool], ...]
    """Marks on it, and whether wholly."""
    near: Near | None
    """The mark it comes nearest to without holding it."""


@dataclass(frozen=True, slots=True)
class SlabRest:
    """What is left over and is worth keeping: the largest rectangle of it between the edges."""

    box: Box
    marks: tuple[str, ...]
    """Marks on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlabLayout:
    """A slab, cut."""

    slab: Slab
    parts: tuple[SlabPart, ...]
    cuts: tuple[SlabCut, ...]
    rests: tuple[SlabRest, ...]
    missing: tuple[SlabPiece, ...]
    """Parts for which no place was found."""
    used: float
    """Share of the slab that becomes parts."""

    def part(self, key: str) -> SlabPart:
        """Return the part of that name; raises KeyError."""
        for part in self.parts:
            if part.laid.piece.key == key:
                return part
        raise KeyError(key)


def solve_slab(slab: Slab, pieces: Sequence[SlabPiece], *, keep_long: float = 0, keep_wide: float = 0) -> SlabLayout:
    """Return a layout of the pieces; raises CuttingError for what cannot be asked, never for what finds no place."""
    check_slab(slab)
    _check(slab, pieces)
    ground = Ground(slab)
    search = Search(ground)
    laid = search.pin(pieces)
    laid = search.place(laid, [piece for piece in pieces if piece.start is None])
    sawyer = Sawyer(slab.kerf)
    if laid:
        sawyer.divide(laid, (ground.left, ground.front, ground.right, ground.back))
    names = [one.piece.key for one in laid]
    order = {piece.key: number for number, piece in enumerate(pieces)}
    return SlabLayout(
        slab=slab,
        parts=tuple(_part(ground, one) for one in sorted(laid, key=lambda one: order[one.piece.key])),
        cuts=tuple(sawyer.cuts),
        rests=tuple(_rests(ground, sawyer.falls, keep_long, keep_wide)),
        missing=tuple(piece for piece in pieces if piece.key not in names),
        used=sum(_area(one) for one in laid) / float(ground.whole.area),
    )


def nearest_fit(slab: Slab, layout: SlabLayout, piece: SlabPiece) -> str:
    """Return what would let a missing part fit: turned, shorter, narrower, or nothing."""
    pieces = [part.laid.piece for part in layout.parts]
    ground = Ground(slab)

    def fits(other: SlabPiece) -> bool:
        search = Search(ground)
        found = search.place([part.laid for part in layout.parts], [other])
        return len(found) > len(pieces)

    if not piece.turns and piece.natural is Natural.NONE and fits(replace(piece, turns=True)):
        return "let its grain be free: turned, it fits"
    if piece.keep and fits(replace(piece, keep=())):
        return f"without `keep: {', '.join(piece.keep)}` it fits"
    if piece.outline:
        return "take a larger slab, or make it of two pieces"
    for side, word in (("length", "long"), ("width", "wide")):
        most = _most(slab, piece, side, fits)
        if most:
            return f"made {slab.write(most)} {word} it fits"
    return "take a larger slab, or make it of two pieces"


def _most(slab: Slab, piece: SlabPiece, side: str, fits: object) -> float:
    """Return the largest size under the wanted one that fits, within a step of eight; 0 if half of it does not."""
    assert callable(fits)
    whole = getattr(piece, side)

    def sized(value: float) -> SlabPiece:
        return replace(piece, length=value) if side == "length" else replace(piece, width=value)

    low, high = slab.down(whole / 2), whole
    if low <= 0 or not fits(sized(low)):
        return 0.0
    while high - low > 8 * slab.step:
        middle = slab.down((low + high) / 2)
        low, high = (middle, high) if fits(sized(middle)) else (low, middle)
    return low


def _check(slab: Slab, pieces: Sequence[SlabPiece]) -> None:
    if not pieces:
        raise CuttingError("no-pieces", "there is nothing to cut", "list at least one piece")
    if len(pieces) > MOST_PIECES:
        raise CuttingError(
            "too-many-pieces",
            f"{len(pieces)} pieces are wanted from one slab; the limit is {MOST_PIECES}",
            "list fewer",
        )
    names = {mark.name for mark in slab.marks}
    for piece in pieces:
        if piece.length <= 0 or piece.width < 0 or (piece.width == 0 and piece.natural is not Natural.BOTH):
            raise CuttingError("size-not-positive", f"`{piece.key}` has a size that is not over 0", "write its size")
        if slab.kerf > piece.length + HAIR:
            raise CuttingError(
                "kerf-over-piece",
                f"the kerf is {slab.write(slab.kerf)}, `{piece.key}` only {slab.write(piece.length)} long",
                "take a thinner blade",
            )
        for name in piece.keep:
            if name not in names:
                raise CuttingError("unknown-mark", f"the slab `{slab.key}` has no mark `{name}`", _names(names))


def _names(names: set[str]) -> str:
    return f"its marks are {', '.join(f'`{name}`' for name in sorted(names))}" if names else "list it under `marks`"


def _part(ground: Ground, laid: Laid) -> SlabPart:
    holds = ground.holds(laid)
    on = {name for name, _ in holds}
    others = [(ground.distance(laid, mark.name), mark.name) for mark in ground.slab.marks if mark.name not in on]
    near = min(others, default=None)
    return SlabPart(laid, holds, Near(near[1], near[0]) if near is not None else None)


def _rests(ground: Ground, falls: Sequence[Falls], keep_long: float, keep_wide: float) -> list[SlabRest]:
    found = []
    for fall in falls:
        box = ground.clear_rest(fall.box)
        if box is None or box[2] - box[0] < keep_long or box[3] - box[1] < keep_wide:
            continue
        marks = tuple(
            mark.name
            for mark in ground.slab.marks
            if mark.box[0] < box[2] and mark.box[2] > box[0] and mark.box[1] < box[3] and mark.box[3] > box[1]
        )
        found.append(SlabRest(box, marks))
    return sorted(found, key=lambda rest: (-(rest.box[2] - rest.box[0]) * (rest.box[3] - rest.box[1]), rest.box))


def _area(laid: Laid) -> float:
    total = 0.0
    spots = laid.shape
    for (x0, y0), (x1, y1) in zip(spots, (*spots[1:], spots[0]), strict=True):
        total += x0 * y1 - x1 * y0
    return abs(total) / 2
