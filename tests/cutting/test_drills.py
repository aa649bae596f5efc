"""Holes on the sheet: where the plan has them, mirrored for the other hand, turned with a turned piece."""

from __future__ import annotations

import io
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from planbook.cli.resolving import resolved
from planbook.cutting.diagram import Lying, Place, diagrams_of
from planbook.cutting.drills import drills_of
from planbook.cutting.lots import solve, tasks_of
from planbook.cutting.practice import USUAL
from planbook.drawing.layout_dxf import DRILL, layout_dxf
from planbook.plan.model import Plan

CONTENT = Path(__file__).parents[2] / "content"


def bench(edition: str) -> Plan:
    plan = resolved("boot-bench", edition, CONTENT).plan
    assert plan is not None
    return plan


def lying(plan: Plan, key: str, *, turned: bool = False) -> Lying:
    for task in tasks_of(plan, USUAL[plan.edition.name]):
        for wanted in task.wanted:
            if wanted.key == key:
                sides = (wanted.width, wanted.length) if turned else (wanted.length, wanted.width)
                return Lying(Place(Fraction(0), Fraction(0), *sides), wanted, turned)
    raise AssertionError(key)


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_both_hands_are_mirror_images_on_the_sheet(edition: str) -> None:
    plan = bench(edition)
    side = plan.part("side")
    give = drills_of(plan)
    left = lying(plan, f"{side.letter} L")
    here, there = give(left), give(lying(plan, f"{side.letter} R"))
    wide = left.wanted.width
    assert here
    assert {(x, wide - y, d) for x, y, d in here} == set(there)


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_a_hole_stands_as_far_from_the_foot_and_from_the_back_as_in_the_plan(edition: str) -> None:
    """The lip of the front edge is not there yet: what is measured from the back edge stays."""
    plan = bench(edition)
    side = plan.part("side")
    holes = drills_of(plan)(lying(plan, f"{side.letter} L"))
    wanted = {(hole.l, side.width.final - hole.w, hole.diameter) for hole in side.holes}
    width = lying(plan, f"{side.letter} L").wanted.width
    assert wanted in ({(x, y, d) for x, y, d in holes}, {(x, width - y, d) for x, y, d in holes})


def test_a_piece_across_the_sheet_is_turned_not_mirrored() -> None:
    plan = bench("imperial")
    part = plan.part("loose shelf")
    give = drills_of(plan)
    flat, turned = lying(plan, part.letter), lying(plan, part.letter, turned=True)
    wide = flat.wanted.width
    assert {(wide - y, x, d) for x, y, d in give(flat)} == set(give(turned))


def test_what_is_trimmed_later_gets_no_holes_on_the_sheet() -> None:
    from planbook.plan.model import Life

    plan = bench("imperial")
    parts = tuple(
        replace(part, length=replace(part.length, life=Life.LONG)) if part.key == "side" else part
        for part in plan.parts
    )
    late = replace(plan, parts=parts)
    assert drills_of(late)(lying(plan, f"{plan.part('side').letter} L")) == ()


def test_circles_of_the_exported_file_are_the_holes() -> None:
    import ezdxf

    plan = bench("metric")
    practice = USUAL["metric"]
    task = next(task for task in tasks_of(plan, practice) if task.stock.name == "ply")
    diagrams = diagrams_of(solve(task), practice)
    document = ezdxf.read(io.StringIO(layout_dxf(diagrams, drills=drills_of(plan)).decode()))
    circles = list(document.modelspace().query(f'CIRCLE[layer=="{DRILL}"]'))
    side, shelf = plan.part("side"), plan.part("loose shelf")
    assert len(circles) == 2 * len(side.holes) + len(shelf.holes)
    radii = sorted({round(circle.dxf.radius * 2, 6) for circle in circles})
    assert radii == sorted({float(hole.diameter) for part in (side, shelf) for hole in part.holes})
    for circle in circles:
        x, y = circle.dxf.center.x, circle.dxf.center.y
        inside = [
            lying
            for lying in diagrams[0].lying
            if float(lying.at.x) < x < float(lying.at.x + lying.at.length)
            and float(lying.at.y) < y < float(lying.at.y + lying.at.width)
        ]
        assert len(inside) == 1
