from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import CASE, Read, make, step_text

from planbook.plan.model import Line, RunKind

WORDS = {
    "dims": CASE["dims"] + "\nkick: 4 in\nsplay: 12 deg",
    "stock": CASE["stock"],
    "edgings": "lip: {of: ply, thick: 1/4 in}",
    "parts": CASE["parts"].replace("4 in above", "kick above").replace("underside", "front: lip, underside")
    + "\nstep board: {of: ply, between: side, width: 3 in, underside: 20 in above floor}",
    "holes": "pins: {in: side, rows: [2 in from front, 2 in from back], start: 10 in from foot, "
    "every: 2 in, count: 5, drill: 1/4 in, deep: 3/8 in}",
}
ALL = "cuts: [side, bottom, step board, lip, dados, pins], joins: [lip, dados], trims: [lip]"


def told(tmp_path: Path, prose: str) -> Read:
    steps = step_text("Saw the parts", "", f"- Mark {prose} now.") + step_text("Do the rest", ALL)
    steps += step_text("Do it twice", "")
    return make(tmp_path, WORDS, steps=steps)


def text(line: Line) -> str:
    return "".join(run.text for run in line).removeprefix("Mark ").removesuffix(" now.")


# In the metric edition all sizes of prose are millimetres, without a mark.
@pytest.mark.parametrize(
    ("reference", "imperial", "metric"),
    [
        ("{side}", "A", "A"),
        ("{left side}", "A L", "A L"),
        ("{right side}", "A R", "A R"),
        ("{lip of bottom}", "D", "D"),
        ("{step board}", "C", "C"),
        ("{step board.width}", '3"', "75"),
        ("{step Do the rest}", "step 2", "step 2"),
        ("{step Do the}", "step 2", "step 2"),
        ("{step do it}", "step 3", "step 3"),
        ("{kick}", '4"', "100"),
        ("{splay}", "12°", "12°"),
        ("{bottom.length}", '29"', "736"),
        ("{bottom.thick}", '³⁄₄"', "18"),
        ("{ply}", "birch plywood", "birch plywood"),
        ("{ply.thick}", '³⁄₄"', "18"),
        ("{lip.thick}", '¹⁄₄"', "6"),
        ("{dados.deep}", '¹⁄₄"', "6"),
        ("{dados.wide}", '³⁄₄"', "18"),
        ("{dados.room}", '0"', "0"),
        ("{pins.drill}", '¹⁄₄"', "6"),
        ("{pins.deep}", '³⁄₈"', "10"),
        ("{pins.every}", '2"', "51"),
        ("{pins.count}", "5", "5"),
        ("{pins.holes}", "10", "10"),
        ("{side.count}", "2", "2"),
        ("{count of side}", "2", "2"),
        ("{count of left side}", "1", "1"),
        ("{bit for pins}", '¹⁄₄" bit', "6 mm bit"),
        (
            "{bit for dados}",
            '³⁄₄" straight bit, or a narrower one in two passes',
            "18 mm straight bit, or a narrower one in two passes",
        ),
        ("{bottom.underside from foot}", '4"', "100"),
        ("{bottom.upper face from top of side}", '35¹⁄₄"', "902"),  # 40 - 4 3/4; 1020 - 118
        ("{bottom.left from left}", '¹⁄₂"', "12"),
        ("{wide - 2 * side.thick}", '28¹⁄₂"', "724"),
        ("{wide / high}", "0.75", "0.75"),
        ("{3/8 in}", '³⁄₈"', "10"),
        ("{10 in}", '10"', "255"),
        ("{2 ft}", '24"', "610"),
        ("{20 min}", "20 min", "20 min"),
        ("{5 lb}", "5 lb", "2.3 kg"),
        ("{70 F}", "70 °F", "21 °C"),
        ("{8 fl oz}", "8 fl oz", "237 ml"),
        ("{12 deg}", "12°", "12°"),
        ("**{kick}**", '4"', "100"),
    ],
)
def test_what_stands_for_a_reference(tmp_path: Path, reference: str, imperial: str, metric: str) -> None:
    found = told(tmp_path, reference)
    assert text(found.plan("imperial").steps[0].actions[0]) == imperial
    assert text(found.plan("metric").steps[0].actions[0]) == metric


def test_letters_sizes_and_steps_are_told_apart(tmp_path: Path) -> None:
    line = told(tmp_path, "{side} {kick} {step Do the rest} `code` *soft*").plan().steps[0].actions[0]
    kinds = {run.kind: run for run in line}
    assert kinds[RunKind.LETTER].target == "part:side"
    assert kinds[RunKind.SIZE].text == '4"'
    assert kinds[RunKind.LINK].target == "step:do-the-rest"
    assert (kinds[RunKind.CODE].text, kinds[RunKind.EMPHASIS].text) == ("code", "soft")


@pytest.mark.parametrize(
    ("reference", "slug", "help"),
    [
        ("{sied}", "unknown-name", "write `side`"),
        ("{step Do}", "unknown-step", None),  # two steps begin with it
        ("{step Swa the parts}", "unknown-step", "write `Saw the parts`"),
        ("{bit for dado}", "unknown-name", "write `dados`"),
        ("{bit for side}", "unknown-name", None),
        ("{count of sied}", "unknown-part", "write `side`"),
        ("{bottom.widht}", "unknown-property", "write `width` or `right`"),
        ("{bottom.length from foot}", "broken-formula", "write for example `{bottom.underside from foot}`"),
        ("{2 in from front}", "broken-formula", "write for example `{bottom.underside from foot}`"),
        ("{bottom.underside from}", "unknown-name", None),
        ("{bottom.underside from front}", "wrong-direction", None),
        ("{left lip of side}", "unknown-name", None),
        ("{left bottom}", "unknown-name", None),
        ("{kick * kick * kick * kick}", "wrong-unit", None),
        ("{wide-1/2 in}", "tight-minus", None),
        ("{dados}", "which-size", None),
    ],
)
def test_references_to_nothing(tmp_path: Path, reference: str, slug: str, help: str | None) -> None:
    found = told(tmp_path, reference)
    assert not any(found.plans.values())
    fault = found.found(slug)
    assert found.at(fault) in reference
    if help is not None:
        assert fault.help == help


@pytest.mark.parametrize(
    ("typed", "help"),
    [
        ("4 in", "`{kick}` says the same; if it is none of these, write `{4 in}`"),
        ("3/8 in", "write `{3/8 in}`"),
        ("1/4 in", "`{dados.deep}` or `{pins.drill}` says the same; if it is none of these, write `{1/4 in}`"),
        ("12 mm", "write `{12 mm}`"),  # not the angle of 12 deg
    ],
)
def test_a_size_typed_by_hand_gets_the_reference_that_says_the_same(tmp_path: Path, typed: str, help: str) -> None:
    found = told(tmp_path, typed)
    helps = [item.help for item in found.findings if item.slug == "typed-number"]
    assert help in helps
    assert found.plan() is not None
