from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, bookcase, outcomes, piece, side_table, told

AIR = "room: {driest: 68 F at 28 %, dampest: 74 F at 58 %, built: 8 %, source: assumed for this test}\n"


@pytest.mark.parametrize(
    ("built", "wrong"), [("12 %", True), ("10.3 %", True), ("10.1 %", False), ("6 %", True), ("6.3 %", False)]
)
def test_wood_is_worked_near_the_middle_of_its_room(tmp_path: Path, built: str, wrong: bool) -> None:
    # 68 F at 28 % and 74 F at 58 % bring it to 5.9 % and 10.5 %: the middle is 8.2 %.
    found = told("too-wet", bench(tmp_path, ("  built: 8 %", f"  built: {built}")))
    assert bool(found) is wrong
    if wrong:
        assert f"`ash` is worked at {built}, the room brings it to 5.9 % to 10.5 %" in found[0].message


def test_a_slab_has_a_moisture_of_its_own(tmp_path: Path) -> None:
    wet = side_table(tmp_path, ("tools:\n", AIR + "tools:\n"), ("moisture: 9 %", "moisture: 14 %"))
    (item,) = told("too-wet", wet)
    assert "`walnut` is worked at 14 %" in item.message
    dry = side_table(tmp_path, ("tools:\n", AIR + "tools:\n"))
    assert told("too-wet", dry) == ()


def test_without_a_room_nothing_is_said(tmp_path: Path) -> None:
    assert told("too-wet", bookcase(tmp_path)) == ()
    assert "room" in outcomes("too-wet", bookcase(tmp_path))["maple"].missing


STOCK = "oak: {lumber: red oak, nominal: 4/4, to: 3/4 in}"
FRAME = (
    "stile: {of: oak, pair: left right, length: 30 in, width: 2 in, faces: inside, on: floor}\n"
    "panel: {of: oak, wide between: stile, length: 28 in, runs: up, faces: front, underside: 1 in above floor, "
    "front face: 1/2 in from front, PLAY}"
)


def framed(tmp_path: Path, play: str) -> str:
    """What is told of a panel of oak about 12 in wide in grooves of 1/2 in."""
    groups = {
        "dims": "wide: 14 in\ndeep: 2 in\nhigh: 30 in", "stock": STOCK,
        "parts": FRAME.replace(", PLAY", f", play: {play}" if play else ""),
        "joints": "grooves: {groove: 1/2 in deep, in: stile, on: inside, for: panel}",
    }  # fmt: skip
    shop = AIR + "tools:\n  saw: {does: Saws.}\n"
    found = told("panel-stuck", piece(tmp_path, groups, shop=shop))
    return found[0].message if found else ""


def test_a_panel_needs_room_to_swell(tmp_path: Path) -> None:
    assert "1/16 in must be left" in framed(tmp_path, "")
    assert "1/16 in must be left" in framed(tmp_path, "1/16 in")
    assert framed(tmp_path, "1/8 in") == ""


def test_a_panel_stays_in_its_groove(tmp_path: Path) -> None:
    assert "it comes out of its groove" in framed(tmp_path, "7/16 in")
    assert framed(tmp_path, "1/4 in") == ""


@pytest.mark.parametrize(("where", "wrong"), [
    ("upper faces", True), ("the outside", True), ("all faces", False), ("upper faces and underside", False),
])  # fmt: skip
def test_a_wide_seat_is_oiled_on_both_faces(tmp_path: Path, where: str, wrong: bool) -> None:
    found = told("one-face-finished", bench(tmp_path, ("on: all faces, both faces of the seat alike", f"on: {where}")))
    assert bool(found) is wrong
    if wrong:
        assert f"`hardwax oil` goes on `{where}`, and `seat` is 14 in wide: over 6 in" in found[0].message


def test_a_narrow_board_may_have_one(tmp_path: Path) -> None:
    narrow = bench(
        tmp_path,
        ("on: all faces, both faces of the seat alike", "on: upper faces"),
        ("{imperial: 14 in, metric: 350 mm, may: 12 in", "{imperial: 6 in, metric: 150 mm, may: 5 in"),
        ("inset from front, inset from rabbet", "inset from front"),
        ("vent inset from front, vent inset from back", "vent inset from front"),
    )
    assert told("one-face-finished", narrow) == ()


def test_slots_lie_across_the_grain(tmp_path: Path) -> None:
    assert told("slot-turned", side_table(tmp_path)) == ()
    assert "across the grain" in outcomes("slot-turned", side_table(tmp_path))["frame bolts"].figure


def test_slots_along_the_grain_hold_the_board_fast(tmp_path: Path) -> None:
    from dataclasses import replace

    subject = side_table(tmp_path)
    turned = tuple(
        replace(one, axes=(one.axes[1], one.axes[0], one.axes[2])) if one.part == "frame" else one
        for one in subject.plan.placements
    )
    (item,) = told("slot-turned", replace(subject, plan=replace(subject.plan, placements=turned)))
    assert item.message == "slots of `frame` lie along the grain of `top`"


@pytest.mark.parametrize(("slot", "damp", "short"), [
    ("5/16 in x 3/4 in", "90 %", False), ("5/16 in x 3/8 in", "58 %", False), ("5/16 in x 3/8 in", "90 %", True),
])  # fmt: skip
def test_slots_of_bought_bars_are_long_enough(tmp_path: Path, slot: str, damp: str, short: bool) -> None:
    room = ("tools:\n", AIR.replace("58 %", damp) + "tools:\n")
    found = told("slot-short", side_table(tmp_path, room, ("ends: slot 5/16 in x 3/4 in", f"ends: slot {slot}")))
    assert bool(found) is short
    if short:
        assert "5 in from the fixed screw" in found[0].message
