"""A book from its files to a folder on disk, and what a second run does."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from planbook.drawing.picture import Label, LabelKind, Picture
from planbook.plan.model import Plan
from planbook.publish import pictures as drawing
from planbook.publish.cache import STORE
from planbook.publish.manifest import MANIFEST
from planbook.publish.site import Outcome, publish
from planbook.source.diagnostics import Diagnostic, Severity, Span

BOOK = Path(__file__).parents[1] / "fixtures" / "target-a"
CASE = "plans/bookcase/imperial/index.html"
FOUND = Diagnostic(
    "thin-lip", Severity.WARN, "the lip is thin", Span("plans/bookcase/plan.yaml", 3, 1, 3, 5),
    further=((Span("plans/bookcase/steps.md", 1, 1, 1, 2), "here"),), help="make it thicker", rule="common practice",
)  # fmt: skip


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """One process, one small picture, one finding of the checks; each of them is tested elsewhere."""

    def all_(plan: Plan) -> list[tuple[str, Picture]]:
        label = Label(kind=LabelKind.SIZE, text=plan.edition.name, x=20, y=10, height=3.5)
        return [("front", Picture(title="Front", alt="A case.", width=40, height=20, labels=(label,)))]

    monkeypatch.setattr(drawing, "_all", all_)
    monkeypatch.setattr(os, "cpu_count", lambda: 1)
    monkeypatch.setattr("planbook.checks.table.run", lambda _: (FOUND,))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return Path(shutil.copytree(BOOK, tmp_path / "book"))


def run(book: Path, into: Path) -> Outcome:
    outcome = publish(book, into)
    assert not outcome.stopped, [item.message for item in outcome.findings]
    return outcome


def on_disk(folder: Path) -> dict[str, bytes]:
    found = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def test_a_book_becomes_a_site(book: Path, tmp_path: Path) -> None:
    steps: list[tuple[str, int, int]] = []
    outcome = publish(book, tmp_path / "out", progress=lambda what, done, total: steps.append((what, done, total)))
    assert not outcome.stopped
    names = set(outcome.written)
    assert {CASE, "index.html", "plans/bookcase/metric/bookcase-metric-a4.pdf"} <= names
    assert names | {MANIFEST} == set(on_disk(tmp_path / "out"))
    assert FOUND in outcome.findings
    assert [done for _, done, _ in steps] == list(range(len(steps)))
    assert {total for _, _, total in steps} == {len(steps)}
    page = (tmp_path / "out" / CASE).read_text("utf-8")
    assert "Handout to print, Letter</a> (" in page


def test_the_store_lies_in_the_book_not_in_the_site(book: Path, tmp_path: Path) -> None:
    run(book, tmp_path / "out")
    assert (book / STORE).is_dir()
    assert not any(path.startswith(STORE + "/") for path in on_disk(tmp_path / "out"))


def test_a_second_run_reads_and_draws_nothing(book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = run(book, tmp_path / "out")
    before = on_disk(tmp_path / "out")
    monkeypatch.setattr("planbook.publish.site.make_site", lambda *_, **__: pytest.fail("made again"))
    second = run(book, tmp_path / "out")
    assert second.written == second.removed == ()
    assert set(second.unchanged) == set(first.written)
    assert second.findings == first.findings
    assert second.sources.line("plans/bookcase/plan.yaml", 3) is not None
    assert on_disk(tmp_path / "out") == before


def test_a_deleted_page_comes_back(book: Path, tmp_path: Path) -> None:
    run(book, tmp_path / "out")
    (tmp_path / "out" / CASE).unlink()
    assert run(book, tmp_path / "out").written == (CASE,)


def test_the_same_book_elsewhere_gives_the_same_bytes(book: Path, tmp_path: Path) -> None:
    other = Path(shutil.copytree(BOOK, tmp_path / "deeper" / "other"))
    run(book, tmp_path / "one")
    run(other, tmp_path / "two")
    one, two = on_disk(tmp_path / "one"), on_disk(tmp_path / "two")
    one.pop(MANIFEST)
    two.pop(MANIFEST)
    assert one == two


def test_a_changed_word_changes_only_its_pages(book: Path, tmp_path: Path) -> None:
    run(book, tmp_path / "out")
    shop = book / "shop.yaml"
    text = shop.read_text("utf-8")
    assert "does:" in text
    shop.write_text(text.replace("does: ", "does: Well now, ", 1), "utf-8")
    outcome = run(book, tmp_path / "out")
    assert 0 < len(outcome.written) <= 3
    assert all(path.startswith("tools/") for path in outcome.written)


def test_a_fault_leaves_the_old_site_as_it_was(book: Path, tmp_path: Path) -> None:
    run(book, tmp_path / "out")
    before = on_disk(tmp_path / "out")
    plan = book / "plans/bookcase/plan.yaml"
    plan.write_text(plan.read_text("utf-8").replace("dims:", "dimms:", 1), "utf-8")
    outcome = publish(book, tmp_path / "out")
    assert outcome.stopped
    assert outcome.written == ()
    assert on_disk(tmp_path / "out") == before


def test_an_unreadable_store_does_no_harm(book: Path, tmp_path: Path) -> None:
    (book / STORE).write_text("in the way")
    run(book, tmp_path / "out")
    assert run(book, tmp_path / "out").written == ()


def test_an_unknown_theme_is_told(book: Path, tmp_path: Path) -> None:
    outcome = publish(book, tmp_path / "out", theme="workshp")
    assert [item.slug for item in outcome.findings if item.severity is Severity.STOP] == ["no-theme"]
    assert "`workshop`" in str([item.help for item in outcome.findings])
