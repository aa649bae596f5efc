from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest
from fixtures.class_walk import walk_through
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.timing.clashes import clashes
from planbook.timing.class_table import bottlenecks, class_timetable
from planbook.timing.clock import Pause, Session
from planbook.timing.problem import Group, Lesson, Operation, Pace, Station, Use

_HALF = Fraction(1, 2)


def test_a_weekend_class_is_proven_and_can_be_lived_minute_by_minute(make_lesson: Callable[..., Lesson]) -> None:
    lesson = make_lesson()
    outcome = class_timetable(lesson, two_tracks=False)
    assert outcome.table is not None
    assert outcome.proven
    assert clashes(outcome.table) == ()
    peak = walk_through(lesson, outcome.table)
    assert peak["planer"] == 1
    assert max(outcome.table.done) <= outcome.table.grid.end(len(outcome.table.grid) - 1)


def test_too_few_days_are_proven_not_to_fit(make_lesson: Callable[..., Lesson]) -> None:
    outcome = class_timetable(make_lesson(days=2))
    assert not outcome.fits
    assert outcome.proven


def test_pairs_make_half_as_many_pieces_and_end_earlier(make_lesson: Callable[..., Lesson]) -> None:
    alone = class_timetable(make_lesson(steps=8), tidy=False).table
    pairs = class_timetable(make_lesson(steps=8, pairs=True), tidy=False).table
    assert alone is not None
    assert pairs is not None
    assert (alone.makers, pairs.makers) == (12, 6)
    assert pairs.end < alone.end


def test_clamps_held_through_the_cure_limit_how_many_glue(make_lesson: Callable[..., Lesson]) -> None:
    lesson = make_lesson(students=6, steps=10)
    few = replace(lesson, stations=tuple(replace(s, count=12) if s.key == "clamps" else s for s in lesson.stations))
    table = class_timetable(few, tidy=False).table
    assert table is not None
    assert walk_through(few, table)["clamps"] <= 12
    glued = sorted(v.start for v in table.visits if v.operation == "glue")
    assert glued[3] >= glued[0] + 240


def test_a_clash_is_seen(make_lesson: Callable[..., Lesson]) -> None:
    table = class_timetable(make_lesson(students=4, steps=4), tidy=False).table
    assert table is not None
    visits = tuple(replace(v, start=v.start - 60, end=v.end - 60) if v.operation == "rip" else v for v in table.visits)
    found = clashes(replace(table, visits=visits))
    assert any("before plane is ready" in sentence for sentence in found)
    assert any("in two places" in sentence for sentence in found)


def test_one_more_of_the_bottleneck_saves_time_and_one_more_of_an_idle_station_does_not() -> None:
    steps = (
        Operation(key="cut", each=15, uses=(Use(station="saw"),)),
        Operation(key="bore", each=60, after=("cut",), uses=(Use(station="press"),)),
    )
    lesson = _plain(steps, (Station(key="saw", count=1), Station(key="press", count=1)), students=4)
    loads = bottlenecks(lesson, class_timetable(lesson))
    assert [load.station for load in loads] == ["press", "saw"]
    # One press: 15 + 4 x 60 = 255 min. Two: cut at 15, 30, 45, 60; the fourth finds the second press free at 90.
    assert loads[0].saves == 255 - 150
    assert loads[1].saves == 0


def test_a_second_order_of_steps_relieves_a_bottleneck() -> None:
    steps = (
        Operation(key="mark", each=60, uses=(Use(station="bench"),)),
        Operation(key="bore", each=60, uses=(Use(station="press"),)),
    )
    lesson = _plain(steps, (Station(key="bench", count=1), Station(key="press", count=1)), students=4)
    one = class_timetable(lesson, two_tracks=False)
    two = class_timetable(lesson)
    assert one.table is not None
    assert two.table is not None
    assert (one.table.end, two.table.end) == (300, 240)
    assert clashes(two.table) == ()
    walk_through(lesson, two.table)
    assert "2 orders" in two.model


def test_a_second_pair_of_hands_is_lent_by_who_is_free() -> None:
    steps = (Operation(key="glue", each=30, hands=2), Operation(key="wipe", each=30, after=("glue",)))
    lesson = _plain(steps, (), students=4)
    table = class_timetable(lesson).table
    assert table is not None
    assert all(v.helpers for v in table.visits if v.operation == "glue")
    assert clashes(table) == ()
    walk_through(lesson, table)


def test_the_teachers_eye_lets_one_begin_at_a_time() -> None:
    lesson = _plain((Operation(key="rip", each=30, eye=True),), (), students=4)
    alone = class_timetable(lesson).table
    helped = class_timetable(replace(lesson, group=replace(lesson.group, assistants=1))).table
    assert alone is not None
    assert helped is not None
    assert (alone.end, helped.end) == (120, 60)


def test_a_setting_waits_until_all_are_through_with_the_one_before() -> None:
    use = (Use(station="press"),)
    steps = (
        Operation(key="bore", set_up=15, each=15, uses=use),
        Operation(key="countersink", set_up=30, each=15, uses=use, after=("bore",)),
    )
    lesson = _plain(steps, (Station(key="press", count=1),), students=3)
    table = class_timetable(lesson).table
    assert table is not None
    assert table.end == 3 * 15 + 30 + 3 * 15  # the first setting stands ready
    assert [c.kind for c in table.common] == ["setting"]


def test_the_latest_start_leaves_just_enough_time(make_lesson: Callable[..., Lesson]) -> None:
    lesson = make_lesson(students=2)
    table = class_timetable(lesson, tidy=False).table
    assert table is not None
    end = table.grid.end(len(table.grid) - 1)
    late = {one.operation: one.start for one in table.late}
    oil = next(o for o in lesson.operations if o.key == "oil")
    assert late["oil"] is not None
    assert end - 15 < late["oil"] + -(-lesson.minutes(oil) // 15) * 15 <= end
    assert all(
        one.start is not None and one.planned_last is not None and one.planned_last <= one.start for one in table.late
    )


def test_slack_stands_before_work_that_bears_no_pause() -> None:
    steps = (Operation(key="fit", each=30), Operation(key="glue", each=30, after=("fit",), pause=Pause.NONE))
    table = class_timetable(replace(_plain(steps, (), students=1), slack=45)).table
    assert table is not None
    fit, glue = table.visits
    assert glue.start - fit.end == 45


def test_what_is_tidied_ends_as_early_and_waits_no_longer(make_lesson: Callable[..., Lesson]) -> None:
    lesson = make_lesson(students=6, steps=8)
    rough = class_timetable(lesson, tidy=False).table
    tidy = class_timetable(lesson).table
    assert rough is not None
    assert tidy is not None
    assert tidy.end == rough.end
    assert sum(tidy.waiting) <= sum(rough.waiting)
    assert clashes(tidy) == ()


def test_the_same_class_gives_the_same_timetable(make_lesson: Callable[..., Lesson]) -> None:
    lesson = make_lesson(students=5, steps=10)
    assert class_timetable(lesson) == class_timetable(lesson)


def test_a_class_with_everything_prepared_has_nothing_to_do() -> None:
    lesson = _plain((Operation(key="cut", each=10, prepared=True),), (), students=2)
    outcome = class_timetable(lesson)
    assert outcome.table is not None
    assert outcome.table.end == 0


@pytest.mark.parametrize(("share", "factor"), [((0, 1), 0.6), ((1, 2), 1.0), ((7, 8), 1.75), ((1, 1), 2.0)])
def test_pace_runs_straight_between_quickest_median_and_slowest(share: tuple[int, int], factor: float) -> None:
    assert float(Pace().at(Fraction(*share))) == factor


def _plain(steps: tuple[Operation, ...], stations: tuple[Station, ...], *, students: int) -> Lesson:
    """A class of equal students in one long session, without slack."""
    start = datetime(2026, 5, 9, 8, tzinfo=UTC)
    return Lesson(
        operations=steps,
        stations=stations,
        sessions=(Session(start=start, end=start + timedelta(hours=12)),),
        group=Group(students=students, pace=Pace(quickest=Pace().at(_HALF), slowest=Pace().at(_HALF))),
        slack=0,
    )


@st.composite
def small_lessons(draw: st.DrawFn) -> Lesson:
    stations = tuple(
        Station(key=f"station {n}", count=draw(st.integers(1, 3)), eye=draw(st.booleans()) and n == 0) for n in range(3)
    )
    steps: list[Operation] = []
    for number in range(draw(st.integers(1, 5))):
        use = draw(st.sampled_from([None, *stations]))
        held = draw(st.booleans())
        steps.append(
            Operation(
                key=f"step {number}",
                set_up=draw(st.sampled_from([0, 0, 20])) if use else 0,
                each=draw(st.integers(1, 50)),
                wait=draw(st.sampled_from([0, 0, 30, 200])),
                after=tuple(s.key for s in steps if draw(st.integers(0, 2)) == 0),
                uses=(Use(station=use.key, while_waiting=held),) if use else (),
                demonstration=draw(st.sampled_from([0, 0, 15])),
                eye=draw(st.integers(0, 4)) == 0,
                hands=draw(st.sampled_from([1, 1, 1, 2])),
                pause=draw(st.sampled_from([Pause.NONE, Pause.BREAK, Pause.NIGHT])),
            )
        )
    start = datetime(2026, 3, 27, 9, tzinfo=UTC)
    hours = [(0, 3, 4, 7), (24, 27, 28, 31), (48, 51, 52, 55)]
    sessions = tuple(
        Session(
            start=start + timedelta(hours=a),
            end=start + timedelta(hours=d),
            breaks=((start + timedelta(hours=b), start + timedelta(hours=c)),),
        )
        for a, b, c, d in hours
    )
    students = draw(st.integers(1, 5))
    return Lesson(operations=tuple(steps), stations=stations, sessions=sessions, group=Group(students=students))


@settings(max_examples=120, deadline=None)
@given(small_lessons())
def test_every_timetable_found_can_be_lived(lesson: Lesson) -> None:
    outcome = class_timetable(lesson, effort=20)
    if outcome.table is None:
        return
    assert clashes(outcome.table) == ()
    walk_through(lesson, outcome.table)
    assert outcome.table.bound <= outcome.table.end
    more = replace(lesson, stations=tuple(replace(s, count=s.count + 1) for s in lesson.stations))
    # A second order of steps may end earlier than what is proven for one: one is compared with one.
    plain = class_timetable(lesson, effort=20, two_tracks=False)
    easier = class_timetable(more, effort=20, two_tracks=False)
    if plain.table is not None and easier.proven:
        assert easier.table is not None
        assert easier.table.end <= plain.table.end
