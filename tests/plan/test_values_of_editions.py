"""Hard conversion: what is typed in one system stands on the round sizes of the other, by kind."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from fixtures.small_books import CASE, Read, length, make, shown
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planbook.plan.model import Plan


def with_dims(tmp_path: Path, dims: str, rest: str = "") -> Read:
    return make(tmp_path, {"dims": f"{CASE['dims']}\n{dims}"}, rest=rest)


def dim(plan: Plan, name: str) -> str:
    return shown(next(found.value for found in plan.dims if found.name == name), plan.edition)


@pytest.mark.parametrize(
    ("written", "name", "imperial", "metric"),
    [
        ("long: 30 in", "long", "30 in", "760 mm"),  # 762, overall: 10 mm
        ("across: 13 in", "across", "13 in", "330 mm"),  # 330.2
        ("kick: 3 in", "kick", "3 in", "75 mm"),  # 76.2, part: 5 mm
        ("kick: 80 mm", "kick", "3 1/8 in", "80 mm"),  # 3.15, part: 1/8 in
        ("long: 750 mm", "long", "29 1/2 in", "750 mm"),  # 29.53, overall: 1/4 in
        ("gap: 1/16 in", "gap", "1/16 in", "2 mm"),  # under half of 5 mm, so the joinery grid
        ("kick: 2 ft 1 in", "kick", "25 in", "635 mm"),
        ("kick: {imperial: 3 in, metric: 77 mm}", "kick", "3 in", "77 mm"),  # the author's own pair wins
        ("kick: {is: {imperial: 3 in, metric: 77 mm}}", "kick", "3 in", "77 mm"),
        ("kick: {is: 3 in, exact: yes}", "kick", "3 in", "76 mm"),  # not to the grid of 5; shown to 1 mm
        ("kick: wide / 10", "kick", "3 in", "76 mm"),  # by formula: 760 / 10
        ("kick: wide - 27 in", "kick", "3 in", "75 mm"),  # 760 - 685
        ("kick: 2 * 1 1/2 in", "kick", "3 in", "80 mm"),  # each typed size goes to the grid: 40 mm
        ("kick: min(3 in, 90 mm)", "kick", "3 in", "75 mm"),
        ("kick: -(2 in)", "kick", "-2 in", "-50 mm"),
    ],
)
def test_typed_sizes_on_the_grid(tmp_path: Path, written: str, name: str, imperial: str, metric: str) -> None:
    found = with_dims(tmp_path, written)
    assert (dim(found.plan(), name), dim(found.plan("metric"), name)) == (imperial, metric)


def test_exact_keeps_the_true_length(tmp_path: Path) -> None:
    plan = with_dims(tmp_path, "kick: {is: 3 in, exact: yes}").plan("metric")
    assert next(found.value for found in plan.dims if found.name == "kick") == Fraction(762, 10)


def test_joints_go_to_whole_millimetres(tmp_path: Path) -> None:
    joints = CASE["joints"].replace("1/4 in deep", "3/8 in deep")
    assert make(tmp_path, {"joints": joints}).plan("metric").part("side").cuts[0].deep == 10


def test_what_the_grid_would_swallow_is_told(tmp_path: Path) -> None:
    joints = CASE["joints"].replace("in: side", "room: 1/64 in, in: side")
    found = make(tmp_path, {"joints": joints}).found("lost-in-rounding")
    assert found.help == "give both: `{imperial: 1/64 in, metric: 0.5 mm}`"
    metric = make(tmp_path / "m", {"joints": CASE["joints"].replace("in: side", "room: 0.3 mm, in: side")})
    assert metric.found("lost-in-rounding").help == "give both: `{imperial: 1/64 in, metric: 0.3 mm}`"


@pytest.mark.parametrize(("units", "value"), [("in", "29 in"), ("mm", "736 mm")])
def test_units_make_bare_numbers_lengths(tmp_path: Path, units: str, value: str) -> None:
    dims = {"in": "wide: 30\ndeep: 10\nhigh: 40", "mm": "wide: 760\ndeep: 250\nhigh: 1020"}[units]
    plan = make(tmp_path, {"dims": dims}, rest=f"units: {units}\n").plan({"in": "imperial", "mm": "metric"}[units])
    assert length(plan, "bottom") == value


@pytest.mark.parametrize(
    ("resolution", "edition", "bottom"),
    [
        ("", "imperial", "19 21/32 in"),  # 59 / 3 = 19.667
        ("1/16 in", "imperial", "19 11/16 in"),
        ("1/64 in", "imperial", "19 43/64 in"),
        ("1/16 in", "metric", "499 mm"),  # an inch step leaves the other edition as it is
        ("{imperial: 1/8 in, metric: 0.5 mm}", "imperial", "19 5/8 in"),
        ("{imperial: 1/8 in, metric: 0.5 mm}", "metric", "499.5 mm"),
    ],
)
def test_resolution(tmp_path: Path, resolution: str, edition: str, bottom: str) -> None:
    # The bottom 1/3 narrower than two thirds: 2 x 29 1/2 / 3 in, 2 x 749 / 3 = 499.33 mm.
    parts = CASE["parts"] + "\nslat: {of: ply, length: 2 * pace / 3, width: 2 in, on: floor, flush: left}"
    groups = {"parts": parts, "dims": CASE["dims"] + "\npace: {imperial: 29 1/2 in, metric: 749 mm}"}
    found = make(tmp_path, groups, rest=f"resolution: {resolution}\n" if resolution else "")
    assert length(found.plan(edition), "slat") == bottom


def test_a_strange_resolution_is_told(tmp_path: Path) -> None:
    found = make(tmp_path, rest="resolution: 1/10 in\n").found("wrong-resolution")
    assert "1/32" in (found.help or "")


@pytest.mark.parametrize(
    ("dims", "slug", "marked"),
    [
        ("kick: 3", "wrong-unit", "3"),
        ("kick: 12 inch - 30 deg", "wrong-unit", "-"),
        ("kick: 3 in / 0", "zero-below", "0"),
        ("kick: 3 lb", "wrong-unit", "3 lb"),
        ("kick: hihg", "unknown-name", "hihg"),
        ("kick: high-1/2 in", "tight-minus", "high-1/2 in"),
        ("kick: side", "which-size", "side"),
        ("kick: side.heigth", "unknown-property", "side.heigth"),
        ("kick: high.length", "unknown-property", "high.length"),
        ("kick: {may: 1 in .. 2 in}", "no-size", "kick"),
        ("kick: {imperial: 3 in}", "no-size", "kick"),
        ("kick: {is: 3 in, exact: perhaps}", "wrong-word", "perhaps"),
        ("kick: {is: 3 in, may: 5 in .. 4 in}", "wrong-range", "5 in .. 4 in"),
        ("kick: {is: 3 in, may: 4 in}", "wrong-range", "4 in"),
        ("kick: {is: 3 in, may: 4 in .. 5 in}", "wrong-range", "4 in .. 5 in"),
        ("kick: {is: 3 in, may: 4 deg .. 5 deg}", "wrong-unit", "4 deg"),
        ("kick: 123456 in", "too-large", "123456 in"),
    ],
)
def test_dims_at_fault(tmp_path: Path, dims: str, slug: str, marked: str) -> None:
    found = with_dims(tmp_path, dims)
    assert not any(found.plans.values())
    assert found.at(found.found(slug)) == marked


def test_an_angle_may_have_a_range(tmp_path: Path) -> None:
    plan = with_dims(tmp_path, "splay: {is: 12 deg, may: 5 deg .. 15 deg}").plan("metric")
    splay = next(found for found in plan.dims if found.name == "splay")
    assert (splay.angle, splay.value, splay.may) == (True, 12, (5, 15))


def test_a_range_of_the_other_system_may_be_half_a_step_off(tmp_path: Path) -> None:
    # 30 in is 760 mm on the grid, the author's own pair 762.
    with_dims(tmp_path, "kick: {imperial: 30 in, metric: 762 mm, may: 20 in .. 30 in}").plan("metric")


quarters = st.integers(1, 400).map(lambda number: Fraction(number, 4))


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(inch=quarters, millimetres=st.integers(5, 2000))
def test_grids_by_kind_whatever_is_typed(tmp_path: Path, inch: Fraction, millimetres: int) -> None:
    whole, rest = divmod(inch, 1)
    typed = f"{whole} {rest} in" if rest else f"{whole} in"
    found = with_dims(
        tmp_path,
        f"long: {typed}\nshelf gap: {typed}\npace: {millimetres} mm\n"
        f"own: {{imperial: {typed}, metric: {millimetres} mm}}",
    )
    values = {name: {d.name: d.value for d in found.plan(name).dims} for name in ("imperial", "metric")}
    assert values["imperial"]["long"] == values["imperial"]["shelf gap"] == inch * Fraction(254, 10)
    assert values["metric"]["pace"] == values["metric"]["own"] == millimetres
    assert values["imperial"]["own"] == inch * Fraction(254, 10)
    metric_long, metric_gap = values["metric"]["long"], values["metric"]["shelf gap"]
    assert metric_long % 10 == 0 or metric_long < 10
    assert metric_gap % 5 == 0 or metric_gap < 5
    assert abs(metric_long - inch * Fraction(254, 10)) <= 5
    assert abs(metric_gap - inch * Fraction(254, 10)) <= Fraction(5, 2)
    eighths = values["imperial"]["pace"] / Fraction(254, 80)
    assert eighths.denominator == 1 or millimetres < 2
    assert abs(values["imperial"]["pace"] - millimetres) <= Fraction(254, 160)
