"""Sheets: every solution is one, the bound is true, and the saw can follow."""

from __future__ import annotations

import pytest
from cutting.level_model import fewest_sheets
from cutting.virtual_saw import check_solution, saw_up, wanted
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.cutting.effort import Effort
from planbook.cutting.order import cut_order
from planbook.cutting.problem import First, Grain, Piece, Saw, Sheet, Trim
from planbook.cutting.sheets import solve_sheets

QUICK = Effort(nodes=200, checks=100, patterns=2_000, corrections=4, tidy=2)


@st.composite
def problems(draw: st.DrawFn) -> tuple[list[Piece], list[Sheet], Saw]:
    sheet = Sheet(key="sheet", length=draw(st.integers(40, 120)), width=draw(st.integers(30, 80)), price=7)
    trim = Trim(
        start=draw(st.sampled_from([0, 0, 1, 4])), end=draw(st.sampled_from([0, 3])), near=draw(st.sampled_from([0, 2]))
    )
    saw = Saw(
        kerf=draw(st.integers(0, 4)),
        trim=trim,
        stages=draw(st.sampled_from([2, 3])),
        first=draw(st.sampled_from(list(First))),
    )
    room = (sheet.length - trim.start - trim.end, sheet.width - trim.near - trim.far)
    pieces = [
        Piece(
            key=f"p{number}",
            length=draw(st.integers(5, room[0])),
            width=draw(st.integers(5, room[1])),
            count=draw(st.integers(1, 5)),
            grain=draw(st.sampled_from(list(Grain))),
        )
        for number in range(draw(st.integers(1, 5)))
    ]
    extra = draw(st.sampled_from(["none", "small", "offcut"]))
    sheets = [sheet]
    if extra == "small":
        sheets.append(Sheet(key="small", length=sheet.length // 2, width=sheet.width, price=4))
    if extra == "offcut":
        sheets.append(Sheet(key="rest", length=sheet.length // 2, width=sheet.width, price=0, limit=1, offcut=True))
    return pieces, sheets, saw


@given(problems())
@settings(max_examples=60, deadline=None)
def test_each_solution_is_one_and_the_saw_can_follow(problem: tuple[list[Piece], list[Sheet], Saw]) -> None:
    pieces, sheets, saw = problem
    solution = solve_sheets(pieces, sheets, saw, effort=QUICK)
    check_solution(solution, pieces, sheets, saw)
    order = cut_order(solution.layouts, saw)
    assert saw_up(order, solution.layouts, saw.kerf) == wanted(pieces, solution.layouts, flat=True)


@given(problems())
@settings(max_examples=20, deadline=None)
def test_twice_the_same_layouts(problem: tuple[list[Piece], list[Sheet], Saw]) -> None:
    pieces, sheets, saw = problem
    assert solve_sheets(pieces, sheets, saw, effort=QUICK) == solve_sheets(pieces, sheets, saw, effort=QUICK)


@given(problems(), st.integers(1, 3))
@settings(max_examples=25, deadline=None)
def test_more_stock_and_a_thinner_blade_do_not_cost_more(
    problem: tuple[list[Piece], list[Sheet], Saw], thinner: int
) -> None:
    """Compared where both are proven; otherwise the new bound must not be over the old cost."""
    pieces, sheets, saw = problem
    before = solve_sheets(pieces, sheets, saw)
    more = [*sheets, Sheet(key="given", length=sheets[0].length, width=sheets[0].width, price=0, limit=1, offcut=True)]
    for stock, blade in ((more, saw.kerf), (sheets, max(0, saw.kerf - thinner))):
        after = solve_sheets(pieces, stock, Saw(kerf=blade, trim=saw.trim, stages=saw.stages, first=saw.first))
        assert after.bound <= before.cost
        if after.proven:
            assert after.cost <= before.cost


@given(
    st.lists(st.tuples(st.integers(8, 60), st.integers(6, 40), st.integers(1, 3)), min_size=1, max_size=4, unique=True),
    st.integers(0, 3),
)
@settings(max_examples=40, deadline=None)
def test_the_same_optimum_as_one_model_of_everything(sizes: list[tuple[int, int, int]], kerf: int) -> None:
    """The level model of Lodi, Martello, Vigo (2004), solved whole; two stages, rip first."""
    pieces = [Piece(key=f"p{n}", length=a, width=b, count=c) for n, (a, b, c) in enumerate(sizes)]
    solution = solve_sheets(
        pieces, [Sheet(key="sheet", length=64, width=44)], Saw(kerf=kerf, stages=2, first=First.RIP)
    )
    items = [(a + kerf, b + kerf) for a, b, c in sizes for _ in range(c)]
    fewest = fewest_sheets(items, 64 + kerf, 44 + kerf)
    assert solution.bound <= fewest <= solution.cost
    assert solution.cost == fewest


def test_an_edge_that_fits_to_the_hair_needs_no_last_kerf() -> None:
    pieces = [Piece(key="half", length=47, width=48, count=2)]
    solution = solve_sheets(pieces, [Sheet(key="sheet", length=96, width=48)], Saw(kerf=2))
    assert solution.cost == 1
    assert not solution.layouts[0].offcuts()


def test_two_halves_do_not_come_out_of_a_whole() -> None:
    pieces = [Piece(key="half", length=48, width=48, count=2)]
    solution = solve_sheets(pieces, [Sheet(key="sheet", length=96, width=48)], Saw(kerf=1))
    assert (solution.cost, solution.bound) == (2, 2)


def test_three_stages_can_stack_what_two_cannot() -> None:
    """Three on the left, two on the right: five of 20 x 12 and 15 x 18 on 40 x 36 need a section each."""
    pieces = [Piece(key="low", length=20, width=12, count=3), Piece(key="tall", length=20, width=18, count=2)]
    sheet = [Sheet(key="sheet", length=40, width=36)]
    two = solve_sheets(pieces, sheet, Saw(kerf=0, stages=2, first=First.RIP))
    three = solve_sheets(pieces, sheet, Saw(kerf=0, stages=3, first=First.RIP))
    assert (two.cost, two.proven) == (2, True)
    assert (three.cost, three.proven) == (1, True)
    assert "two stages" in two.reason()
    assert "rip cuts first" in two.reason()


def test_an_offcut_on_hand_is_used_before_stock_is_bought() -> None:
    pieces = [Piece(key="shelf", length=30, width=10, count=5)]
    sheets = [
        Sheet(key="new", length=96, width=48, price=60),
        Sheet(key="rest", length=40, width=60, price=0, limit=1, offcut=True),
    ]
    solution = solve_sheets(pieces, sheets, Saw(kerf=1))
    assert (solution.cost, solution.bound) == (0, 0)
    assert dict(solution.stock) == {"rest": 1}


def test_fewer_diagrams_at_the_same_cost() -> None:
    pieces = [Piece(key=f"p{n}", length=31, width=w, count=3) for n, w in enumerate((11, 13, 9, 8))]
    solution = solve_sheets(pieces, [Sheet(key="sheet", length=32, width=45)], Saw(kerf=1))
    assert (solution.cost, solution.diagrams) == (3, 1)


def test_the_rest_stays_in_one_piece() -> None:
    """26 + 10 and 26 + 9 would leave two strips of 10; 26 + 10 + 9 and 26 leave one of 21."""
    pieces = [
        Piece(key="wide", length=90, width=26, count=2),
        Piece(key="ten", length=90, width=10),
        Piece(key="nine", length=90, width=9),
    ]
    solution = solve_sheets(pieces, [Sheet(key="sheet", length=96, width=48)], Saw(kerf=1, first=First.RIP))
    largest = max(layout.offcuts()[0].at.area for layout in solution.layouts)
    assert solution.cost == 2
    assert largest == 96 * 21


def test_demand_of_many_pieces_ends() -> None:
    pieces = [Piece(key=f"p{n}", length=300 + 37 * n, width=100 + 23 * n, count=5_000) for n in range(8)]
    solution = solve_sheets(pieces, [Sheet(key="sheet", length=1536, width=768)], Saw(kerf=2))
    assert solution.gap <= solution.cost // 500
    assert sum(sum(layout.counts().values()) * layout.repeats for layout in solution.layouts) == 40_000


@pytest.mark.parametrize("first", list(First))
def test_the_first_cut_can_be_fixed(first: First) -> None:
    pieces = [Piece(key="a", length=50, width=20, count=4), Piece(key="b", length=30, width=14, count=6)]
    saw = Saw(kerf=1, first=first)
    sheets = [Sheet(key="sheet", length=96, width=48)]
    check_solution(solve_sheets(pieces, sheets, saw), pieces, sheets, saw)
