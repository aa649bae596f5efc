"""Progress of long work: a bar on a terminal, nothing where nobody looks."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent


def command(book: Path, into: Path) -> list[str]:
    return [sys.executable, "-m", "planbook", "publish", str(book), "--into", str(into)]


def test_a_pipe_gets_no_bar(book: Path, tmp_path: Path) -> None:
    done = subprocess.run(command(book, tmp_path / "site"), cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stderr == ""
    assert done.stdout.count("\n") == 1
    assert "\x1b" not in done.stdout


@pytest.mark.skipif(sys.platform == "win32", reason="no terminal to make here")
def test_a_terminal_sees_what_is_being_made(book: Path, tmp_path: Path) -> None:
    ours, theirs = pty.openpty()
    plain = {key: value for key, value in os.environ.items() if key not in ("CI", "NO_COLOR")} | {"TERM": "xterm"}
    with subprocess.Popen(
        command(book, tmp_path / "site"), cwd=ROOT, stdout=subprocess.PIPE, stderr=theirs, env=plain
    ) as running:
        os.close(theirs)
        shown = b""
        try:
            while more := os.read(ours, 4096):
                shown += more
        except OSError:
            pass  # the other side has gone: that is how a terminal ends
        finally:
            os.close(ours)
        assert running.wait() == 0
    assert b"reading the book" in shown
    # When the work is done the bar is wiped away: a terminal is told to clear its line.
    assert shown.rfind(b"\x1b[2K") > shown.rfind(b"making" if b"making" in shown else b"reading the book")
