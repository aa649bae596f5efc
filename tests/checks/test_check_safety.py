from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, bookcase, outcomes, told

CLOTHS = (
    "Hazard (serious injury; could): **Oily cloths catch fire.** They heat up as they harden. Flat outdoors, or under "
    "water in the closed rag can, every time.\n"
)


def test_a_machine_wants_what_is_usual_there(tmp_path: Path) -> None:
    assert told("no-equipment", bench(tmp_path)) == ()
    bare = ("brings it to thickness.\n    wear: [eyes, ears, mask]", "brings it to thickness.\n    wear: [eyes, mask]")
    (item,) = told("no-equipment", bench(tmp_path, bare))
    assert "`thickness planer` asks for eyes, mask to wear, usual is eyes, ears, mask" in item.message
    assert item.span is not None
    assert item.span.file == "shop.yaml"


def test_a_tool_is_told_once_however_often_it_is_used(tmp_path: Path) -> None:
    assert len(outcomes("no-equipment", bench(tmp_path))) == 10


@pytest.mark.parametrize(
    ("words", "fails"),
    [
        ("", True),
        ("Hazard (serious injury; could): **Gloves.** No gloves at the drill.\n\n", False),
        ("Hazard (minor injury; could): **Oil.** Take the gloves off before you drill.\n\n", False),
    ],
)
def test_gloves_and_a_bit_that_turns(tmp_path: Path, words: str, fails: bool) -> None:
    line = "{joins: [seat joint], sets: [loose shelf], with: [drill, screwdriver, tape measure, pencil]"
    changed = bench(
        tmp_path,
        (line, line.replace("pencil]", "nitrile gloves]")),
        (
            "Hazard (minor injury; could): **Lifting and turning.**",
            f"{words}Hazard (minor injury; could): **Lifting.**",
        ),
    )
    found = [item for item in told("gloves-at-spindle", changed) if "step 16" in item.message]
    assert bool(found) is fails


def test_the_sander_is_no_spindle(tmp_path: Path) -> None:
    assert told("gloves-at-spindle", bench(tmp_path)) == ()


def test_oily_cloths_are_spoken_of(tmp_path: Path) -> None:
    assert told("rags-unsaid", bench(tmp_path)) == ()
    (item,) = told("rags-unsaid", bench(tmp_path, (CLOTHS, "")))
    assert "step 15 puts on `hardwax oil` and does not say where the cloths go" in item.message


def test_a_finish_with_water_has_no_such_cloths(tmp_path: Path) -> None:
    assert outcomes("rags-unsaid", bookcase(tmp_path)) == {}


@pytest.mark.parametrize(
    ("words", "fails"),
    [
        ("lamp: {count: 1, note: wired to 120 V in the wall}", True),
        ("lamp: {count: 1, note: hard-wired}", True),
        ("lamp: {count: 1, note: a licensed electrician wires it to 120 V}", False),
        ("lamp: {count: 1, note: 12 V strip on a listed plug-in supply}", False),
    ],
)
def test_mains_belong_to_an_electrician(tmp_path: Path, words: str, fails: bool) -> None:
    changed = bench(
        tmp_path, ("  shelf pin: 4 for each loose shelf\n", f"  shelf pin: 4 for each loose shelf\n  {words}\n")
    )
    assert bool(told("mains-voltage", changed)) is fails


def test_the_demo_has_no_mains(tmp_path: Path) -> None:
    assert outcomes("mains-voltage", bench(tmp_path)) == {}
