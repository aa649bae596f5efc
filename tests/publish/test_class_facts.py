"""Classes as they are written: what is read, and what a fault in each word says."""

from __future__ import annotations

import datetime
from fractions import Fraction
from pathlib import Path

import pytest
from fixtures.small_classes import SHOP, class_book

from planbook.publish.class_facts import Class, steps_before
from planbook.publish.reading import Material, read_material
from planbook.source.diagnostics import Diagnostic, Findings, Severity
from planbook.source.files import Sources


def read(folder: Path) -> tuple[Material | None, Findings, Sources]:
    findings, sources = Findings(), Sources()
    return read_material(folder, findings, sources), findings, sources


def made(folder: Path, words: dict[str, str] | None = None) -> Class:
    material, findings, _ = read(class_book(folder, words))
    assert material is not None
    assert not findings.stopped, [item.message for item in findings]
    return material.classes[0]


def test_a_class_is_read_with_all_it_says(tmp_path: Path) -> None:
    one = made(
        tmp_path,
        {
            "students": "13",
            "prepared": "Saw the parts",
            "ready-made": "{side: 2}",
            "costs": "[{what: plywood, each: 12.50}, {what: room, once: 100}]",
            "price": "40",
            "slowest": "1.5",
        },
    )
    assert (one.students, one.makers, one.pairs, one.slot) == (13, 6, True, 15)
    assert one.prepared == ("saw-the-parts",)
    assert one.ready_made == (("side", 2),)
    assert [(cost.amount, cost.once) for cost in one.costs] == [(Fraction(25, 2), False), (Fraction(100), True)]
    assert (one.price, one.slowest) == (Fraction(40), Fraction(3, 2))
    session = one.sessions[0]
    # Oslo in October: two hours before UTC.
    assert session.start.astimezone(datetime.UTC).hour == 7
    assert (session.opening, session.clean_up, len(session.breaks)) == (20, 20, 1)
    press, clamps = one.stations
    assert (press.key, press.tools, press.count, press.set_up, press.minimum_age) == (
        "drill press", ("drill press",), 1, 10, 14,
    )  # fmt: skip
    assert clamps.tools == ("clamp",)


def test_a_step_needs_the_last_step_that_worked_on_each_of_its_parts(tmp_path: Path) -> None:
    plan = made(tmp_path).plan
    assert [[before.slug for before in steps_before(plan, step)] for step in plan.steps] == [
        [], ["saw-the-parts"], ["saw-the-parts", "cut-the-dados"],
    ]  # fmt: skip


ONE = '{date: 2026-10-06, start: "09:00", end: "12:00"}'
FAULTS: dict[str, tuple[dict[str, str], str, str]] = {
    # what is written, the finding, and the characters it marks
    "nobody": ({"students": "0"}, "no-students", "0"),
    "a dozen": ({"students": "a dozen"}, "wrong-count", "a dozen"),
    "working": ({"working": "together"}, "unknown-working", "together"),
    "no plan": ({"plan": "peace"}, "unknown-name", "peace"),
    "edition": ({"edition": "japanese"}, "unknown-edition", "japanese"),
    "zone": ({"zone": "Moon/Base"}, "unknown-zone", "Moon/Base"),
    "no such step": ({"prepared": "Saw the part"}, "no-such-step", "Saw the part"),
    "prepared too soon": ({"prepared": "Cut the dados"}, "made-later", "Cut the dados"),
    "home too soon": ({"at home": "Saw the parts"}, "made-later", "Saw the parts"),
    "both": ({"prepared": "Saw the parts", "at home": "[Saw the parts, Cut the dados, Close the case]"},
             "made-twice", "Saw the parts"),
    "part": ({"ready-made": "{sides: 2}"}, "unknown-name", "sides"),
    "money": ({"price": "$ 5"}, "wrong-money", "$ 5"),
    "each or once": ({"costs": "[{what: glue}]"}, "each-or-once", "glue"),
    "slot": ({"slot": "1 min"}, "wrong-slot", "1 min"),
    "pace": ({"slowest": "0"}, "wrong-pace", "0"),
    "no time": ({"welcome": "3 in"}, "wrong-unit", "3 in"),
    "no session": ({"sessions": "[]"}, "no-session", "A case in a day"),
    "backwards": ({"sessions": '[{date: 2026-10-06, start: "12:00", end: "09:00"}]'}, "session-backwards", "12:00"),
    "overlap": ({"sessions": f"[{ONE}, {ONE}]"}, "sessions-overlap", "09:00"),
    "no day": ({"sessions": '[{date: 2026-02-30, start: "09:00", end: "12:00"}]'}, "wrong-date", "2026-02-30"),
    "no clock": ({"sessions": '[{date: 2026-02-03, start: 9 am, end: "12:00"}]'}, "wrong-time", "9 am"),
    "break": ({"sessions": f"[{ONE[:-1]}, breaks: 10:00 until 10:15}}]"}, "wrong-time", "10:00 until 10:15"),
    "break backwards": ({"sessions": f"[{ONE[:-1]}, breaks: 10:15 to 10:00}}]"}, "break-backwards", "09:00"),
    "break outside": ({"sessions": f"[{ONE[:-1]}, breaks: 12:15 to 13:00}}]"}, "break-outside", "09:00"),
    "too short": ({"sessions": '[{date: 2026-10-06, start: "09:00", end: "09:30"}]'}, "no-room", "09:00"),
    # Oslo leaves out 2 to 3 in the night to 29 March 2026.
    "clocks": ({"sessions": '[{date: 2026-03-29, start: "02:30", end: "06:00"}]'}, "clock-changes", "02:30"),
    "unknown word": ({"teachers": "2"}, "unknown-word", "teachers"),
    "missing": ({"zone": ""}, "missing-word", "title"),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_each_fault_is_told_where_it_stands(name: str, tmp_path: Path) -> None:
    words, slug, marked = FAULTS[name]
    _, findings, sources = read(class_book(tmp_path, words))
    found = [item for item in findings if item.slug == slug]
    assert found, [(item.slug, item.message) for item in findings]
    assert found[0].severity is Severity.STOP
    if slug != "missing-word":
        assert at(found[0], sources) == marked
    assert found[0].span is not None
    assert found[0].span.file == "classes/day.yaml"


def at(item: Diagnostic, sources: Sources) -> str:
    assert item.span is not None
    line = sources.line(item.span.file, item.span.line)
    assert line is not None
    return line[item.span.column - 1 : item.span.end_column - 1].strip('"')


@pytest.mark.parametrize(
    ("stations", "slug"),
    [
        ("press: {count: 0}", "wrong-count"),
        ("press: {count: 1, of: press}", "unknown-tool"),
        ("saw: {count: 1, teacher's eye: always}", "wrong-word"),
        ("saw: {count: 1, set up: 3 in}", "wrong-unit"),
        ("saw: {}", "missing-word"),
    ],
)
def test_a_station_at_fault_is_told(stations: str, slug: str, tmp_path: Path) -> None:
    shop = SHOP[: SHOP.index("stations:")] + f"stations:\n  {stations}\n"
    _, findings, _ = read(class_book(tmp_path, shop=shop))
    told = [item for item in findings if item.span is not None and item.span.file == "shop.yaml"]
    assert [(item.slug, item.severity) for item in told] == [(slug, Severity.STOP)]


def test_the_changed_clock_between_two_sessions_is_an_hour_that_passes(tmp_path: Path) -> None:
    # Oslo goes from summer to winter time in the night to 25 October 2026: 25 hours from noon to noon.
    days = '[{date: 2026-10-24, start: "12:00", end: "16:00"}, {date: 2026-10-25, start: "12:00", end: "16:00"}]'
    first, second = made(tmp_path, {"sessions": days}).sessions
    passed = second.start.astimezone(datetime.UTC) - first.start.astimezone(datetime.UTC)
    assert passed == datetime.timedelta(hours=25)


def test_a_plan_that_could_not_be_read_is_not_called_missing(tmp_path: Path) -> None:
    book = class_book(tmp_path)
    plan = next((book / "plans").iterdir()) / "plan.yaml"
    plan.write_text("parts: [\n", "utf-8")
    _, findings, _ = read(book)
    assert "broken-yaml" in {item.slug for item in findings}
    assert "unknown-name" not in {item.slug for item in findings}


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01"])
def test_a_day_that_no_calendar_reckons_with_is_none(tmp_path: Path, day: str) -> None:
    folder = class_book(tmp_path)
    path = next(path for path in folder.glob("classes/*.yaml") if "date:" in path.read_text())
    head, _, tail = path.read_text().partition("date: ")
    path.write_text(f"{head}date: {day}{tail[10:]}")
    _, findings, _ = read(folder)
    assert [item.slug for item in findings if item.severity is Severity.STOP] == ["wrong-date"]
