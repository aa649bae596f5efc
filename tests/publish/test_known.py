"""Pages of materials and tools: what the tables know, each figure with its source."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from fixtures.small_books import CASE, plan_text, read, write_book
from fixtures.target_books import target_plan

from planbook.publish.book_info import BookInfo, MaterialInfo, ToolInfo, book_info
from planbook.publish.known import material_facts, numbered, tool_facts, with_used

BOOK = BookInfo(shop="Test shop", title="Test")


def told(key: str) -> dict[str, tuple[str, str]]:
    return {row["what"]: (row["value"], row["source"]) for row in material_facts(key, BOOK)}


def test_a_wood_has_the_figures_of_the_handbook() -> None:
    # Wood Handbook, FPL-GTR-190 (2010), Tables 4-3 and 13-5: white ash, 7.8 % along the rings, coefficient 0.00274.
    ash = told("white ash")
    assert ash["shrinks along the rings, green to ovendry"][0] == "7.8 %"
    assert ash["moves along the rings, for each 1 % of moisture"][0] == "0.274 % of the width"
    assert "Wood Handbook" in ash["stiffness"][1]


def test_a_panel_measures_other_than_it_is_called() -> None:
    ply = told("birch plywood")
    assert ply["sold as 3/4 in"][0] == 'measures ²³⁄₃₂"'
    assert ply["sold as 18 mm"][0] == "measures 17.7 mm"


def test_fasteners_and_products_are_known_too() -> None:
    # ASME B18.6.1: shank of a No. 8 is 0.060 + 8 x 0.013 = 0.164 in.
    assert told("No. 8 wood screw")["shank"][0].startswith("0.164 in")
    assert told("hardwax oil")["to the next coat"][0] == "12 h to 1 day"


def test_every_figure_names_its_source() -> None:
    for key in ("white ash", "black walnut", "MDF", "PVA glue", "deep-pour epoxy", "No. 8 wood screw"):
        rows = material_facts(key, BOOK)
        assert rows
        assert all(row["source"] and row["value"] for row in rows)


def test_a_fastener_tells_its_pilots_by_density() -> None:
    # NDS: 70 % of the root of 0.112 in below a gravity of 0.60, 90 % from there on: 0.078 and 0.101 in.
    screw = told("No. 8 wood screw")
    assert screw["pilot in wood of gravity 0.50 to 0.59"][0] == "5/64 in"
    assert screw["pilot in dense wood, gravity from 0.60"][0] == "3/32 in"
    assert screw["clearance hole"][0] == "11/64 in"


def test_what_is_taught_stands_beside_what_is_usual() -> None:
    coat = told("coating epoxy")
    assert coat["depth of one pour"][0] == '¹⁄₈" (3 mm) to ¹⁄₄" (6 mm)'
    assert coat["depth of one pour, as it is taught"][0].startswith('¹⁄₂" (13 mm)')
    assert "practitioners" in coat["depth of one pour, as it is taught"][1]


def test_all_that_a_plan_uses_gets_a_page() -> None:
    plan = replace(target_plan("c", "imperial"), slug="table")
    book = with_used(BOOK, [plan])
    assert {"black walnut", "clear deep-pour", "hardwax oil"} <= set(book.materials)
    assert all(item.derived for item in book.materials.values())
    mine = MaterialInfo(key="Black Walnut", text="Ours.")
    assert "black walnut" not in with_used(replace(BOOK, materials={"Black Walnut": mine}), [plan]).materials


def test_what_no_table_has_gives_nothing() -> None:
    assert material_facts("felt pad", BOOK) == []
    assert tool_facts(ToolInfo(key="story stick", does="marks")) is None


def test_a_machine_by_another_name() -> None:
    known = tool_facts(ToolInfo(key="big saw", does="saws", also=("table saw",)))
    assert known is not None
    assert "kickback" in known["hazards"]
    assert {"ref": "P028", "title": "Do not wear gloves", "picture": "no-gloves"} in known["signs"]
    assert any(row["what"] == "shortest piece" and row["value"] == '12" (300 mm)' for row in known["rows"])


def test_sources_are_numbered_once() -> None:
    rows, sources = numbered(material_facts("white ash", BOOK))
    assert len(set(sources)) == len(sources)
    assert all(sources[row["number"] - 1] == row["source"] for row in rows)


def test_the_pages_show_them(pages: Mapping[str, str]) -> None:
    ply = pages["materials/birch-plywood/index.html"]
    assert "Known about it" in ply
    assert re.search(r'href="#source-1"', ply)
    assert "It can hurt by" in pages["tools/table-saw/index.html"]


def test_a_tool_says_what_that_of_the_shop_takes(tmp_path: Path) -> None:
    shop = "tools:\n  planer: {does: Planes., widest: {imperial: 13 in, metric: 330 mm}, thickest: 6 in}\n"
    book = read(write_book(tmp_path, plan_text(CASE), shop=shop)).book
    assert book is not None
    takes = book_info(book).tools["planer"].takes
    assert takes == (("widest piece", "13 in (330 mm)"), ("thickest piece", "6 in"))
