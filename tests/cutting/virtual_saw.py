"""An independent look at layouts, and a saw that knows nothing but sizes: it executes an order of cuts.

Nothing here uses the package's own arithmetic: rectangles, kerfs and counts are reckoned afresh.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations

from planbook.cutting.layout import Block, Layout, Solution
from planbook.cutting.order import CutOrder
from planbook.cutting.problem import First, Grain, Piece, Saw, Sheet, Stick, Way


def check_solution(solution: Solution, pieces: list[Piece], stock: list[Sheet] | list[Stick], saw: Saw) -> None:
    """Assert everything that makes a solution one."""
    by_key = {piece.key: piece for piece in pieces}
    stock_by_key = {entry.key: entry for entry in stock}
    made: Counter[str] = Counter()
    used: Counter[str] = Counter()
    for layout in solution.layouts:
        assert layout.repeats >= 1
        entry = stock_by_key[layout.stock]
        flat = isinstance(entry, Sheet)
        assert (layout.length, layout.width) == (entry.length, entry.width if flat else 1)
        _check_usable(layout, saw, flat=flat)
        _check_tree(layout.root, saw.kerf)
        _check_apart(layout, saw.kerf)
        if flat:
            _check_stages(layout.root, saw)
        for block in layout.root.leaves():
            if block.piece:
                _check_piece(block, by_key[block.piece], flat=flat)
                made[block.piece] += layout.repeats
        used[layout.stock] += layout.repeats
    assert {key: made[key] for key in by_key} == {piece.key: piece.count for piece in pieces}
    assert set(made) <= set(by_key)
    for key, count in used.items():
        limit = stock_by_key[key].limit
        assert limit is None or count <= limit
    assert solution.cost == sum(stock_by_key[key].price * count for key, count in used.items())
    assert solution.bound_any <= solution.bound <= solution.cost


def _check_usable(layout: Layout, saw: Saw, *, flat: bool) -> None:
    at = layout.root.at
    assert (at.x, at.length) == (saw.trim.start, layout.length - saw.trim.start - saw.trim.end)
    if flat:
        assert (at.y, at.width) == (saw.trim.near, layout.width - saw.trim.near - saw.trim.far)


def _check_piece(block: Block, piece: Piece, *, flat: bool) -> None:
    size = (block.at.length, block.at.width)
    if not flat:
        assert block.at.length == piece.length
    elif block.turned:
        assert piece.grain is Grain.FREE
        assert size == (piece.width, piece.length)
    else:
        assert size == (piece.length, piece.width)


def _check_tree(block: Block, kerf: int) -> None:
    assert block.at.length > 0
    assert block.at.width > 0
    if block.cut is None:
        assert not block.blocks
        return
    assert block.blocks
    assert not block.piece
    rip = block.cut is Way.RIP
    place = block.at.y if rip else block.at.x
    end = place + (block.at.width if rip else block.at.length)
    for inner in block.blocks:
        if rip:
            assert (inner.at.x, inner.at.length) == (block.at.x, block.at.length)
            assert inner.at.y == place
            place += inner.at.width + kerf
        else:
            assert (inner.at.y, inner.at.width) == (block.at.y, block.at.width)
            assert inner.at.x == place
            place += inner.at.length + kerf
        assert place - kerf <= end
        _check_tree(inner, kerf)
    assert place >= end, "something beyond the last kerf is not accounted for"


def _check_apart(layout: Layout, kerf: int) -> None:
    for one, two in combinations([block.at for block in layout.root.leaves()], 2):
        apart_x = max(two.x - (one.x + one.length), one.x - (two.x + two.length))
        apart_y = max(two.y - (one.y + one.width), one.y - (two.y + two.width))
        assert max(apart_x, apart_y) >= kerf


def _check_stages(root: Block, saw: Saw) -> None:
    """Count changes of direction; a last trim of single pieces is allowed after the stages."""
    for block, ways in _paths(root, ()):
        turns = [way for n, way in enumerate(ways) if n == 0 or ways[n - 1] is not way]
        if len(turns) > saw.stages:
            assert len(turns) == saw.stages + 1
            assert _pieces(block) <= 1
    if root.cut is not None and saw.first is not First.EITHER and _depth(root) > saw.stages:
        assert root.cut is (Way.RIP if saw.first is First.RIP else Way.CROSSCUT)


def _paths(block: Block, ways: tuple[Way, ...]) -> list[tuple[Block, tuple[Way, ...]]]:
    if block.cut is None:
        return [(block, ways)]
    return [path for inner in block.blocks for path in _paths(inner, (*ways, block.cut))]


def _depth(block: Block) -> int:
    return 1 + max(map(_depth, block.blocks)) if block.blocks else 0


def _pieces(block: Block) -> int:
    return sum(bool(leaf.piece) for leaf in block.leaves())


def saw_up(order: CutOrder, layouts: tuple[Layout, ...], kerf: int) -> Counter[tuple[str, int, int]]:
    """Execute the order with sizes only; returns every piece that comes off, with its size."""
    bench: dict[tuple[int, int], tuple[int, int]] = {
        (number, 0): (layout.length, layout.width) for number, layout in enumerate(layouts)
    }
    for setup in order.setups:
        assert setup.fence > 0
        for cut in setup.cuts:
            length, width = bench.pop((cut.layout, cut.blank))  # a blank that is not there yet raises
            side = width if setup.way is Way.RIP else length
            assert setup.fence < side
            rest = side - setup.fence - kerf
            assert (cut.rest is None) == (rest <= 0)
            _lay(bench, (cut.layout, cut.yields), setup.way, setup.fence, (length, width))
            if cut.rest is not None:
                _lay(bench, (cut.layout, cut.rest), setup.way, rest, (length, width))
    pieces: Counter[tuple[str, int, int]] = Counter()
    for (layout, blank), size in bench.items():
        piece = order.blanks[layout][blank].piece
        if piece:
            pieces[(piece, *size)] += layouts[layout].repeats
        else:
            assert order.blanks[layout][blank].offcut
    return pieces


def _lay(
    bench: dict[tuple[int, int], tuple[int, int]], place: tuple[int, int], way: Way, size: int, of: tuple[int, int]
) -> None:
    assert place not in bench
    bench[place] = (of[0], size) if way is Way.RIP else (size, of[1])


def wanted(pieces: list[Piece], layouts: tuple[Layout, ...], *, flat: bool) -> Counter[tuple[str, int, int]]:
    """Return the pieces that the order has to give, turned ones as they lie on the sheet."""
    by_key = {piece.key: piece for piece in pieces}
    result: Counter[tuple[str, int, int]] = Counter()
    for layout in layouts:
        for block in layout.pieces():
            piece = by_key[block.piece]
            size = (piece.length, piece.width if flat else 1)
            result[(piece.key, *(size[::-1] if block.turned else size))] += layout.repeats
    return result
