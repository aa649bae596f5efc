"""`planbook layout` and the tables of `show` that need layouts."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter
from pathlib import Path

import pytest
from pypdf import PdfReader
from sample_commands import Command

from planbook.cli import exits

LIST = """\
units: in
kerf: 1/8 in
pieces:
  side: {length: 17 in, width: 13 3/4 in, count: 12}
  rail: {length: 34, width: 2 1/2, count: 8, grain: free}
stock:
  sheet: {length: 96 in, width: 48 in, price: 84}
  offcut: {length: 48 in, width: 24 in, price: 0, count: 1}
"""
STICKS = """\
what,name,length,count,price
piece,leg,28 1/4 in,8,
piece,rail,42 in,6,
stock,eight foot,96 in,,6.40
stock,ten foot,120 in,,8.20
"""


@pytest.fixture
def listed(tmp_path: Path) -> Path:
    path = tmp_path / "list.yaml"
    path.write_text(LIST)
    return path


def test_a_list_is_laid_out_and_the_proof_told(planbook: Command, listed: Path) -> None:
    told = planbook("layout", listed)
    assert told.code == exits.FINE
    assert "proven least" in told.out
    data = json.loads(planbook("layout", listed, "--as", "json").out)
    (lot,) = data["lots"]
    got = Counter[str]()
    for layout in lot["layouts"]:
        for piece in layout["pieces"]:
            got[piece["name"]] += layout["copies"]
            assert piece["x"] + piece["length"] <= 96
            assert piece["y"] + piece["width"] <= 48
    assert got == {"side": 12, "rail": 8}
    assert lot["proven"]
    assert lot["cost"] == lot["bound"]


def test_sticks_from_csv(planbook: Command, tmp_path: Path) -> None:
    path = tmp_path / "sticks.csv"
    path.write_text(STICKS)
    (lot,) = json.loads(planbook("layout", path, "--as", "json").out)["lots"]
    # Three legs and two kerfs are 85 in, four are 113 3/8 in; two rails 84 1/8 in. Three sticks of 8 ft for the
    # rails and two of 10 ft for the legs: 3 x 6.40 + 2 x 8.20.
    assert lot["stock"] == {"eight foot": 3, "ten foot": 2}
    assert lot["cost"] == pytest.approx(35.6)
    assert lot["proven"]


@pytest.mark.parametrize("kind", [".pdf", ".dxf", ".svg"])
def test_files_for_the_yard_are_the_same_each_time(planbook: Command, listed: Path, tmp_path: Path, kind: str) -> None:
    first, second = tmp_path / f"a{kind}", tmp_path / f"b{kind}"
    for path in (first, second):
        assert planbook("layout", listed, "--into", path).code == exits.FINE
    assert first.read_bytes() == second.read_bytes()
    if kind == ".pdf":
        text = "".join(page.extract_text() for page in PdfReader(first).pages)
        assert "cheaper is impossible" in text


def test_svg_holds_a_drawing_for_each_diagram(planbook: Command, listed: Path) -> None:
    svg = planbook("layout", listed, "--as", "svg").out
    data = json.loads(planbook("layout", listed, "--as", "json").out)
    assert len(re.findall(r"<title id=", svg)) == sum(len(lot["layouts"]) for lot in data["lots"])
    ids = re.findall(r'id="([^"]+)"', svg)
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize(
    ("before", "after", "slug", "says"),
    [
        ("17 in,", "170 in,", "larger-than-stock", "`side` is 170 in x 13 3/4 in"),
        ("17 in,", "0 in,", "size-not-positive", "`0 in`"),
        ("17 in,", "-3 in,", "size-not-positive", "`-3 in`"),
        ("count: 12", "count: 0", "wrong-number", "`0`"),
        ("count: 12", "count: 100000", "too-many-pieces", "100008 pieces"),
        ("kerf: 1/8 in", "kerf: 20 in", "kerf-over-piece", "kerf"),
        ("grain: free", "grain: freee", "unknown-word", "`freee`"),
        ("width: 2 1/2,", "", "missing-word", "`rail` has no width"),
        ("price: 84", "price: many", "wrong-number", "`many` is no price"),
        ("stock:\n", "stok:\n", "unknown-word", "`stok`"),
        ("units: in", "units: yard", "unknown-word", "`yard`"),
    ],
)
def test_wrong_lists_are_told_with_their_place(
    planbook: Command, listed: Path, before: str, after: str, slug: str, says: str
) -> None:
    assert before in LIST
    listed.write_text(LIST.replace(before, after, 1))
    told = planbook("layout", listed)
    assert told.code == exits.STOPPED
    assert f"stop[{slug}]" in told.err
    assert says in told.err
    assert "--> list.yaml:" in told.err
    assert "help:" in told.err


def test_what_fits_turned_is_told_so(planbook: Command, listed: Path) -> None:
    listed.write_text(LIST.replace("{length: 17 in, width: 13 3/4 in", "{length: 40 in, width: 60 in"))
    told = planbook("layout", listed)
    assert "larger-than-stock" in told.err
    assert "write `grain: free`: turned, it fits" in told.err


def test_a_csv_list_with_faults_is_told_line_by_line(planbook: Command, tmp_path: Path) -> None:
    path = tmp_path / "sticks.csv"
    path.write_text(STICKS.replace("length", "lenght").replace("piece,leg", "pece,leg"))
    told = planbook("layout", path)
    assert told.code == exits.STOPPED
    assert "there is no column `lenght`" in told.err
    path.write_text(STICKS.replace("piece,leg", "pece,leg"))
    assert "sticks.csv:2" in planbook("layout", path).err


def test_a_csv_list_with_columns_that_cannot_be_is_told(planbook: Command, tmp_path: Path) -> None:
    path = tmp_path / "sheets.csv"
    text = "what,name,length,width,price\npiece,side,17 in,9 in,\nstock,sheet,96 in,48 in,84.50\n"
    path.write_text(text)
    assert planbook("layout", path).code == exits.FINE
    path.write_text(text.replace("width", "widht"))
    told = planbook("layout", path)
    assert (told.code, "help: write `width`" in told.err) == (exits.STOPPED, True)
    # A decimal comma makes one column more: 84 would be taken for the price.
    path.write_text(text.replace("84.50", "84,50"))
    told = planbook("layout", path)
    assert told.code == exits.STOPPED
    assert "line 3 has 6 columns, the first line names 5" in told.err


@pytest.mark.parametrize("words", [("--students", "3"), ("--edition", "metric")])
def test_what_is_for_a_plan_is_not_dropped_for_a_list(planbook: Command, listed: Path, words: tuple[str, str]) -> None:
    told = planbook("layout", listed, *words)
    assert told.code == exits.WRONG_USE
    assert f"`{words[0]}` is for a plan" in told.err


def test_too_little_stock_is_told_with_figures(planbook: Command, tmp_path: Path) -> None:
    path = tmp_path / "list.yaml"
    pieces = "pieces:\n  side: {length: 24 in, width: 12 in, count: 20}\n"
    path.write_text("units: in\n" + pieces + "stock:\n  sheet: {length: 96 in, width: 48 in, count: 1}\n")
    told = planbook("layout", path).err
    assert "stop[stock-short]" in told
    # Twenty pieces of two square feet each; four feet by eight are thirty-two.
    assert "they take 40 sq ft and what the saw takes, `sheet` has 32 sq ft" in told
    assert "list.yaml:5:3" in told
    path.write_text("pieces:\n  leg: {length: 60 in, count: 5}\nstock:\n  stick: {length: 96 in, count: 2}\n")
    assert "they take 25 ft and what the saw takes, `stick` has 16 ft" in planbook("layout", path).err


def test_a_layout_that_is_accepted_stays(planbook: Command, book: Path) -> None:
    words = ("layout", "bookcase", "--book", book, "--as", "csv")
    before = planbook(*words).out
    assert planbook(*words, "--accept").code == exits.FINE
    kept = book / "plans/bookcase/layouts.json"
    data = json.loads(kept.read_text())
    assert {entry["of"] for entry in data["layouts"].values()}
    # What stands in the file is what is told, also where another layout would be as good.
    assert planbook(*words).out == before
    assert {entry["edition"] for entry in data["layouts"].values()} == {"imperial", "metric"}
    assert planbook("check", book).code == exits.FINE


def test_a_plan_and_a_class_have_tables_of_cuts_and_of_what_to_buy(planbook: Command, book: Path) -> None:
    one = list(csv.DictReader(io.StringIO(planbook("show", "bookcase", "layout", "--book", book, "--as", "csv").out)))
    assert one[0]["set-up"] == "trim"
    assert all(row["copies"] == "1" for row in one)
    words = ("show", "bookcase", "layout", "--book", book, "--as", "csv", "--students", "12")
    many = list(csv.DictReader(io.StringIO(planbook(*words).out)))
    assert max(int(row["copies"]) for row in many) > 1
    told = planbook("show", "bookcase", "buying", "--book", book, "--as", "csv", "--students", "12")
    bought = list(csv.DictReader(io.StringIO(told.out)))
    assert {row["kind"] for row in bought} >= {"sheet"}
    assert all(row["need"] and row["buy"] for row in bought if row["kind"] not in ("all", "each student"))


def test_wrong_use_is_told(planbook: Command, listed: Path, book: Path, tmp_path: Path) -> None:
    assert planbook("layout", listed, "--accept").code == exits.WRONG_USE
    assert planbook("layout", listed, "--into", tmp_path / "x.doc").code == exits.WRONG_USE
    assert planbook("layout", "bokcase", "--book", book).code == exits.WRONG_USE
    assert planbook("layout", tmp_path / "none.yaml").code != exits.FINE
