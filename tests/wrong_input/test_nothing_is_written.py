"""A book that stops writes nothing, and an output that cannot be written to is told before any work is done."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from fixtures.small_books import CASE, plan_text, write_book

from planbook.cli.entry import TRACE, run

GOOD = plan_text(CASE)


@pytest.fixture(autouse=True)
def _traced(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(TRACE, "1")


def test_a_fault_leaves_the_old_site_as_it_was(tmp_path: Path) -> None:
    book = write_book(tmp_path / "book", GOOD.replace("deep: 10 in", "deep: 10"))
    site = tmp_path / "site"
    assert run(["publish", str(book), "--into", str(site)]) == 1
    assert not site.exists()
    site.mkdir()
    (site / "index.html").write_text("old")
    assert run(["publish", str(book), "--into", str(site)]) == 1
    assert [path.name for path in site.iterdir()] == ["index.html"]
    assert (site / "index.html").read_text() == "old"


def test_a_file_where_the_site_should_be(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = write_book(tmp_path / "book", GOOD)
    (tmp_path / "site").write_text("mine")
    begun = time.perf_counter()
    assert run(["publish", str(book), "--into", str(tmp_path / "site")]) == 3
    assert time.perf_counter() - begun < 5
    assert "is a file, a folder is wanted" in capsys.readouterr().err
    assert (tmp_path / "site").read_text() == "mine"


def test_the_site_within_the_book(tmp_path: Path) -> None:
    book = write_book(tmp_path / "book", GOOD)
    assert run(["publish", str(book), "--into", str(book / "plans")]) != 0
    assert sorted(path.name for path in (book / "plans").iterdir()) == ["piece"]


@pytest.mark.parametrize("command", ["show", "handout"])
def test_a_plan_that_stops_has_no_numbers_and_no_handout(tmp_path: Path, command: str) -> None:
    book = write_book(tmp_path / "book", GOOD.replace("deep: 10 in", "deep: 10"))
    more = ["cutlist"] if command == "show" else ["--into", str(tmp_path / "out.pdf")]
    assert run([command, "piece", *more, "--book", str(book)]) == 1
    assert not (tmp_path / "out.pdf").exists()
