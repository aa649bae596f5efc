"""Handouts: what stands on which page, what does not, and what happens when something is wrong."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Mapping
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

import pypdf
import pytest
from sample_sheet import TEACHER_NOTE, THEME, bare, crowded, drawing, sample, text

from planbook.publish.handout import HandoutError, Paper, handout
from planbook.source.diagnostics import Severity

POINTS_PER_MM = 72 / 25.4


def made(
    sheet: Mapping[str, Any],
    pictures: Mapping[str, str],
    paper: Paper = "letter",
    theme: Path | tuple[Path, ...] = THEME,
) -> list[str]:
    """The words of each page."""
    reader = pypdf.PdfReader(io.BytesIO(handout(sheet, pictures, paper=paper, theme_dir=theme)))
    return [page.extract_text() for page in reader.pages]


@cache
def usual(edition: str = "imperial", paper: Paper = "letter") -> tuple[str, ...]:
    return tuple(made(*sample(edition), paper))


@cache
def full(edition: str, paper: Paper) -> bytes:
    return handout(*crowded(edition), paper=paper, theme_dir=THEME)


def flat(words: str) -> str:
    return " ".join(words.split())


def page_of(pages: tuple[str, ...] | list[str], words: str) -> int:
    found = [number for number, page in enumerate(pages) if words in flat(page)]
    assert found, words
    return found[0]


@pytest.mark.parametrize(("edition", "paper"), [("imperial", "letter"), ("imperial", "a4"), ("metric", "a4")])
def test_pages_come_in_their_order_and_count_themselves(edition: str, paper: Paper) -> None:
    pages = usual(edition, paper)
    places = [
        page_of(pages, words)
        for words in (
            "You will learn",
            "It cannot promise safety",
            "Length runs with the grain",
            "Which part is where",
            "Measure the sheet at six places",
            "Screw both straps to the wall.",
            "Read the label first",
        )
    ]
    assert places[0] == 0
    assert places == sorted(places)
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in flat(page)
        assert "Bookcase with two loose shelves revision 2" in flat(page)


def test_contents_name_the_pages_where_things_stand() -> None:
    pages = usual()
    for words, name in (
        ("It cannot promise", "safety"),
        ("Length runs", "parts and material"),
        ("yours Notes", "notes"),
    ):
        assert f"{page_of(pages, words) + 1} {name}" in flat(pages[0])


def test_no_note_for_the_teacher_is_in_it() -> None:
    sheet, _ = sample()
    assert any(TEACHER_NOTE in run["s"] for step in sheet["steps"] for line in step["teacher"] for run in line)
    assert TEACHER_NOTE not in flat(" ".join(usual()))


def test_a_template_cannot_reach_what_is_for_the_teacher(tmp_path: Path) -> None:
    own = tmp_path / "mine"
    (own / "print").mkdir(parents=True)
    (own / "print" / "handout.typ").write_text(
        '#import "data.typ": sheet\n#set document(title: "x")\n#set text(lang: "en")\n'
        "#repr(sheet.steps.at(5).keys()) #repr(sheet.keys())"
    )
    words = " ".join(made(*sample(), theme=(own, THEME)))
    assert '"actions"' in words
    assert '"teacher"' not in words
    assert '"findings"' not in words


def test_each_step_has_number_title_and_picture_on_one_page() -> None:
    sheet, _ = sample()
    pages = usual()
    for step in sheet["steps"]:
        page = flat(pages[page_of(pages, f"{step['number']} of 14 {step['title']}")])
        if step["picture"]:
            assert f"picture of {step['slug']}" in page


def test_a_crowded_step_keeps_its_picture_and_loses_nothing() -> None:
    sheet, _ = crowded()
    reader = pypdf.PdfReader(io.BytesIO(full("imperial", "letter")))
    pages = [flat(page.extract_text()) for page in reader.pages]
    together = " ".join(pages)
    for step in sheet["steps"]:
        page = pages[page_of(pages, f"{step['number']} of 30 {step['title']}")]
        assert f"picture of {step['title']}" in page
        assert page.count("DANGER") == sum(hazard["signal"] == "DANGER" for hazard in step["hazards"])
        for action in step["actions"]:
            assert together.count(action[0]["s"].split(" is ")[0] + " is") == 1


def test_a_step_too_long_goes_on_under_its_number() -> None:
    pages = [flat(page.extract_text()) for page in pypdf.PdfReader(io.BytesIO(full("imperial", "letter"))).pages]
    again = [page for page in pages if "1 of 30 Do number 1 continued" in page]
    assert len(again) == 1
    assert "Work 1.12 is" in again[0]
    assert "Good enough:" in again[0]
    assert "picture of" not in again[0]


@pytest.mark.parametrize(("edition", "paper"), [("imperial", "letter"), ("imperial", "a4"), ("metric", "a4")])
def test_no_words_leave_the_page_or_run_into_its_foot(edition: str, paper: Paper) -> None:
    left, foot = 22 * POINTS_PER_MM, 31 * POINTS_PER_MM
    for page in pypdf.PdfReader(io.BytesIO(full(edition, paper))).pages:
        right = float(page.mediabox.width) - 14 * POINTS_PER_MM
        placed = words_of(page)
        assert all(left - 1 <= x <= right for _, x, _ in placed)
        lowest = flat(" ".join(words for words, _, y in placed if y < foot - 0.5))
        assert lowest.endswith("Read the numbers, not the drawing.")
        assert "Work" not in lowest
        assert any(y > foot for _, _, y in placed)


def words_of(page: pypdf.PageObject) -> list[tuple[str, float, float]]:
    """Pieces of text with the place where each begins, in points from the lower left corner."""
    placed = []

    def place(words: str, cm: list[float], tm: list[float], *_: object) -> None:
        if words.strip():
            placed.append((words, *_place(tm, cm)))

    page.extract_text(visitor_text=place)
    return placed


def _place(tm: list[float], cm: list[float]) -> tuple[float, float]:
    return (
        tm[4] * cm[0] + tm[5] * cm[2] + cm[4],
        tm[4] * cm[1] + tm[5] * cm[3] + cm[5],
    )


def test_forty_parts_repeat_the_head_of_their_table() -> None:
    pages = [flat(page.extract_text()) for page in pypdf.PdfReader(io.BytesIO(full("imperial", "letter"))).pages]
    listed = [page for page in pages if "part number" in page]
    assert len(listed) > 2
    for page in listed:
        assert "letter no. part length width when" in page
    for k in range(40):
        assert sum(f"part number {k} with" in page for page in listed) == 1


def test_an_empty_sheet_has_no_blank_fields() -> None:
    pages = made(bare(), {})
    words = flat(" ".join(pages))
    for label in ("You will learn", "Machines", "Revision", "weight", "waiting", "level", "Never", "Tools", "set-up"):
        assert label not in words
    for label in ("Parts and material", "Drawings", "Finish", "Good enough", "teacher looks here"):
        assert label not in words
    assert "2 of 14" in words


def test_a_part_is_told_with_its_life() -> None:
    parts = flat(usual()[page_of(usual(), "Length runs")])
    assert "leave long, trim in step 5" in parts
    assert "fit to the case, step 12" in parts
    assert "cut now, step 2" in parts


@pytest.mark.parametrize("words", ['#panic("x")', "*not bold*", "$x^2$", "@nobody <label>", "= head", "a \\ b"])
def test_words_of_a_plan_are_never_commands(words: str) -> None:
    sheet, pictures = sample()
    sheet["steps"][0]["title"] = words
    sheet["steps"][0]["actions"] = [text(words)]
    sheet["summary"] = words
    assert flat(" ".join(made(sheet, pictures))).count(words) >= 3


def test_a_book_may_bring_a_single_template(tmp_path: Path) -> None:
    own = tmp_path / "mine"
    (own / "print").mkdir(parents=True)
    source = (THEME / "print" / "finish.typ").read_text()
    (own / "print" / "finish.typ").write_text(source.replace('"Notes"', '"Own squares"'))
    pages = made(*sample(), theme=(own, THEME))
    assert "Own squares" in pages[-1]
    assert flat(pages[1]) == flat(usual()[1])


def test_a_changed_template_is_seen_at_once(tmp_path: Path) -> None:
    own = tmp_path / "mine"
    (own / "print").mkdir(parents=True)
    source = (THEME / "print" / "finish.typ").read_text()
    for name in ("First", "Second time"):
        (own / "print" / "finish.typ").write_text(source.replace('"Notes"', f'"{name}"'))
        assert name in made(*sample(pictured=False), theme=(own, THEME))[-1]


def fault(sheet: Mapping[str, Any], pictures: Mapping[str, str], theme: Path | tuple[Path, ...]) -> Any:
    with pytest.raises(HandoutError) as raised:
        handout(sheet, pictures, paper="letter", theme_dir=theme)
    assert raised.value.diagnostic.severity is Severity.STOP
    return raised.value.diagnostic


def test_a_fault_in_a_template_is_told_with_its_place(tmp_path: Path) -> None:
    own = tmp_path / "mine"
    (own / "print").mkdir(parents=True)
    (own / "print" / "front.typ").write_text("#let front = {\n  nonsense\n}\n")
    found = fault(*sample(), (own, THEME))
    assert found.slug == "template-fault"
    assert f"{own / 'print' / 'front.typ'}, line 2, column 3: unknown variable: nonsense" in found.message
    assert "Bookcase with two loose shelves" in found.message


def test_a_face_that_no_file_has_is_a_fault(tmp_path: Path) -> None:
    own = tmp_path / "mine"
    (own / "print").mkdir(parents=True)
    source = (THEME / "print" / "grid.typ").read_text()
    (own / "print" / "grid.typ").write_text(source.replace('"Libertinus Serif", "DejaVu Sans"', '"Nowhere Serif"'))
    assert "unknown font family: nowhere serif" in fault(*sample(), (own, THEME)).message


def test_a_theme_without_faces_or_templates_is_a_fault(tmp_path: Path) -> None:
    assert fault(*sample(), tmp_path).message == "the theme has no file `print/handout.typ`"
    (tmp_path / "print").mkdir()
    (tmp_path / "print" / "handout.typ").write_text("x")
    found = fault(*sample(), tmp_path)
    assert (found.slug, "DejaVu Sans" in found.message) == ("unknown-face", True)


def test_a_missing_picture_is_a_fault() -> None:
    sheet, pictures = sample()
    del pictures["letters"]
    assert fault(sheet, pictures, THEME).slug == "no-picture"


@pytest.mark.parametrize(
    "style", ['font-family="Nowhere"', "style=\"font: 4px 'Nowhere', serif\"", 'style="font-family: Nowhere"']
)
def test_a_picture_in_an_unknown_face_is_a_fault(style: str) -> None:
    sheet, pictures = sample()
    pictures["letters"] = drawing("letters").replace("<text ", f"<text {style} ", 1)
    found = fault(sheet, pictures, THEME)
    assert (found.slug, "`Nowhere`" in found.message) == ("unknown-face", True)


def test_a_letter_that_no_face_has_is_named() -> None:
    sheet, pictures = sample()
    sheet["steps"][0]["actions"] = [text("Saw 中 it.")]
    found = fault(sheet, pictures, THEME)
    assert (found.slug, "`中`" in found.message) == ("no-letter", True)


def test_the_same_sheet_gives_the_same_bytes_here_and_elsewhere() -> None:
    here = sha256(handout(*sample(), paper="letter", theme_dir=THEME)).hexdigest()
    assert sha256(handout(*sample(), paper="letter", theme_dir=THEME)).hexdigest() == here
    code = (
        "from hashlib import sha256; from sample_sheet import THEME, sample\n"
        "from planbook.publish.handout import handout\n"
        "print(sha256(handout(*sample(), paper='letter', theme_dir=THEME)).hexdigest())"
    )
    tests = Path(__file__).parent.parent
    for seed in ("1", "2"):
        paths = os.pathsep.join([str(tests), str(tests.parent)])
        told = subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": paths},
            capture_output=True,
            text=True,
            check=True,
        )
        assert told.stdout.strip() == here


def test_the_date_in_the_file_is_that_of_the_revision() -> None:
    sheet, pictures = sample()
    for revised, expected in (("2026-03-14", "20260314"), ("", "20000101")):
        sheet["revised"] = revised
        pdf = handout(sheet, pictures, paper="a4", theme_dir=THEME)
        info = pypdf.PdfReader(io.BytesIO(pdf)).metadata
        assert info is not None
        assert expected in str(info["/CreationDate"])


def test_importing_is_light() -> None:
    code = (
        "import sys, planbook.publish.handout; print([m for m in ('typst', 'matplotlib', 'pint') if m in sys.modules])"
    )
    root = str(Path(__file__).parent.parent.parent)
    told = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
