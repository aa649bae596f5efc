"""The command itself: help, version, exit codes, the guard, and what is not loaded."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import click
import pytest

from planbook import __version__
from planbook.cli import entry, exits
from planbook.cli.entry import TRACE, command, run
from planbook.source.diagnostics import Findings

ROOT = Path(__file__).parent.parent.parent
HEAVY = ("matplotlib", "pint", "typst", "numpy", "pydantic", "jinja2", "manifold3d", "shapely", "markdown_it")


def loaded_by(code: str, *, cwd: Path = ROOT) -> set[str]:
    """Return which heavy libraries a new process has loaded after running some code."""
    report = f"import sys\n{code}\nprint('LOADED', *[name for name in {HEAVY!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", report], cwd=cwd, capture_output=True, text=True, check=True)
    return set(done.stdout.rstrip().rpartition("\n")[2].split()[1:])


def test_the_import_loads_nothing_heavy() -> None:
    assert loaded_by("import planbook") == set()


@pytest.mark.parametrize(
    "words", [["--help"], ["--version"], ["check", "--help"], ["publish", "--help"], ["why", "cycle"]]
)
def test_help_loads_nothing_heavy(words: list[str]) -> None:
    assert loaded_by(f"from planbook.cli.entry import run\nassert run({words!r}) == 0") == set()


def test_a_check_loads_no_library_of_pictures_or_print() -> None:
    loaded = loaded_by("from planbook.cli.entry import run\nassert run(['check', 'tests/fixtures/target-a']) == 0")
    assert "pydantic" in loaded
    assert not loaded & {"matplotlib", "pint", "typst", "jinja2"}


def test_the_help_says_what_it_is_the_usual_order_and_the_exit_codes(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--help"]) == 0
    out = capsys.readouterr().out
    order = ["planbook check", "planbook why", "planbook show", "planbook publish", "planbook handout"]
    places = [out.index(words) for words in order]
    assert places == sorted(places)
    for code in (exits.FINE, exits.STOPPED, exits.WRONG_USE, exits.DISK, exits.OWN_FAULT, exits.INTERRUPTED):
        assert f"\n    {code} " in out
    for name in command.commands:
        assert f"\n  {name} " in out


@pytest.mark.parametrize("name", sorted(command.commands))
def test_every_command_has_help_of_its_own(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([name, "--help"]) == 0
    assert len(capsys.readouterr().out.split()) > 30


def test_the_version_is_that_of_the_package(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--version"]) == 0
    assert capsys.readouterr().out == f"planbook {__version__}\n"


@pytest.mark.parametrize(
    "words", [["chek"], ["check", "--as", "xml"], ["show", "bookcase", "everything"], ["handout", "x"]]
)
def test_wrong_use_is_2(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(words) == exits.WRONG_USE
    said = capsys.readouterr()
    assert said.out == ""
    assert "Error" in said.err


@pytest.mark.parametrize(
    ("slugs", "code"),
    [
        ([], exits.FINE),
        (["wrong-unit"], exits.STOPPED),
        (["no-book"], exits.WRONG_USE),
        (["output-in-book"], exits.WRONG_USE),
        (["no-space"], exits.DISK),
        (["unreadable-file", "missing-word"], exits.DISK),
    ],
)
def test_the_findings_decide_the_code(slugs: list[str], code: int) -> None:
    findings = Findings()
    findings.warn("no-space", "a warning of whatever kind changes nothing")
    for slug in slugs:
        findings.stop(slug, "made for this test")
    assert exits.exit_code(findings) == code


def failing(fault: BaseException) -> click.Group:
    @click.group()
    def group() -> None:
        raise fault

    group.add_command(click.Command("now"))
    return group


def test_the_guard_tells_a_fault_of_its_own_on_one_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.delenv(TRACE, raising=False)
    monkeypatch.setattr(entry, "command", failing(KeyError("side\nboard")))
    assert run(["now"]) == exits.OWN_FAULT
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert said.err.startswith("planbook: this is a fault of planbook itself: KeyError: ")
    assert "test_entry.py, line" in said.err
    assert f"{TRACE}=1" in said.err
    assert "Traceback" not in said.err


def test_the_guard_lets_the_whole_story_through_when_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(TRACE, "1")
    monkeypatch.setattr(entry, "command", failing(KeyError("side")))
    with pytest.raises(KeyError):
        run(["now"])


@pytest.mark.parametrize(
    ("fault", "code", "words"),
    [
        (KeyboardInterrupt(), exits.INTERRUPTED, "interrupted"),
        (OSError(28, "No space left on device", "site/index.html"), exits.DISK, "`site/index.html`: no space left"),
        (PermissionError(13, "Permission denied", "x"), exits.DISK, "`x`: permission denied"),
        (MemoryError(), exits.OWN_FAULT, "MemoryError"),
        (RecursionError("deep"), exits.OWN_FAULT, "RecursionError"),
    ],
)
def test_each_way_to_end_has_its_code(
    fault: BaseException,
    code: int,
    words: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.delenv(TRACE, raising=False)
    monkeypatch.setattr(entry, "command", failing(fault))
    assert run(["now"]) == code
    err = capsys.readouterr().err
    assert words in err
    assert "Traceback" not in err


def test_a_reader_that_leaves_early_sees_no_complaint() -> None:
    line = f"'{sys.executable}' -m planbook schema | head -n 1"
    done = subprocess.run(line, shell=True, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.stdout == "{\n"
    assert done.stderr == ""


def test_the_module_is_the_command() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "planbook", "--version"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout == f"planbook {__version__}\n"
