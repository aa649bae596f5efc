"""Room before the bed of mortises, dados and dowel holes; legs that do not reach their seat."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from checks.altered import INCH, found
from checks.altered_bench import bench
from checks.test_check_screws import block, looked, told
from fixtures.small_books import make, step_text
from fixtures.target_books import target_plan
from sample_plan import bookcase

from planbook.checks.subject import Subject, subject_of
from planbook.plan.model import Plan
from planbook.shape import states
from planbook.shape.solids import Solids
from planbook.source.diagnostics import Severity

FRAME = {
    "dims": "wide: 20 in\nhigh: 16 in",
    "stock": (
        "ash: {lumber: white ash, nominal: 8/4, to: 1 1/2 in}\nthin: {lumber: white ash, nominal: 4/4, to: 3/4 in}"
    ),
    "parts": (
        "leg: {of: ash, pair: left right, length: high, width: 1 1/2 in, runs: up, on: floor}\n"
        "rail: {of: thin, between: leg, width: 3 in, faces: front, front face: 3/8 in behind front, "
        "upper face: 1 in below top of left leg}"
    ),
}


def frame(folder: Path, room: str) -> Subject:
    joint = f"frame: {{mortise: 1/4 in, deep: 1 in, shoulder: 1/2 in, room: {room}, in: leg, for: rail, by: glue}}"
    steps = step_text("Make it", "cuts: [leg, rail, frame], joins: [frame]")
    read = make(folder, {**FRAME, "joints": joint}, steps=steps)
    assert read.book is not None
    return subject_of(read.plan(), read.book.plans[0], read.book.shop)


@pytest.mark.parametrize(("room", "finds"), [("1/16 in", False), ("3/64 in", True), ("0 in", True)])
def test_a_tenon_in_its_mortise(tmp_path: Path, room: str, finds: bool) -> None:
    problems = told("bottoms-out", frame(tmp_path, room))
    assert bool(problems) == finds
    if finds:
        (item,) = problems
        assert item.severity is Severity.WARN
        assert item.message == (
            f"`rail` reaches to {room} from the bed of `frame` in `left leg`, 1/16 in should stay free"
        )


def test_a_shelf_without_room_in_its_dados_is_a_note(tmp_path: Path) -> None:
    change = ("for: bottom, room: {imperial: 1/64 in, metric: 0.5 mm}", "for: bottom, room: {}")
    assert told("bottoms-out", bench(tmp_path)) == ()
    (item,) = told("bottoms-out", bench(tmp_path, (change[0], change[1].format("0 in"))))
    assert item.severity is Severity.NOTE
    assert "`bottom` reaches to 0 in from the bed of `bottom dado`" in item.message


def test_a_dowel_in_its_two_holes(tmp_path: Path) -> None:
    subject = block(tmp_path, "3/8 in x 1 1/2 in dowel, each: 2")
    (outcome,) = looked("bottoms-out", subject)
    assert (outcome.figure, outcome.problem) == ("1/8 in free", None)
    item = subject.plan.fastened[0]

    def longer(by: Fraction) -> Subject:
        return Subject(replace(subject.plan, fastened=(replace(item, long=item.long + by),)))

    assert told("bottoms-out", longer(INCH / 16)) == ()
    (problem,) = told("bottoms-out", longer(INCH * 5 / 64))
    assert "has 3/64 in to spare in its two holes, 1/16 in should stay free" in problem.message


def lowered(mm: int) -> Plan:
    plan = target_plan("b", "imperial")
    placements = tuple(
        replace(item, origin=(item.origin[0], item.origin[1], item.origin[2] - mm)) if item.part == "leg" else item
        for item in plan.placements
    )
    return replace(plan, placements=placements)


def test_legs_that_end_below_their_seat_are_measured_on_solids() -> None:
    """Their boxes still overlap: the seat is 1 1/2 in thick, a leg 38 mm lower ends at its underside."""
    assert found("joint-open", lowered(0)) == ()
    assert found("joint-open", lowered(38)) == ()
    (item,) = found("joint-open", lowered(45))
    assert item.message.startswith("`leg socket` stays open at `leg` by ")


@pytest.mark.parametrize("edition", ["imperial", "metric"])
@pytest.mark.parametrize("name", ["bookcase", "target-a", "target-b", "target-c"])
def test_the_stated_size_of_the_whole_is_that_of_its_solids(name: str, edition: str) -> None:
    plan = bookcase(edition) if name == "bookcase" else target_plan(name[-1], edition)
    bodies = Solids(plan).bodies(states.finished(plan))
    points = np.concatenate([body.mesh.points for body in bodies])
    size = points.max(axis=0) - points.min(axis=0)
    # A leaning foot has facets, whose corners lie up to r (1 - cos pi/48) inside of the round; the width of a
    # natural edge is rounded, its survey is not.
    off = {"target-b": 0.05, "target-c": float(plan.edition.resolution)}.get(name, 1e-6)
    assert size == pytest.approx([float(one) for one in plan.overall], abs=off)
