"""One person at home: every step inside the free hours, after what it needs and after its waits."""

from __future__ import annotations

import datetime
import itertools
from pathlib import Path

import icalendar
import pytest
from fixtures.small_classes import class_book

from planbook.cli.entry import run
from planbook.plan.model import Plan
from planbook.publish.class_facts import steps_before
from planbook.publish.home_calendar import free_hours, plan_at_home
from planbook.publish.reading import read_material
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
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
    assert run([*words, "--free", HOURS[0], "--into", str(tmp_path / "x.pdf")]) == 2
    told = capsys.readouterr()
    assert "session-backwards" in told.err
    assert "Traceback" not in told.err
