"""Wood round holes: the bench with a row that comes too near, and bores by hand against closed forms."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from checks.altered import INCH, with_part
from checks.altered_bench import bench, bookcase, outcomes, told
from fixtures.target_books import target_plan
from hypothesis import given
from hypothesis import strategies as st

from planbook.checks.bores import Bore, behind, bores_of, meetings
from planbook.checks.subject import Subject
from planbook.plan.model import Hole, Plan

DEPTH = ("deep: {imperial: 3/8 in, metric: 10 mm}\n    for: shelf pins", "deep: {}\n    for: shelf pins")


def deeper(folder: Path, deep: str) -> Subject:
    return bench(folder, (DEPTH[0], DEPTH[1].format(deep)))


def with_hole(plan: Plan, key: str, **changes: object) -> Plan:
    """One more hole like the first of a part, changed."""
    part = plan.part(key)
    return with_part(plan, key, holes=(*part.holes, replace(part.holes[0], group="more", **changes)))


@pytest.mark.parametrize("edition", ["imperial", "metric"])
@pytest.mark.parametrize("slug", ["holes-meet", "wood-left"])
def test_the_bench_has_wood_round_its_holes(tmp_path: Path, edition: str, slug: str) -> None:
    subject = bench(tmp_path, edition=edition)
    assert told(slug, subject) == ()
    assert outcomes(slug, subject)


def test_what_a_pin_hole_leaves_behind_it(tmp_path: Path) -> None:
    # 23/32 less 3/8.
    assert outcomes("wood-left", bench(tmp_path))["side"].figure == "a hole of `pin holes` leaves 11/32 in behind it"


def test_pin_holes_nearly_through_the_side(tmp_path: Path) -> None:
    (item,) = told("wood-left", deeper(tmp_path, "5/8 in"))
    assert item.message == "a hole of `pin holes` in `side` leaves 3/32 in of wood behind it, the limit is 1/8 in"
    assert told("wood-left", deeper(tmp_path, "19/32 in")) == ()


def test_the_point_of_a_twist_bit_goes_deeper() -> None:
    part = target_plan("a", "imperial").part("side")
    plain = replace(part.holes[0], deep=part.thick - INCH / 8, role="pin")
    twist = replace(plain, role="pilot")
    plan = target_plan("a", "imperial")
    assert told("wood-left", Subject(with_part(plan, "side", holes=(plain,)))) == ()
    (item,) = told("wood-left", Subject(with_part(plan, "side", holes=(twist,))))
    # 1/8 in less the point of a 1/4 in bit of 118 degrees, 1/8 / tan 59 = 0.075 in: 0.050 in.
    assert "leaves 3/64 in of wood behind its point" in item.message


@pytest.mark.parametrize(("away", "messages"), [(24, 0), (23, 1)])
def test_two_rows_side_by_side(away: int, messages: int) -> None:
    """Holes of 1/4 in: centres 3/8 in apart leave 1/8 in."""
    plan = target_plan("a", "imperial")
    first = plan.part("side").holes[0]
    found = told("holes-meet", Subject(with_hole(plan, "side", w=first.w + INCH * away / 64)))
    assert len(found) == messages
    if messages:
        assert found[0].message == (
            "a hole of `shelf pins` and one of `more` in `side` leave 7/64 in of wood between them, the limit is 1/8 in"
        )


def test_holes_that_run_into_each_other() -> None:
    plan = target_plan("a", "imperial")
    first = plan.part("side").holes[0]
    (item,) = told("holes-meet", Subject(with_hole(plan, "side", w=first.w + INCH / 8)))
    assert "run into each other" in item.message


def test_holes_from_both_faces_in_one_line_leave_what_is_between_their_ends() -> None:
    plan = target_plan("a", "imperial")
    part = plan.part("side")
    back = {"from_show": False, "face": part.faces.reverse}
    meets = part.thick - part.holes[0].deep
    assert told("holes-meet", Subject(with_hole(plan, "side", deep=meets - INCH / 4, **back))) == ()
    (item,) = told("holes-meet", Subject(with_hole(plan, "side", deep=meets, **back)))
    assert "run into each other" in item.message


def test_a_bore_beside_a_dado() -> None:
    plan = target_plan("a", "imperial")
    part = plan.part("side")
    dado = next(cut for cut in part.cuts if cut.name == "shelf dados")
    hole = replace(part.holes[0], group="more", l=dado.box.l[1] + INCH / 8 + part.holes[0].diameter / 2)
    far = with_part(plan, "side", holes=(hole,))
    near = with_part(far, "side", holes=(replace(hole, l=hole.l - INCH / 64),))
    assert told("wood-left", Subject(far)) == ()
    (item,) = told("wood-left", Subject(near))
    assert item.message.startswith("a hole of `more` in `side` leaves 7/64 in of wood to `shelf dados`")


def test_a_hole_near_an_edge(tmp_path: Path) -> None:
    change = ("rows: [2 in from front, 1 1/2 in from rabbet]", "rows: [{} from front, 1 1/2 in from rabbet]")
    (item,) = told("wood-left", bookcase(tmp_path, (change[0], change[1].format("7/32 in"))))
    assert (
        item.message == "a hole of `shelf pins` in `side` leaves 3/32 in of wood to the front edge, the limit is 1/8 in"
    )
    assert told("wood-left", bookcase(tmp_path, (change[0], change[1].format("1/4 in")))) == ()


def test_a_counterbore_is_a_bore_of_its_own() -> None:
    part = target_plan("a", "imperial").part("side")
    hole = replace(part.holes[0], deep=None, counterbore=(INCH / 2, INCH / 4))
    through, mouth = bores_of(replace(part, holes=(hole,)), "L")
    assert behind(part, through) is None
    assert behind(part, mouth) == pytest.approx(float(part.thick - INCH / 4))
    assert list(meetings((through, mouth), 3.0)) == []


number = st.floats(-20, 20, allow_nan=False)
spot = st.tuples(number, number, number)


@given(spot, spot, spot, spot)
def test_wood_between_two_bores_is_the_least_distance_of_their_axes_less_both_radii(a, b, c, d) -> None:
    """Against the least of 60 by 60 points on both axes, which is never less and hardly more."""
    bores = [bore_along(*ends) for ends in ((a, b), (c, d)) if math.dist(*ends) > 1]
    if len(bores) < 2:
        return
    share = np.linspace(0, 1, 60)[:, None]
    one, other = (np.array(bore.start) * (1 - share) + np.array(bore.end) * share for bore in bores)
    least = float(np.linalg.norm(one[:, None] - other[None], axis=2).min())
    found = [left for left, _, _ in meetings(bores, 1000.0)]
    if not found:
        return  # They lie on one axis.
    step = max(math.dist(bore.start, bore.end) for bore in bores) / 59
    assert found[0] <= max(least - 2.0, 0.0) + 1e-6
    assert found[0] >= max(least - 2.0 - 1.5 * step, 0.0) - 1e-6


def bore_along(start: tuple[float, ...], end: tuple[float, ...]) -> Bore:
    part = target_plan("a", "imperial").part("side")
    long = math.dist(start, end)
    way = tuple((b - a) / long for a, b in zip(start, end, strict=True))
    hole: Hole = replace(part.holes[0], diameter=Fraction(2), l=Fraction(start[0]))
    return Bore(hole, start, way, long, 1.0)
