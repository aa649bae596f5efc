"""Legs in their sockets, in closed form against the solids of the same plan."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from checks.altered import INCH, found
from fixtures.target_books import target_plan
from hypothesis import given
from hypothesis import strategies as st

from planbook.checks.copies import Copies
from planbook.checks.passing import STRAIGHT, Known, Passing, Unit, own_ways
from planbook.checks.shapes import Shapes
from planbook.checks.sockets import Entered, entered, seen_apart, shadow, shadows_apart
from planbook.checks.spaces import standing
from planbook.checks.subject import Subject
from planbook.plan.model import Placement, Plan
from planbook.plan.shapes import Turned

ROOT = Path(__file__).parents[2]


def thicker(plan: Plan, by: Fraction) -> Plan:
    """The stool with tenons thicker by so much than their sockets."""
    leg = plan.part("leg")
    assert isinstance(leg.shape, Turned)
    tenon = min(station.size for station in leg.shape.stations if station.profile is leg.shape.stations[-1].profile)
    stations = tuple(
        replace(station, size=station.size + by) if station.size == tenon else station for station in leg.shape.stations
    )
    changed = replace(leg, shape=replace(leg.shape, stations=stations))
    return replace(plan, parts=tuple(changed if part.key == "leg" else part for part in plan.parts))


def first_leg(plan: Plan) -> tuple[Entered, Placement, Placement]:
    (seat,) = (item for item in plan.placements if item.part == "seat")
    leg = next(item for item in plan.placements if item.part == "leg")
    socket = entered(plan.part("leg"), leg, plan.part("seat"), seat)
    assert socket is not None
    return socket, leg, seat


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_each_leg_stands_in_its_socket(edition: str) -> None:
    plan = target_plan("b", edition)
    (seat,) = (item for item in plan.placements if item.part == "seat")
    for leg in (item for item in plan.placements if item.part == "leg"):
        socket = entered(plan.part("leg"), leg, plan.part("seat"), seat)
        assert socket is not None
        assert socket.depth == pytest.approx(0, abs=1e-6)
        assert socket.touches == pytest.approx(0, abs=1e-6)
        # 1 1/2 in of seat along a lean of 12 degrees, and the slant of both faces.
        thick, lean = float(plan.part("seat").thick), np.radians(12)
        assert socket.high - socket.low == pytest.approx(thick / np.cos(lean) + 2 * socket.radius * np.tan(lean))


def test_it_is_pulled_out_downward_and_not_upward() -> None:
    socket, _, _ = first_leg(target_plan("b", "imperial"))
    assert socket.slides(False, 0.4)
    assert not socket.slides(True, 0.4)


@pytest.mark.parametrize("sixtyfourths", [1, 2, 4, 8])
def test_how_deep_a_thick_tenon_sits_in_the_wood_is_that_of_the_solids(sixtyfourths: int) -> None:
    plan = thicker(target_plan("b", "imperial"), sixtyfourths * INCH / 64)
    socket, leg, seat = first_leg(plan)
    assert socket.depth == pytest.approx(float(sixtyfourths * INCH / 128))
    each = {item.placement: item for item in standing(plan)}
    shared = Shapes(plan).shared(each[leg], each[seat], Fraction(0))
    assert shared is not None
    # Facets, and the wedge-shaped ends of the ring, take a little off the solids' figure.
    assert float(shared) == pytest.approx(socket.depth, rel=0.12, abs=0.02)


def test_a_tenon_too_thick_for_its_socket_runs_into_the_seat() -> None:
    assert found("parts-overlap", thicker(target_plan("b", "imperial"), INCH / 32)) == ()
    (item,) = found("parts-overlap", thicker(target_plan("b", "imperial"), INCH * 3 / 32))
    assert item.message.startswith("`seat` and `leg` run into each other by 3/64 in")


def test_a_leg_beside_its_socket_is_in_no_socket() -> None:
    plan = target_plan("b", "imperial")
    _, leg, seat = first_leg(plan)
    aside = replace(leg, origin=(leg.origin[0] + 1, *leg.origin[1:]))
    assert entered(plan.part("leg"), aside, plan.part("seat"), seat) is None


def test_a_blind_socket_is_met_at_its_bed() -> None:
    plan = target_plan("b", "imperial")
    seat = plan.part("seat")
    through, leg, at = first_leg(plan)

    def bored(deep: Fraction) -> Entered:
        holes = tuple(replace(hole, deep=deep) for hole in seat.holes)
        socket = entered(plan.part("leg"), leg, replace(seat, holes=holes), at)
        assert socket is not None
        return socket

    # From the underside to the end of the leg, which stands up to the top of the seat.
    start = through.low + through.radius * np.tan(np.radians(12))
    to_end = Fraction(through.end - start)
    assert bored(to_end + 5).depth == pytest.approx(0, abs=1e-6)
    assert bored(to_end - 5).depth == pytest.approx(5, abs=1e-3)
    assert not bored(to_end).slides(True, 0.4)


def test_what_passes_in_closed_form_passes_as_solids() -> None:
    """All pairs of parts of the stool, along the six directions and the length of every leg."""
    plan = target_plan("b", "imperial")
    units = [Unit((copy,), True) for copy in Copies(plan).after(7)]
    ways = [*STRAIGHT, *(way for one in units for way in own_ways(one))]
    quick, exact = Passing(units, None, 0.4, Known()), Passing(units, Subject(plan).shapes, 0.4, Known())
    free = 0
    for one in range(len(units)):
        for other in range(len(units)):
            for way in ways if one != other else ():
                if not quick.blocked(one, other, way):
                    assert not exact.blocked(one, other, way), (units[one].name, units[other].name, way)
                    free += 1
    assert free > 150


spot = st.tuples(*(st.integers(-9, 9).map(float),) * 3)


@given(st.lists(spot, min_size=4, max_size=9), st.lists(spot, min_size=4, max_size=9), spot)
def test_what_is_seen_apart_has_a_plane_between(one: list, other: list, way: tuple) -> None:
    """Bodies with a common point are never seen apart; the common point is made by averaging corners."""
    long = sum(value * value for value in way) ** 0.5
    if long == 0:
        return
    direction = tuple(value / long for value in way)
    middle = tuple(sum(point[axis] for point in one) / len(one) for axis in range(3))
    assert not seen_apart(one, [*other, middle], [direction], 0.0) or len(shadow(one, direction)) < 3
    far = [(x + 100 * (1 - abs(direction[0])), y + 100 * (1 - abs(direction[1])), z + 50) for x, y, z in other]
    if len(shadow(one, direction)) > 2 and len(shadow(far, direction)) > 2:
        assert shadows_apart(shadow(one, direction), shadow(far, direction), 0.0) == _apart_in_flat(one, far, direction)


def _apart_in_flat(one: list, other: list, direction: tuple) -> bool:
    import shapely

    a, b = (shapely.MultiPoint(shadow(points, direction)).convex_hull for points in (one, other))
    return shapely.intersection(a, b).area < 1e-12


def test_a_stool_is_checked_without_heavy_libraries() -> None:
    code = (
        "import sys; from planbook.cli.entry import run; code = run(['check', sys.argv[1]]); "
        "print(code, sorted({'numpy', 'manifold3d', 'shapely'} & set(sys.modules)))"
    )
    book = ROOT / "tests" / "fixtures" / "target-b"
    done = subprocess.run([sys.executable, "-c", code, str(book)], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "0 []"
