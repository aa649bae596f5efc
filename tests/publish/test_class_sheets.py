"""The sheets of a class: what stands on each, read out of the PDF, and the page, calendar and costs."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path

import icalendar
import pypdf
import pytest
from fixtures.small_classes import class_book

from planbook.cli.entry import run
from planbook.drawing.timetable import group_chart, station_chart
from planbook.publish.book_info import BookInfo
from planbook.publish.class_facts import Class, Cost
from planbook.publish.class_lists import break_even, costs, walls
from planbook.publish.class_print import SECTIONS, charts, class_data, class_pages
from planbook.publish.class_run import numbers_in_words
from planbook.publish.class_sheet import numbers_of
from planbook.publish.class_solved import Solved, solve_class
from planbook.publish.reading import read_material
from planbook.publish.site import make_site
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources

ROOT = Path(__file__).parents[2]
THEME = (ROOT / "themes" / "workshop",)
DEMO = "boot-bench-evenings"


@cache
def demo() -> tuple[Solved, BookInfo]:
    findings = Findings()
    material = read_material(ROOT / "content", findings, Sources())
    assert material is not None
    info = replace(material.info, address="https://example.org/plans")
    one = next(one for one in material.classes if one.slug == DEMO)
    solved = solve_class(one, info, findings)
    assert solved is not None, [item.message for item in findings]
    return solved, info


@cache
def sheets(*sections: str) -> tuple[str, ...]:
    solved, info = demo()
    data, drawn = class_data(solved, info), charts(solved, "letter")
    pdf = class_pages(data, drawn, paper="letter", theme_dir=THEME, sections=sections or SECTIONS)
    return tuple(" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def test_all_sheets_come_in_the_order_of_printing() -> None:
    pages = sheets()
    heads = ("Run sheet, first session", "Run sheet, third session", "Before the class", "Kits", "Before you switch on",
             "Tools out and in", "Safety sign-off")  # fmt: skip
    places = [next(n for n, page in enumerate(pages) if head in page) for head in heads]
    assert places == sorted(places)
    # Each sheet counts its own pages.
    assert "page 1 of 1" in pages[-1]
    last = places[2] - 1
    assert f"page {last + 1} of {last + 1}" in pages[last]


def test_the_run_sheet_says_who_is_where_when() -> None:
    solved, _ = demo()
    text = " ".join(sheets("runsheet"))
    for visit in solved.table.visits:
        assert f"{solved.table.grid.moment(visit.start):%H:%M}" in text
    shown = [common for common in solved.table.common if common.kind == "demonstration"]
    assert shown
    for common in shown:
        assert f"{solved.table.grid.moment(common.start):%H:%M}" in text
    # What the author wrote for the teacher, with a capital; the way out when it goes wrong; the checkpoint.
    assert "Look at every test piece before a side is touched" in text
    assert "Ready made: 2 of side" in text
    assert "7. the marks on both sides" in text
    assert "13. glue on" in text
    assert "do not start: it must be done in one go" in text


def test_the_charts_put_every_visit_in_its_row() -> None:
    solved, _ = demo()
    table, named = solved.table, numbers_of(solved)
    for session, one in enumerate(solved.one.sessions):
        steps = {key: f"step {number}" for key, number in named.items()}
        for picture in (
            station_chart(table, session, width=180, numbers=steps),
            group_chart(table, session, width=180, numbers=named, unit="pair"),
        ):
            assert picture.overlapping_labels() == ()
            assert picture.crossed_labels() == ()
            left, bottom, right, top = picture.bounds
            assert left >= 0
            assert bottom >= 0
            assert right <= picture.width + 0.01
            assert top <= picture.height + 0.01
            assert min(label.height for label in picture.labels) >= 2.2
        machines = {station.key for station in table.lesson.stations if station.set}
        here = [v for v in table.visits if one.start <= table.grid.moment(v.start) < one.end]
        at_machines = [place.station for visit in here for place in visit.places if place.station in machines]
        words = [label.text for label in station_chart(table, session, width=180, numbers=steps).labels]
        assert {word for word in words if word in machines} == set(at_machines)


def test_a_wall_sheet_has_its_signs_settings_and_hazard() -> None:
    solved, info = demo()
    found = {wall["station"]: wall for wall in walls(solved, info)}
    assert set(found) == {"drill press", "router", "sander"}
    press = found["drill press"]
    assert [sign["sign"] for sign in press["signs"]] == ["eyes", "no-gloves", "unplug"]
    assert press["age"] == 14
    assert press["hazard"]["signal"] == "WARNING"
    text = " ".join(sheets("wall"))
    assert "This sheet promises nothing" in text
    assert "Take out the chuck key before starting" in text


def test_the_kit_counts_every_part_for_all_with_spares() -> None:
    solved, info = demo()
    rows = {row["name"]: row for row in class_data(solved, info)["kit"]["bag"]}
    # A pair of sides for each of six pairs, and two kept ready.
    assert (rows["side"]["each"], rows["side"]["all"]) == (2, 14)
    assert (rows["seat"]["all"], rows["seat"]["prepared"]) == (6, "beforehand")
    assert rows["kick board"]["prepared"] == "at home"


def test_paper_by_area_stands_in_the_buying_list_and_not_among_the_kits() -> None:
    solved, info = demo()
    listed = {row["text"] for row in class_data(solved, info)["kit"]["bought"]}
    things = {thing.key: thing.text for thing in solved.one.plan.bought}
    assert things["abrasive paper"] not in listed
    assert things["shelf pin"] in listed


@pytest.mark.parametrize(
    ("price", "pairs", "even"),
    [
        # 12 a piece and 100 once: alone 100 / (20 - 12) = 12.5, so 13; in pairs 20 n >= 12 n / 2 + 100, n = 7.2.
        (20, False, 13),
        # 7 students: 140 against 3 x 12 + 100 = 136, one of them being third at a bench.
        (20, True, 7),
        (12, False, None),
        (100, False, 2),
    ],
)
def test_the_break_even_number_is_the_first_that_pays(price: int, pairs: bool, even: int | None) -> None:
    one = with_costs(demo()[0].one, price, pairs)
    assert break_even(one) == even


def with_costs(one: Class, price: int, pairs: bool) -> Class:
    rows = (Cost(what="wood", amount=Fraction(12), once=False), Cost(what="room", amount=Fraction(100), once=True))
    return replace(one, costs=rows, price=Fraction(price), pairs=pairs)


def test_the_costs_add_up() -> None:
    found = costs(demo()[0].one)
    # 6 x (62 + 14) + 150 + 120 = 726; 726 / 12 = 60.50; 12 x 70 - 726 = 114.
    assert (found["whole"], found["student"], found["left"]) == ("$ 726", "$ 60.50", "$ 114")


@pytest.mark.parametrize(
    ("numbers", "words"),
    [([1], "1"), ([2, 1], "1, 2"), ([1, 2, 3, 5], "1–3, 5"), ([4, 6, 5, 9, 10], "4–6, 9, 10"), ([], "")],
)
def test_place_numbers_are_said_shortly(numbers: list[int], words: str) -> None:
    assert numbers_in_words(numbers) == words


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, bytes]:
    findings = Findings()
    folder = class_book(
        tmp_path_factory.mktemp("book"),
        {"price": "40", "money": "$", "brings": "[an apron]", "prepared": "Saw the parts"},
    )
    results = make_site(folder, findings, Sources(), handouts=False)
    assert results is not None, [item.message for item in findings]
    return {result.path: result.data for result in results}


def test_the_page_says_what_when_and_how_much(site: Mapping[str, bytes]) -> None:
    page = site["classes/day/index.html"].decode()
    for words in ("A case in a day", "Tuesday, October 6, 2026", "09:00 to 16:00", "An apron", "$ 40", "Saw the parts"):
        assert words in page
    assert "Nobody under 14 works at the drill press" in page
    assert 'href="day/index.html"' in site["classes/index.html"].decode()
    assert ">Classes<" in site["index.html"].decode()


def test_the_calendar_holds_the_sessions(site: Mapping[str, bytes]) -> None:
    whole = icalendar.Calendar.from_ical(site["classes/day/day.ics"])
    (event,) = whole.walk("VEVENT")
    assert event["SUMMARY"] == "A case in a day"
    assert event.decoded("DTSTART").isoformat() == "2026-10-06T09:00:00+02:00"


def test_a_class_is_written_by_one_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = class_book(tmp_path / "book")
    assert run(["handout", "--class", "day", "--into", str(tmp_path / "out"), "--book", str(book)]) == 0
    written = sorted(path.name for path in (tmp_path / "out").iterdir())
    assert written == [
        "day-1-run-sheet.pdf", "day-2-before-the-class.pdf", "day-3-kits.pdf", "day-4-sawing-and-buying.pdf",
        "day-5-wall.pdf", "day-6-tools.pdf", "day-7-sign-off.pdf", "day-8-student-handout.pdf",
        "day.ics", "day.notes.yaml", "day.pdf",
    ]  # fmt: skip
    first = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    assert run(["handout", "--class", "day", "--into", str(tmp_path / "again"), "--book", str(book)]) == 0
    assert first == {path.name: path.read_bytes() for path in (tmp_path / "again").iterdir()}
    capsys.readouterr()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--class", "dai"], "write `day`"),
        ([], "name either a plan"),
        (["piece", "--class", "day"], "name either a plan"),
        (["--class", "day", "--edition", "metric"], "in its own file"),
    ],
)
def test_a_wrong_call_is_told(
    arguments: list[str], words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = class_book(tmp_path / "book")
    assert run(["handout", *arguments, "--into", str(tmp_path / "out"), "--book", str(book)]) == 2
    assert words in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
