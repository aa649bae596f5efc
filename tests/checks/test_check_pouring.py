"""Checks of resin: depth, ratio, dam, and what was finished before."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from checks.altered import found
from fixtures.target_books import target_plan

from planbook.checks.pouring import pour_too_deep
from planbook.checks.subject import Subject
from planbook.plan.model import Plan
from planbook.plan.pours import Told
from planbook.source.diagnostics import Severity
from planbook.trade.sourced import Figure

INCH = Fraction(254, 10)


def table(**changes: object) -> Plan:
    """Return the side table with its pour changed."""
    plan = target_plan("c", "imperial")
    return replace(plan, pours=(replace(plan.pours[0], **changes),))  # type: ignore[arg-type]


def test_the_table_as_it_is_passes() -> None:
    plan = target_plan("c", "imperial")
    for slug in ("no-pour-limit", "no-ratio", "no-dam", "resin-on-finish"):
        assert found(slug, plan) == ()
    (outcome,) = pour_too_deep(Subject(plan))
    assert outcome.figure == "1 15/16 in deep, in 1 pour of 1 15/16 in"
    assert outcome.limit == "at most 2 in at once"


def test_a_limit_that_is_only_usual_is_told() -> None:
    (item,) = found("no-pour-limit", table(limit_stated=False))
    assert item.severity is Severity.WARN
    assert "2 in counts" in item.message


def test_a_stated_limit_beyond_the_usual_is_a_note() -> None:
    usual = Told(
        counts=Figure(3 * INCH, "its sheet", "as the book states"), others=(Figure(INCH, "practice", "practice"),)
    )
    (item,) = found("no-pour-limit", table(limit=usual))
    assert item.severity is Severity.NOTE
    assert "usual is up to 1 in" in item.message
    just = Told(counts=usual.counts, others=(Figure(Fraction(31, 16) * INCH, "practice", "practice"),))
    assert found("no-pour-limit", table(limit=just)) == ()


def test_no_ratio_and_no_dam() -> None:
    (item,) = found("no-ratio", table(ratio="", amounts=None))
    assert "clear deep-pour" in item.message
    (item,) = found("no-dam", table(dam=""))
    assert "goes right through" in item.message
    assert found("no-dam", table(dam="", through=False)) == ()


def test_resin_on_oiled_wood_is_told_and_oil_after_it_is_not() -> None:
    plan = target_plan("c", "imperial")
    pour = next(step for step in plan.steps if "fill" in step.joins)
    oil = next(step for step in plan.steps if step.finishes)
    swapped = tuple(
        replace(step, number=oil.number if step is pour else pour.number if step is oil else step.number)
        for step in plan.steps
    )
    (item,) = found("resin-on-finish", replace(plan, steps=tuple(sorted(swapped, key=lambda step: step.number))))
    assert "does not bond to oiled wood" in item.message
