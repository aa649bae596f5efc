from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planbook.source.diagnostics import Diagnostic, Findings
from planbook.source.files import LARGEST, SourceFile, Sources, inside_path, read_source
from planbook.source.yaml_nodes import load


def read(root: Path, name: str) -> tuple[SourceFile | None, list[Diagnostic]]:
    findings = Findings()
    return read_source(root, name, findings), list(findings)


def refused(root: Path, name: str) -> Diagnostic:
    source, found = read(root, name)
    assert source is None
    assert len(found) == 1
    return found[0]


def test_line_ends_and_byte_order_mark_do_not_move_lines_or_columns(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_bytes("\ufeffhigh: 3 in\r\nwide: é\rdeep: x\n".encode())
    source, found = read(tmp_path, "a.yaml")
    assert found == []
    assert source is not None
    assert source.text == "high: 3 in\nwide: é\ndeep: x\n"
    assert source.lines == ("high: 3 in", "wide: é", "deep: x", "")
    assert source.excerpt(2, 3).text == "wide: é\ndeep: x"


def test_a_missing_file_offers_the_nearest_one(tmp_path: Path) -> None:
    (tmp_path / "plans").mkdir()
    (tmp_path / "plans" / "bench.yaml").write_text("a: b")
    fault = refused(tmp_path, "plans/bnech.yaml")
    assert fault.slug == "missing-file"
    assert fault.help == "write `bench.yaml`"
    assert refused(tmp_path, "plans\\bench.yaml").help == "write the path with forward slashes: `plans/bench.yaml`"


@pytest.mark.parametrize("name", ["x" * 5000, "a\0b", "nowhere/at/all.yaml"])
def test_impossible_paths_are_missing_files(tmp_path: Path, name: str) -> None:
    assert refused(tmp_path, name).slug == "missing-file"


def test_a_folder_and_a_pipe_are_no_files(tmp_path: Path) -> None:
    (tmp_path / "plans").mkdir()
    os.mkfifo(tmp_path / "pipe")
    assert refused(tmp_path, "plans").message == "`plans` is a folder, a file is wanted"
    assert refused(tmp_path, "pipe").slug == "not-a-file"


def test_a_large_file_is_refused_with_both_sizes(tmp_path: Path) -> None:
    (tmp_path / "big.yaml").write_bytes(b"a" * (LARGEST + 100_000))
    fault = refused(tmp_path, "big.yaml")
    assert fault.slug == "file-too-large"
    assert "2.1 MB" in fault.message
    assert "2 MB" in fault.message


@pytest.mark.parametrize(
    ("data", "place"),
    [
        (b"a: b\nc: \xff", (2, 4)),
        (b"a: \0", (1, 4)),
        ("é\nü: ".encode() + b"\xc3\x28", (2, 4)),
        (b"\xff\xfea\0", (1, 1)),
    ],
)
def test_what_is_not_text_is_located(tmp_path: Path, data: bytes, place: tuple[int, int]) -> None:
    (tmp_path / "a.yaml").write_bytes(data)
    fault = refused(tmp_path, "a.yaml")
    assert fault.slug == "not-text"
    assert fault.span is not None
    assert (fault.span.line, fault.span.column) == place


@pytest.mark.parametrize("data", [b"", b"  \r\n\n", "\ufeff".encode()])
def test_an_empty_file_is_told(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "a.yaml").write_bytes(data)
    assert refused(tmp_path, "a.yaml").slug == "empty-file"


def test_no_path_leads_out_of_the_book(tmp_path: Path) -> None:
    book = tmp_path / "book"
    (book / "plans").mkdir(parents=True)
    (tmp_path / "secret.yaml").write_text("a: b")
    (book / "link.yaml").symlink_to(tmp_path / "secret.yaml")
    (book / "out").symlink_to(tmp_path)
    for name in (
        "../secret.yaml",
        "link.yaml",
        "out/secret.yaml",
        str(tmp_path / "secret.yaml"),
        "plans/../../secret.yaml",
    ):
        assert refused(book, name).slug == "outside-the-book", name
    (book / "kept.yaml").write_text("a: b")
    (book / "inner.yaml").symlink_to(book / "kept.yaml")
    assert read(book, "inner.yaml")[0] is not None
    assert inside_path(book, "plans/../kept.yaml", Findings()) == (book / "kept.yaml").resolve()


def test_a_link_that_goes_in_a_circle_is_told(tmp_path: Path) -> None:
    (tmp_path / "round.yaml").symlink_to(tmp_path / "round.yaml")
    assert refused(tmp_path, "round.yaml").slug == "missing-file"


def test_sources_keep_lines_for_reports(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("one: 1\ntwo: 2\n")
    sources, findings = Sources(), Findings()
    assert sources.read(tmp_path, "a.yaml", findings) is not None
    assert sources.read(tmp_path, "b.yaml", findings) is None
    assert sources.line("a.yaml", 2) == "two: 2"
    assert sources.line("a.yaml", 9) is None
    assert sources.line("b.yaml", 1) is None
    assert [source.name for source in sources] == ["a.yaml"]


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=200))
def test_any_bytes_give_a_node_or_a_finding(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "a.yaml").write_bytes(data)
    findings = Findings()
    source = read_source(tmp_path, "a.yaml", findings)
    node = load(source, findings) if source is not None else None
    assert node is not None or findings.stopped
