"""Holes of inserts under the holes of a bought frame: the side table of the fixtures."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from checks.altered import INCH
from checks.altered_bench import outcomes, told
from fixtures.target_books import target_plan

from planbook.checks.subject import Subject
from planbook.plan.model import Hole, Plan


def moved(plan: Plan, along: Fraction, across: Fraction, which: int = 1) -> Plan:
    """The hole in the top that lies under one hole of the bar, moved along and across the bar."""

    def other(number: int, hole: Hole) -> Hole:
        # The bar runs from front to back: the width of the top.
        return replace(hole, w=hole.w + along, l=hole.l + across) if number == which else hole

    top = plan.part("top")
    holes = tuple(other(number, hole) for number, hole in enumerate(top.holes))
    parts = tuple(replace(part, holes=holes) if part.key == "top" else part for part in plan.parts)
    return replace(plan, parts=parts)


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_the_inserts_lie_under_the_holes_of_the_frame(edition: str) -> None:
    subject = Subject(target_plan("c", edition))
    assert told("bolt-misses", subject) == ()
    assert outcomes("bolt-misses", subject)["frame bolts"].figure.endswith(" off")


def test_the_round_hole_in_the_middle_has_its_play_both_ways() -> None:
    """5/16 in for a bolt of 1/4 in: 1/32 in either way."""
    plan = target_plan("c", "imperial")
    zero = Fraction(0)
    for along, across in ((INCH / 32, zero), (zero, INCH / 32)):
        before = outcomes("bolt-misses", Subject(plan))["frame bolts"].figure
        assert told("bolt-misses", Subject(moved(plan, along * 7 / 8, across * 7 / 8))) == (), before
    (item,) = told("bolt-misses", Subject(moved(plan, INCH / 16, zero)))
    assert "its bolt has 1/32 in of play" in item.message
    assert told("bolt-misses", Subject(moved(plan, zero, INCH / 16)))


def test_a_slot_lets_the_bolt_stand_elsewhere_along_it() -> None:
    """3/4 in long, 5/16 in wide: 7/32 in either way along it, and the play of the bolt."""
    plan = target_plan("c", "imperial")
    zero = Fraction(0)
    assert told("bolt-misses", Subject(moved(plan, INCH * 7 / 32, zero, which=0))) == ()
    assert told("bolt-misses", Subject(moved(plan, INCH * 5 / 16, zero, which=0)))
    assert told("bolt-misses", Subject(moved(plan, zero, INCH / 16, which=0)))
