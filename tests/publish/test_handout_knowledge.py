"""What the shop knows, on paper: cautions at their steps, the mixing table at its pour, coats, movement, fasteners."""

from __future__ import annotations

import io
import shutil
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pypdf
import pytest

from planbook.cli.entry import run

FIXTURE = Path(__file__).parents[1] / "fixtures" / "target-c"
ROOM = """
room: {driest: 68 F at 28 %, driest in: February, dampest: 74 F at 58 %, dampest in: August, source: own measurement}
"""


@cache
def pages(*more: str) -> tuple[str, ...]:
    """Return the text of each page of the side table's handout."""
    with TemporaryDirectory() as folder:
        book = Path(folder) / "book"
        shutil.copytree(FIXTURE, book, ignore=shutil.ignore_patterns(".planbook"))
        with (book / "shop.yaml").open("a", encoding="utf-8") as shop:
            shop.write(ROOM)
        into = Path(folder) / "made.pdf"
        assert run(["handout", "side-table", "--book", str(book), "--into", str(into), *more]) == 0
        reader = pypdf.PdfReader(io.BytesIO(into.read_bytes()))
        return tuple(" ".join(page.extract_text().split()) for page in reader.pages)


def page_with(*words: str, among: tuple[str, ...] | None = None) -> int:
    found = [at for at, text in enumerate(among or pages()) if all(word in text for word in words)]
    assert found, words
    return found[0]


@pytest.mark.parametrize("more", [(), ("--large",)])
def test_the_mixing_table_stands_beside_its_step(more: tuple[str, ...]) -> None:
    made = pages(*more)
    pour = page_with("Dam, seal and pour", "of 8", among=made)
    table = page_with("To mix", among=made)
    assert pour <= table <= pour + 3
    after = page_with("Flatten the slab and saw the ends", "of 8", among=made)
    assert table <= after
    assert "The product’s own sheet comes first" in made[table]
    for words in ("11.0 oz (312 g)", "4.7 oz (134 g)", "13.9 fl oz", "70 °F to 77 °F", "2 to 1 by volume"):
        assert words in made[table]


def test_a_step_has_its_signs_and_cautions_after_the_authors_own() -> None:
    pour = pages()[page_with("Dam, seal and pour", "of 8")]
    assert pour.index("Skin and eyes") < pour.index("wear and do") < pour.index("usual here")
    assert "apron" in pour
    assert page_with("The hazards of this plan") <= page_with("Usual with these tools and materials")
    assert page_with("Usual with these tools and materials") < page_with("Parts and material")


def test_the_last_pages_tell_coats_and_the_year() -> None:
    finish = pages()[page_with("Finish", "Read the label first")]
    assert "coat 2, after 12 h to 1 day" in finish
    assert "to buy for 2 coats" in finish
    year = pages()[page_with("Over the year")]
    assert "own measurement" in year
    assert "Wood Handbook" in year


def test_fasteners_have_a_page() -> None:
    page = pages()[page_with("Fasteners", "try each")]
    assert "machine screw" in page
    assert "the hole that its maker prints comes first" in page
