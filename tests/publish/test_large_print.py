"""Handouts in large print: how large the letters are, and that each step lies open on two pages."""

from __future__ import annotations

import io
from functools import cache
from typing import Any

import pypdf
import pytest
from sample_sheet import THEME, crowded, sample

from planbook.publish.handout import Paper, handout

FOOT = 31 * 72 / 25.4
"""Height of the lower margin in points; the foot keeps the size of its rule."""


@cache
def pages(edition: str, paper: Paper, *, many: bool = False) -> tuple[list[tuple[float, str]], ...]:
    """Letters of each page above its foot, with their size in points."""
    made = handout(*(crowded if many else sample)(edition), paper=paper, theme_dir=THEME, large=True)
    found = []
    for page in pypdf.PdfReader(io.BytesIO(made)).pages:
        pieces: list[tuple[float, str]] = []

        def keep(text: str, page: Any, line: Any, _font: Any, size: float, pieces: Any = pieces) -> None:
            high = line[4] * page[1] + line[5] * page[3] + page[5]
            if text.strip() and high > FOOT:
                pieces.append((abs(size * line[3] * page[3]), text))

        page.extract_text(visitor_text=keep)
        found.append(pieces)
    return tuple(found)


def words(page: list[tuple[float, str]]) -> str:
    return " ".join(" ".join(text for _, text in page).split())


CASES: list[tuple[str, Paper]] = [("imperial", "letter"), ("imperial", "a4"), ("metric", "a4")]


@pytest.mark.parametrize(("edition", "paper"), CASES)
def test_what_is_read_is_set_in_eighteen_points(edition: str, paper: Paper) -> None:
    actions = [line for step in sample(edition)[0]["steps"] for line in step["actions"]]
    longest = max((piece["s"] for line in actions for piece in line if piece["k"] == "text"), key=len)
    found = [size for page in pages(edition, paper) for size, text in page if text.strip() and text.strip() in longest]
    read = [size for page in pages(edition, paper) for size, text in page if len(text) > 30]
    assert 18 in [round(size, 1) for size in found]
    # What is set in long lines is 18 points; labels and remarks are 16.5 at least.
    assert min(read) > 16.4


@pytest.mark.parametrize(("edition", "paper"), CASES)
@pytest.mark.parametrize("many", [False, True])
def test_the_picture_of_a_step_lies_at_the_left_of_its_words(edition: str, paper: Paper, many: bool) -> None:
    made = [words(page) for page in pages(edition, paper, many=many)]
    steps = (crowded if many else sample)(edition)[0]["steps"]
    for step in steps:
        head = next(n for n, text in enumerate(made) if text.startswith(f"{step['number']} of {step['of']}"))
        # Pages are counted from 1: an even one lies at the left.
        assert (head + 1) % 2 == 0, step["title"]
        first = "".join(piece["s"] for piece in step["actions"][0]).split()[:2]
        assert any(" ".join(first) in text for text in made[head + 1 : head + 3]), step["title"]


@pytest.mark.parametrize(("edition", "paper"), CASES)
def test_nothing_is_left_out(edition: str, paper: Paper) -> None:
    """Every action, test and rescue of the handout stands in the large one, too."""
    text = " ".join(words(page) for page in pages(edition, paper, many=True))
    for step in crowded(edition)[0]["steps"]:
        for line in (*step["actions"], step["good_enough"], step["went_wrong"]):
            start = next((piece["s"] for piece in line if piece["k"] == "text" and len(piece["s"]) > 20), "")
            assert " ".join(start.split()[1:4]) in text, step["title"]
