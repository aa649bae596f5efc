from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import CASE, across, along, length, make, shown, standing, width

SIDE = "side: {of: ply, pair: left right, length: high, width: deep, on: floor}\n"
BOTTOM = "bottom: {of: ply, between: side, width: deep, underside: 4 in above floor}\n"


def test_a_dado_follows_the_part_that_enters(tmp_path: Path) -> None:
    plan = make(tmp_path).plan()
    (cut,) = plan.part("side").cuts
    assert (cut.kind, cut.face, cut.hand, cut.for_part) == ("dado", "inside", "", "bottom")
    assert (along(cut), across(cut)) == (("4 in", "4 3/4 in"), ("0 in", "10 in"))
    assert (shown(cut.box.t[0]), shown(cut.box.t[1]), shown(cut.wide)) == ("1/2 in", "3/4 in", "3/4 in")


def test_metric_dado_is_hard_converted(tmp_path: Path) -> None:
    (cut,) = make(tmp_path).plan("metric").part("side").cuts
    assert (along(cut, "metric"), shown(cut.deep, "metric")) == (("100 mm", "118 mm"), "6 mm")


@pytest.mark.parametrize(
    ("value", "deep"), [("1/4 in deep", "1/4 in"), ("1/4 in", "1/4 in"), ("ply.thick / 3", "1/4 in")]
)
def test_depth_with_and_without_the_word_deep(tmp_path: Path, value: str, deep: str) -> None:
    joints = f"dados: {{dado: {value}, in: side, for: bottom, by: glue}}"
    assert shown(make(tmp_path, {"joints": joints}).plan().part("side").cuts[0].deep) == deep


def test_a_dado_for_each_copy_that_enters(tmp_path: Path) -> None:
    parts = SIDE + (
        "shelf: {of: ply, count: 3, between: side, width: deep, underside: 4 in above floor, spread: up and down}"
    )
    joints = "dados: {dado: 1/4 in deep, in: side, for: shelf, by: glue}"
    cuts = make(tmp_path, {"parts": parts, "joints": joints}).plan().part("side").cuts
    # The last shelf keeps 4 in from the top that the first keeps from the floor.
    assert [along(cut)[0] for cut in cuts] == ["4 in", "19 5/8 in", "35 1/4 in"]


def test_a_joint_in_one_hand_lengthens_and_cuts_only_there(tmp_path: Path) -> None:
    joints = "dados: {dado: 1/4 in deep, in: left side, for: bottom, by: glue}"
    plan = make(tmp_path, {"joints": joints}).plan()
    assert [cut.hand for cut in plan.part("side").cuts] == ["L"]
    assert length(plan, "bottom") == "28 3/4 in"
    assert standing(plan, "bottom")[0] == ("1/2 in", "29 1/4 in")


def test_the_right_hand_alone(tmp_path: Path) -> None:
    joints = "dados: {dado: 1/4 in deep, in: right side, for: bottom, by: glue}"
    plan = make(tmp_path, {"joints": joints}).plan()
    assert [cut.hand for cut in plan.part("side").cuts] == ["R"]
    assert standing(plan, "bottom")[0] == ("3/4 in", "29 1/2 in")


@pytest.mark.parametrize(
    ("edge", "box_l", "box_w"),
    [
        ("back edge", ("0 in", "40 in"), ("9 5/8 in", "10 in")),
        ("front edge", ("0 in", "40 in"), ("0 in", "3/8 in")),
        ("top end", ("39 5/8 in", "40 in"), ("0 in", "10 in")),
        ("foot", ("0 in", "3/8 in"), ("0 in", "10 in")),
    ],
)
def test_a_rabbet_along_each_edge(tmp_path: Path, edge: str, box_l: tuple[str, str], box_w: tuple[str, str]) -> None:
    joints = CASE["joints"] + f"\nstep: {{rabbet: 1/4 in deep, wide: 3/8 in, in: side, along: {edge}}}"
    cut = make(tmp_path, {"joints": joints}).plan().part("side").cuts[1]
    assert (cut.kind, along(cut), across(cut)) == ("rabbet", box_l, box_w)
    assert (shown(cut.box.t[0]), shown(cut.box.t[1])) == ("1/2 in", "3/4 in")


def test_a_panel_lies_in_its_rabbet(tmp_path: Path) -> None:
    parts = (
        SIDE
        + BOTTOM.replace("width: deep", "width: front to rabbet")
        + "top: {like: bottom, underside: 20 in above floor}\n"
        + "back: {of: thin, between: side, covers: [bottom, top], play: 1/16 in}"
    )
    groups = {
        "stock": CASE["stock"] + "\nthin: {panel: birch plywood, nominal: 1/4 in, measured: 1/4 in}",
        "parts": parts,
        "joints": CASE["joints"]
        + "\nback rabbet: {rabbet: 3/8 in deep, wide: thin.thick, in: side, along: back edge, for: back, by: glue}",
    }
    plan = make(tmp_path, groups).plan()
    # 28 1/2 clear + 2 x 3/8 - 2 x 1/16; the bottom ends at the shoulder, 1/4 in before the back.
    assert (length(plan, "back"), width(plan, "bottom")) == ("29 1/8 in", "9 3/4 in")
    assert standing(plan, "back")[1] == ("9 3/4 in", "10 in")


@pytest.mark.parametrize(
    ("on", "face", "band"),
    [
        ("", "upper face", ("1/2 in", "3/4 in")),
        ("on: upper face, ", "upper face", ("1/2 in", "3/4 in")),
        ("on: inside, ", "upper face", ("1/2 in", "3/4 in")),
    ],
)
def test_a_dado_in_a_lying_board_faces_what_enters(tmp_path: Path, on: str, face: str, band: tuple[str, str]) -> None:
    parts = (
        SIDE
        + BOTTOM
        + "top: {like: bottom, underside: 20 in above floor}\n"
        + "divider: {of: ply, between: [bottom, top], width: deep, centred: across, faces: left}"
    )
    joints = CASE["joints"] + f"\nslot: {{dado: 1/4 in deep, in: bottom, {on}for: divider, by: glue}}"
    plan = make(tmp_path, {"parts": parts, "joints": joints}).plan()
    (cut,) = plan.part("bottom").cuts
    assert (cut.face, (shown(cut.box.t[0]), shown(cut.box.t[1]))) == (face, band)
    assert length(plan, "divider") == "15 1/2 in"
    # 14 5/8 in from the left of the piece, the bottom begins at 1/2 in.
    assert along(cut) == ("14 1/8 in", "14 7/8 in")


def test_a_dado_in_the_underside_for_what_enters_from_below(tmp_path: Path) -> None:
    parts = (
        SIDE
        + BOTTOM
        + "top: {like: bottom, underside: 20 in above floor}\n"
        + "divider: {of: ply, between: [bottom, top], width: deep, centred: across, faces: left}"
    )
    joints = CASE["joints"] + "\nslot: {dado: 1/4 in deep, in: top, for: divider, by: glue}"
    (cut,) = make(tmp_path, {"parts": parts, "joints": joints}).plan().part("top").cuts
    assert (cut.face, shown(cut.box.t[0]), shown(cut.box.t[1])) == ("underside", "0 in", "1/4 in")


@pytest.mark.parametrize(
    ("joint", "slug", "marked"),
    [
        ("{dado: 1/4 in deep, in: side, on: outside, for: bottom}", "wrong-face", "outside"),
        ("{dado: 1/4 in deep, in: side, on: upper face, for: bottom}", "which-face", "upper face"),
        ("{dado: 3/4 in deep, in: side, for: bottom}", "cut-through", "dados"),
        ("{dado: 1 in deep, in: side, for: bottom}", "cut-through", "dados"),
        ("{rabbet: 1/4 in deep, wide: 1/4 in, in: side}", "which-edge", "dados"),
        ("{rabbet: 1/4 in deep, wide: 1/4 in, in: side, along: left edge}", "which-edge", "left edge"),
        ("{rabbet: 1/4 in deep, in: side, along: back edge}", "no-size", "dados"),
        ("{rabbet: 1/4 in deep, wide: 10 in, in: side, along: back edge}", "cut-through", "dados"),
        ("{dado: 1/4 in deep, rabbet: 1/4 in deep, in: side, for: bottom}", "which-joint", "dados"),
        ("{in: side, for: bottom}", "which-joint", "dados"),
        ("{dado: 1/4 in deep, in: side}", "missing-word", "dados"),
        ("{dado: 1/4 in deep, for: bottom}", "missing-word", "dados"),
        ("{butt: bottom}", "missing-word", "dados"),
        ("{dado: 1/4 in deep, in: side, for: bottle}", "unknown-part", "bottle"),
        ("{dado: 0 in deep, in: side, for: bottom}", "no-size", "0 in"),
        ("{dado: -1/4 in deep, in: side, for: bottom}", "no-size", "-1/4 in"),
        ("{dado: 1/4 in deep, room: -1/4 in, in: side, for: bottom}", "no-size", "-1/4 in"),
        ("{dado: 1/4 in deep, in: bottom, for: side}", "joint-apart", "dados"),
    ],
)
def test_joints_that_cannot_be_cut(tmp_path: Path, joint: str, slug: str, marked: str) -> None:
    found = make(tmp_path, {"joints": f"dados: {joint}"})
    assert not any(found.plans.values())
    assert found.at(found.found(slug)) == marked


def test_what_does_not_meet_is_told(tmp_path: Path) -> None:
    parts = SIDE + "bottom: {of: ply, between: side, width: deep, underside: 41 in above floor}"
    assert "`bottom` does not meet `side`" in make(tmp_path, {"parts": parts}).found("joint-apart").message


def test_a_butt_joint_cuts_nothing_and_lengthens_nothing(tmp_path: Path) -> None:
    joints = "case: {butt: bottom, to: side, by: glue, blocks: 2, each: 3, every: 4 in, note: pilot holes}"
    plan = make(tmp_path, {"joints": joints}).plan()
    assert not plan.part("side").cuts
    assert length(plan, "bottom") == "28 1/2 in"
    (joint,) = plan.joints
    assert (joint.kind, joint.entering, joint.receiving, joint.by) == ("butt", ("bottom",), ("side",), ("glue",))
    assert (joint.count, joint.note) == (3, "pilot holes; 2 glue blocks")
    assert joint.every is not None
    assert shown(joint.every) == "4 in"


def test_lost_fit_is_told(tmp_path: Path) -> None:
    # 30.02 in is no mark of a rule of 1/32 in; without room the bottom would be too long.
    groups = {"dims": CASE["dims"].replace("wide: 30 in", "wide: 30.02 in")}
    found = make(tmp_path, groups).found("fit-lost")
    assert "`bottom`" in found.message
    easy = {**groups, "joints": CASE["joints"].replace("in: side", "room: 1/32 in, in: side")}
    assert "fit-lost" not in make(tmp_path / "easy", easy).slugs()


BASE = (
    "base: {of: ply, length: wide, width: deep, on: floor, left face: 0 in from left}\n"
    "side: {of: ply, pair: left right, length: high - 1/2 in, width: deep, underside: 1/4 in below upper face of base}"
)


@pytest.mark.parametrize(
    ("guest", "places"),
    [
        ("side", [("0 in", "3/4 in"), ("29 1/4 in", "30 in")]),
        ("left side", [("0 in", "3/4 in")]),
        ("right side", [("29 1/4 in", "30 in")]),
    ],
)
def test_both_hands_of_a_pair_get_a_dado_in_the_board_they_enter(
    tmp_path: Path, guest: str, places: list[tuple[str, str]]
) -> None:
    joints = f"dados: {{dado: 1/4 in deep, in: base, for: {guest}, by: glue}}"
    cuts = make(tmp_path, {"parts": BASE, "joints": joints}).plan().part("base").cuts
    assert [along(cut) for cut in cuts] == places
    assert {cut.face for cut in cuts} == {"upper face"}


def test_a_pair_that_enters_a_pair_makes_one_dado_in_each(tmp_path: Path) -> None:
    parts = CASE["parts"] + (
        "\ncleat: {of: ply, pair: left right, runs: back, faces: up, length: 6 in, width: 2 in, "
        "left face: 1/4 in from inside of side, underside: 20 in above floor}"
    )
    joints = CASE["joints"] + "\ncleats: {dado: 1/4 in deep, in: side, for: cleat, by: glue}"
    plan = make(tmp_path, {"parts": parts, "joints": joints}).plan()
    (cut,) = [cut for cut in plan.part("side").cuts if cut.name == "cleats"]
    assert (along(cut), across(cut), cut.face) == (("20 in", "20 3/4 in"), ("0 in", "6 in"), "inside")
    assert [standing(plan, "cleat", copy)[0] for copy in (1, 2)] == [("1/2 in", "2 1/2 in"), ("27 1/2 in", "29 1/2 in")]
