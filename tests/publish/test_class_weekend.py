"""The weekend class of the demo book, lived minute by minute as persons would: nothing of the solver is asked."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

from planbook.publish.class_run import sessions
from planbook.publish.class_solved import Solved, solve_class
from planbook.publish.class_work import LOOK
from planbook.publish.reading import read_material
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.timing.timetable import Visit

CONTENT = Path(__file__).parents[2] / "content"
STUDENTS = 12
CURE = 20 * 60
"""Minutes from the pour until the fill is scraped, as the plan says."""


@cache
def weekend() -> Solved:
    findings = Findings()
    material = read_material(CONTENT, findings, Sources())
    assert material is not None
    one = next(one for one in material.classes if one.slug == "window-bench-weekend")
    found = solve_class(one, material.info, findings)
    assert found is not None, [item.message for item in findings]
    return found


def clock(minute: int) -> datetime:
    first = weekend().one.sessions[0]
    return first.start.astimezone(UTC) + timedelta(minutes=first.opening + minute)


def open_minutes() -> set[datetime]:
    """Minutes of the clock in which somebody may work: in a session, not in a break, welcome or clean-up."""
    found = set()
    for session in weekend().one.sessions:
        at = session.start.astimezone(UTC) + timedelta(minutes=session.opening)
        while at < session.end.astimezone(UTC) - timedelta(minutes=session.clean_up):
            if not any(start <= at < end for start, end in session.breaks):
                found.add(at)
            at += timedelta(minutes=1)
    return found


def visits(title: str) -> dict[int, Visit]:
    """The last visit of each student to a step."""
    keys = {share.key for share in weekend().work.shares if share.step.title == title}
    return {
        visit.maker: visit
        for visit in sorted(weekend().table.visits, key=lambda visit: visit.start)
        if visit.operation in keys
    }


def test_everybody_does_every_step_of_the_class_once() -> None:
    keys = Counter((visit.maker, visit.operation) for visit in weekend().table.visits)
    wanted = {share.key for share in weekend().work.shares if share.step.slug not in weekend().one.prepared}
    assert keys == Counter((maker, key) for maker in range(1, STUDENTS + 1) for key in wanted)


def test_work_begins_and_ends_in_a_session_and_nobody_is_in_two_places() -> None:
    free, at = open_minutes(), defaultdict(set)
    for visit in weekend().table.visits:
        assert clock(visit.start) in free
        assert clock(visit.end - 1) in free
        for minute in range(visit.start, visit.end):
            if clock(minute) in free:
                assert visit.operation not in at[visit.maker, minute]
                at[visit.maker, minute].add(visit.operation)
    assert {len(steps) for steps in at.values()} == {1}


def test_no_more_stand_at_a_machine_or_hold_a_place_than_there_are() -> None:
    counts = {station.key: station.count for station in weekend().one.stations}
    used: dict[tuple[str, int], int] = defaultdict(int)
    for visit in weekend().table.visits:
        for place in visit.places:
            for minute in range(visit.start, place.until):
                used[place.station, minute] += len(place.units)
    most = {key: max(number for (name, _), number in used.items() if name == key) for key, _ in used}
    assert all(number <= counts[key] for key, number in most.items())
    assert most["sander"] == counts["sander"]  # the busiest machine is really shared
    assert most["level curing spot"] == STUDENTS  # through the night


def test_the_teacher_and_the_assistant_look_at_no_more_than_one_piece_each() -> None:
    looks = {share.key for share in weekend().work.shares if share.station == LOOK}
    at = Counter(
        minute
        for visit in weekend().table.visits
        if visit.operation in looks
        for minute in range(visit.start, visit.end)
    )
    assert max(at.values()) <= 2


def test_no_fill_is_scraped_before_it_is_hard_and_no_seat_oiled_before_it_is_bored() -> None:
    poured, levelled = visits("Mix and pour"), visits("Level the fill")
    bored, oiled = visits("Bore for the inserts"), visits("Oil the seat")
    begun = sorted(weekend().table.visits, key=lambda visit: visit.start, reverse=True)
    first = {visit.maker: visit for visit in begun if visit.operation.startswith("Level the fill")}
    assert len(poured) == len(levelled) == len(oiled) == STUDENTS
    for student in poured:
        assert first[student].start - poured[student].end >= CURE
        assert oiled[student].start >= bored[student].end


def test_the_run_sheet_says_what_stays_and_what_goes_home_wet() -> None:
    first, last = sessions(weekend().one, weekend().work, weekend().table)
    # The pour holds a curing spot of the shop over night; the oiled seat holds nothing and goes home.
    assert first["leaves"].startswith("step 8, students 1–12: resin until")
    assert first["home"] == ""
    assert last["leaves"] == ""
    assert last["home"].startswith("step 12, students 1–12: oil until")


def test_a_pour_has_no_clamps_to_take_off() -> None:
    first, _ = sessions(weekend().one, weekend().work, weekend().table)
    names = [row["name"] for row in first["checkpoints"] if row["lines"]]
    assert names == ["8. poured on", "8. may be sanded from"]
