"""The buying list of the invented bookcase, with invented packs and prices."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from sample_plan import bookcase

from planbook.cutting.buying import buying_list, total
from planbook.cutting.lots import solve, tasks_of
from planbook.cutting.practice import USUAL
from planbook.cutting.prices import Offer, money, offers_of
from planbook.cutting.purchase import Purchase
from planbook.plan.model import Finish
from planbook.source.diagnostics import Findings
from planbook.source.schema.book import ShopFacts
from planbook.source.text import Text
from planbook.units.editions import EDITIONS


def listed(edition: str = "imperial", *, students: int = 1, **offers: Offer) -> dict[str, Purchase]:
    plan, practice = bookcase(edition), USUAL[edition]
    lots = [solve(task) for task in tasks_of(plan, practice, students=students)]
    given = {key.replace("_", " "): (offer,) for key, offer in offers.items()}
    return {line.key: line for line in buying_list(plan, lots, practice, given, students=students)}


def test_things_come_in_packs_rounded_up_with_what_is_left() -> None:
    plan = bookcase()
    thing = plan.bought[0]
    need = thing.count * 3
    offers = {thing.key.replace(" ", "_"): Offer(pack=Fraction(need - 1), per="pack", price=Fraction(2))}
    line = listed(students=3, **offers)[thing.key]
    assert line.need == str(need)
    assert line.buy == f"2 packs of {need - 1}"
    assert line.left == str(need - 2)
    assert line.price == 4


def test_sheets_are_those_of_the_layouts() -> None:
    plan = bookcase()
    lots = [solve(task) for task in tasks_of(plan, USUAL["imperial"], students=12)]
    first = lots[0]
    count = sum(layout.repeats for layout in first.solution.layouts)
    offers = {first.task.stock.material: (Offer(per="sheet", price=Fraction(50)),)}
    lines = buying_list(plan, lots, USUAL["imperial"], offers, students=12)
    sheets = [line for line in lines if line.group == "sheet"]
    assert sheets[0].buy == f"{count} sheets"
    assert sheets[0].price == 50 * count
    assert sheets[0].reason == "fewer are impossible"


def test_a_price_for_one_thickness_is_not_taken_for_another() -> None:
    plan = bookcase()
    lots = [solve(task) for task in tasks_of(plan, USUAL["imperial"])]
    material = lots[0].task.stock.material
    offers = {material: (Offer(nominal="9/4 in", per="sheet", price=Fraction(50)),)}
    lines = buying_list(plan, lots, USUAL["imperial"], offers)
    assert all(line.price is None for line in lines if line.key == material)


def test_the_finish_follows_from_the_faces_and_its_coverage() -> None:
    plan = replace(
        bookcase("metric"),
        finish=(Finish(product="hardwax oil", coats=2, before_assembly=(), mask=(), note=""),),
    )
    lines = buying_list(plan, [], USUAL["metric"], {"hardwax oil": (Offer(volume=Fraction(10**5), per="pack"),)})
    line = next(line for line in lines if line.group == "finish")
    assert line.need.endswith(("ml", " l"))
    assert "2 coats on" in line.reason
    assert "packs of 100 ml" in line.buy
    unknown = replace(plan, finish=(replace(plan.finish[0], product="moon oil"),))
    told = next(line for line in buying_list(unknown, [], USUAL["metric"], {}) if line.group == "finish")
    assert told.buy == "by the coverage on the tin"


def test_what_has_no_price_is_counted() -> None:
    lines = tuple(listed().values())
    cost, unpriced = total(lines)
    assert cost == 0
    assert unpriced == len(lines)


def shop(**sold: object) -> ShopFacts:
    return ShopFacts.model_validate(
        {"sold": {Text(key): value for key, value in sold.items()}, "currency": Text("coins")}
    )


def test_packs_and_prices_are_read_in_the_edition() -> None:
    both = {"imperial": Text("16 fl oz"), "metric": Text("500 ml")}
    facts = shop(glue={"pack": both, "price": Text("7.40")}, nail=[{"pack": Text("100")}])
    findings = Findings()
    offers = offers_of(facts, EDITIONS["metric"], findings)
    assert offers["glue"] == (Offer(volume=Fraction(500_000), written="500 ml", price=Fraction("7.40")),)
    assert offers["nail"] == (Offer(pack=Fraction(100)),)
    assert not len(findings)
    assert money(Fraction("7.4"), facts) == "7.40 coins"


@pytest.mark.parametrize(
    ("words", "slug"),
    [
        ({"price": Text("12,50")}, "wrong-number"),
        ({"price": Text("-3")}, "wrong-number"),
        ({"pack": Text("0")}, "wrong-unit"),
        ({"pack": Text("3 in")}, "wrong-unit"),
        ({"pack": Text("a box")}, "wrong-unit"),
        ({"per": Text("shet")}, "unknown-word"),
    ],
)
def test_wrong_packs_and_prices_are_told(words: dict[str, Text], slug: str) -> None:
    findings = Findings()
    offers_of(shop(glue=words), EDITIONS["metric"], findings)
    assert [item.slug for item in findings] == [slug]
    assert findings.sorted()[0].help
