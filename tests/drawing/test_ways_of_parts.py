"""Every part that a picture shows on its way can come that way: nothing of what stands there lies ahead of it."""

from __future__ import annotations

from math import hypot
from pathlib import Path

import pytest
from fixtures.target_books import target_plan

from planbook.drawing.motion import moves_of
from planbook.plan.model import Plan, Role
from planbook.plan.resolve import resolve
from planbook.shape import paths, states
from planbook.shape.solids import Solids
from planbook.source.book import read_book
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.units.editions import EDITIONS

PLAY = 0.5
"""mm: parts slide along each other, and sizes are rounded."""


def demo(slug: str) -> Plan:
    findings = Findings()
    book = read_book(Path(__file__).parents[2] / "content", findings, Sources())
    assert book is not None
    plan = resolve(next(item for item in book.plans if item.slug == slug), book.shop, EDITIONS["imperial"], findings)
    assert plan is not None
    return plan


PLANS = {
    "bookcase": lambda: target_plan("a", "imperial"),
    "stool": lambda: target_plan("b", "imperial"),
    "table": lambda: target_plan("c", "imperial"),
    "boot bench": lambda: demo("boot-bench"),
    "saw bench": lambda: demo("saw-bench"),
    "window bench": lambda: demo("window-bench"),
}


@pytest.mark.parametrize("name", PLANS)
def test_parts_come_along_free_ways(name: str) -> None:
    plan = PLANS[name]()
    solids = Solids(plan)
    shown = 0
    for step in plan.steps:
        before, new = states.state_before(plan, step.number), states.new_in(plan, step.number)
        if not new:
            continue
        moves = moves_of(plan, step.number, before, new)
        moving = [move.placement for move in moves]
        staying = [
            one
            for one in (*before, *new)
            if one.placement not in moving and plan.part(one.placement.part).role is not Role.FILL
        ]
        rest = solids.bodies(staying, holes=False)
        for move in moves:
            (own,) = (one for one in new if one.placement == move.placement)
            far = hypot(*move.shift)
            x, y, z = (part / far for part in move.shift)
            assert not paths.blocked(solids.bodies((own,), holes=False), rest, (x, y, z), play=PLAY), move.placement
            shown += 1
    assert shown
