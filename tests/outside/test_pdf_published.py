"""Handouts against published standards: paper sizes, tagged PDF, true lengths, numbers that read back."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import pairwise
from typing import Any

import pikepdf
import pypdf
import pytest
from sample_plan import bookcase
from sample_sheet import THEME, drawing, sample, text

from planbook.publish.handout import Paper, handout
from planbook.units.editions import EDITIONS
from planbook.units.write import read_back

POINT = Fraction(254, 720)
"""mm: a point is 1/72 inch (ISO 32000-1, 8.3.2.3), an inch 25.4 mm (NIST SP 811, B.6)."""
# ISO 216 A4, and ANSI/ASME Y14.1 size A (8.5 x 11 in), in mm.
PAPERS = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
BOTH = [("imperial", "letter"), ("metric", "a4")]


@cache
def file(edition: str, paper: Paper) -> bytes:
    return handout(*sample(edition), paper=paper, theme_dir=THEME)


def opened(edition: str = "imperial", paper: Paper = "letter") -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(file(edition, paper)))


@pytest.mark.parametrize("edition", ["imperial", "metric"])
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_every_page_has_the_size_of_its_paper(edition: str, paper: Paper) -> None:
    for page in pypdf.PdfReader(io.BytesIO(file(edition, paper))).pages:
        sides = [float(side) * float(POINT) for side in (page.mediabox.width, page.mediabox.height)]
        assert sides == pytest.approx(PAPERS[paper], abs=0.01)


NUMBER = re.compile(r"[0-9]*[⁰¹²³⁴-⁹]+⁄[₀-₉]+|(?<![\d⁄])\d+(?![\d⁰¹²³⁴-⁹])")
"""A whole, a fraction or a mixed number, as a reader copies it."""


@pytest.mark.parametrize(("edition", "paper"), BOTH)
def test_the_file_says_what_pdf_ua_asks_for(edition: str, paper: Paper) -> None:
    """ISO 14289-1:2014, 5 (identification), 7.1 (tagged, title shown), 7.2 (language), 7.18.3 (tab order)."""
    with opened(edition, paper) as pdf:
        meta = pdf.open_metadata()
        assert meta["pdfuaid:part"] == "1"
        assert meta["dc:title"].startswith("Bookcase with two loose shelves, ")
        root = pdf.Root
        assert bool(root.MarkInfo.Marked)
        assert str(root.Lang).startswith("en")
        assert bool(root.ViewerPreferences.DisplayDocTitle)
        assert root.StructTreeRoot.Type == "/StructTreeRoot"
        for page in pdf.pages:
            if "/Annots" in page:
                assert page.Tabs == "/S"


def elements(node: Any, depth: int = 0) -> Iterator[Any]:
    """Walk the structure elements of a tagged file, in reading order."""
    if isinstance(node, pikepdf.Array):
        for kid in node:
            yield from elements(kid, depth)
    elif isinstance(node, pikepdf.Dictionary):
        if "/S" in node:
            yield node
        if "/K" in node:
            yield from elements(node.K, depth + 1)


def test_every_figure_says_what_it_shows_and_heads_do_not_skip() -> None:
    """ISO 14289-1:2014, 7.3 (figures) and 7.4.2 (heading levels)."""
    with opened() as pdf:
        found = list(elements(pdf.Root.StructTreeRoot))
        figures = [str(node.Alt) for node in found if node.S == "/Figure"]
        assert figures
        assert all(figures)
        assert "Stand-in for close-the-case" in figures
        assert "Sign: Wear eye protection" in figures
        levels = [int(str(node.S)[2:]) for node in found if re.fullmatch("/H[1-6]", str(node.S))]
        assert levels[0] == 1
        assert all(after <= before + 1 for before, after in pairwise(levels))


def test_tables_have_heads_and_actions_are_lists() -> None:
    """ISO 14289-1:2014, 7.5 (tables) and 7.6 (lists)."""
    sheet, _ = sample()
    with opened() as pdf:
        found = list(elements(pdf.Root.StructTreeRoot))
        tables = [node for node in found if node.S == "/Table"]
        assert len(tables) >= len(sheet["cutlist"]) + len(sheet["measured"])
        for table in tables:
            assert any(node.S == "/TH" for node in elements(table.K))
        actions = sum(len(step["actions"]) for step in sheet["steps"])
        assert sum(node.S == "/LI" for node in found) >= actions


def test_bookmarks_lead_to_all_sections_and_steps() -> None:
    sheet, _ = sample()
    outline = pypdf.PdfReader(io.BytesIO(file("imperial", "letter"))).outline
    titles = [" ".join(str(item.title).split()) for item in outline if not isinstance(item, list)]
    assert titles[:3] == ["Bookcase with two loose shelves", "Safety", "Parts and material"]
    steps = [f"{step['number']} of 14 {step['title']}" for step in sheet["steps"]]
    assert [title for title in titles if title in steps] == steps
    assert titles[-1] == "Notes"


Matrix = tuple[float, float, float, float, float, float]


def times(a: Matrix, b: Matrix) -> Matrix:
    return (
        a[0] * b[0] + a[1] * b[2],
        a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2],
        a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4],
        a[4] * b[1] + a[5] * b[3] + b[5],
    )


def lines_of(stream: Any, start: Matrix = (1, 0, 0, 1, 0, 0)) -> Iterator[tuple[float, float, float, float]]:
    """Straight lines of a page and of the drawings in it: x and y of both ends, in mm from its lower left corner."""
    matrix, kept, at = start, [], (0.0, 0.0)
    for operands, operator in pikepdf.parse_content_stream(stream):
        name = str(operator)
        if name == "q":
            kept.append(matrix)
        elif name == "Q":
            matrix = kept.pop()
        elif name == "cm":
            matrix = times(tuple(float(value) for value in operands), matrix)  # type: ignore[arg-type]
        elif name in ("m", "l"):
            x, y = (float(value) for value in operands)
            here = tuple(float(POINT) * value for value in times((1, 0, 0, 1, x, y), matrix)[4:])
            if name == "l":
                yield (*at, *here)
            at = here
        elif name == "Do":
            drawn = stream.Resources.XObject[str(operands[0])]
            if drawn.Subtype == "/Form":
                own = tuple(float(value) for value in drawn.get("/Matrix", [1, 0, 0, 1, 0, 0]))
                yield from lines_of(drawn, times(own, matrix))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("edition", "paper", "long", "pitch", "words"),
    [
        ("imperial", "letter", 177.8, 25.4 / 8, "does not measure 7 inches"),
        ("imperial", "a4", 152.4, 25.4 / 8, "does not measure 6 inches"),
        ("metric", "a4", 170.0, 1.0, "does not measure 170 mm"),
        ("metric", "letter", 170.0, 1.0, "does not measure 170 mm"),
    ],
)
def test_the_check_rule_of_every_page_has_the_length_it_names(
    edition: str, paper: Paper, long: float, pitch: float, words: str
) -> None:
    """Seven inches are 177.8 mm, six 152.4 mm (NIST SP 811, B.6: 1 in = 25.4 mm exactly)."""
    reader = pypdf.PdfReader(io.BytesIO(file(edition, paper)))
    with opened(edition, paper) as pdf:
        for page, read in zip(pdf.pages, reader.pages, strict=True):
            assert words in " ".join(read.extract_text().split())
            foot = [line for line in lines_of(page.obj) if max(line[1], line[3]) < 31]
            level = [abs(line[2] - line[0]) for line in foot if abs(line[3] - line[1]) < 0.001]
            assert max(level) == pytest.approx(long, abs=0.01)
            ticks = sorted({round(line[0], 3) for line in foot if abs(line[2] - line[0]) < 0.001})
            assert len(ticks) == round(long / pitch) + 1
            for before, after in pairwise(ticks):
                assert after - before == pytest.approx(pitch, abs=0.002)


def test_a_drawing_is_printed_in_its_true_size() -> None:
    """A line of 100 mm in each drawing of a step measures 100 mm on the page."""
    sheet, _ = sample()
    with opened() as pdf:
        levels = [abs(x2 - x1) for page in pdf.pages for x1, y1, x2, y2 in lines_of(page.obj) if abs(y2 - y1) < 0.001]
    hundred = [length for length in levels if length == pytest.approx(100, abs=0.01)]
    assert len(hundred) >= sum(bool(step["picture"]) for step in sheet["steps"])


@pytest.mark.parametrize(("high", "least"), [(118, 80.0), (100, 90.0), (90, 100.0)])
def test_a_step_that_barely_fits_has_a_smaller_picture_but_never_too_small(high: float, least: float) -> None:
    """The line of 100 mm tells the scale: never below four fifths, and no picture is made lower than 90 mm."""
    shown = []
    for count in range(2, 18):
        sheet, _ = sample()
        step = sheet["steps"][2]
        step["actions"] = [text(f"Action {number} is done with care.") for number in range(count)]
        step |= {"look": "the marks", "good_enough": text("It lies flat."), "tips": []}
        sheet |= {"steps": [step], "pictures": {"front": None, "letters": None, "three_view": None}}
        pictures = {step["picture"]: drawing(step["slug"], high=high)}
        with pikepdf.open(io.BytesIO(handout(sheet, pictures, paper="letter", theme_dir=THEME))) as pdf:
            lines = [line for page in pdf.pages for line in lines_of(page.obj)]
        shown += [abs(x2 - x1) for x1, y1, x2, y2 in lines if abs(y2 - y1) < 0.001 and 70 < abs(x2 - x1) < 101]
    assert len(shown) == 16
    assert max(shown) == pytest.approx(100, abs=0.01)
    assert min(shown) >= least - 0.01
    assert any(length < 99 for length in shown) == (least < 100)


def test_every_size_of_the_cut_list_reads_back_from_the_file() -> None:
    """The characters under a fraction, copied out of the file, give the plan's exact number (1 in = 25.4 mm)."""
    plan = bookcase("imperial")
    edition = EDITIONS["imperial"]
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(file("imperial", "letter"))).pages)
    read = {read_back(found, edition) for found in NUMBER.findall(text)}
    for part in plan.parts:
        for size in (part.length.final, part.width.final):
            assert size in read, part.key
    # The opposite mistake: a mixed number torn apart would also give the bare fraction or the bare whole number.
    assert read_back("29¹⁄₃₂", edition) in read
    assert Fraction(254, 10) * Fraction(1, 32) not in read


def test_metric_sizes_read_back_from_the_file() -> None:
    plan = bookcase("metric")
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(file("metric", "a4"))).pages)
    read = {Fraction(found) for found in re.findall(r"\d+(?:\.\d+)?", text)}
    for part in plan.parts:
        for size in (part.length.final, part.width.final):
            assert size in read, part.key


def test_only_faces_of_the_theme_are_used_and_all_are_embedded() -> None:
    """ISO 14289-1:2014, 7.21.4.1: fonts are embedded."""
    with opened() as pdf:
        fonts = {str(font.BaseFont).split("+")[-1]: font for page in pdf.pages for font in page.Resources.Font.values()}
        for name, font in fonts.items():
            assert name.startswith(("DejaVuSans", "LibertinusSerif"))
            descriptor = font.DescendantFonts[0].FontDescriptor
            assert {"/FontFile2", "/FontFile3"} & set(descriptor.keys())
