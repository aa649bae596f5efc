from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import CASE, length, make, standing, width

SIDE = "side: {of: ply, pair: left right, length: high, width: deep, on: floor}\n"
BOTTOM = "bottom: {of: ply, between: side, width: deep, underside: 4 in above floor}\n"


def test_a_pair_stands_at_both_ends_of_the_piece(tmp_path: Path) -> None:
    plan = make(tmp_path).plan()
    left, right = standing(plan, "side", 1), standing(plan, "side", 2)
    assert left == (("0 in", "3/4 in"), ("0 in", "10 in"), ("0 in", "40 in"))
    assert right == (("29 1/4 in", "30 in"), ("0 in", "10 in"), ("0 in", "40 in"))
    assert [item.hand for item in plan.placements if item.part == "side"] == ["L", "R"]
    assert plan.part("side").count == 2
    assert plan.part("side").faces.show == "inside"


@pytest.mark.parametrize(
    ("edition", "long", "from_left"),
    [("imperial", "29 in", ("1/2 in", "29 1/2 in")), ("metric", "736 mm", ("12 mm", "748 mm"))],
)
def test_between_a_pair_is_the_clear_width_and_what_enters(
    tmp_path: Path, edition: str, long: str, from_left: tuple[str, str]
) -> None:
    # 30 - 2 x 3/4 + 2 x 1/4; in the metric edition 760 - 2 x 18 + 2 x 6.
    plan = make(tmp_path).plan(edition)
    assert length(plan, "bottom") == long
    assert standing(plan, "bottom")[0] == from_left


def test_room_and_play_count_at_each_end(tmp_path: Path) -> None:
    groups = {
        "parts": SIDE + BOTTOM.replace("width", "play: 1/16 in, width"),
        "joints": "dados: {dado: 1/4 in deep, room: 1/32 in, in: side, for: bottom, by: glue}",
    }
    # 28 1/2 + 2 x 1/4 - 2 x 1/32 - 2 x 1/16
    assert length(make(tmp_path, groups).plan(), "bottom") == "28 13/16 in"


def test_between_two_parts_runs_from_one_to_the_other(tmp_path: Path) -> None:
    parts = (
        SIDE
        + BOTTOM
        + "top: {like: bottom, underside: 20 in above floor}\n"
        + "divider: {of: ply, between: [top, bottom], width: deep, centred: across, faces: left}"
    )
    plan = make(tmp_path, {"parts": parts}).plan()
    assert length(plan, "divider") == "15 1/4 in"
    assert standing(plan, "divider") == (("14 5/8 in", "15 3/8 in"), ("0 in", "10 in"), ("4 3/4 in", "20 in"))


def test_wide_between_gives_the_width(tmp_path: Path) -> None:
    parts = (
        SIDE
        + BOTTOM
        + "top: {like: bottom, underside: 20 in above floor}\n"
        + "door: {of: ply, between: side, wide between: [bottom, top], play: 1/16 in, faces: front}"
    )
    plan = make(tmp_path, {"parts": parts}).plan()
    assert (length(plan, "door"), width(plan, "door")) == ("28 3/8 in", "15 1/8 in")


@pytest.mark.parametrize(
    ("words", "place"),
    [
        ("on: floor", ("0 in", "3/4 in")),
        ("on: bottom", ("4 3/4 in", "5 1/2 in")),
        ("under: bottom", ("3 1/4 in", "4 in")),
        ("inside: bottom", ("4 3/4 in", "5 1/2 in")),
        ("underside: 6 in above floor", ("6 in", "6 3/4 in")),
        ("underside: 6 in above bottom", ("10 3/4 in", "11 1/2 in")),
        ("upper face: 6 in below end of side", ("33 1/4 in", "34 in")),
        ("upper face: at top of side", ("39 1/4 in", "40 in")),
        ("underside: on bottom", ("4 3/4 in", "5 1/2 in")),
        ("flush: top", ("39 1/4 in", "40 in")),
        ("flush: bottom", ("0 in", "3/4 in")),
        ("centred: up and down", ("19 5/8 in", "20 3/8 in")),
    ],
)
def test_words_for_the_height(tmp_path: Path, words: str, place: tuple[str, str]) -> None:
    parts = (
        SIDE + BOTTOM + f"board: {{of: ply, length: 5 in, width: 4 in, left face: 1 in from left, faces: up, {words}}}"
    )
    assert standing(make(tmp_path, {"parts": parts}).plan(), "board")[2] == place


@pytest.mark.parametrize(
    ("words", "place"),
    [
        ("left face: 2 in right of left side", ("2 3/4 in", "7 3/4 in")),
        ("left face: 2 in from left", ("2 in", "7 in")),
        ("right face: 2 in left of right side", ("22 1/4 in", "27 1/4 in")),
        ("right face: 2 in from right", ("23 in", "28 in")),
        ("flush: left", ("0 in", "5 in")),
        ("flush: right", ("25 in", "30 in")),
        ("centred: across", ("12 1/2 in", "17 1/2 in")),
    ],
)
def test_words_for_left_and_right(tmp_path: Path, words: str, place: tuple[str, str]) -> None:
    parts = SIDE + BOTTOM + f"board: {{of: ply, length: 5 in, width: 4 in, on: floor, {words}}}"
    assert standing(make(tmp_path, {"parts": parts}).plan(), "board")[0] == place


@pytest.mark.parametrize(
    ("words", "place"),
    [
        ("set back: 1 in", ("1 in", "5 in")),
        ("front face: 3 in behind bottom", ("13 in", "17 in")),
        ("front face: 3 in from front", ("3 in", "7 in")),
        ("back face: 2 in from back", ("4 in", "8 in")),
        ("back face: 1 in beyond back", ("7 in", "11 in")),
        ("flush: back", ("6 in", "10 in")),
        ("flush: front", ("0 in", "4 in")),
        ("centred: front to back", ("3 in", "7 in")),
        ("note: stands at the front if nothing is said", ("0 in", "4 in")),
    ],
)
def test_words_for_front_and_back(tmp_path: Path, words: str, place: tuple[str, str]) -> None:
    parts = (
        SIDE
        + BOTTOM
        + f"board: {{of: ply, between: side, width: 4 in, underside: 9 in above floor, faces: up, {words}}}"
    )
    assert standing(make(tmp_path, {"parts": parts}).plan(), "board")[1] == place


def test_set_back_counts_from_the_part_above(tmp_path: Path) -> None:
    parts = (
        SIDE
        + "bottom: {of: ply, between: side, width: 8 in, front face: 2 in from front, underside: 4 in above floor}\n"
        + "kick: {of: ply, between: side, width: 4 in, under: bottom, set back: 1/2 in}"
    )
    plan = make(tmp_path, {"parts": parts}).plan()
    # Between the sides, so the front that counts is that of the sides.
    assert standing(plan, "kick")[1] == ("1/2 in", "1 1/4 in")
    assert standing(plan, "kick")[2] == ("0 in", "4 in")
    assert plan.part("kick").faces.show == "front face"


def test_covers_spans_from_outside_to_outside_and_lies_against_the_back(tmp_path: Path) -> None:
    parts = (
        SIDE
        + BOTTOM
        + "top: {like: bottom, underside: 20 in above floor}\nback: {of: ply, between: side, covers: [bottom, top]}"
    )
    plan = make(tmp_path, {"parts": parts}).plan()
    assert (length(plan, "back"), width(plan, "back")) == ("28 1/2 in", "16 3/4 in")
    assert standing(plan, "back")[1:] == (("10 in", "10 3/4 in"), ("4 in", "20 3/4 in"))


@pytest.mark.parametrize(
    ("words", "axis", "places"),
    [
        ("spread: across, left face: 2 in from left", 0, ["2 in", "12 1/2 in", "23 in"]),
        ("spread: front to back, flush: left, front face: 1 in from front", 1, ["1 in", "4 in", "7 in"]),
        ("spread: up and down, flush: left, underside: 1 in above floor", 2, ["1 in", "19 5/8 in", "38 1/4 in"]),
    ],
)
def test_spread_keeps_equal_gaps(tmp_path: Path, words: str, axis: int, places: list[str]) -> None:
    on = "" if "underside" in words else "on: floor, "
    parts = SIDE + BOTTOM + f"slat: {{of: ply, count: 3, length: 5 in, width: 2 in, faces: up, {on}{words}}}"
    plan = make(tmp_path, {"parts": parts}).plan()
    assert [standing(plan, "slat", copy)[axis][0] for copy in (1, 2, 3)] == places


def test_copies_want_to_be_spread(tmp_path: Path) -> None:
    parts = SIDE + BOTTOM + "slat: {of: ply, count: 3, length: 5 in, width: 2 in, on: floor, flush: left}"
    found = make(tmp_path, {"parts": parts}).found("not-placed")
    assert "does not say how they are spread" in found.message
    assert "spread: across" in (found.help or "")


@pytest.mark.parametrize(
    ("words", "faces"),
    [
        ("runs: across, faces: up", ("upper face", "front edge", "left end")),
        ("runs: across, faces: front", ("front face", "lower edge", "left end")),
        ("runs: up, faces: front", ("front face", "left edge", "foot")),
        ("runs: up, faces: left", ("left face", "front edge", "foot")),
        ("runs: back, faces: up", ("upper face", "left edge", "front end")),
        ("runs: back, faces: right", ("right face", "lower edge", "front end")),
        ("runs: across, faces: down", ("underside", "front edge", "left end")),
    ],
)
def test_names_of_faces_follow_the_way_a_part_lies(tmp_path: Path, words: str, faces: tuple[str, str, str]) -> None:
    parts = SIDE + BOTTOM + f"board: {{of: ply, length: 5 in, width: 4 in, on: floor, flush: left, {words}}}"
    found = make(tmp_path, {"parts": parts}).plan().part("board").faces
    assert (found.show, found.datum_edge, found.datum_end) == faces


def test_a_part_apart_has_no_place_and_counts_as_a_jig(tmp_path: Path) -> None:
    parts = SIDE + BOTTOM + "gauge: {of: ply, apart: yes, length: 6 in, width: 2 in, count: 2}"
    plan = make(tmp_path, {"parts": parts}).plan()
    assert plan.part("gauge").role == "jig"
    assert plan.part("gauge").count == 2
    assert not [item for item in plan.placements if item.part == "gauge"]
    assert standing(plan, "side")[2] == ("0 in", "40 in")


@pytest.mark.parametrize(
    ("words", "slug", "marked"),
    [
        ("between: bottom, width: deep", "not-a-pair", "bottom"),
        ("between: [side, bottom], width: deep", "not-facing", "bottom"),
        ("between: [bottom, side, bottom], width: deep", "not-a-pair", "bottom"),
        ("between: sides, width: deep", "unknown-part", "sides"),
        ("between: side, runs: up, faces: left, length: 4 in, width: 4 in, on: floor", "impossible-direction", "side"),
        ("length: 4 in, width: 4 in, on: floor", "not-placed", "board"),
        ("length: 4 in, width: 4 in, flush: left", "not-placed", "board"),
        ("length: 4 in, width: 4 in, on: floor, flush: sideways", "unknown-word", "sideways"),
        ("length: 4 in, on: floor, flush: left", "no-size", "board"),
        ("length: 4 in, width: 4 in, on: floor, flush: left, runs: sideways", "unknown-direction", "sideways"),
        ("length: 4 in, width: 4 in, on: floor, flush: left, faces: sideways", "unknown-direction", "sideways"),
        ("length: 4 in, width: 4 in, on: floor, flush: left, runs: up, faces: up", "impossible-direction", "up"),
        ("length: 4 in, width: 4 in, on: floor, left face: 2 in above floor", "wrong-direction", "2 in above floor"),
        ("length: 4 in, width: 4 in, on: floor, left face: 2 in side", "missing-mark", "2 in side"),
        ("between: side, width: back to front", "empty-extent", "back to front"),
        ("between: side, width: deep - 20 in", "no-size", "deep - 20 in"),
        ("pair: left left, length: 4 in, width: 4 in, on: floor", "unknown-pair", "left left"),
        ("pair: left right, count: 3, length: 4 in, width: 4 in, on: floor", "wrong-number", "3"),
    ],
)
def test_what_cannot_stand_is_told_where_it_is_written(tmp_path: Path, words: str, slug: str, marked: str) -> None:
    parts = SIDE + BOTTOM + f"board: {{of: ply, {words}}}"
    found = make(tmp_path, {"parts": parts})
    assert not any(found.plans.values())
    assert found.at(found.found(slug)) == marked


def test_no_room_between_says_what_is_left(tmp_path: Path) -> None:
    groups = {"dims": CASE["dims"].replace("30 in", "1 in"), "joints": ""}
    found = make(tmp_path, groups, rest="")
    assert "no room between `side`: -1/2 in is left" in found.found("no-room-between").message


def test_a_pair_without_a_wide_piece_is_told_at_the_part(tmp_path: Path) -> None:
    found = make(tmp_path, {"dims": "deep: 10 in\nhigh: 40 in"})
    fault = found.found("no-overall-size")
    assert found.at(fault) == "side"
    assert "`wide`" in (fault.help or "")


def test_between_one_of_a_pair_and_another_part_wants_the_hand(tmp_path: Path) -> None:
    parts = (
        SIDE
        + BOTTOM
        + "divider: {of: ply, length: 10 in, width: deep, on: bottom, centred: across, runs: up}\n"
        + "shelf: {of: ply, between: [HAND, divider], width: deep, underside: 10 in above floor}"
    )
    wrong = make(tmp_path / "a", {"parts": parts.replace("HAND", "side")})
    assert "left side" in (wrong.found("which-side").help or "")
    left = make(tmp_path / "b", {"parts": parts.replace("HAND", "left side")}).plan()
    assert standing(left, "shelf")[0] == ("3/4 in", "14 5/8 in")
    right = make(tmp_path / "c", {"parts": parts.replace("HAND", "right side")}).plan()
    assert standing(right, "shelf")[0] == ("15 3/8 in", "29 1/4 in")


def test_on_the_inside_of_a_side_is_at_that_face(tmp_path: Path) -> None:
    parts = SIDE + BOTTOM + "board: {of: ply, length: 5 in, width: 4 in, on: floor, left face: on inside of left side}"
    assert standing(make(tmp_path, {"parts": parts}).plan(), "board")[0] == ("3/4 in", "5 3/4 in")


@pytest.mark.parametrize("place", ["2 in right of side", "at inside of side", "2 in from left of side"])
def test_left_and_right_of_a_pair_wants_the_hand(tmp_path: Path, place: str) -> None:
    parts = SIDE + BOTTOM + f"board: {{of: ply, length: 5 in, width: 4 in, on: floor, left face: {place}}}"
    found = make(tmp_path, {"parts": parts}).found("which-side")
    assert found.help == "write `left side` or `right side`"
