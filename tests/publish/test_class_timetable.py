"""From a plan to the timetable of a class: where each step is done, what is held, and whether it can be lived."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import pytest
from fixtures.class_walk import walk_through
from fixtures.small_classes import SHOP, STEPS, class_book

from planbook.cli.entry import run
from planbook.publish.class_solved import Solved, solve_class
from planbook.publish.class_work import BENCH, LOOK, class_work
from planbook.publish.reading import Material, read_material
from planbook.source.diagnostics import Findings, Severity
from planbook.source.files import Sources

CONTENT = Path(__file__).parents[2] / "content"


def read(folder: Path) -> Material:
    findings = Findings()
    material = read_material(folder, findings, Sources())
    assert material is not None
    assert not findings.stopped, [item.message for item in findings]
    return material


def solved(folder: Path, words: dict[str, str] | None = None) -> tuple[Solved | None, Findings]:
    material, findings = read(class_book(folder, words)), Findings()
    return solve_class(material.classes[0], material.info, findings), findings


def test_a_step_is_done_at_its_stations_and_at_the_bench(tmp_path: Path) -> None:
    material = read(class_book(tmp_path))
    work = class_work(material.classes[0], material.info)
    assert [(share.step.number, share.station) for share in work.shares] == [
        (1, BENCH), (2, "drill press"), (3, LOOK), (3, BENCH),
    ]  # fmt: skip
    saw, bore, look, glue = work.lesson.operations
    # Three parts at 5 minutes; 15 minutes at the press, with the shop's own time to set it.
    assert (saw.each, bore.each, bore.set_up, glue.wait) == (15, 15, 10, 60)
    assert [(use.station, use.count, use.while_waiting) for use in glue.uses] == [("clamps", 2, True)]
    assert (look.eye, look.uses, look.after, glue.after) == (True, (), (saw.key, bore.key), (look.key,))


def test_the_timetable_is_lived_minute_by_minute(tmp_path: Path) -> None:
    one, findings = solved(tmp_path, {"students": "12", "working": "alone", "sessions": LONG})
    assert one is not None, [item.message for item in findings]
    at: dict[tuple[str, int], list[int]] = defaultdict(list)
    clamps: dict[int, int] = defaultdict(int)
    for visit in one.table.visits:
        for minute in range(visit.start, visit.end):
            at["student", minute].append(visit.maker)
            for place in visit.places:
                if place.station == "drill press":
                    at["press", minute].append(visit.maker)
        for place in visit.places:
            if place.station == "clamps":
                for minute in range(visit.start, place.until):
                    clamps[minute] += 2
    assert {len(one.table.of(maker)) for maker in range(1, 13)} == {4}
    for (what, _), makers in at.items():
        assert len(makers) == len(set(makers))
        assert what != "press" or len(makers) == 1
    assert max(clamps.values()) <= 20


LONG = (
    '[{date: 2026-10-06, start: "09:00", end: "17:00", breaks: 12:00 to 13:00},'
    ' {date: 2026-10-07, start: "09:00", end: "17:00", breaks: 12:00 to 13:00}]'
)


def test_what_does_not_fit_is_told_with_the_smallest_preparation(tmp_path: Path) -> None:
    # Twelve alone at one press, 27 minutes each for the slowest quarter: more than the day has left.
    one, findings = solved(tmp_path, {"working": "alone"})
    assert one is None
    (told,) = findings
    assert (told.slug, told.severity) == ("does-not-fit", Severity.WARN)
    assert "Saw the parts" in str(told.help)
    mended, more = solved(tmp_path / "mended", {"working": "alone", **dict([str(told.help).split(": ", 1)])})
    assert mended is not None, [item.message for item in more]


@pytest.mark.parametrize(
    ("words", "slug"),
    [
        ({"prepared": "[Saw the parts, Cut the dados, Close the case]"}, "no-step"),
        ({"sessions": '[{date: 2026-10-06, start: "09:00", end: "10:00"}]'}, "step-longer-than-session"),
    ],
)
def test_what_cannot_be_is_told(words: dict[str, str], slug: str, tmp_path: Path) -> None:
    one, findings = solved(tmp_path, words)
    assert one is None
    assert [item.slug for item in findings] == [slug]


def test_too_few_clamps_are_told(tmp_path: Path) -> None:
    shop = SHOP.replace("count: 20", "count: 1")
    material, findings = read(class_book(tmp_path, shop=shop, steps=STEPS)), Findings()
    assert solve_class(material.classes[0], material.info, findings) is None
    (told,) = findings
    assert told.slug == "station-short"
    assert told.span is not None
    assert told.span.file.endswith("steps.md")


def demo_classes() -> list[tuple[str, Solved]]:
    material, findings = read(CONTENT), Findings()
    found = [(one.slug, solve_class(one, material.info, findings)) for one in material.classes]
    assert all(solved is not None for _, solved in found), [item.message for item in findings]
    return [(slug, solved) for slug, solved in found if solved is not None]


def test_the_demo_classes_are_lived_minute_by_minute() -> None:
    classes = demo_classes()
    assert {slug for slug, _ in classes} == {"boot-bench-evenings", "window-bench-weekend"}
    for slug, found in classes:
        assert found.proven
        walk_through(found.work.lesson, found.table)
        used = {
            number
            for number, session in enumerate(found.one.sessions)
            for visit in found.table.visits
            if session.start <= found.table.grid.moment(visit.start) < session.end
        }
        assert used == set(range(len(found.one.sessions))), slug


def test_a_wait_longer_than_the_class_is_told(tmp_path: Path) -> None:
    steps = STEPS.replace("time: {set up: 10 min, each: 15 min}", "time: {set up: 10 min, each: 15 min, wait: 3 days}")
    material, findings = read(class_book(tmp_path, steps=steps)), Findings()
    assert solve_class(material.classes[0], material.info, findings) is None
    (told,) = findings
    assert (told.slug, told.severity) == ("wait-too-long", Severity.STOP)
    assert "4320 min" in told.message


def test_check_tells_what_does_not_fit(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = class_book(tmp_path, {"working": "alone"})
    run(["check", str(book)])
    told = capsys.readouterr()
    assert "does-not-fit" in told.err
    assert "prepared: [" in told.err
    assert not (book / ".planbook" / "timetables").exists()
    run(["check", str(class_book(tmp_path / "pairs"))])
    assert "does-not-fit" not in capsys.readouterr().err


def test_what_a_step_holds_is_a_station_of_the_shop(tmp_path: Path) -> None:
    folder = class_book(tmp_path)
    steps = next(folder.glob("plans/*/steps.md"))
    steps.write_text(steps.read_text().replace("holds: {clamps: 2}", "holds: {clmps: 2}"))
    material, findings = read(folder), Findings()
    assert solve_class(material.classes[0], material.info, findings) is None
    (stop,) = [item for item in findings if item.severity is Severity.STOP]
    assert stop.slug == "no-such-station"
    assert "holds `clmps`, which is no station of the shop" in stop.message
