"""Parts cut from boards on hand: the least wood taken, defects cut out first, and what has to be bought beside.

The clear rectangles of all boards are stock with a limit of one, each at the price of its wood; what cannot be had
from them comes off a board that is bought, which costs far more. Which way a defect is cut out is tried board by
board.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from planbook.cutting.board_problem import BUY, Board, Clearing, board_tree, clearings
from planbook.cutting.effort import NORMAL, Effort
from planbook.cutting.layout import Block, Layout, Rect, Solution
from planbook.cutting.problem import CuttingError, Piece, Saw, Sheet
from planbook.cutting.sheets import solve_sheets

DEAR = 20
"""How many times its wood a bought board costs, against one on hand."""
MOST_TRIES = 24
"""Clearings tried over all boards."""
_PARTS = 300
"""The largest board is this many parts of price, so that small differences do not count."""

_QUICK = Effort(nodes=200, checks=60, patterns=500, corrections=2, tidy=0)
"""For clearings that are compared."""


def solve_boards(
    pieces: Sequence[Piece], boards: Sequence[Board], kerf: int, *, bought: Sequence[Sheet], effort: Effort = NORMAL
) -> Solution:
    """Return a layout for each board that is cut, those on hand first.

    `bought` are boards that can be had beside, as many as are needed. Where they have no names they are sizes to
    choose from, the largest first: of these it takes the one that asks for the least wood, cut down to its parts.
    Raises CuttingError where a piece fits on none. The bound holds for the wood taken from boards whose defects are
    cut out as the layouts show.
    """
    ways = [clearings(board, kerf) for board in boards]
    _refuse_too_large(pieces, ways, bought)
    if not bought or bought[0].key:
        return _with_bought(pieces, boards, ways, kerf, bought, effort)
    least = _with_bought(pieces, boards, ways, kerf, bought[:1], effort)
    for entry in bought[1:] if BUY in least.stock else ():
        try:
            found = _with_bought(pieces, boards, ways, kerf, [entry], _QUICK)
        except CuttingError:
            continue
        if _bought_area(found) < _bought_area(least):
            least = found
    return least


def _bought_area(solution: Solution) -> int:
    return sum(layout.repeats * layout.length * layout.width for layout in solution.layouts if layout.stock == BUY)


def _with_bought(
    pieces: Sequence[Piece],
    boards: Sequence[Board],
    ways: Sequence[Sequence[Clearing]],
    kerf: int,
    bought: Sequence[Sheet],
    effort: Effort,
) -> Solution:
    """Return the layout of least cost with the boards that may be bought."""
    chosen, best, fault = tuple(way[0] for way in ways), None, None
    for tried in _choices(ways):
        # A clearing is compared with all others as they have turned out best so far.
        other = tuple(way[at] if at is not None else now for way, at, now in zip(ways, tried, chosen, strict=True))
        try:
            found = _solve(pieces, boards, other, kerf, bought, _QUICK)
        except CuttingError as short:
            fault = fault or short
            continue
        if best is None or found.cost < best.cost:
            chosen, best = other, found
    if best is None:
        assert fault is not None
        raise fault
    final = best if effort is _QUICK else _solve(pieces, boards, chosen, kerf, bought, effort)
    return _as_boards(final if final.cost <= best.cost else best, boards, chosen, kerf)


def _choices(ways: Sequence[Sequence[Clearing]]) -> Iterator[tuple[int | None, ...]]:
    """Yield which clearings to try: the likeliest of all boards, then the others of one board after the other."""
    yield tuple(0 for _ in ways)
    tries = 1
    for number, choices in enumerate(ways):
        for at in range(1, len(choices)):
            tries += 1
            if tries > MOST_TRIES:
                return
            yield tuple(at if board == number else None for board in range(len(ways)))


def _refuse_too_large(pieces: Sequence[Piece], ways: Sequence[Sequence[Clearing]], bought: Sequence[Sheet]) -> None:
    rects = [rect for way in ways for clearing in way for rect in clearing.rects()]
    rects += [Rect(0, 0, sheet.length, sheet.width) for sheet in bought]
    for piece in pieces:
        if not any(_fits(piece, rect) for rect in rects):
            raise CuttingError(
                "larger-than-stock",
                f"no clear wood of the boards is large enough for `{piece.key}`",
                "make it of two pieces with a joint, glue it up from strips, or add a board",
            )


def _solve(
    pieces: Sequence[Piece],
    boards: Sequence[Board],
    chosen: tuple[Clearing, ...],
    kerf: int,
    bought: Sequence[Sheet],
    effort: Effort,
) -> Solution:
    sizes = [(board.length, board.width) for board in boards] + [(sheet.length, sheet.width) for sheet in bought]
    largest = max(length * width for length, width in sizes)
    unit = max(1, largest // _PARTS)
    stock = [
        Sheet(
            key=f"{board.key}\n{number}",
            length=rect.length,
            width=rect.width,
            price=-(-rect.area // unit),
            limit=1,
        )
        for board, clearing in zip(boards, chosen, strict=True)
        for number, rect in enumerate(clearing.rects())
        if any(_fits(piece, rect) for piece in pieces)
    ]
    for number, entry in enumerate(bought):
        price = DEAR * -(-entry.length * entry.width // unit)
        stock.append(replace(entry, key=entry.key or f"{BUY}\n{number}", price=price, limit=None))
    if not stock:
        raise CuttingError("stock-short", "the boards on hand do not give all pieces", "add a board")
    return solve_sheets(pieces, stock, Saw(kerf=kerf), effort=effort)


def _fits(piece: Piece, rect: Rect) -> bool:
    return piece.length <= rect.length and piece.width <= rect.width


def _as_boards(solution: Solution, boards: Sequence[Board], chosen: Sequence[Clearing], kerf: int) -> Solution:
    cut: dict[str, dict[int, Block]] = {}
    bare: list[Layout] = []
    for layout in solution.layouts:
        key, _, number = layout.stock.rpartition("\n")
        if key in ("", BUY):
            bare.append(_as_bought(layout) if key else layout)
            continue
        cut.setdefault(key, {})[int(number)] = layout.root
    layouts = []
    for board, clearing in zip(boards, chosen, strict=True):
        roots = cut.get(board.key)
        if roots is None:
            continue
        rects = clearing.rects()
        filled = {rects[number]: _moved(root, rects[number].x, rects[number].y) for number, root in roots.items()}
        layouts.append(Layout(board.key, board.length, board.width, 1, board_tree(board, clearing, filled, kerf)))
    model = "defects cut out as drawn, then edge-to-edge cuts in two stages and a last trim of single pieces"
    return replace(solution, layouts=(*layouts, *bare), model=model)


def _moved(block: Block, x: int, y: int) -> Block:
    at = block.at
    return replace(
        block,
        at=Rect(at.x + x, at.y + y, at.length, at.width),
        blocks=tuple(_moved(inner, x, y) for inner in block.blocks),
    )


def _as_bought(layout: Layout) -> Layout:
    """Return a layout on a board no larger than its parts ask for."""
    pieces = [block.at for block in layout.root.leaves() if block.piece]
    length, width = max(at.x + at.length for at in pieces), max(at.y + at.width for at in pieces)
    root = _clipped(layout.root, length, width)
    assert root is not None
    return Layout(BUY, length, width, layout.repeats, root)


def _clipped(block: Block, length: int, width: int) -> Block | None:
    at = block.at
    long, wide = min(at.length, length - at.x), min(at.width, width - at.y)
    if long <= 0 or wide <= 0:
        return None
    blocks = tuple(filter(None, (_clipped(inner, length, width) for inner in block.blocks)))
    clipped = Rect(at.x, at.y, long, wide)
    if len(blocks) == 1 and blocks[0].at == clipped:
        return blocks[0]
    return replace(block, at=clipped, blocks=blocks)
