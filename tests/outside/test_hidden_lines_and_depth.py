"""Hidden lines against a depth buffer: a rasteriser written here, with nothing of the program but the solids.

Each triangle is filled into a grid of pixels that keep the nearest one (the depth buffer of Catmull, 1974).
A point of an edge can be seen where none of the nine pixels about it holds a triangle whose plane lies
nearer there, and is hidden where all nine do; else it is too near an edge and left out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from fixtures.target_books import target_plan

from planbook.plan.model import Plan
from planbook.plan.resolve import resolve
from planbook.shape import states
from planbook.shape.direction import FRONT, ISO_RIGHT, SIDE, TOP, looking_from
from planbook.shape.mesh import Floats, Ints
from planbook.shape.solids import Body, Solids
from planbook.shape.view import Lines, View
from planbook.source.book import read_book
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.units.editions import EDITIONS

PIXELS = 500
"""Along the longer side of the picture."""
NEARER = 1e-5
"""What counts as nearer, as a part of the picture's size."""
SHARP = 0.02
"""Radians between two faces from which their edge is looked at; facets of curved walls have none."""
SAMPLES = 4_000
ON_LINE = 2e-6
"""How near a line a point must be to lie on it, as a part of the picture's size."""
DIRECTIONS = {
    "isometric": ISO_RIGHT,
    "front": FRONT,
    "side": SIDE,
    "top": TOP,
    "from below": looking_from((0.4, -1.0, -0.7)),
    "askew": looking_from((0.31, -0.85, 0.23)),
}


def boot_bench() -> Plan:
    findings = Findings()
    book = read_book(Path(__file__).parents[2] / "content", findings, Sources())
    assert book is not None
    written = next(item for item in book.plans if item.slug == "boot-bench")
    plan = resolve(written, book.shop, EDITIONS["imperial"], findings)
    assert plan is not None
    return plan


PLANS: dict[str, Callable[[], Plan]] = {
    "bench": boot_bench,
    "bookcase": lambda: target_plan("a", "imperial"),
    "stool": lambda: target_plan("b", "imperial"),
    "table": lambda: target_plan("c", "imperial"),
}


@dataclass(frozen=True)
class Raster:
    """The nearest triangle of each pixel."""

    low: Floats
    pixel: float
    nearest: Ints
    """(rows, columns), -1 where there is nothing."""
    planes: Floats
    """(n + 1, 3): depth at the origin, per right, per up; the last one lies infinitely far off."""

    def __init__(self, corners: Floats) -> None:
        flat = corners[:, :, :2]
        low, high = flat.min(axis=(0, 1)), flat.max(axis=(0, 1))
        pixel = float((high - low).max()) / PIXELS
        columns, rows = (int(count) + 3 for count in np.ceil((high - low) / pixel))
        depth = np.full((rows, columns), -np.inf)
        nearest = np.full((rows, columns), -1, dtype=np.int64)
        planes = np.full((len(corners) + 1, 3), 0.0)
        planes[-1, 0] = -np.inf
        for number, (a, b, c) in enumerate(corners):
            normal = np.cross(b - a, c - a)
            if abs(normal[2]) < 1e-9 * np.linalg.norm(normal) + 1e-12:
                continue
            per_x, per_y = -normal[0] / normal[2], -normal[1] / normal[2]
            planes[number] = (a[2] - per_x * a[0] - per_y * a[1], per_x, per_y)
            self._fill(number, np.array([a, b, c]), planes[number], low, pixel, depth, nearest)
        object.__setattr__(self, "low", low)
        object.__setattr__(self, "pixel", pixel)
        object.__setattr__(self, "nearest", nearest)
        object.__setattr__(self, "planes", planes)

    @staticmethod
    def _fill(
        number: int, corners: Floats, plane: Floats, low: Floats, pixel: float, depth: Floats, nearest: Ints
    ) -> None:
        # The grid begins one pixel outside; pixel (i, j) stands for its middle.
        first = np.floor((corners[:, :2].min(axis=0) - low) / pixel).astype(int)
        last = np.ceil((corners[:, :2].max(axis=0) - low) / pixel).astype(int) + 2
        x = low[0] + (np.arange(first[0], last[0]) - 0.5) * pixel
        y = low[1] + (np.arange(first[1], last[1]) - 0.5) * pixel
        inside = np.ones((len(y), len(x)), dtype=bool)
        (ax, ay), (bx, by), (cx, cy) = corners[:, :2]
        turn = np.sign((bx - ax) * (cy - ay) - (by - ay) * (cx - ax))
        for (px, py), (qx, qy) in (((ax, ay), (bx, by)), ((bx, by), (cx, cy)), ((cx, cy), (ax, ay))):
            inside &= turn * ((qx - px) * (y[:, None] - py) - (qy - py) * (x[None, :] - px)) >= 0
        window = slice(first[1], last[1]), slice(first[0], last[0])
        here = plane[0] + plane[1] * x[None, :] + plane[2] * y[:, None]
        won = inside & (here > depth[window][: len(y), : len(x)])
        depth[window][won] = here[won]
        nearest[window][won] = number

    def seen(self, points: Floats, margin: float) -> Ints:
        """Return for each point 1 where it is seen, 0 where it is hidden, -1 where it is too near an edge."""
        column, row = (np.floor((points[:, k] - self.low[k]) / self.pixel).astype(int) + 1 for k in range(2))
        before = np.zeros(len(points), dtype=np.int64)
        for down in (-1, 0, 1):
            for right in (-1, 0, 1):
                i = np.clip(row + down, 0, self.nearest.shape[0] - 1)
                j = np.clip(column + right, 0, self.nearest.shape[1] - 1)
                plane = self.planes[self.nearest[i, j]]
                depth = plane[:, 0] + plane[:, 1] * points[:, 0] + plane[:, 2] * points[:, 1]
                before += depth > points[:, 2] + margin
        return np.where(before == 0, 1, np.where(before == 9, 0, -1))


def sharp_edges(body: Body) -> Ints:
    """Return the edges of a body between faces that are not of one plane or one curved wall."""
    a, b, c = (body.mesh.points[body.mesh.triangles[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a)
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    one, other = normal[body.mesh.beside[:, 0]], normal[body.mesh.beside[:, 1]]
    angle = np.arccos(np.clip((one * other).sum(axis=1), -1, 1))
    kept: Ints = body.mesh.edges[(angle > SHARP) & ~body.mesh.smooth]
    return kept


@dataclass(frozen=True)
class Seen:
    """A piece from one direction: its lines as drawn, and the depth buffer of the same solids."""

    bodies: tuple[Body, ...]
    flat: tuple[Floats, ...]
    raster: Raster
    owner: Ints
    normals: Floats
    """Unit normals of the triangles in the frame of the picture."""
    lines: Lines

    @property
    def size(self) -> float:
        return self.raster.pixel * PIXELS


@cache
def seen(name: str, way: str) -> Seen:
    plan = PLANS[name]()
    direction = DIRECTIONS[way]
    bodies = Solids(plan).bodies(states.finished(plan))
    axes = np.array([direction.right, direction.up, direction.toward])
    flat = tuple(body.mesh.points @ axes.T for body in bodies)
    corners = np.concatenate([points[body.mesh.triangles] for points, body in zip(flat, bodies, strict=True)])
    owner = np.concatenate([np.full(len(body.mesh.triangles), number) for number, body in enumerate(bodies)])
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    unit = cross / np.linalg.norm(cross, axis=1)[:, None]
    return Seen(bodies, flat, Raster(corners), owner, unit, View(bodies, direction).state())


def disagreements(scene: Seen) -> tuple[int, int, list[str]]:
    """Return how many points were compared, how many of them are hidden, and those where the two disagree."""
    raster = scene.raster
    edges = np.concatenate([points[sharp_edges(body)] for points, body in zip(scene.flat, scene.bodies, strict=True)])
    long = np.linalg.norm(edges[:, 1, :2] - edges[:, 0, :2], axis=1)
    random = np.random.default_rng(7)
    chosen = random.choice(len(edges), SAMPLES, p=long / long.sum())
    share = random.uniform(0.001, 0.999, SAMPLES)[:, None]
    points = edges[chosen, 0] * (1 - share) + edges[chosen, 1] * share
    verdict = raster.seen(points, NEARER * scene.size)
    drawn = distance_to_lines(scene.lines, points[:, :2]) < ON_LINE * scene.size
    wrong = []
    for k in np.flatnonzero((verdict >= 0) & (drawn != (verdict == 1))):
        # A hidden edge may lie behind a visible one.
        if verdict[k] == 1 or not _another(edges, points[k], scene):
            wrong.append(f"{points[k].tolist()} {'drawn' if drawn[k] else 'not drawn'}")
    return int((verdict >= 0).sum()), int((verdict == 0).sum()), wrong


def _another(edges: Floats, point: Floats, scene: Seen) -> bool:
    """Whether another edge passes a point of the picture, where it is seen or too near an edge to say."""
    start, run = edges[:, 0, :2], edges[:, 1, :2] - edges[:, 0, :2]
    with np.errstate(invalid="ignore", divide="ignore"):
        t = np.clip(((point[:2] - start) * run).sum(axis=1) / (run**2).sum(axis=1), 0, 1)
    away = np.hypot(*(point[:2] - start - t[:, None] * run).T)
    here = np.flatnonzero(away < ON_LINE * scene.size)
    there = edges[here, 0] + t[here, None] * (edges[here, 1] - edges[here, 0])
    return bool((scene.raster.seen(there, NEARER * scene.size) != 0).any())


def distance_to_lines(lines: Lines, points: Floats) -> Floats:
    found = np.full(len(points), np.inf)
    for piece in lines.visible:
        start, end = np.array(piece.start), np.array(piece.end)
        run = end - start
        t = np.clip(((points - start) @ run) / (run @ run), 0, 1)
        found = np.minimum(found, np.hypot(*(points - start - t[:, None] * run).T))
    return found


def borders(scene: Seen) -> Floats:
    """Return the places of the picture where two pixels side by side, or one above the other, are of two bodies."""
    raster = scene.raster
    whose = np.append(scene.owner, -1)[raster.nearest]
    found = []
    for down, right in ((0, 1), (1, 0)):
        one, other = whose[: whose.shape[0] - down, : whose.shape[1] - right], whose[down:, right:]
        row, column = np.nonzero(one != other)
        found.append(raster.low + np.stack([column + right / 2 - 0.5, row + down / 2 - 0.5], axis=1) * raster.pixel)
    return np.concatenate(found)


def without_reason(scene: Seen) -> tuple[int, list[str]]:
    """Return how many drawn lines were looked at, and those on both sides of which lies one and the same surface."""
    raster, whose = scene.raster, np.append(scene.owner, -1)
    looked, wrong = 0, []
    for piece in scene.lines.visible:
        start, end = np.array(piece.start), np.array(piece.end)
        run, middle = end - start, (start + end) / 2
        long = float(np.hypot(*run))
        if long < 4 * raster.pixel:
            continue
        looked += 1
        aside = np.array([-run[1], run[0]]) / long * 1.5 * raster.pixel
        cells = (
            np.floor((spot - raster.low) / raster.pixel).astype(int) + 1 for spot in (middle + aside, middle - aside)
        )
        one, other = (int(raster.nearest[row, column]) for column, row in cells)
        if whose[one] != whose[other] or one < 0:
            continue
        depth = [float(raster.planes[face] @ np.array([1.0, *middle])) for face in (one, other)]
        bend = float(np.arccos(np.clip(scene.normals[one] @ scene.normals[other], -1, 1)))
        if bend < SHARP and abs(depth[0] - depth[1]) < 2 * raster.pixel:
            wrong.append(f"{piece.body.part} {piece.start} {piece.end}")
    return looked, wrong


SCENES = [("stool", way) for way in DIRECTIONS]
SCENES += [("bench", way) for way in ("isometric", "front", "from below")]
SCENES += [("bookcase", "isometric"), ("table", "from below")]


@pytest.mark.parametrize(("name", "way"), SCENES)
def test_edges_are_drawn_where_the_depth_buffer_sees_them(name: str, way: str) -> None:
    compared, hidden, wrong = disagreements(seen(name, way))
    assert compared > SAMPLES / 5
    assert hidden > SAMPLES / 20
    assert len(wrong) < compared / 1000, wrong


@pytest.mark.parametrize(("name", "way"), SCENES)
def test_a_line_is_drawn_wherever_two_bodies_meet_on_the_picture(name: str, way: str) -> None:
    """Silhouettes of round parts too: half a pixel is as exact as pixels are."""
    scene = seen(name, way)
    places = borders(scene)
    assert len(places) > 1000
    assert distance_to_lines(scene.lines, places).max() < 0.75 * scene.raster.pixel


@pytest.mark.parametrize(("name", "way"), SCENES)
def test_no_line_is_drawn_on_a_smooth_surface(name: str, way: str) -> None:
    """Facets of turned legs, round seats and eased edges leave no line."""
    looked, wrong = without_reason(seen(name, way))
    assert looked >= 4
    assert wrong == []


@pytest.mark.parametrize("way", ["front", "side"])
def test_the_wall_of_a_round_seat_has_no_line_but_its_two_ends(way: str) -> None:
    scene = seen("stool", way)
    seat = [piece for piece in scene.lines.visible if piece.body.part == "seat"]
    left = min(min(piece.start[0], piece.end[0]) for piece in seat)
    right = max(max(piece.start[0], piece.end[0]) for piece in seat)
    upright = [piece.start[0] for piece in seat if abs(piece.start[0] - piece.end[0]) < 0.5]
    assert upright
    assert all(min(x - left, right - x) < 0.01 * (right - left) for x in upright)
