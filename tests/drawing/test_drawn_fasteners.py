"""Holes in edges and ends, slots and counterbores in drawings; screws of a step in their places."""

from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import make, step_text

from planbook.drawing.features import rows_of
from planbook.drawing.hole_table import hole_lines
from planbook.drawing.part import part_picture
from planbook.drawing.picture import LabelKind
from planbook.drawing.step import step_picture
from planbook.drawing.style import LineKind
from planbook.plan.model import Plan

PARTS = (
    "side: {of: oak, pair: left right, length: high, width: deep, on: floor}\n"
    "shelf: {of: oak, between: side, width: deep, underside: 4 in above floor}"
)
STOCK = "oak: {lumber: white oak, nominal: 4/4, to: {imperial: 3/4 in, metric: 20 mm}}"
SCREWS = "ends: {butt: shelf, to: side, by: [glue, No. 8 x 2 in wood screw], each: 3, counterbore: 1/4 in, plug: yes}"
TENONS = "ends: {butt: shelf, to: side, by: [glue, 1/4 x 1 1/2 x 1 1/2 in loose tenon], each: 2}"


def stand(tmp_path: Path, joint: str) -> Plan:
    steps = step_text("Saw", "cuts: [side, shelf]") + step_text("Join", "joins: [ends]")
    read = make(tmp_path, {"stock": STOCK, "parts": PARTS, "joints": joint}, steps=steps)
    assert read.slugs() == []
    return read.plan()


def test_the_table_names_the_end_that_is_bored_and_what_the_holes_are_for(tmp_path: Path) -> None:
    plan = stand(tmp_path, SCREWS)
    lines = hole_lines(plan, plan.part("shelf"))
    # 2 in of screw, sunk 1/4 in, less the 3/4 in of the side.
    assert [(line.numbers, line.diameter, line.deep, line.for_what) for line in lines] == [
        ("1 – 3", '³⁄₃₂"', '1¹⁄₂", left end', "A, pilot"),
        ("4 – 6", '³⁄₃₂"', '1¹⁄₂", right end', "A, pilot"),
    ]
    side = hole_lines(plan, plan.part("side"))
    assert side[0].diameter == '¹¹⁄₆₄", ³⁄₈" first ¹⁄₄" deep'
    assert side[0].for_what == "B"


def test_holes_in_ends_are_dashed_below_the_face_and_listed(tmp_path: Path) -> None:
    plan = stand(tmp_path, SCREWS)
    assert rows_of(plan.part("shelf")) == ()
    picture = part_picture(plan, "shelf")
    # Two sides and the bottom of each of the six.
    assert sum(stroke.kind is LineKind.HIDDEN for stroke in picture.strokes) == 18
    texts = [label.text for label in picture.labels]
    assert "in edges Y from the upper face; in ends also X from the front edge" in texts
    assert {"1", "3", "4", "6"} <= {label.text for label in picture.labels if label.kind is LabelKind.MARK}
    assert "1 1/2 in deep, in the left end, 3/8 in from the upper face" in picture.alt


def test_slots_are_listed_with_their_length(tmp_path: Path) -> None:
    plan = stand(tmp_path, TENONS)
    assert {line.diameter for line in hole_lines(plan, plan.part("side"))} == {'¹⁄₄" × 1¹⁄₂"'}
    assert part_picture(plan, "side").labels


@pytest.mark.parametrize(("joint", "drawn"), [(SCREWS, 3), (TENONS, 0)])
def test_screws_of_a_step_are_drawn_in_their_holes_on_the_side_that_is_seen(
    tmp_path: Path, joint: str, drawn: int
) -> None:
    plan = stand(tmp_path, joint)
    picture = step_picture(plan, 2)
    assert picture is not None
    # Three of the six enter the right side, which is turned to the viewer.
    assert sum(stroke.kind is LineKind.CENTRE for stroke in picture.strokes) == drawn


def test_a_few_holes_say_on_the_face_what_they_are_bored_with(tmp_path: Path) -> None:
    cleat = "{of: oak, length: 12 in, width: 2 in, faces: front, centred: across, under: shelf, "
    parts = f"{PARTS}\ncleat: {cleat}set back: 1 in}}\nplate: {cleat}front face: 1/4 in}}"
    joint = f"{TENONS}\ncleat screws: {{through: cleat, into: shelf, by: No. 8 x 2 1/2 in wood screw, each: 2}}"
    back = "\nback joint: {through: plate, into: cleat, by: No. 6 x 1 1/4 in wood screw, each: 2}"
    steps = step_text("Saw", "cuts: [side, shelf, cleat, plate]") + step_text(
        "Join", "joins: [ends, cleat screws, back joint]"
    )
    read = make(tmp_path, {"stock": STOCK, "parts": parts, "joints": joint + back}, steps=steps)
    assert read.slugs() == []
    texts = [label.text for label in part_picture(read.plan(), "plate").labels]
    assert '2 \u00d7 ⁹⁄₆₄" through, countersunk' in texts


def test_a_compound_mitre_tells_gauge_and_blade(tmp_path: Path) -> None:
    cuts = "ends: {mitre: 9.85 deg, tilt: 44.15 deg, at: each end, along: back edge, in: rail}"
    parts = "rail: {of: oak, length: 20 in, width: 4 in, on: floor, left face: 0 in}"
    steps = step_text("Saw", "cuts: [rail, ends], sets: [rail]")
    read = make(tmp_path, {"dims": "", "stock": STOCK, "parts": parts, "joints": "", "cuts": cuts}, steps=steps)
    texts = [label.text for label in part_picture(read.plan(), "rail").labels]
    assert texts.count("mitre 9.85°, blade 44.15°") == 2
