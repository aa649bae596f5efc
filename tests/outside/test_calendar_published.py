"""Calendar files against the clauses of RFC 5545 (Internet Calendaring and Scheduling, September 2009), byte by byte.

Each test names its clause. Lines are unfolded and split here, by the grammar of 3.1, without a calendar library.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from planbook.timing.calendar_file import Event, calendar_file

OSLO = ZoneInfo("Europe/Oslo")
CHICAGO = ZoneInfo("America/Chicago")
LONG = "Bänke, Böden; Stühle\\Hocker – " * 6 + "\nzweite Zeile"
# Over the change of the clocks: Oslo leaves summer time in the night to 25 October 2026, Chicago on 1 November.
EVENTS = (
    Event(key="one", title=LONG, start=datetime(2026, 10, 24, 9, tzinfo=OSLO),
          end=datetime(2026, 10, 24, 16, tzinfo=OSLO), text="room 3, floor 1; ring\\knock"),
    Event(key="two", title="Second day", start=datetime(2026, 10, 25, 9, tzinfo=OSLO),
          end=datetime(2026, 10, 25, 16, tzinfo=OSLO)),
    Event(key="far", title="Elsewhere", start=datetime(2026, 10, 31, 9, tzinfo=CHICAGO),
          end=datetime(2026, 11, 1, 9, tzinfo=CHICAGO)),
    Event(key="wait", title="Wait is over", start=datetime(2026, 10, 26, 7, tzinfo=OSLO),
          end=datetime(2026, 10, 26, 7, tzinfo=OSLO), remind=True),
    Event(key="zulu", title="In UTC", start=datetime(2026, 10, 27, 7, tzinfo=UTC),
          end=datetime(2026, 10, 27, 8, tzinfo=UTC)),
)  # fmt: skip
MADE = calendar_file(EVENTS, stem="a class", revised=date(2026, 2, 10))


@dataclass
class Component:
    name: str
    lines: list[tuple[str, dict[str, str], str]] = field(default_factory=list)
    parts: list[Component] = field(default_factory=list)

    def all(self, name: str) -> list[tuple[dict[str, str], str]]:
        return [(given, value) for found, given, value in self.lines if found == name]

    def one(self, name: str) -> tuple[dict[str, str], str]:
        (found,) = self.all(name)
        return found

    def of(self, name: str) -> list[Component]:
        return [part for part in self.parts if part.name == name]


def content_lines(data: bytes) -> list[str]:
    """Unfold (3.1): a line break and one white space go."""
    return re.sub(rb"\r\n[ \t]", b"", data).decode().split("\r\n")[:-1]


def parsed(data: bytes) -> Component:
    stack = [Component("")]
    for line in content_lines(data):
        match = re.fullmatch(r"([A-Z-]+)((?:;[A-Z-]+=(?:\"[^\"]*\"|[^\";:,]*))*):(.*)", line, re.DOTALL)
        assert match is not None, line
        name, given, value = match[1], match[2], match[3]
        if name == "BEGIN":
            stack.append(Component(value))
        elif name == "END":
            done = stack.pop()
            assert done.name == value
            stack[-1].parts.append(done)
        else:
            pairs = dict(part.split("=", 1) for part in given.split(";") if part)
            stack[-1].lines.append((name, pairs, value))
    assert len(stack) == 1
    return stack[0]


CALENDAR = parsed(MADE).parts[0]


def unescaped(text: str) -> str:
    return re.sub(r"\\(.)", lambda found: "\n" if found[1] in "nN" else found[1], text)


def test_lines_end_in_crlf_and_are_75_octets_long_at_most() -> None:
    # 3.1: "Lines of text SHOULD NOT be longer than 75 octets, excluding the line break"; delimited by CRLF.
    assert MADE.endswith(b"\r\n")
    rows = MADE.split(b"\r\n")
    assert all(len(row) <= 75 for row in rows)
    assert all(b"\r" not in row and b"\n" not in row for row in rows)
    assert any(row.startswith(b" ") for row in rows)


def test_no_letter_is_cut_by_a_fold() -> None:
    # 3.1 allows a fold inside a sequence of octets, but asks that implementations take care: none of ours is.
    for row in MADE.split(b"\r\n"):
        row.decode()


def test_the_object_is_one_calendar_of_version_2() -> None:
    # 3.4, 3.6, 3.7.3, 3.7.4: PRODID and VERSION once each, VERSION 2.0; at least one component.
    assert [part.name for part in parsed(MADE).parts] == ["VCALENDAR"]
    assert CALENDAR.one("VERSION") == ({}, "2.0")
    assert CALENDAR.one("PRODID")[1]
    # 3.6.1: without METHOD, DTSTART is required; METHOD is not there.
    assert CALENDAR.all("METHOD") == []


def test_every_event_has_its_uid_and_stamp() -> None:
    # 3.6.1: UID, DTSTAMP and DTSTART once each; DTEND and DURATION not both.
    events = CALENDAR.of("VEVENT")
    assert len(events) == len(EVENTS)
    for event in events:
        assert re.fullmatch(r"\d{8}T\d{6}Z", event.one("DTSTAMP")[1])  # 3.8.7.2: in UTC
        assert event.one("DTSTART")
        assert not (event.all("DTEND") and event.all("DURATION"))
    uids = [event.one("UID")[1] for event in events]
    assert len(set(uids)) == len(uids)  # 3.8.4.7: globally unique
    later = parsed(calendar_file(EVENTS, stem="a class", revised=date(2026, 5, 1))).parts[0]
    assert [event.one("UID")[1] for event in later.of("VEVENT")] == uids
    other = parsed(calendar_file(EVENTS, stem="another", revised=date(2026, 2, 10))).parts[0]
    assert not set(uids) & {event.one("UID")[1] for event in other.of("VEVENT")}


def test_text_is_escaped() -> None:
    # 3.3.11: backslash, semicolon, comma and line break are escaped, and nothing else.
    first = CALENDAR.of("VEVENT")[0]
    for name, text in (("SUMMARY", LONG), ("DESCRIPTION", EVENTS[0].text)):
        written = first.one(name)[1]
        assert unescaped(written) == text
        assert re.search(r"(?<!\\)(?:\\\\)*[;,]", written) is None
        assert set(re.findall(r"\\(.)", written)) <= set("\\;,nN")


def test_every_zone_named_is_told_once() -> None:
    # 3.2.19: a TZID that is given must be that of a VTIMEZONE in the object; not used with UTC.
    told = [zone.one("TZID")[1] for zone in CALENDAR.of("VTIMEZONE")]
    assert len(set(told)) == len(told)
    named = set()
    for event in CALENDAR.of("VEVENT"):
        for name in ("DTSTART", "DTEND"):
            for given, value in event.all(name):
                assert ("TZID" in given) != value.endswith("Z")
                named |= {given["TZID"]} if "TZID" in given else set()
    assert named == set(told) == {"Europe/Oslo", "America/Chicago"}


def test_a_zone_has_its_offsets() -> None:
    # 3.6.5: at least one STANDARD or DAYLIGHT; in each DTSTART as local time, TZOFFSETFROM and TZOFFSETTO.
    for zone in CALENDAR.of("VTIMEZONE"):
        assert zone.parts
        for part in zone.parts:
            assert part.name in ("STANDARD", "DAYLIGHT")
            given, start = part.one("DTSTART")
            assert (given, bool(re.fullmatch(r"\d{8}T\d{6}", start))) == ({}, True)
            for name in ("TZOFFSETFROM", "TZOFFSETTO"):
                assert re.fullmatch(r"[+-]\d{4}(\d\d)?", part.one(name)[1])  # 3.3.14


def offset(text: str) -> timedelta:
    minutes = int(text[1:3]) * 60 + int(text[3:5])
    return timedelta(minutes=-minutes if text[0] == "-" else minutes)


def moments() -> Iterator[tuple[str, str, datetime]]:
    for event, source in zip(CALENDAR.of("VEVENT"), EVENTS, strict=True):
        for name, moment in (("DTSTART", source.start), ("DTEND", source.end)):
            for given, value in event.all(name):
                if "TZID" in given:
                    yield given["TZID"], value, moment


@pytest.mark.parametrize(("zone", "value", "moment"), list(moments()))
def test_the_zones_told_give_the_moments_of_the_zone_database(zone: str, value: str, moment: datetime) -> None:
    # 3.6.5: the observance in force is the one with the latest onset before the local time.
    (told,) = [part for part in CALENDAR.of("VTIMEZONE") if part.one("TZID")[1] == zone]
    local = datetime.strptime(value, "%Y%m%dT%H%M%S")
    in_force = max(
        (part for part in told.parts if datetime.strptime(part.one("DTSTART")[1], "%Y%m%dT%H%M%S") <= local),
        key=lambda part: part.one("DTSTART")[1],
    )
    assert (local - offset(in_force.one("TZOFFSETTO")[1])).replace(tzinfo=UTC) == moment.astimezone(UTC)


def test_a_reminder_is_an_alarm_with_its_three_properties() -> None:
    # 3.6.6: a DISPLAY alarm has ACTION, DESCRIPTION and TRIGGER once each.
    alarms = [alarm for event in CALENDAR.of("VEVENT") for alarm in event.of("VALARM")]
    assert len(alarms) == 1
    assert alarms[0].one("ACTION")[1] == "DISPLAY"
    assert alarms[0].one("DESCRIPTION")[1] == "Wait is over"
    assert re.fullmatch(r"[+-]?P(T?0[SMHD])?.*", alarms[0].one("TRIGGER")[1])
    # 3.6.1: an event with DTSTART and neither DTEND nor DURATION takes no time.
    reminder = CALENDAR.of("VEVENT")[3]
    assert reminder.all("DTEND") == []
