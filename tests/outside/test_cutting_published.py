"""Layouts against published problems whose best answers are known.

Sources of instances and values: the README in the folder named by PLANBOOK_BENCHMARKS (Falkenauer 1996;
Scholl, Klein, Juergens 1997; Schwerin, Waescher 1997; Waescher, Gau 1996; Schoenfield; Beasley 1985;
Christofides, Whitlock 1977; Hifi; Alvarez-Valdes et al. 2002; Berkey, Wang 1987; Martello, Vigo 1998; Macedo,
Alves, Valerio de Carvalho 2010; Clautiaux, Carlier, Moukrim 2007; values by Delorme, Iori, Martello and others).
A result better than a proven value, or a bound beyond one, is an error of ours.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from cutting.published import ALL, Row, needs_published, one_sheet, rows, sheets, shortest, sticks
from cutting.virtual_saw import check_solution, saw_up, wanted

from planbook.cutting.effort import THOROUGH, Effort
from planbook.cutting.fill import fill_sheet
from planbook.cutting.master import attainable
from planbook.cutting.order import cut_order
from planbook.cutting.sheets import solve_sheets
from planbook.cutting.sticks import solve_sticks

pytestmark = needs_published
PLAIN = Effort(tidy=0)
QUICK = ("2d-bins/gcut2d.json", "2d-bins/gcut6d.json", "2d-bins/gcut9d.json", "2d-bins/gcut10d.json")
"""Of the problems with several sizes those with few kinds; the others take longer and are left to the tables."""


def _name(row: Row) -> str:
    return f"{row.instance}-{row.problem}"


def _pieces(row: Row) -> int:
    return sum(piece.count for piece in sticks(row)[0])


SMALL = [row for row in rows("1d-boards") if _pieces(row) <= 120]
LARGE = [row for row in rows("1d-boards", every=7) if _pieces(row) > 120 and (ALL or "HARD" not in row.instance)]


@pytest.mark.parametrize("row", SMALL, ids=_name)
def test_boards_up_to_120_pieces(row: Row) -> None:
    pieces, stock, saw = sticks(row)
    solution = solve_sticks(pieces, stock, saw, effort=PLAIN)
    check_solution(solution, pieces, stock, saw)
    assert solution.cost == row.number
    assert solution.bound <= row.number


@pytest.mark.parametrize("row", SMALL[::5], ids=_name)
def test_the_same_boards_with_a_kerf(row: Row) -> None:
    kerf = max(1, shortest(row) // 3)
    pieces, stock, saw = sticks(row, kerf=kerf)
    solution = solve_sticks(pieces, stock, saw)
    check_solution(solution, pieces, stock, saw)
    assert solution.cost == row.number
    assert saw_up(cut_order(solution.layouts, saw), solution.layouts, kerf) == wanted(
        pieces, solution.layouts, flat=False
    )


@pytest.mark.parametrize("row", LARGE, ids=_name)
def test_more_boards(row: Row) -> None:
    pieces, stock, saw = sticks(row)
    solution = solve_sticks(pieces, stock, saw, effort=PLAIN)
    check_solution(solution, pieces, stock, saw)
    assert solution.bound <= row.number <= solution.cost <= row.number + 1


@pytest.mark.parametrize("row", rows("2d-single-2stage", every=3), ids=_name)
def test_one_sheet_in_two_stages(row: Row) -> None:
    pieces, sheet, saw, values = one_sheet(row, stages=2)
    filled = fill_sheet(pieces, sheet, saw, values=values, effort=THOROUGH)
    assert (filled.value, filled.bound) == (row.number, row.number)
    assert sum(values[key] * count for key, count in filled.layout.counts().items()) == row.number


@pytest.mark.parametrize("row", rows("2d-single-guillotine", every=9), ids=_name)
def test_one_sheet_in_three_stages_of_any_number(row: Row) -> None:
    """The published value may need more stages than ours, so only the direction of the difference is checked."""
    pieces, sheet, saw, values = one_sheet(row, stages=3)
    filled = fill_sheet(pieces, sheet, saw, values=values)
    assert filled.value <= row.number
    assert filled.value <= filled.bound
    assert filled.value >= row.number * 3 // 4


@pytest.mark.parametrize("row", rows("2d-bins-guillotine", every=5), ids=_name)
def test_sheets_in_any_number_of_stages(row: Row) -> None:
    pieces, stock, saw = sheets(row, stages=3)
    solution = solve_sheets(pieces, stock, saw, effort=PLAIN)
    check_solution(solution, pieces, stock, saw)
    assert solution.bound_any <= row.number <= solution.cost <= row.number + 1


@pytest.mark.parametrize("row", [row for row in rows("2d-bins-area", every=1) if ALL or row.file in QUICK], ids=_name)
def test_several_sizes_of_sheets(row: Row) -> None:
    """Published: best known and a bound for two stages, first cuts horizontal; ours within one part in a hundred."""
    pieces, stock, saw = sheets(row, stages=2)
    solution = solve_sheets(pieces, stock, saw, effort=PLAIN)
    check_solution(solution, pieces, stock, saw)
    assert solution.cost >= int(row.bound)
    assert solution.bound <= row.number
    assert solution.cost <= row.number * 101 // 100


def _is_a_sum(row: Row) -> bool:
    """Tell whether the published cost is a sum of the file's prices at all; where not, they do not belong together."""
    prices = [sheet.price for sheet in sheets(row, stages=3)[1]]
    return attainable(Fraction(row.number), prices, [None] * len(prices)) == row.number


@pytest.mark.parametrize("row", [row for row in rows("2d-bins-cost-any") if _is_a_sum(row)], ids=_name)
def test_no_bound_of_ours_is_over_a_published_cost(row: Row) -> None:
    pieces, stock, saw = sheets(row, stages=3)
    solution = solve_sheets(pieces, stock, saw, effort=PLAIN)
    check_solution(solution, pieces, stock, saw)
    assert solution.bound_any <= row.number
    assert solution.cost >= int(row.bound)


@pytest.mark.parametrize("row", rows("2d-fit-guillotine", every=4), ids=_name)
def test_nothing_fits_that_cannot(row: Row) -> None:
    pieces, stock, saw = sheets(row, stages=3)
    solution = solve_sheets(pieces, stock, saw, effort=PLAIN)
    check_solution(solution, pieces, stock, saw)
    if row.value == "infeasible":
        assert solution.cost > 1
    else:
        assert solution.bound_any == 1
