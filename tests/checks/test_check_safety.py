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
        ("lamp: {count: 1, note: junction box}", True),
        ("lamp: {count: 1, note: it never touches the mains}", False),
        ("planer: {count: 1, note: one for 230 V}", False),
        ("lamp: {count: 1, note: a bulb for 230 V}", True),
    ],
)
def test_mains_belong_to_an_electrician(tmp_path: Path, words: str, fails: bool) -> None:
    changed = bench(
        tmp_path, ("  shelf pin: 4 for each loose shelf\n", f"  shelf pin: 4 for each loose shelf\n  {words}\n")
    )
    assert bool(told("mains-voltage", changed)) is fails


def test_the_demo_has_no_mains(tmp_path: Path) -> None:
    assert outcomes("mains-voltage", bench(tmp_path)) == {}


CUT = "Unplug the router before you touch the bit."


def test_to_unplug_from_the_mains_is_no_wiring(tmp_path: Path) -> None:
    assert told("mains-voltage", bench(tmp_path, (CUT, "Unplug it from the mains before you touch the bit."))) == ()
    assert told("mains-voltage", bench(tmp_path, (CUT, "Then wire the lamp to the mains.")))


@pytest.mark.parametrize(
    ("words", "fails"),
    [
        ("Spread the oil with a cloth, thin.", True),
        ("Rub it with a cloth. Spread wax on it.", True),
        ("Paper towels go into a metal can.", False),
        ("Put it under water: no oily rag stays dry.", False),
        ("The cautions of {step Oil the inside faces} hold here too.", False),
        ("Hang each rag on the fence.", False),
    ],
)
def test_where_cloths_go_may_be_said_in_many_ways(tmp_path: Path, words: str, fails: bool) -> None:
    changed = bench(tmp_path, (CLOTHS, f"Hazard (serious injury; could): **Cloths.** {words}"))
    assert bool([item for item in told("rags-unsaid", changed) if "step 15" in item.message]) is fails
