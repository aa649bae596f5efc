from __future__ import annotations

import os
from pathlib import Path

import pytest

from planbook.publish.manifest import MANIFEST, read_manifest
from planbook.publish.writer import STAGING, Result, check_output, commit
from planbook.source.diagnostics import Findings


def site(*, words: str = "one", more: tuple[str, ...] = ()) -> list[Result]:
    pages = ["index.html", "plans/bench/index.html", *more]
    links = "".join(f'<a href="{page}">x</a>' for page in pages if page != "index.html")
    home = f'<link href="static/a.{words}.css">{links}'
    return [
        Result("index.html", home.encode()),
        Result("plans/bench/index.html", f"<p>{words}</p>".encode()),
        Result(f"static/a.{words}.css", words.encode()),
        *(Result(page, b"<p>more</p>") for page in more),
    ]


def write(results: list[Result], into: Path) -> tuple[Findings, object]:
    findings = Findings()
    return findings, commit(results, into, findings)


def files(folder: Path) -> dict[str, bytes]:
    found = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def test_first_run_writes_everything_and_a_manifest(tmp_path: Path) -> None:
    findings, done = write(site(), tmp_path / "out")
    assert not findings.stopped
    assert set(done.written) == {"index.html", "plans/bench/index.html", "static/a.one.css"}
    assert set(files(tmp_path / "out")) == {*done.written, MANIFEST}


def test_second_run_touches_nothing(tmp_path: Path) -> None:
    write(site(), tmp_path)
    before = {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*")}
    _, done = write(site(), tmp_path)
    assert done.written == ()
    assert done.removed == ()
    assert len(done.unchanged) == 3
    assert {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*")} == before


def test_only_what_changed_is_written_and_what_is_gone_removed(tmp_path: Path) -> None:
    write(site(more=("old/deep/index.html",)), tmp_path)
    same = (tmp_path / "plans/bench/index.html").stat().st_mtime_ns
    results = [Result("plans/bench/index.html", b"<p>one</p>"), Result("index.html", b"new")]
    _, done = write(results, tmp_path)
    assert done.written == ("index.html",)
    assert done.removed == ("old/deep/index.html", "static/a.one.css")
    assert not (tmp_path / "old").exists()
    assert (tmp_path / "plans/bench/index.html").stat().st_mtime_ns == same


def test_files_of_others_stay(tmp_path: Path) -> None:
    (tmp_path / ".git").mkdir()
    (tmp_path / ".git/HEAD").write_text("x")
    (tmp_path / "CNAME").write_text("example.org")
    (tmp_path / "plans").mkdir()
    (tmp_path / "plans/mine.txt").write_text("mine")
    write(site(), tmp_path)
    write([Result("index.html", b"only")], tmp_path)
    left = files(tmp_path)
    assert left[".git/HEAD"] == b"x"
    assert left["CNAME"] == b"example.org"
    assert left["plans/mine.txt"] == b"mine"
    assert "plans/bench/index.html" not in left


def test_a_file_of_somebody_else_is_not_overwritten(tmp_path: Path) -> None:
    (tmp_path / "index.html").write_text("my own page")
    findings, done = write(site(), tmp_path)
    assert done is None
    assert [item.slug for item in findings] == ["file-in-the-way"]
    assert files(tmp_path) == {"index.html": b"my own page"}


def test_an_equal_file_of_somebody_else_is_taken_over(tmp_path: Path) -> None:
    (tmp_path / "index.html").write_bytes(site()[0].data)
    findings, done = write(site(), tmp_path)
    assert not findings.stopped
    assert "index.html" in done.unchanged


def test_hand_made_changes_are_told(tmp_path: Path) -> None:
    write(site(more=("gone.html",)), tmp_path)
    (tmp_path / "index.html").write_text("edited, and longer than before")
    (tmp_path / "gone.html").write_text("edited too, and longer")
    findings, done = write(site(words="two"), tmp_path)
    assert [item.slug for item in findings] == ["changed-by-hand", "left-in-place"]
    assert (tmp_path / "index.html").read_bytes() == site(words="two")[0].data
    assert (tmp_path / "gone.html").exists()
    assert "gone.html" not in done.removed


def test_touching_a_file_changes_nothing(tmp_path: Path) -> None:
    write(site(), tmp_path)
    os.utime(tmp_path / "index.html", (1, 1))
    _, done = write(site(), tmp_path)
    assert done.written == ()


def test_symbolic_links_are_not_followed(tmp_path: Path) -> None:
    outside, out = tmp_path / "outside", tmp_path / "out"
    outside.mkdir()
    out.mkdir()
    (out / "plans").symlink_to(outside)
    findings, done = write(site(), out)
    assert done is None
    assert [item.slug for item in findings] == ["link-in-the-way"]
    assert files(outside) == {}


def test_a_link_in_place_of_a_page_is_replaced_not_written_through(tmp_path: Path) -> None:
    out, target = tmp_path / "out", tmp_path / "target.html"
    write(site(), out)
    target.write_text("keep me")
    (out / "index.html").unlink()
    (out / "index.html").symlink_to(target)
    findings, _ = write(site(), out)
    assert not findings.stopped
    assert target.read_text() == "keep me"
    assert not (out / "index.html").is_symlink()


def test_two_results_that_are_one_file_on_some_disks(tmp_path: Path) -> None:
    findings, done = write([Result("A.html", b"1"), Result("a.html", b"2")], tmp_path)
    assert done is None
    assert [item.slug for item in findings] == ["same-address"]


@pytest.mark.parametrize("path", ["../x", "/x", "a//b", "a/../b", "", "a\\b", "C:/x", STAGING + "/x"])
def test_paths_that_leave_the_folder_are_refused(tmp_path: Path, path: str) -> None:
    findings, done = write([Result(path, b"x")], tmp_path / "out")
    assert done is None
    assert [item.slug for item in findings] == ["unusable-name"]
    assert files(tmp_path) == {}


@pytest.mark.parametrize(
    "raw", [b"", b"{", b"[]", b'{"form": 1}', b'{"form":1,"fingerprint":"","files":{"a":[1]}}', b"\xff"]
)
def test_a_broken_manifest_counts_as_none(tmp_path: Path, raw: bytes) -> None:
    (tmp_path / MANIFEST).write_bytes(raw)
    assert read_manifest(tmp_path).files == {}
    findings, done = write(site(), tmp_path)
    assert not findings.stopped
    assert len(done.written) == 3


def test_a_manifest_cannot_name_files_outside(tmp_path: Path) -> None:
    outside = tmp_path / "keep.txt"
    outside.write_text("keep")
    out = tmp_path / "out"
    write(site(), out)
    raw = (out / MANIFEST).read_text().replace('"index.html"', '"../keep.txt"')
    (out / MANIFEST).write_text(raw)
    write(site(), out)
    assert outside.read_text() == "keep"


def test_output_may_not_lie_among_the_sources_nor_around_the_book(tmp_path: Path) -> None:
    book = tmp_path / "book"
    book.mkdir()
    for into in (book, book / "plans" / "site", tmp_path):
        findings = Findings()
        assert not check_output(into, book, findings)
        assert [item.slug for item in findings] == ["output-in-book"]
    assert check_output(tmp_path / "site", book, Findings())
    assert check_output(book / "site", book, Findings())


def test_output_that_is_a_file_or_below_one(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    for into in (tmp_path / "file", tmp_path / "file/site"):
        findings = Findings()
        assert not check_output(into, tmp_path / "book", findings)
        assert [item.slug for item in findings] == ["not-a-folder"]
    findings, done = write(site(), tmp_path / "file")
    assert done is None
    assert [item.slug for item in findings] == ["not-a-folder"]


def test_output_that_may_not_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "access", lambda *_, **__: False)
    findings = Findings()
    assert not check_output(tmp_path / "site", tmp_path / "book", findings)
    assert [item.slug for item in findings] == ["not-writable"]
