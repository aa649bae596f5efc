from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, bookcase, outcomes, told

SEAT = (
    "works: [side, bottom, front rail, kick board, seat, loose shelf, panel], "
    "with: [random-orbit sander, dust extractor, nitrile gloves"
)
EARLY = SEAT.replace("front rail, kick board, seat,", "front rail, kick board,").replace(
    "random-orbit sander, dust", "dust"
)


def test_a_seat_oiled_and_then_sanded_is_bare(tmp_path: Path) -> None:
    # The seat is oiled with the inside faces in step 12, and sanded in the step after it.
    oiled = (
        "finishes: [inside faces], works: [side, bottom], with",
        "finishes: [inside faces], works: [side, bottom, seat], with",
    )
    sanded = (
        "{joins: [seat joint], sets: [loose shelf], with: [drill,",
        "{joins: [seat joint], sets: [loose shelf], with: [drill, random-orbit sander,",
    )
    (item,) = [
        item
        for item in told("finish-before-sanding", bench(tmp_path, oiled, sanded, (SEAT, EARLY)))
        if "`seat`" in item.message
    ]
    assert "`seat` meets the random-orbit sander in step 16, after its last coat in step 12" in item.message


def test_sanding_in_the_step_that_oils_is_as_it_should_be(tmp_path: Path) -> None:
    assert told("finish-before-sanding", bench(tmp_path)) == ()
    assert told("finish-before-sanding", bookcase(tmp_path)) == ()
    assert "last coat in step 12" in outcomes("finish-before-sanding", bookcase(tmp_path))["side"].figure


@pytest.mark.parametrize(("wait", "early"), [("8 h", True), ("700 min", True), ("12 h", False)])
def test_the_second_coat_waits_for_the_first(tmp_path: Path, wait: str, early: bool) -> None:
    found = told(
        "recoat-too-early", bench(tmp_path, ("each: 80 min, wait: 24 h for oil", f"each: 80 min, wait: {wait} for oil"))
    )
    assert bool(found) is early
    if early:
        assert "to the next coat of `hardwax oil`, 12 h is the least" in found[0].message


def test_a_product_of_the_book_has_its_own_time(tmp_path: Path) -> None:
    own = "\nproducts:\n  hardwax oil: {is: finish, like: hardwax oil, recoat: 30 h, source: own measurement}\n"
    found = told("recoat-too-early", bench(tmp_path, ("\nproducts:\n", own)))
    assert [item.message.split(" leaves ")[0] for item in found] == ["step 12", "step 15"]


GLUED = "teacher's eye: the two diagonals, time: {set up: 20 min, each: 30 min, wait: WAIT for glue}"


@pytest.mark.parametrize(("wait", "soon"), [("20 min", True), ("29 min", True), ("30 min", False)])
def test_clamps_stay_until_the_glue_holds(tmp_path: Path, wait: str, soon: bool) -> None:
    found = told("unclamped-too-soon", bench(tmp_path, (GLUED.replace("WAIT", "1 h"), GLUED.replace("WAIT", wait))))
    assert [item.message for item in found] == [
        f"step 13 holds its bar clamps for {wait}, PVA glue wants 30 min"
    ] * soon


def test_strips_and_glued_up_tops_are_clamped_too(tmp_path: Path) -> None:
    assert {"step 3", "step 4"} <= set(outcomes("unclamped-too-soon", bench(tmp_path)))
