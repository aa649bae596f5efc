from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from checks.altered import INCH, with_part
from checks.altered_bench import bench, bookcase, outcomes, told

from planbook.checks.subject import Subject
from planbook.plan.model import Size
from planbook.source.diagnostics import Severity


@pytest.mark.parametrize(("inches", "fails"), [(11, True), (12, False)])
def test_a_short_board_does_not_go_over_the_planer(tmp_path: Path, inches: int, fails: bool) -> None:
    subject = bench(tmp_path)
    length = Size(final=inches * INCH, rough=inches * INCH)
    short = Subject(with_part(subject.plan, "seat", length=length), subject.written, shop=subject.shop)
    found = told("short-stock", short)
    assert {item.message.split("over the ")[1].split(" in step")[0] for item in found} == (
        {"jointer", "thickness planer", "table saw"} if fails else set()
    )


@pytest.mark.parametrize(("mm", "fails"), [(149, True), (150, False)])
def test_a_hand_stays_away_from_the_blade_of_the_mitre_saw(tmp_path: Path, mm: int, fails: bool) -> None:
    subject = bench(tmp_path, edition="metric")
    length = Size(final=Fraction(mm), rough=Fraction(mm))
    short = Subject(with_part(subject.plan, "front rail", length=length), subject.written, shop=subject.shop)
    found = told("short-stock", short)
    assert bool(found) is fails
    # The mitre saw stands in the same step, so at the planer the boards are long still.
    assert all("mitre saw" in item.message for item in found)


def test_each_step_has_one_setting(tmp_path: Path) -> None:
    assert told("two-settings", bench(tmp_path)) == ()
    both = bench(
        tmp_path,
        ("{cuts: [back rabbet], with:", "{with:"),
        ("{cuts: [rail grooves], marks", "{cuts: [rail grooves, back rabbet], marks"),
    )
    (item,) = told("two-settings", both)
    assert item.severity is Severity.NOTE
    assert "sets the router 2 times: 3/4 in wide, 1/4 in deep, 7/32 in wide, 3/8 in deep" in item.message


@pytest.mark.parametrize(("drill", "edition", "sold"), [
    ("1/4 in", "imperial", True),
    ("0.27 in", "imperial", False),
    ("5 mm", "metric", True),
    ("5.3 mm", "metric", False),
])  # fmt: skip
def test_a_bit_of_the_series(tmp_path: Path, drill: str, edition: str, sold: bool) -> None:
    subject = bookcase(tmp_path, edition=edition)
    side = subject.plan.part("side")
    wanted = Fraction(drill.split()[0]) * (INCH if drill.endswith("in") else 1)
    holes = tuple(replace(hole, diameter=wanted) for hole in side.holes)
    plan = with_part(subject.plan, "side", holes=holes, note="bored")
    changed = Subject(plan, subject.written, shop=subject.shop)
    found = told("bit-not-sold", changed)
    assert bool(found) is not sold
    if not sold:
        assert "the nearest that is sold is" in found[0].message
        assert found[0].help is not None


def test_a_bit_that_is_sold_is_named(tmp_path: Path) -> None:
    assert outcomes("bit-not-sold", bookcase(tmp_path))["shelf pins"].figure == "1/4 in, twist bit 1/4 in"
