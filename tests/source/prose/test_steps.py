from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.source.diagnostics import Findings, Severity
from planbook.source.files import SourceFile
from planbook.source.prose.inlines import Break, Reference, plain_text, references
from planbook.source.prose.steps import StepsSource, read_steps

FACTS = "```step\n{cuts: [shelf dados], time: {each: 10 min}}\n```\n"


def read(text: str) -> tuple[StepsSource, Findings]:
    findings = Findings()
    return read_steps(SourceFile("plans/case/steps.md", text), findings), findings


def slugs(text: str) -> list[tuple[str, int, int]]:
    _, findings = read(text)
    return [(item.slug, item.span.line, item.span.column) for item in findings if item.span]


STEP = """\
Before you begin, read {title} through.

## Cut the dados, both sides in one go
```step
{cuts: [shelf dados], with: [router, bit for shelf dados],
 time: {set up: 20 min, each: 10 min}}
```
For: two persons, one case

Lay the sides inside face up. Knife the lower edge at {bottom.underside from foot} and
{top.underside from foot}.

- Set {bit for shelf dados}; test.
- Cut {shelf dados.deep} deep
  in two passes.

  Brush out the dust.
  1. Turn it over.

Hazard (serious injury; could): **Bit through the board.** A board that rocks is thrown back.
Hazard (damage; will): The bit tears the far edge; clamp a {backing board} there.
Good enough: a shelf offcut goes in with a thumb and
  stays when the side is turned over.
If it went wrong: too loose, glue veneer to the shelf end.
Teacher: stand at the fence.
Tip: a pencil line shows the depth.
Photo: side-dados.jpg, the two sides lying inside face up
Photo: photos/test cut.jpg — a test cut with {bit for shelf dados}
Meanwhile: sand the shelves.

## Trim the lip
```step
trims: [lip]
time:
  each: 5 min
```
Trim it.
"""


def test_a_whole_step() -> None:
    source, findings = read(STEP)
    assert list(findings) == []
    assert [plain_text(block.inlines) for block in source.introduction] == ["Before you begin, read {title} through."]
    step, second = source.steps
    assert (step.title, step.number, second.title, second.number) == (
        "Cut the dados, both sides in one go",
        1,
        "Trim the lip",
        2,
    )
    assert (step.title.span.line, step.title.span.column, step.title.span.end_column) == (3, 4, 39)
    assert [plain_text(block.inlines) for block in step.actions] == [
        "Lay the sides inside face up. Knife the lower edge at {bottom.underside from foot} and "
        "{top.underside from foot}.",
        "Set {bit for shelf dados}; test.",
        "Cut {shelf dados.deep} deep in two passes. Brush out the dust.",
        "Turn it over.",
    ]
    assert Break() in step.actions[2].inlines
    assert step.for_whom is not None
    assert plain_text(step.for_whom.inlines) == "two persons, one case"
    assert [plain_text(block.inlines) for block in step.good_enough] == [
        "a shelf offcut goes in with a thumb and stays when the side is turned over."
    ]
    assert [plain_text(block.inlines) for block in step.went_wrong + step.teacher + step.tips + step.meanwhile] == [
        "too loose, glue veneer to the shelf end.",
        "stand at the fence.",
        "a pencil line shows the depth.",
        "sand the shelves.",
    ]
    assert [str(photo.path) for photo in step.photos] == ["side-dados.jpg", "photos/test cut.jpg"]
    assert [plain_text(photo.alt) for photo in step.photos] == [
        "the two sides lying inside face up",
        "a test cut with {bit for shelf dados}",
    ]


def test_hazards_have_harm_likelihood_and_maybe_a_title() -> None:
    first, second = read(STEP)[0].steps[0].hazards
    assert (first.harm, first.likelihood) == ("serious injury", "could")
    assert first.title is not None
    assert plain_text(first.title) == "Bit through the board."
    assert plain_text(first.inlines) == "A board that rocks is thrown back."
    assert (first.harm.span.line, first.harm.span.column) == (20, 9)
    assert (first.likelihood.span.column, first.likelihood.span.end_column) == (25, 30)
    assert (second.harm, second.likelihood, second.title) == ("damage", "will", None)
    assert plain_text(second.inlines) == "The bit tears the far edge; clamp a {backing board} there."


def test_facts_are_placed_in_the_file() -> None:
    step, second = read(STEP)[0].steps
    assert step.facts is not None
    assert second.facts is not None
    assert step.facts.data["time"]["set up"] == "20 min"
    span = step.facts.data["time"]["set up"].span
    assert (span.file, span.line, span.column) == ("plans/case/steps.md", 6, 17)
    assert second.facts.data["time"]["each"].span.line == 35


def test_references_behind_lead_words_have_their_columns() -> None:
    step = read(STEP)[0].steps[0]
    assert isinstance(step.photos[1].alt[-1], Reference)
    span = step.photos[1].alt[-1].text.span
    line = STEP.split("\n")[span.line - 1]
    assert line[span.column - 1 : span.end_column - 1] == "bit for shelf dados"
    (backing,) = references(step.hazards[1].inlines)
    line = STEP.split("\n")[backing.text.span.line - 1]
    assert line[backing.text.span.column - 1 : backing.text.span.end_column - 1] == "backing board"


def test_an_error_in_the_facts_points_into_the_file() -> None:
    found = slugs("## A\n  ```step\n  {cuts: [a], cuts: [b]}\n  ```\nDo it.\n")
    assert found == [("repeated-word", 3, 15)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Only words.\n", [("no-steps", 1, 1)]),
        ("## A\nDo it.\n", [("no-step-facts", 1, 4)]),
        ("## A\n```step\n\n```\nDo it.\n", [("no-step-facts", 2, 1)]),
        (f"## A\n{FACTS}{FACTS}", [("two-step-facts", 5, 1)]),
        (f"## A\nDo it.\n{FACTS}", [("late-step-facts", 3, 1)]),
        (f"{FACTS}## A\n{FACTS}", [("no-title", 1, 1)]),
        ("## A\n```step\n{a: b}\n## B\n", [("unclosed-fence", 2, 1)]),
        ("## A\n```steps\n{a: b}\n```\n", [("unknown-fence", 2, 1)]),
        (f"## A\n{FACTS}```python\nx\n```\n", [("unknown-fence", 5, 1)]),
        (f"## A\n{FACTS}```\nx\n```\n", [("unknown-fence", 5, 1)]),
        (f"# A\n## B\n{FACTS}", [("wrong-heading", 1, 1)]),
        (f"## B\n{FACTS}Do it\n---\n", [("wrong-heading", 5, 1)]),
        (f"##\n{FACTS}", [("no-title", 1, 1)]),
        (f"## Cut {{a}} *now*\n{FACTS}", [("marks-in-title", 1, 4)]),
        (f"## A\n{FACTS}\n## a\n{FACTS}", [("title-twice", 6, 4)]),
        (f"## A\n{FACTS}> quoted\n", [("unknown-block", 5, 1)]),
        (f"## A\n{FACTS}\n    indented\n", [("unknown-block", 6, 5)]),
        (f"## A\n{FACTS}\n| a |\n|---|\n| b |\n", [("unknown-block", 6, 1)]),
        (f"## A\n{FACTS}- a\n\n  > b\n", [("unknown-block", 7, 3)]),
        (f"## A\n{FACTS}For: one\n\nFor: two\n", [("given-twice", 7, 1)]),
        (f"## A\n{FACTS}Tip:\n", [("empty-lead-word", 5, 1)]),
        (f"Tip: x\n\n## A\n{FACTS}", [("no-title", 1, 1)]),
        (f"## A\n{FACTS}Photo: a.jpg\n", [("no-alt-text", 5, 8)]),
        (f"## A\n{FACTS}Photo: , a side\n", [("no-photo-file", 5, 8)]),
        (f"## A\n{FACTS}![a side](a.jpg)\n", [("image-in-step", 5, 1)]),
        (f"## A\n{FACTS}Hazard (death): x\n", [("no-likelihood", 5, 8)]),
        (f"## A\n{FACTS}Hazard (cut; will): x\n", [("unknown-harm", 5, 9)]),
        (f"## A\n{FACTS}Hazard (death; may): x\n", [("unknown-likelihood", 5, 16)]),
        (f"## A\n{FACTS}Hazard (cut; may): x\n", [("unknown-harm", 5, 9), ("unknown-likelihood", 5, 14)]),
        (f"## A\n{FACTS}Hazard (; will): x\n", [("unknown-harm", 5, 9)]),
    ],
)
def test_faults_are_located_each_once(text: str, expected: list[tuple[str, int, int]]) -> None:
    assert slugs(text) == expected


@pytest.mark.parametrize(
    ("written", "form"),
    [
        ("Goodenough: x", "Good enough: ..."),
        ("good enough: x", "Good enough: ..."),
        ("Good enuogh: x", "Good enough: ..."),
        ("If it goes wrong: x", "If it went wrong: ..."),
        ("Teachers: x", "Teacher: ..."),
        ("**Tip:** x", "Tip: ..."),
        ("TIPS: x", "Tip: ..."),
        ("Photos: a.jpg, b", "Photo: ..."),
        ("Mean while: x", "Meanwhile: ..."),
        ("Hazzard: x", "Hazard (serious injury; could): ..."),
        ("Hazard: x", "Hazard (serious injury; could): ..."),
        ("hazard (death; will): x", "Hazard (serious injury; could): ..."),
        ("Hazard(death; will): x", "Hazard (serious injury; could): ..."),
        ("Hazard (death; will) : x", "Hazard (serious injury; could): ..."),
        ("Warning: x", "Hazard (serious injury; could): ..."),
    ],
)
def test_near_misses_name_the_right_form(written: str, form: str) -> None:
    source, findings = read(f"## A\n{FACTS}{written}\n")
    (found,) = findings
    assert found.slug == "unknown-lead-word"
    assert found.help is not None
    assert f"`{form}`" in found.help
    assert found.severity is (Severity.STOP if form.startswith("Hazard") else Severity.WARN)
    assert len(source.steps[0].actions) == 1


@pytest.mark.parametrize(
    "line",
    [
        "Four: one each",
        "Note: oak moves",
        "Clamp it: two are enough",
        "**Yours:** ___ x ___",
        "Top: left end",
        "Fit: snug",
    ],
)
def test_ordinary_words_with_a_colon_are_actions(line: str) -> None:
    source, findings = read(f"## A\n{FACTS}{line}\n")
    assert list(findings) == []
    assert len(source.steps[0].actions) == 1


def test_several_mistakes_are_told_at_once() -> None:
    text = f"## A\n```step\n{{a: [}}\n```\nSet {{a.\n\nHazard (x; y): z\n\n## B\nDo <b>it</b>.\n\n## C\n{FACTS}{{}}\n"
    kinds = {slug for slug, _, _ in slugs(text)}
    assert {"unclosed-reference", "unknown-harm", "unknown-likelihood", "no-step-facts", "html-in-prose"} <= kinds
    assert "empty-reference" in kinds


LINES = st.sampled_from(
    """\
## A;## B;# C;###;```step;```;~~~;{a: b};a: {;- x;  - y;> q;Tip: x;Photo:;Hazard (death, will): x;Hazard (
For: x;Good enough:;{x;};|a|b|;|-|-|;---;    code;;word {a} **b;![](;![x](y);[a]: b;[a];<!--;\t- tab;1. one;***
""".replace("\n", ";").split(";")
)


@settings(max_examples=300, deadline=None)
@given(st.lists(LINES, min_size=1, max_size=15))
def test_no_arrangement_of_lines_breaks_it(lines: list[str]) -> None:
    source, findings = read("\n".join(lines))
    for item in findings:
        assert item.span is not None
        assert 1 <= item.span.line <= len(lines) + 1
        assert item.span.column >= 1
    assert [step.number for step in source.steps] == list(range(1, len(source.steps) + 1))


@settings(max_examples=200, deadline=None)
@given(st.text(min_size=1, max_size=200))
def test_no_text_breaks_it(text: str) -> None:
    read(text)
    read(f"## A\n{FACTS}{text}")
