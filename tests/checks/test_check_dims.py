from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from checks.altered import INCH, MM, found, moved, with_step, written
from sample_plan import KICK, bookcase

from planbook.checks.subject import Subject
from planbook.plan.model import Plan, StepTime
from planbook.source.diagnostics import Diagnostic, Severity


def ranged(low: Fraction, high: Fraction) -> Plan:
    plan = bookcase()
    dims = tuple(replace(dim, may=(low, high)) if dim.name == "kick" else replace(dim, may=None) for dim in plan.dims)
    return replace(plan, dims=dims)


def test_both_ends_of_a_range_are_tried():
    asked: list[Mapping[str, Fraction]] = []
    plan = ranged(2 * INCH, 4 * INCH)

    def again(dims: Mapping[str, Fraction]) -> tuple[Plan | None, tuple[Diagnostic, ...]]:
        asked.append(dims)
        return plan, ()

    assert found("range-breaks", Subject(plan, None, again)) == ()
    assert asked == [{"kick": 2 * INCH}, {"kick": 4 * INCH}]


def test_an_end_that_cannot_be_worked_out_is_told_with_its_reason():
    plan = ranged(2 * INCH, 4 * INCH)
    fault = Diagnostic("no-holes", Severity.STOP, "no hole fits", plan.dims[0].span)
    doubt = Diagnostic("lost-in-rounding", Severity.WARN, "too small", plan.dims[0].span)

    def again(dims: Mapping[str, Fraction]) -> tuple[Plan | None, tuple[Diagnostic, ...]]:
        return (None, (doubt, fault)) if dims["kick"] == 4 * INCH else (plan, (doubt,))

    (item,) = found("range-breaks", Subject(plan, None, again))
    assert item.severity is Severity.WARN
    assert item.message == "`kick` may be 4 in, but then no hole fits"


def test_an_end_at_which_parts_collide_is_told():
    plan = ranged(2 * INCH, 4 * INCH)

    def again(dims: Mapping[str, Fraction]) -> tuple[Plan | None, tuple[Diagnostic, ...]]:
        return moved(plan, "kick board", z=dims["kick"] - 3 * INCH), ()

    (item,) = found("range-breaks", Subject(plan, None, again))
    assert item.message.startswith(
        "`kick` may be 4 in, but then `bottom` and `kick board` run into each other by 23/32"
    )


def test_a_fault_that_the_plan_has_anyway_is_not_blamed_on_the_range():
    plan = moved(ranged(2 * INCH, 4 * INCH), "kick board", z=INCH)
    assert found("range-breaks", Subject(plan, None, lambda _: (plan, ()))) == ()


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_the_bookcase_holds_over_its_ranges(tmp_path: Path, edition: str):
    subject = written(tmp_path, edition=edition)
    assert [dim.name for dim in subject.plan.dims if dim.may] == ["high", "wide"]
    assert found("range-breaks", subject) == ()


def test_a_bookcase_that_may_be_too_low_for_its_holes_breaks(tmp_path: Path):
    subject = written(tmp_path, ("may: 30 in .. 60 in", "may: 12 in .. 60 in"))
    (item,) = found("range-breaks", subject)
    assert item.message.startswith("`high` may be 12 in, but then no hole of `shelf pins` fits")


def test_a_bookcase_that_may_be_taller_than_a_sheet_breaks(tmp_path: Path):
    subject = written(tmp_path, ("may: 30 in .. 60 in", "may: 30 in .. 97 in"))
    (item,) = found("range-breaks", subject)
    assert "`high` may be 97 in, but then `side` is sawn 97 in along the grain" in item.message


def test_a_claim_about_the_piece_as_it_is_breaks_no_range(tmp_path: Path):
    claim = ("finish: {product", "overall: {wide: 30 in, high: 47 in}\nfinish: {product")
    assert found("range-breaks", written(tmp_path, claim)) == ()


def times(set_up: Fraction, each: Fraction) -> StepTime:
    return StepTime(set_up=set_up, each=each, each_of="", pieces=1, wait=MM * 60, wait_for="glue")


def test_a_step_without_minutes_is_doubtful():
    (item,) = found("no-time", with_step(bookcase(), KICK, time=times(MM * 0, MM * 0)))
    assert item.severity is Severity.WARN
    assert item.message == "step 11, `Glue in the kick board`, takes 0 min at the bench"


@pytest.mark.parametrize("time", [times(MM, MM * 0), times(MM * 0, MM)])
def test_a_minute_of_either_kind_is_enough(time: StepTime):
    assert found("no-time", with_step(bookcase(), KICK, time=time)) == ()
