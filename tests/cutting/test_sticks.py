"""Sticks: every solution is one, and the least number is found and proven."""

from __future__ import annotations

from cutting.level_model import fewest_sticks
from cutting.virtual_saw import check_solution, saw_up, wanted
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.cutting.order import cut_order
from planbook.cutting.problem import Piece, Saw, Stick, Trim
from planbook.cutting.sticks import solve_sticks


@st.composite
def problems(draw: st.DrawFn) -> tuple[list[Piece], list[Stick], Saw]:
    room = draw(st.integers(60, 200))
    saw = Saw(
        kerf=draw(st.integers(0, 4)),
        trim=Trim(start=draw(st.sampled_from([0, 1, 5])), end=draw(st.sampled_from([0, 3]))),
    )
    sticks = [Stick(key="long", length=room + saw.trim.start + saw.trim.end, price=11)]
    if draw(st.booleans()):
        sticks.append(Stick(key="short", length=room * 2 // 3, price=8))
    if draw(st.booleans()):
        sticks.append(Stick(key="rest", length=room // 2, price=0, limit=2, offcut=True))
    pieces = [
        Piece(key=f"p{n}", length=draw(st.integers(5, room)), count=draw(st.integers(1, 6)))
        for n in range(draw(st.integers(1, 6)))
    ]
    return pieces, sticks, saw


@given(problems())
@settings(max_examples=80, deadline=None)
def test_each_solution_is_one_and_the_saw_can_follow(problem: tuple[list[Piece], list[Stick], Saw]) -> None:
    pieces, sticks, saw = problem
    solution = solve_sticks(pieces, sticks, saw)
    check_solution(solution, pieces, sticks, saw)
    order = cut_order(solution.layouts, saw)
    assert saw_up(order, solution.layouts, saw.kerf) == wanted(pieces, solution.layouts, flat=False)
    assert solution == solve_sticks(pieces, sticks, saw)


@given(
    st.lists(st.tuples(st.integers(10, 90), st.integers(1, 3)), min_size=1, max_size=5, unique=True), st.integers(0, 3)
)
@settings(max_examples=50, deadline=None)
def test_the_same_optimum_as_one_model_of_everything(sizes: list[tuple[int, int]], kerf: int) -> None:
    """Kantorovich's model of each piece on one stick."""
    pieces = [Piece(key=f"p{n}", length=length, count=count) for n, (length, count) in enumerate(sizes)]
    solution = solve_sticks(pieces, [Stick(key="s", length=97)], Saw(kerf=kerf))
    fewest = fewest_sticks([length + kerf for length, count in sizes for _ in range(count)], 97 + kerf)
    assert (solution.cost, solution.bound) == (fewest, fewest)


@given(problems(), st.integers(1, 3))
@settings(max_examples=30, deadline=None)
def test_more_stock_and_a_thinner_blade_do_not_cost_more(
    problem: tuple[list[Piece], list[Stick], Saw], thinner: int
) -> None:
    pieces, sticks, saw = problem
    before = solve_sticks(pieces, sticks, saw)
    more = [*sticks, Stick(key="given", length=sticks[0].length, price=0, limit=1, offcut=True)]
    for stock, blade in ((more, saw.kerf), (sticks, max(0, saw.kerf - thinner))):
        after = solve_sticks(pieces, stock, Saw(kerf=blade, trim=saw.trim))
        assert after.bound <= before.cost
        if after.proven:
            assert after.cost <= before.cost


def test_two_48s_do_not_come_out_of_96() -> None:
    """Check 11 of the trade: n sizes and n - 1 kerfs."""
    sticks = [Stick(key="8 ft", length=96)]
    assert solve_sticks([Piece(key="leg", length=48, count=2)], sticks, Saw(kerf=1)).cost == 2
    assert solve_sticks([Piece(key="leg", length=47, count=2)], sticks, Saw(kerf=2)).cost == 1


def test_the_cheaper_mixture_of_lengths_is_bought() -> None:
    """Three of 60 out of 8 ft at 5 and 10 ft at 6: one 10 and one 8 for 11, not three 8s for 15."""
    sticks = [Stick(key="8 ft", length=96, price=5), Stick(key="10 ft", length=121, price=6)]
    solution = solve_sticks([Piece(key="rail", length=60, count=3)], sticks, Saw(kerf=1))
    assert (solution.cost, solution.bound) == (11, 11)
    assert dict(solution.stock) == {"8 ft": 1, "10 ft": 1}


def test_fewer_set_ups_then_the_longest_rest() -> None:
    """Four 40s and four 29s on 100s: twice 40 + 29 + 29 to the hair, then 40 + 40 with all that is over."""
    pieces = [Piece(key="a", length=40, count=4), Piece(key="b", length=29, count=4)]
    solution = solve_sticks(pieces, [Stick(key="s", length=100)], Saw(kerf=1))
    assert (solution.cost, solution.bound) == (3, 3)
    rest = max(layout.offcuts()[0].at.length for layout in solution.layouts if layout.offcuts())
    assert solution.diagrams == 2
    assert rest == 18


def test_a_rest_thinner_than_the_blade_is_no_offcut() -> None:
    solution = solve_sticks([Piece(key="a", length=98)], [Stick(key="s", length=100)], Saw(kerf=3))
    assert not solution.layouts[0].offcuts()
    order = cut_order(solution.layouts, Saw(kerf=3))
    assert [cut.rest for setup in order.setups for cut in setup.cuts] == [None]


def test_equal_lengths_keep_their_own_names() -> None:
    pieces = [Piece(key="rail", length=30, count=3), Piece(key="slat", length=30, count=3)]
    solution = solve_sticks(pieces, [Stick(key="s", length=95)], Saw(kerf=1))
    check_solution(solution, pieces, [Stick(key="s", length=95)], Saw(kerf=1))
    assert solution.cost == 2
