from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from checks.altered_bench import ROOT, bench

from planbook.publish.book_info import BookInfo, book_info
from planbook.publish.sheet import sheet
from planbook.publish.sheet_cautions import in_units
from planbook.source.book import read_book
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.units.editions import IMPERIAL, METRIC


@pytest.fixture(scope="module")
def info() -> BookInfo:
    book = read_book(ROOT / "content", Findings(), Sources())
    assert book is not None
    return book_info(book)


@pytest.fixture(scope="module")
def made(info: BookInfo, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    return sheet(bench(tmp_path_factory.mktemp("made")).plan, info)


def of(step: dict[str, Any]) -> list[str]:
    return [row["of"] for row in step["cautions"]]


def test_a_step_at_machines_tells_what_is_usual_at_each(made: dict[str, Any]) -> None:
    assert {"jointer", "thickness planer", "table saw", "mitre saw"} <= set(of(made["steps"][1]))
    refs = {sign["ref"] for sign in made["steps"][1]["signs"]}
    assert {"M004", "M003", "P028", "M006"} <= refs


def test_oil_brings_its_cloths(made: dict[str, Any]) -> None:
    row = next(row for row in made["steps"][11]["cautions"] if row["of"] == "oily rags")
    assert row["signal"] == "WARNING"
    assert "1926.252" in row["source"]


def test_a_glue_up_and_a_heavy_sheet_are_told(made: dict[str, Any]) -> None:
    assert "glue up" in of(made["steps"][12])
    assert "lift" in of(made["steps"][0])
    assert "lift" not in of(made["steps"][4])


def test_the_authors_own_come_first_and_stay(made: dict[str, Any], tmp_path: Path, info: BookInfo) -> None:
    assert [len(step["hazards"]) for step in made["steps"]] == [
        len(step.hazards) for step in bench(tmp_path).plan.steps
    ]
    own = "Hazard (damage; could): **Screw through the seat.** Tape round the bit as a stop, at half the thickness of"
    silent = bench(tmp_path, (f"{own} the seat.\n", ""))
    assert of(sheet(silent.plan, info)["steps"][15]) == of(made["steps"][15])


def test_every_caution_of_a_step_stands_on_the_safety_page(made: dict[str, Any]) -> None:
    listed = {(row["slug"], row["of"]): row["steps"] for row in made["safety"]["cautions"]}
    for step in made["steps"]:
        for row in step["cautions"]:
            assert step["number"] in listed[(row["slug"], row["of"])]
    assert all(row["source"] for row in made["safety"]["cautions"])


def test_the_gravest_stand_first(made: dict[str, Any]) -> None:
    order = ["DANGER", "WARNING", "CAUTION", "NOTICE"]
    ranks = [order.index(row["signal"]) for row in made["safety"]["cautions"]]
    assert ranks == sorted(ranks)


def test_what_to_wear_has_the_number_of_its_sign(made: dict[str, Any]) -> None:
    assert {row["sign"]: row["ref"] for row in made["safety"]["wear"]}["eyes"] == "M004"
    assert made["safety"]["never"][0]["ref"] == "P028"


def test_sizes_in_cautions_are_those_of_the_edition() -> None:
    text = "hands at least 150 mm from the blade; shallow cuts (1 to 2 mm)"
    assert in_units(text, METRIC) == text
    assert in_units(text, IMPERIAL) == 'hands at least 6" from the blade; shallow cuts (¹⁄₁₆")'
