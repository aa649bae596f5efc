"""An invented class: twelve students, fifteen steps, six stations; times are made up."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from planbook.timing.clock import Pause, Session
from planbook.timing.problem import Group, Lesson, Operation, Station, Use

ZONE = ZoneInfo("Europe/Oslo")
STATIONS = (("saw", 2), ("planer", 1), ("drill press", 2), ("router", 3), ("sander", 3), ("clamps", 48))
# key, set-up, each, wait, station, how many, held, demonstration, after, bears no pause, teacher's minutes
STEPS = (
    ("mark", 0, 15, 0, "", 0, False, 10, (), False, 8),
    ("crosscut", 10, 10, 0, "saw", 1, False, 15, ("mark",), False, 8),
    ("plane", 10, 10, 0, "planer", 1, False, 10, ("crosscut",), False, 8),
    ("rip", 10, 15, 0, "saw", 1, False, 0, ("plane",), False, 10),
    ("lay out", 0, 15, 0, "", 0, False, 10, ("plane",), False, 10),
    ("bore", 15, 10, 0, "drill press", 1, False, 15, ("lay out", "rip"), False, 8),
    ("rout", 15, 15, 0, "router", 1, False, 15, ("bore",), False, 12),
    ("fit", 0, 20, 0, "", 0, False, 0, ("rout",), False, 20),
    ("glue", 0, 20, 240, "clamps", 4, True, 15, ("fit",), True, 25),
    ("scrape", 0, 15, 0, "", 0, False, 0, ("glue",), False, 15),
    ("trim", 10, 10, 0, "saw", 1, False, 0, ("scrape",), False, 10),
    ("bore feet", 10, 10, 0, "drill press", 1, False, 0, ("trim",), False, 8),
    ("sand", 0, 25, 0, "sander", 1, False, 10, ("trim", "scrape"), False, 20),
    ("round over", 10, 10, 0, "router", 1, False, 0, ("bore feet",), False, 8),
    ("oil", 0, 15, 480, "", 0, False, 10, ("sand", "round over"), True, 15),
)


def session(day: int, *, start: int = 9, end: int = 17) -> Session:
    def at(hour: int) -> datetime:
        return datetime(2026, 5, day, hour, tzinfo=ZONE)

    breaks = ((at(12), at(13)),) if start < 12 and end > 13 else ()
    return Session(start=at(start), end=at(end), breaks=breaks, opening=15, clean_up=15)


def invented_lesson(
    *, students: int = 12, days: int = 3, steps: int = 15, pairs: bool = False, slot: int = 15
) -> Lesson:
    operations = tuple(
        Operation(
            key=key,
            set_up=set_up,
            each=each,
            wait=wait,
            after=after,
            uses=(Use(station=station, count=count, while_waiting=held),) if station else (),
            demonstration=demonstration,
            pause=Pause.NONE if no_pause else Pause.BREAK,
            preparation=minutes,
        )
        for key, set_up, each, wait, station, count, held, demonstration, after, no_pause, minutes in STEPS[:steps]
    )
    return Lesson(
        operations=operations,
        stations=tuple(Station(key=key, count=count) for key, count in STATIONS),
        sessions=tuple(session(8 + day) for day in range(days)),
        group=Group(students=students, pairs=pairs),
        slot=slot,
    )


@pytest.fixture(scope="session")
def make_lesson() -> Callable[..., Lesson]:
    return invented_lesson
