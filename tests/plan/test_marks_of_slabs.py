"""What a sentence may say of a mark on a slab."""

from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import make, shown, step_text

SLAB = (
    "oak:\n  slab: {wood: white oak, thick: 2 in}\n  survey: |\n    0 in   5 in   5 in\n    30 in   6 in   5 in\n"
    "  marks:\n    pocket: {is: bark pocket, from: 8 in, to: 14 in, wide: 1 in, behind line: 1 in, deep: DEEP}\n"
)
SEAT = "seat: {of: oak, start: 2 in from left end, length: 24 in, natural edge: [front, back], on: floor}"
STEPS = step_text("Saw it", "cuts: [seat]", "- Pare {pocket.length} long, {pocket.wide} wide, {pocket.deep} deep.")


@pytest.mark.parametrize(("deep", "told"), [("3/4 in", '³⁄₄"'), ("through", '2"')])
def test_length_width_and_depth(tmp_path: Path, deep: str, told: str) -> None:
    read = make(tmp_path, {"stock": SLAB.replace("DEEP", deep), "parts": SEAT, "joints": ""}, steps=STEPS)
    words = "".join(run.text for run in read.plan().steps[0].actions[0])
    assert words == f'Pare 6" long, 1" wide, {told} deep.'


def test_a_dim_says_how_much_is_taken_off_an_edge_and_a_bought_part_how_high_it_is(tmp_path: Path) -> None:
    parts = (
        SEAT.replace("on: floor", "on: leg frame, ease: softness") + "\n"
        "leg frame: {bought: bench frame, count: 2, high: 16 in, bar: 8 in x 2 in x 1/4 in, "
        "at: 2 in from each end of seat}"
    )
    groups = {
        "dims": "softness: {imperial: 1/8 in, metric: 3 mm}\nhigh: leg frame.high + oak.thick",
        "stock": SLAB.replace("DEEP", "through"),
        "parts": parts,
        "joints": "",
    }
    steps = step_text("Saw it", "cuts: [seat, ease of seat], sets: [leg frame]", "- Round it by {softness}.")
    read = make(tmp_path, groups, steps=steps)
    assert [item.slug for item in read.stops()] == []
    assert [shown(ease.size) for ease in read.plan().part("seat").eased] == ["1/8 in", "1/8 in"]
    assert shown(read.plan().overall[2]) == "18 in"


@pytest.mark.parametrize("deep", ["5 in", "0 in"])
def test_a_mark_is_no_deeper_than_its_slab(tmp_path: Path, deep: str) -> None:
    groups = {"stock": SLAB.replace("DEEP", deep), "parts": SEAT, "joints": ""}
    stops = make(tmp_path, groups, steps=STEPS).stops()
    assert {stop.slug for stop in stops} == {"off-the-slab"}
    assert f"the mark `pocket` is {deep} deep, its slab 2 in thick" in [stop.message for stop in stops]


@pytest.mark.parametrize(
    ("holes", "slug"),
    [
        ("middle: round 5/16 in, ends: slot 5/16 in x 3/4 in, inset: 1 in", ""),
        ("middle: round 2 in", "hole-too-wide"),
        ("middle: round 5/16 in, ends: slot 5/16 in x 3/4 in, inset: 1/4 in", "hole-outside"),
        ("middle: round 5/16 in, ends: round 5/16 in, inset: 9 in", "hole-outside"),
    ],
)
def test_the_holes_of_a_bought_frame_lie_within_its_bar(tmp_path: Path, holes: str, slug: str) -> None:
    frame = (
        "leg frame: {bought: bench frame, count: 2, high: 16 in, bar: 8 in x 2 in x 1/4 in, "
        f"holes: {{{holes}}}, at: 2 in from each end of seat}}"
    )
    parts = SEAT.replace("on: floor", "on: leg frame") + "\n" + frame
    groups = {"stock": SLAB.replace("DEEP", "through"), "parts": parts, "joints": ""}
    read = make(tmp_path, groups, steps=step_text("Saw it", "cuts: [seat], sets: [leg frame]", "- Saw."))
    assert {item.slug for item in read.stops()} == ({slug} if slug else set())
