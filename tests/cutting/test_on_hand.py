"""Boards on hand: pieces off clear wood only, defects cut out first, and what is bought beside."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import combinations

import pytest
from cutting.level_model import minimum
from cutting.virtual_saw import saw_up, wanted
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.cutting.board_problem import BUY, Board, Defect, clearings
from planbook.cutting.board_stock import strips_of
from planbook.cutting.layout import Rect, Solution
from planbook.cutting.on_hand import solve_boards
from planbook.cutting.order import cut_order
from planbook.cutting.problem import CuttingError, Piece, Saw, Sheet

TO_BUY = (Sheet(key="", length=300, width=60), Sheet(key="", length=150, width=60))


def board(key: str, length: int, width: int, *defects: tuple[int, int, int, int], trim: int = 0) -> Board:
    return Board(
        key=key,
        length=length,
        width=width,
        room=Rect(trim, 0, length - 2 * trim, width),
        defects=tuple(Defect(f"d{n}", "knot", Rect(*at)) for n, at in enumerate(defects)),
    )


def meet(a: Rect, b: Rect, gap: int = 0) -> bool:
    return (
        a.x < b.x + b.length + gap
        and b.x < a.x + a.length + gap
        and a.y < b.y + b.width + gap
        and b.y < a.y + a.width + gap
    )


def check(solution: Solution, pieces: list[Piece], boards: list[Board], kerf: int) -> None:
    """Check a solution with sizes alone, and saw it up."""
    made: Counter[str] = Counter()
    by_key = {each.key: each for each in boards}
    for layout in solution.layouts:
        lying = [block.at for block in layout.pieces()]
        assert all(not meet(a, b, kerf) for a, b in combinations(lying, 2))
        room = Rect(0, 0, layout.length, layout.width)
        if layout.stock != BUY:
            own = by_key.pop(layout.stock)  # each board once
            room = own.room
            assert not any(meet(at, defect.at) for at in lying for defect in own.defects)
        for at in lying:
            assert room.x <= at.x
            assert at.x + at.length <= room.x + room.length
            assert room.y <= at.y
            assert at.y + at.width <= room.y + room.width
        for key, count in layout.counts().items():
            made[key] += count * layout.repeats
    assert made == {piece.key: piece.count for piece in pieces}
    assert solution.bound <= solution.cost
    sawn = saw_up(cut_order(solution.layouts, Saw(kerf=kerf)), solution.layouts, kerf)
    assert sawn == wanted(pieces, solution.layouts, flat=True)


def bought(solution: Solution) -> int:
    return sum(layout.repeats for layout in solution.layouts if layout.stock == BUY)


DEFECTS = st.tuples(st.integers(0, 180), st.integers(0, 40), st.integers(1, 30), st.integers(1, 40))


@st.composite
def problems(draw: st.DrawFn) -> tuple[list[Piece], list[Board], int]:
    sizes = draw(
        st.lists(st.tuples(st.integers(20, 140), st.integers(5, 40), st.integers(1, 4)), min_size=1, max_size=4)
    )
    pieces = [Piece(key=f"p{n}", length=a, width=b, count=c) for n, (a, b, c) in enumerate(sizes)]
    boards = []
    for n, (length, width) in enumerate(
        draw(st.lists(st.tuples(st.integers(60, 220), st.integers(20, 50)), min_size=1, max_size=3))
    ):
        spots = [
            (min(x, length - 1), min(y, width - 1), long, wide)
            for x, y, long, wide in draw(st.lists(DEFECTS, max_size=2))
        ]
        fitted = [(x, y, min(long, length - x), min(wide, width - y)) for x, y, long, wide in spots]
        boards.append(board(f"b{n}", length, width, *fitted, trim=draw(st.integers(0, 3))))
    return pieces, boards, draw(st.integers(0, 3))


@given(problems())
@settings(max_examples=10, deadline=None)
def test_pieces_come_off_clear_wood(problem: tuple[list[Piece], list[Board], int]) -> None:
    pieces, boards, kerf = problem
    check(solve_boards(pieces, boards, kerf, bought=TO_BUY), pieces, boards, kerf)


@given(problems())
@settings(max_examples=3, deadline=None)
def test_twice_the_same_boards(problem: tuple[list[Piece], list[Board], int]) -> None:
    pieces, boards, kerf = problem
    one, two = (solve_boards(pieces, boards, kerf, bought=TO_BUY) for _ in range(2))
    assert one == two


@given(problems(), st.integers(1, 2))
@settings(max_examples=5, deadline=None)
def test_another_board_and_a_thinner_blade_do_not_cost_more(
    problem: tuple[list[Piece], list[Board], int], thinner: int
) -> None:
    """Where both are proven and no defect can be cut out in two ways, the wood taken does not grow."""
    pieces, boards, kerf = problem
    boards = [board(each.key, each.length, each.width) for each in boards]
    before = solve_boards(pieces, boards, kerf, bought=TO_BUY)
    more = [*boards, board("more", 150, 30)]
    for hand, blade in ((more, kerf), (boards, max(0, kerf - thinner))):
        after = solve_boards(pieces, hand, blade, bought=TO_BUY)
        assert after.bound <= before.cost
        if after.proven:
            assert after.cost <= before.cost


@given(
    st.lists(st.tuples(st.integers(10, 60), st.integers(1, 2)), min_size=1, max_size=3, unique_by=lambda s: s[0]),
    st.lists(st.integers(40, 100), min_size=2, max_size=3),
    st.integers(0, 2),
)
@settings(max_examples=15, deadline=None)
def test_the_same_optimum_as_one_model_of_everything(
    sizes: list[tuple[int, int]], lengths: list[int], kerf: int
) -> None:
    """Boards as wide as their pieces, solved whole: each piece on one board, each board used or not."""
    pieces = [Piece(key=f"p{n}", length=a, width=20, count=c) for n, (a, c) in enumerate(sizes)]
    boards = [board(f"b{n}", length, 20) for n, length in enumerate(lengths)]
    items = [a + kerf for a, c in sizes for _ in range(c)]
    unit = max(1, max(lengths) * 20 // 300)
    prices = [-(-length * 20 // unit) for length in lengths]
    size = len(lengths)
    rows: list[tuple[float, float, dict[int, float]]] = []
    for number in range(len(items)):
        rows.append((1.0, 1.0, {size + number * size + at: 1.0 for at in range(size)}))
    for at, length in enumerate(lengths):
        load = {size + number * size + at: float(item) for number, item in enumerate(items)}
        rows.append((-1e30, 0.0, {**load, at: -float(length + kerf)}))
    cost = [float(price) for price in prices] + [0.0] * (len(items) * size)
    try:
        least = minimum(cost, rows)
    except AssertionError:  # too little on hand
        with pytest.raises(CuttingError):
            solve_boards(pieces, boards, kerf, bought=())
        return
    solution = solve_boards(pieces, boards, kerf, bought=())
    assert solution.bound <= round(least) == solution.cost


def test_a_defect_at_an_edge_is_ripped_off_where_that_saves_wood() -> None:
    plank = board("b", 200, 40, (90, 0, 10, 8))
    long = [Piece(key="rail", length=190, width=30)]
    solution = solve_boards(long, [plank], 2, bought=())
    check(solution, long, [plank], 2)
    short = [Piece(key="shelf", length=85, width=39, count=2)]
    solution = solve_boards(short, [plank], 2, bought=())
    check(solution, short, [plank], 2)


def test_every_way_to_clear_a_board_is_clear() -> None:
    plank = board("b", 200, 40, (50, 10, 10, 10), (120, 0, 5, 40), (150, 30, 20, 10), trim=4)
    ways = clearings(plank, 3)
    assert len(ways) == 4
    for way in ways:
        rects = way.rects()
        assert all(not meet(rect, defect.at) for rect in rects for defect in plank.defects)
        assert all(not meet(a, b, 3) for a, b in combinations(rects, 2))


def test_what_is_not_on_hand_is_bought_as_large_as_it_must_be() -> None:
    pieces = [Piece(key="rail", length=100, width=20, count=3)]
    solution = solve_boards(pieces, [board("b", 110, 45)], 2, bought=TO_BUY)
    check(solution, pieces, [board("b", 110, 45)], 2)
    (layout,) = (layout for layout in solution.layouts if layout.stock == BUY)
    assert (layout.length, layout.width, layout.repeats) == (100, 20, 1)
    assert bought(solve_boards(pieces, [board("b", 110, 45), board("c", 110, 30)], 2, bought=TO_BUY)) == 0


def test_too_little_on_hand_is_told() -> None:
    with pytest.raises(CuttingError) as fault:
        solve_boards([Piece(key="rail", length=100, width=20, count=3)], [board("b", 110, 45)], 2, bought=())
    assert fault.value.slug == "stock-short"


@pytest.mark.parametrize(
    ("width", "author", "widest", "found"),
    [(9, None, 9, (1, 9)), (13, None, 9, (3, 13 / 3 + 1 / 8)), (13, 7, 9, (2, 6.5 + 1 / 8)), (5, 5, 9, (1, 5))],
)
def test_panels_are_split_into_strips(width: int, author: int | None, widest: int, found: tuple[int, float]) -> None:
    inch = Fraction(254, 10)
    number, wide = strips_of(width * inch, None if author is None else author * inch, widest * inch)
    assert (number, float(wide / inch)) == (found[0], pytest.approx(found[1]))
