"""The buying list on pages, in handouts and as CSV says what `planbook show` says."""

from __future__ import annotations

import csv
import io
from fractions import Fraction

import pytest
from sample_plan import bookcase

from planbook.cutting.lots import solve, tasks_of
from planbook.cutting.practice import USUAL
from planbook.publish.book_info import BookInfo, MaterialInfo
from planbook.publish.sheet_buying import buying, buying_table
from planbook.source.schema.book import ShopFacts
from planbook.source.text import Text


def shop(**sold: object) -> ShopFacts:
    return ShopFacts.model_validate(
        {"currency": Text("coins"), "sold": {Text(k.replace("_", " ")): v for k, v in sold.items()}}
    )


def listed(edition: str = "imperial", *, students: int = 1, **sold: object) -> dict[str, object]:
    plan, practice = bookcase(edition), USUAL[edition]
    lots = [solve(task) for task in tasks_of(plan, practice, students=students)]
    material = lots[0].task.stock.material
    info = BookInfo(shop="s", title="t", materials={material: MaterialInfo(key=material, text="x")})
    return buying(plan, lots, practice, shop(**sold), info, students=students)


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_every_stock_and_every_bought_thing_has_a_line(edition: str) -> None:
    plan = bookcase(edition)
    rows = [row for group in listed(edition)["groups"] for row in group["rows"]]
    for thing in plan.bought:
        assert [row for row in rows if row["what"] == thing.text]
    used = {part.stock for part in plan.parts}
    for stock in plan.stock:
        assert (stock.name in used) == any(row["what"].startswith(f"{stock.material}, {stock.nominal}") for row in rows)


def test_a_described_material_is_linked_and_others_are_not() -> None:
    rows = [row for group in listed()["groups"] for row in group["rows"]]
    first = rows[0]
    assert first["to"] == f"material:{first['what'].split(',')[0]}"
    assert all(row["to"] == "" for row in rows if row["what"].split(",")[0] != first["what"].split(",")[0])


def test_without_prices_nothing_is_said_of_money() -> None:
    found = listed()
    assert (found["prices"], found["total"], found["each"], found["without"]) == (False, "", "", 0)


def test_each_of_several_students_pays_a_share_rounded_up() -> None:
    plan = bookcase()
    lots = [solve(task) for task in tasks_of(plan, USUAL["imperial"], students=7)]
    material = lots[0].task.stock.material.replace(" ", "_")
    found = listed(students=7, **{material: {"per": Text("sheet"), "price": Text("50.00")}})
    whole = Fraction(found["total"].split()[0])
    each = Fraction(found["each"].split()[0])
    assert each * 7 >= whole > (each - Fraction(1, 100)) * 7


def test_the_table_for_spreadsheets_has_the_same_lines() -> None:
    found = listed()
    rows = list(csv.DictReader(io.StringIO(buying_table(found).decode())))
    assert [row["what"] for row in rows] == [row["what"] for group in found["groups"] for row in group["rows"]]
    assert [row["buy"] for row in rows] == [row["buy"] for group in found["groups"] for row in group["rows"]]
