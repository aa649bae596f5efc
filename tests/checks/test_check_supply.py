from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, bookcase, outcomes, piece, side_table, told
from checks.test_check_pull import wall_shelf

BRACKETS = "slotted angle bracket: {count: 6"


@pytest.mark.parametrize(("count", "short"), [(5, True), (6, False), (8, False)])
def test_three_brackets_at_each_of_two_rails(tmp_path: Path, count: int, short: bool) -> None:
    found = told("bought-short", bench(tmp_path, (BRACKETS, BRACKETS.replace("6", str(count)))))
    assert [item.message for item in found] == [
        "one piece takes 6 for `seat joint`, `slotted angle bracket` is 5"
    ] * short


@pytest.mark.parametrize(("pins", "short"), [("7", True), ("8", False), ("4 for each loose shelf", False)])
def test_four_pins_for_each_loose_shelf(tmp_path: Path, pins: str, short: bool) -> None:
    found = told("bought-short", bookcase(tmp_path, ("shelf pin: 4 for each loose shelf", f"shelf pin: {pins}")))
    assert [item.message for item in found] == ["one piece takes 8 for `loose shelf`, pins, `shelf pin` is 7"] * short


def test_screws_are_counted_where_they_are_driven(tmp_path: Path) -> None:
    from dataclasses import replace

    subject = wall_shelf(tmp_path)
    plain = outcomes("bought-short", subject)
    assert plain == {}  # nobody says how many are bought
    pins = bench(tmp_path / "bench")
    (bought,) = [item for item in pins.plan.bought if item.key == "bracket screw"]
    few = replace(subject, plan=replace(subject.plan, bought=(replace(bought, key="wood screw", count=3),)))
    (item,) = told("bought-short", few)
    assert item.message == "one piece takes 4 for `hold`, screws, `wood screw` is 3"


def test_what_is_not_bought_is_not_asked(tmp_path: Path) -> None:
    assert outcomes("bought-short", piece(tmp_path, {})) == {}


@pytest.mark.parametrize(("inserts", "short"), [(5, True), (6, False)])
def test_an_insert_for_each_hole_of_the_bars(tmp_path: Path, inserts: int, short: bool) -> None:
    bought = ("resin:\n", f"bought: {{threaded insert: {inserts}, machine screw: 6}}\nresin:\n")
    found = told("bought-short", side_table(tmp_path, bought))
    assert [item.message for item in found] == [
        "one piece takes 6 for `frame bolts`, inserts, `threaded insert` is 5"
    ] * short
