from __future__ import annotations

import math
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_bodies import block, body, solid, turned
from sample_plan import CASE, bookcase

from planbook.shape.direction import FRONT, ISO_LEFT, ISO_RIGHT, LEFT, SIDE, TOP, Direction, looking_from
from planbook.shape.mesh import normals
from planbook.shape.solids import Body, Solids
from planbook.shape.states import finished, new_in, state_after
from planbook.shape.view import Kind, Piece, View

FORESHORTENED = math.sqrt(2 / 3)
DIRECTIONS = {"front": FRONT, "side": SIDE, "top": TOP, "right": ISO_RIGHT, "left": ISO_LEFT}


def total(pieces: Iterable[Piece], kind: Kind | None = None) -> float:
    return sum(math.dist(p.start, p.end) for p in pieces if kind is None or p.kind is kind)


def segments(pieces: Iterable[Piece]) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    found = []
    for piece in pieces:
        ends = sorted((round(x, 4) + 0.0, round(y, 4) + 0.0) for x, y in (piece.start, piece.end))
        found.append((ends[0], ends[1]))
    return sorted(found)


def test_axes_of_the_pictures() -> None:
    assert FRONT.project((1, 2, 3)) == (1, 3, -2)
    assert SIDE.project((1, 2, 3)) == (2, 3, 1)
    assert LEFT.project((1, 2, 3)) == (-2, 3, -1)
    assert TOP.project((1, 2, 3)) == (1, 2, 3)
    for axis in ((1, 0, 0), (0, 1, 0), (0, 0, 1)):
        right, up, _ = ISO_RIGHT.project(axis)
        assert math.hypot(right, up) == pytest.approx(FORESHORTENED)
    assert ISO_RIGHT.project((1, 0, 0))[:2] == pytest.approx((math.sqrt(1 / 2), -math.sqrt(1 / 6)))
    with pytest.raises(ValueError, match="length"):
        looking_from((0, 0, 0))


def test_a_box_in_isometric_has_nine_lines_six_of_them_outline() -> None:
    lines = View([block((0, 0, 0), (30, 20, 10))], ISO_RIGHT).state()
    assert [piece.kind for piece in lines.visible].count(Kind.OUTLINE) == 6
    assert [piece.kind for piece in lines.visible].count(Kind.EDGE) == 3
    assert total(lines.visible, Kind.OUTLINE) == pytest.approx(FORESHORTENED * 120)
    assert total(lines.visible, Kind.EDGE) == pytest.approx(FORESHORTENED * 60)
    assert total(lines.hidden) == pytest.approx(FORESHORTENED * 60)


def test_a_box_seen_straight_is_one_rectangle() -> None:
    lines = View([block((0, 0, 0), (30, 20, 10))], FRONT).state()
    rectangle = [((0, 0), (0, 10)), ((0, 0), (30, 0)), ((0, 10), (30, 10)), ((30, 0), (30, 10))]
    assert segments(lines.visible) == rectangle
    assert {piece.kind for piece in lines.visible} == {Kind.OUTLINE}
    assert lines.hidden == ()


def test_a_box_behind_another_shows_what_stands_out() -> None:
    near, far = block((0, 0, 0), (10, 5, 10), "near"), block((4, 20, 2), (16, 30, 8), "far")
    view = View([near, far], FRONT)
    lines = view.state()
    mine = [piece for piece in lines.visible if piece.body is far]
    assert segments(mine) == [((10, 2), (16, 2)), ((10, 8), (16, 8)), ((16, 2), (16, 8))]
    assert segments(lines.hidden) == [((4, 2), (4, 8)), ((4, 2), (10, 2)), ((4, 8), (10, 8))]
    assert total(view.state([far]).visible) == pytest.approx(36)
    assert view.state([far]).hidden == ()


def test_a_dado_seen_in_isometric() -> None:
    """A board 100 x 60 x 20 lying flat, with a dado 30 wide and 10 deep across it."""
    cut = solid((0, 0, 0), (100, 60, 20)) - solid((30, -1, 10), (60, 61, 21))
    lines = View([body(cut)], ISO_RIGHT).state()
    # A ray to the viewer rises 1 for every 1 to the right and 1 to the front. So the far rim of the
    # dado (x = 60, z = 20) stands before its floor from y = 0 to 50 and before nothing from 50 to 60,
    # and the floor's back edge shows from x = 30 to 50.
    outline = (100 + 20) + (60 + 20) + (70 + 60) + (10 + 20 + 10)
    front = 70 + 30 + 10 + 10 + 20
    rims = 60 + 60 + 60 + 50  # right end, near rim, foot of the near wall, far rim
    shown = {kind: total(lines.visible, kind) / FORESHORTENED for kind in Kind}
    assert shown[Kind.OUTLINE] == pytest.approx(outline, rel=1e-5)
    assert shown[Kind.EDGE] == pytest.approx(front + rims, rel=1e-5)


def test_flush_boxes_keep_one_line_between_them() -> None:
    left, right = block((0, 0, 0), (10, 5, 10), "left"), block((10, 0, 0), (25, 5, 10), "right")
    view = View([left, right], FRONT)
    assert total(view.state().visible) == pytest.approx(2 * 25 + 3 * 10)
    seam = [p for p in view.state().visible if p.start[0] == p.end[0] == 10]
    assert [piece.body for piece in seam] == [left]
    seam = [p for p in view.state(first=[right]).visible if p.start[0] == p.end[0] == 10]
    assert [piece.body for piece in seam] == [right]


def test_an_edge_in_a_touching_face_stays() -> None:
    board, block_on_it = block((0, 0, 0), (100, 100, 10), "board"), block((30, 30, 10), (60, 60, 40), "block")
    lines = View([board, block_on_it], ISO_RIGHT).state()
    mine = [piece for piece in lines.visible if piece.body is block_on_it]
    assert total(mine) == pytest.approx(FORESHORTENED * 9 * 30)


def test_a_bore_shows_its_rim_and_no_facets() -> None:
    plan = bookcase("metric")
    side = [one for one in state_after(plan, CASE) if one.placement.hand == "L"]
    solids = Solids(plan)
    with_holes, without = (
        View(solids.bodies(side, holes=holes), looking_from((1, 0, 0))).state() for holes in (True, False)
    )
    rim = 42 * 24 * 2 * 2.5 * math.sin(math.pi / 24)
    assert total(with_holes.visible) - total(without.visible) == pytest.approx(rim, rel=1e-6)
    assert total(with_holes.visible, Kind.OUTLINE) == pytest.approx(total(without.visible, Kind.OUTLINE))
    # Slanted, a line along the axis of a bore would be a facet: there are as many such lines as without bores.
    along = []
    for holes in (True, False):
        pieces = View(solids.bodies(side, holes=holes), ISO_RIGHT).state().visible
        runs = [(p.end[0] - p.start[0], p.end[1] - p.start[1]) for p in pieces]
        along.append(sum(abs(x * math.sqrt(1 / 6) + y * math.sqrt(1 / 2)) < 1e-6 * math.hypot(x, y) for x, y in runs))
    assert along[0] == along[1] > 0


def random_scene(seed: int, count: int = 7, turn: bool = True) -> list[Body]:
    random = np.random.default_rng(seed)
    bodies = []
    for number in range(count):
        low, size = random.uniform(0, 60, 3), random.uniform(5, 40, 3)
        cut = random.uniform(0.2, 0.6, 3) * size
        notched = solid((0, 0, 0), tuple(size)) - solid((-1, -1, -1), tuple(cut))
        how = turned(*random.uniform(0, 6, 3)) if turn else np.eye(3)
        made = body(notched, f"block {number}", how)
        points = made.mesh.points + low
        bodies.append(Body(made.placement, "", made.mesh.moved(points, flip=False)))
    return bodies


def sees(bodies: list[Body], point: np.ndarray, toward: np.ndarray, away: float) -> bool:
    """Whether nothing stands between a point and the viewer: a ray against every triangle in space."""
    for one in bodies:
        a, b, c = (one.mesh.points[one.mesh.triangles[:, k]] for k in range(3))
        u_side, v_side = b - a, c - a
        across = np.cross(toward[None, :], v_side)
        det = (u_side * across).sum(axis=1)
        usable = np.abs(det) > 1e-3 * np.abs(u_side).max() * np.abs(v_side).max() * 1e-3
        det = np.where(usable, det, 1.0)
        from_a = point - a
        u = (from_a * across).sum(axis=1) / det
        other = np.cross(from_a, u_side)
        v = (other * toward).sum(axis=1) / det
        far = (v_side * other).sum(axis=1) / det
        if (usable & (u >= 0) & (v >= 0) & (u + v <= 1) & (far > away)).any():
            return False
    return True


def on_a_line(pieces: tuple[Piece, ...], points: list[tuple[float, float]], near: float) -> bool:
    """Whether one piece runs through all the points."""
    starts = np.array([p.start for p in pieces])
    run = np.array([p.end for p in pieces]) - starts
    hit = np.ones(len(pieces), dtype=bool)
    for point in points:
        at = np.array(point) - starts
        along = np.clip((at * run).sum(axis=1) / (run**2).sum(axis=1), 0, 1)
        gap = at - run * along[:, None]
        hit &= np.hypot(gap[:, 0], gap[:, 1]) < near
    return bool(hit.any())


@pytest.mark.parametrize("seed", range(6))
def test_random_points_on_edges_agree_with_a_ray_in_space(seed: int) -> None:
    """Points on edges are drawn exactly where a ray to the viewer, tested in space, meets nothing."""
    random = np.random.default_rng(100 + seed)
    bodies = random_scene(seed)
    direction = looking_from(tuple(random.normal(size=3)))
    lines = View(bodies, direction).state()
    toward = np.array(direction.toward)
    seen = hidden = 0
    for _ in range(400):
        one = bodies[random.integers(len(bodies))]
        mesh = one.mesh
        unit = normals(mesh.points, mesh.triangles)[mesh.beside]
        real = np.flatnonzero(((unit[:, 0] - unit[:, 1]) ** 2).sum(axis=1) > 1e-6)
        ends = mesh.points[mesh.edges[random.choice(real)]]
        places = [ends[0] + t * (ends[1] - ends[0]) for t in random.uniform(0.01, 0.99) + np.array([-1, 0, 1]) * 1e-4]
        views = {sees(bodies, place, toward, 1e-6) for place in places}
        if len(views) == 2:
            continue  # The line ends just here.
        flat = [direction.project(tuple(place))[:2] for place in places]
        drawn = on_a_line(lines.visible, flat, 1e-6)
        assert drawn == views.pop()
        seen, hidden = seen + drawn, hidden + (not drawn)
    assert seen > 40
    assert hidden > 40


@pytest.mark.parametrize("name", DIRECTIONS)
def test_visible_edges_of_the_bookcase_are_drawn(name: str) -> None:
    """The special directions, where edges hide exactly behind edges: nothing that a ray sees is missing."""
    plan = bookcase()
    bodies = list(Solids(plan).bodies(finished(plan), holes=False))
    direction = DIRECTIONS[name]
    lines = View(bodies, direction).state()
    random, toward, seen = np.random.default_rng(1), np.array(direction.toward), 0
    for _ in range(500):
        one = bodies[random.integers(len(bodies))]
        mesh = one.mesh
        unit = normals(mesh.points, mesh.triangles)[mesh.beside]
        bent = ((unit[:, 0] - unit[:, 1]) ** 2).sum(axis=1) > 1e-6
        facing = (unit * toward).sum(axis=2).max(axis=1) > 1e-3
        ends = mesh.points[mesh.edges[random.choice(np.flatnonzero(bent & facing))]]
        place = ends[0] + random.uniform(0.01, 0.99) * (ends[1] - ends[0])
        flat = direction.project(tuple(place))[:2]
        if sees(bodies, place, toward, 1e-2):
            seen += 1
            assert on_a_line(lines.visible, [flat], 1e-5)
    assert seen > 20


@given(st.integers(0, 10**6), st.tuples(*[st.floats(-1e-9, 1e-9)] * 3))
@settings(max_examples=15, deadline=None)
def test_a_tiny_turn_changes_nothing(seed: int, turn: tuple[float, float, float]) -> None:
    bodies = random_scene(seed, 4)
    viewer = np.random.default_rng(seed).normal(size=3)
    one, other = (View(bodies, looking_from(tuple(v))).state() for v in (viewer, viewer + np.array(turn)))
    assert total(one.visible) == pytest.approx(total(other.visible), rel=1e-5)
    assert len(one.visible) == len(other.visible)


@pytest.mark.parametrize("name", DIRECTIONS)
def test_the_bookcase_is_stable_under_tiny_turns(name: str) -> None:
    plan = bookcase()
    bodies = Solids(plan).bodies(finished(plan), holes=False)
    direction = DIRECTIONS[name]
    tilted = looking_from(tuple(v + t for v, t in zip(direction.toward, (1e-10, -2e-10, 1.5e-10), strict=True)))
    if name == "top":
        tilted = Direction((1.0, 1e-10, 0.0), (-1e-10, 1.0, 1e-10), (0.0, -1e-10, 1.0))
    one, other = View(bodies, direction).state(), View(bodies, tilted).state()
    assert len(one.visible) == len(other.visible)
    assert total(one.visible) == pytest.approx(total(other.visible), rel=5e-6)


def test_a_subset_is_what_a_view_of_it_alone_would_be() -> None:
    bodies = random_scene(3, 8)
    some = bodies[2:6]
    direction = looking_from((0.3, -0.8, 0.5))
    assert segments(View(bodies, direction).state(some).visible) == segments(View(some, direction).state().visible)


def test_no_part_of_a_line_is_drawn_twice() -> None:
    plan = bookcase()
    solids = Solids(plan)
    for direction in DIRECTIONS.values():
        lines = View(solids.bodies(finished(plan)), direction).state()
        strokes = lines.strokes
        order = np.lexsort((strokes.low, strokes.line))
        same = strokes.line[order][1:] == strokes.line[order][:-1]
        assert (strokes.low[order][1:] >= strokes.high[order][:-1] - 1e-9)[same].all()


def test_visible_and_hidden_together_are_all_edges() -> None:
    bodies = random_scene(11, 5)
    lines = View(bodies, looking_from((0.2, -0.9, 0.4))).state()
    length = 0.0
    for one in bodies:
        unit = normals(one.mesh.points, one.mesh.triangles)[one.mesh.beside]
        bent = ((unit[:, 0] - unit[:, 1]) ** 2).sum(axis=1) > 1e-6
        for start, end in one.mesh.points[one.mesh.edges[bent]]:
            length += math.dist(*(lines.view.project(tuple(p)) for p in (start, end)))
    assert total(lines.visible) + total(lines.hidden) == pytest.approx(length, rel=1e-4)


def test_new_parts_can_stand_away_from_their_place() -> None:
    plan = bookcase("metric")
    solids = Solids(plan)
    new = solids.bodies(new_in(plan, CASE), shift=(0, -300, 0))
    assert min(float(one.mesh.points[:, 1].min()) for one in new) == -300


def test_nothing_gives_no_lines() -> None:
    lines = View([], ISO_RIGHT).state()
    assert (lines.visible, lines.hidden, lines.regions()) == ((), (), ())
    box = block((0, 0, 0), (1, 1, 1))
    none = View([box], ISO_RIGHT).state([])
    assert (none.visible, none.hidden, none.regions(), none.anchor(box)) == ((), (), (), None)


SCRIPT = """
from sample_plan import bookcase
from planbook.shape.direction import ISO_RIGHT
from planbook.shape.solids import Solids
from planbook.shape.states import finished
from planbook.shape.view import View
import hashlib
plan = bookcase()
lines = View(Solids(plan).bodies(finished(plan)), ISO_RIGHT).state()
told = repr([(p.body.part, p.body.piece, p.kind, p.start, p.end) for p in (*lines.visible, *lines.hidden)])
told += repr([(r.body.part, r.outer, r.holes) for r in lines.regions()])
print(hashlib.sha256(told.encode()).hexdigest())
"""


def test_two_processes_draw_the_same_numbers() -> None:
    tests = Path(__file__).parents[1]
    answers = set()
    for seed in ("1", "2"):
        environment = {"PYTHONPATH": f"{tests}:{tests.parent}", "PYTHONHASHSEED": seed}
        run = subprocess.run(
            [sys.executable, "-c", SCRIPT], env=environment, capture_output=True, text=True, check=True
        )
        answers.add(run.stdout)
    assert len(answers) == 1
