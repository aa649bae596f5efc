from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from fixtures.small_books import Read, make, shown, standing, step_text

from planbook.plan.model import CutKind
from planbook.plan.volumes import volume
from planbook.shape import states
from planbook.shape.paths import ways_out
from planbook.shape.solids import Solids, overlaps

STOCK = "ash: {lumber: white ash, nominal: 8/4, to: 1 1/2 in}\nthin: {lumber: white ash, nominal: 4/4, to: 3/4 in}"
LEG = "leg: {of: ash, pair: left right, length: high, width: 1 1/2 in, runs: up, on: floor}\n"
RAIL = (
    "rail: {of: thin, between: leg, width: 3 in, faces: front, front face: 3/8 in behind front, "
    "upper face: 1 in below top of left leg}"
)
JOINT = "frame: {mortise: 1/4 in, deep: 1 in, shoulder: 1/2 in, room: 1/16 in, in: leg, for: rail, by: glue}"


def frame(tmp_path: Path, joint: str = JOINT, parts: str = LEG + RAIL) -> Read:
    groups = {"dims": "wide: 20 in\nhigh: 16 in", "stock": STOCK, "parts": parts, "joints": joint}
    return make(tmp_path, groups, steps=step_text("Make it", "cuts: [leg, rail, frame], joins: [frame]"))


def test_the_rail_grows_by_both_tenons(tmp_path: Path) -> None:
    read = frame(tmp_path)
    assert read.slugs() == []
    # 20 - 2 x 1 1/2 + 2 x 1 - 2 x 1/16
    assert shown(read.plan().part("rail").length.final) == "18 7/8 in"
    assert shown(read.plan("metric").part("rail").length.final, "metric") == "480 mm"  # 510 - 2 x 38 + 2 x 25 - 2 x 2


def test_one_mortise_for_both_hands(tmp_path: Path) -> None:
    (mortise,) = frame(tmp_path).plan().part("leg").cuts
    assert (mortise.kind, mortise.face, mortise.hand, mortise.for_part) == (CutKind.MORTISE, "inside", "", "rail")
    # Rail from 12 to 15 above the floor, 1/2 shoulder at both edges; 1/4 in the middle of 3/8 + 3/4 / 2.
    assert [shown(side) for side in mortise.box.l] == ["12 1/2 in", "14 1/2 in"]
    assert [shown(side) for side in mortise.box.w] == ["5/8 in", "7/8 in"]
    assert [shown(side) for side in mortise.box.t] == ["1/2 in", "1 1/2 in"]


def test_four_cuts_leave_a_tenon_at_each_end(tmp_path: Path) -> None:
    plan = frame(tmp_path).plan()
    cuts = plan.part("rail").cuts
    assert {cut.kind for cut in cuts} == {CutKind.TENON}
    assert len(cuts) == 8
    ends = {tuple(shown(side) for side in cut.box.l) for cut in cuts}
    assert ends == {("0 in", "15/16 in"), ("17 15/16 in", "18 7/8 in")}


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_tenons_lie_in_their_mortises(tmp_path: Path, edition: str) -> None:
    plan = frame(tmp_path).plan(edition)
    assert overlaps(plan) == ()
    solids = Solids(plan)
    finished = states.finished(plan)
    rail = solids.bodies([item for item in finished if item.placement.part == "rail"])
    left = solids.bodies([item for item in finished if item.placement.hand == "L"])
    # A tenon leaves its mortise along the rail only.
    assert ways_out(rail, left) == ("+x",)


def test_volume_of_a_tenon(tmp_path: Path) -> None:
    plan = frame(tmp_path).plan()
    # Body 18 7/8 - 2 x 15/16 = 17, two tenons 15/16 x 2 x 1/4
    wanted = Fraction(17) * 3 * Fraction(3, 4) + 2 * Fraction(15, 16) * 2 * Fraction(1, 4)
    found = Solids(plan).volume(states.finished_version(plan, "rail")) / 25.4**3
    assert found == pytest.approx(float(wanted), rel=1e-9)


LAP = (
    "rail: {of: thin, length: 20 in, width: 3 in, faces: up, on: floor, left face: 0 in, front face: 5 in}\n"
    "leg: {of: thin, length: 16 in, width: 2 in, runs: back, on: floor, left face: 8 in}"
)


def lap(tmp_path: Path, joint: str = "frame: {half lap: [rail, leg], by: glue}", parts: str = LAP) -> Read:
    groups = {"dims": "wide: 20 in\ndeep: 16 in", "stock": STOCK.splitlines()[1], "parts": parts, "joints": joint}
    return make(tmp_path, groups, steps=step_text("Make it", "cuts: [leg, rail, frame], joins: [frame]"))


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_a_half_lap_takes_half_of_each(tmp_path: Path, edition: str) -> None:
    read = lap(tmp_path)
    assert read.slugs() == []
    plan = read.plan(edition)
    assert overlaps(plan) == ()
    assert standing(plan, "rail")[2] == standing(plan, "leg")[2]
    (upper,), (lower,) = plan.part("rail").cuts, plan.part("leg").cuts
    assert (upper.kind, lower.kind) == (CutKind.HALF_LAP, CutKind.HALF_LAP)
    assert (upper.face, lower.face) == ("underside", "upper face")
    # What both lose is together the space in which they cross.
    thick = plan.part("rail").thick
    assert upper.deep + lower.deep == thick
    lost = sum((box.l[1] - box.l[0]) * (box.w[1] - box.w[0]) * (box.t[1] - box.t[0]) for box in (upper.box, lower.box))
    assert lost == plan.part("rail").width.final * plan.part("leg").width.final * thick
    whole = plan.part("rail").length.final * plan.part("rail").width.final * thick
    assert volume(plan.part("rail")) < whole


@pytest.mark.parametrize(
    ("joint", "slug"),
    [
        ("frame: {mortise: 1 in, deep: 1 in, in: leg, for: rail, by: glue}", "cut-through"),
        ("frame: {mortise: 1/4 in, deep: 2 in, in: leg, for: rail, by: glue}", "cut-through"),
        ("frame: {mortise: 1/4 in, deep: 1 in, shoulder: 2 in, in: leg, for: rail, by: glue}", "cut-through"),
        ("frame: {mortise: 1/4 in, deep: 1 in, in: leg, for: leg, by: glue}", "joint-apart"),
        ("frame: {mortise: 1/4 in, in: leg, for: rail, by: glue}", "missing-word"),
        ("frame: {mortise: 0 in, deep: 1 in, in: leg, for: rail, by: glue}", "no-size"),
    ],
)
def test_wrong_mortises(tmp_path: Path, joint: str, slug: str) -> None:
    assert slug in {item.slug for item in frame(tmp_path, joint).stops()}


@pytest.mark.parametrize(
    ("joint", "parts", "slug"),
    [
        ("frame: {half lap: [rail], by: glue}", LAP, "which-joint"),
        ("frame: {half lap: [rail, leg], by: glue}", LAP.replace("left face: 8 in", "left face: 21 in"), "joint-apart"),
        ("frame: {half lap: [rail, rail], by: glue}", LAP, "joint-apart"),
    ],
)
def test_wrong_half_laps(tmp_path: Path, joint: str, parts: str, slug: str) -> None:
    assert slug in {item.slug for item in lap(tmp_path, joint, parts).stops()}
