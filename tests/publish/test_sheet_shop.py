from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from checks.altered_bench import ROOT, bench

from planbook.publish.book_info import BookInfo, book_info
from planbook.publish.sheet import sheet
from planbook.source.book import read_book
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources


@pytest.fixture(scope="module")
def info() -> BookInfo:
    book = read_book(ROOT / "content", Findings(), Sources())
    assert book is not None
    return book_info(book)


def made(info: BookInfo, tmp_path: Path, edition: str = "metric") -> dict[str, Any]:
    return sheet(bench(tmp_path, edition=edition).plan, info)


def test_the_wide_seat_moves_over_the_year(info: BookInfo, tmp_path: Path) -> None:
    moves = made(info, tmp_path)["movement"]
    (seat,) = moves["rows"]
    assert (seat["name"], seat["wood"], seat["width"]) == ("seat", "white ash", "350")
    # 350 mm x 0.00274 (Wood Handbook, FPL-GTR-190 (2010), Table 13-5) for each 1 % from 8 % to 10.5 %: 2.4 mm.
    assert seat["swells"] == "2.4 mm"
    assert any("Table 13-5" in source for source in moves["sources"])


def test_without_a_room_nothing_is_told(tmp_path: Path) -> None:
    assert made(BookInfo(shop="x", title="y"), tmp_path)["movement"] is None


def test_each_coat_waits_for_the_one_before(info: BookInfo, tmp_path: Path) -> None:
    (oil,) = made(info, tmp_path)["coats"]
    told = {row["what"]: row["value"] for row in oil["rows"]}
    assert told["coat 1"] == "at once"
    assert told["coat 2"] == "after 12 h to 1 day"
    assert "full hardness" in told
    assert oil["source"] == "common practice, no source"


def test_the_amount_covers_all_faces(info: BookInfo, tmp_path: Path) -> None:
    (oil,) = made(info, tmp_path)["coats"]
    told = {row["what"]: row["value"] for row in oil["rows"]}
    square_metres = float(told["all of them"].split()[0])
    # 2 coats of 12 m² with a litre, the least that is usual.
    assert float(told["to buy for 2 coats"].split()[0]) == pytest.approx(square_metres * 2 / 12 * 1000, rel=0.01)


def test_glue_tells_how_long_it_stays_open(info: BookInfo, tmp_path: Path) -> None:
    (glue,) = made(info, tmp_path)["glues"]
    assert glue["rows"][0] == {"what": "open", "value": "10 min to 20 min"}
    assert glue["source"]


def test_a_plan_without_resin_has_no_fills(info: BookInfo, tmp_path: Path) -> None:
    assert made(info, tmp_path, "imperial")["fills"] == []
