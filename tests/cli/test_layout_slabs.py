"""`planbook layout` of a list whose stock are slabs, and of a plan that is sawn from one."""

from __future__ import annotations

import csv
import io
import json
import shutil
import time
from pathlib import Path

import ezdxf
import pytest
from pypdf import PdfReader
from sample_commands import Command
from shapely import Polygon

from planbook.cli import exits

LIST = """\
units: in
pieces:
  top: {length: 24 in, natural edge: [front, back], start: 3 in from left end, keep: [pocket, knot]}
  shelf: {length: 20 in, width: 9 in, natural edge: either}
  leg: {length: 16 in, width: 3 in, count: 4}
  knob:
    outline: |
      0  1
      1  0
      2  1
      1  2
stock:
  walnut:
    survey: |
      0    7 1/4   8
      10   7 1/2   8 1/2
      20   8 1/4   8
      30   7 3/4   7 1/2
      84   7   9
    clear: 3/8 in
    marks:
      pocket: {is: bark pocket, from: 11 in, to: 20 in, wide: 1 1/4 in, behind line: 1 in}
      knot: {is: sound knot, from: 25 in, to: 26 in, wide: 1 in, before line: 4 in}
      split:
        is: crack
        points: |
          70  -1
          84  0
          84  1/2
"""
FIXTURE = Path(__file__).parents[1] / "fixtures" / "target-c"


@pytest.fixture
def listed(tmp_path: Path) -> Path:
    path = tmp_path / "slab.yaml"
    path.write_text(LIST)
    return path


def test_a_slab_is_laid_out_in_every_form(planbook: Command, listed: Path) -> None:
    told = planbook("layout", listed)
    assert told.code == exits.FINE
    assert "top holds pocket and knot" in told.out
    assert "3 in from the left end, blade left of the line" in told.out
    data = json.loads(planbook("layout", listed, "--as", "json").out)
    (slab,) = data["slabs"]
    whole = Polygon(slab["outline"]).buffer(1e-5)
    pieces = {piece["name"]: Polygon(piece["outline"]) for piece in slab["pieces"]}
    assert set(pieces) == {"top", "shelf", "leg 1", "leg 2", "leg 3", "leg 4", "knob"}
    assert all(whole.covers(piece) for piece in pieces.values())
    assert pieces["leg 1"].area == pytest.approx(48)
    assert pieces["knob"].area == pytest.approx(2)
    marks = {mark["name"]: Polygon(mark["outline"]) for mark in slab["marks"]}
    assert all(piece.distance(marks["split"]) >= 0.375 - 1e-6 for name, piece in pieces.items() if name != "top")
    assert planbook("layout", listed, "--as", "csv").out.count("\n") == len(slab["cuts"]) + 1


def test_a_slab_as_files(planbook: Command, listed: Path, tmp_path: Path) -> None:
    assert planbook("layout", listed, "--into", tmp_path / "slab.pdf").code == exits.FINE
    text = PdfReader(tmp_path / "slab.pdf").pages[0].extract_text()
    assert "crosscut" in text
    assert "of the slab become parts" in text
    assert planbook("layout", listed, "--into", tmp_path / "slab.dxf").code == exits.FINE
    drawing = ezdxf.read(io.StringIO((tmp_path / "slab.dxf").read_text()))
    space = drawing.modelspace()
    assert len(space.query('LWPOLYLINE[layer=="OUTLINE"]')) == 8
    assert len(space.query('LWPOLYLINE[layer=="MARKS"]')) == 3
    assert len(space.query('LINE[layer=="CUTS"]')) > 8


def test_parts_go_on_to_the_next_slab(planbook: Command, tmp_path: Path) -> None:
    path = tmp_path / "two.yaml"
    path.write_text(
        "units: mm\n"
        "pieces:\n  board: {length: 900 mm, width: 150 mm, count: 3}\n"
        "stock:\n"
        "  short: {outline: '0  0\n\n    1000  0\n\n    1000  200\n\n    0  190'}\n"
        "  long: {survey: '0  200  150\n\n    1000  210  190'}\n"
    )
    data = json.loads(planbook("layout", path, "--as", "json").out)
    assert [(slab["slab"], len(slab["pieces"])) for slab in data["slabs"]] == [("short", 1), ("long", 2)]


@pytest.mark.parametrize(
    ("old", "new", "slug", "told"),
    [
        ("count: 4", "count: 100000", "too-many-pieces", "the limit is 60"),
        ("length: 16 in", "length: 0 in", "size-not-positive", "`0 in`"),
        ("16 in, width: 3 in, count: 4", "10 in, width: 18 in", "no-place-on-slab", "turned, it fits"),
        ("width: 3 in", "width: 20 in", "no-place-on-slab", "wide it fits"),
        ("natural edge: either", "natural edge: bottom", "which-edge", "`bottom`"),
        ("count: 4}", "start: 12 in from left end, behind line: 1 in}", "part-over-mark", "begin "),
        ("start: 3 in from left end", "start: 80 in from left end", "off-the-slab", "begin "),
        ("start: 3 in from left end", "start: 3 in", "wrong-word", "from left end"),
        ("keep: [pocket, knot]", "keep: [pocket, eye]", "unknown-mark", "`knot`"),
        ("      10   7 1/2   8 1/2", "      40   7 1/2   8 1/2", "survey-order", "back to 20 in"),
        ("      10   7 1/2   8 1/2", "      10   7 1/2", "survey-row", "2 columns"),
        ("from: 25 in, to: 26 in", "from: 95 in, to: 96 in", "off-the-slab", "the mark `knot`"),
        ("          84  1/2", "          70  1/2\n          84 in  -2", "no-size", "`split`"),
        ("behind line: 1 in", "wide: 1 in", "yaml", "wide"),
        ("kerf", "kerf", "", ""),
    ],
)  # fmt: skip
def test_wrong_input_is_told(planbook: Command, tmp_path: Path, old: str, new: str, slug: str, told: str) -> None:
    path = tmp_path / "slab.yaml"
    path.write_text(LIST.replace(old, new))
    done = planbook("layout", path)
    if not slug:
        assert done.code == exits.FINE
        return
    assert done.code != exits.FINE
    assert "Traceback" not in done.err
    assert told in done.err
    if slug != "yaml":
        assert f"[{slug}]" in done.err


def test_a_slab_whose_outline_crosses_itself(planbook: Command, tmp_path: Path) -> None:
    path = tmp_path / "elm.yaml"
    path.write_text(
        "units: mm\npieces:\n  leg: {length: 300 mm, width: 40 mm}\n"
        "stock:\n  elm:\n    outline: |\n      0  0\n      1000  300\n      1000  0\n      0  300\n"
    )
    done = planbook("layout", path)
    assert "[outline-crossed]" in done.err
    assert "about 500 mm from its left end" in done.err


def test_a_plan_sawn_from_a_slab(planbook: Command, tmp_path: Path) -> None:
    book = tmp_path / "book"
    shutil.copytree(FIXTURE, book, ignore=shutil.ignore_patterns(".planbook"))
    told = planbook("layout", "side-table", "--book", book)
    assert told.code == exits.FINE
    assert "A holds pocket and knot" in told.out
    rows = list(csv.reader(io.StringIO(planbook("show", "side-table", "layout", "--book", book, "--as", "csv").out)))
    assert [row[4] for row in rows[1:]] == ["crosscut", "crosscut"]


PLAIN = "units: in\npieces:\n  a: {length: 9 in, width: 3 in}\nstock:\n  s: {length: 96 in, width: 48 in}\n"


@pytest.mark.parametrize(
    ("old", "new", "slug"),
    [
        ("width: 3 in", "width: 3 in, natural edge: front", "wrong-word"),
        ("width: 48 in", "width: 48 in, count: 0", "no-stock"),
        ("units: in", "units: in\nkerf: 10 in", "kerf-over-piece"),
        ("length: 9 in, ", "", "missing-word"),
    ],
)
def test_what_only_slabs_take(planbook: Command, tmp_path: Path, old: str, new: str, slug: str) -> None:
    path = tmp_path / "list.yaml"
    path.write_text(PLAIN.replace(old, new))
    done = planbook("layout", path)
    assert f"[{slug}]" in done.err
    assert done.code != exits.FINE


def test_forty_parts_of_one_slab_take_no_minutes(planbook: Command, tmp_path: Path) -> None:
    path = tmp_path / "many.yaml"
    path.write_text(
        "units: mm\npieces:\n  leg: {length: 60 mm, width: 30 mm, count: 40}\n"
        "stock:\n  elm: {survey: '0  100  100\n\n    1200  100  100'}\n"
    )
    start = time.process_time()
    data = json.loads(planbook("layout", path, "--as", "json").out)
    assert len(data["slabs"][0]["pieces"]) == 40
    assert time.process_time() - start < 20
