"""From a plan to numbered cuts: paper and scissors follow the numbers and get exactly the parts."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from sample_plan import bookcase

from planbook.cli.resolving import resolved
from planbook.cutting.demand import down, up, wanted_of
from planbook.cutting.diagram import Diagram, Place, diagrams_of
from planbook.cutting.lots import Lot, share_used, solve, tasks_of
from planbook.cutting.practice import USUAL, Practice
from planbook.cutting.problem import CuttingError, First, Way
from planbook.plan.model import Life, Plan, Role, Size
from planbook.units.editions import IMPERIAL, METRIC
from planbook.units.factors import INCH

EDITIONS = ("imperial", "metric")
CONTENT = Path(__file__).parents[2] / "content"


def lots(plan: Plan, practice: Practice | None = None, *, students: int = 1) -> list[tuple[Lot, tuple[Diagram, ...]]]:
    habits = practice or USUAL[plan.edition.name]
    solved = [solve(task) for task in tasks_of(plan, habits, students=students)]
    return [(lot, diagrams_of(lot, habits)) for lot in solved]


def scissors(diagram: Diagram) -> list[Place]:
    """Cut the drawn sheet along its numbered lines, one after the other; each must run from edge to edge."""
    bench = [Place(Fraction(0), Fraction(0), diagram.length, diagram.width)]
    for mark in sorted(diagram.marks, key=lambda mark: mark.number):
        blade = mark.at
        under = [
            sheet
            for sheet in bench
            if sheet.x <= blade.x < sheet.x + sheet.length and sheet.y <= blade.y < sheet.y + sheet.width
        ]
        assert len(under) == 1, f"cut {mark.number} lies on no piece of paper"
        sheet = under[0]
        bench.remove(sheet)
        if mark.way is Way.RIP:
            assert (blade.x, blade.length) == (sheet.x, sheet.length), f"cut {mark.number} stops inside"
            sides = (
                Place(sheet.x, sheet.y, sheet.length, blade.y - sheet.y),
                Place(sheet.x, end := blade.y + blade.width, sheet.length, sheet.y + sheet.width - end),
            )
        else:
            assert (blade.y, blade.width) == (sheet.y, sheet.width), f"cut {mark.number} stops inside"
            sides = (
                Place(sheet.x, sheet.y, blade.x - sheet.x, sheet.width),
                Place(end := blade.x + blade.length, sheet.y, sheet.x + sheet.length - end, sheet.width),
            )
        bench += [side for side in sides if side.length > 0 and side.width > 0]
    return bench


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("students", [1, 5])
def test_paper_and_scissors_give_the_parts(edition: str, students: int) -> None:
    follow(bookcase(edition), students)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("students", [1, 12])
def test_paper_and_scissors_give_the_parts_of_the_demo_plans(edition: str, students: int) -> None:
    slugs = sorted(folder.name for folder in (CONTENT / "plans").iterdir() if folder.is_dir())
    assert slugs
    for slug in slugs:
        plan = resolved(slug, edition, CONTENT).plan
        assert plan is not None
        follow(plan, students)


def follow(plan: Plan, students: int) -> None:
    edition = plan.edition.name
    for lot, diagrams in lots(plan, students=students):
        got: Counter[tuple[str, Fraction, Fraction]] = Counter()
        for diagram in diagrams:
            bench = Counter(scissors(diagram))
            for lying in diagram.lying:
                assert bench[lying.at] == 1
                size = (lying.at.length, lying.at.width)
                long, wide = size[::-1] if lying.turned else size
                got[lying.wanted.key, long, wide] += diagram.repeats
            left = bench - Counter(lying.at for lying in diagram.lying)
            for rest in diagram.rests:
                assert left[rest.at] == 1
        want = Counter[tuple[str, Fraction, Fraction]]()
        step = plan.edition.resolution
        for wanted in wanted_of(plan, lot.task.stock, USUAL[edition]):
            copies = wanted.count * (1 if wanted.role is Role.JIG else students)
            want[wanted.key, up(wanted.length, plan.edition) * step, up(wanted.width, plan.edition) * step] += copies
        assert got == want


@pytest.mark.parametrize("edition", EDITIONS)
def test_numbers_run_through_all_diagrams_once(edition: str) -> None:
    for _, diagrams in lots(bookcase(edition), students=7):
        numbers = [mark.number for diagram in diagrams for mark in diagram.marks]
        assert sorted(numbers) == list(range(1, len(numbers) + 1))
        for diagram in diagrams:
            told = [number for setting in diagram.settings for number in setting.numbers]
            assert told == sorted(mark.number for mark in diagram.marks)


def test_a_set_up_is_as_wide_as_what_comes_off() -> None:
    for _, diagrams in lots(bookcase("metric")):
        for diagram in diagrams:
            for setting in diagram.settings:
                for wanted in setting.gives:
                    if wanted.key in setting.done:
                        assert setting.fence in (wanted.width, wanted.length)


def test_pieces_are_rounded_up_and_stock_down() -> None:
    assert up(INCH / 3, IMPERIAL) == 11
    assert down(INCH / 3, IMPERIAL) == 10
    assert up(Fraction(3), METRIC) == down(Fraction(3), METRIC) == 3


def test_hands_are_two_entries_and_what_is_fitted_comes_large() -> None:
    plan = bookcase("imperial")
    keys = [wanted.key for stock in plan.stock for wanted in wanted_of(plan, stock, USUAL["imperial"])]
    assert {"A L", "A R"} <= set(keys)
    side = plan.part("side")
    fitted = replace(side, length=Size(final=side.length.final, rough=side.length.final, life=Life.FITTED, until=10))
    changed = replace(plan, parts=(fitted, *plan.parts[1:]))
    first = wanted_of(changed, plan.stock_named(side.stock), USUAL["imperial"])[0]
    assert first.length == side.body_length + INCH / 4
    assert first.life is Life.FITTED


def test_a_part_larger_than_the_sheet_is_told_with_both_sizes() -> None:
    plan = bookcase("imperial")
    side = plan.part("side")
    long = replace(side, body_length=100 * INCH)
    with pytest.raises(CuttingError, match=r"`side` is 100 in x .* `ply` gives is 96 in x 47 3/4 in") as caught:
        lots(replace(plan, parts=(long, *plan.parts[1:])))
    assert caught.value.slug == "larger-than-stock"


def test_a_part_that_would_fit_across_the_grain_is_told_so() -> None:
    plan = bookcase("imperial")
    wide = replace(plan.part("side"), body_length=20 * INCH, body_width=60 * INCH)
    with pytest.raises(CuttingError) as caught:
        lots(replace(plan, parts=(wide, *plan.parts[1:])))
    assert "turned" in caught.value.help


def test_the_shop_may_fix_the_first_direction() -> None:
    for first, way in ((First.RIP, Way.RIP), (First.CROSSCUT, Way.CROSSCUT)):
        practice = replace(USUAL["metric"], first=first, trim=Fraction(0))
        for _, diagrams in lots(bookcase("metric"), practice):
            for diagram in diagrams:
                assert diagram.settings[0].way is way


def test_the_share_used_is_that_of_the_areas() -> None:
    for lot, diagrams in lots(bookcase("metric"), students=3):
        used = sum(
            diagram.repeats * lying.at.length * lying.at.width for diagram in diagrams for lying in diagram.lying
        )
        whole = sum(diagram.repeats * diagram.length * diagram.width for diagram in diagrams)
        assert share_used(lot) == used / whole
