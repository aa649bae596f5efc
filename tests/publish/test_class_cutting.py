"""Sawing and buying for a class: every part for every maker, spares beside, and bags packed as they become whole."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from cutting.virtual_saw import check_solution, saw_up, wanted
from sample_plan import bookcase

from planbook.cutting.classes import kits_of
from planbook.cutting.demand import wanted_of
from planbook.cutting.lots import solve, tasks_of
from planbook.cutting.order import cut_order
from planbook.cutting.practice import USUAL
from planbook.plan.model import Role
from planbook.publish.class_cutting import bags

MAKERS = 12


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_a_virtual_saw_gets_every_part_of_a_class_and_its_spares(edition: str) -> None:
    plan, practice = bookcase(edition), USUAL[edition]
    spare = next(part for part in plan.parts if part.pair)
    for task in tasks_of(plan, practice, students=MAKERS, spares=[(spare.key, 3)]):
        lot = solve(task)
        layouts = lot.solution.layouts
        check_solution(lot.solution, list(task.pieces), [task.sheet], task.saw)
        order = cut_order(layouts, task.saw)
        assert saw_up(order, layouts, task.saw.kerf) == wanted(list(task.pieces), layouts, flat=True)


def test_spares_of_a_pair_are_shared_out_to_both_hands() -> None:
    plan, practice = bookcase(), USUAL["imperial"]
    pair = next(part for part in plan.parts if part.pair)
    task = next(
        task for task in tasks_of(plan, practice, students=4, spares=[(pair.key, 3)]) if task.stock.name == pair.stock
    )
    counts = {piece.key: piece.count for piece in task.pieces}
    assert (counts[f"{pair.letter} L"], counts[f"{pair.letter} R"]) == (4 + 2, 4 + 1)


def test_what_serves_all_is_sawn_once_and_lies_in_no_bag() -> None:
    from dataclasses import replace

    plan, practice = bookcase(), USUAL["imperial"]
    jig = next(part for part in plan.parts if part.role is Role.PART and not part.pair)
    parts = tuple(replace(part, role=Role.JIG) if part.key == jig.key else part for part in plan.parts)
    plan = replace(plan, parts=parts)
    task = next(task for task in tasks_of(plan, practice, students=MAKERS) if task.stock.name == jig.stock)
    assert {piece.key: piece.count for piece in task.pieces}[jig.letter] == jig.count
    assert bags(solve(task))


def test_bags_are_whole_no_sooner_than_their_last_sheet() -> None:
    plan, practice = bookcase(), USUAL["imperial"]
    for task in tasks_of(plan, practice, students=MAKERS):
        lot = solve(task)
        each = {entry.key: entry.count for entry in wanted_of(plan, task.stock, practice) if entry.role is not Role.JIG}
        kits = kits_of(lot.solution, each, MAKERS)
        sheets = sum(layout.repeats for layout in lot.solution.layouts)
        assert sum((Counter(dict(_pieces(kit))) for kit in kits), Counter()) == Counter(
            {key: count * MAKERS for key, count in each.items()}
        )
        rows = bags(lot)
        assert [int(row["after"]) for row in rows] == sorted({int(row["after"]) for row in rows})
        assert 1 <= int(rows[-1]["after"]) <= sheets


def _pieces(kit: object) -> list[tuple[str, int]]:
    counts: Counter[str] = Counter()
    for _, _, key, count in kit.pieces:
        counts[key] += count
    return list(counts.items())


def test_the_sheet_of_a_class_shows_no_price_that_the_shop_does_not_have(tmp_path: Path) -> None:
    from planbook.publish.book_info import BookInfo
    from planbook.publish.cache import Store
    from planbook.publish.class_cutting import class_cutting
    from planbook.source.schema.book import ShopFacts

    class One:
        plan, makers, ready_made = bookcase(), 3, ()

    made = class_cutting(One(), USUAL["imperial"], ShopFacts(), BookInfo(shop="s", title="t"), Store(tmp_path), [])
    assert made.facts["buying"]["total"] == ""
    assert set(made.drawn()) == {row["picture"] for row in made.facts["rows"]}
    assert all(name.startswith("cutting-for-3-") for name in made.drawn())
