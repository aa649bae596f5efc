"""Wrong books are read the way an author reads them: through `planbook check`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from fixtures.small_books import Check, Found

from planbook.cli.entry import TRACE, run


@pytest.fixture
def check(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Check:
    """Check a book that must not pass, and return its findings as data; an exception of planbook fails the test."""
    monkeypatch.setenv(TRACE, "1")

    def checked(folder: Path) -> Found:
        code = run(["check", str(folder), "--as", "json"])
        facts = json.loads(capsys.readouterr().out)
        found: Found = facts["findings"]
        stops = [item for item in found if item["severity"] == "stop"]
        assert stops, found
        assert code == facts["exit_code"]
        assert code in (1, 2)
        assert run(["check", str(folder)]) == code
        told = capsys.readouterr()
        assert "Traceback" not in told.err + told.out
        assert max(len(line) for line in told.err.split("\n")) < 1000
        for item in found:
            text = item["message"]
            assert text[:1] == text[:1].lower() or text.startswith("`"), text
            assert not text.endswith("."), text
            assert "\n" not in text, text
            assert f"[{item['slug']}]: " in told.err
            if item["file"] is not None:
                assert item["line"] >= 1
                assert item["column"] >= 1
                assert f"{item['file']}:{item['line']}:{item['column']}" in told.err
        return stops

    return checked
