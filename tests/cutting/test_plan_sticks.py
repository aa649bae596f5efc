"""Dressed softwood of a plan: sawn to length from sticks as sold, with proof, an order of cuts and a bill."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from cutting.virtual_saw import check_solution, saw_up, wanted

from planbook.cli.resolving import resolved
from planbook.cutting.buying import buying_list
from planbook.cutting.diagram import diagrams_of
from planbook.cutting.kept import serves, solution_data, solution_from
from planbook.cutting.lots import Lot, solve, tasks_of
from planbook.cutting.order import cut_order
from planbook.cutting.practice import USUAL, Practice
from planbook.cutting.prices import offers_of
from planbook.cutting.problem import CuttingError
from planbook.cutting.shop import practice_of
from planbook.plan.model import Plan
from planbook.source.book import Book
from planbook.source.diagnostics import Findings
from planbook.units.factors import FOOT, INCH

RACK = Path(__file__).parents[1] / "fixtures" / "rack"


def rack(edition: str) -> tuple[Plan, Book, Practice]:
    found = resolved("rack", edition, RACK)
    assert found.plan is not None
    assert found.book is not None
    return found.plan, found.book, practice_of(found.book.shop, found.plan.edition, Findings())


def lot(edition: str, *, students: int = 1, usual: bool = False) -> Lot:
    plan, _, practice = rack(edition)
    (task,) = tasks_of(plan, USUAL[edition] if usual else practice, students=students)
    return solve(task)


@pytest.mark.parametrize("edition", ["imperial", "metric"])
@pytest.mark.parametrize("students", [1, 12])
def test_a_virtual_saw_gets_exactly_the_parts(edition: str, students: int) -> None:
    found = lot(edition, students=students)
    pieces, layouts = list(found.task.pieces), found.solution.layouts
    check_solution(found.solution, pieces, list(found.task.sticks), found.task.saw)
    sawn = saw_up(cut_order(layouts, found.task.saw), layouts, found.task.saw.kerf)
    assert sawn == wanted(pieces, layouts, flat=False)


def test_the_shops_own_lengths_and_prices_come_first() -> None:
    """2 posts of 28, a rail of 33, five slats of 24 in: two of 10 ft hold them, no two of 8 ft do."""
    found = lot("imperial")
    lengths = [stick.length * found.task.edition.resolution / FOOT for stick in found.task.sticks]
    assert lengths == [8, 10]
    assert sum(layout.repeats for layout in found.solution.layouts) == 2
    assert found.solution.cost == 1040
    assert found.solution.proven


def test_without_prices_the_least_wood_is_bought() -> None:
    found = lot("imperial", usual=True)
    bought = sum(layout.length * layout.repeats for layout in found.solution.layouts) * found.task.edition.resolution
    needed = sum(piece.length * piece.count for piece in found.task.pieces) * found.task.edition.resolution
    assert found.solution.proven
    assert needed < bought <= needed + 2 * FOOT


def test_a_part_wider_than_a_stick_takes_several() -> None:
    plan, _, practice = rack("imperial")
    parts = tuple(
        replace(part, width=replace(part.width, final=Fraction(7) * INCH)) if part.key == "rail" else part
        for part in plan.parts
    )
    before = {entry.key: entry.count for entry in tasks_of(plan, practice)[0].wanted}
    after = {entry.key: entry.count for entry in tasks_of(replace(plan, parts=parts), practice)[0].wanted}
    assert after["B"] == 2 * before["B"]


def test_a_part_longer_than_any_stick_is_told_with_sizes() -> None:
    plan, _, practice = rack("metric")
    (task,) = tasks_of(plan, practice)
    long = replace(task, pieces=(replace(task.pieces[0], length=3100), *task.pieces[1:]))
    with pytest.raises(CuttingError, match=r"`post` is 3100 mm long, the longest stick of `stud` gives 2987 mm"):
        solve(long)


def test_layouts_of_sticks_are_kept_and_read_back() -> None:
    found = lot("imperial")
    assert serves(found.solution, found.task)
    again = solution_from(solution_data(found.solution), found.task)
    assert again is not None
    assert again.layouts == found.solution.layouts


def test_sticks_are_bought_by_length_with_their_price() -> None:
    plan, book, practice = rack("metric")
    found = lot("metric")
    offers = offers_of(book.shop, plan.edition, Findings())
    lines = [line for line in buying_list(plan, [found], practice, offers) if line.group == "stick"]
    assert [(line.what, line.buy, line.price) for line in lines] == [
        ("Douglas-fir, 38 x 89 mm, 3 m", "2 sticks", Fraction("10.40"))
    ]


def test_the_rough_end_is_sawn_off_first_and_long_rests_are_kept() -> None:
    found = lot("imperial")
    diagrams = diagrams_of(found, USUAL["imperial"])
    for diagram in diagrams:
        assert diagram.stick
        assert diagram.settings[0].trims
        assert diagram.trim == INCH / 2
    kept = [rest.at.length for diagram in diagrams for rest in diagram.rests if rest.keep]
    assert kept
    assert min(kept) >= USUAL["imperial"].keep_long
