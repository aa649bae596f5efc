"""Screws, bolts, dowels, biscuits and loose tenons: one set of places makes the holes in both parts."""

from __future__ import annotations

import math
from fractions import Fraction
from pathlib import Path

import pytest
from fixtures.small_books import Read, inches, make, shown, step_text

from planbook.plan.drilling import Bored, Side, drill_list, hole_schedule
from planbook.plan.model import Plan

STOCK = (
    "oak: {lumber: white oak, nominal: 4/4, to: {imperial: 3/4 in, metric: 20 mm}}\n"
    "pine: {lumber: eastern white pine, nominal: 4/4, to: {imperial: 3/4 in, metric: 20 mm}}"
)
CASE = (
    "side: {of: oak, pair: left right, length: high, width: deep, on: floor}\n"
    "shelf: {of: oak, between: side, width: deep, underside: 4 in above floor}"
)
TABLE = (
    "rail: {of: oak, count: 2, length: wide, width: 3 in, faces: front, underside: 4 in above floor, "
    "centred: across, spread: front to back, front face: 0 in}\n"
    "top: {of: oak, length: wide, width: deep, faces: up, runs: across, on: rail, centred: across}"
)
FRAME = (
    "stile: {of: oak, pair: left right, length: high, width: 3 in, faces: front, runs: up, on: floor}\n"
    "foot rail: {of: oak, length: wide, width: 3 in, faces: front, runs: across, centred: across, underside: 0 in}"
)


def read(tmp_path: Path, parts: str, joints: str) -> Read:
    stock = "\n".join(line for line in STOCK.splitlines() if f"of: {line.split(':')[0]}," in parts)
    return make(tmp_path, {"stock": stock, "parts": parts, "joints": joints})


def plan(tmp_path: Path, parts: str, joints: str, edition: str = "imperial") -> Plan:
    found = read(tmp_path, parts, joints)
    assert found.slugs() == []
    return found.plan(edition)


def of(plan: Plan, part: str) -> list[Bored]:
    return [line for line in hole_schedule(plan) if line.part == part]


def places(plan: Plan, part: str) -> list[tuple[str, str]]:
    return [(shown(line.x, plan.edition), shown(line.y, plan.edition)) for line in of(plan, part)]


def test_screws_through_a_side_into_the_end_of_a_shelf(tmp_path: Path) -> None:
    found = plan(tmp_path, CASE, "ends: {butt: shelf, to: side, by: [glue, No. 8 x 2 in wood screw], each: 3}")
    # The shelf's middle is 4 + 3/8 in above the floor; it is 10 in deep, the outer ones 1 1/2 in from its edges.
    assert places(found, "side") == [("4 3/8 in", "1 1/2 in"), ("4 3/8 in", "5 in"), ("4 3/8 in", "8 1/2 in")]
    assert places(found, "shelf") == 2 * [("1 1/2 in", "3/8 in"), ("5 in", "3/8 in"), ("8 1/2 in", "3/8 in")]
    side, shelf = of(found, "side")[0], of(found, "shelf")[0]
    # The chart prints 11/64 in for a No. 8; white oak is dense: 90 % of the root, 0.112 in, is nearest to 7/64 in
    # in 64ths less one: 0.1008 in, so 3/32 (0.0938) or 7/64 (0.1094); the thinner is nearer.
    assert (side.diameter, side.deep, side.role, side.face) == (inches("11/64"), None, "clearance", "outside")
    assert (shelf.diameter, shelf.role, shelf.face) == (inches("3/32"), "pilot", "left end")
    # 2 in less the 3/4 in that it passes.
    assert shelf.deep == inches("1 1/4")
    assert side.countersink == (Fraction("0.332") * Fraction("25.4"), 82)
    assert (side.mate, shelf.mate, side.fastener) == ("shelf", "side", "No. 8 x 2 in wood screw")
    assert (side.count, shelf.count, side.hand) == (2, 1, "")
    (fastened,) = found.fastened
    assert len(fastened.places) == 6
    assert (fastened.bite, fastened.passes[0].thick, fastened.passes[0].material) == (
        inches("1 1/4"), inches("3/4"), "white oak",
    )  # fmt: skip
    assert fastened.into is not None
    assert str(fastened.into.grain) == "end"
    assert {place.way for place in fastened.places} == {(1.0, 0.0, 0.0), (-1.0, 0.0, 0.0)}
    assert found.joints[0].count == 6
    assert found.joints[0].note == ""


def test_where_the_author_says_no_number_the_joint_says_so(tmp_path: Path) -> None:
    found = plan(tmp_path, CASE, "ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw}")
    assert found.joints[0].note == "placed by common practice, no more than 8 in apart"
    # 10 in deep: one at each end.
    assert [y for _, y in places(found, "side")] == ["1 1/2 in", "8 1/2 in"]


def test_the_metric_edition_takes_screws_of_its_own_series(tmp_path: Path) -> None:
    found = plan(tmp_path, CASE, "ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, each: 2}", "metric")
    side, shelf = of(found, "side")[0], of(found, "shelf")[0]
    assert found.joints[0].by == ("4 x 50 mm wood screw",)
    assert (side.diameter, side.countersink) == (Fraction("4.5"), (Fraction(8), 90))
    assert (shelf.diameter, shelf.deep) == (Fraction(3), Fraction(30))


def test_a_pair_of_values_stands_for_two_articles(tmp_path: Path) -> None:
    by = "by: [{imperial: No. 6 x 2 in wood screw, metric: 4.5 x 60 mm wood screw}]"
    found = read(tmp_path, CASE, f"ends: {{butt: shelf, to: side, {by}, each: 2}}")
    names = [found.plan(edition).joints[0].by for edition in ("imperial", "metric")]
    assert names == [("No. 6 x 2 in wood screw",), ("4.5 x 60 mm wood screw",)]


def test_soft_wood_gets_a_thinner_pilot_than_dense_wood(tmp_path: Path) -> None:
    joint = "ends: {butt: shelf, to: side, by: No. 10 x 2 in wood screw, each: 2}"
    dense = of(plan(tmp_path / "a", CASE, joint), "shelf")[0].diameter
    soft = of(plan(tmp_path / "b", CASE.replace("oak", "pine"), joint), "shelf")[0].diameter
    assert soft < dense


def test_the_author_s_own_holes_win(tmp_path: Path) -> None:
    joint = "ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, each: 2, pilot: 1/8 in, clearance: 3/16 in}"
    found = plan(tmp_path, CASE, joint)
    assert {line.diameter for line in of(found, "shelf")} == {inches("1/8")}
    assert {line.diameter for line in of(found, "side")} == {inches("3/16")}


def test_screws_into_a_dado_pass_what_the_dado_leaves(tmp_path: Path) -> None:
    joint = "dados: {dado: 1/4 in deep, in: side, for: shelf, by: [glue, No. 8 x 1 1/2 in wood screw], each: 2}"
    found = plan(tmp_path, CASE, joint)
    (fastened,) = found.fastened
    assert (fastened.passes[0].thick, fastened.bite) == (inches("1/2"), inches("1"))
    assert {line.deep for line in of(found, "shelf")} == {inches("1")}
    # The dado itself and the holes are made under names of their own.
    assert {hole.group for hole in found.part("side").holes} == {"holes of dados"}


def test_a_screw_holds_one_hand_of_a_pair_alone(tmp_path: Path) -> None:
    joint = "ends: {through: left side, into: shelf, by: No. 8 x 2 in wood screw, each: 2}"
    found = plan(tmp_path, CASE, joint)
    assert {(line.hand, line.count) for line in of(found, "side")} == {("L", 1)}
    assert {line.side for line in of(found, "shelf")} == {Side.DATUM_END}


def test_a_top_on_rails_passes_its_thickness_and_slots_run_across_it(tmp_path: Path) -> None:
    joint = "tops: {butt: top, to: rail, by: No. 8 x 1 1/2 in wood screw, free: top, every: 6 in}"
    found = plan(tmp_path, TABLE, joint)
    # 30 in long, 1 1/2 in at least from each end: 4 spaces of 6 in, in the middle.
    assert [x for x, _ in places(found, "rail")] == ["3 in", "9 in", "15 in", "21 in", "27 in"]
    slots = of(found, "top")
    assert {(line.slot_along, line.slot) for line in slots} == {("Y", inches("11/64") + inches("1/4"))}
    # A flat head cannot slide in a slot.
    assert {line.countersink for line in slots} == {None}
    assert {one.free for one in found.fastened} == {True}
    assert {line.side for line in of(found, "rail")} == {Side.FAR_EDGE}


def test_counterbores_take_plugs_and_shorten_the_way(tmp_path: Path) -> None:
    joint = "tops: {through: top, into: rail, by: No. 10 x 2 in wood screw, counterbore: 3/8 in, plug: yes, each: 2}"
    found = plan(tmp_path, TABLE, joint)
    top = of(found, "top")[0]
    # The head of a No. 10 is 0.385 in, so the plug is 1/2 in.
    assert (top.counterbore, top.plugged, top.countersink) == ((inches("1/2"), inches("3/8")), True, None)
    # 3/8 in of the top lie under the head.
    assert {line.deep for line in of(found, "rail")} == {inches("2") - inches("3/8")}
    (one,) = found.fastened
    assert (one.sunk, one.plugged) == (inches("3/8"), True)
    wide = [line for line in drill_list(found) if line.bit == "Forstner bit"]
    assert [(shown(line.diameter), line.count, line.roles) for line in wide] == [("1/2 in", 4, ("counterbore",))]


def test_dowels_go_half_into_each_part_as_far_as_the_wood_lets_them(tmp_path: Path) -> None:
    found = plan(tmp_path, TABLE, "tops: {butt: top, to: rail, by: [3/8 x 2 in dowel, glue], each: 3}")
    # 1/4 in of the top is left, and the hole is 1/16 in deeper than the dowel: 7/16 in of it is in the top.
    assert {(line.deep, line.face) for line in of(found, "top")} == {(inches("1/2"), "underside")}
    assert {line.deep for line in of(found, "rail")} == {inches("2") - inches("7/16") + inches("1/16")}
    (one,) = found.fastened
    assert (one.back + one.bite, one.back) == (inches("2"), inches("7/16"))


def test_dowels_are_told_in_metric_sizes_too(tmp_path: Path) -> None:
    found = plan(tmp_path, TABLE, "tops: {butt: top, to: rail, by: 3/8 x 2 in dowel, each: 3}", "metric")
    assert found.joints[0].by == ("10 x 50 mm dowel",)
    assert {line.diameter for line in hole_schedule(found)} == {Fraction(10)}


def test_biscuits_and_loose_tenons_run_along_the_joint(tmp_path: Path) -> None:
    found = plan(tmp_path / "a", TABLE, "tops: {butt: top, to: rail, by: [No. 20 biscuit, glue], each: 3}")
    assert {(line.bit, line.slot_along) for line in hole_schedule(found)} == {("biscuit joiner", "X")}
    joint = "tops: {butt: top, to: rail, by: [1/4 x 1 1/2 x 1 1/2 in loose tenon, glue], each: 2}"
    found = plan(tmp_path / "b", TABLE, joint)
    assert {(line.diameter, line.slot, line.role) for line in hole_schedule(found)} == {
        (inches("1/4"), inches("1 1/2"), "mortise")
    }
    metric = plan(tmp_path / "c", TABLE, joint, "metric")
    assert metric.joints[0].by[0] == "6 x 40 x 40 mm loose tenon"


def test_bolts_pass_both_parts(tmp_path: Path) -> None:
    found = plan(tmp_path, TABLE, "tops: {through: top, into: rail, by: 1/4 x 4 in bolt, each: 2}")
    assert {(line.role, line.deep) for line in hole_schedule(found)} == {("clearance", None)}
    (one,) = found.fastened
    assert one.into is None
    assert [layer.part for layer in one.passes] == ["top", "rail"]


def test_brackets_sit_inside_and_their_holes_drive_those_in_the_wood(tmp_path: Path) -> None:
    words = "by: angle brackets, each: 2, bracket: {hole: 1 in, by: No. 6 x 1/2 in pan-head wood screw, thick: 1/16 in}"
    parts = TABLE.replace("count: 2, ", "").replace(", spread: front to back", "")
    parts += "\n" + parts.splitlines()[0].replace("rail:", "back rail:").replace(
        "front face: 0 in", "front face: 9 1/4 in"
    )
    found = plan(tmp_path, parts, f"tops: {{butt: top, to: [rail, back rail], {words}}}")
    rails, top = [*of(found, "rail"), *of(found, "back rail")], of(found, "top")
    assert {line.face for line in of(found, "rail")} == {"back face"}
    assert {line.face for line in of(found, "back rail")} == {"front face"}
    # 1 in below the upper edge of a 3 in rail.
    assert {line.role for line in (*rails, *top)} == {"pilot"}
    assert {shown(line.y) for line in rails} == {"2 in"}
    assert {line.deep for line in (*rails, *top)} == {inches("1/2") - inches("1/16")}
    # The rails are 3/4 in thick at the front and the back of a top 10 in deep.
    assert {shown(line.y) for line in top} == {"1 3/4 in", "8 1/4 in"}
    assert found.joints[0].count == 4
    assert sum(len(one.places) for one in found.fastened) == 8


def test_bolts_go_into_inserts_in_place_of_nuts(tmp_path: Path) -> None:
    words = "by: 1/4 x 1 1/2 in bolt, insert: {of: threaded brass, long: 1/2 in, drill: 3/8 in}, each: 2"
    found = plan(tmp_path, TABLE, f"tops: {{through: top, into: rail, {words}}}")
    # The bolt reaches 3/4 in into the rail, farther than the insert is long; 1/16 in below it stays free.
    assert {(line.role, line.diameter, line.deep) for line in of(found, "rail")} == {
        ("insert", inches("3/8"), inches("13/16"))
    }
    (one,) = found.fastened
    assert one.into is not None
    assert one.bite == inches("3/4")


def test_nothing_square_is_cut_into_a_leaning_leg(tmp_path: Path) -> None:
    parts = (
        "seat: {of: oak, disc: 12 in, top: 18 in above floor}\n"
        "leg: {of: oak, count: 4, shape: square, square: full, length: floor to top of seat, thick: [full at foot, "
        "full at top], around: seat centre, on: 8 in, of face: seat underside, lean: 10 deg outward}\n"
        "post: {like: leg, count: 3}\n"
        "rail: {of: oak, length: 10 in, width: 2 in, underside: 6 in above floor, left face: 1 in, front face: 5 in}"
    )
    joint = "rail joint: {mortise: 1/4 in, deep: 1/2 in, in: leg, for: rail, by: glue}"
    assert "`leg` leans" in read(tmp_path, parts, joint).found("leaning-cut").message
    # A part may be like one that is no plain board.
    words = parts.replace("post: {like: leg, count: 3}", "post: {like: leg, width: 3 in}")
    assert "takes no `width`" in read(tmp_path / "like", words, joint).found("like-no-board").message
    steps = step_text("Make it", "cuts: [seat, leg, shape of leg, post, shape of post, rail]")
    groups = {"stock": STOCK.splitlines()[0], "parts": parts, "joints": ""}
    made = make(tmp_path / "made", groups, steps=steps).plan()
    assert (made.part("post").count, made.part("post").shape) == (3, made.part("leg").shape)


def test_places_as_the_author_gives_them(tmp_path: Path) -> None:
    at = "at: [3 in from left, 4 in from right, 12 in from left end of top]"
    found = plan(tmp_path, TABLE, f"tops: {{through: top, into: rail, by: No. 8 x 1 1/2 in wood screw, {at}}}")
    assert [x for x, _ in places(found, "rail")] == ["3 in", "12 in", "26 in"]


def test_crossing_laps_are_screwed_from_above(tmp_path: Path) -> None:
    parts = (
        "a: {of: oak, length: 20 in, width: 2 in, faces: up, runs: across, on: floor, centred: across, "
        "front face: 4 in}\n"
        "b: {of: oak, length: 20 in, width: 2 in, faces: up, runs: back, on: floor, centred: across, front face: 0 in}"
    )
    found = plan(tmp_path, parts, "lap: {half lap: [a, b], by: [glue, No. 6 x 5/8 in wood screw], each: 1}")
    assert places(found, "a") == [("10 in", "1 in")]
    assert places(found, "b") == [("5 in", "1 in")]
    (one,) = found.fastened
    assert (one.passes[0].part, one.places[0].way, one.bite) == ("a", (0.0, 0.0, -1.0), inches("1/4"))


def test_a_tilted_screw_enters_lower_and_goes_farther_through(tmp_path: Path) -> None:
    joint = "ends: {through: side, into: shelf, by: No. 8 x 2 in wood screw, tilt: 15 deg up, each: 2}"
    found = plan(tmp_path, CASE, joint)
    line = of(found, "side")[0]
    assert line.tilt == pytest.approx(15)
    assert line.sight == pytest.approx(0)
    # 3/4 in of wood, crossed at 15 degrees: 3/4 tan 15 below the middle of the shelf.
    below = float(inches("4 3/8") - line.x)
    assert below == pytest.approx(0.75 * 25.4 * math.tan(math.radians(15)), abs=0.4)
    assert float(found.fastened[0].passes[0].thick) == pytest.approx(0.75 * 25.4 / math.cos(math.radians(15)))


def test_mitred_corners_are_joined_square_to_the_mitre(tmp_path: Path) -> None:
    cuts = (
        "stile mitres: {mitre: 45 deg, at: foot, along: left edge, in: stile}\n"
        "rail mitres: {mitre: 45 deg, at: each end, along: lower edge, in: foot rail}"
    )
    steps = (
        "## Make it\n\n```step\n{cuts: [stile, foot rail, stile mitres, rail mitres], joins: [corners], "
        "time: {each: 5 min}}\n```\n\n- Do it.\n"
    )
    groups = {"stock": STOCK.splitlines()[0], "parts": FRAME, "cuts": cuts}
    groups["joints"] = "corners: {butt: foot rail, to: stile, by: [No. 0 biscuit, glue], each: 1}"
    read = make(tmp_path, groups, steps=steps)
    assert read.slugs() == []
    (one,) = read.plan().fastened
    assert len(one.places) == 2
    for place in one.places:
        assert abs(place.way[0]) == pytest.approx(math.sqrt(0.5))
        assert abs(place.way[2]) == pytest.approx(math.sqrt(0.5))
        # The middle of a mitre across 3 in boards is 1 1/2 in from both outer edges.
        assert place.start[2] == pytest.approx(1.5 * 25.4)


WRONG = [
    ("ends: {butt: shelf, to: side, by: No. 8 x 3/4 in wood screw}", "too-short", "of `side`"),
    ("ends: {butt: shelf, to: side, by: 3/4 x 2 in dowel}", "hole-too-wide", "3/4 in"),
    ("ends: {butt: shelf, to: side, by: No. 9999 x 2 in wood screw}", "unknown-fastener", "No. 9999"),
    ("ends: {butt: shelf, to: side, by: No. 99 x 2 in wood screw}", "unknown-gauge", "No. 99"),
    ("ends: {butt: shelf, to: side, by: No. 8 wood screw}", "no-length", "does not say how long"),
    ("ends: {butt: shelf, to: side, by: [No. 8 x 2 in wood screw, 1/4 x 3 in dowel]}", "which-fastener", "held by"),
    ("ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, every: 1/128 in}", "no-size", "nothing"),
    ("ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, every: 1/32 in}", "too-many-holes", "in a row"),
    ("ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, inset: 6 in}", "no-holes", "10 in apart"),
    ("ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, at: 11 in from front}", "hole-outside", "11 in"),
    ("ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, tilt: steep}", "wrong-word", "slants"),
    ("ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, tilt: 80 deg up}", "wrong-angle", "80 deg up"),
    ("ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, tilt: 10 deg left}", "wrong-angle", "10 deg left"),
    ("ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, head: round}", "wrong-word", "countersunk"),
    ("ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, plug: yes}", "missing-word", "plugs"),
    (
        "ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, counterbore: 3/4 in}",
        "counterbore-takes-all",
        "3/4 in deep",
    ),
    ("ends: {butt: shelf, to: side, by: No. 7 biscuit}", "unknown-fastener", "No. 7"),
    ("ends: {butt: shelf, to: side, by: 3/8 x 2 in loose tenon}", "unknown-fastener", "thickness, width and length"),
    (
        "ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, free: shelf, slot: 1/8 in}",
        "no-size",
        "no longer than its hole",
    ),
    ("ends: {butt: shelf, to: side, by: 3/8 x 2 in dowels, each: 0}", "wrong-number", "0"),
]


@pytest.mark.parametrize(("joint", "slug", "said"), WRONG)
def test_what_cannot_hold_is_told(tmp_path: Path, joint: str, slug: str, said: str) -> None:
    found = read(tmp_path, CASE, joint)
    fault = found.found(slug)
    assert said in fault.message
    assert fault.span is not None
    # One fault, told once in each edition.
    assert {item.slug for item in found.stops()} == {slug}


def test_parts_that_never_meet_are_told_with_their_distance(tmp_path: Path) -> None:
    parts = CASE + "\nfar: {of: oak, length: 8 in, width: 3 in, on: floor, left face: 40 in, front face: 0 in}"
    fault = read(tmp_path, parts, "bond: {through: far, into: left side, by: No. 8 x 2 in wood screw}").found(
        "joint-apart"
    )
    assert "39 1/4 in lie between them" in fault.message or "mm lie between them" in fault.message


def test_copies_that_would_be_bored_unlike_are_told(tmp_path: Path) -> None:
    parts = (
        TABLE
        + "\ncleat: {of: oak, length: wide, width: 2 in, faces: front, centred: across, under: top, front face: 3/4 in}"
    )
    fault = read(tmp_path, parts, "bond: {through: cleat, into: rail, by: No. 8 x 1 1/4 in wood screw, each: 2}")
    assert "copy 2 lacks" in fault.found("copies-unlike").message


def test_a_size_cannot_rest_on_the_number_of_its_own_screws(tmp_path: Path) -> None:
    parts = CASE.replace("width: deep, underside", "width: ends.count * 1 in, underside")
    fault = read(tmp_path, parts, "ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw}").found("cycle")
    assert "rest on their number" in fault.message


def test_plugs_are_on_the_buying_list_by_their_wood(tmp_path: Path) -> None:
    from planbook.cutting.buying_fittings import fastener_lines

    joint = "tops: {through: top, into: rail, by: No. 10 x 2 in wood screw, counterbore: 3/8 in, plug: yes, each: 2}"
    lines = list(fastener_lines(plan(tmp_path, TABLE, joint), {}, 1))
    assert [(line.what, line.need) for line in lines] == [
        ("No. 10 x 2 in wood screw", "4"),
        ("1/2 in plug, white oak", "4"),
    ]


@pytest.mark.parametrize(("by", "bit"), [("No. 8 x 2 in wood screw", "³⁄₃₂"), ("1/2 x 2 in dowel", "¹⁄₂")])
def test_the_bit_for_a_joint_is_that_of_its_pilot_or_dowel(tmp_path: Path, by: str, bit: str) -> None:
    joint = f"ends: {{butt: shelf, to: side, by: {by}, each: 2}}"
    steps = step_text("Make it", "cuts: [side, shelf], joins: [ends], with: [bit for ends]", "- Drive {ends.count}.")
    groups = {"stock": STOCK.splitlines()[0], "parts": CASE, "joints": joint}
    found = make(tmp_path, groups, steps=steps)
    assert found.slugs() == []
    (step,) = found.plan().steps
    assert [tool.text for tool in step.tools] == [f'{bit}" bit']
    assert "".join(run.text for run in step.actions[0]) == "Drive 4."
