"""A stool on four splayed legs, its numbers worked out by hand (geometry; common practice, no source).

The plan stands in `tests/fixtures/target-b`. Inch figures are to the nearest 1/32, the blank is rounded
up to the next 1/8. The legs lean 12 degrees off plumb: tan 12 = 0.21256, cos 12 = 0.97815.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from fixtures.target_books import target_plan

from planbook.plan.model import Plan, RunKind
from planbook.plan.shapes import Disc, Profile, Turned
from planbook.shape import arrange, states
from planbook.shape.solids import Solids, overlaps
from planbook.units.editions import EDITIONS, snap
from planbook.units.write import plain_length

INCH = 25.4
TAN, COS = math.tan(math.radians(12)), math.cos(math.radians(12))
INCHES = EDITIONS["imperial"]


def stool(edition: str) -> Plan:
    return target_plan("b", edition)


def inches(mm: Fraction) -> str:
    return plain_length(snap(mm, INCHES), INCHES)


def sizes_told(title: str) -> list[str]:
    """The sizes that the sentences of a step show, as they are printed."""
    step = next(step for step in stool("imperial").steps if step.title == title)
    return [run.text for line in (*step.actions, step.good_enough) for run in line if run.kind is RunKind.SIZE]


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_it_resolves_without_findings_with_all_work_claimed(edition: str) -> None:
    plan = stool(edition)
    assert {part.key for part in plan.parts} == {"seat", "leg"}
    assert {part.key for part in plan.fittings} == {"ramp"}
    assert len(plan.placements) == 5


def test_leg_axis() -> None:
    # 18 / cos 12 = 18.402
    assert inches(stool("imperial").part("leg").length.final) == "18 13/32 in"


def test_blank_with_both_spares_and_both_slanted_corners() -> None:
    # 18.402 + 1/4 + 1/2 + (1/2 + 7/16) tan 12 = 19.351, up to the next 1/8
    assert inches(stool("imperial").part("leg").length.rough) == "19 3/8 in"


def test_feet_on_a_square() -> None:
    # radius on the floor 4 1/4 + 16 1/2 tan 12 = 7.757; side of the square 7.757 sqrt 2 = 10.970
    lean = stool("imperial").part("leg").lean
    assert lean is not None
    assert inches(lean.feet) == "10 31/32 in"


def test_the_same_circle_on_the_top_of_the_seat() -> None:
    # 8 1/2 - 2 x 1 1/2 tan 12 = 7.862
    lean = stool("imperial").part("leg").lean
    assert lean is not None
    assert inches(lean.circle_beyond) == "7 7/8 in"


def test_ramp_rises_in_12() -> None:
    # 12 tan 12 = 2.551
    assert sizes_told("Make the ramp")[:2] == ['2⁹⁄₁₆"', '12"']


def test_quill_stroke() -> None:
    # 1 1/2 / cos 12 + 1 tan 12 = 1.746
    assert '1³⁄₄"' in sizes_told("Bore the sockets")


def test_lean_in_front_and_side_view() -> None:
    # atan(tan 12 cos 45) = 8.55
    lean = stool("imperial").part("leg").lean
    assert lean is not None
    assert (round(lean.front, 1), round(lean.side, 1)) == (8.5, 8.5)
    assert "8.5°" in sizes_told("Bore the sockets")


def test_wood_outside_a_socket() -> None:
    # 6 1/2 - 4 1/4 - 1/2 / cos 12 = 1.739
    assert sizes_told("Saw the seat round")[-1] == '1³⁄₄"'


def test_resultant_against_the_tables_of_compound_angles() -> None:
    # The usual table for legs: a resultant of 12 degrees on a sight line of 45 gives 8.5 of rake and of splay.
    # From rake and splay back: tan R = sqrt(tan^2 rake + tan^2 splay), tan S = tan rake / tan splay.
    lean = stool("imperial").part("leg").lean
    assert lean is not None
    front, side = math.tan(math.radians(lean.front)), math.tan(math.radians(lean.side))
    assert math.degrees(math.atan(math.hypot(front, side))) == pytest.approx(12, abs=1e-9)
    assert math.degrees(math.atan2(side, front)) == pytest.approx(45, abs=1e-9)


def test_stations_of_the_leg() -> None:
    leg = stool("imperial").part("leg")
    assert isinstance(leg.shape, Turned)
    # From the foot: 11 1/2 / cos 12 = 11.757, 16 1/4 / cos 12 = 16.613; the tenon is round, the rest has eight faces.
    rows = [(inches(item.at), inches(item.size), item.profile) for item in leg.shape.stations]
    assert rows == [
        ("0 in", "7/8 in", Profile.OCTAGON),
        ("11 3/4 in", "1 1/2 in", Profile.OCTAGON),
        ("16 5/8 in", "1 in", Profile.OCTAGON),
        ("16 5/8 in", "1 in", Profile.ROUND),
        ("18 13/32 in", "1 in", Profile.ROUND),
    ]


def test_the_seat_is_a_disc_bored_from_below() -> None:
    seat = stool("imperial").part("seat")
    assert seat.shape == Disc(Fraction(13 * 254, 10))
    assert len(seat.holes) == 4
    for hole in seat.holes:
        assert hole.face == "underside"
        assert hole.axis is not None
        assert hole.axis[2] == pytest.approx(COS)
        # 45 degrees from the grain on the circle of 8 1/2: 4 1/4 / sqrt 2 = 3.005 from the middle
        assert abs(float(hole.l) / INCH - 6.5) == pytest.approx(4.25 / math.sqrt(2), abs=1e-6)
        assert abs(float(hole.w) / INCH - 6.5) == pytest.approx(4.25 / math.sqrt(2), abs=1e-6)


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_legs_go_through_the_seat_and_share_no_space_with_it(edition: str) -> None:
    plan = stool(edition)
    assert overlaps(plan) == ()
    high = arrange.overall(plan).high[2]
    for place in plan.placements:
        box = arrange.bounds(plan, place)
        assert abs(box.high[2] - high) < Fraction(1, 10**5)
        if place.part == "leg":
            assert abs(box.low[2]) < Fraction(1, 10**5)


def test_solid_feet_stand_where_the_plan_says() -> None:
    plan = stool("imperial")
    legs = [body for body in Solids(plan).bodies(states.finished(plan)) if body.part == "leg"]
    middles = []
    for leg in legs:
        foot = leg.mesh.points[leg.mesh.points[:, 2] < 1e-6]
        middles.append(foot.mean(axis=0))
    across = math.dist(middles[0][:2], middles[2][:2])
    assert across / INCH == pytest.approx(2 * (4.25 + 16.5 * TAN), abs=0.002)


def test_volume_of_a_leg_by_the_prismatoid_formula() -> None:
    # Octagon of width s across the flats: 2 (sqrt 2 - 1) s^2. Frustum: h (A1 + 4 Am + A2) / 6.
    octagon = 2 * (math.sqrt(2) - 1)

    def frustum(high: float, low: float, top: float) -> float:
        return high * octagon * (low**2 + 4 * ((low + top) / 2) ** 2 + top**2) / 6

    along = (11.75, 16.625, 18 / COS)
    wanted = frustum(along[0], 7 / 8, 1.5) + frustum(along[1] - along[0], 1.5, 1.0)
    wanted += math.pi / 4 * (along[2] - along[1])
    # Cutting both ends level takes as much off one side as it leaves on the other.
    plan = stool("imperial")
    leg = states.finished_version(plan, "leg")
    assert Solids(plan).volume(leg) / INCH**3 == pytest.approx(wanted, rel=0.002)


def test_volume_of_the_seat_by_pappus() -> None:
    # A disc less the rim that the round-over takes: section (1 - pi/4) r^2 on the way of its centroid, less four
    # slanted cylinders of 1 in.
    radius, thick, ease = 6.5, 1.5, 0.25
    centroid = ease * (10 - 3 * math.pi) / (12 - 3 * math.pi)
    rim = (1 - math.pi / 4) * ease**2 * math.tau * (radius - centroid)
    wanted = math.pi * radius**2 * thick - rim - 4 * math.pi / 4 * thick / COS
    plan = stool("imperial")
    found = Solids(plan).volume(states.finished_version(plan, "seat"))
    assert found / INCH**3 == pytest.approx(wanted, rel=0.002)


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_mass_of_plan_and_solids_agree(edition: str) -> None:
    plan = stool(edition)
    mass, centre = Solids(plan).mass_and_centre()
    assert mass is not None
    assert plan.mass is not None
    assert centre is not None
    assert mass == pytest.approx(float(plan.mass), rel=0.002)
    middle = float(arrange.overall(plan).high[0]) / 2
    assert centre[:2] == pytest.approx((middle, middle), abs=0.01)


def test_metric_leg() -> None:
    # 460 / cos 12 = 470.3; rough 470.3 + 5 + 15 + (25/2 + 20/2) tan 12 = 495.1, up to the next 5
    leg = stool("metric").part("leg")
    assert leg.length.final == 470
    assert leg.length.rough == 500
    assert stool("metric").overall == (330, 330, 460)
