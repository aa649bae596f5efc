"""The demo bench and the bookcase, changed in one place of plan, steps or shop, read and resolved."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

from checks.altered import FIXTURE
from fixtures.small_books import CASE, SHOP, claiming, plan_text, read, write_book

from planbook.checks.outcome import Outcome
from planbook.checks.subject import Subject, subject_of
from planbook.checks.table import CHECKS, FIGURES
from planbook.plan.resolve import resolve
from planbook.source.book import read_book
from planbook.source.diagnostics import Diagnostic, Findings
from planbook.source.files import Sources
from planbook.units.editions import EDITIONS

ROOT = Path(__file__).parents[2]


def bench(folder: Path, *changes: tuple[str, str], edition: str = "imperial") -> Subject:
    return _changed(ROOT / "content", "boot-bench", folder, changes, edition)


def saw_bench(folder: Path, *changes: tuple[str, str], edition: str = "imperial") -> Subject:
    return _changed(ROOT / "content", "saw-bench", folder, changes, edition)


def bookcase(folder: Path, *changes: tuple[str, str], edition: str = "imperial") -> Subject:
    return _changed(FIXTURE, "bookcase", folder, changes, edition)


def stool(folder: Path, *changes: tuple[str, str], edition: str = "imperial") -> Subject:
    return _changed(FIXTURE.parent / "target-b", "stool", folder, changes, edition)


def side_table(folder: Path, *changes: tuple[str, str], edition: str = "imperial") -> Subject:
    return _changed(FIXTURE.parent / "target-c", "side-table", folder, changes, edition)


def piece(
    folder: Path,
    groups: Mapping[str, str],
    *,
    steps: str | None = None,
    shop: str = SHOP,
    rest: str = "",
    edition: str = "imperial",
) -> Subject:
    """The plain case of the small books, with some groups of words replaced."""
    words = {**CASE, **groups}
    book = read(write_book(folder, plan_text(words, rest), claiming(words) if steps is None else steps, shop=shop))
    assert book.stops() == []
    assert book.book is not None
    return subject_of(book.plan(edition), book.book.plans[0], book.book.shop)


def _changed(source: Path, plan: str, folder: Path, changes: tuple[tuple[str, str], ...], edition: str) -> Subject:
    book = folder / "book"
    shutil.rmtree(book, ignore_errors=True)
    others = [path.name for path in (source / "plans").iterdir() if path.name != plan]
    shutil.copytree(source, book, ignore=shutil.ignore_patterns(".planbook", "classes", "pages", *others))
    for old, new in changes:
        hits = 0
        for path in (book / f"plans/{plan}/plan.yaml", book / f"plans/{plan}/steps.md", book / "shop.yaml"):
            text = path.read_text("utf-8")
            hits += text.count(old)
            path.write_text(text.replace(old, new), "utf-8")
        assert hits == 1, f"{old!r} stands {hits} times in the book"
    findings = Findings()
    found = read_book(book, findings, Sources())
    assert found is not None, list(findings)
    written = next((item for item in found.plans if item.slug == plan), None)
    assert written is not None, [item.message for item in findings]
    resolved = resolve(written, found.shop, EDITIONS[edition], findings)
    assert resolved is not None, [item.message for item in findings]
    return subject_of(resolved, written, found.shop)


def told(slug: str, subject: Subject) -> tuple[Diagnostic, ...]:
    """Return what the check of a slug finds; every finding has a place, a cure and a source."""
    found = tuple(dict(CHECKS)[slug](subject))
    for item in found:
        assert item.slug == slug
        assert item.span is not None
        assert item.help
    return found


def outcomes(slug: str, subject: Subject) -> dict[str, Outcome]:
    return {outcome.of: outcome for outcome in dict(FIGURES)[slug](subject)}
