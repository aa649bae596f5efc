from __future__ import annotations

from itertools import islice
from pathlib import Path

import pytest
from fixtures.small_books import CASE, STEPS, length, make, shown, standing, step_text, width

from planbook.plan.parts import letters

SIDE = "side: {of: ply, pair: left right, length: high, width: deep, on: floor}\n"
BOTTOM = "bottom: {of: ply, between: side, width: deep, underside: 4 in above floor}\n"


def test_letters_go_on_behind_z_and_skip_those_that_read_as_figures() -> None:
    found = list(islice(letters(), 700))
    assert found[:9] == list("ABCDEFGHJ")
    assert not {"I", "O"} & set("".join(found))
    assert found[23:26] == ["Z", "AA", "AB"]
    assert len(set(found)) == 700


def test_parts_come_first_then_strips_then_test_pieces(tmp_path: Path) -> None:
    groups = {
        "edgings": "lip: {of: ply, thick: 1/4 in}",
        "parts": CASE["parts"].replace("on: floor", "on: floor, front: lip"),
    }
    steps = step_text("Do all", "cuts: [side, bottom, lip, dados], joins: [lip, dados], trims: [lip]") + step_text(
        "Try it", "test: {of: ply, length: 6 in, count: 2}"
    )
    plan = make(tmp_path, groups, steps=steps).plan()
    assert [(part.letter, part.key) for part in plan.parts] == [
        ("A", "side"),
        ("B", "bottom"),
        ("C", "lip of side"),
        ("D", "test piece for step 2"),
    ]
    test = plan.parts[3]
    assert (test.role, test.count, test.made_in, shown(test.length.final)) == ("test piece", 2, 2, "6 in")


def test_many_parts_get_two_letters(tmp_path: Path) -> None:
    shelves = "".join(f"shelf {n}: {{like: bottom, underside: {n + 5} in above floor}}\n" for n in range(30))
    plan = make(tmp_path, {"parts": SIDE + BOTTOM + shelves}).plan()
    assert [part.letter for part in plan.parts][22:27] == ["Y", "Z", "AA", "AB", "AC"]


def test_like_takes_over_all_words_but_those_given(tmp_path: Path) -> None:
    parts = SIDE + BOTTOM + "top: {like: bottom, width: 5 in, upper face: 1 in below end of side}"
    plan = make(tmp_path, {"parts": parts}).plan()
    assert width(plan, "top") == "5 in"
    assert standing(plan, "top")[2] == ("38 1/4 in", "39 in")
    # The dados are for the bottom alone.
    assert (length(plan, "top"), length(plan, "bottom")) == ("28 1/2 in", "29 in")


@pytest.mark.parametrize(
    ("own", "place"),
    [
        ("on: floor", ("0 in", "3/4 in")),
        ("under: bottom", ("3 1/4 in", "4 in")),
        ("upper face: 1 in below end of side", ("38 1/4 in", "39 in")),
        ("underside: 9 in above floor", ("9 in", "9 3/4 in")),
    ],
)
def test_a_height_given_replaces_every_word_for_the_height(tmp_path: Path, own: str, place: tuple[str, str]) -> None:
    parts = SIDE + BOTTOM + f"top: {{like: bottom, {own}, faces: up}}"
    assert standing(make(tmp_path, {"parts": parts}).plan(), "top")[2] == place


def test_like_of_like(tmp_path: Path) -> None:
    parts = SIDE + BOTTOM + "b: {like: a, underside: 9 in above floor}\na: {like: bottom, width: 3 in}"
    plan = make(tmp_path, {"parts": parts}).plan()
    assert width(plan, "b") == "3 in"


def test_a_circle_of_like_is_told_once_as_a_chain(tmp_path: Path) -> None:
    found = make(tmp_path, {"parts": SIDE + BOTTOM + "a: {like: b}\nb: {like: a}\nc: {like: a}"})
    assert [item.message for item in found.stops()] == ["these parts are like one another: `a -> b -> a`"]


def test_like_nothing(tmp_path: Path) -> None:
    fault = make(tmp_path, {"parts": SIDE + BOTTOM + "top: {like: bottem}"}).found("unknown-part")
    assert fault.help == "write `bottom`"


def test_one_name_for_two_things(tmp_path: Path) -> None:
    fault = make(
        tmp_path,
        {"holes": "bottom: {in: side, rows: [1 in from front], start: 9 in from foot, count: 1, drill: 1/4 in}"},
    )
    found = fault.found("name-twice")
    assert [remark for _, remark in found.further] == ["the first one"]


@pytest.mark.parametrize(
    ("name", "help"),
    [
        ("top-shelf", "write `top shelf`"),
        ("in", "choose a longer name"),
        ("floor", "choose another name"),
        ("max", "choose another name"),
        ("2 by 4", "begin with a letter, go on with letters, digits and blanks"),
        ("child’s shelf", "write the name as `child's shelf`"),
        ("loose  shelf", "write the name as `loose shelf`"),
    ],
)
def test_names_that_formulas_cannot_read(tmp_path: Path, name: str, help: str) -> None:
    found = make(tmp_path, {"parts": SIDE + BOTTOM + f"{name}: {{like: bottom}}"}, steps=STEPS)
    assert not any(found.plans.values())
    assert found.found("bad-name").help == help


@pytest.mark.parametrize("name", ["Türbrett", "棚", "étagère basse", "полка", "top", "left shelf", "shelf 2"])
def test_names_of_other_tongues_and_words_of_faces(tmp_path: Path, name: str) -> None:
    parts = (
        SIDE
        + BOTTOM
        + f"{name}: {{like: bottom, underside: 20 in above floor}}\n"
        + f"slat: {{like: bottom, width: {name}.width / 2, on: {name}}}"
    )
    plan = make(tmp_path, {"parts": parts}).plan()
    assert standing(plan, "slat")[1:] == (("0 in", "5 in"), ("20 3/4 in", "21 1/2 in"))
