from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, bookcase, outcomes, told

PLANER = "thickest: {imperial: 6 in, metric: 150 mm}"
PRESS = "stroke: {imperial: 3 in, metric: 75 mm}"
BAR = "opens: {imperial: 50 in, metric: 1270 mm}"
JOINTER = "widest: {imperial: 8 in, metric: 200 mm}"


def test_without_limits_nothing_is_compared(tmp_path: Path) -> None:
    assert outcomes("machine-too-small", bookcase(tmp_path)) == {}
    assert told("machine-too-small", bench(tmp_path)) == ()


@pytest.mark.parametrize(("widest", "wrong"), [("2 in", True), ("3 in", False)])
def test_a_board_is_wider_than_the_jointer(tmp_path: Path, widest: str, wrong: bool) -> None:
    # The rails are ripped to 2 in and sawn with an allowance; the seat is glued up from strips.
    found = told("machine-too-small", bench(tmp_path, (JOINTER, f"widest: {widest}")))
    assert bool(found) is wrong
    if wrong:
        assert "rail` is 2 1/4 in, the jointer in step 2 takes 2 in" in found[0].message


@pytest.mark.parametrize(("stroke", "wrong"), [("{imperial: 1/2 in, metric: 12 mm}", True), ("2 in", False)])
def test_a_hole_is_deeper_than_the_stroke(tmp_path: Path, stroke: str, wrong: bool) -> None:
    found = told("machine-too-small", bench(tmp_path, (PRESS, f"stroke: {stroke}")))
    # In step 9 a hand drill stands beside the press, so only the vents of step 10 are asked.
    assert [item.message for item in found] == [
        "a hole of `vents` is 23/32 in, the drill press in step 10 takes 1/2 in"
    ] * wrong


@pytest.mark.parametrize(("thickest", "wrong"), [("1 in", True), ("1 1/4 in", False)])
def test_a_rough_board_is_thicker_than_the_planer(tmp_path: Path, thickest: str, wrong: bool) -> None:
    found = told("machine-too-small", bench(tmp_path, (PLANER, f"thickest: {thickest}")))
    assert bool(found) is wrong
    if wrong:
        assert "the thickness of `seat` is 1 1/4 in, the thickness planer in step 3 takes 1 in" in found[0].message


@pytest.mark.parametrize(("count", "wrong"), [("5", True), ("6", False)])
def test_one_piece_wants_more_clamps_than_there_are(tmp_path: Path, count: str, wrong: bool) -> None:
    found = told("clamps-short", bench(tmp_path, ("bar clamps: {count: 36", f"bar clamps: {{count: {count}")))
    assert [item.message for item in found] == ["step 13 takes 6 bar clamps for one piece, the shop has 5"] * wrong


@pytest.mark.parametrize(("opens", "wrong"), [("35 in", True), ("36 in", False)])
def test_clamps_reach_over_the_case(tmp_path: Path, opens: str, wrong: bool) -> None:
    found = told("clamps-short", bench(tmp_path, (BAR, f"opens: {opens}")))
    assert bool(found) is wrong
    if wrong:
        assert "is 36 in over all in step 13, the bar clamp opens 35 in" in found[0].message


@pytest.mark.parametrize(
    ("limit", "slug"), [("12 cubits", "unknown-unit"), ("12 lb", "wrong-unit"), ("-3 in", "wrong-unit")]
)
def test_what_a_machine_takes_is_a_length(tmp_path: Path, limit: str, slug: str) -> None:
    from fixtures.small_books import CASE, STEPS, plan_text, write_book

    from planbook.publish.reading import read_material
    from planbook.source.diagnostics import Findings
    from planbook.source.files import Sources

    findings = Findings()
    shop = f"tools:\n  planer: {{does: Planes., widest: {limit}}}\n"
    read_material(write_book(tmp_path, plan_text(CASE), STEPS, shop=shop), findings, Sources())
    (item,) = [item for item in findings if item.span is not None and item.span.file == "shop.yaml"]
    assert item.slug == slug
    assert item.help
