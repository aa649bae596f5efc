"""Boards with tapers, mitres, bevels, notches, slots, curves and eased edges: solids against closed forms."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from pathlib import Path

import pytest
from fixtures.small_books import Read, make, shown, step_text

from planbook.plan.model import CutKind, Plan
from planbook.plan.volumes import volume
from planbook.shape import states
from planbook.shape.direction import TOP
from planbook.shape.solids import Solids
from planbook.shape.view import Kind, View

STOCK = "ash: {lumber: white ash, nominal: 4/4, to: 3/4 in}"
RAIL = "rail: {of: ash, length: 20 in, width: 4 in, on: floor, left face: 0 in}"
INCH = 25.4


def written(tmp_path: Path, cuts: str, part: str = RAIL) -> Read:
    names = re.findall(r"^([^\s:#][^:]*):", cuts, re.MULTILINE)
    steps = step_text("Make it", f"cuts: [rail, {', '.join(names)}], sets: [rail]")
    groups = {"dims": "", "stock": STOCK, "parts": part, "joints": "", "cuts": cuts}
    return make(tmp_path, groups, steps=steps)


def board(tmp_path: Path, cuts: str) -> Plan:
    read = written(tmp_path, cuts)
    assert read.slugs() == []
    return read.plan()


def solid_volume(plan: Plan) -> float:
    """Cubic inches of the finished rail."""
    return Solids(plan).volume(states.finished_version(plan, "rail")) / INCH**3


WHOLE = 20 * 4 * 0.75

CLOSED = [
    # 12 in long wedges off one edge, from nothing to 2 in: 12 x 2 / 2 x 3/4
    ("taper: {taper: 2 in, at: left end, from: 12 in from left end, on: back edge, in: rail}", WHOLE - 9),
    # off both edges, 1 in each
    ("taper: {taper: 2 in, at: right end, from: 8 in from left end, on: [front edge, back edge], in: rail}", WHOLE - 9),
    # off a face, to 1/4 in: 10 x 1/2 / 2 x 4
    ("taper: {taper: 1/4 in, at: left end, from: 10 in from left end, on: underside, in: rail}", WHOLE - 10),
    # a triangle of 4 x 4 off each end
    ("mitre: {mitre: 45 deg, at: each end, along: back edge, in: rail}", WHOLE - 2 * 8 * 0.75),
    ("mitre: {mitre: 30 deg, at: left end, along: front edge, in: rail}", WHOLE - 8 * math.tan(math.pi / 6) * 0.75),
    # a prism of 3/4 x 3/4 / 2 along 4 in and along 20 in
    ("bevel: {bevel: 45 deg, at: left end, in: rail}", WHOLE - 0.75**2 / 2 * 4),
    ("bevel: {bevel: 45 deg, along: front edge, on: underside, in: rail}", WHOLE - 0.75**2 / 2 * 20),
    ("notch: {notch: 3 in, wide: 1 1/2 in, at: each end, along: back edge, in: rail}", WHOLE - 2 * 4.5 * 0.75),
    ("notch: {notch: 3 in, wide: 1 1/2 in, deep: 1/4 in, at: left end, along: front edge, in: rail}", WHOLE - 4.5 / 4),
    (
        "hand hold: {cut out: 4 in, wide: 1 1/4 in, at: [10 in from left end, 2 in from front edge], in: rail}",
        WHOLE - 5 * 0.75,
    ),
    # chamfer round the upper face: 1/8 x 1/8 / 2 along all edges, its corners mitred: less 4 x 1/8^3 / 3
    (
        "soft: {chamfer: 1/8 in, on: upper face, in: rail}",
        WHOLE - (48 / 128 - 4 * 0.125**3 / 3),
    ),
]


@pytest.mark.parametrize(("cuts", "wanted"), CLOSED, ids=[cuts.split("{")[1][:28] for cuts, _ in CLOSED])
def test_volume_in_closed_form(tmp_path: Path, cuts: str, wanted: float) -> None:
    assert solid_volume(board(tmp_path, cuts)) == pytest.approx(wanted, rel=1e-6)


@pytest.mark.parametrize(("cuts", "wanted"), CLOSED[:9], ids=[cuts.split("{")[1][:28] for cuts, _ in CLOSED[:9]])
def test_the_plan_reckons_the_same_without_solids(tmp_path: Path, cuts: str, wanted: float) -> None:
    assert float(volume(board(tmp_path, cuts).part("rail"))) / INCH**3 == pytest.approx(wanted, rel=1e-6)


def test_compound_mitre_and_bevel_at_one_end(tmp_path: Path) -> None:
    # Both planes meet the same end: what is left lies inside both. Checked by Simpson's rule over the thickness,
    # exact for sections whose area is a polynomial of third degree at most.
    cuts = (
        "mitre: {mitre: 31.62 deg, at: left end, along: back edge, in: rail}\n"
        "tilt: {bevel: 33.86 deg, at: left end, in: rail}"
    )
    plan = board(tmp_path, cuts)
    a, b = math.tan(math.radians(31.62)), math.tan(math.radians(33.86))

    def lost(below: float) -> float:
        """Area taken off a slice so far under the show face: the larger of both cuts at each place across."""
        back, count = b * below, 4000
        width = 4 / count
        return sum(max(back, a * (4 - (k + 0.5) * width)) * width for k in range(count))

    wanted = WHOLE - 0.75 / 6 * (lost(0) + 4 * lost(0.375) + lost(0.75))
    assert solid_volume(plan) == pytest.approx(wanted, rel=1e-4)
    assert float(volume(plan.part("rail"))) / INCH**3 == pytest.approx(solid_volume(plan), rel=1e-9)


def test_slot_and_round_cut_out_are_holes(tmp_path: Path) -> None:
    cuts = (
        "slot: {slot: 2 in, wide: 3/8 in, at: [5 in from left end, 2 in from front edge], in: rail}\n"
        "eye: {cut out: 1 1/2 in, at: [15 in from left end, middle], in: rail}"
    )
    plan = board(tmp_path, cuts)
    slot, eye = plan.part("rail").holes
    assert (shown(slot.l), shown(slot.w), shown(slot.slot), shown(slot.diameter)) == ("5 in", "2 in", "2 in", "3/8 in")
    assert (shown(eye.l), shown(eye.w), eye.slot, eye.deep) == ("15 in", "2 in", Fraction(0), None)
    # Stadium 1 5/8 x 3/8 and its round ends; the disc. A bore has 24 sides: 0.9886 of a circle.
    round_area = 12 * math.sin(math.tau / 24) / math.pi
    stadium = 1.625 * 0.375 + math.pi / 4 * 0.375**2 * round_area
    wanted = WHOLE - 0.75 * (stadium + math.pi / 4 * 1.5**2 * round_area)
    assert solid_volume(plan) == pytest.approx(wanted, rel=1e-6)


def test_arc_is_a_segment_of_a_circle(tmp_path: Path) -> None:
    # Chord 16, rise 2: R = (8^2 + 2^2) / 4 = 17; segment R^2 (a - sin a) / 2 with sin(a/2) = 8/17
    plan = board(
        tmp_path, "arch: {arc: 2 in, along: front edge, from: 2 in from left end, to: 2 in from right end, in: rail}"
    )
    turn = 2 * math.asin(8 / 17)
    wanted = WHOLE - 17**2 * (turn - math.sin(turn)) / 2 * 0.75
    assert solid_volume(plan) == pytest.approx(wanted, rel=1e-3)
    assert float(volume(plan.part("rail"))) / INCH**3 == pytest.approx(solid_volume(plan), rel=1e-9)


def test_a_curve_goes_through_its_points(tmp_path: Path) -> None:
    cuts = (
        "sweep: {curve: [0 in at left end, 1 in at 5 in from left end, 1 1/2 in at middle, 0 in at right end], "
        "along: back edge, in: rail}"
    )
    plan = board(tmp_path, cuts)
    (body,) = Solids(plan).bodies(states.finished(plan))
    spots = {(round(x / INCH, 6), round(y / INCH, 6)) for x, y, _ in body.mesh.points.tolist()}
    assert {(0.0, 4.0), (5.0, 3.0), (10.0, 2.5), (20.0, 4.0)} <= spots


def test_facets_of_a_curve_draw_no_lines(tmp_path: Path) -> None:
    plan = board(tmp_path, "arch: {arc: 2 in, along: front edge, in: rail}\nsoft: {round over: 1/8 in, in: rail}")
    bodies = Solids(plan).bodies(states.finished(plan))
    lines = View(bodies, TOP).state()
    inner = [piece for piece in lines.visible if piece.kind is Kind.EDGE]
    # Seen from above: the inner rim of the round-over, and the four corners where its sides meet.
    chords = sum(1 for piece in inner if math.dist(piece.start, piece.end) > 1)
    assert chords < 60
    assert any(piece.kind is Kind.OUTLINE for piece in lines.visible)


def test_before_its_cuts_it_is_a_plain_board(tmp_path: Path) -> None:
    plan = board(tmp_path, "mitre: {mitre: 45 deg, at: each end, along: back edge, in: rail}")
    before = states.version_before(plan, "rail", 1)
    assert Solids(plan).volume(before) / INCH**3 == pytest.approx(WHOLE)


def test_kinds_of_cuts(tmp_path: Path) -> None:
    cuts = (
        "notch: {notch: 3 in, wide: 1 in, at: left end, along: back edge, in: rail}\n"
        "hold: {cut out: 4 in, wide: 1 in, at: [10 in from left end, 1 in from front edge], in: rail}"
    )
    assert [cut.kind for cut in board(tmp_path, cuts).part("rail").cuts] == [CutKind.NOTCH, CutKind.CUT_OUT]


WRONG = [
    ("cut: {in: rail}", "which-cut"),
    ("cut: {mitre: 45 deg, arc: 1 in, in: rail}", "which-cut"),
    ("cut: {mitre: 45 deg, at: left end, in: rail}", "missing-word"),
    ("cut: {mitre: 90 deg, at: left end, along: back edge, in: rail}", "wrong-angle"),
    ("cut: {mitre: 79 deg, at: left end, along: back edge, in: rail}", "taper-crosses"),
    ("cut: {mitre: 45 deg, at: lefthand end, along: back edge, in: rail}", "which-side"),
    ("cut: {taper: 5 in, at: left end, from: 12 in from left end, on: back edge, in: rail}", "taper-crosses"),
    ("cut: {taper: 1 in, at: left end, from: 30 in from left end, on: back edge, in: rail}", "taper-crosses"),
    ("cut: {notch: 3 in, wide: 5 in, at: left end, along: back edge, in: rail}", "cut-through"),
    ("cut: {slot: 2 in, at: [5 in from left end, 2 in from front edge], in: rail}", "missing-word"),
    ("cut: {cut out: 3 in, at: [1 in from left end, middle], in: rail}", "cut-outside"),
    ("cut: {cut out: 3 in, at: left end, in: rail}", "missing-word"),
    ("cut: {arc: 5 in, along: front edge, in: rail}", "cut-through"),
    ("cut: {arc: 1 in, along: front edge, from: 9 in from left end, to: 2 in from left end, in: rail}", "cut-outside"),
    ("cut: {curve: [0 in at left end, 1 in at right end], along: front edge, in: rail}", "no-size"),
    ("cut: {curve: [0 in at left end, 9 in at middle, 0 in at right end], along: front edge, in: rail}", "cut-outside"),
    ("cut: {chamfer: 1/2 in, in: rail}", "cut-through"),
    ("cut: {chamfer: 0 in, in: rail}", "no-size"),
    ("cut: {round over: 1/8 in, on: back edge, in: rail}", "which-face"),
    (
        "cut: {arc: 3 in, along: front edge, in: rail}\ncut two: {arc: 3 in, along: back edge, in: rail}",
        "outline-crosses",
    ),
]


@pytest.mark.parametrize(("cuts", "slug"), WRONG)
def test_wrong_cuts_are_told_once_at_their_place(tmp_path: Path, cuts: str, slug: str) -> None:
    read = written(tmp_path, cuts)
    found = read.found(slug)
    assert found.span is not None
    assert found.span.file.endswith("plan.yaml")
    assert {item.slug for item in read.stops()} == {slug}
