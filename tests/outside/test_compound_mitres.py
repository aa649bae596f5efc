"""Compound mitres against the published settings of a saw, and solids against other ways to reckon them.

Settings: M = atan(sin t tan(180/N)) at the gauge, B = asin(cos t sin(180/N)) at the blade, by geometry; the pairs
31.62/33.86 (38 degrees) and 35.26/30.00 (45 degrees) are those printed in manuals of mitre saws for crown moulding.
"""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
import pytest
from fixtures.small_books import make, step_text

from planbook.plan.model import Plan
from planbook.shape.mesh import volume_and_centre
from planbook.shape.solids import Solids
from planbook.shape.states import finished, finished_version

STOCK = "ash: {lumber: white ash, nominal: 4/4, to: 3/4 in}"
RAIL = "rail: {of: ash, length: 20 in, width: 4 in, on: floor, left face: 0 in}"
INCH = 25.4


def board(folder: Path, cuts: str) -> Plan:
    names = ", ".join(re.findall(r"^([^\s:#][^:]*):", cuts, re.MULTILINE))
    groups = {"dims": "", "stock": STOCK, "parts": RAIL, "joints": "", "cuts": cuts}
    read = make(folder, groups, steps=step_text("Make it", f"cuts: [rail, {names}], sets: [rail]"))
    assert read.slugs() == []
    return read.plan()


# Slope of the sides, number of sides, gauge, blade: the table of compound mitres, to 0.01 degree.
PUBLISHED = [
    (5, 4, 4.98, 44.78), (10, 4, 9.85, 44.14), (15, 4, 14.51, 43.08), (20, 4, 18.88, 41.64), (45, 4, 35.26, 30.00),
    (10, 6, 5.73, 29.50), (15, 5, 10.65, 34.59), (30, 8, 11.70, 19.35), (52, 4, 38.24, 25.80),
]  # fmt: skip


@pytest.mark.parametrize(("slope", "sides", "gauge", "blade"), PUBLISHED)
def test_boards_cut_at_the_published_settings_close_to_a_ring(
    tmp_path: Path, slope: float, sides: int, gauge: float, blade: float
) -> None:
    plan = board(tmp_path, f"ends: {{mitre: {gauge} deg, tilt: {blade} deg, at: each end, along: back edge, in: rail}}")
    first, second = (np.array(trim.outward) for trim in plan.part("rail").trims)
    # A box that opens upward: the long edge is the upper one, the show face outside and so turned a little down.
    # All joints must then stand plumb, each half of the corner away from a square end.
    lean = math.radians(slope)
    up = np.array([0.0, math.cos(lean), -math.sin(lean)])
    for outward, sign in ((first, -1.0), (second, 1.0)):
        assert outward @ up == pytest.approx(0.0, abs=3e-4)
        assert outward[0] * sign == pytest.approx(math.cos(math.pi / sides), abs=3e-4)


def test_the_printed_pair_for_crown_moulding(tmp_path: Path) -> None:
    # The spring angle is between the moulding's back and the wall: 38 degrees lean 52 from the ceiling.
    assert math.degrees(math.atan(math.sin(math.radians(38)))) == pytest.approx(31.62, abs=0.005)
    plan = board(tmp_path, "end: {mitre: 31.62 deg, tilt: 33.86 deg, at: right end, along: back edge, in: rail}")
    (trim,) = plan.part("rail").trims
    assert trim.outward[0] == pytest.approx(math.sqrt(0.5), abs=1e-4)


def sampled(plan: Plan, count: int = 160) -> tuple[float, np.ndarray]:
    """Volume and middle of the rail by counting points of a grid that its cuts leave, in inches."""
    part = plan.part("rail")
    size = np.array([float(part.length.final), float(part.width.final), float(part.thick)])
    steps = [np.arange(n) + 0.5 for n in (4 * count, count, count // 4)]
    points = np.stack(np.meshgrid(*steps, indexing="ij"), axis=-1).reshape(-1, 3)
    points = points / [len(step) for step in steps] * size
    left = np.ones(len(points), dtype=bool)
    for trim in part.trims:
        left &= (points - np.array(trim.point)) @ np.array(trim.outward) < 0
    for cut in part.cuts:
        spans = np.array([[float(end) for end in span] for span in (cut.box.l, cut.box.w, cut.box.t)])
        left &= ~np.all((points > spans[:, 0]) & (points < spans[:, 1]), axis=1)
    return float(left.mean() * size.prod()) / INCH**3, points[left].mean(axis=0) / INCH


@pytest.mark.parametrize(
    "cuts",
    [
        "end: {mitre: 31.62 deg, tilt: 33.86 deg, at: right end, along: back edge, in: rail}",
        "ends: {mitre: 20 deg, tilt: 15 deg, at: each end, along: front edge, on: underside, in: rail}",
        "taper: {taper: 2 in, at: left end, from: 12 in from left end, on: back edge, in: rail}\n"
        "corner: {notch: 3 in, wide: 1 in, at: right end, along: front edge, in: rail}",
    ],
)
def test_volume_and_middle_agree_with_counted_points(tmp_path: Path, cuts: str) -> None:
    plan = board(tmp_path, cuts)
    solids = Solids(plan)
    (body,) = solids.bodies(finished(plan))
    volume, middle = volume_and_centre(body.mesh)
    wanted, at = sampled(plan)
    assert volume / INCH**3 == pytest.approx(wanted, rel=2e-3)
    x, y, z = (float(value) for value in body.placement.origin)
    turn = {"+x": 0, "+y": 1, "+z": 2}
    own = [(middle[turn[axis]] - (x, y, z)[turn[axis]]) / INCH for axis in body.placement.axes]
    assert own == pytest.approx(list(at), abs=0.02)


def test_surface_and_volume_of_a_board_agree_with_the_flux_through_its_own_mesh(tmp_path: Path) -> None:
    """Area by Heron's formula, volume by the flux of (0, 0, z) through each triangle: no cross products."""
    plan = board(tmp_path, "end: {mitre: 31.62 deg, tilt: 33.86 deg, at: right end, along: back edge, in: rail}")
    (body,) = Solids(plan).bodies(finished(plan))
    corners = body.mesh.points[body.mesh.triangles]
    sides = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2)
    half = sides.sum(axis=1) / 2
    area = float(np.sqrt(np.maximum(half * np.prod(half[:, None] - sides, axis=1), 0.0)).sum())
    version = finished_version(plan, "rail")
    assert Solids(plan).area(version) == pytest.approx(area, rel=1e-9)
    (x0, y0), (x1, y1), (x2, y2) = (corners[:, k, :2].T for k in range(3))
    shadow = ((x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)) / 2
    volume = float((shadow * corners[:, :, 2].mean(axis=1)).sum())
    assert Solids(plan).volume(version) == pytest.approx(abs(volume), rel=1e-9)
