"""The commands on an invented book: what they print where, and how they end."""

from __future__ import annotations

import csv
import errno
import io
import json
from pathlib import Path

import pytest
from pypdf import PdfReader
from sample_commands import Command, changed

from planbook.cli import books, exits


def test_a_good_book_passes(planbook: Command, book: Path) -> None:
    told = planbook("check", book)
    assert told.code == exits.FINE
    assert f"{book}: 1 plan worked out in imperial and metric" in told.out
    assert "stop[" not in told.err


def test_a_fault_is_shown_with_its_line_and_a_mark_on_standard_error(planbook: Command, book: Path) -> None:
    changed(book / "plans/bookcase/plan.yaml", "width: kick,", "width: kik,")
    told = planbook("check", book)
    assert told.code == exits.STOPPED
    assert "stop[unknown-name]" in told.err
    assert "--> plans/bookcase/plan.yaml:" in told.err
    assert "^^^" in told.err
    assert "write `kick`" in told.err
    assert "1 finding that stops" in told.out
    assert "stop[" not in told.out
    # Nothing colours a text that is not read on a terminal.
    assert "\x1b" not in told.err


def test_all_faults_come_at_once(planbook: Command, book: Path) -> None:
    changed(book / "plans/bookcase/plan.yaml", "kick: 3 in", "kick: 3")
    changed(book / "plans/bookcase/steps.md", "{cuts: [panel], joins", "{cuts: [panle], joins")
    told = planbook("check", book)
    assert told.code == exits.STOPPED
    assert "stop[wrong-unit]" in told.err
    assert "stop[unknown-claim]" in told.err


def test_findings_as_data(planbook: Command, book: Path) -> None:
    changed(book / "plans/bookcase/plan.yaml", "width: kick,", "width: kik,")
    told = planbook("check", book, "--as", "json")
    assert told.code == exits.STOPPED
    assert told.err == ""
    data = json.loads(told.out)
    assert data["exit_code"] == exits.STOPPED
    found = [item for item in data["findings"] if item["slug"] == "unknown-name"]
    assert found[0]["file"] == "plans/bookcase/plan.yaml"
    assert found[0]["severity"] == "stop"
    line = (book / found[0]["file"]).read_text("utf-8").split("\n")[found[0]["line"] - 1]
    assert line[found[0]["column"] - 1 : found[0]["end_column"] - 1] == "kik"


@pytest.mark.parametrize("command", ["check", "publish"])
def test_a_folder_that_is_no_book_is_wrong_use(planbook: Command, tmp_path: Path, command: str) -> None:
    extra = ["--into", tmp_path / "site"] if command == "publish" else []
    (tmp_path / "empty").mkdir()
    for place in (tmp_path / "empty", tmp_path / "nowhere"):
        told = planbook(command, place, *extra)
        assert told.code == exits.WRONG_USE
        assert "no-book" in told.err


def test_a_file_that_the_disk_does_not_give_out_is_3(
    planbook: Command, book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = Path.open

    def refused(path: Path, *args: object, **kwargs: object) -> object:
        if path.name == "plan.yaml":
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return opened(path, *args, **kwargs)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", refused)
    told = planbook("check", book)
    assert told.code == exits.DISK
    assert "unreadable-file" in told.err


def test_the_book_is_found(planbook: Command, book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(book)
    assert planbook("check").out.startswith(".: 1 plan")
    monkeypatch.chdir(book.parent)
    book.rename(book.parent / "content")
    assert planbook("check").out.startswith("content: 1 plan")


def test_an_empty_folder_gets_the_demo_book(planbook: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    told = planbook("show", "boot-bench", "steps")
    assert told.code == exits.FINE
    assert "this is the demo book" in told.err
    assert told.out.startswith("step ")


def test_without_a_demo_book_it_asks_for_one(
    planbook: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(books, "shipped", lambda _name: None)
    told = planbook("check")
    assert told.code == exits.WRONG_USE
    assert "planbook.yaml" in told.err


def test_a_table_reads_from_top_to_bottom(planbook: Command, book: Path) -> None:
    told = planbook("show", "bookcase", "cutlist", "--book", book)
    assert told.code == exits.FINE
    lines = told.out.split("\n")
    assert lines[0].startswith("letter  pieces  part")
    assert set(lines[1]) == {"-", " "}
    assert lines[2].startswith("A       2       side")


@pytest.mark.parametrize(
    ("edition", "sizes"),
    [
        # Worked out by hand: 30 less two sides of 23/32, and 1/4 less 1/64 room in each side; 18 mm, 6 and 0.5 mm.
        ("imperial", {"bottom.length": "29 1/32 in", "loose shelf.length": "28 7/16 in", "ply.thick": "23/32 in"}),
        ("metric", {"bottom.length": "735 mm", "loose shelf.length": "720 mm", "ply.thick": "18 mm"}),
    ],
)
def test_sizes_are_those_worked_out_by_hand(planbook: Command, book: Path, edition: str, sizes: dict[str, str]) -> None:
    told = planbook("show", "bookcase", "sizes", "--book", book, "--edition", edition, "--as", "json")
    rows = {row["name"]: row["size"] for row in json.loads(told.out)}
    assert {name: rows[name] for name in sizes} == sizes


@pytest.mark.parametrize(
    ("edition", "column", "sizes"),
    [
        # 1 in = 25.4 mm (NIST SP 811, B.6): 30 in = 762 mm and 29 1/32 in = 737.39 mm; not resized to 760, 735.
        ("imperial", "same size in millimetres", {"wide": "762 mm", "bottom.length": "about 737.4 mm"}),
        # 735 mm / 25.4 = 28.937 in, between 28 59/64 and 28 15/16, nearer to the second; 18 mm is nearest to 45/64 in.
        ("metric", "same size in inches", {"bottom.length": "about 28 15/16 in", "ply.thick": "about 45/64 in"}),
    ],
)
def test_soft_conversion_keeps_the_size_and_changes_the_unit(
    planbook: Command, book: Path, edition: str, column: str, sizes: dict[str, str]
) -> None:
    words = ("show", "bookcase", "sizes", "--book", book, "--edition", edition, "--as", "json")
    rows = json.loads(planbook(*words, "--soft").out)
    assert {row["name"]: row[column] for row in rows if row["name"] in sizes} == sizes
    hard = {row["name"]: row["size"] for row in json.loads(planbook(*words).out)}
    assert {row["name"]: row["size"] for row in rows} == hard


def test_soft_conversion_is_one_of_sizes(planbook: Command, book: Path) -> None:
    told = planbook("show", "bookcase", "cutlist", "--book", book, "--soft")
    assert told.code == exits.WRONG_USE
    assert "sizes --soft" in told.err


@pytest.mark.parametrize("what", ["cutlist", "materials", "tools", "steps", "sizes"])
def test_the_three_forms_of_a_table_say_the_same(planbook: Command, book: Path, what: str) -> None:
    plain, table, data = (
        planbook("show", "bookcase", what, "--book", book, "--as", form).out for form in ("table", "csv", "json")
    )
    rows = list(csv.reader(io.StringIO(table)))
    assert len(rows) > 1
    assert [list(row.values()) for row in json.loads(data)] == rows[1:]
    assert list(json.loads(data)[0]) == rows[0]
    for line, row in zip(plain.split("\n")[2:], rows[1:], strict=False):
        assert all(cell in line for cell in row)


def test_a_plan_that_is_not_there_is_wrong_use(planbook: Command, book: Path) -> None:
    told = planbook("show", "bokcase", "sizes", "--book", book)
    assert told.code == exits.WRONG_USE
    assert "`bookcase`" in told.err


def test_a_table_of_a_plan_with_a_fault_tells_it(planbook: Command, book: Path) -> None:
    changed(book / "plans/bookcase/plan.yaml", "kick: 3 in", "kick: 3")
    told = planbook("show", "bookcase", "sizes", "--book", book)
    assert (told.code, told.out) == (exits.STOPPED, "")
    assert "wrong-unit" in told.err


def test_publishing_writes_once_and_then_only_what_changed(planbook: Command, book: Path, tmp_path: Path) -> None:
    site = tmp_path / "site"
    first = planbook("publish", book, "--into", site)
    assert first.code == exits.FINE
    assert (site / "index.html").is_file()
    assert " 0 unchanged, 0 removed" in first.out
    assert f"{site}: 0 written, " in planbook("publish", book, "--into", site).out
    changed(book / "planbook.yaml", "title: One bookcase", "title: One bookcase more")
    third = planbook("publish", book, "--into", site)
    assert f"{site}: 0 written" not in third.out
    assert " 0 unchanged" not in third.out


def test_nothing_is_written_while_something_stops(planbook: Command, book: Path, tmp_path: Path) -> None:
    site = tmp_path / "site"
    changed(book / "plans/bookcase/plan.yaml", "kick: 3 in", "kick: 3")
    told = planbook("publish", book, "--into", site)
    assert told.code == exits.STOPPED
    assert "nothing was written, 1 finding that stops" in told.out
    assert not site.exists()


def test_output_among_the_sources_is_wrong_use(planbook: Command, book: Path) -> None:
    before = sorted(path for path in book.rglob("*") if ".planbook" not in path.parts)
    for into in (book, book.parent, book / "plans" / "bookcase"):
        assert planbook("publish", book, "--into", into).code == exits.WRONG_USE
    assert sorted(path for path in book.rglob("*") if ".planbook" not in path.parts) == before


def test_a_file_in_place_of_the_output_folder_is_3(planbook: Command, book: Path, tmp_path: Path) -> None:
    (tmp_path / "site").write_text("mine")
    told = planbook("publish", book, "--into", tmp_path / "site")
    assert told.code == exits.DISK
    assert "not-a-folder" in told.err
    assert (tmp_path / "site").read_text() == "mine"


# ISO 216: A4 is 210 x 297 mm; ANSI/ASME Y14.1: size A (Letter) is 8.5 x 11 in.
@pytest.mark.parametrize(
    ("edition", "paper", "size"), [("metric", "a4", (595.3, 841.9)), ("imperial", "letter", (612, 792))]
)
def test_a_handout_is_a_pdf_of_that_paper(
    planbook: Command, book: Path, tmp_path: Path, edition: str, paper: str, size: tuple[float, float]
) -> None:
    into = tmp_path / "new" / "case.pdf"
    told = planbook("handout", "bookcase", "--book", book, "--edition", edition, "--paper", paper, "--into", into)
    assert told.code == exits.FINE
    pages = PdfReader(into).pages
    assert len(pages) > 5
    assert (float(pages[0].mediabox.width), float(pages[0].mediabox.height)) == pytest.approx(size, abs=0.5)
    assert [entry.name for entry in into.parent.iterdir()] == ["case.pdf"]
    by_default = tmp_path / "default.pdf"
    planbook("handout", "bookcase", "--book", book, "--edition", edition, "--into", by_default)
    assert by_default.read_bytes() == into.read_bytes()


def test_a_handout_wants_the_name_of_a_pdf(planbook: Command, book: Path, tmp_path: Path) -> None:
    told = planbook("handout", "bookcase", "--book", book, "--into", tmp_path / "case")
    assert told.code == exits.WRONG_USE
    assert "bookcase.pdf" in told.err


def test_an_explanation_has_all_its_parts(planbook: Command) -> None:
    told = planbook("why", "tight-minus")
    assert told.code == exits.FINE
    assert told.out.startswith("tight-minus\n\n")
    for word in ("For example:", "Instead:", "Source:", "16 - 1/2 in"):
        assert word in told.out
    assert max(map(len, told.out.split("\n"))) <= 96


def test_an_explanation_may_be_asked_as_it_is_shown(planbook: Command) -> None:
    assert planbook("why", "[cycle]").out == planbook("why", "cycle").out


def test_a_finding_that_is_not_there_gets_the_nearest(planbook: Command) -> None:
    told = planbook("why", "wrong-units")
    assert told.code == exits.WRONG_USE
    assert "`wrong-unit`" in told.err


def test_all_findings_are_listed(planbook: Command) -> None:
    lines = planbook("why").out.strip().split("\n")
    assert len(lines) > 100
    assert lines == sorted(lines)


def test_what_a_command_has_no_use_for_is_not_dropped_in_silence(planbook: Command, book: Path, tmp_path: Path) -> None:
    told = planbook("show", "bookcase", "cutlist", "--students", "3", "--book", book)
    assert (told.code, "goes with `layout` and `buying`" in told.err) == (exits.WRONG_USE, True)
    hours = ("--free", "Saturday 10:00 to 16:00")
    told = planbook("handout", "--class", "weekend", *hours, "--into", tmp_path / "papers", "--book", book)
    assert (told.code, "is for one person alone" in told.err) == (exits.WRONG_USE, True)
    words = ("handout", "bookcase", *hours, "--zone", "Europe/Oslo", "--into", tmp_path / "a.ics", "--book", book)
    told = planbook(*words, "--from", "9999-12-31")
    assert (told.code, "is no day of the calendar" in told.err) == (exits.WRONG_USE, True)
