"""Boards on hand: in a plan whose shop has some, and in a bare list."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from sample_commands import Command

FIXTURE = Path(__file__).parents[1] / "fixtures" / "target-b"
BOARDS = """\
boards:
  ash 1: {of: white ash, thick: 2 in, length: 62 in, width: 6 1/2 in, faces: 1}
  ash 2: {of: white ash, thick: 2 in, length: 50 in, width: 7 in, defects: {split: {from: 0 in, to: 4 in}}}
"""
LIST = """\
units: in
kerf: 1/8 in
pieces:
  rail: {length: 30 in, width: 3 in, count: 4}
stock:
  ash A: {length: 75 in, width: 6 1/2 in, price: 0, count: 1, defects: {knot: {from: 20 in, to: 24 in}}}
  ash B: {length: 40 in, width: 7 in, price: 0, count: 1, defects: {sap: {from: 0 in, to: 40 in, wide: 1/2 in}}}
  yard: {length: 96 in, width: 8 in, price: 40}
"""


def test_boards_of_the_shop_are_cut_first(planbook: Command, tmp_path: Path) -> None:
    book = tmp_path / "book"
    shutil.copytree(FIXTURE, book, ignore=shutil.ignore_patterns(".planbook"))
    with (book / "shop.yaml").open("a", encoding="utf-8") as shop:
        shop.write(BOARDS)
    told = planbook("layout", "stool", "--book", book, "--as", "json")
    assert told.code == 0, told.err
    (lot,) = json.loads(told.out)["lots"]
    assert set(lot["stock"]) == {"ash 1", "ash 2"}
    assert "cost" not in lot


def test_a_list_of_boards_with_defects(planbook: Command, tmp_path: Path) -> None:
    path = tmp_path / "boards.yaml"
    path.write_text(LIST)
    (lot,) = json.loads(planbook("layout", path, "--as", "json").out)["lots"]
    assert lot["stock"] == {"ash A": 1, "ash B": 1}
    for layout in lot["layouts"]:
        for piece in layout["pieces"]:
            if layout["stock"] == "ash A":
                assert piece["x"] >= 24 or piece["x"] + piece["length"] <= 20
            else:
                assert piece["y"] >= 0.5
    more = LIST.replace("count: 4", "count: 6")
    path.write_text(more)
    (lot,) = json.loads(planbook("layout", path, "--as", "json").out)["lots"]
    assert lot["stock"]["yard"] == 1
    path.write_text(more.replace("  yard: {length: 96 in, width: 8 in, price: 40}\n", ""))
    done = planbook("layout", path)
    assert "[stock-short]" in done.err
    path.write_text(LIST.replace("from: 20 in, to: 24 in", "from: 80 in, to: 84 in"))
    done = planbook("layout", path)
    assert "[defect-off-board]" in done.err
    assert "75 in long" in done.err
