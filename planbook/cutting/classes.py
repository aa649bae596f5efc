"""Stock for a whole class: everything that each student cuts, as often as there are students.

Cost comes first, then few different diagrams, each cut several times, then kits that come off few sheets.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from planbook.cutting.bounds import Sized, stock_share
from planbook.cutting.effort import NORMAL, Effort
from planbook.cutting.layout import Solution
from planbook.cutting.problem import CuttingError, Grain, Piece, Saw, Sheet, Stick, usable
from planbook.cutting.sheets import solve_sheets
from planbook.cutting.sticks import solve_sticks


@dataclass(frozen=True, slots=True)
class Kit:
    """The pieces of one student, and the copies of layouts they come off."""

    number: int
    """From 1."""
    pieces: tuple[tuple[int, int, str, int], ...]
    """Layout, its copy (both from 0), piece, how many."""

    @property
    def copies(self) -> tuple[tuple[int, int], ...]:
        """The sheets or sticks that have to be cut before this kit is whole, as (layout, copy)."""
        return tuple(sorted({(layout, copy) for layout, copy, _, _ in self.pieces}))


@dataclass(frozen=True, slots=True)
class ClassSolution:
    """Layouts for a class, and who gets what of them."""

    solution: Solution
    kits: tuple[Kit, ...]
    least_diagrams: int
    """Fewer different diagrams are impossible at this cost, however is cut; 1 says nothing."""


def solve_class(
    pieces: Sequence[Piece],
    stock: Sequence[Sheet] | Sequence[Stick],
    saw: Saw,
    *,
    students: int,
    once: Collection[str] = (),
    spares: Mapping[str, int] | None = None,
    effort: Effort = NORMAL,
) -> ClassSolution:
    """Lay out the pieces of one student for all; `once` names those that the class needs once.

    `spares` are cut beyond that, for spoiled pieces and tests. Raises CuttingError.
    """
    wanted = class_pieces(pieces, students=students, once=once, spares=spares or {})
    sheets = [entry for entry in stock if isinstance(entry, Sheet)]
    sticks = [entry for entry in stock if isinstance(entry, Stick)]
    if sheets and sticks:
        raise CuttingError("stock-mixed", "sheets and sticks stand in one list", "lay them out one after the other")
    solution = (
        solve_sticks(wanted, sticks, saw, effort=effort) if sticks else solve_sheets(wanted, sheets, saw, effort=effort)
    )
    each = {piece.key: piece.count for piece in pieces if piece.key not in once}
    least = 2 if sheets and not _alike(wanted, sheets, saw, solution) else 1
    return ClassSolution(solution, kits_of(solution, each, students), least)


def class_pieces(
    pieces: Sequence[Piece], *, students: int, once: Collection[str], spares: Mapping[str, int]
) -> tuple[Piece, ...]:
    """Return the pieces of a class: each times the students but for `once`, and the spares."""
    if students < 1:
        raise CuttingError("count-not-positive", f"the class has {students} students", "write 1 or more")
    known = {piece.key for piece in pieces}
    for key in (*once, *spares):
        if key not in known:
            raise CuttingError("unknown-piece", f"no piece is called `{key}`", "take a name from the list of pieces")
    return tuple(
        replace(piece, count=piece.count * (1 if piece.key in once else students) + spares.get(piece.key, 0))
        for piece in pieces
    )


def _alike(pieces: Sequence[Piece], sheets: Sequence[Sheet], saw: Saw, solution: Solution) -> bool:
    """Tell whether all sheets could be cut alike as far as areas say: each then holds its share rounded up."""
    if len(solution.stock) > 1:
        return False
    (key, copies) = next(iter(solution.stock.items()))
    sheet = next(sheet for sheet in sheets if sheet.key == key)
    sized = [
        Sized(piece.length + saw.kerf, piece.width + saw.kerf, -(-piece.count // copies), piece.grain is Grain.FREE)
        for piece in pieces
    ]
    length, width = usable(sheet, saw.trim)
    return stock_share(sized, length + saw.kerf, width + saw.kerf) <= Fraction(1)


def kits_of(solution: Solution, each: Mapping[str, int], students: int) -> tuple[Kit, ...]:
    """Hand out the pieces: whole kits off one sheet first, then from as few sheets as a simple rule finds."""
    left = {
        (number, copy): Counter({key: count for key, count in layout.counts().items() if key in each})
        for number, layout in enumerate(solution.layouts)
        for copy in range(layout.repeats)
    }
    kits: list[Kit] = []
    for number in range(1, students + 1):
        need = Counter(each)
        taken: list[tuple[int, int, str, int]] = []
        while need:
            place = max(left, key=lambda at: (sum((left[at] & need).values()), -at[0], -at[1]))
            part = left[place] & need
            if not part:
                break
            taken += [(*place, key, part[key]) for key in each if part[key]]
            left[place] = left[place] - part
            need = need - part
        kits.append(Kit(number, tuple(taken)))
    return tuple(kits)
