"""Pages of handouts: where a step is kept together, what shares a page, what fills one."""

from __future__ import annotations

import io
import re
from typing import Any

import pypdf
import pytest
from sample_sheet import THEME, crowded, drawing, sample, text

from planbook.publish.handout import LEAST_CAPITAL, Paper, handout, least_scale


def pages(sheet: dict[str, Any], pictures: dict[str, str], paper: Paper = "letter") -> list[str]:
    """The words of each page, blanks made even."""
    reader = pypdf.PdfReader(io.BytesIO(handout(sheet, pictures, paper=paper, theme_dir=THEME)))
    return [" ".join(page.extract_text().split()) for page in reader.pages]


def one_step(actions: int, *, high: float = 118, hazards: int = 1) -> tuple[dict[str, Any], dict[str, str]]:
    """A sheet of a single step with all that a step can have, and so many actions."""
    sheet, _ = crowded()
    step = sheet["steps"][0]
    step["hazards"] = step["hazards"][:hazards]
    slowly = "slowly and " * 9
    step["actions"] = [text(f"Action {number} is done {slowly}with care.") for number in range(1, actions + 1)]
    step |= {"look": "the marks", "tips": [], "wait": "1 hour, for glue", "holds": ["4 clamps"]}
    step |= {"good_enough": text("The end of it lies flat."), "went_wrong": text("Do it again.")}
    sheet["steps"] = [step]
    return sheet, {"front": drawing("front"), step["picture"]: drawing(step["title"], high=high)}


@pytest.mark.parametrize(("actions", "wait"), [(5, ""), (7, ""), (6, "1 hour, for glue")])
def test_the_lines_to_write_on_never_stand_alone(actions: int, wait: str) -> None:
    """Steps alike but for the height of their pictures, by half millimetres: at some height each just fits."""
    sheet, pictures = one_step(actions)
    first = sheet["steps"][0] | {"wait": wait, "tips": [text("A long one waits for a short one.")]}
    sheet["steps"] = []
    for number in range(1, 71):
        step = first | {"number": number, "of": 70, "slug": f"s{number}", "title": f"Try {number}!"}
        step |= {"picture": f"p{number}", "look": f"the mark {number}!"}
        sheet["steps"].append(step)
        pictures[f"p{number}"] = drawing(f"p{number}", high=83 + number / 2)
    made = pages(sheet, pictures)
    for number in range(1, 71):
        looks = [page for page in made if f"the mark {number}!" in page]
        assert len(looks) == 1
        assert f"Try {number}!" in looks[0]
        assert "Good enough: The end of it lies flat." in looks[0]
        assert f"Action {actions} is done" in looks[0]


@pytest.mark.parametrize("count", [8, 12, 16])
def test_a_split_step_fills_its_second_page(count: int) -> None:
    made = pages(*one_step(count, hazards=3))
    again = [page for page in made if "Do number 1 continued" in page]
    assert len(again) == 1
    assert "your notes" in again[0]
    assert "Good enough" in again[0]
    assert "Action 1 is" not in again[0]


def test_two_drawings_share_a_page_where_both_fit() -> None:
    sheet, pictures = sample()
    made = pages(sheet, pictures)
    letters = next(page for page in made if "picture of letters" in page)
    assert "picture of three view" in letters
    pictures["letters"] = drawing("letters", high=140)
    made = pages(sheet, pictures)
    letters = next(page for page in made if "picture of letters" in page)
    assert "picture of three view" not in letters
    assert sum("picture of three view" in page for page in made) == 1


def test_the_initials_stand_once_on_the_last_page_about_safety() -> None:
    sheet, pictures = crowded()
    made = pages(sheet, pictures)
    signed = [number for number, page in enumerate(made) if "your initials" in page]
    parts = next(number for number, page in enumerate(made) if "Length runs with the grain" in page)
    assert signed == [parts - 1]


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_each_metric_page_says_once_what_its_sizes_are_in_and_shows_no_inch(paper: Paper) -> None:
    for page in pages(*sample("metric"), paper):
        assert page.count("all sizes in mm") == 1
        assert not re.search(r'\d ?("|in\b|inch)|[⁄½¼¾]', page), page


def test_a_long_title_leaves_the_page_number_on_its_line() -> None:
    sheet, pictures = sample()
    sheet["title"] = "A very low bench for boots and bags, with a loose shelf, a drawer and a lid that stays up"
    made = pages(sheet, pictures)
    assert sheet["title"] in made[0]
    for page in made:
        assert "A very low bench for boots" in page
        assert "… revision 2 inch edition page" in page


def test_a_picture_may_shrink_until_its_smallest_words_are_lost() -> None:
    """A drawing of lettering of 4.8 mm has capitals of 3.5 mm (DejaVu Sans: 1493 of 2048 units)."""
    assert least_scale(drawing("x")) == pytest.approx(LEAST_CAPITAL / (4.8 * 1493 / 2048))
    assert least_scale(drawing("x").replace("4.8px", "2px")) == 1
    assert least_scale('<svg width="10pt" viewBox="0 0 10 10"><path d="M0 0"/></svg>') == 0
    assert least_scale('<svg><text style="font-size: 4px">x</text></svg>') == 1
