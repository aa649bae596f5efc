from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from planbook.timing.alone import Alone, Free, home_calendar
from planbook.timing.clock import Pause
from planbook.timing.faults import TimingError
from planbook.timing.problem import Operation, Station

ZONE = ZoneInfo("Europe/Oslo")
EVENINGS = tuple(Free(weekday=day, start=time(19), end=time(21)) for day in (0, 2))
SATURDAY = Free(weekday=5, start=time(10), end=time(16))
STEPS = (
    Operation(key="cut", set_up=15, each=60),
    Operation(key="panel", each=45, wait=24 * 60, after=("cut",), pause=Pause.NONE),
    Operation(key="legs", each=90, after=("cut",)),
    Operation(key="join", each=60, wait=12 * 60, after=("panel", "legs"), pause=Pause.NONE, hands=2),
    Operation(key="oil", each=30, wait=8 * 60, after=("join",)),
)
HOME = Alone(
    operations=STEPS,
    stations=(Station(key="clamps", count=4),),
    free=(*EVENINGS, SATURDAY),
    first_day=date(2026, 5, 4),  # a Monday
    zone="Europe/Oslo",
)


def test_other_work_fills_the_wait_and_all_lies_in_the_free_hours() -> None:
    calendar = home_calendar(HOME)
    assert calendar.proven
    at = {entry.operation: entry for entry in calendar.entries}
    assert [at[key].start for key in ("cut", "panel", "legs", "join", "oil")] == [
        datetime(2026, 5, 4, 19, tzinfo=ZONE),
        datetime(2026, 5, 4, 20, 15, tzinfo=ZONE),
        datetime(2026, 5, 6, 19, tzinfo=ZONE),
        datetime(2026, 5, 9, 10, tzinfo=ZONE),
        datetime(2026, 5, 11, 19, tzinfo=ZONE),
    ]
    assert calendar.done == datetime(2026, 5, 11, 19, 30, tzinfo=ZONE)
    assert calendar.ready == datetime(2026, 5, 12, 3, 30, tzinfo=ZONE)
    assert at["join"].helpers == 1
    for entry in calendar.entries:
        for start, end in entry.parts:
            hours = [free for free in HOME.free if free.weekday == start.weekday()]
            assert any(free.start <= start.time() and end.time() <= free.end for free in hours)
    for one, two in pairwise(calendar.entries):
        assert one.end <= two.start


def test_work_longer_than_an_evening_lies_over_night() -> None:
    home = replace(HOME, operations=(Operation(key="carve", each=200),), free=EVENINGS)
    entry = home_calendar(home).entries[0]
    assert [(start.day, start.hour) for start, _ in entry.parts] == [(4, 19), (6, 19)]


@pytest.mark.parametrize(
    ("slug", "home"),
    [
        (
            "step-longer-than-session",
            replace(HOME, operations=(Operation(key="pour", each=200, pause=Pause.NONE),), free=EVENINGS),
        ),
        ("no-time-zone", replace(HOME, zone="Middle/Earth")),
        ("no-session", replace(HOME, free=())),
        ("no-such-day", replace(HOME, free=(replace(SATURDAY, weekday=7),))),
        ("session-backwards", replace(HOME, free=(replace(SATURDAY, end=time(9)),))),
        ("never-done", replace(HOME, operations=(Operation(key="carve", each=900_000),))),
    ],
)
def test_hours_that_do_not_serve_are_named(slug: str, home: Alone) -> None:
    with pytest.raises(TimingError) as caught:
        home_calendar(home)
    assert caught.value.slug == slug
    assert caught.value.help
