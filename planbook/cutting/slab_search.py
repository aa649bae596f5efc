"""Finding places on a slab: parts that are pinned first, then the rest, the harder ones before the easier.

A place is taken where a part touches something: an end of the slab, its edge, another part, a mark. That all parts
can be sawn apart by straight cuts from edge to edge is asked at every step. The search stops after so much work;
the same slab gives the same places.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from planbook.cutting.problem import CuttingError
from planbook.cutting.slab_cuts import parts_can_be_sawn
from planbook.cutting.slab_places import Box, Ground, Laid, apart
from planbook.cutting.slab_problem import HAIR, Natural, SlabPiece

TRIES = 40_000
"""Places looked at in one search."""
_BRANCHES = 8
"""Places tried for one part in each layout, the best first."""
_BEAM = 10
"""Layouts kept from part to part."""
_MOST_WORK = 500
"""Fewer are kept of more parts: the work grows with the square of their number."""


@dataclass(slots=True)
class Search:
    """The search on one slab."""

    ground: Ground
    tries: int = 0

    def pin(self, pieces: Sequence[SlabPiece]) -> list[Laid]:
        """Lay the pinned parts; raises CuttingError where one does not go there."""
        laid: list[Laid] = []
        for piece in pieces:
            if piece.start is None:
                continue
            found = next(self._at_pin(piece), None)
            if found is None:
                raise CuttingError(
                    "off-the-slab", f"`{piece.key}` does not lie on the slab where it is pinned", self._help(piece)
                )
            for mark in self.ground.spoiled_by(found):
                raise CuttingError(
                    "part-over-mark",
                    f"`{piece.key}` is pinned where the {mark.kind} `{mark.name}` lies or comes too near",
                    self._help(piece) + f", or write `keep: {mark.name}` if it may have it",
                )
            for mark in self.ground.lacks(found):
                raise CuttingError(
                    "mark-outside",
                    f"`{mark.name}` does not lie wholly inside `{piece.key}` where it is pinned",
                    self._help(piece),
                )
            for other in laid:
                if not apart(found.box, other.box, self.ground.slab.kerf):
                    raise CuttingError(
                        "parts-overlap",
                        f"`{piece.key}` and `{other.piece.key}` are pinned so that no blade goes between them",
                        "pin one of them elsewhere",
                    )
            laid.append(found)
        if not parts_can_be_sawn(laid, self.ground.slab.kerf):
            raise CuttingError(
                "cuts-cross",
                "the pinned parts cannot be sawn apart by straight cuts from edge to edge",
                "line up their ends, or pin one part less",
            )
        return laid

    def _at_pin(self, piece: SlabPiece) -> Iterator[Laid]:
        assert piece.start is not None
        for natural in _choices(piece):
            places = [piece.near] if piece.near is not None else None
            if places is None:
                places = self._across(piece, piece.start, [], turned=False) if natural is Natural.NONE else [0.0]
            for y in places:
                found = self.ground.lay(piece, piece.start, y, natural=natural, turned=False, flip=False)
                if found is not None and (piece.near is not None or not self._wrong(found)):
                    yield found
        for natural in _choices(piece):  # so that the fault can be named
            found = self.ground.lay(piece, piece.start, piece.near or 0.0, natural=natural, turned=False, flip=False)
            if found is not None:
                yield found

    def _wrong(self, laid: Laid) -> bool:
        return any(self.ground.spoiled_by(laid)) or any(self.ground.lacks(laid))

    def _help(self, piece: SlabPiece) -> str:
        loose = replace(piece, start=None)
        starts = sorted({laid.box[0] for laid, _ in self._places(loose, [])})
        if not starts:
            starts = sorted({laid.box[0] for laid, _ in self._places(replace(loose, near=None), [])})
        if not starts:
            return "it fits nowhere on this slab: make it smaller"
        best = min(starts, key=lambda at: (abs(at - (piece.start or 0.0)), at))
        return f"begin {self.ground.slab.write(best)} from the left end: there it lies well"

    def place(self, laid: Sequence[Laid], pieces: Sequence[SlabPiece]) -> list[Laid]:
        """Return the best layout found that adds the pieces to what is laid; some may be missing.

        One part after the other goes to the best places of each of the layouts at hand, of which the better ones
        are kept (a beam search).
        """
        beam = [list(laid)]
        width = max(1, min(_BEAM, _MOST_WORK // max(1, len(pieces) ** 2)))
        for piece in sorted(pieces, key=_hardness):
            longer: dict[tuple[tuple[float, ...], ...], list[Laid]] = {}
            for layout in beam:
                places = sorted(self._places(piece, layout), key=lambda entry: entry[1])[:_BRANCHES]
                for place, _ in places:
                    found = [*layout, place]
                    longer.setdefault(tuple(sorted(one.box for one in found)), found)
                if self.tries > TRIES:
                    break
            if longer:  # else it is left out, so that the others are laid
                beam = sorted(longer.values(), key=self._rank, reverse=True)[:width]
        return beam[0]

    def _rank(self, laid: Sequence[Laid]) -> tuple[float, ...]:
        """Return how good a layout is: most wood in parts, the longest end left whole, close together."""
        area = sum(one.piece.length * max(one.piece.width, 1.0) for one in laid)
        first = min((one.box[0] for one in laid), default=self.ground.right)
        last = max((one.box[2] for one in laid), default=self.ground.left)
        whole = max(first - self.ground.left, self.ground.right - last)
        spread = sum(one.box[2] + abs(one.box[1]) for one in laid)
        return (round(area, 3), round(whole, 3), -round(spread, 3))

    # places

    def _places(self, piece: SlabPiece, laid: Sequence[Laid]) -> Iterator[tuple[Laid, tuple[float, ...]]]:
        """Yield the places where a part lies well, with what makes one better than another (less is better)."""
        for natural in _choices(piece):
            for turned in (False, True) if piece.turns and natural is Natural.NONE else (False,):
                for flip in (False, True) if piece.outline else (False,):
                    yield from self._lying(piece, laid, natural, turned=turned, flip=flip)

    def _lying(
        self, piece: SlabPiece, laid: Sequence[Laid], natural: Natural, *, turned: bool, flip: bool
    ) -> Iterator[tuple[Laid, tuple[float, ...]]]:
        length, width = (piece.width, piece.length) if turned else (piece.length, piece.width)
        kerf = self.ground.slab.kerf

        def free(box: Box) -> bool:
            return all(apart(box, other.box, kerf) for other in laid)

        for x in self._along(length, laid):
            places = [0.0] if natural is not Natural.NONE else self._across(piece, x, laid, turned=turned)
            for y in places:
                if natural is Natural.NONE and not free((x, y, x + length, y + width)):
                    continue
                self.tries += 1
                found = self.ground.lay(piece, x, y, natural=natural, turned=turned, flip=flip)
                if found is None or not free(found.box):
                    continue
                if self._wrong(found) or not parts_can_be_sawn([*laid, found], kerf):
                    continue
                yield found, self._cost(found, laid)

    def _along(self, length: float, laid: Sequence[Laid]) -> list[float]:
        ground, slab = self.ground, self.ground.slab
        places = {slab.up(ground.left), slab.down(ground.right - length)}
        for one in laid:
            places |= {slab.up(one.box[2] + slab.kerf), slab.down(one.box[0] - slab.kerf - length)}
            places |= {slab.up(one.box[0]), slab.down(one.box[2] - length)}
        for mark in slab.marks:
            left, _, right, _ = mark.box
            places |= {slab.up(right + slab.clear), slab.down(left - slab.clear - length)}
            places |= {slab.down(left), slab.up(right - length)}
        for x, _ in slab.outline:
            places |= {slab.up(x), slab.down(x - length)}
        return sorted(x for x in places if ground.left - HAIR <= x <= ground.right - length + HAIR)

    def _across(self, piece: SlabPiece, x: float, laid: Sequence[Laid], *, turned: bool) -> list[float]:
        if piece.near is not None and not turned:
            return [piece.near]
        slab = self.ground.slab
        length, width = (piece.width, piece.length) if turned else (piece.length, piece.width)
        low, high = self.ground.edges(x, x + length)
        if low is None or high is None:
            return []
        places = {slab.up(max(y for _, y in low)), slab.down(min(y for _, y in high) - width)}
        if piece.outline:
            places |= {slab.up(min(y for _, y in low)), slab.down(max(y for _, y in high) - width)}
            bottom, top = min(places), max(places)
            places |= {slab.up(bottom + (top - bottom) * part / 8) for part in range(1, 8)}
        for one in laid:
            places |= {slab.up(one.box[3] + slab.kerf), slab.down(one.box[1] - slab.kerf - width)}
        for mark in slab.marks:
            _, front, _, back = mark.box
            places |= {slab.up(back + slab.clear), slab.down(front - slab.clear - width)}
            places |= {slab.down(front), slab.up(back - width)}
        return sorted(places)

    def _cost(self, found: Laid, laid: Sequence[Laid]) -> tuple[float, ...]:
        """Return what to avoid: using up fresh length of the slab, lying away from an edge."""
        first = min([found.box[0], *(one.box[0] for one in laid)])
        last = max([found.box[2], *(one.box[2] for one in laid)])
        low, high = self.ground.edges(found.box[0], found.box[2])
        gap = 0.0
        if low is not None and high is not None:
            gap = min(abs(found.box[1] - max(y for _, y in low)), abs(min(y for _, y in high) - found.box[3]))
        whole = max(first - self.ground.left, self.ground.right - last)
        return (-round(whole, 3), round(gap, 3), found.box[0], found.box[1])


def _choices(piece: SlabPiece) -> tuple[Natural, ...]:
    return (Natural.FRONT, Natural.BACK) if piece.natural is Natural.EITHER else (piece.natural,)


def _hardness(piece: SlabPiece) -> tuple[int, int, float, str]:
    rank = 0 if piece.natural is Natural.BOTH else 1 if piece.natural is not Natural.NONE else 2
    return (0 if piece.keep else 1, rank, -piece.length * max(piece.width, 1.0), piece.key)
