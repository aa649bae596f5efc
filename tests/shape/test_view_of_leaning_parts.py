"""Hidden lines of the stool against rays shot at its triangles, made here from the same solids."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from planbook.plan.model import Plan
from planbook.plan.resolve import resolve
from planbook.shape import states
from planbook.shape.direction import FRONT, ISO_LEFT, ISO_RIGHT, SIDE, TOP, Direction
from planbook.shape.mesh import Floats
from planbook.shape.solids import Body, Solids
from planbook.shape.view import View
from planbook.source.book import read_book
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.units.editions import EDITIONS

BOOKS = Path(__file__).parent.parent / "fixtures"
ASIDE = 0.05
"""mm on the picture: points nearer than this to an edge of a triangle in front are left out."""


@cache
def plan_of(name: str) -> Plan:
    findings = Findings()
    book = read_book(BOOKS / name, findings, Sources())
    assert book is not None
    plan = resolve(book.plans[0], book.shop, EDITIONS["imperial"], findings)
    assert plan is not None
    return plan


@cache
def bodies_of(name: str) -> tuple[Body, ...]:
    plan = plan_of(name)
    return Solids(plan).bodies(states.finished(plan), holes=False)


def triangles(bodies: tuple[Body, ...], direction: Direction) -> Floats:
    """All triangles as right, up and nearness."""
    axes = np.array([direction.right, direction.up, direction.toward])
    return np.concatenate([(body.mesh.points @ axes.T)[body.mesh.triangles] for body in bodies])


def nearest(point: Floats, faces: Floats) -> tuple[float, float]:
    """Return how near the nearest face over a point of the picture is, and how far it is from an edge of any."""
    a, b, c = faces[:, 0], faces[:, 1], faces[:, 2]
    area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    solid = np.abs(area) > 1e-9
    a, b, c, area = a[solid], b[solid], c[solid], area[solid]
    weights = []
    edge = np.full(len(a), np.inf)
    for one, other in ((b, c), (c, a), (a, b)):
        cross = (other[:, 0] - one[:, 0]) * (point[1] - one[:, 1]) - (other[:, 1] - one[:, 1]) * (point[0] - one[:, 0])
        weights.append(cross / area)
        long = np.hypot(other[:, 0] - one[:, 0], other[:, 1] - one[:, 1])
        edge = np.minimum(edge, np.sign(area) * cross / np.where(long > 0, long, 1.0))
    inside = edge > 0
    depth = weights[0] * a[:, 2] + weights[1] * b[:, 2] + weights[2] * c[:, 2]
    near = float(depth[inside].max()) if inside.any() else -np.inf
    return near, float(np.abs(edge).min())


@pytest.mark.parametrize("book", ["target-b", "target-c"])
@pytest.mark.parametrize(
    "direction", [ISO_RIGHT, ISO_LEFT, FRONT, SIDE, TOP], ids=["iso", "left", "front", "side", "top"]
)
def test_visible_and_hidden_pieces_agree_with_rays(book: str, direction: Direction) -> None:
    bodies = bodies_of(book)
    view = View(bodies, direction)
    faces = triangles(bodies, direction)
    axes = np.array([direction.right, direction.up, direction.toward])
    edges = [(body, body.mesh.points[body.mesh.edges] @ axes.T) for body in bodies]
    chosen = np.random.default_rng(7)
    wrong = looked = 0
    lines = view.state()
    for pieces, seen in ((lines.visible, True), (lines.hidden, False)):
        for piece in pieces:
            share = chosen.uniform(0.2, 0.8)
            spot = np.array(piece.start) + (np.array(piece.end) - np.array(piece.start)) * share
            own = next(line for body, line in edges if body is piece.body)
            depth = _depths(spot, own)
            if depth is None:
                continue
            near, aside = nearest(spot, faces)
            if aside < ASIDE and not seen:
                continue
            looked += 1
            # Seen: one of the edges there is as near as the nearest face. Hidden: all of them lie behind one.
            if (seen and near > max(depth) + 0.02) or (not seen and near < min(depth) + 0.02):
                wrong += 1
    assert looked > 20
    assert Fraction(wrong, looked) < Fraction(1, 1000)


def _depths(spot: Floats, lines: Floats) -> list[float] | None:
    """Return how near the edges of a body are that pass a point of the picture, or None for none."""
    start, run = lines[:, 0], lines[:, 1] - lines[:, 0]
    long = run[:, 0] ** 2 + run[:, 1] ** 2
    with np.errstate(divide="ignore", invalid="ignore"):
        share = ((spot[0] - start[:, 0]) * run[:, 0] + (spot[1] - start[:, 1]) * run[:, 1]) / long
    away = np.hypot(start[:, 0] + share * run[:, 0] - spot[0], start[:, 1] + share * run[:, 1] - spot[1])
    hit = (away < 1e-5) & (share > -1e-6) & (share < 1 + 1e-6) & (long > 1e-12)
    return (start[hit, 2] + share[hit] * run[hit, 2]).tolist() or None
