"""Notes after a class: what is read, what comes of it, and what a fault says."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from fixtures.small_classes import class_book

from planbook.publish.class_lists import preparation
from planbook.publish.class_notes import Notes, blank_notes
from planbook.publish.class_sheet import class_sheet
from planbook.publish.class_solved import Solved, solve_class
from planbook.publish.class_work import class_work
from planbook.publish.reading import Material, read_material
from planbook.source.diagnostics import Findings, Severity
from planbook.source.files import SourceFile, Sources
from planbook.source.schema.classes import NotesSource
from planbook.source.validate import validated
from planbook.source.yaml_nodes import load

NOTES = """\
written: 2026-03-04
makers: 6
steps:
  Cut the dados: {minutes: [20, 10, 30, 24, 16, 22], spoiled: {side: 2}}
  Close the case: {minutes: [12, 14]}
ran out: glue
remarks: [Hang the clamps up by length.]
"""


def read(folder: Path, notes: str, words: dict[str, str] | None = None) -> tuple[Material | None, Findings]:
    book = class_book(folder, words)
    (book / "classes" / "day.notes.yaml").write_text(notes, "utf-8")
    findings = Findings()
    return read_material(book, findings, Sources()), findings


def solved(folder: Path, words: dict[str, str] | None = None) -> tuple[Solved, Material]:
    material, findings = read(folder, NOTES, words)
    assert material is not None
    assert not findings.stopped, [item.message for item in findings]
    (one,) = material.classes
    found = solve_class(one, material.info, findings)
    assert found is not None
    return found, material


def notes_of(folder: Path, words: dict[str, str] | None = None) -> Notes:
    notes = solved(folder, words)[0].one.notes
    assert notes is not None
    return notes


def test_the_median_of_the_minutes_stands_in_place_of_the_authors(tmp_path: Path) -> None:
    one, material = solved(tmp_path)
    # 10, 16, 20, 22, 24, 30: 21 minutes.
    assert notes_of(tmp_path).measured("cut-the-dados") == 21
    assert notes_of(tmp_path).measured("saw-the-parts") is None
    each = {share.step.slug: operation.each for operation, share in
            zip(one.work.lesson.operations, one.work.shares, strict=True) if share.station != "look"}  # fmt: skip
    assert each == {"saw-the-parts": 15, "cut-the-dados": 21, "close-the-case": 13}
    assert class_work(one.one, material.info).lesson == one.work.lesson


def test_the_spread_is_measured_where_enough_were_there_and_the_class_says_nothing(tmp_path: Path) -> None:
    # Only the dados had four or more: 30 / 21 and 10 / 21, to twentieths at most.
    pace = solved(tmp_path)[0].work.lesson.group.pace
    assert (pace.slowest, pace.quickest) == (Fraction(10, 7), Fraction(9, 19))
    assert solved(tmp_path, {"slowest": "1.4"})[0].work.lesson.group.pace.slowest == Fraction(7, 5)


def test_spares_come_from_what_was_spoiled(tmp_path: Path) -> None:
    # 2 of 6 spoiled a side: of 7 makers 2.33, so 3. What the class keeps ready of itself stays where it is more.
    one, _ = solved(tmp_path, {"students": "14", "ready-made": "{bottom: 1}"})
    assert dict(one.one.ready_made) == {"bottom": 1, "side": 3}
    assert dict(solved(tmp_path, {"ready-made": "{side: 5}"})[0].one.ready_made) == {"side": 5}


def test_the_sheets_say_what_is_measured(tmp_path: Path) -> None:
    one, material = solved(tmp_path)
    sheet = class_sheet(one, material.info)
    assert "Minutes of steps 2 and 3 were measured; those of the other steps are the plan’s." in sheet["answer"]
    rows = [row for day in sheet["days"] for row in day["rows"]]
    words = [" ".join(piece["s"] for piece in row["who"]) for row in rows]
    assert [sum(f"Measured, {minutes} min" in text for text in words) for minutes in (21, 13)] == [1, 1]
    assert preparation(one)["last"] == ["It ran out: glue.", "Hang the clamps up by length."]


@pytest.mark.parametrize(
    ("old", "new", "slug"),
    [
        ("Cut the dados:", "Cut the dado:", "no-such-step"),
        ("side: 2", "sides: 2", "unknown-name"),
        ("side: 2", "side: some", "wrong-count"),
        ("makers: 6", "makers: 0", "wrong-count"),
        ("[12, 14]", "[12, about 14]", "wrong-minutes"),
        ("[12, 14]", "[12, 0]", "wrong-minutes"),
        ("2026-03-04", "2026-03-32", "wrong-date"),
        ("remarks:", "remark:", "unknown-word"),
    ],
)
def test_each_fault_is_told_where_it_stands(old: str, new: str, slug: str, tmp_path: Path) -> None:
    _, findings = read(tmp_path, NOTES.replace(old, new, 1))
    (told,) = [item for item in findings if item.severity is Severity.STOP]
    assert told.slug == slug
    assert told.span is not None
    assert told.span.file == "classes/day.notes.yaml"
    assert told.help


def test_notes_of_no_class_are_told(tmp_path: Path) -> None:
    book = class_book(tmp_path)
    (book / "classes" / "dai.notes.yaml").write_text(NOTES, "utf-8")
    findings = Findings()
    read_material(book, findings, Sources())
    (told,) = [item for item in findings if item.severity is Severity.STOP]
    assert (told.slug, told.help) == ("unknown-name", "write `day`")


def test_the_blank_file_is_notes_once_it_is_filled_in(tmp_path: Path) -> None:
    one, _ = solved(tmp_path)
    text = blank_notes(one.one.plan, "A case", 6, one.slugs).decode()
    assert [line.split(":")[0].strip("# ") for line in text.splitlines() if "minutes: []" in line] == [
        "Saw the parts", "Cut the dados", "Close the case",
    ]  # fmt: skip
    filled = text.replace("written: #", "written: 2026-03-04 #").replace("  # ", "  ")
    findings = Findings()
    node = load(SourceFile("day.notes.yaml", filled), findings)
    assert node is not None
    source = validated(NotesSource, node, findings)
    assert source is not None
    assert len(source.steps) == 3
