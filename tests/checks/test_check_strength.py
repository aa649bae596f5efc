from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from checks.altered import found, moved, with_part, with_step
from checks.altered_bench import bench, bookcase, outcomes, told
from sample_plan import bookcase as sample

from planbook.checks.strength import small
from planbook.checks.subject import Subject
from planbook.checks.table import CHECKS
from planbook.source.diagnostics import Severity
from planbook.units.editions import IMPERIAL, METRIC

LOADS = "loads:  {loose shelf: books, bottom: books}"


def test_the_loose_shelf_sags_as_worked_by_hand(tmp_path: Path) -> None:
    # 20 lb/ft, plywood of 1.12 million psi, maple edging of 1.83: 0.041 in after years, limit 0.047 in.
    passed = outcomes("shelf-sag", bookcase(tmp_path))["loose shelf"]
    assert passed.problem is None
    assert passed.figure.startswith("sags 0.041 in over 28 9/16 in under `books`, after years")
    assert passed.limit == "0.048 in"


def test_without_its_edging_it_sags_too_far(tmp_path: Path) -> None:
    plain = bookcase(
        tmp_path,
        ("front: rail, on: shelf pins", "on: shelf pins"),
        ("joins: [lip, rail]", "joins: [lip]"),
        ("trims: [lip, rail]", "trims: [lip]"),
        ("cuts: [lip, rail]", "cuts: [lip]"),
    )
    (item,) = told("shelf-sag", plain)
    assert item.severity is Severity.WARN
    assert "`loose shelf` sags 0.0" in item.message
    assert "0.048 in is the limit" in item.message


@pytest.mark.parametrize(("load", "fails"), [("23 lb/ft", False), ("24 lb/ft", True)])
def test_the_limit_lies_between_two_loads(tmp_path: Path, load: str, fails: bool) -> None:
    changed = bookcase(tmp_path, (LOADS, f"loads:  {{loose shelf: {load}}}"))
    assert bool(told("shelf-sag", changed)) is fails


def test_twice_the_load_sags_twice_as_far(tmp_path: Path) -> None:
    def figure(load: str) -> str:
        return outcomes("shelf-sag", bookcase(tmp_path, (LOADS, f"loads:  {{bottom: {load}}}")))["bottom"].figure

    once, twice = (Fraction(figure(load).split()[1]) for load in ("20 lb/ft", "40 lb/ft"))
    assert abs(twice - 2 * once) <= Fraction(1, 1000)


def test_a_part_that_stands_is_no_beam(tmp_path: Path) -> None:
    missing = outcomes("shelf-sag", bookcase(tmp_path, (LOADS, "loads:  {side: books}")))["side"]
    assert missing.missing == "it does not lie flat"
    assert missing.problem is None


def test_a_load_without_a_weight_is_asked_for(tmp_path: Path) -> None:
    (item,) = told("unknown-load", bookcase(tmp_path, (LOADS, "loads:  {bottom: large book}")))
    assert item.severity is Severity.WARN
    assert "`large books`" in (item.help or "")


def test_a_load_of_nothing_is_no_load(tmp_path: Path) -> None:
    (item,) = dict(CHECKS)["unknown-load"](bookcase(tmp_path, (LOADS, "loads:  {bottom: 0 lb/ft}")))
    assert (item.slug, item.help) == ("no-load", "write the load above 0")


def test_loads_of_the_book_count(tmp_path: Path) -> None:
    assert told("unknown-load", bench(tmp_path)) == ()
    heavy = bench(tmp_path, ("shoes: {is: 4 lb/ft", "shoes: {is: 12 lb/ft"))
    (item,) = told("shelf-sag", heavy)
    assert "`loose shelf`" in item.message


def test_persons_come_and_go_without_creep(tmp_path: Path) -> None:
    seat = outcomes("shelf-sag", bench(tmp_path))["seat"]
    assert "after years" not in seat.figure
    assert "with front rail and back rail below it" in seat.figure
    (item,) = told("shelf-sag", bench(tmp_path, ("seat: two persons sitting", "seat: three persons")))
    assert "`seat`" in item.message


def test_a_tall_case_wants_a_strap(tmp_path: Path) -> None:
    assert told("tips-forward", bookcase(tmp_path)) == ()
    (item,) = told("tips-forward", bookcase(tmp_path, ("wall strap: 2, ", "")))
    assert "27 in on" in item.message
    assert "ASTM F2057-23" in (item.rule or "")


def test_a_low_piece_wants_none(tmp_path: Path) -> None:
    assert told("tips-forward", bench(tmp_path)) == ()
    assert "a level pull of" in outcomes("tips-forward", bench(tmp_path))["the whole piece"].figure


def test_a_piece_whose_mass_stands_before_its_feet_tips(tmp_path: Path) -> None:
    subject = bench(tmp_path)
    forward = moved(moved(subject.plan, "side", y=Fraction(400)), "kick board", y=Fraction(400))
    assert told("tips-forward", Subject(forward, subject.written, shop=subject.shop))


@pytest.mark.parametrize(("mm", "tips"), [(65, False), (100, True)])
def test_a_seat_far_beyond_its_feet_tips(tmp_path: Path, mm: int, tips: bool) -> None:
    subject = bench(tmp_path)
    beyond = moved(subject.plan, "seat", y=Fraction(-mm))
    assert bool(told("seat-tips", Subject(beyond, subject.written, shop=subject.shop))) is tips


def test_one_person_alone_lifts_thirty_five_pounds() -> None:
    plan = sample()
    heavier = with_part(plan, "side", density=Fraction(2700))
    items = [item for item in found("heavy-lift", heavier) if "step 6" in item.message]
    assert [item.severity for item in items] == [Severity.NOTE]
    assert "35 lb is the most" in items[0].message
    assert found("heavy-lift", plan) == ()


def test_two_persons_lift_the_sheet_and_one_does_not() -> None:
    plan = with_step(sample(), 2, hands=1)
    (item,) = found("heavy-lift", plan)
    assert item.severity is Severity.WARN
    assert "a full sheet of birch plywood" in item.message
    assert "`hands: 2`" in (item.help or "")


def test_small_sizes_are_written_fine() -> None:
    assert small(1.2, IMPERIAL) == "0.047 in"
    assert small(1.2, METRIC) == "1.2 mm"
