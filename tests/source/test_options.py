"""Options: a plan with and without a drawer, from one source."""

from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import Read, make, step_text

from planbook.checks.dims import option_breaks
from planbook.checks.subject import subject_of
from planbook.plan.resolve import resolve
from planbook.source.diagnostics import Findings
from planbook.units.editions import EDITIONS

PARTS = (
    "side: {of: ply, pair: left right, length: high, width: deep, on: floor}\n"
    "bottom: {of: ply, between: side, width: deep, underside: 4 in above floor}\n"
    "divider: {of: ply, between: side, width: deep, underside: 20 in above floor}\n"
    "fixed shelf: {of: ply, between: side, width: deep, underside: 30 in above floor}"
)
JOINTS = (
    "dados: {dado: 1/4 in deep, in: side, for: [bottom, divider], by: glue}\n"
    "shelf dados: {dado: 1/4 in deep, in: side, for: fixed shelf, by: glue}"
)
STEPS = (
    step_text("Saw the parts", "cuts: [side, bottom, divider, fixed shelf]")
    + step_text("Cut the dados", "cuts: [dados], joins: [dados]")
    + step_text("Cut the shelf dados", "cuts: [shelf dados], joins: [shelf dados]")
    + step_text("Wax the divider", "works: [divider]")
)
WORDS = "with: divider, steps: Wax the divider, without: [fixed shelf, shelf dados], other steps: Cut the shelf dados"


def read(tmp_path: Path, option: str) -> Read:
    return make(tmp_path, {"parts": PARTS, "joints": JOINTS, "options": f"drawer: {{{option}}}"}, steps=STEPS)


@pytest.mark.parametrize(
    ("word", "parts", "titles"),
    [
        ("yes", {"side", "bottom", "divider"}, ["Saw the parts", "Cut the dados", "Wax the divider"]),
        ("no", {"side", "bottom", "fixed shelf"}, ["Saw the parts", "Cut the dados", "Cut the shelf dados"]),
    ],
)
def test_both_ways_are_whole_plans(tmp_path: Path, word: str, parts: set[str], titles: list[str]) -> None:
    found = read(tmp_path, f"is: {word}, {WORDS}")
    assert found.slugs() == []
    plan = found.plan()
    assert {part.key for part in plan.parts} == parts
    assert [step.title for step in plan.steps] == titles
    assert [step.number for step in plan.steps] == [1, 2, 3]
    # What is gone is gone from the lists of joints and steps as well.
    assert {cut.for_part for cut in plan.part("side").cuts} == parts - {"side"}
    assert plan.options == ((("drawer", word == "yes", "")),)


@pytest.mark.parametrize(
    ("option", "slug", "marked"),
    [
        ("is: maybe", "wrong-word", "maybe"),
        ("is: yes, with: dividor", "unknown-name", "dividor"),
        ("is: no, steps: Wax it", "unknown-step", "Wax it"),
        ("is: no, with: side", "unknown-part", "side"),
    ],
)
def test_what_an_option_cannot_mean_is_told(tmp_path: Path, option: str, slug: str, marked: str) -> None:
    found = read(tmp_path, option)
    assert found.at(found.found(slug)) == marked


@pytest.mark.parametrize("word", ["yes", "no"])
def test_the_other_way_round_is_checked_too(tmp_path: Path, word: str) -> None:
    # Without the divider its joint has nothing to hold: one joint for both was not thought through.
    joints = (
        JOINTS.replace("for: [bottom, divider]", "for: bottom")
        + "\nups: {dado: 1/4 in deep, in: side, for: divider, by: glue}"
    )
    steps = STEPS.replace("joins: [dados]", "joins: [dados, ups]").replace("cuts: [dados]", "cuts: [dados, ups]")
    groups = {"parts": PARTS, "joints": joints, "options": f"drawer: {{is: {word}, {WORDS}}}"}
    found = make(tmp_path, groups, steps=steps)
    assert found.book is not None
    written = found.book.plans[0]
    findings = Findings()
    plan = resolve(written, found.book.shop, EDITIONS["imperial"], findings)
    if word == "no":
        # The plan itself is broken, and says so.
        assert plan is None
        return
    assert plan is not None
    (told,) = option_breaks(subject_of(plan, written, found.book.shop))
    assert (told.slug, told.message) == ("option-breaks", "without `drawer`, there is no part `divider`")
