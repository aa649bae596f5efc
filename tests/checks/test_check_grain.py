from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, outcomes, piece, stool, told
from fixtures.small_books import step_text

ASH = "ash: {lumber: white ash, nominal: 4/4, to: 3/4 in}"
RAIL = "rail: {of: ash, length: 20 in, width: 4 in, on: floor, left face: 0 in}"


@pytest.mark.parametrize(("wedge", "off"), [
    ("along seat grain", 90), ("65 deg from seat grain", 25), ("70 deg from seat grain", 0), ("across seat grain", 0),
])  # fmt: skip
def test_a_wedge_is_driven_across_the_grain(tmp_path: Path, wedge: str, off: int) -> None:
    found = told("wedge-splits", stool(tmp_path, ("wedge: across seat grain", f"wedge: {wedge}")))
    assert bool(found) is bool(off)
    if off:
        assert f"lie {off} deg off square to the grain of `seat` and split it, 20 deg is the most" in found[0].message
        assert found[0].help == "write `wedge: across seat grain`"


def test_a_wedge_without_direction_is_not_judged(tmp_path: Path) -> None:
    subject = stool(tmp_path, ("wedge: across seat grain", "wedge: walnut"))
    assert told("wedge-splits", subject) == ()
    assert "does not say which way" in outcomes("wedge-splits", subject)["leg socket"].missing


def shaped(tmp_path: Path, cut: str, rail: str = RAIL) -> list[str]:
    steps = step_text("Make it", "cuts: [rail, cut], sets: [rail]")
    groups = {"dims": "", "stock": ASH, "parts": rail, "joints": "", "cuts": f"cut: {cut}"}
    return [item.message for item in told("short-grain", piece(tmp_path, groups, steps=steps))]


# 2 1/4 in off over 18 in is 1 in 8, and leaves 1 3/4 of 4 in.
@pytest.mark.parametrize(("run", "snaps"), [("17 in", True), ("18 in", False)])
def test_a_steep_taper_cuts_through_the_grain(tmp_path: Path, run: str, snaps: bool) -> None:
    cut = f"{{taper: 1 3/4 in, at: left end, from: {run} from left end, on: back edge, in: rail}}"
    found = shaped(tmp_path, cut)
    assert bool(found) is snaps
    if snaps:
        assert "crosses its grain 1 in 7.6 where 1 3/4 in of 4 in is left" in found[0]


def test_a_taper_that_leaves_most_of_the_width_may_be_steep(tmp_path: Path) -> None:
    assert shaped(tmp_path, "{taper: 2 3/4 in, at: left end, from: 4 in from left end, on: back edge, in: rail}") == []


def test_a_mitre_is_no_short_grain(tmp_path: Path) -> None:
    assert shaped(tmp_path, "{mitre: 45 deg, at: each end, along: back edge, in: rail}") == []


@pytest.mark.parametrize(("rise", "snaps"), [("2 in", True), ("3/4 in", False)])
def test_a_bracket_sawn_to_a_curve_snaps_where_it_is_narrow(tmp_path: Path, rise: str, snaps: bool) -> None:
    assert bool(shaped(tmp_path, f"{{arc: {rise}, along: front edge, in: rail}}")) is snaps


def test_plywood_has_no_short_grain(tmp_path: Path) -> None:
    steps = step_text("Make it", "cuts: [rail, cut], sets: [rail]")
    cut = "cut: {arc: 2 in, along: front edge, in: rail}"
    groups = {
        "dims": "",
        "stock": "ash: {panel: birch plywood, nominal: 3/4 in}",
        "parts": RAIL,
        "joints": "",
        "cuts": cut,
    }
    assert told("short-grain", piece(tmp_path, groups, steps=steps)) == ()


KICK = "{butt: kick board, to: [side, bottom], by: glue, blocks: 3}"


@pytest.mark.parametrize(("joint", "wrong"), [
    ("{butt: kick board, to: side, by: glue}", True),
    ("{butt: kick board, to: side, by: glue, blocks: 2}", False),
    ("{butt: kick board, to: side, by: [glue, wood screws]}", False),
    ("{butt: kick board, to: [side, bottom], by: glue}", False),
])  # fmt: skip
def test_glue_alone_does_not_hold_on_end_grain(tmp_path: Path, joint: str, wrong: bool) -> None:
    found = told("end-grain-glued", bench(tmp_path, (KICK, joint)))
    assert [item.message for item in found] == ["`kick joint` holds `kick board` by the ends with `glue` alone"] * wrong
