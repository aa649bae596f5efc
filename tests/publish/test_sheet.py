from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction

import pytest
from sample_plan import bookcase, line
from sample_site import info

from planbook.plan.model import Role, Signal, Step
from planbook.publish.sheet import sheet
from planbook.publish.sheet_runs import bench_minutes, hours, joined, waiting_in_all, waiting_minutes
from planbook.source.diagnostics import Diagnostic, Severity

F = Fraction


def rows(edition: str = "imperial") -> dict[str, dict[str, object]]:
    made = sheet(bookcase(edition), info())
    return {row["key"]: row for group in made["cutlist"] for row in group["rows"]}


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_a_sheet_is_plain_data(edition: str) -> None:
    made = sheet(bookcase(edition), info(), pictures={"front": "A case."})
    assert json.loads(json.dumps(made)) == made


def test_no_markup_and_no_setting_commands() -> None:
    text = json.dumps(sheet(bookcase(), info()), ensure_ascii=False)
    assert "<" not in text.replace("<work>", "")
    assert "#" not in text


def test_cut_list_says_what_to_saw() -> None:
    """The sizes of the bookcase were computed by hand: 30 in wide, plywood 23/32 in, dados 1/4 in, room 1/64 in."""
    parts = rows()
    assert (parts["bottom"]["length"], parts["bottom"]["width"]) == ("29¹⁄₃₂", "10³⁄₄")
    assert parts["bottom"]["finished"] == "width 11"
    assert (parts["loose shelf"]["length"], parts["loose shelf"]["width"]) == ("28⁷⁄₁₆", "10¹⁄₈")
    assert parts["side"]["letters"] == [{"letter": "A", "hand": "L"}, {"letter": "A", "hand": "R"}]
    assert parts["side"]["count"] == 2
    assert parts["kick board"]["finished"] == ""
    assert rows("metric")["bottom"]["length"] == "735"


def test_each_size_says_its_life() -> None:
    parts = rows()

    def when(key: str) -> str:
        return "".join(piece["s"] for piece in parts[key]["when"])  # type: ignore[attr-defined]

    assert when("side") == "cut now, step 2"
    assert when("panel") == "fit to the case, step 12"
    assert when("lip of side") == "leave long, trim in step 5"
    assert parts["panel"]["note"] == ""
    assert parts["lip of side"]["length"] == "48"
    assert parts["lip of side"]["finished_length"] == "47"
    assert parts["lip of side"]["when"][-1]["to"] == "step:trim-the-edgings-flush"  # type: ignore[index]


def test_every_part_is_in_the_list_once() -> None:
    plan = bookcase()
    assert sorted(rows()) == sorted(part.key for part in plan.parts)
    assert any(part.role is Role.TEST for part in plan.parts)


def test_solid_wood_gets_its_rough_size() -> None:
    plan = bookcase()
    parts = tuple(
        replace(
            part,
            length=replace(part.length, rough=part.length.final + F(254, 10), life="now"),
            width=replace(part.width, rough=part.width.final + F(254, 40), life="now"),
        )
        if part.key == "rail of loose shelf"
        else part
        for part in plan.parts
    )
    made = sheet(replace(plan, parts=parts), info())
    row = next(row for group in made["cutlist"] for row in group["rows"] if row["key"] == "rail of loose shelf")
    assert (row["length"], row["rough_length"]) == ("28⁷⁄₁₆", "29⁷⁄₁₆")
    assert (row["width"], row["rough_width"]) == ("1¹⁄₄", "1¹⁄₂")


def test_hazards_come_by_severity_with_their_step() -> None:
    made = sheet(bookcase(), info())["safety"]["hazards"]
    order = list(Signal)
    places = [order.index(Signal(row["signal"])) for row in made]
    assert places == sorted(places)
    assert len(made) == sum(len(step.hazards) for step in bookcase().steps)
    assert (made[0]["signal"], made[0]["step"]) == ("DANGER", 3)


def test_a_title_ends_without_a_stop() -> None:
    plan = bookcase()
    step = next(step for step in plan.steps if step.hazards)
    marked = replace(step, hazards=(replace(step.hazards[0], title=line("Kickback.")),))
    made = sheet(replace(plan, steps=tuple(marked if s is step else s for s in plan.steps)), info())
    assert "Kickback" in ["".join(r["s"] for r in row["title"]) for row in made["safety"]["hazards"]]


def test_what_to_wear_follows_from_the_tools() -> None:
    wear = {row["sign"]: row["when"] for row in sheet(bookcase(), info())["safety"]["wear"]}
    assert wear["eyes"].startswith("table saw, router")
    assert wear["mask"].startswith("router")
    assert "unplug" in wear
    # A heavy sheet is carried with gloves; at the saw they are off.
    assert wear["gloves"] == "for lifting"


def test_what_nearly_every_machine_asks_for_is_told_the_other_way_round() -> None:
    from planbook.publish.sheet_safety import _when

    names = ["saw", "router", "planer", "jointer", "sander", "drill press"]
    rows = [{"key": name, "machine": True} for name in names[:5]]
    assert _when(rows, names, []) == "every machine but the drill press"
    assert _when(rows[:2], names, ["sand"]) == "saw, router; for sanding"
    assert _when([{"key": "cloth", "machine": False}], names, []) == "with cloth"


def test_hand_tools_alone_ask_for_no_signs() -> None:
    plan = bookcase()
    steps = tuple(replace(step, tools=()) for step in plan.steps)
    made = sheet(replace(plan, steps=steps), info())
    assert {row["when"] for row in made["safety"]["wear"]} == {"for lifting"}
    assert made["safety"]["never"] == []
    assert made["tools"] == []


def test_a_tool_is_listed_once_with_the_most_that_a_step_uses() -> None:
    tools = {row["key"]: row for row in sheet(bookcase(), info())["tools"]}
    assert tools["clamp"]["text"].startswith("4 clamps")
    assert tools["clamp"]["count"] == 4
    assert len(tools) == len(sheet(bookcase(), info())["tools"])


def test_times_of_the_whole_plan() -> None:
    plan = bookcase()
    assert plan.hands_on == 549
    made = sheet(plan, info())
    assert made["bench"] == "9 hours"
    assert made["waiting"] == "9 hours"
    night = replace(plan.steps[3], time=replace(plan.steps[3].time, wait=F(600)))
    other = replace(plan, steps=(*plan.steps[:3], night, *plan.steps[4:]))
    assert waiting_in_all(other) == "1 night and 7 hours"


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(5, "5 minutes"), (1, "1 minute"), (30, "½ hour"), (60, "1 hour"), (80, "1½ hours"), (545, "9 hours")],
)
def test_hours_in_words(minutes: int, words: str) -> None:
    assert hours(F(minutes)) == words


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (F(1, 2), "about 1 minute"),
        (9, "about 9 minutes"),
        (12, "about 10 minutes"),
        (43, "about 45 minutes"),
        (62, "about 1 hour"),
        (75, "about 75 minutes"),
        (100, "about 1½ hours"),
    ],
)
def test_bench_minutes_in_words(minutes: Fraction, words: str) -> None:
    assert bench_minutes(F(minutes)) == words


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(20, "20 minutes"), (60, "1 hour"), (120, "2 hours"), (600, "overnight"), (1440, "1 day"), (2000, "2 days")],
)
def test_waiting_in_words(minutes: int, words: str) -> None:
    assert waiting_minutes(F(minutes)) == words


def test_lists_in_words() -> None:
    assert [joined([]), joined("a"), joined("ab"), joined("abc")] == ["", "a", "a and b", "a, b and c"]


def test_only_pictures_that_exist_are_named() -> None:
    plan = bookcase()
    step: Step = plan.steps[1]
    made = sheet(plan, info(), pictures={"front": "A case.", f"step-{step.slug}": "Parts.", "part-A": "Side."})
    assert made["pictures"]["front"] == {"svg": "front", "alt": "A case."}
    assert made["pictures"]["letters"] is None
    assert [row["picture"] for row in made["steps"]][:3] == ["", f"step-{step.slug}", ""]
    assert made["pictures"]["parts"] == [{"svg": "part-A", "alt": "Side.", "letter": "A", "name": "side"}]


def test_findings_for_the_teacher() -> None:
    found = [Diagnostic("thin", Severity.WARN, "it is thin"), Diagnostic("bad", Severity.STOP, "no")]
    made = sheet(bookcase(), info(), findings=found)
    assert made["findings"] == [{"slug": "thin", "severity": "warn", "message": "it is thin"}]


def test_materials_lead_to_their_pages() -> None:
    made = sheet(bookcase(), info())["materials"]
    assert [group["group"] for group in made] == ["wood", "hardware", "glue", "finish"]
    assert made[0]["rows"][0]["to"] == "material:birch plywood"
    assert made[0]["rows"][2]["to"] is None


def test_what_may_be_changed() -> None:
    made = {row["name"]: row for row in sheet(bookcase("metric"), info())["dims"]}
    assert made["wide"]["value"] == "760"
    assert made["wide"]["may"] == "456 to 811"
    assert made["deep"]["may"] == ""
