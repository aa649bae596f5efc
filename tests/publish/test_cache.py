from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from planbook.publish.cache import STORE, Store, fingerprint, nothing_to_do
from planbook.publish.writer import STAGING, Result, commit
from planbook.source.diagnostics import Findings


def test_fingerprint_follows_content_names_and_options(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("1")
    first = fingerprint([tmp_path], ["x"])
    assert fingerprint([tmp_path], ["x"]) == first
    assert fingerprint([tmp_path], ["y"]) != first
    (tmp_path / "a").write_text("2")
    second = fingerprint([tmp_path], ["x"])
    assert second != first
    (tmp_path / "a").rename(tmp_path / "b")
    assert fingerprint([tmp_path], ["x"]) not in (first, second)


def test_fingerprint_passes_over_hidden_files_and_the_store(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("1")
    first = fingerprint([tmp_path], [])
    (tmp_path / ".hidden").write_text("x")
    Store(tmp_path).put("pictures", "key", b"x")
    assert fingerprint([tmp_path], []) == first


def test_store_gives_back_what_it_kept(tmp_path: Path) -> None:
    Store(tmp_path).put("pictures", "key", b"some\nbytes")
    store = Store(tmp_path)
    assert store.get("pictures", "key") == b"some\nbytes"
    assert store.get("pictures", "other") is None
    assert (tmp_path / STORE / ".gitignore").read_text() == "*\n"


def test_a_damaged_entry_counts_as_missing(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.put("pictures", "key", b"bytes")
    [path] = (tmp_path / STORE / "pictures").iterdir()
    for damaged in (b"", b"x", path.read_bytes()[:-1], path.read_bytes() + b"x"):
        path.write_bytes(damaged)
        assert store.get("pictures", "key") is None


def test_a_store_that_cannot_be_written_does_no_harm(tmp_path: Path) -> None:
    (tmp_path / STORE).write_text("a file in the way")
    store = Store(tmp_path)
    store.put("pictures", "key", b"x")
    assert store.get("pictures", "key") is None
    store.forget_unused(["pictures"])


def test_what_a_run_did_not_use_is_forgotten(tmp_path: Path) -> None:
    old = Store(tmp_path)
    old.put("pictures", "a", b"1")
    old.put("pictures", "b", b"2")
    new = Store(tmp_path)
    new.get("pictures", "b")
    new.forget_unused(["pictures", "handouts"])
    assert Store(tmp_path).get("pictures", "a") is None
    assert Store(tmp_path).get("pictures", "b") == b"2"


def test_nothing_to_do_sees_every_change(tmp_path: Path) -> None:
    results = [Result("index.html", b"1"), Result("a/b.css", b"2")]
    commit(results, tmp_path, Findings(), fingerprint="f")
    assert nothing_to_do(tmp_path, "f")
    assert not nothing_to_do(tmp_path, "g")
    assert not nothing_to_do(tmp_path, "")
    assert not nothing_to_do(tmp_path / "elsewhere", "f")
    (tmp_path / STAGING).mkdir()
    assert not nothing_to_do(tmp_path, "f")
    (tmp_path / STAGING).rmdir()
    (tmp_path / "a/b.css").write_bytes(b"3")
    assert not nothing_to_do(tmp_path, "f")
    (tmp_path / "a/b.css").unlink()
    assert not nothing_to_do(tmp_path, "f")


def test_the_publisher_starts_without_its_heavy_libraries() -> None:
    heavy = ["matplotlib", "pint", "typst", "jinja2", "numpy", "shapely", "manifold3d", "pydantic", "markdown_it"]
    code = f"import sys, json, planbook.publish.site; print(json.dumps([m for m in {heavy!r} if m in sys.modules]))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert json.loads(done.stdout) == []
