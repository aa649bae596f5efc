"""Holes for fasteners as solids: as much wood as they take, and both on the axis of the fastener."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from fixtures.small_books import make, step_text
from manifold3d import Manifold, Mesh64

from planbook.plan.model import Plan
from planbook.shape.bores import FACETS
from planbook.shape.solids import Body, Solids
from planbook.shape.states import finished, finished_version, state_after

STOCK = "oak: {lumber: white oak, nominal: 4/4, to: {imperial: 3/4 in, metric: 20 mm}}"
PARTS = (
    "side: {of: oak, pair: left right, length: high, width: deep, on: floor}\n"
    "shelf: {of: oak, between: side, width: deep, underside: 4 in above floor}"
)
INCH = 25.4
ROUND = FACETS / 2 * math.sin(2 * math.pi / FACETS)
"""Area of the drawn circle over the square of its radius."""


def plan_of(tmp_path: Path, joint: str, parts: str = PARTS) -> Plan:
    read = make(tmp_path, {"stock": STOCK, "parts": parts, "joints": joint})
    assert read.slugs() == []
    return read.plan()


def volume(plan: Plan, part: str) -> float:
    return Solids(plan).volume(finished_version(plan, part)) / INCH**3


def test_pilots_in_the_ends_take_their_volume(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, "ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, each: 3}")
    whole = 28.5 * 10 * 0.75
    assert whole - volume(plan, "shelf") == pytest.approx(6 * ROUND * (3 / 64) ** 2 * 1.25, rel=1e-6)


def test_clearance_and_countersink_take_their_volume(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, "ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, each: 3}")
    shank, head = 11 / 128, 0.332 / 2
    high = (head - shank) / math.tan(math.radians(41))
    cone = high / 3 * ROUND * (head**2 + head * shank + shank**2)
    expected = 3 * (ROUND * shank**2 * (0.75 - high) + cone)
    assert 40 * 10 * 0.75 - volume(plan, "side") == pytest.approx(expected, rel=1e-6)


def test_counterbores_take_their_volume(tmp_path: Path) -> None:
    joint = "ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, each: 2, counterbore: 1/4 in, plug: yes}"
    plan = plan_of(tmp_path, joint)
    expected = 2 * ROUND * ((11 / 128) ** 2 * 0.5 + (3 / 16) ** 2 * 0.25)
    assert 40 * 10 * 0.75 - volume(plan, "side") == pytest.approx(expected, rel=1e-6)


def test_mortises_of_loose_tenons_take_their_volume(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, "ends: {butt: shelf, to: side, by: 1/4 x 1 1/2 x 2 in loose tenon, each: 2}")
    area = ROUND * (1 / 8) ** 2 + 1.25 * 0.25 * math.cos(math.pi / FACETS)
    # 1/4 in of the side is left; the rest of the tenon is in the shelf.
    assert 40 * 10 * 0.75 - volume(plan, "side") == pytest.approx(2 * area * 0.5, rel=0.01)
    assert 28.5 * 10 * 0.75 - volume(plan, "shelf") == pytest.approx(4 * area * (2 - 0.4375 + 0.0625), rel=0.01)


def solid(body: Body) -> Manifold:
    points = np.ascontiguousarray(body.mesh.points)
    return Manifold(
        Mesh64(vert_properties=points, tri_verts=np.ascontiguousarray(body.mesh.triangles, dtype=np.uint64))
    )


def rod(start: tuple[float, ...], way: tuple[float, ...], length: float, diameter: float) -> Manifold:
    ahead = np.array(way)
    level = np.cross(ahead, [0.0, 0.0, 1.0] if abs(ahead[2]) < 0.9 else [1.0, 0.0, 0.0])
    level /= np.linalg.norm(level)
    turn = np.column_stack([level, np.cross(ahead, level), ahead, np.array(start)])
    return Manifold.cylinder(length, diameter / 2, diameter / 2, 32).transform(turn)


CASES = [
    "ends: {butt: shelf, to: side, by: No. 8 x 2 in wood screw, each: 3}",
    "ends: {through: side, into: shelf, by: No. 8 x 2 in wood screw, each: 2, tilt: 15 deg up}",
    "ends: {through: side, into: shelf, by: No. 8 x 2 in wood screw, each: 2, tilt: 20 deg back}",
    "ends: {through: left side, into: shelf, by: No. 8 x 2 in wood screw, each: 2}",
    "ends: {dado: 1/4 in deep, in: side, for: shelf, by: [glue, No. 8 x 1 1/2 in wood screw], each: 2}",
]


@pytest.mark.parametrize("joint", CASES)
def test_both_holes_lie_on_the_axis_of_the_screw(tmp_path: Path, joint: str) -> None:
    plan = plan_of(tmp_path, joint)
    bodies = Solids(plan).bodies(finished(plan))
    left = Solids(plan).bodies(finished(plan), holes=False)
    for fastened in plan.fastened:
        # Half a resolution of rounding either way is what a wire in the pilot may miss.
        for place in fastened.places:
            wire = rod(place.start, place.way, float(fastened.passes[0].thick + fastened.bite) - 1.0, 0.4)
            wood = sum(float((solid(body) ^ wire).volume()) for body in bodies)
            before = sum(float((solid(body) ^ wire).volume()) for body in left)
            assert before > 0.9 * float(wire.volume())
            assert wood < 0.02 * before


SPLAYED = (
    "seat: {of: thick oak, disc: 16 in, top: 18 in above floor}\n"
    "leg: {of: thick oak, count: 4, shape: square, square: full, length: floor to underside of seat, thick: "
    "[full at foot, full at top], around: seat centre, on: 10 in, of face: seat underside, first: 45 deg from grain, "
    "splay: 10 deg}\n"
    "apron: {of: oak, length: 6 31/32 in, width: 3 in, faces: front, runs: across, underside: 12 1/2 in above floor, "
    "left face: 4 33/64 in, front face: 4 3/32 in}\n"
    "back apron: {like: apron, front face: 11 5/32 in}"
)


@pytest.mark.parametrize(
    "by", ["by: 3/8 x 1 1/2 in dowel, each: 2", "by: No. 8 x 3 in wood screw, each: 2, through: leg"]
)
def test_holes_in_splayed_legs_and_mitred_aprons_lie_on_one_axis(tmp_path: Path, by: str) -> None:
    groups = {
        "stock": f"{STOCK}\nthick oak: {{lumber: white oak, nominal: 8/4, to: 1 1/2 in}}",
        "dims": "",
        "parts": SPLAYED,
        "cuts": "ends: {mitre: 10 deg, at: each end, along: lower edge, in: [apron, back apron]}",
        "joints": f"corners: {{butt: [apron, back apron], to: leg, {by}}}",
    }
    steps = step_text("Make it", "cuts: [seat, leg, shape of leg, apron, back apron, ends], joins: [corners]")
    plan = make(tmp_path, groups, steps=steps).plan()
    assert [len(one.places) for one in plan.fastened] == [4, 4]
    for one in plan.fastened:
        for place in one.places:
            assert place.way[2] == pytest.approx(-math.sin(math.radians(10)))
    bodies = Solids(plan).bodies(finished(plan))
    for one in plan.fastened:
        deep = float(one.bite) + (float(one.passes[0].thick) if not one.back else 0.0)
        for place in one.places:
            wire = rod(place.start, place.way, deep - 1.0, 0.4)
            wood = sum(float((solid(body) ^ wire).volume()) for body in bodies)
            assert wood < 0.02 * float(wire.volume())


def test_bores_of_one_hand_are_in_that_hand_alone(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, CASES[3])
    whole = 40 * 10 * 0.75 * INCH**3
    taken = {
        body.placement.hand: whole - float(solid(body).volume())
        for body in Solids(plan).bodies(finished(plan))
        if body.part == "side"
    }
    assert taken["R"] == pytest.approx(0.0, abs=1e-3)
    assert taken["L"] > 100.0


def test_a_cut_for_one_hand_alone_is_not_on_the_other(tmp_path: Path) -> None:
    parts = PARTS + "\nstub: {of: oak, length: 6 in, width: 3 in, underside: 20 in above floor, left face: 1/2 in}"
    joint = "ends: {butt: shelf, to: side, by: glue}\nstub dado: {dado: 1/4 in deep, in: left side, for: stub}"
    plan = plan_of(tmp_path, joint, parts)
    taken = {
        body.placement.hand: 300.0 - float(solid(body).volume()) / INCH**3
        for body in Solids(plan).bodies(finished(plan))
        if body.part == "side"
    }
    assert taken["L"] == pytest.approx(3 * 0.75 * 0.25)
    assert taken["R"] == pytest.approx(0.0, abs=1e-9)
    assert state_after(plan, 1) == finished(plan)
