from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import CASE, Read, make, shown

STOCK = CASE["stock"] + "\nmaple: {lumber: hard maple, nominal: 4/4, to: 3/4 in}"
LID = "\nlid: {of: ply, length: 20 in, width: 8 in, on: side, centred: across, WEARS}"


def lid(tmp_path: Path, wears: str, edging: str = "lip: {of: maple, thick: 1/4 in}") -> Read:
    groups = {"stock": STOCK, "edgings": edging, "parts": CASE["parts"] + LID.replace("WEARS", wears)}
    return make(tmp_path, groups)


@pytest.mark.parametrize(
    ("word", "side", "body", "strip"),
    [
        ("front", "datum_edge", ("20 in", "7 3/4 in"), "20 in"),
        ("back", "far_edge", ("20 in", "7 3/4 in"), "20 in"),
        ("left end", "datum_end", ("19 3/4 in", "8 in"), "8 in"),
        ("right end", "far_end", ("19 3/4 in", "8 in"), "8 in"),
    ],
)
def test_an_edging_lies_inside_the_finished_size(
    tmp_path: Path, word: str, side: str, body: tuple[str, str], strip: str
) -> None:
    plan = lid(tmp_path, f"{word}: lip").plan()
    part, piece = plan.part("lid"), plan.part("lip of lid")
    assert (shown(part.length.final), shown(part.width.final)) == ("20 in", "8 in")
    assert (shown(part.body_length), shown(part.body_width)) == body
    assert [edging.edge for edging in part.edgings] == [side]
    assert (piece.role, piece.for_part, piece.count, shown(piece.length.final)) == ("edging", "lid", 1, strip)
    assert (shown(piece.width.final), shown(piece.thick)) == ("3/4 in", "1/4 in")


@pytest.mark.parametrize(("word", "side"), [("lower edge", "datum_edge"), ("upper edge", "far_edge")])
def test_a_standing_board_wears_it_below_and_above(tmp_path: Path, word: str, side: str) -> None:
    part = lid(tmp_path, f"faces: front, {word}: lip").plan().part("lid")
    assert [edging.edge for edging in part.edgings] == [side]


def test_one_edging_on_all_four_sides_makes_four_strips_that_do_not_overlap(tmp_path: Path) -> None:
    plan = lid(tmp_path, "front: lip, back: lip, left end: lip, right end: lip").plan()
    part = plan.part("lid")
    strips = [piece for piece in plan.parts if piece.role == "edging"]
    assert [piece.key for piece in strips] == [
        "front lip of lid",
        "back lip of lid",
        "left end lip of lid",
        "right end lip of lid",
    ]
    assert len({piece.letter for piece in plan.parts}) == len(plan.parts)
    assert [shown(piece.length.final) for piece in strips] == ["20 in", "20 in", "7 1/2 in", "7 1/2 in"]
    assert (shown(part.body_length), shown(part.body_width)) == ("19 1/2 in", "7 1/2 in")
    area = sum((e.box.l[1] - e.box.l[0]) * (e.box.w[1] - e.box.w[0]) for e in part.edgings)
    assert area + part.body_length * part.body_width == part.length.final * part.width.final


def test_full_takes_the_thickness_of_its_stock_and_tall_its_own_size(tmp_path: Path) -> None:
    plan = lid(tmp_path, "front: rail", "rail: {of: maple, thick: full, tall: 1 1/4 in}").plan()
    piece = plan.part("rail of lid")
    assert (shown(piece.thick), shown(piece.width.final)) == ("3/4 in", "1 1/4 in")
    assert shown(plan.part("lid").body_width) == "7 1/4 in"
    (edging,) = plan.part("lid").edgings
    # Level with the upper face, hanging below the underside.
    assert (shown(edging.box.t[0]), shown(edging.box.t[1])) == ("-1/2 in", "3/4 in")


@pytest.mark.parametrize(
    ("over", "rough"), [("", "13/16 in"), (", over: 1/8 in", "7/8 in"), (", over: 0 in", "3/4 in")]
)
def test_what_stands_over_is_trimmed_later(tmp_path: Path, over: str, rough: str) -> None:
    plan = lid(tmp_path, "front: lip", f"lip: {{of: maple, thick: 1/4 in{over}}}").plan()
    piece = plan.part("lip of lid")
    assert (shown(piece.width.rough), piece.width.life, piece.width.until) == (rough, "long", 1)


def test_a_pair_wears_one_on_each_hand(tmp_path: Path) -> None:
    groups = {
        "stock": STOCK,
        "edgings": "lip: {of: maple, thick: 1/4 in}",
        "parts": CASE["parts"].replace("width: deep, on", "width: deep, front: lip, on"),
    }
    plan = make(tmp_path, groups).plan()
    assert plan.part("lip of side").count == 2
    assert shown(plan.part("side").body_width) == "9 3/4 in"


@pytest.mark.parametrize(
    ("wears", "edging", "slug", "marked"),
    [
        ("front: lap", "lip: {of: maple, thick: 1/4 in}", "unknown-edging", "lap"),
        ("upper edge: lip", "lip: {of: maple, thick: 1/4 in}", "which-edge", "lip"),
        ("front: lip", "lip: {of: maple, thick: 0 in}", "no-size", "0 in"),
        ("front: lip", "lip: {of: maple, thick: 9 in}", "no-size", "lid"),
        ("front: lip", "lip: {of: mapel, thick: 1/4 in}", "unknown-stock", "mapel"),
        ("front: lip", "lip: {of: maple, thick: 1/4 in, over: -1/8 in}", "no-size", "-1/8 in"),
    ],
)
def test_edgings_that_cannot_be_glued_on(tmp_path: Path, wears: str, edging: str, slug: str, marked: str) -> None:
    found = lid(tmp_path, wears, edging)
    assert not any(found.plans.values())
    assert found.at(found.found(slug)) == marked


def test_an_edging_that_nobody_wears_is_told(tmp_path: Path) -> None:
    groups = {"stock": STOCK, "edgings": "lip: {of: maple, thick: 1/4 in}"}
    assert "no part wears" in make(tmp_path, groups).found("unused-name").message
