"""Wood, air, loads and resin that cannot be: told at their place, nothing taken in silence."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from planbook.cli.entry import run

FIXTURES = Path(__file__).parents[1] / "fixtures"
ROOM = """
room:
  driest: 68 F at 28 %
  driest in: February
  dampest: 74 F at 58 %
  built: 8 %
  source: own measurement
"""
WOODS = """
woods:
  our walnut: {source: own measurement, density: 610, along rings: 7.8 %}
loads:
  jars: {is: 20 lb/ft, source: own measurement}
"""
PRODUCT = "    deepest pour: 2 in\n"


def found(folder: Path, letter: str, file: str, old: str, new: str, capsys: Any) -> list[dict[str, Any]]:
    """Change one place of a book, check it, and return what was found in that file."""
    book = folder / "book"
    shutil.copytree(FIXTURES / f"target-{letter}", book, ignore=shutil.ignore_patterns(".planbook"))
    with (book / "shop.yaml").open("a", encoding="utf-8") as shop:
        shop.write(ROOM + WOODS)
    path = next(book.rglob(file))
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    run(["check", str(book), "--as", "json"])
    facts = json.loads(capsys.readouterr().out)["findings"]
    return [item for item in facts if item["file"] and item["file"].endswith(file)]


@pytest.mark.parametrize(
    ("letter", "file", "old", "new", "slug", "words"),
    [
        ("c", "plan.yaml", "wood: black walnut", "wood: black wallnut", "unknown-wood", "`black wallnut`"),
        ("a", "plan.yaml", "panel: birch plywood", "panel: birtch plywood", "unknown-panel", "`birtch plywood`"),
        ("c", "plan.yaml", "moisture: 9 %", "moisture: -9 %", "wrong-number", "`-9 %` is no moisture"),
        ("c", "plan.yaml", "product: clear deep-pour", "product: penetrating epoxy", "no-pour-limit", "none is usual"),
        ("c", "plan.yaml", "product: clear deep-pour", "product: claer deep-pour", "unknown-resin", "`claer"),
        ("c", "plan.yaml", ", dam: underside", "", "no-dam", "goes right through"),
        ("c", "plan.yaml", "spare: 15 %", "spare: 15 %, embeds: 40 cu in", "no-void", "leaves nothing"),
        ("c", "plan.yaml", "spare: 15 %", "spare: 15 %, embeds: pebbles", "wrong-unit", "`pebbles`"),
        ("c", "plan.yaml", "seal: twice", "seal: twicce", "wrong-word", "`twicce`"),
        ("a", "plan.yaml", "loose shelf: books", "loose shelf: 0 lb/ft", "no-load", "must be more than 0"),
        ("a", "plan.yaml", "loose shelf: books", "loose shelf: bookes", "unknown-load", "bookes"),
        ("c", "shop.yaml", "68 F at 28 %", "68 F at 128 %", "impossible-humidity", "128"),
        ("c", "shop.yaml", "68 F at 28 %", "68 C at 28 %", "no-room-temperature", "68"),
        ("c", "shop.yaml", "68 F at 28 %", "68 mm at 28 %", "wrong-unit", "`68 mm` is no temperature"),
        ("c", "shop.yaml", "driest in: February", "driest in: winter", "unknown-month", "`winter`"),
        ("c", "shop.yaml", "built: 8 %", "built: -8 %", "impossible-moisture", "`-8 %`"),
        ("c", "shop.yaml", "density: 610, ", "", "no-density", "`our walnut` has no density"),
        ("c", "shop.yaml", "is: 20 lb/ft", "is: 0 lb/ft", "no-load", "must be more than 0"),
        ("c", "shop.yaml", PRODUCT, "    deepest pour: 2 lb\n", "wrong-unit", "`2 lb`"),
        ("c", "shop.yaml", "2 to 1", "2 to nothing", "impossible-ratio", "`2 to nothing`"),
        ("c", "shop.yaml", "2 to 1", "2 to 0", "impossible-ratio", "0"),
        ("c", "shop.yaml", "density of A: 1.14", "density of A: 1140", "no-density", "1140"),
        ("c", "shop.yaml", "density of A: 1.14", "density of A: heavy", "no-density", "`heavy`"),
        ("c", "shop.yaml", "2 to 1", "2 to 1\n    ratio by weight: 100 to 90", "ratios-differ", "by both ratios"),
    ],
)  # fmt: skip
def test_it_is_found_at_its_place(
    tmp_path: Path, letter: str, file: str, old: str, new: str, slug: str, words: str,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    told = found(tmp_path, letter, file, old, new, capsys)
    hit = [item for item in told if item["slug"] == slug]
    assert hit, [(item["slug"], item["message"]) for item in told]
    assert any(words in item["message"] for item in hit), [item["message"] for item in hit]
    assert all(item["line"] >= 1 and item["help"] for item in hit)


def test_a_resin_without_a_limit_is_poured_by_what_is_usual_and_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = tmp_path / "book"
    shutil.copytree(FIXTURES / "target-c", book, ignore=shutil.ignore_patterns(".planbook"))
    shop = book / "shop.yaml"
    shop.write_text(shop.read_text("utf-8").replace(PRODUCT, ""), "utf-8")
    run(["check", str(book), "--as", "json"])
    facts = json.loads(capsys.readouterr().out)["findings"]
    (item,) = (item for item in facts if item["slug"] == "no-pour-limit" and "2 in" in item["message"])
    assert (item["severity"], item["file"].rpartition("/")[2]) == ("warn", "plan.yaml")
    assert "which is usual" in item["message"]


def test_a_reference_to_a_part_that_has_no_ratio_is_told_where_it_stands(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = tmp_path / "book"
    shutil.copytree(FIXTURES / "target-c", book, ignore=shutil.ignore_patterns(".planbook"))
    shop = book / "shop.yaml"
    shop.write_text(shop.read_text("utf-8").replace("    ratio by volume: 2 to 1\n", ""), "utf-8")
    run(["check", str(book), "--as", "json"])
    facts = json.loads(capsys.readouterr().out)["findings"]
    places = {(item["slug"], item["file"].rpartition("/")[2], item["severity"]) for item in facts}
    assert ("no-ratio", "steps.md", "stop") in places
