"""A side table sawn from a surveyed slab, its numbers worked out by hand (common practice, no source).

The plan stands in `tests/fixtures/target-c`. Inch figures are to the nearest 1/32.
"""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import pytest
from fixtures.target_books import target_plan

from planbook.plan.model import CutKind, Hole, Plan, Role, RunKind
from planbook.plan.shapes import Blocks, Curve, Outline
from planbook.shape import arrange, states
from planbook.shape.solids import Solids, overlaps
from planbook.trade.movement import Cut, movement
from planbook.trade.species import find_wood
from planbook.units.editions import EDITIONS, snap
from planbook.units.write import plain_length

INCH = Fraction(254, 10)
INCHES = EDITIONS["imperial"]


def table(edition: str) -> Plan:
    return target_plan("c", edition)


def inches(mm: Fraction) -> str:
    return plain_length(snap(mm, INCHES), INCHES)


def sizes_told(title: str, edition: str = "imperial") -> list[str]:
    """The sizes that the sentences of a step show, as they are printed."""
    step = next(step for step in table(edition).steps if step.title == title)
    return [run.text for line in (*step.actions, step.good_enough) for run in line if run.kind is RunKind.SIZE]


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_it_resolves_without_findings_with_all_work_claimed(edition: str) -> None:
    plan = table(edition)
    assert {part.key: part.role for part in plan.fittings} == {"frame": Role.BOUGHT, "fill": Role.FILL}
    assert [placement.part for placement in plan.placements] == ["top", "frame", "frame", "fill"]


def test_overall_height_is_that_of_the_frame_and_the_top() -> None:
    # 16 + 1 1/2; the claim in the plan says the same. Metric: the frame of 400, 1 1/2 in goes to 40.
    assert inches(table("imperial").overall[2]) == "17 1/2 in"
    assert table("metric").overall[2] == 440


def test_fill() -> None:
    # 9 x 1 1/4 x (1 7/8 + 1/16) = 21.797 cu in; with 15 % to spare 25.066 cu in / 1.8047 = 13.89 fl oz
    told = sizes_told("Dam, seal and pour")
    assert told[:5] == ['9"', '1¹⁄₄"', '1¹⁵⁄₁₆"', "21.8 cu in", "13.9 fl oz"]
    mixed = 9 * 1.25 * 1.9375 * 1.15 * 25.4**3 / 1000
    assert round(mixed) == 411  # ml


def test_one_pour_where_the_product_allows_two_inches() -> None:
    # 1 15/16 deep, with what stands proud
    (pour,) = table("imperial").pours
    assert pour.deep == Fraction(31, 16) * INCH
    assert (pour.limit.counts.value, pour.limit_stated, pour.pours) == (2 * INCH, True, 1)


def test_both_parts_by_weight_and_the_warmth() -> None:
    # 411 ml at 2 to 1 by volume: 273.8 ml x 1.14 g/ml = 312 g of A, 136.9 ml x 0.98 g/ml = 134 g of B
    told = sizes_told("Dam, seal and pour")[5:]
    assert told == ["11.0 oz (312 g)", "4.7 oz (134 g)", "weight", "1", "1", "70 °F to 77 °F"]


def test_the_step_waits_as_long_as_the_sheet_of_the_product_says() -> None:
    step = next(step for step in table("imperial").steps if step.title == "Dam, seal and pour")
    assert (step.time.wait, step.time.wait_for) == (48 * 60, "fill")


def insert_holes(edition: str = "imperial") -> list[Hole]:
    return [hole for hole in table(edition).part("top").holes if hole.group == "frame bolts"]


def test_bought_holes_drive_those_of_the_inserts() -> None:
    # Bars of 12, holes 1 from their ends and in the middle: 5 apart. Frames 4 from both ends of 24, 2 wide.
    rows = sorted({inches(hole.l) for hole in insert_holes()})
    assert rows == ["19 in", "5 in"]
    first = [hole.w for hole in insert_holes() if hole.row == 1]
    assert [inches(other - one) for one, other in pairwise(first)] == ["5 in", "5 in"]
    plan = table("imperial")
    for place in plan.placements:
        if place.part != "frame":
            continue
        for own in plan.part("frame").holes:
            x, y, _ = arrange.to_assembly(place, (own.l, own.w, plan.part("frame").thick))
            assert any((hole.l, hole.w) == (x, y) for hole in insert_holes())


def test_outer_screws_and_the_slot() -> None:
    joint = next(joint for joint in table("imperial").joints if joint.name == "frame bolts")
    assert (joint.fixed, joint.free, joint.count) == (("middle",), ("ends",), 6)
    # (3/4 - 1/4) / 2 either way
    assert sizes_told("Bolt the frames on") == ['¹⁄₄"']
    # 5 in from the fixed one at -3 and +4 % of moisture: 5 x 0.00274 x 3 = 0.041, x 4 = 0.055
    walnut = find_wood("black walnut")
    assert walnut.tangential.value == Fraction("0.00274")
    five = 5 * INCH
    drier = movement(walnut, Cut.FLAT, five, Fraction(9), Fraction(6)).change_mm / INCH
    damper = movement(walnut, Cut.FLAT, five, Fraction(9), Fraction(13)).change_mm / INCH
    assert float(drier) == pytest.approx(-0.04, abs=0.005)
    assert float(damper) == pytest.approx(0.05, abs=0.005)


def test_inserts_leave_wood_to_the_show_face() -> None:
    top = table("imperial").part("top")
    for hole in insert_holes():
        assert hole.face == "underside"
        assert hole.deep is not None
        assert (top.thick - hole.deep) / INCH > Fraction(3, 4)


def test_inserts_stay_an_inch_from_pocket_and_knot() -> None:
    # On the slab: the pocket 11..20 along and 1..2 1/4 behind the line, the knot 25..26 and 4..5 before it. The top
    # begins 3 from the left end, its chalk line is 8 1/4 behind its foremost point.
    line, start = 8.25, 3.0
    boxes = [(11 - start, 20 - start, line + 1, line + 2.25), (25 - start, 26 - start, line - 5, line - 4)]
    for hole in insert_holes():
        long, wide = float(hole.l / INCH), float(hole.w / INCH)
        for l0, l1, w0, w1 in boxes:
            away = math.hypot(max(l0 - long, 0, long - l1), max(w0 - wide, 0, wide - w1))
            assert away - float(hole.diameter / INCH) / 2 > 1


def test_the_outline_goes_through_the_survey() -> None:
    top = table("imperial").part("top")
    assert isinstance(top.shape, Outline)
    front, _, back, _ = top.shape.stretches
    assert isinstance(front, Curve)
    assert isinstance(back, Curve)
    # At 3 the edges are 7 1/4 + 0.3 x 1/4 = 7.325 and 8 + 0.3 x 1/2 = 8.15 from the line, straight between the rows.
    points = [(float(x / INCH), float(y / INCH)) for x, y in (top.shape.start, *front.through)]
    wanted = [(0.0, 8.25 - 7.325), (7.0, 8.25 - 7.5), (17.0, 0.0), (24.0, 8.25 - 7.9)]
    assert points == [pytest.approx(point) for point in wanted]
    points = [(float(x / INCH), float(y / INCH)) for x, y in back.through]
    wanted = [(17.0, 8.25 + 8.0), (7.0, 8.25 + 8.5), (0.0, 8.25 + 8.15)]
    assert points == [pytest.approx(point) for point in wanted]


def test_the_void_is_there_before_it_is_filled() -> None:
    (void,) = (cut for cut in table("imperial").part("top").cuts if cut.kind is CutKind.VOID)
    assert [inches(side) for side in (*void.box.l, *void.box.w)] == ["8 in", "17 in", "9 1/4 in", "10 1/2 in"]
    assert void.for_part == "fill"


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_nothing_shares_space(edition: str) -> None:
    assert overlaps(table(edition)) == ()


def test_area_of_the_top_by_the_trapezoid_rule() -> None:
    # Widths 15.475, 16, 16.25 and 15.55 at 0, 7, 17 and 24: straight edges; a smooth curve adds or takes little.
    along, wide = (0, 7, 17, 24), (7.325 + 8.15, 16.0, 16.25, 7.9 + 7.65)
    pairs = zip(zip(along, wide, strict=True), zip(along[1:], wide[1:], strict=False), strict=False)
    straight = sum((b - a) * (one + other) / 2 for (a, one), (b, other) in pairs)
    plan = table("imperial")
    # 1 1/2 thick, less the pocket; the eased rim is 0.2146 x 1/64 x its way, under 0.5 cu in.
    wanted = straight * 1.5 - 9 * 1.25 * 1.5
    found = Solids(plan).volume(states.finished_version(plan, "top")) / float(INCH) ** 3
    assert found == pytest.approx(wanted, rel=0.01)


def test_a_frame_weighs_what_its_maker_says() -> None:
    plan = table("imperial")
    frame = plan.part("frame")
    assert isinstance(frame.shape, Blocks)
    solids = Solids(plan)
    one = tuple(item for item in states.finished(plan) if item.placement.part == "frame")[:1]
    mass, centre = solids.mass_and_centre(one)
    assert mass == pytest.approx(5 * 0.45359237, rel=0.01)  # the holes are in it
    assert centre is not None
    # Closed and alike above and below: its centre is half way up.
    assert centre[2] / float(INCH) == pytest.approx(8, abs=0.05)


def test_the_survey_is_kept_in_metric() -> None:
    # What was measured on the wood goes to no grid: 8 1/4 in is 210 mm to the nearest.
    top = table("metric").part("top")
    assert top.width.final == snap(Fraction("8.25") * INCH + Fraction("8.5") * INCH, EDITIONS["metric"])
    assert sizes_told("Dam, seal and pour", "metric")[:2] == ["229", "32"]
