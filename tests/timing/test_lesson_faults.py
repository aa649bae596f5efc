from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from planbook.timing.class_table import class_timetable
from planbook.timing.clock import Pause, Session, session_grid
from planbook.timing.faults import TimingError
from planbook.timing.problem import Group, Lesson, Operation, Pace, Station, Use

NINE = datetime(2026, 5, 9, 9, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAY = Session(start=NINE, end=NINE + 4 * HOUR)
CUT = Operation(key="cut", each=15, uses=(Use(station="saw"),))
LESSON = Lesson(operations=(CUT,), stations=(Station(key="saw", count=1),), sessions=(DAY,), group=Group(students=2))
WRONG: list[tuple[str, Lesson]] = [
    ("no-students", replace(LESSON, group=Group(students=0))),
    ("no-students", replace(LESSON, group=Group(students=2, assistants=-1))),
    ("class-too-large", replace(LESSON, group=Group(students=6_000))),
    ("slot-too-short", replace(LESSON, slot=1, sessions=(Session(start=NINE, end=NINE + 40 * HOUR),))),
    ("no-step", replace(LESSON, operations=())),
    ("no-such-station", replace(LESSON, stations=())),
    ("no-such-station", replace(LESSON, stations=(Station(key="saw", count=0),))),
    ("station-short", replace(LESSON, operations=(replace(CUT, uses=(Use(station="saw", count=2),)),))),
    ("twice", replace(LESSON, operations=(CUT, CUT))),
    ("negative-time", replace(LESSON, operations=(replace(CUT, wait=-1),))),
    ("endless-time", replace(LESSON, operations=(replace(CUT, each=10**9),))),
    ("no-such-step", replace(LESSON, operations=(replace(CUT, after=("mark",)),))),
    ("hands-short", replace(LESSON, operations=(replace(CUT, hands=4),))),
    ("no-pace", replace(LESSON, group=Group(students=2, pace=Pace(slowest=Pace().quickest)))),
    ("no-slot", replace(LESSON, slot=0)),
    ("no-session", replace(LESSON, sessions=())),
    ("no-time", replace(LESSON, sessions=(replace(DAY, clean_up=240),))),
    ("step-longer-than-session", replace(LESSON, operations=(replace(CUT, each=200),))),
    ("session-backwards", replace(LESSON, sessions=(Session(start=NINE, end=NINE - HOUR),))),
    ("sessions-overlap", replace(LESSON, sessions=(DAY, Session(start=NINE + HOUR, end=NINE + 9 * HOUR)))),
    ("break-backwards", replace(LESSON, sessions=(replace(DAY, breaks=((NINE + 2 * HOUR, NINE + HOUR),)),))),
    ("break-outside", replace(LESSON, sessions=(replace(DAY, breaks=((NINE - HOUR, NINE + HOUR),)),))),
    ("no-time-zone", replace(LESSON, sessions=(Session(start=NINE.replace(tzinfo=None), end=NINE),))),
    (
        "wait-too-long",
        replace(LESSON, operations=(replace(CUT, wait=300), Operation(key="sand", each=15, after=("cut",)))),
    ),
    ("made-later", replace(LESSON, operations=(CUT, Operation(key="sand", each=15, after=("cut",), prepared=True)))),
]


@pytest.mark.parametrize(("slug", "lesson"), WRONG, ids=[f"{n}-{slug}" for n, (slug, _) in enumerate(WRONG)])
def test_a_question_without_sense_is_named_and_mended(slug: str, lesson: Lesson) -> None:
    with pytest.raises(TimingError) as caught:
        class_timetable(lesson)
    assert caught.value.slug == slug
    assert caught.value.help
    assert not caught.value.message.endswith(".")


def test_the_same_question_without_the_fault_is_answered() -> None:
    assert class_timetable(LESSON).fits


def test_a_step_over_lunch_needs_a_work_that_bears_it() -> None:
    noon = replace(DAY, breaks=((NINE + 2 * HOUR, NINE + 3 * HOUR),))
    long = replace(CUT, each=90)  # 158 min at 1.75 times the median's
    lunch = replace(LESSON, group=Group(students=1), operations=(long,), sessions=(noon,))
    assert class_timetable(lunch).fits
    with pytest.raises(TimingError, match="stretch without a break has 120 min"):
        class_timetable(replace(lunch, operations=(replace(long, pause=Pause.NONE),)))


@pytest.mark.parametrize(("day", "passed"), [(28, 23 * 60), (27, 24 * 60)])
def test_a_night_in_which_the_clocks_change_is_an_hour_shorter(day: int, passed: int) -> None:
    zone = ZoneInfo("Europe/Oslo")  # summer time began on 29 March 2026 (EU Directive 2000/84/EC, last Sunday)
    nights = [datetime(2026, 3, day + more, 9, tzinfo=zone) for more in (0, 1)]
    grid = session_grid([Session(start=start, end=start + HOUR) for start in nights], 60)
    assert grid.starts == (0, passed)
    assert [moment.hour for moment in grid.moments] == [9, 9]
    assert grid.moment(passed + 60).hour == 10


def test_a_wait_counts_the_hours_that_pass() -> None:
    zone = ZoneInfo("Europe/Oslo")
    glue = Operation(key="glue", each=30, wait=14 * 60 + 15)
    sand = Operation(key="sand", each=30, after=("glue",))
    for day, start in ((27, (9, 0)), (28, (9, 45))):  # the night to the 29th is an hour short
        sessions = (
            Session(start=datetime(2026, 3, day, 18, tzinfo=zone), end=datetime(2026, 3, day, 19, tzinfo=zone)),
            Session(start=datetime(2026, 3, day + 1, 9, tzinfo=zone), end=datetime(2026, 3, day + 1, 17, tzinfo=zone)),
        )
        lesson = Lesson(
            operations=(glue, sand),
            stations=(),
            sessions=sessions,
            group=Group(students=1, pace=Pace(quickest=Pace().quickest, slowest=Pace().quickest / Pace().quickest)),
        )
        table = class_timetable(lesson).table
        assert table is not None
        begun = table.grid.moment(table.visits[1].start)
        assert (begun.hour, begun.minute) == start
