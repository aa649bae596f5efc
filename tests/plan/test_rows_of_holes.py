from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import CASE, make, row, shown, standing

HEAD = "pins: {in: side, on: inside, rows: [2 in from front, 3 in from back], drill: 1/4 in, deep: 3/8 in, "


def places(tmp_path: Path, words: str, edition: str = "imperial") -> list[str]:
    plan = make(tmp_path, {"holes": HEAD + words + "}"}).plan(edition)
    return [shown(hole.l, edition) for hole in row(plan.part("side"))]


def test_every_fills_from_start_to_stop(tmp_path: Path) -> None:
    # From 4 + 3/4 + 2 = 6 3/4 in; the last at most 10 in below the top, at 30 in.
    found = places(tmp_path, "start: 2 in above bottom, stop: 10 in below top of side, every: 4 in")
    assert found == ["6 3/4 in", "10 3/4 in", "14 3/4 in", "18 3/4 in", "22 3/4 in", "26 3/4 in"]


def test_a_hole_stands_on_the_stop_itself(tmp_path: Path) -> None:
    assert places(tmp_path, "start: 10 in from foot, stop: 20 in from foot, every: 5 in") == ["10 in", "15 in", "20 in"]


def test_count_and_stop_share_the_distance(tmp_path: Path) -> None:
    assert places(tmp_path, "start: 10 in from foot, stop: 20 in from foot, count: 3") == ["10 in", "15 in", "20 in"]


def test_count_and_every_go_on_from_the_start(tmp_path: Path) -> None:
    assert places(tmp_path, "start: 10 in from foot, every: 2 in, count: 3") == ["10 in", "12 in", "14 in"]


def test_one_hole_needs_no_spacing(tmp_path: Path) -> None:
    assert places(tmp_path, "start: 10 in from foot, count: 1") == ["10 in"]


def test_spacing_does_not_add_up_its_rounding(tmp_path: Path) -> None:
    # 10 in in 3 parts: 13.333 and 16.667, each to the nearest 1/32 from the foot.
    found = places(tmp_path, "start: 10 in from foot, stop: 20 in from foot, count: 4")
    assert found == ["10 in", "13 11/32 in", "16 21/32 in", "20 in"]


def test_rows_count_from_either_edge_on_both_hands(tmp_path: Path) -> None:
    plan = make(tmp_path, {"holes": HEAD + "start: 10 in from foot, count: 1}"}).plan()
    holes = plan.part("side").holes
    assert [shown(hole.w) for hole in holes] == ["2 in", "7 in"]
    assert {(hole.face, hole.from_show, hole.role, hole.step) for hole in holes} == {("inside", True, "pin", 1)}
    assert {shown(hole.diameter) for hole in holes} == {"1/4 in"}


def test_holes_right_through_and_from_the_other_face(tmp_path: Path) -> None:
    holes = "vents: {in: bottom, on: underside, rows: [2 in from front], start: 2 in from left end, "
    holes += "count: 1, drill: 1 in, deep: through, role: drain}"
    (hole,) = make(tmp_path, {"holes": holes}).plan().part("bottom").holes
    assert (hole.deep, hole.from_show, hole.face, hole.role) == (None, False, "underside", "drain")
    assert shown(hole.l) == "2 in"


def test_a_shelf_lies_on_its_pins(tmp_path: Path) -> None:
    groups = {
        "holes": HEAD + "start: 10 in from foot, count: 11, every: 1 in}",
        "parts": CASE["parts"] + "\nshelf: {of: ply, count: 2, between: side, play: 1/16 in, width: deep, on: pins}",
    }
    plan = make(tmp_path, groups).plan()
    heights = [standing(plan, "shelf", copy)[2][0] for copy in (1, 2)]
    # The pins of two of the holes, half of 1/4 in above their centres, spread over the row.
    centres = {shown(hole.l + hole.diameter / 2) for hole in row(plan.part("side"))}
    assert set(heights) <= centres
    assert len(set(heights)) == 2


@pytest.mark.parametrize(
    ("words", "slug", "marked"),
    [
        ("start: 10 in from foot", "how-many-holes", "pins"),
        ("start: 10 in from foot, every: 2 in", "how-many-holes", "pins"),
        ("start: 10 in from foot, count: 3", "how-many-holes", "pins"),
        ("start: 20 in from foot, stop: 10 in from foot, every: 2 in", "no-holes", "pins"),
        ("start: 10 in from foot, stop: 30 in from foot, every: 1/32 in", "too-many-holes", "pins"),
        ("start: 10 in from foot, stop: 30 in from foot, every: 0 in", "no-size", "0 in"),
        ("start: 10 in from foot, stop: 30 in from foot, every: -1 in", "no-size", "-1 in"),
        ("start: 39 in from foot, count: 3, every: 2 in", "hole-outside", "pins"),
        ("start: 2 in beyond foot, count: 1", "hole-outside", "pins"),
        ("start: 10 in from nowhere, count: 1", "unknown-name", "nowhere"),
        ("start: 10 in from front, count: 1", "wrong-direction", "10 in from front"),
        ("start: 10 in from foot, count: 2.5, every: 1 in", "wrong-number", "2.5"),
    ],
)
def test_rows_that_cannot_be_bored(tmp_path: Path, words: str, slug: str, marked: str) -> None:
    found = make(tmp_path, {"holes": HEAD + words + "}"})
    assert not any(found.plans.values())
    assert found.at(found.found(slug)) == marked


@pytest.mark.parametrize(
    ("holes", "slug", "marked"),
    [
        ("pins: {in: side, rows: [12 in from front], AT, drill: 1/4 in}", "hole-outside", "12 in from front"),
        ("pins: {in: side, on: upper face, rows: [2 in from front], AT, drill: 1/4 in}", "which-face", "upper face"),
        ("pins: {in: side, rows: [2 in from front], AT, drill: 1/4 in, deep: 3/4 in}", "bored-through", "pins"),
        ("pins: {in: side, rows: [2 in from front], AT, drill: 0 in}", "no-size", "0 in"),
        ("pins: {in: left side, rows: [2 in from front], AT, drill: 1/4 in}", "which-side", "left side"),
        ("pins: {in: sides, rows: [2 in from front], AT, drill: 1/4 in}", "unknown-part", "sides"),
    ],
)  # fmt: skip
def test_holes_that_are_at_fault_themselves(tmp_path: Path, holes: str, slug: str, marked: str) -> None:
    found = make(tmp_path, {"holes": holes.replace("AT", "start: 9 in from foot, count: 1")})
    assert not any(found.plans.values())
    assert found.at(found.found(slug)) == marked
