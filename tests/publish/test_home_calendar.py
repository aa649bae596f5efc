"""One person at home: every step inside the free hours, after what it needs and after its waits."""

from __future__ import annotations

import datetime
import itertools
from pathlib import Path

import icalendar
import pypdf
import pytest
from fixtures.small_classes import class_book

from planbook.cli.entry import run
from planbook.drawing.style import LineKind
from planbook.drawing.time_line import Days, time_lines
from planbook.plan.model import Plan
from planbook.publish.class_facts import steps_before
from planbook.publish.home_calendar import free_hours, plan_at_home
from planbook.publish.home_sheet import names_of
from planbook.publish.reading import read_material
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.timing.alone import HomeCalendar
from planbook.timing.faults import TimingError

HOURS = ("Saturday 10:00 to 16:00", "Tuesday 18:00 to 21:00")
DAY = datetime.date(2026, 10, 3)  # a Saturday


def demo_plan() -> Plan:
    material = read_material(Path(__file__).parents[2] / "content", Findings(), Sources())
    assert material is not None
    return next(plan for plan in material.plans if plan.slug == "boot-bench")


def test_every_step_lies_in_the_free_hours_and_after_what_it_waits_for() -> None:
    plan = demo_plan()
    free = [free_hours(text) for text in HOURS]
    calendar = plan_at_home(plan, free, first_day=DAY, zone="Europe/Oslo")
    entries = {entry.operation: entry for entry in calendar.entries}
    assert set(entries) == {step.title for step in plan.steps}
    for step in plan.steps:
        entry = entries[step.title]
        worked = 0.0
        for start, end in entry.parts:
            assert any(
                start.weekday() == hours.weekday and hours.start <= start.time() and end.time() <= hours.end
                for hours in free
            )
            worked += (end - start).total_seconds() / 60
        assert worked >= step.time.hands_on
        for before in steps_before(plan, step):
            assert entries[before.title].ready <= entry.start
    taken = sorted(part for entry in calendar.entries for part in entry.parts)
    assert all(one[1] <= two[0] for one, two in itertools.pairwise(taken))


@pytest.mark.parametrize("text", ["Caturday 10:00 to 16:00", "Saturday 10 to 16", "Saturday 10:00 to 26:00"])
def test_hours_that_are_none_are_told(text: str) -> None:
    with pytest.raises(TimingError) as told:
        free_hours(text)
    assert told.value.slug == "wrong-time"


def test_the_calendar_is_written_by_one_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book, into = class_book(tmp_path / "book"), tmp_path / "piece.ics"
    words = ["handout", "piece", "--book", str(book), "--into", str(into)]
    words += ["--from", "2026-10-03", "--zone", "Europe/Oslo"]
    assert run([*words, "--free", HOURS[0]]) == 0
    assert "done on Saturday, 2026-10-03" in capsys.readouterr().out
    events = icalendar.Calendar.from_ical(into.read_bytes()).walk("VEVENT")
    # Three steps, and the glue's wait as a reminder.
    assert len(events) == 4
    assert run([*words, "--free", "Saturday 16:00 to 10:00"]) == 1
    assert run([*words[:-4], "--free", HOURS[0]]) == 2
    assert run([*words, "--free", HOURS[0], "--into", str(tmp_path / "x.txt")]) == 2
    told = capsys.readouterr()
    assert "session-backwards" in told.err
    assert "Traceback" not in told.err


def test_the_calendar_is_printed_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book, into = class_book(tmp_path / "book"), tmp_path / "piece.pdf"
    words = ["handout", "piece", "--book", str(book), "--into", str(into), "--zone", "Europe/Oslo"]
    words += ["--from", "2026-10-03", "--free", "Saturday 10:00 to 11:00"]
    for large in ([], ["--large"]):
        assert run([*words, *large]) == 0, capsys.readouterr().err
        text = " ".join(" ".join(page.extract_text().split()) for page in pypdf.PdfReader(into).pages)
        for said in ("When to do what", "Saturday, October 3", "1. Saw the parts", "glue until Saturday, October"):
            assert said in text
    again = into.read_bytes()
    run([*words, "--large"])
    assert into.read_bytes() == again


def at_home(hours: tuple[str, ...]) -> tuple[HomeCalendar, dict[str, str]]:
    plan = demo_plan()
    free = [free_hours(text) for text in hours]
    return plan_at_home(plan, free, first_day=DAY, zone="Europe/Oslo"), names_of(plan)


@pytest.mark.parametrize(("hours", "charts"), [(HOURS, 1), (("Tuesday 19:00 to 20:00",), 3)])
def test_the_time_line_shows_every_step_and_every_wait(hours: tuple[str, ...], charts: int) -> None:
    calendar, names = at_home(hours)
    lines = time_lines(calendar, names, width=180, dated=True)
    assert len(lines) == charts
    for picture in lines:
        assert picture.overlapping_labels() == ()
        assert picture.crossed_labels() == ()
        left, bottom, right, top = picture.bounds
        assert min(left, bottom) >= 0
        assert right <= picture.width
        assert top <= picture.height
    heads = {word.split(".")[0] for picture in lines for word in [label.text for label in picture.labels]}
    assert {name.split(".")[0] for name in names.values()} <= heads
    # A bar for each stretch of work; a wait is hatched wherever some of it lies before the last day ends.
    bars = sum(len(picture.areas) for picture in lines)
    assert bars == sum(len(entry.parts) for entry in calendar.entries)
    waits = [entry for entry in calendar.entries if entry.ready > entry.end and entry.end < calendar.done]
    assert any(stroke.kind is LineKind.HATCH for picture in lines for stroke in picture.strokes) == bool(waits)


def test_minutes_lie_on_paper_in_their_order() -> None:
    days = Days(spans=((0, 60), (1440, 1620)), left=40, right=180)
    places = [days.x(minute) for minute in range(-10, 1700)]
    assert places == sorted(places)
    # Both days are as wide; the longer one fills its column.
    assert (days.x(0), days.x(1440), days.x(1620)) == (40, 111, 180)
    assert days.x(60) == 63
