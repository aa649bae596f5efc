from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_plan import CASE, DADOS, PINS, bookcase

from planbook.plan.model import Box, Plan, Size
from planbook.shape.mesh import volume_and_centre
from planbook.shape.solids import Solids, overlaps
from planbook.shape.states import (
    PartVersion,
    Standing,
    finished,
    finished_version,
    state_after,
    version_after,
    version_before,
)

EDITIONS = ["imperial", "metric"]


def test_dados_take_out_their_own_space() -> None:
    plan = bookcase("metric")
    solids = Solids(plan)
    before, after = (solids.volume(of(plan, "side", DADOS)) for of in (version_before, version_after))
    assert before == pytest.approx(1190 * 290 * 18, rel=1e-12)
    assert before - after == pytest.approx(2 * 290 * 18 * 6, rel=1e-9)


def test_bores_are_prisms_of_24_sides() -> None:
    plan = bookcase("metric")
    solids = Solids(plan)
    before, after = (solids.volume(of(plan, "side", PINS)) for of in (version_before, version_after))
    prism = 12 * 2.5**2 * math.sin(math.radians(15)) * 10
    assert before - after == pytest.approx(42 * prism, rel=1e-9)


def test_a_body_without_its_edging_is_narrower() -> None:
    plan = bookcase("metric")
    solids = Solids(plan)
    bare, edged = PartVersion("bottom", (), ()), PartVersion("bottom", (), ("lip of bottom",))
    assert solids.volume(bare) == pytest.approx(735 * 278 * 18)
    assert solids.volume(edged) == pytest.approx(735 * 284 * 18)


@pytest.mark.parametrize("edition", EDITIONS)
def test_both_hands_have_the_same_volume_and_mirrored_centres(edition: str) -> None:
    plan = bookcase(edition)
    sides = [body for body in Solids(plan).bodies(finished(plan)) if body.part == "side" and not body.piece]
    (left, one), (right, other) = (volume_and_centre(body.mesh) for body in sides)
    assert left == pytest.approx(right)
    assert left > 0
    assert one[0] + other[0] == pytest.approx(float(plan.overall[0]))
    assert one[1:] == pytest.approx(other[1:])


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_body_is_closed(edition: str) -> None:
    plan = bookcase(edition)
    for body in Solids(plan).bodies(finished(plan)):
        triangles = body.mesh.triangles
        half = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
        there = sorted(map(tuple, half.tolist()))
        back = sorted(map(tuple, half[:, ::-1].tolist()))
        assert there == back
        assert len(body.mesh.edges) * 2 == len(half)


@pytest.mark.parametrize("edition", EDITIONS)
def test_corners_are_the_exact_places_rounded_once(edition: str) -> None:
    plan = bookcase(edition)
    exact = set()
    for place in plan.placements:
        part = plan.part(place.part)
        cuts = [cut.box.l for cut in part.cuts]
        for value in (Fraction(0), part.length.final, *(value for cut in cuts for value in cut)):
            axis, sign = "xyz".index(place.axes[0][1]), -1 if place.axes[0][0] == "-" else 1
            exact.add((place.part, place.copy, float(place.origin[axis] + sign * value)))
    for body in Solids(plan).bodies(finished(plan), holes=False):
        place = body.placement
        column = body.mesh.points[:, "xyz".index(place.axes[0][1])]
        assert {(place.part, place.copy, value) for value in column.tolist()} <= exact


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_bookcase_has_no_overlaps(edition: str) -> None:
    assert overlaps(bookcase(edition)) == ()


def test_a_part_in_the_wrong_place_overlaps_by_its_share() -> None:
    plan = bookcase("metric")
    placements = tuple(
        replace(place, origin=(place.origin[0] + 3, *place.origin[1:])) if place.part == "kick board" else place
        for place in plan.placements
    )
    moved: Plan = replace(plan, placements=placements)
    found = [(one.part, one.hand, other.part, volume) for one, other, volume in overlaps(moved)]
    assert found == [("side", "R", "kick board", pytest.approx(3 * 75 * 18))]


def test_mass_is_volume_times_density() -> None:
    plan = bookcase("metric")
    solids = Solids(plan)
    mass, centre = solids.mass_and_centre()
    ply = maple = 0.0
    for standing in finished(plan):
        own = solids.volume(replace(standing.version, edgings=()))
        ply += own
        maple += solids.volume(standing.version) - own
    assert mass == pytest.approx(680e-9 * ply + 706e-9 * maple)
    assert centre is not None
    assert centre[0] == pytest.approx(380)


def test_mass_is_unknown_where_a_density_is() -> None:
    plan = bookcase("metric")
    unknown = tuple(replace(stock, density=None) if stock.name == "thin" else stock for stock in plan.stock)
    solids = Solids(replace(plan, stock=unknown))
    assert solids.mass_and_centre() == (None, None)
    assert solids.mass_and_centre(state_after(plan, CASE))[0] is not None


def test_a_strip_can_be_made_on_its_own() -> None:
    plan = bookcase("metric")
    version = finished_version(plan, "rail of loose shelf")
    assert Solids(plan).volume(version) == pytest.approx(720 * 30 * 20)


@given(st.fractions(Fraction(1), Fraction(90), max_denominator=320), st.fractions(0, 900, max_denominator=7))
def test_faces_that_touch_have_equal_numbers(thick: Fraction, start: Fraction) -> None:
    """Two boards one on the other: the upper face of one and the underside of the next, to the last bit."""
    plan = bookcase()
    part = replace(plan.part("kick board"), thick=thick)
    first = replace(plan.placements[0], part="kick board", origin=(start,) * 3, axes=("+x", "+y", "+z"))
    second = replace(first, copy=2, origin=(start, start, start + thick))
    third = replace(first, copy=3, origin=(start, start, start + 2 * thick), axes=("+x", "+y", "-z"))
    bodies = Solids(replace(plan, parts=(part,), placements=(first, second, third))).bodies(
        Standing(place, PartVersion("kick board", (), ())) for place in (first, second, third)
    )
    low, high, down = ({float(z) for z in body.mesh.points[:, 2]} for body in bodies)
    assert max(low) == min(high)
    assert down == high


@given(
    st.fractions(Fraction(10), Fraction(40), max_denominator=320),
    st.fractions(Fraction(100), Fraction(400), max_denominator=320),
    st.fractions(Fraction(1), Fraction(9), max_denominator=7),
)
def test_a_cut_leaves_no_skin(thick: Fraction, wide: Fraction, deep: Fraction) -> None:
    """A board with one dado has 16 corners, wherever its sizes fall between the floats."""
    plan = bookcase()
    side = plan.part("side")
    width = Size(final=wide, rough=wide)
    box = Box((Fraction(50), Fraction(50) + thick), (Fraction(0), wide), (thick - deep, thick))
    part = replace(side, width=width, thick=thick, holes=(), edgings=(), cuts=(replace(side.cuts[0], box=box),))
    solids = Solids(replace(plan, parts=(part,)))
    version = finished_version(solids.plan, "side")
    (body,) = solids.bodies([Standing(plan.placements[0], version)])
    assert len(body.mesh.points) == 16
    assert solids.volume(version) == pytest.approx(float(part.length.final * wide * thick - thick * wide * deep))
