"""The repository as a reader finds it: what is in it, and whether its papers hold what they say."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tomllib
from importlib import import_module
from pathlib import Path

import click
import pytest
from readme_picture import PICTURE, demo_picture

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")
TOP = {
    ".ci", ".gitignore", "DEVELOPERS.md", "LICENSE", "README.md", "content", "planbook", "pyproject.toml", "site",
    "tests", "themes",
}  # fmt: skip


def tracked() -> list[str]:
    done = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        pytest.skip("not a checkout")
    return [name for name in done.stdout.split("\0") if name and (ROOT / name).exists()]


def test_only_known_things_lie_at_the_top() -> None:
    assert {name.partition("/")[0] for name in tracked()} <= TOP


def test_no_results_and_no_copies_of_libraries_are_kept() -> None:
    kept = [name for name in tracked() if name.startswith("site/") or "__pycache__" in name or ".planbook/" in name]
    assert kept == ["site/.gitignore"]
    locks = {"uv.lock", "poetry.lock", "Pipfile.lock", "package-lock.json", "requirements.txt"}
    assert not locks & {Path(name).name for name in tracked()}


# Built of pieces, so that this file does not hold what it forbids.
FORBIDDEN = {
    "a folder of somebody's machine": re.compile(r"(?:/(?:home|Users|root|work|mnt)/[a-z])|[A-Z]:\\\\Users"),
    "a host of a package registry": re.compile("pypi" + r"\.org|files\.python" + r"hosted|registry\.npm" + "js"),
    "a note to oneself": re.compile("TO" + r"DO\b|FIX" + r"ME\b|X" + r"XX\b"),
}


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_file_holds(what: str) -> None:
    found = []
    for name in tracked():
        if name.endswith((".ttf", ".woff", ".woff2", ".png", ".pdf")):
            continue
        for number, line in enumerate((ROOT / name).read_text("utf-8").split("\n"), 1):
            if FORBIDDEN[what].search(line):
                found.append(f"{name}:{number}: {line.strip()[:100]}")
    assert found == []


def test_the_readme_begins_with_the_job_in_one_paragraph() -> None:
    first = README.split("\n\n")[0]
    assert not first.startswith(("#", "!", "[", "<"))
    assert "\n" not in first
    assert 40 < len(first.split()) < 120


def test_its_first_block_is_two_commands_that_set_up_everything() -> None:
    block = re.search(r"^```\w*\n(.*?)^```", README, re.DOTALL | re.MULTILINE)
    assert block is not None
    lines = block[1].strip().split("\n")
    assert len(lines) == 2
    for line in lines:
        # Each stands alone: it makes the environment, installs into it and uses nothing outside of it.
        assert line.startswith("python3 -m venv .venv && .venv/bin/pip install ")
        assert all(part.split()[0] == "python3" or part.startswith(".venv/bin/") for part in line.split(" && "))
    assert lines[0].endswith("planbook publish content --into site")
    assert lines[1].endswith(".venv/bin/pytest -n 2 --dist loadfile")
    bash = shutil.which("bash")
    if bash:
        subprocess.run([bash, "-n", "-c", block[1]], check=True)


def test_the_commands_it_shows_are_understood() -> None:
    from planbook.cli.entry import COMMANDS

    blocks = "".join(re.findall(r"^```sh\n(.*?)^```", README, re.DOTALL | re.MULTILINE))
    lines = re.findall(r"^planbook ([^#\n]*)", blocks, re.MULTILINE)
    assert {line.split()[0] for line in lines} == set(COMMANDS) - {"schema"}
    for line in lines:
        name, *words = line.split()
        member = getattr(import_module(f"planbook.cli.{name}"), name)
        if isinstance(member, click.Group):
            member = member.commands[words.pop(0)]
        known = {word for option in member.params for word in option.opts}
        assert {word for word in words if word.startswith("--")} <= known | {"--help"}


@pytest.mark.parametrize("paper", ["README.md", "DEVELOPERS.md"])
def test_every_link_leads_to_a_file(paper: str) -> None:
    links = re.findall(r"\]\(([^)]+)\)", (ROOT / paper).read_text("utf-8"))
    assert links or paper == "DEVELOPERS.md"
    assert [link for link in links if not (ROOT / link).exists()] == []


def test_every_path_in_the_papers_exists() -> None:
    named = re.findall(r"`((?:planbook|tests|themes|content)/[\w/.*-]+)`", README + DEVELOPERS)
    assert len(named) > 10
    assert [name for name in named if "*" not in name and "NAME" not in name and not (ROOT / name).exists()] == []


def test_the_picture_shows_the_demo_piece_as_it_is() -> None:
    svg = PICTURE.read_text("utf-8")
    picture = demo_picture()
    assert f">{picture.title}</title>" in svg, "run `python tests/readme_picture.py`"
    assert f">{picture.alt}</desc>" in svg, "run `python tests/readme_picture.py`"
    for label in picture.labels:
        assert label.text in svg
    # Nothing in it may be fetched from elsewhere.
    assert "href" not in svg
    assert "url(" not in svg


def test_the_floors_in_the_papers_are_those_that_are_held() -> None:
    contract = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]["contracts"][0]
    held = [part.strip() for layer in reversed(contract["layers"]) for part in layer.split(" | ")]
    told = re.findall(r"^\| \d+ \| `(\w+)` \|", DEVELOPERS, re.MULTILINE)
    assert told == held
    packages = {path.parent.name for path in (ROOT / "planbook").glob("*/__init__.py")}
    assert packages == set(held)


def test_the_floors_are_kept() -> None:
    lint = Path(sys.executable).parent / "lint-imports"
    if not lint.exists():
        pytest.skip("import-linter is not installed")
    done = subprocess.run([lint, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout


def test_the_script_for_a_fresh_machine_is_sound_and_runs_the_same_tests() -> None:
    script = ROOT / ".ci" / "run"
    assert script.stat().st_mode & 0o111
    text = script.read_text("utf-8")
    assert text.startswith("#!")
    assert "set -eu" in text
    bash = shutil.which("bash")
    if bash:
        subprocess.run([bash, "-n", script], check=True)
