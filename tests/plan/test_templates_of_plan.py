from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import make
from fixtures.target_books import target_plan

from planbook.plan.templates import TemplateKind

PINS = (
    "pins: {in: side, on: inside, rows: [2 in from front], start: 10 in from foot, every: 2 in, count: 3, "
    "drill: 1/4 in, deep: 3/8 in}"
)


def test_a_template_shows_everything_if_it_does_not_say_what(tmp_path: Path) -> None:
    (template,) = make(tmp_path, {"holes": PINS, "templates": "all: {of: side}"}).plan().templates
    assert (template.name, template.part, template.kind) == ("all", "side", TemplateKind.SHEET)
    assert (template.cuts, template.holes, template.whole, template.show) == (("dados",), ("pins",), True, True)


def test_a_joint_or_a_row_of_holes_stands_alone(tmp_path: Path) -> None:
    words = "a: {of: side, shows: pins}\nb: {of: side, shows: dados}\nc: {of: side, shows: [outline, holes]}"
    a, b, c = make(tmp_path, {"holes": PINS, "templates": words}).plan().templates
    assert (a.cuts, a.holes, a.whole) == ((), ("pins",), False)
    assert (b.cuts, b.holes, b.whole) == (("dados",), (), False)
    assert (c.cuts, c.holes, c.whole) == ((), ("pins",), True)


def test_the_face_is_that_which_is_bored(tmp_path: Path) -> None:
    words = "a: {of: side, shows: pins}\nb: {of: side, shows: pins, face: outside}"
    holes = PINS.replace("on: inside", "on: outside")
    a, b = make(tmp_path, {"holes": holes, "templates": words}).plan().templates
    assert not a.show
    assert not b.show


def test_a_story_stick_may_be_of_a_turned_part(tmp_path: Path) -> None:
    words = "stick: {of: side, as: story stick, note: Mark both sides from it.}"
    (template,) = make(tmp_path, {"templates": words}).plan().templates
    assert template.kind is TemplateKind.STICK
    assert template.note == "Mark both sides from it."


@pytest.mark.parametrize(
    ("words", "slug", "marked"),
    [
        ("a: {of: shelf}", "unknown-part", "shelf"),
        ("a: {of: side, as: strip}", "wrong-word", "strip"),
        ("a: {of: side, shows: pinholes}", "wrong-word", "pinholes"),
        ("a: {of: side, face: top}", "which-face", "top"),
        ("a: {of: bottom, shows: holes}", "empty-template", "bottom"),
    ],
)
def test_a_wrong_word_is_told_where_it_stands(tmp_path: Path, words: str, slug: str, marked: str) -> None:
    made = make(tmp_path, {"holes": PINS, "templates": words})
    finding = made.found(slug)
    assert made.at(finding) == marked


def test_what_has_no_flat_face_or_is_too_large_is_refused(tmp_path: Path) -> None:
    large = {"dims": "wide: 60 in\ndeep: 40 in\nhigh: 60 in", "templates": "a: {of: side}"}
    assert make(tmp_path, large).found("too-large-template").help
    leg = (
        "parts: {leg: {of: ash, shape: round, length: 16 in, thick: [1 in at foot, 1 1/2 in at top end], runs: up,\n"
        "  underside: 0 in above floor, left face: 0 in from left, front face: 0 in from front}}\n"
        "stock: {ash: {lumber: white ash, nominal: 8/4, to: 1 1/2 in}}\ntemplates: {leg: {of: leg}}\n"
    )
    bare = dict.fromkeys(("dims", "stock", "parts", "joints"), "")
    made = make(tmp_path / "leg", bare, rest=leg)
    assert made.found("no-flat-face").help == "write `as: story stick`"


def test_plans_without_templates_have_none() -> None:
    assert target_plan("b", "imperial").templates == ()
