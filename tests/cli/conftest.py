"""Running commands in this process, with the guard off: a fault of planbook itself fails the test."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from sample_commands import Command, Told

from planbook.cli.entry import TRACE, run

TESTS = Path(__file__).parent.parent


@pytest.fixture
def planbook(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Command:
    monkeypatch.setenv(TRACE, "1")

    def command(*words: object) -> Told:
        capsys.readouterr()
        code = run([str(word) for word in words])
        said = capsys.readouterr()
        return Told(code, said.out, said.err)

    return command


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Return a copy of the invented bookcase book, to be changed by a test."""
    target = tmp_path / "book"
    shutil.copytree(TESTS / "fixtures" / "target-a", target, ignore=shutil.ignore_patterns(".planbook"))
    return target
