"""The demo book as it is shipped."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from planbook.cli.entry import run

CONTENT = Path(__file__).parents[2] / "content"


def test_its_plans_and_classes_pass_every_check(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = tmp_path / "content"
    shutil.copytree(CONTENT, book, ignore=shutil.ignore_patterns(".planbook"))
    run(["check", str(book)])
    told = capsys.readouterr()
    assert told.err == ""
    assert told.out.strip().endswith("3 plans worked out in imperial and metric, no findings")
