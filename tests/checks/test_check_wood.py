from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, bookcase, outcomes, saw_bench, told

FREE = (
    "    free: back rail\n    slot: {imperial: 5/8 in, metric: 16 mm}\n    shank: {imperial: 11/64 in, metric: 4 mm}\n"
)
ROOM = "  driest: 68 F at 28 %\n  driest in: February\n  dampest: 74 F at 58 %\n  dampest in: August\n  built: 8 %\n"


def test_a_seat_free_at_the_back_moves(tmp_path: Path) -> None:
    assert told("cross-fixed", bench(tmp_path)) == ()
    assert told("slot-short", bench(tmp_path)) == ()


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_a_seat_held_front_and_back_is_held_across_its_grain(tmp_path: Path, edition: str) -> None:
    (item,) = told("cross-fixed", bench(tmp_path, (FREE, ""), edition=edition))
    assert "`seat` is held over" in item.message
    assert "by `front rail` and `back rail`" in item.message
    assert item.help == "fix it along one edge and name the other part in `free`, as `free: back rail`"


def test_without_the_air_of_the_room_nothing_is_reckoned(tmp_path: Path) -> None:
    silent = bench(tmp_path, (FREE, ""), (f"room:\n{ROOM}", "x:\n".replace("x:\n", "")),
                   ("  source: assumed for the demo book, a heated room of a temperate climate\n", ""))  # fmt: skip
    assert told("cross-fixed", silent) == ()
    assert "`room` in `shop.yaml`" in outcomes("cross-fixed", silent)["seat"].missing


@pytest.mark.parametrize(("width", "fails"), [("3 1/2 in", False), ("7 in", True)])
def test_a_wide_rail_glued_in_a_panel_is_held_over_its_width(tmp_path: Path, width: str, fails: bool) -> None:
    wide = bench(tmp_path, ("width: {imperial: 2 in, metric: 50 mm}, under: seat", f"width: {width}, under: seat"))
    assert any("`front rail`" in item.message for item in told("cross-fixed", wide)) is fails


@pytest.mark.parametrize(("slot", "short"), [("5/16 in", True), ("3/8 in", False)])
def test_a_slot_must_hold_the_movement_both_ways_and_the_screw(tmp_path: Path, slot: str, short: bool) -> None:
    found = told("slot-short", bench(tmp_path, ("slot: {imperial: 5/8 in, metric: 16 mm}", f"slot: {slot}")))
    assert bool(found) is short
    if short:
        assert "are needed" in found[0].message


def test_slots_of_unknown_length_are_not_reckoned(tmp_path: Path) -> None:
    silent = bench(tmp_path, ("    slot: {imperial: 5/8 in, metric: 16 mm}\n", ""))
    assert outcomes("slot-short", silent)["seat"].missing == "`seat joint` does not say how long its slots are"


def test_a_damper_room_moves_more(tmp_path: Path) -> None:
    slot = ("slot: {imperial: 5/8 in, metric: 16 mm}", "slot: 10 mm")
    assert told("slot-short", bench(tmp_path, slot, edition="metric")) == ()
    damp = bench(tmp_path, slot, ("dampest: 74 F at 58 %", "dampest: 74 F at 90 %"), edition="metric")
    assert told("slot-short", damp)


def test_quarter_sawn_wood_moves_less(tmp_path: Path) -> None:
    def needed(*changes: tuple[str, str]) -> str:
        return outcomes("slot-short", bench(tmp_path, *changes, edition="metric"))["seat"].limit

    quarter = ("    pick: [boards of one color,", "    sawn: quarter\n    pick: [boards of one color,")
    assert needed(quarter) < needed()


def test_plywood_is_not_asked(tmp_path: Path) -> None:
    assert outcomes("cross-fixed", bookcase(tmp_path)) == {}


def test_legs_that_nothing_ties_together_hold_a_top_each_by_itself(tmp_path: Path) -> None:
    assert told("cross-fixed", saw_bench(tmp_path)) == ()
    assert outcomes("cross-fixed", saw_bench(tmp_path))["bench top"].figure == "held at one place or none"


def test_a_stretcher_between_legs_holds_the_top_across_its_grain(tmp_path: Path) -> None:
    tied = saw_bench(
        tmp_path,
        (
            "  ramp: {",
            "  stretcher: {of: thin ash, length: 12 in, width: 1 in, runs: back, left face: 9 in, on: floor}\n"
            "  ramp: {",
        ),
        ("joints:\n", "joints:\n  stretcher joint: {butt: stretcher, to: leg, by: glue}\n"),
        ("cuts: [leg, fence]", "cuts: [leg, fence, stretcher]"),
        ("joins: [fence joint]", "joins: [fence joint, stretcher joint]"),
    )
    (item,) = told("cross-fixed", tied)
    assert "`bench top` is held over" in item.message
    assert "by `leg`" in item.message
