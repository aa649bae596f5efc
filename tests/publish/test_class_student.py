"""The students' handout of a class: what stands in it, in which order, and what does not."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pypdf
import pytest
from fixtures.small_classes import STEPS, class_book

from planbook.cli.entry import run

TAUGHT = STEPS.replace("- Glue.\n", "- Glue.\n\nTeacher: Watch the clock, nobody else does.\n")
WORDS = {"prepared": "Saw the parts", "students": "8", "brings": "[an apron]", "ready-made": "{side: 1}"}


@cache
def written(folder: Path, *more: str) -> dict[str, tuple[str, ...]]:
    """Words of each page by file."""
    book, into = class_book(folder / "book", WORDS, steps=TAUGHT), folder / "out"
    assert run(["handout", "--class", "day", "--book", str(book), "--into", str(into), *more]) == 0
    return {
        path.stem: tuple(" ".join(page.extract_text().split()) for page in pypdf.PdfReader(path).pages)
        for path in sorted(into.glob("*.pdf"))
    }


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("student")


def student(folder: Path, *more: str) -> tuple[str, ...]:
    return next(pages for name, pages in written(folder, *more).items() if name.endswith("student-handout"))


def test_safety_comes_first_then_the_class_then_the_plan(folder: Path) -> None:
    pages = student(folder)
    heads = (
        "It cannot promise safety",
        "In this booklet",
        "Your place number",
        "Length runs with the grain",
        "Cut the dados",
    )
    places = [next(n for n, page in enumerate(pages) if head in page) for head in heads[:4]]
    assert places[0] == 0
    assert places == sorted(places)
    assert all(f"page {n} of {len(pages)}" in page for n, page in enumerate(pages, start=1))


def test_what_is_prepared_is_named_and_its_page_left_out(folder: Path) -> None:
    text = " ".join(student(folder))
    assert "Done for you step 1, Saw the parts." in text
    assert "Saw the parts. " not in text.replace("step 1, Saw the parts.", "")
    assert "1 of 3" not in text
    assert "2 of 3" in text
    assert "an apron" in text


def test_each_place_finds_its_times(folder: Path) -> None:
    text = " ".join(student(folder))
    assert "Tuesday, October 6, 09:00 to 16:00, break 12:00 to 13:00" in text
    # Four pairs at one press: four times in the row of the step, each later than the one before.
    row = text.split("2 Cut the dados", 1)[1].split("3 Close the case", 1)[0].split()
    times = [word for word in row if ":" in word and word[:2].isdigit()]
    assert len(times) == 4
    assert times == sorted(times)
    assert f"first session, {times[0]} to {times[-1]}, by turns, at the drill press" in text


def test_what_is_for_the_teacher_stays_on_the_teachers_sheets(folder: Path) -> None:
    sheets = written(folder)
    student_text = " ".join(student(folder))
    assert "Watch the clock" in " ".join(sheets["day-1-run-sheet"])
    for words in ("Watch the clock", "Run sheet", "Checkpoints", "It pays from", "Tools out and in"):
        assert words not in student_text


def test_one_file_holds_all_sheets_in_their_order(folder: Path) -> None:
    sheets = written(folder)
    single = [pages for name, pages in sheets.items() if name != "day"]
    # The single files are named in the order of printing, and each counts its own pages in both.
    assert sheets["day"] == tuple(page for pages in single for page in pages)


def test_large_print_says_the_same(folder: Path, tmp_path: Path) -> None:
    text = " ".join(student(tmp_path, "--large"))
    for words in ("It cannot promise safety", "Your place number", "Done for you", "Cut them.", "an apron"):
        assert words in text
    assert len(student(tmp_path, "--large")) > len(student(folder))
