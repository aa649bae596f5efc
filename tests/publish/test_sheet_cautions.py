from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from checks.altered_bench import ROOT, bench
from fixtures.target_books import target_plan

from planbook.plan.model import Run, RunKind
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
    # The shop calls the saw of the tables, `mitre saw`, by a name of its own.
    assert {"jointer", "thickness planer", "table saw", "miter saw"} <= set(of(made["steps"][1]))
    assert "mitre saw" not in of(made["steps"][1])
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


def test_signs_ask_for_all_that_the_cautions_ask_to_wear(made: dict[str, Any]) -> None:
    router = made["steps"][5]
    asked = {word for row in router["cautions"] for word in row["wear"]}
    shorts = {sign["short"] for sign in router["signs"]}
    assert asked == {"eyes", "ears", "mask"}
    assert {"eye protection", "ear protection", "dust mask", "no gloves"} <= shorts
    assert all(sign["of"] for sign in router["signs"])


def test_to_cut_a_machine_off_is_asked_once(made: dict[str, Any]) -> None:
    for step in made["steps"]:
        refs = [sign["ref"] for sign in step["signs"]]
        assert len(refs) == len(set(refs))
        assert not {"M006", "M021"} <= set(refs)


def test_every_drawing_that_a_sign_names_is_in_the_theme() -> None:
    from planbook.trade.signs import sign, sign_refs

    drawn = {path.stem for path in (ROOT / "themes" / "workshop" / "print" / "signs").glob("*.svg")}
    named = {sign(ref).picture for ref in sign_refs()} - {""}
    assert named <= drawn
    assert {"ears", "eyes", "guard", "no-flame", "no-reaching", "shoes"} <= named


def test_a_tall_case_is_told_to_be_strapped_in_its_last_step(info: BookInfo) -> None:
    plan = target_plan("a", "imperial")
    steps = sheet(plan, info)["steps"]
    assert "tall case" in of(steps[-1])
    assert "tall case" not in of(steps[0])


def test_low_voltage_brings_its_caution(info: BookInfo) -> None:
    plan = target_plan("c", "imperial")
    last = plan.steps[-1]
    lit = replace(last, actions=(*last.actions, (Run(RunKind.TEXT, "Stick the LED strip into its groove."),)))
    assert "low voltage" in of(sheet(replace(plan, steps=(*plan.steps[:-1], lit)), info)["steps"][-1])
    assert "low voltage" not in of(sheet(plan, info)["steps"][-1])


def test_resin_asks_for_gloves_and_more_on_the_first_page(info: BookInfo) -> None:
    wear = {row["text"]: row["when"] for row in sheet(target_plan("c", "imperial"), info)["safety"]["wear"]}
    assert "for mixing and pouring resin" in wear["Wear protective gloves"]
    assert {"Wear an apron", "Wear a respirator"} <= set(wear)
