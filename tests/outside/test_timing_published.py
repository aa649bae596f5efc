"""The timing model against published optima, closed forms and a general graph library.

`PLANBOOK_BENCHMARKS` names a folder with the published problems (PSPLIB, Kolisch and Sprecher 1996; job shops of
Fisher and Thompson 1963 and Lawrence 1984) and their table `known.csv`; they are read there and never copied.
"""

from __future__ import annotations

import csv
import os
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from pathlib import Path

import networkx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planbook.timing.class_table import class_timetable
from planbook.timing.clock import Session
from planbook.timing.problem import Group, Lesson, Operation, Pace, Station, Use
from planbook.timing.project import Activity, Schedule, shortest_project
from planbook.timing.timetable import Timetable

FOLDER = os.environ.get("PLANBOOK_BENCHMARKS", "")
published = pytest.mark.skipif(not FOLDER, reason="PLANBOOK_BENCHMARKS names no folder of published problems")

# Fisher, Thompson: Probabilistic learning combinations of local job-shop scheduling rules, in Muth, Thompson (eds.),
# Industrial Scheduling, 1963: the 6 x 6 problem, (machine, time) by job; its optimum is 55.
FT06 = """
2 1  0 3  1 6  3 7  5 3  4 6
1 8  2 5  4 10 5 10 0 10 3 4
2 5  3 4  5 8  0 9  1 1  4 7
1 5  0 5  2 5  3 3  4 8  5 9
2 9  1 3  4 5  5 4  0 3  3 1
1 3  3 3  5 9  0 10 4 4  2 1
"""
# Those of the published projects that are proven within a second or two; the speed table takes them all.
# fmt: off
QUICK = [
    "j301_1", "j302_6", "j303_4", "j304_6", "j305_1", "j306_10", "j308_7", "j3011_10",
    "j3015_1", "j3017_1", "j3018_4", "j3020_3", "j3022_2", "j3024_4", "j3026_5", "j3028_4",
    "j3031_4", "j3032_6", "j3034_3", "j3035_9", "j3042_10", "j3043_1", "j3044_7",
]
# fmt: on


def job_shop(rows: list[list[int]]) -> tuple[list[Activity], list[int]]:
    """Write a job shop as a project whose machines are resources of one."""
    activities: list[Activity] = []
    for row in rows:
        for place, (machine, duration) in enumerate(zip(row[::2], row[1::2], strict=True)):
            after = (len(activities) - 1,) if place else ()
            activities.append(Activity(duration=duration, after=after, needs=((machine, 1),)))
    return activities, [1] * (max(max(row[::2]) for row in rows) + 1)


def project(text: str) -> tuple[list[Activity], list[int]]:
    """Read a published project: activities from 1, with duration, needs and successors."""
    numbers = iter([int(word) for word in text.split()])
    count, resources = next(numbers), next(numbers)
    capacity = [next(numbers) for _ in range(resources)]
    after: list[list[int]] = [[] for _ in range(count)]
    rows: list[tuple[int, tuple[tuple[int, int], ...]]] = []
    for number in range(count):
        duration = next(numbers)
        rows.append((duration, tuple((r, amount) for r in range(resources) if (amount := next(numbers)))))
        for _ in range(next(numbers)):
            after[next(numbers) - 1].append(number)
    return [Activity(duration=d, needs=n, after=tuple(a)) for (d, n), a in zip(rows, after, strict=True)], capacity


def known(problem: str) -> dict[str, tuple[Path, int]]:
    with (Path(FOLDER) / "known.csv").open(newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["problem"] == problem and row["status"] == "optimal"]
    return {row["instance"]: (Path(FOLDER) / row["file"], int(row["value"])) for row in rows}


def holds(activities: list[Activity], capacity: list[int], schedule: Schedule) -> bool:
    """Check a schedule unit of time by unit of time."""
    ends = [start + activity.duration for start, activity in zip(schedule.starts, activities, strict=True)]
    for activity, start in zip(activities, schedule.starts, strict=True):
        if any(ends[before] > start for before in activity.after):
            return False
    for moment in range(schedule.end):
        for resource, there in enumerate(capacity):
            taken = sum(
                amount
                for activity, start, end in zip(activities, schedule.starts, ends, strict=True)
                if start <= moment < end
                for which, amount in activity.needs
                if which == resource
            )
            if taken > there:
                return False
    return max(ends) == schedule.end


def test_the_six_by_six_job_shop_takes_55() -> None:
    activities, capacity = job_shop([[int(word) for word in line.split()] for line in FT06.strip().splitlines()])
    schedule = shortest_project(activities, capacity)
    assert (schedule.end, schedule.bound) == (55, 55)
    assert holds(activities, capacity, schedule)


@published
def test_la05_takes_593() -> None:
    path, value = known("jobshop")["la05"]
    rows = [[int(word) for word in line.split()] for line in path.read_text().splitlines()[1:]]
    activities, capacity = job_shop(rows)
    schedule = shortest_project(activities, capacity)
    assert schedule.end == schedule.bound == value == 593
    assert holds(activities, capacity, schedule)


@published
@pytest.mark.parametrize("name", QUICK)
def test_published_projects_reach_their_optimum(name: str) -> None:
    path, value = known("rcpsp")[name]
    activities, capacity = project(path.read_text())
    schedule = shortest_project(activities, capacity)
    assert (schedule.end, schedule.bound) == (value, value)
    assert holds(activities, capacity, schedule)


def flow(minutes: list[int], students: int) -> Timetable:
    """Equal students through machines in a row, without slack or spread, in slots of 5 minutes."""
    steps = tuple(
        Operation(
            key=f"step {n}", each=each, uses=(Use(station=f"machine {n}"),), after=(f"step {n - 1}",) if n else ()
        )
        for n, each in enumerate(minutes)
    )
    start = datetime(2026, 5, 9, 8, tzinfo=UTC)
    lesson = Lesson(
        operations=steps,
        stations=tuple(Station(key=f"machine {n}", count=1) for n in range(len(minutes))),
        sessions=(Session(start=start, end=start + timedelta(minutes=sum(minutes) + students * max(minutes))),),
        group=Group(students=students, pace=Pace(quickest=Fraction(1), slowest=Fraction(1))),
        slot=5,
        slack=0,
    )
    table = class_timetable(lesson, tidy=False).table
    assert table is not None
    assert table.proven
    return table


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(1, 8), min_size=1, max_size=6), st.integers(1, 12))
def test_equal_jobs_in_a_flow_shop_follow_the_closed_form(lengths: list[int], students: int) -> None:
    # All jobs alike: the sum of the times and, for each further job, the longest of them (Pinedo, Scheduling:
    # Theory, Algorithms and Systems, flow shops with proportionate or equal jobs).
    minutes = [5 * length for length in lengths]
    assert flow(minutes, students).end == sum(minutes) + (students - 1) * max(minutes)


@st.composite
def networks(draw: st.DrawFn) -> list[Activity]:
    return [
        Activity(
            duration=draw(st.integers(0, 9)), after=tuple(n for n in range(number) if draw(st.integers(0, 3)) == 0)
        )
        for number in range(draw(st.integers(1, 14)))
    ]


@settings(max_examples=60, deadline=None)
@given(networks())
def test_without_resources_the_longest_path_decides(activities: list[Activity]) -> None:
    graph = networkx.DiGraph()
    graph.add_node("start")
    for number, activity in enumerate(activities):
        graph.add_edge("start", number, weight=0)
        graph.add_edge(number, "end", weight=activity.duration)
        for before in activity.after:
            graph.add_edge(before, number, weight=activities[before].duration)
    schedule = shortest_project(activities, [])
    assert schedule.end == schedule.bound == networkx.dag_longest_path_length(graph)
    assert holds(activities, [], schedule)


@settings(max_examples=25, deadline=None)
@given(networks(), st.integers(1, 2))
def test_a_resource_more_never_makes_a_project_longer(activities: list[Activity], there: int) -> None:
    needy = [replace(activity, needs=((0, 1),)) for activity in activities]
    short = shortest_project(needy, [there + 1])
    long = shortest_project(needy, [there])
    assert holds(needy, [there], long)
    if short.proven:
        assert short.end <= long.end
    assert sum(activity.duration for activity in needy) <= there * long.end
