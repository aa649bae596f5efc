"""Calendar files against RFC 5545, clause by clause, and read back by icalendar."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from planbook.timing.calendar_file import Event, calendar_file, session_events
from planbook.timing.clock import Session
from planbook.timing.faults import TimingError

ZONE = ZoneInfo("America/New_York")
START = datetime(2026, 3, 7, 9, tzinfo=ZONE)  # summer time begins in the night to the 8th (15 U.S.C. 260a)
SESSIONS = tuple(
    Session(start=START + timedelta(days=day), end=START + timedelta(days=day, hours=8)) for day in range(2)
)
TITLE = "Bench with a slab; glue, resin and “patience” " * 3
EVENTS = (
    *session_events(TITLE, SESSIONS, text="Bring:\ngloves, glasses"),
    Event(key="wait", title="Resin is hard", start=START, end=START, remind=True),
)
FILE = calendar_file(EVENTS, stem="slab-weekend", revised=date(2026, 1, 2))


def unfolded() -> list[str]:
    return re.sub(r"\r\n[ \t]", "", FILE.decode()).split("\r\n")[:-1]


def test_lines_end_with_crlf_and_are_folded_at_75_octets() -> None:  # 3.1
    assert FILE.endswith(b"\r\n")
    assert b"\n" not in FILE.replace(b"\r\n", b"")
    lines = FILE.split(b"\r\n")
    assert max(len(line) for line in lines) <= 75
    assert any(line.startswith(b" ") for line in lines)


def test_the_calendar_has_its_version_and_maker() -> None:  # 3.6, 3.7.3, 3.7.4
    lines = unfolded()
    assert lines[0] == "BEGIN:VCALENDAR"
    assert lines[-1] == "END:VCALENDAR"
    assert "VERSION:2.0" in lines
    assert sum(line.startswith("PRODID:") for line in lines) == 1


def test_every_event_has_a_uid_of_its_own_and_the_stamp_of_the_revision() -> None:  # 3.6.1, 3.8.4.7, 3.8.7.2
    lines = unfolded()
    uids = [line for line in lines if line.startswith("UID:")]
    assert len(set(uids)) == len(EVENTS)
    assert [line for line in lines if line.startswith("DTSTAMP")] == ["DTSTAMP:20260102T000000Z"] * len(EVENTS)


def test_uids_stay_the_same_in_the_next_revision() -> None:  # 3.8.4.7, persistent
    later = calendar_file(EVENTS, stem="slab-weekend", revised=date(2026, 6, 1))
    assert re.findall(rb"UID:.*", later) == re.findall(rb"UID:.*", FILE)
    other = calendar_file(EVENTS, stem="another", revised=date(2026, 1, 2))
    assert not set(re.findall(rb"UID:.*", other)) & set(re.findall(rb"UID:.*", FILE))


def test_local_times_name_a_zone_that_the_file_defines() -> None:  # 3.2.19, 3.6.5
    lines = unfolded()
    assert "DTSTART;TZID=America/New_York:20260307T090000" in lines
    assert "DTEND;TZID=America/New_York:20260308T170000" in lines
    assert lines.count("BEGIN:VTIMEZONE") == 1
    assert "TZID:America/New_York" in lines
    at = lines.index("BEGIN:DAYLIGHT")
    # The example of 3.6.5 for this zone: onset 02:00 local time before the change, from -0500 to -0400.
    assert {"DTSTART:20260308T020000", "TZOFFSETFROM:-0500", "TZOFFSETTO:-0400", "TZNAME:EDT"} <= set(
        lines[at : at + 6]
    )


def test_text_escapes_commas_semicolons_and_line_breaks() -> None:  # 3.3.11
    assert any(line.startswith(r"SUMMARY:Bench with a slab\; glue\, resin and “patience”") for line in unfolded())
    assert r"DESCRIPTION:Bring:\ngloves\, glasses" in unfolded()


def test_a_reminder_is_an_alarm_with_its_three_properties() -> None:  # 3.6.6
    lines = unfolded()
    alarm = lines[lines.index("BEGIN:VALARM") : lines.index("END:VALARM")]
    assert {"ACTION:DISPLAY", "DESCRIPTION:Resin is hard"} <= set(alarm)
    assert "TRIGGER:P0D" in alarm  # at its start (3.3.6, 3.8.6.3)


def test_icalendar_reads_back_the_same_moments() -> None:
    from icalendar import Calendar

    read = Calendar.from_ical(FILE)
    events = read.walk("VEVENT")
    assert [event.decoded("dtstart").astimezone(UTC) for event in events] == [
        event.start.astimezone(UTC) for event in EVENTS
    ]
    assert [str(event["summary"]) for event in events] == [event.title for event in EVENTS]
    assert read.errors == []


def test_times_without_a_zone_are_refused() -> None:
    naive = Event(key="a", title="a", start=datetime(2026, 1, 1), end=datetime(2026, 1, 2))
    with pytest.raises(TimingError, match="no time zone"):
        calendar_file([naive], stem="x", revised=date(2026, 1, 2))
