from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import CASE, Read, make, read, shown, step_text, write_book

from planbook.plan.model import Step

EDGED = {
    "edgings": "lip: {of: ply, thick: 1/4 in}",
    "parts": CASE["parts"].replace("on: floor", "on: floor, front: lip"),
    "holes": "pins: {in: side, rows: [2 in from front, 2 in from back], start: 10 in from foot, "
    "every: 2 in, count: 5, drill: 1/4 in}",
}
REST = "finish: {product: oil, coats: 3}\n"
ALL = "cuts: [side, bottom, lip, dados, pins], joins: [lip, dados], trims: [lip], finishes: [all faces]"


def one_step(tmp_path: Path, more: str = "", *prose: str) -> Step:
    facts = ALL + (f", {more}" if more else "")
    return make(tmp_path, EDGED, steps=step_text("Do all", facts, *prose), rest=REST).plan().steps[0]


@pytest.mark.parametrize(
    ("each", "pieces"),
    [
        ("10 min", 1),
        ("10 min per side", 2),
        ("10 min per bottom", 1),
        ("10 min per part", 3),  # two sides and a bottom
        ("10 min per strip", 2),  # a lip on each side
        ("10 min per piece", 5),
        ("10 min per row", 4),  # two rows on each side
        ("10 min per hole", 20),
        ("10 min per dado", 2),
        ("10 min per joint", 2),
        ("10 min per dados", 2),
        ("10 min for each pins", 2),  # rows as written
        ("10 min per coat", 3),
        ("10 min each side", 2),
        ("10 min per sides", 2),
    ],
)
def test_time_counts_what_it_is_for(tmp_path: Path, each: str, pieces: int) -> None:
    time = one_step(tmp_path, f"time: {{set up: 20 min, each: {each}, wait: 1 h for glue}}").time
    assert time.pieces == pieces
    assert time.hands_on == 20 + 10 * pieces
    assert (time.wait, time.wait_for) == (60, "glue")


@pytest.mark.parametrize(
    ("time", "slug", "marked"),
    [
        ("{each: 10 min per thing}", "unknown-name", "thing"),
        ("{each: 10 in}", "wrong-unit", "10 in"),
        ("{each: quick}", "unknown-name", "quick"),
        ("{set up: 10 min + 5 min}", "wrong-unit", "10 min + 5 min"),
        ("{wait: overnight}", "unknown-name", "overnight"),
    ],
)
def test_times_at_fault(tmp_path: Path, time: str, slug: str, marked: str) -> None:
    found = make(tmp_path, EDGED, steps=step_text("Do all", f"{ALL}, time: {time}"), rest=REST)
    assert found.at(found.found(slug)) == marked


def test_a_step_handles_all_it_claims_in_the_order_of_the_list(tmp_path: Path) -> None:
    assert one_step(tmp_path).handles == ("side", "bottom", "lip of side")
    steps = step_text("Saw", "cuts: [bottom, side, lip, dados]") + step_text(
        "Join", "cuts: [pins], joins: [lip], trims: [lip]"
    )
    steps += step_text("Close", "joins: [dados], finishes: [all faces], marks: [bottom], works: [side]")
    plan = make(tmp_path / "b", EDGED, steps=steps, rest=REST).plan()
    assert [step.handles for step in plan.steps] == [
        ("side", "bottom", "lip of side"),
        ("side", "lip of side"),
        ("side", "bottom"),
    ]
    assert plan.steps[0].makes == ("bottom", "side", "lip of side")
    part = plan.part("side")
    assert (part.made_in, part.joined_in, part.cuts[0].step, part.holes[0].step) == (1, 3, 1, 2)
    assert (part.edgings[0].glued_in, part.edgings[0].trimmed_in) == (2, 2)


@pytest.mark.parametrize(
    ("facts", "message"),
    [
        (ALL.replace("side, ", ""), "no step saws out `side`"),
        (ALL.replace("lip, dados, pins", "dados, pins"), "no step rips `lip`"),
        (ALL.replace(", pins", ""), "no step bores `pins`"),
        (ALL.replace("lip, dados, pins", "lip, pins"), "no step cuts `dados`"),
        (ALL.replace("joins: [lip, dados]", "joins: [lip]"), "no step closes `dados`"),
        (ALL.replace("joins: [lip, dados]", "joins: [dados]"), "no step glues on `lip`"),
        (ALL.replace("trims: [lip], ", ""), "no step trims `lip`"),
        (ALL.replace(", finishes: [all faces]", ""), "no step finishes `all faces`"),
    ],
)
def test_work_that_nobody_does(tmp_path: Path, facts: str, message: str) -> None:
    found = make(tmp_path, EDGED, steps=step_text("Do all", facts), rest=REST)
    assert [item.message for item in found.stops()] == [message]
    assert found.stops()[0].slug == "unclaimed-work"


def test_work_claimed_twice_shows_both_places(tmp_path: Path) -> None:
    steps = step_text("Do all", ALL) + step_text("Again", "cuts: [dados]")
    fault = make(tmp_path, EDGED, steps=steps, rest=REST).found("claimed-twice")
    assert fault.message == "`dados` is claimed by step 1 and again by step 2"
    assert fault.further[0][1] == "claimed here by step 1"


@pytest.mark.parametrize(
    ("word", "name", "slug"),
    [
        ("cuts", "dado", "unknown-claim"),
        ("joins", "side", "unknown-claim"),
        ("joins", "dadoes", "unknown-claim"),
        ("trims", "side", "unknown-claim"),
        ("finishes", "some faces", "unknown-claim"),
        ("sets", "sidle", "unknown-part"),
        ("marks", "sidle", "unknown-part"),
        ("works", "sidle", "unknown-part"),
        ("with", "lathe", "unknown-tool"),
        ("with", "bit for dadoes", "unknown-name"),
        ("hands", "two", "unknown-name"),
        ("hands", "1.5", "wrong-number"),
    ],
)
def test_claims_of_what_is_not_there(tmp_path: Path, word: str, name: str, slug: str) -> None:
    facts = f"{word}: {name}" if word == "hands" else f"{word}: [{name}]"
    steps = step_text("Do all", ALL) + step_text("More", facts)
    found = make(tmp_path, EDGED, steps=steps, rest=REST)
    assert not any(found.plans.values())
    assert name in found.at(found.found(slug))


def test_a_single_strip_can_be_claimed(tmp_path: Path) -> None:
    parts = EDGED["parts"].replace("underside", "front: lip, underside")
    steps = step_text("Rip one", "cuts: [lip of side]") + step_text(
        "Rest", ALL.replace("bottom, lip,", "bottom, lip of bottom,")
    )
    plan = make(tmp_path, {**EDGED, "parts": parts}, steps=steps, rest=REST).plan()
    assert (plan.part("lip of side").made_in, plan.part("lip of bottom").made_in) == (1, 2)


def spare(tmp_path: Path, until: str, trims: str = "Trim it") -> Read:
    parts = CASE["parts"].replace("between", f"spare: {{length: 1 in, until: {until}}}, between")
    steps = step_text("Do all", "cuts: [side, bottom, dados]" + (", trims: [bottom]" if trims == "Do all" else ""))
    steps += step_text("Trim it", "joins: [dados]" + (", trims: [bottom]" if trims == "Trim it" else ""))
    return make(tmp_path, {"parts": parts}, steps=steps)


def test_a_part_left_long_until_a_step(tmp_path: Path) -> None:
    part = spare(tmp_path, "Trim it").plan().part("bottom")
    assert (part.length.life, part.length.until, shown(part.length.rough), shown(part.length.final)) == (
        "long",
        2,
        "30 in",
        "29 in",
    )
    assert part.width.life == "now"


def test_a_part_left_long_until_a_step_that_is_not_there(tmp_path: Path) -> None:
    assert spare(tmp_path, "Trim them").found("unknown-step").help == "write `Trim it`"


def test_a_part_trimmed_by_another_step_than_the_one_named(tmp_path: Path) -> None:
    fault = spare(tmp_path, "Trim it", "Do all").found("other-step")
    assert fault.message == "`bottom` is left long until `Trim it`, but step 1 trims it"


def test_a_part_left_long_that_nobody_trims(tmp_path: Path) -> None:
    assert spare(tmp_path, "Trim it", "").found("unclaimed-work").message == "no step trims `bottom`"


def test_a_fitted_part_is_made_in_its_step(tmp_path: Path) -> None:
    parts = CASE["parts"].replace("between", "fit: to the case, between")
    steps = step_text("Saw", "cuts: [side]") + step_text("Fit", "cuts: [bottom, dados], joins: [dados]")
    part = make(tmp_path, {"parts": parts}, steps=steps).plan().part("bottom")
    assert (part.length.life, part.length.until, part.width.life) == ("fitted", 2, "fitted")


@pytest.mark.parametrize(
    ("tool", "text", "key", "count"),
    [
        ("saw", "saw", "saw", 1),
        ("hand saw", "hand saw", "saw", 1),
        ("2 clamps", "2 clamps", "clamp", 2),
        ("clamps (24 in)", 'clamps, 24"', "clamp", 1),
        ("bit for pins", '¹⁄₄" bit', "", 1),
        ("bit for dados", '³⁄₄" straight bit, or a narrower one in two passes', "", 1),
    ],
)
def test_tools_as_steps_ask_for_them(tmp_path: Path, tool: str, text: str, key: str, count: int) -> None:
    (use,) = one_step(tmp_path, f'with: ["{tool}"]').tools
    assert (use.text, use.key, use.count) == (text, key, count)


def test_a_plan_has_tools_and_jigs_of_its_own(tmp_path: Path) -> None:
    parts = EDGED["parts"] + "\ngauge block: {of: ply, apart: yes, length: 6 in, width: 2 in}"
    facts = ALL.replace("side, ", "side, gauge block, ") + ", with: [story stick, gauge block]"
    rest = REST + "tools: {story stick: Carries the marks.}\n"
    (step,) = make(tmp_path, {**EDGED, "parts": parts}, steps=step_text("Do all", facts), rest=rest).plan().steps
    assert [use.key for use in step.tools] == ["story stick", "gauge block"]


def test_an_unknown_tool_gets_the_nearest(tmp_path: Path) -> None:
    steps = step_text("Do all", ALL + ", with: [sow]")
    assert make(tmp_path, EDGED, steps=steps, rest=REST).found("unknown-tool").help == "write `saw`"


@pytest.mark.parametrize("tool", ['""', '" "', '"|"', '"9999999999999999999999 clamps"', '"2 "'])
def test_tools_that_say_nothing(tmp_path: Path, tool: str) -> None:
    found = make(tmp_path, EDGED, steps=step_text("Do all", f"{ALL}, with: [{tool}]"), rest=REST)
    assert found.found("unknown-tool").span is not None


@pytest.mark.parametrize(
    ("harm", "likelihood", "signal"),
    [
        ("death", "will", "danger"),
        ("serious injury", "will", "danger"),
        ("death", "could", "warning"),
        ("serious injury", "could", "warning"),
        ("minor injury", "will", "caution"),
        ("minor injury", "could", "caution"),
        ("damage", "will", "notice"),
        ("damage", "could", "notice"),
    ],
)
def test_signal_words(tmp_path: Path, harm: str, likelihood: str, signal: str) -> None:
    # ANSI Z535: see planbook.plan.work.signal_word.
    (hazard,) = one_step(tmp_path, "", f"Hazard ({harm}; {likelihood}): mind it.").hazards
    assert hazard.signal.value.lower() == signal


def test_hazards_come_gravest_first(tmp_path: Path) -> None:
    step = one_step(
        tmp_path, "", "Hazard (damage; could): a.", "Hazard (death; will): b.", "Hazard (minor injury; could): c."
    )
    assert [hazard.harm for hazard in step.hazards] == ["death", "minor injury", "damage"]


def test_finish_before_assembly_and_the_rest(tmp_path: Path) -> None:
    rest = "finish: {product: oil, before assembly: inside faces}\n"
    steps = step_text("Do all", "cuts: [side, bottom, dados], finishes: [inside faces]") + step_text(
        "Close", "joins: [dados], finishes: [the rest]"
    )
    plan = make(tmp_path, steps=steps, rest=rest).plan()
    assert [step.finishes for step in plan.steps] == [("inside faces",), ("the rest",)]
    wrong = make(tmp_path / "b", steps=steps, rest=rest.replace("oil", "oil, after: Clsoe"))
    assert wrong.found("unknown-step").help == "write `Close`"


def test_coats_are_claimed_one_by_one_or_all_faces_at_once(tmp_path: Path) -> None:
    rest = "finish: {product: oil, coats: 2}\n"
    sawn = step_text("Saw", "cuts: [side, bottom, dados], joins: [dados]")
    both = sawn + step_text("Oil", "finishes: [first coat]") + step_text("Oil again", "finishes: [second coat]")
    plan = make(tmp_path, steps=both, rest=rest).plan()
    assert [step.finishes for step in plan.steps if step.finishes] == [("first coat",), ("second coat",)]
    at_once = sawn + step_text("Oil", "finishes: [all faces]")
    assert make(tmp_path / "b", steps=at_once, rest=rest).plan().steps[-1].finishes == ("all faces",)
    one = make(tmp_path / "c", steps=sawn + step_text("Oil", "finishes: [first coat]"), rest=rest)
    assert "`second coat`" in one.found("unclaimed-work").message
    third = make(tmp_path / "d", steps=sawn + step_text("Oil", "finishes: [third coat]"), rest=rest)
    assert third.found("unknown-claim")


def test_two_steps_of_the_same_name_are_told(tmp_path: Path) -> None:
    write_book(tmp_path, "plan: {title: A}\nparts: {a: {}}\n", step_text("Saw", "") + step_text("Saw", ""))
    assert "title-twice" in read(tmp_path).slugs()
