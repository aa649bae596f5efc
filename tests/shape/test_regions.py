from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_bodies import block, body, solid, turned
from sample_plan import bookcase

from planbook.shape.direction import FRONT, ISO_RIGHT, SIDE, TOP, Direction, looking_from
from planbook.shape.solids import Body, Solids
from planbook.shape.states import finished
from planbook.shape.view import Lines, View


def shadow(bodies: list[Body], direction: Direction) -> float:
    """Area of the union of all projected triangles."""
    triangles = []
    for one in bodies:
        flat = np.array([direction.project(tuple(point))[:2] for point in one.mesh.points])
        triangles += [shapely.Polygon(flat[corners]) for corners in one.mesh.triangles]
    return float(shapely.union_all([t for t in triangles if t.area > 1e-9], grid_size=1e-7).area)


def area(lines: Lines) -> float:
    return sum(region.area for region in lines.regions())


def test_a_square_behind_another() -> None:
    near, far = block((0, 0, 0), (10, 5, 10), "near"), block((4, 20, 2), (16, 30, 8), "far")
    lines = View([near, far], FRONT).state()
    assert {region.body.part: region.area for region in lines.regions()} == pytest.approx(
        {"near": 100.0, "far": 36.0}, rel=1e-4
    )


def test_a_frame_has_a_hole_in_its_area() -> None:
    frame = body(solid((0, 0, 0), (100, 5, 100)) - solid((20, -1, 20), (80, 6, 80)))
    (region,) = View([frame], FRONT).state().regions()
    assert region.area == pytest.approx(100**2 - 60**2, rel=1e-4)
    assert len(region.holes) == 1
    anchor = View([frame], FRONT).state().anchor(frame)
    assert anchor is not None
    assert anchor.radius == pytest.approx(10 * (2 - math.sqrt(2)) * 2, rel=1e-2)


def test_an_anchor_is_deep_inside_the_largest_area() -> None:
    shelf, post = block((0, 10, 0), (100, 20, 30), "shelf"), block((30, 0, -10), (40, 5, 60), "post")
    view = View([shelf, post], FRONT)
    anchor = view.state().anchor(shelf)
    assert anchor is not None
    assert anchor.radius == pytest.approx(15, rel=1e-2)
    assert 40 + 14.9 < anchor.point[0] < 100 - 14.9
    assert anchor.point[1] == pytest.approx(15, abs=0.2)


def test_what_is_covered_has_no_anchor() -> None:
    near, far = block((0, 0, 0), (10, 5, 10), "near"), block((4, 20, 2), (6, 30, 8), "far")
    view = View([near, far], FRONT)
    assert view.state().anchor(far) is None
    assert view.state([far]).anchor(far) is not None


@given(st.integers(0, 10**6))
@settings(max_examples=15, deadline=None)
def test_areas_add_up_to_the_shadow(seed: int) -> None:
    random = np.random.default_rng(seed)
    bodies = []
    for number in range(5):
        # Each in a slab of its own, so that no two share space.
        size = random.uniform(5, 40, 3)
        made = body(solid((0, 0, 0), tuple(size)), f"block {number}", turned(*random.uniform(0, 6, 3)))
        points = made.mesh.points + np.array([*random.uniform(0, 60, 2), 150.0 * number])
        bodies.append(Body(made.placement, "", made.mesh.moved(points, flip=False)))
    direction = looking_from((*random.normal(size=2) * 0.2, 1.0))
    assert area(View(bodies, direction).state()) == pytest.approx(shadow(bodies, direction), rel=1e-4)


@pytest.mark.parametrize("direction", [FRONT, SIDE, TOP, ISO_RIGHT])
@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_areas_of_the_bookcase_add_up_to_its_shadow(direction: Direction, edition: str) -> None:
    plan = bookcase(edition)
    bodies = list(Solids(plan).bodies(finished(plan), holes=False))
    assert area(View(bodies, direction).state()) == pytest.approx(shadow(bodies, direction), rel=1e-5)


def test_no_two_areas_overlap() -> None:
    plan = bookcase()
    regions = View(Solids(plan).bodies(finished(plan)), ISO_RIGHT).state().regions()
    polygons = [shapely.Polygon(region.outer, region.holes) for region in regions]
    whole = shapely.union_all(polygons).area
    assert sum(polygon.area for polygon in polygons) == pytest.approx(whole, rel=1e-6)


def test_a_letter_stands_in_the_middle_of_a_long_board() -> None:
    board = block((0, 0, 0), (900, 20, 60))
    anchor = View([board], FRONT).state().anchor(board)
    assert anchor is not None
    assert anchor.point == pytest.approx((450, 30), abs=0.1)
    assert anchor.radius == pytest.approx(30, abs=0.1)
