"""The sample plan, changed in one place, for tests of checks."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from planbook.checks.subject import Check, Subject, subject_of
from planbook.checks.table import CHECKS
from planbook.plan.model import Cut, Joint, Part, Plan, Step
from planbook.plan.resolve import resolve
from planbook.source.book import read_book
from planbook.source.diagnostics import Diagnostic, Findings
from planbook.source.files import Sources
from planbook.units.editions import EDITIONS

FIXTURE = Path(__file__).parents[1] / "fixtures" / "target-a"
MM = Fraction(1)
INCH = Fraction(254, 10)


def found(slug: str, plan: Plan | Subject) -> tuple[Diagnostic, ...]:
    """Run the check of one slug; every finding must carry that slug."""
    check: Check = dict(CHECKS)[slug]
    diagnostics = tuple(check(plan if isinstance(plan, Subject) else Subject(plan)))
    assert {item.slug for item in diagnostics} <= {slug}
    return diagnostics


def with_part(plan: Plan, key: str, **changes: Any) -> Plan:
    parts = tuple(replace(part, **changes) if part.key == key else part for part in plan.parts)
    assert parts != plan.parts
    return replace(plan, parts=parts)


def with_cuts(plan: Plan, key: str, change: Callable[[Cut], Cut]) -> Plan:
    part: Part = plan.part(key)
    return with_part(plan, key, cuts=tuple(change(cut) for cut in part.cuts))


def with_joint(plan: Plan, name: str, **changes: Any) -> Plan:
    joints: tuple[Joint, ...] = tuple(
        replace(joint, **changes) if joint.name == name else joint for joint in plan.joints
    )
    assert joints != plan.joints
    return replace(plan, joints=joints)


def with_step(plan: Plan, number: int, **changes: Any) -> Plan:
    steps: tuple[Step, ...] = tuple(replace(step, **changes) if step.number == number else step for step in plan.steps)
    return replace(plan, steps=steps)


def moved(
    plan: Plan, key: str, x: Fraction = MM * 0, y: Fraction = MM * 0, z: Fraction = MM * 0, copy: int = 0
) -> Plan:
    """Return the plan with a part (or one copy of it) shifted."""
    placements = tuple(
        replace(item, origin=(item.origin[0] + x, item.origin[1] + y, item.origin[2] + z))
        if item.part == key and copy in (0, item.copy)
        else item
        for item in plan.placements
    )
    assert placements != plan.placements
    return replace(plan, placements=placements)


def written(folder: Path, *changes: tuple[str, str], edition: str = "imperial") -> Subject:
    """Return the bookcase of the fixture with some of its words replaced, read and resolved."""
    book = folder / "book"
    shutil.copytree(FIXTURE, book)
    for old, new in changes:
        hits = 0
        for path in (book / "plans/bookcase/plan.yaml", book / "plans/bookcase/steps.md"):
            text = path.read_text("utf-8")
            hits += text.count(old)
            path.write_text(text.replace(old, new), "utf-8")
        assert hits == 1, f"{old!r} stands {hits} times in the fixture"
    findings = Findings()
    read = read_book(book, findings, Sources())
    assert read is not None, list(findings)
    plan = resolve(read.plans[0], read.shop, EDITIONS[edition], findings) if read.plans else None
    assert plan is not None, [item.message for item in findings]
    return subject_of(plan, read.plans[0], read.shop)
