"""Each demo plan, spoiled in ten ways that happen in a shop: every slip is told, by the check that is meant for it."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml
from checks.altered_bench import ROOT

from planbook.checks.subject import subject_of
from planbook.checks.table import run
from planbook.plan.resolve import resolve
from planbook.source.book import read_book
from planbook.source.diagnostics import Findings, Severity
from planbook.source.files import Sources
from planbook.units.editions import IMPERIAL

SLIPS = yaml.safe_load((Path(__file__).parent / "ten_slips.yaml").read_text("utf-8"))


def told(folder: Path, slug: str, changes: list[dict[str, str]]) -> dict[str, Severity]:
    """Return what is found in the imperial edition of a demo plan with some of its words changed, by slug."""
    book = folder / "book"
    others = [path.name for path in (ROOT / "content" / "plans").iterdir() if path.name != slug]
    shutil.copytree(ROOT / "content", book, ignore=shutil.ignore_patterns(".planbook", "classes", "pages", *others))
    for change in changes:
        old, new = change["old"], change["new"]
        hits = 0
        for path in (book / "plans" / slug / "plan.yaml", book / "plans" / slug / "steps.md"):
            text = path.read_text("utf-8")
            hits += text.count(old)
            path.write_text(text.replace(old, new), "utf-8")
        assert hits == 1, f"{old!r} stands {hits} times in the plan"
    findings = Findings()
    read = read_book(book, findings, Sources())
    assert read is not None
    found = Findings()
    plan = resolve(read.plans[0], read.shop, IMPERIAL, found)
    if plan is not None:
        # The ends of ranges are a check of their own, and take most of the time.
        found.extend(run(replace(subject_of(plan, read.plans[0], read.shop), again=None)))
    return {item.slug: item.severity for item in found.sorted()}


@pytest.mark.parametrize("plan", ["boot-bench", "window-bench", "saw-bench"])
def test_the_plan_as_it_stands_is_clean(tmp_path: Path, plan: str) -> None:
    assert {slug for slug, severity in told(tmp_path, plan, []).items() if severity is not Severity.NOTE} == set()


@pytest.mark.parametrize(
    ("plan", "slip"),
    [pytest.param(plan, slip, id=f"{plan}: {slip['slip']}") for plan, slips in SLIPS.items() for slip in slips],
)
def test_a_slip_is_told(tmp_path: Path, plan: str, slip: dict[str, Any]) -> None:
    found = told(tmp_path, plan, slip["changes"])
    assert set(found) & set(slip["told"]), f"nobody tells it; told were {sorted(found)}"


def test_there_are_at_least_ten_for_each_plan() -> None:
    assert set(SLIPS) == {path.name for path in (ROOT / "content" / "plans").iterdir() if path.is_dir()}
    assert all(len(slips) >= 10 for slips in SLIPS.values())


@pytest.mark.parametrize("slug", ["too-wet", "one-face-finished", "body-fit"])
def test_what_the_author_accepts_is_a_note(tmp_path: Path, slug: str) -> None:
    slip = next(slip for slip in SLIPS["window-bench"] if slug in slip["told"])
    accepted = {"old": "overall: {high:", "new": f"accept: {{{slug}: we know}}\noverall: {{high:"}
    assert told(tmp_path, "window-bench", [*slip["changes"], accepted])[slug] is Severity.NOTE
