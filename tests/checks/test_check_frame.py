from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, bookcase, outcomes, piece, stool, told

from planbook.source.diagnostics import Severity

CASE = "side: {of: ply, pair: left right, length: high, width: deep, on: floor}\n"
BOTTOM = "bottom: {of: ply, between: side, width: deep, underside: 4 in above floor}\n"
RAIL = (
    "rail: {of: ply, between: side, width: WIDTH, underside: 20 in above floor, runs: across, faces: front, "
    "flush: back}"
)


def test_shelves_alone_do_not_keep_a_case_square(tmp_path: Path) -> None:
    (item,) = told("racks", piece(tmp_path, {}))
    assert item.message == (
        "nothing keeps `side` square from side to side: the piece leans over and its joints work loose"
    )


@pytest.mark.parametrize(("width", "racks"), [("2 in", False), ("1 7/8 in", True)])
def test_a_rail_on_edge_does(tmp_path: Path, width: str, racks: bool) -> None:
    parts = CASE + BOTTOM + RAIL.replace("WIDTH", width)
    joints = "dados: {dado: 1/4 in deep, in: side, for: [bottom, rail], by: glue}"
    assert bool(told("racks", piece(tmp_path, {"parts": parts, "joints": joints}))) is racks


def test_a_back_does(tmp_path: Path) -> None:
    assert told("racks", bookcase(tmp_path)) == ()
    assert outcomes("racks", bookcase(tmp_path))["side, from side to side"].figure == "kept square by `panel`"


def test_legs_that_lean_are_not_asked(tmp_path: Path) -> None:
    assert outcomes("racks", stool(tmp_path)) == {}


HIGH = "  high:  {imperial: 18 in, metric: 450 mm, may: 16 in .. 20 in"


@pytest.mark.parametrize(
    ("high", "odd"), [("15 7/8 in", True), ("16 in", False), ("19 in", False), ("20 in", True), ("24 in", False)]
)
def test_a_seat_is_as_high_as_seats_are(tmp_path: Path, high: str, odd: bool) -> None:
    found = told(
        "body-fit", bench(tmp_path, (HIGH, f"  high:  {{imperial: {high}, metric: 450 mm, may: 10 in .. 30 in"))
    )
    assert bool(found) is odd
    if odd:
        assert found[0].message.startswith(f"`seat` is {high} high, seats have 16 in to 19 in")
        assert found[0].severity is Severity.NOTE


@pytest.mark.parametrize(("title", "under", "wrong"), [
    ("Writing desk", "23 7/8 in", True), ("Writing desk", "24 in", False), ("Side table", "20 in", False),
])  # fmt: skip
def test_knees_go_below_a_desk(tmp_path: Path, title: str, under: str, wrong: bool) -> None:
    parts = CASE + f"bottom: {{of: ply, between: side, width: deep, underside: {under} above floor}}"
    found = told("body-fit", piece(tmp_path, {"plan": f"title: {title}", "parts": parts}))
    assert [item.message for item in found] == ["knees have 23 7/8 in below `bottom`, 24 in is the least"] * wrong


@pytest.mark.parametrize(("load", "seat"), [("two persons sitting", True), ("one person standing", False)])
def test_what_is_stood_on_is_no_seat(tmp_path: Path, load: str, seat: bool) -> None:
    high = (HIGH, "  high:  {imperial: 15 in, metric: 450 mm, may: 10 in .. 30 in")
    assert bool(told("body-fit", bench(tmp_path, high, ("seat: two persons sitting", f"seat: {load}")))) is seat
