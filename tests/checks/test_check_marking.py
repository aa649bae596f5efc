from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, bookcase, outcomes, piece, told
from fixtures.small_books import step_text

from planbook.source.diagnostics import Severity

SAWN = "cuts: [side, bottom, loose shelf, drilling strip], marks"


@pytest.mark.parametrize(("high", "message"), [("48 in", "1/8 in too much"), ("47 15/16 in", ""), ("47 3/4 in", "")])
def test_two_of_48_do_not_come_out_of_96(tmp_path: Path, high: str, message: str) -> None:
    found = told("kerf-doubles", bookcase(tmp_path, ("{is: 47 in, may: 30 in .. 60 in}", high)))
    assert [message in item.message for item in found if "length of `side`" in item.message] == [True] * bool(message)


def test_the_kerf_is_that_of_the_shop(tmp_path: Path) -> None:
    thick = "sawing: {kerf: 3 in}\ntools:\n"
    found = told("kerf-doubles", bookcase(tmp_path, ("tools:\n", thick)))
    assert any("2 times 47 in and 1 kerf take 97 in" in item.message for item in found)


def test_a_single_piece_is_only_noted(tmp_path: Path) -> None:
    (item,) = [
        item
        for item in told("kerf-doubles", piece(tmp_path, {"dims": "wide: 48 in\ndeep: 24 in\nhigh: 40 in"}))
        if "width" in item.message and "`side`" in item.message
    ]
    # Two sides of 24 in beside one another in a sheet of 48 in.
    assert item.severity is Severity.WARN
    assert "2 times 24 in and 1 kerf take 48 1/8 in, 1/8 in too much" in item.message


@pytest.mark.parametrize(("resolution", "count"), [("1/32 in", 0), ("1/64 in", 1)])
def test_a_tape_shows_no_sixty_fourths(tmp_path: Path, resolution: str, count: int) -> None:
    groups = {"dims": "wide: 30 in\ndeep: 10 in\nhigh: 40 1/64 in"}
    found = told("tape-cannot", piece(tmp_path, groups, rest=f"resolution: {resolution}\n"))
    assert len(found) == count
    if count:
        assert "`side`, 40 1/64 in" in found[0].message


def test_holes_before_the_edging_lose_their_edge(tmp_path: Path) -> None:
    early = bench(
        tmp_path,
        (SAWN, SAWN.replace("strip]", "strip, pin holes]")),
        ("{cuts: [pin holes], marks", "{marks"),
    )  # fmt: skip
    (item,) = told("datum-gone", early)
    assert "`pin holes` is marked on `side` in step 1, but the edging `lip`" in item.message
    assert "step 4" in item.message


def test_holes_after_the_edging_keep_it(tmp_path: Path) -> None:
    assert told("datum-gone", bench(tmp_path)) == ()
    assert "vents in loose shelf" in outcomes("datum-gone", bench(tmp_path))


@pytest.mark.parametrize(("step", "count"), [("Saw it", 1), ("Trim it", 0)])
def test_an_end_left_long_is_no_datum(tmp_path: Path, step: str, count: int) -> None:
    parts = (
        "board: {of: ash, length: 20 in, width: 6 in, on: floor, left face: 0 in, "
        "spare: {length: 1 in, until: Trim it}}"
    )
    holes = (
        "row: {in: board, on: upper face, rows: [2 in from front], start: 3 in from left end, count: 2, every: 4 in, "
        "drill: 1/4 in}"
    )
    claims = {"Saw it": ["board"], "Trim it": []}
    claims[step].append("row")
    steps = step_text("Saw it", f"cuts: [{', '.join(claims['Saw it'])}]")
    steps += step_text("Trim it", f"trims: [board], cuts: [{', '.join(claims['Trim it'])}], sets: [board]")
    groups = {
        "dims": "", "stock": "ash: {lumber: white ash, nominal: 4/4, to: 3/4 in}", "parts": parts, "joints": "",
        "holes": holes,
    }  # fmt: skip
    found = told("datum-gone", piece(tmp_path, groups, steps=steps))
    assert len(found) == count
    if count:
        assert "its length is left long until step 2" in found[0].message


def test_a_back_is_fitted_not_sawn_to_the_list(tmp_path: Path) -> None:
    assert told("final-too-soon", bench(tmp_path)) == ()
    (item,) = told(
        "final-too-soon",
        bench(
            tmp_path,
            ("covers: [bottom, back rail], play: slip, fit: to the case", "covers: [bottom, back rail], play: slip"),
            (SAWN, SAWN.replace("strip]", "strip, panel]")),
            ("{cuts: [kick board, panel], joins: [kick joint", "{cuts: [kick board], joins: [kick joint"),
        ),
    )  # fmt: skip
    assert "`panel` is sawn to the list in step 1, but its opening is there only from step 13 on" in item.message
    assert item.severity is Severity.NOTE
