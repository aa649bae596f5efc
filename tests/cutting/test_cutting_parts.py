"""Knapsacks, lists of patterns, sums of prices and bounds against going through all there is."""

from __future__ import annotations

import os
import subprocess
import sys
from fractions import Fraction
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.cutting.bounds import Sized, area_share, stock_share
from planbook.cutting.knapsack import Knapsack, reachable
from planbook.cutting.listing import list_patterns
from planbook.cutting.master import attainable
from planbook.cutting.order import cut_order
from planbook.cutting.problem import First, Piece, Saw, Sheet, Stick, Trim, Way
from planbook.cutting.sheets import solve_sheets
from planbook.cutting.sticks import solve_sticks

ITEMS = st.lists(st.tuples(st.integers(1, 12), st.integers(0, 20), st.integers(1, 5)), min_size=1, max_size=4)


def _all(items: list[tuple[int, int, int]], room: int) -> list[tuple[tuple[int, ...], int, int]]:
    """Every choice of counts that fits, with its size and value."""
    found = []
    for counts in product(*(range(count + 1) for _, _, count in items)):
        size = sum(n * item[0] for n, item in zip(counts, items, strict=True))
        if size <= room:
            found.append((counts, size, sum(n * item[1] for n, item in zip(counts, items, strict=True))))
    return found


@given(ITEMS, st.integers(0, 40))
def test_knapsack(items: list[tuple[int, int, int]], room: int) -> None:
    sack = Knapsack(room)
    for number, (size, value, count) in enumerate(items):
        sack.add(number, size=size, value=value, count=count)
    assert int(sack.best[room]) == max(value for _, _, value in _all(items, room))
    packed = sack.contents(room)
    assert sum(items[n][1] * count for n, count in packed.items()) == int(sack.best[room])
    assert sum(items[n][0] * count for n, count in packed.items()) <= room
    assert all(count <= items[n][2] for n, count in packed.items())


@given(ITEMS, st.integers(0, 40))
def test_reachable(items: list[tuple[int, int, int]], room: int) -> None:
    sums = reachable([item[0] for item in items], [item[2] for item in items], room)
    assert sums.tolist() == sorted({size for _, size, _ in _all(items, room)})


@given(ITEMS, st.integers(1, 40), st.integers(0, 60), st.integers(0, 20))
def test_list_of_patterns(items: list[tuple[int, int, int]], room: int, least_value: int, least_size: int) -> None:
    sizes, values, counts = (list(column) for column in zip(*items, strict=True))
    listed = list_patterns(sizes, values, counts, room, least_value=least_value, least_size=least_size, most=10_000)
    full = {
        chosen
        for chosen, size, value in _all(items, room)
        if any(chosen)
        and value >= least_value
        and size >= least_size
        and all(n == most or size + item > room for n, most, item in zip(chosen, counts, sizes, strict=True))
    }
    assert listed is not None
    assert {tuple(dict(pattern).get(n, 0) for n in range(len(items))) for pattern in listed} == full


def test_a_list_cut_short_is_no_list() -> None:
    assert list_patterns([3, 4, 5], [1, 1, 1], [9, 9, 9], 60, least_value=0, least_size=0, most=3) is None


@given(
    st.lists(st.tuples(st.integers(1, 9), st.sampled_from([None, 0, 1, 3])), min_size=1, max_size=3), st.integers(0, 40)
)
@settings(deadline=None)
def test_sums_of_prices(stock: list[tuple[int, int | None]], bound: int) -> None:
    prices, limits = [price for price, _ in stock], [limit for _, limit in stock]
    reach = attainable(Fraction(bound) - Fraction(1, 3), prices, limits)
    assert reach >= bound - Fraction(1, 3)
    most = [60 // price if limit is None else limit for price, limit in stock]
    sums = {sum(n * p for n, p in zip(c, prices, strict=True)) for c in product(*(range(m + 1) for m in most))}
    over = [total for total in sums if total >= bound]
    assert not over or reach <= min(over)


def test_dual_feasible_functions_see_more_than_areas() -> None:
    """Pieces a little over half each way: four fill 1.04 by area, but no two share a sheet."""
    pieces = [Sized(51, 51, 4, False)]
    assert area_share(pieces, 100, 100) < 2
    assert stock_share(pieces, 100, 100) == 4


def test_turning_weakens_the_bound() -> None:
    fixed = stock_share([Sized(60, 40, 2, False)], 100, 50)
    free = stock_share([Sized(60, 40, 2, True)], 100, 50)
    assert free <= fixed


def test_equal_settings_are_cut_in_one_go_across_sheets() -> None:
    pieces = [Piece(key="side", length=47, width=11, count=12), Piece(key="shelf", length=29, width=11, count=9)]
    saw = Saw(kerf=1, trim=Trim(start=2, near=1), first=First.RIP)
    solution = solve_sheets(pieces, [Sheet(key="sheet", length=98, width=49)], saw)
    order = cut_order(solution.layouts, saw)
    assert [(s.way, s.fence, s.trimming) for s in order.setups[:3]] == [
        (Way.CROSSCUT, 96, True),
        (Way.RIP, 48, True),
        (Way.RIP, 11, False),
    ]
    assert [s.fence for s in order.setups[3:]] == sorted({s.fence for s in order.setups[3:]}, reverse=True)
    assert order.passes(solution.layouts) >= 21


@pytest.mark.parametrize("prices", [(5, 6), (6, 5)])
def test_the_order_of_stock_does_not_change_the_cost(prices: tuple[int, int]) -> None:
    pieces = [Piece(key="a", length=33, count=7), Piece(key="b", length=41, count=5)]
    sticks = [Stick(key="s", length=96, price=prices[0]), Stick(key="t", length=120, price=prices[1])]
    one, two = solve_sticks(pieces, sticks, Saw(kerf=1)), solve_sticks(pieces, sticks[::-1], Saw(kerf=1))
    assert (one.cost, one.bound) == (two.cost, two.bound)


SAME = """
from planbook.cutting.problem import Piece, Saw, Sheet, Stick
from planbook.cutting.sheets import solve_sheets
from planbook.cutting.sticks import solve_sticks
pieces = [Piece(key=f"p{n}", length=300 + 71 * n, width=130 + 37 * n, count=3 + n) for n in range(7)]
print(solve_sheets(pieces, [Sheet(key="s", length=1536, width=768)], Saw(kerf=2, stages=3)))
print(solve_sticks(pieces, [Stick(key="s", length=1536)], Saw(kerf=2)))
"""


def test_the_same_in_another_process_and_nothing_printed_besides() -> None:
    root = Path(__file__).parents[2]
    told = [
        subprocess.run(
            [sys.executable, "-c", SAME],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(root)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert told[0] == told[1]
    assert len(told[0].splitlines()) == 2
