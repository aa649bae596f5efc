"""Every call that can fail for want of space is made to fail once; the old site must stay whole."""

from __future__ import annotations

import errno
import os
import posixpath
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from planbook.publish import writer
from planbook.publish.manifest import MANIFEST, read_manifest
from planbook.publish.writer import STAGING, Result, commit
from planbook.source.diagnostics import Findings

PAGES = ("index.html", "a/index.html", "b/index.html", "c/index.html")


def site(words: str, pages: tuple[str, ...]) -> list[Result]:
    """A site whose pages all link to each other and to a stylesheet named by its content."""
    results = [Result(f"static/look.{words}.css", words.encode()), Result("parts.csv", words.encode())]
    for page in pages:
        here = posixpath.dirname(page) or "."
        links = [posixpath.relpath(path, here) for path in (*pages, "parts.csv", f"static/look.{words}.css")]
        results.append(Result(page, (words + "".join(f'<a href="{link}">x</a>' for link in links)).encode()))
    return results


OLD = site("old", PAGES)
NEW = site("new", (*PAGES[:3], "d/index.html"))


def assert_whole(folder: Path) -> None:
    """Every page of the old site that is still there finds all it links to."""
    for result in OLD:
        page = folder / result.path
        if page.suffix == ".html" and page.exists():
            for link in re.findall(r'href="([^"]*)"', page.read_text()):
                target = posixpath.normpath(posixpath.join(posixpath.dirname(result.path), link))
                assert (folder / target).exists(), f"{result.path} -> {link}"


def failing(call: Callable[..., object], at: int, seen: list[int]) -> Callable[..., object]:
    def wrapped(*given: object, **named: object) -> object:
        seen[0] += 1
        if seen[0] == at:
            raise OSError(errno.ENOSPC, "No space left on device")
        return call(*given, **named)

    return wrapped


@pytest.mark.parametrize("what", ["_write", "replace", "mkdir", "unlink"])
def test_a_full_disk_at_any_moment_leaves_the_old_site_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    for at in range(1, 40):
        folder = tmp_path / str(at)
        assert commit(OLD, folder, Findings())
        seen = [0]
        with monkeypatch.context() as patch:
            if what == "_write":
                patch.setattr(writer, "_write", failing(writer._write, at, seen))
            elif what == "replace":
                patch.setattr(os, "replace", failing(os.replace, at, seen))
            else:
                patch.setattr(Path, what, failing(getattr(Path, what), at, seen))
            findings = Findings()
            done = commit(NEW, folder, findings)
        assert_whole(folder)
        if seen[0] < at:
            assert done is not None
            break
        assert done is None
        assert [item.slug for item in findings] == ["no-space"]
        # The next run finishes the work and leaves nothing behind.
        assert commit(NEW, folder, Findings())
        left = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
        assert left == {*(result.path for result in NEW), MANIFEST}
    else:
        pytest.fail("the call never stopped being made")
    assert at > 1, "nothing was made to fail"


class Killed(BaseException):
    """Stands for a process that is gone: nothing cleans up."""


def test_a_run_killed_at_any_moment_leaves_the_old_site_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stops = 0
    for at in range(1, 60):
        folder = tmp_path / str(at)
        commit(OLD, folder, Findings())
        calls = [0]

        def dying(call: Callable[..., object], at: int = at, calls: list[int] = calls) -> Callable[..., object]:
            def wrapped(*given: object, **named: object) -> object:
                calls[0] += 1
                if calls[0] == at:
                    raise Killed
                return call(*given, **named)

            return wrapped

        with monkeypatch.context() as patch:
            patch.setattr(os, "replace", dying(os.replace))
            patch.setattr(writer, "_write", dying(writer._write))
            patch.setattr(Path, "unlink", dying(Path.unlink))
            try:
                commit(NEW, folder, Findings())
                break
            except Killed:
                stops += 1
        assert_whole(folder)
        # Another book's results come next: files of the interrupted run must not stay for ever.
        assert commit(OLD[:3], folder, Findings())
        left = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
        assert left == {*(result.path for result in OLD[:3]), MANIFEST}, at
    assert stops > 10


def test_two_interruptions_in_a_row_forget_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    commit(OLD, tmp_path, Findings())
    replace = os.replace
    for at in (6, 3, 5):
        seen = [0]

        def dying(*given: str, seen: list[int] = seen, at: int = at) -> None:
            seen[0] += 1
            if seen[0] == at:
                raise Killed
            replace(*given)

        with monkeypatch.context() as patch:
            patch.setattr(os, "replace", dying)
            with pytest.raises(Killed):
                commit(site(f"try{at}", (*PAGES, f"p{at}/index.html")), tmp_path, Findings())
    assert commit(OLD[:3], tmp_path, Findings())
    left = {path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*") if path.is_file()}
    assert left == {*(result.path for result in OLD[:3]), MANIFEST}


@pytest.mark.parametrize(
    ("code", "slug"),
    [
        (errno.EACCES, "not-writable"),
        (errno.EROFS, "not-writable"),
        (errno.EDQUOT, "no-space"),
        (errno.EIO, "not-written"),
    ],
)
def test_each_fault_of_the_disk_is_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, slug: str
) -> None:
    commit(OLD, tmp_path, Findings())

    def fail(*_: object, **__: object) -> None:
        raise OSError(code, os.strerror(code), str(tmp_path / "x"))

    monkeypatch.setattr(writer, "_write", fail)
    findings = Findings()
    assert commit(NEW, tmp_path, findings) is None
    assert [item.slug for item in findings] == [slug]
    assert "\n" not in findings.sorted()[0].message
    assert_whole(tmp_path)


def test_a_staging_name_that_is_a_link_is_not_followed(tmp_path: Path) -> None:
    out, outside = tmp_path / "out", tmp_path / "outside"
    commit(OLD, out, Findings())
    outside.mkdir()
    (outside / "keep").write_text("x")
    (out / STAGING).symlink_to(outside)
    assert commit(NEW, out, Findings())
    assert (outside / "keep").exists()
    assert set(read_manifest(out).files) == {result.path for result in NEW}
