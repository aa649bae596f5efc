"""Turned parts, discs, bought parts and sockets: solids against closed forms."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from fixtures.small_books import Read, make, shown, step_text

from planbook.plan.boxes import placed_box
from planbook.plan.model import Plan, Role
from planbook.plan.shapes import Profile, Turned
from planbook.plan.volumes import volume
from planbook.shape import arrange, states
from planbook.shape.paths import leaves_along, ways_out
from planbook.shape.solids import Solids, overlaps

STOCK = "ash: {lumber: white ash, nominal: 8/4, to: 1 1/2 in}"
INCH = 25.4
POLYGON = 48 / (2 * math.pi) * math.sin(math.tau / 48)
"""Area of the 48-sided prism that stands for a round over that of its circle."""


def written(tmp_path: Path, part: str, *, claims: str = "", **groups: str) -> Read:
    steps = step_text("Make it", f"cuts: [post{claims}], sets: [post]")
    words = {"dims": "high: 20 in", "stock": STOCK, "parts": part, "joints": "", **groups}
    return make(tmp_path, words, steps=steps)


def post(tmp_path: Path, words: str) -> Plan:
    part = f"post: {{of: ash, runs: up, length: 20 in, on: floor, left face: 0 in, {words}}}"
    read = written(tmp_path, part, claims=", shape of post")
    assert read.slugs() == []
    return read.plan()


def cubic_inches(plan: Plan, part: str = "post") -> float:
    return Solids(plan).volume(states.finished_version(plan, part)) / INCH**3


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("shape: round, thick: [1 in from foot to top]", math.pi / 4 * 20 * POLYGON),
        # frustum of a cone by Pappus: pi h (R^2 + R r + r^2) / 3
        ("shape: round, thick: [1 in at foot, 1 1/2 in at top]", math.pi * 20 * (0.25 + 0.375 + 0.5625) / 3 * POLYGON),
        ("shape: square, thick: [1 in at foot, 1 1/2 in at top]", 20 * (1 + 1.5 + 2.25) / 3),
        ("shape: octagon, thick: [full from foot to top]", 20 * 2 * (math.sqrt(2) - 1) * 2.25),
        # a shoulder: 1 1/2 below, 3/4 above
        (
            "shape: round, thick: [full from foot to 12 in above foot, 3/4 in from 12 in above foot to top]",
            math.pi / 4 * (12 * 2.25 + 8 * 0.5625) * POLYGON,
        ),
    ],
)
def test_volume_of_a_turned_part(tmp_path: Path, words: str, wanted: float) -> None:
    plan = post(tmp_path, words)
    assert cubic_inches(plan) == pytest.approx(wanted, rel=1e-6)
    exact = wanted / POLYGON if "round" in words else wanted
    assert float(volume(plan.part("post"))) / INCH**3 == pytest.approx(exact, rel=1e-6)


def test_centre_of_a_cone_frustum(tmp_path: Path) -> None:
    # From its wide end: h (R^2 + 2 R r + 3 r^2) / 4 (R^2 + R r + r^2), here 20 in, R 3/4, r 1/4.
    plan = post(tmp_path, "shape: round, thick: [1 1/2 in at foot, 1/2 in at top]")
    _, centre = Solids(plan).mass_and_centre()
    wanted = 20 * (0.5625 + 2 * 0.1875 + 3 * 0.0625) / (4 * (0.5625 + 0.1875 + 0.0625))
    assert centre is not None
    assert centre[2] / INCH == pytest.approx(wanted, rel=1e-6)
    assert centre[0] / INCH == pytest.approx(0.75, rel=1e-9)


def test_before_it_is_turned_it_is_a_square(tmp_path: Path) -> None:
    plan = post(tmp_path, "shape: round, thick: [1 in at foot, full at top]")
    before = states.version_before(plan, "post", 1)
    assert Solids(plan).volume(before) / INCH**3 == pytest.approx(20 * 2.25)


def test_two_posts_in_upright_sockets(tmp_path: Path) -> None:
    parts = (
        "seat: {of: ash, length: 12 in, width: 6 in, underside: 18 1/2 in above floor, left face: 0 in}\n"
        "post: {of: ash, shape: round, runs: up, length: floor to top of seat, left face: 2 in, front face: 2 in, "
        "thick: [full from foot to 17 in above foot, 1 in from 17 in above foot to top]}"
    )
    joints = "hole: {bore: 1 in, through: seat, for: post, from: underside, by: glue}"
    steps = step_text("Make it", "cuts: [seat, post, shape of post, hole], joins: [hole]")
    read = make(tmp_path, {"dims": "high: 20 in", "stock": STOCK, "parts": parts, "joints": joints}, steps=steps)
    assert read.slugs() == []
    plan = read.plan()
    (hole,) = plan.part("seat").holes
    # The middle of the post: 2 + 3/4 from both sides; straight up, so it has no axis of its own.
    assert (shown(hole.l), shown(hole.w), hole.axis) == ("2 3/4 in", "2 3/4 in", None)
    assert overlaps(plan) == ()
    joint = next(iter(plan.joints))
    assert (joint.kind, joint.count) == ("socket", 1)


def legs(tmp_path: Path, lean: str, count: int = 4) -> Plan:
    parts = (
        "seat: {of: ash, disc: 12 in, top: high above floor}\n"
        f"post: {{of: ash, count: {count}, shape: round, length: floor to top of seat, around: seat centre, on: 8 in, "
        f"of face: seat underside, first: 45 deg from grain, {lean}"
        "thick: [1 in from top to foot]}"
    )
    joints = "hole: {bore: 1 in, through: seat, for: post, by: glue}"
    steps = step_text("Make it", "cuts: [seat, post, shape of post, hole], joins: [hole]")
    groups = {"dims": "high: 20 in\nacross: 12 in", "stock": STOCK, "parts": parts, "joints": joints}
    read = make(tmp_path, groups, steps=steps)
    assert read.slugs() == []
    return read.plan()


def test_rake_and_splay_give_the_resultant(tmp_path: Path) -> None:
    # tan^2 R = tan^2 5 + tan^2 10, R = 11.14 degrees, tan S = tan 5 / tan 10, S = 26.4.
    lean = legs(tmp_path, "splay: 10 deg, rake: 5 deg, ").part("post").lean
    assert lean is not None
    assert float(lean.angle) == pytest.approx(11.14, abs=0.01)
    assert lean.sight == pytest.approx(26.38, abs=0.01)
    assert (lean.front, lean.side) == (pytest.approx(10), pytest.approx(5))


@pytest.mark.parametrize("lean", ["lean: 12 deg outward, ", "lean: 4 deg inward, ", "splay: 10 deg, rake: 5 deg, ", ""])
@pytest.mark.parametrize("count", [3, 4])
def test_leaning_parts_follow_their_sockets(tmp_path: Path, lean: str, count: int) -> None:
    plan = legs(tmp_path, lean, count)
    assert overlaps(plan) == ()
    for place in plan.placements:
        space = placed_box(plan.part(place.part), place)
        assert float(space[2][1]) / INCH == pytest.approx(20, abs=1e-6)
        # The box from the plan's own arithmetic is that of the solid.
        (body,) = Solids(plan).bodies(tuple(s for s in states.finished(plan) if s.placement is place))
        for axis in range(3):
            assert body.mesh.points[:, axis].min() == pytest.approx(float(space[axis][0]), abs=0.01)
            assert body.mesh.points[:, axis].max() == pytest.approx(float(space[axis][1]), abs=0.01)


@pytest.mark.parametrize("ease", ["1/4 in round-over", "1/4 in chamfer"])
def test_volume_of_an_eased_disc_by_pappus(tmp_path: Path, ease: str) -> None:
    part = f"post: {{disc: 12 in, of: ash, on: floor, ease top: {ease}}}"
    plan = written(tmp_path, part, claims=", ease of post").plan()
    size, radius = 0.25, 6.0
    if "chamfer" in ease:
        rim = size**2 / 2 * math.tau * (radius - size / 3)
    else:
        inward = size * (10 - 3 * math.pi) / (12 - 3 * math.pi)
        rim = size**2 * (1 - math.pi / 4) * math.tau * (radius - inward)
    wanted = math.pi * radius**2 * 1.5 - rim
    assert float(volume(plan.part("post"))) / INCH**3 == pytest.approx(wanted, rel=1e-6)
    # 96 sides for the circle, five chords for the round-over.
    assert cubic_inches(plan) == pytest.approx(wanted, rel=1.5e-3)


def test_bought_box_and_cylinder(tmp_path: Path) -> None:
    parts = (
        "post: {of: ash, length: 10 in, width: 4 in, on: foot piece, left face: 0 in}\n"
        "foot piece: {bought: rubber foot, cylinder: 2 in x 1 1/2 in, mass: 100 g}\n"
        "box: {bought: lamp, box: 4 in x 3 in x 2 in, on: post, left face: 1 in}"
    )
    steps = step_text("Make it", "cuts: [post], sets: [post, foot piece, box]")
    groups = {"dims": "wide: 10 in\ndeep: 4 in\nhigh: 5 in", "stock": STOCK, "parts": parts, "joints": ""}
    read = make(tmp_path, groups, steps=steps)
    assert read.slugs() == []
    plan = read.plan()
    assert {part.key: part.role for part in plan.fittings} == {"foot piece": Role.BOUGHT, "box": Role.BOUGHT}
    solids = Solids(plan)
    foot = tuple(item for item in states.finished(plan) if item.placement.part == "foot piece")
    mass, centre = solids.mass_and_centre(foot)
    assert mass == pytest.approx(0.1, rel=2e-3)
    assert centre is not None
    # In the middle of the piece, half way up.
    assert [round(at / INCH, 3) for at in centre] == [5.0, 2.0, 0.75]
    box = next(item for item in plan.placements if item.part == "box")
    space = placed_box(plan.part("box"), box)
    stands = [f"{shown(low)} to {shown(high)}" for low, high in space]
    assert stands == ["1 in to 5 in", "1/2 in to 3 1/2 in", "3 in to 5 in"]
    assert overlaps(plan) == ()


def test_stations_are_rounded_once_and_rise(tmp_path: Path) -> None:
    plan = post(tmp_path, "shape: octagon, thick: [full at 10 in above foot, 1 in at foot, 7/8 in at top]")
    shape = plan.part("post").shape
    assert isinstance(shape, Turned)
    assert [shown(item.at) for item in shape.stations] == ["0 in", "10 in", "20 in"]
    assert {item.profile for item in shape.stations} == {Profile.OCTAGON}


def test_laid_flat_a_leaning_part_lies_along_the_bench(tmp_path: Path) -> None:
    plan = legs(tmp_path, "lean: 12 deg outward, ")
    place = next(place for place in plan.placements if place.part == "post")
    flat = arrange.laid_flat(plan, place)
    assert flat.turn is None
    box = arrange.bounds(plan, flat)
    assert float(box.size[0]) > 3 * float(box.size[1])


WRONG = [
    ("shape: hexagon, thick: [1 in at foot, 1 in at top]", "unknown-shape"),
    ("shape: round, thick: [1 in at foot]", "no-size"),
    ("shape: round, thick: [2 in at foot, 1 in at top]", "thicker-than-blank"),
    ("shape: round, thick: [0 in at foot, 1 in at top]", "no-size"),
    ("shape: round, thick: [1 in at foot, 1 in at 25 in above foot]", "station-outside"),
    ("shape: round, thick: [1 in at foot, 1 in at top, 1 1/4 in at top, 1 1/8 in at top]", "stations-meet"),
    ("shape: round, thick: [1 in beside foot, 1 in at top]", "broken-place"),
    ("shape: round, thick: [1 in at foot, 1 in at top], spare: {top: 1 in}", "missing-word"),
]


@pytest.mark.parametrize(("words", "slug"), WRONG)
def test_wrong_stations_are_told_at_their_place(tmp_path: Path, words: str, slug: str) -> None:
    part = f"post: {{of: ash, runs: up, length: 20 in, on: floor, left face: 0 in, {words}}}"
    read = written(tmp_path, part, claims=", shape of post")
    found = read.found(slug)
    assert found.span is not None
    assert found.span.file.endswith("plan.yaml")


def test_a_leg_leaves_its_socket_along_its_own_axis_only(tmp_path: Path) -> None:
    plan = legs(tmp_path, "lean: 12 deg outward, ")
    finished, solids = states.finished(plan), Solids(plan)
    seat = solids.bodies([item for item in finished if item.placement.part == "seat"])
    for item in finished:
        if item.placement.part != "post":
            continue
        assert item.placement.turn is not None
        x, y, z = item.placement.turn[0]
        leg = solids.bodies([item])
        assert leaves_along(leg, seat, (-x, -y, -z))
        assert ways_out(leg, seat) == ()


@pytest.mark.parametrize("sides", [4, 8, 12])
def test_a_flat_part_with_straight_sides(tmp_path: Path, sides: int) -> None:
    # n equal sides round a circle of diameter d: area n d^2 tan(pi / n) / 4, rim n d tan(pi / n).
    plan = written(tmp_path, f"post: {{disc: 12 in, sides: {sides}, of: ash, on: floor}}").plan()
    area, rim = sides * 144 * math.tan(math.pi / sides) / 4, sides * 12 * math.tan(math.pi / sides)
    assert cubic_inches(plan) == pytest.approx(area * 1.5, rel=1e-9)
    assert float(volume(plan.part("post"))) / INCH**3 == pytest.approx(area * 1.5, rel=1e-9)
    whole = Solids(plan).area(states.finished_version(plan, "post")) / INCH**2
    assert whole == pytest.approx(2 * area + 1.5 * rim, rel=1e-9)


def test_sides_that_no_blank_has(tmp_path: Path) -> None:
    read = written(tmp_path, "post: {disc: 12 in, sides: 5, of: ash, on: floor}")
    assert read.found("wrong-number").help == "write `sides: 8` for an octagon; leave it out for a circle"


def test_surface_of_a_cylinder(tmp_path: Path) -> None:
    plan = post(tmp_path, "shape: round, thick: [1 in from foot to top]")
    sides = 48
    rim, end = sides * math.sin(math.pi / sides), sides / 8 * math.sin(math.tau / sides)
    found = Solids(plan).area(states.finished_version(plan, "post")) / INCH**2
    assert found == pytest.approx(20 * rim + 2 * end, rel=1e-9)


def test_a_counterbore_is_wider_at_its_mouth(tmp_path: Path) -> None:
    part = "post: {of: ash, length: 12 in, width: 4 in, on: floor, left face: 0 in}"
    holes = (
        "screws: {in: post, rows: 2 in from front, start: 3 in from left end, stop: 9 in from left end, count: 2, "
        "drill: 1/4 in, deep: through, counterbore: 3/4 in, counterbore deep: 1/2 in}"
    )
    read = written(tmp_path, part, claims=", screws", holes=holes)
    assert read.slugs() == []
    plan = read.plan()
    for hole in plan.part("post").holes:
        assert hole.counterbore is not None
        assert [shown(size) for size in hole.counterbore] == ["3/4 in", "1/2 in"]
    polygon = 24 / (2 * math.pi) * math.sin(math.tau / 24)
    lost = math.pi / 4 * polygon * (0.75**2 * 0.5 + 0.25**2 * 1.0)
    assert cubic_inches(plan) == pytest.approx(12 * 4 * 1.5 - 2 * lost, rel=1e-9)


@pytest.mark.parametrize(("wide", "deep"), [("1/4 in", "1/2 in"), ("1 in", "2 in")])
def test_a_counterbore_that_takes_all(tmp_path: Path, wide: str, deep: str) -> None:
    part = "post: {of: ash, length: 12 in, width: 4 in, on: floor, left face: 0 in}"
    holes = (
        "screws: {in: post, rows: 2 in from front, start: 3 in from left end, stop: 9 in from left end, count: 2, "
        f"drill: 1/4 in, counterbore: {wide}, counterbore deep: {deep}}}"
    )
    read = written(tmp_path, part, claims=", screws", holes=holes)
    assert "counterbore-takes-all" in {item.slug for item in read.stops()}
