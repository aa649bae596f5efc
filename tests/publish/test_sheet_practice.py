"""What practitioners tell, beside the plans that it concerns."""

from __future__ import annotations

from dataclasses import replace

from fixtures.target_books import target_plan

from planbook.plan.model import Finish
from planbook.publish.sheet_practice import _CONCERNS, told
from planbook.trade.practices import practices


def test_a_poured_table_is_told_about_resin_and_inserts() -> None:
    found = told(target_plan("c", "imperial"))
    assert any("second cup" in text for text in found["resin"])
    assert any("up to 2 in" in text for text in found["resin"])
    assert not any("1/2 in (12 mm)" in text for text in found["resin"])
    assert found["fasteners"][-1] == "A threaded insert takes the hole its maker prints."


def test_a_bookcase_is_told_nothing_of_resin_but_to_be_strapped() -> None:
    found = told(target_plan("a", "metric"))
    assert "resin" not in found
    assert any("Strap a tall case" in text for text in found["safety"])
    assert any("hard maple" in text for text in found["fasteners"])


def test_wax_is_told_where_wax_is_put_on() -> None:
    plan = target_plan("b", "imperial")
    assert not any("Wax" in text for text in told(plan)["finish"])
    waxed = replace(plan, finish=(Finish(product="paste wax", coats=1, before_assembly=(), mask=(), note=""),))
    assert any("Wax" in text for text in told(waxed)["finish"])


def test_every_concern_is_a_fact_of_the_table() -> None:
    assert set(_CONCERNS) <= {fact.slug for fact in practices()}
