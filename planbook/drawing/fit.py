"""The largest factor at which a drawing fits into its room, found by drawing it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from planbook.drawing.sheet import EVEN_GROWTH, Sheet

LEAST_FACTOR = 0.002
MOST_TRIES = 8
ENOUGH_TRIES = 3
"""After so many the best that fits is taken."""
NEARLY_FULL = 0.06
"""Share of the factor that may be left over."""
ROOMY = 1.25
"""How much more room one way than the other makes a label free to grow that way."""
DEAR, CHEAP = 2.4, 0.2
ALIKE = 0.12
"""Change of the factor up to which a label without room is given none again."""

Build = Callable[[float, Sheet], None]
"""Draws on an empty sheet at a factor: mm on paper for each mm of wood."""
Cell = tuple[tuple[float, float], Build]
"""Width and height of the wood that is seen, and how it is drawn."""


def fitted(build: Build, *, size: tuple[float, float], into: tuple[float, float], around: tuple[float, float]) -> Sheet:
    """Return the sheet at the largest factor at which drawing and labels fit into `into` mm."""
    return fitted_together([(size, build)], into=into, around=around)[0]


def fitted_together(cells: Sequence[Cell], *, into: tuple[float, float], around: tuple[float, float]) -> list[Sheet]:
    """Return the sheets of some cells at the largest common factor at which each fits into `into` mm.

    Labels keep their size, so the factor is found by trying: it starts from `around` mm
    for labels across and up, and is corrected by what is too much. What was chosen for a label at
    one factor is tried first at the next.
    """
    room = (into[0] - 2.0, into[1] - 2.0)
    factor = min((room[k] - around[k]) / size[k] for size, _ in cells for k in (0, 1))
    factor = max(factor, LEAST_FACTOR)
    fits: tuple[float, list[Sheet]] | None = None
    too_large = float("inf")
    last: tuple[float, list[Sheet]] | None = None
    for attempt in range(MOST_TRIES):
        sheets = _drawn(cells, factor, room, last)
        last = (factor, sheets)
        spare = min(_spare(sheet, size, room) for sheet, (size, _) in zip(sheets, cells, strict=True))
        if spare >= 0.0:
            fits = last
            if spare < NEARLY_FULL * factor:
                return sheets
        else:
            too_large = factor
        if fits is not None and attempt + 1 >= ENOUGH_TRIES:
            break
        # Labels keep their size, so what is left over is all wood's; now and then a label finds another
        # place and more is taken up than that, and then the truth lies between.
        least = fits[0] if fits is not None else 0.0
        factor += spare - 0.004 * factor
        if not least < factor < too_large:
            factor = (least + too_large) / 2 if fits is not None else 0.95 * too_large
        factor = max(factor, LEAST_FACTOR)
    return fits[1] if fits is not None else _drawn(cells, LEAST_FACTOR, room, None)


def _drawn(
    cells: Sequence[Cell], factor: float, room: tuple[float, float], last: tuple[float, list[Sheet]] | None
) -> list[Sheet]:
    about_same = last is not None and abs(factor / last[0] - 1.0) < ALIKE
    sheets = []
    for number, (size, build) in enumerate(cells):
        like = last[1][number] if last is not None else None
        sheet = Sheet(like=like, about_same=about_same, growth=_growth(size, room))
        build(factor, sheet)
        sheets.append(sheet)
    return sheets


def _growth(size: tuple[float, float], room: tuple[float, float]) -> tuple[float, float]:
    """Return what growth across and up costs: little where there is more room than the wood can fill."""
    across, up = room[0] / size[0], room[1] / size[1]
    if max(across, up) < ROOMY * min(across, up):
        return EVEN_GROWTH
    return (DEAR, CHEAP) if across < up else (CHEAP, DEAR)


def _spare(sheet: Sheet, size: tuple[float, float], room: tuple[float, float]) -> float:
    """Return by how much the factor could grow if all labels kept their places."""
    left, bottom, right, top = sheet.bounds
    return min((room[0] - (right - left)) / size[0], (room[1] - (top - bottom)) / size[1])
