from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, bookcase
from sample_plan import bookcase as sample

from planbook.checks.about import LOOKS, NOT_CHECKED, NOTHING
from planbook.checks.report import Checked, Ended, report
from planbook.checks.subject import Subject
from planbook.checks.table import CHECKS, FIGURES


def by_slug(subject: Subject) -> dict[str, Checked]:
    return {check.slug: check for check in report(subject)}


def test_every_check_of_the_table_is_told(tmp_path: Path) -> None:
    assert [check.slug for check in report(bench(tmp_path))] == [slug for slug, _ in CHECKS]


def test_each_check_either_has_figures_or_says_what_it_looks_at() -> None:
    assert set(LOOKS) | {slug for slug, _ in FIGURES} == {slug for slug, _ in CHECKS}
    assert not set(LOOKS) & {slug for slug, _ in FIGURES}


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_what_passes_has_a_figure_and_a_source(tmp_path: Path, edition: str) -> None:
    for check in report(bench(tmp_path, edition=edition)):
        for item in check.looked:
            assert item.figure
            if item.ended is Ended.WITHIN:
                assert item.limit
                assert item.source or check.slug == "finish-clash"


def test_the_gravest_of_several_counts(tmp_path: Path) -> None:
    changed = bookcase(tmp_path, ("loads:  {loose shelf: books", "loads:  {loose shelf: 60 lb/ft"))
    check = by_slug(changed)["shelf-sag"]
    assert [item.ended for item in check.looked] == [Ended.DOUBTFUL, Ended.WITHIN]
    assert check.ended is Ended.DOUBTFUL


def test_what_is_accepted_says_why(tmp_path: Path) -> None:
    changed = bookcase(
        tmp_path,
        ("loads:  {loose shelf: books, bottom: books}",
         "loads:  {loose shelf: 60 lb/ft}\naccept: {shelf-sag: it stands in a cellar}"),
    )  # fmt: skip
    check = by_slug(changed)["shelf-sag"]
    assert (check.ended, check.reason) == (Ended.ACCEPTED, "it stands in a cellar")
    assert by_slug(changed)["tips-forward"].reason == ""


def test_what_could_not_be_computed_says_why(tmp_path: Path) -> None:
    changed = bookcase(tmp_path, ("loads:  {loose shelf: books", "loads:  {loose shelf: jars"))
    missing = by_slug(changed)["shelf-sag"].looked[0]
    assert (missing.ended, missing.figure) == (Ended.NOT_COMPUTED, "no weight is known for `jars`")


def test_it_never_says_that_something_is_safe(tmp_path: Path) -> None:
    told = [text for check in report(bench(tmp_path)) for item in check.looked for text in (item.figure, item.limit)]
    assert not [text for text in (*told, *NOT_CHECKED) if "safe" in text.replace("safety", "")]


def test_a_plan_alone_can_be_told_too() -> None:
    assert len(report(Subject(sample()))) == len(CHECKS)


def test_what_there_was_nothing_of_says_why(tmp_path: Path) -> None:
    checks = {check.slug: check for check in report(bookcase(tmp_path))}
    (looked,) = checks["pour-too-cold"].looked
    assert (looked.ended, looked.figure) == (Ended.NOTHING, "no resin is poured")
    assert set(NOTHING) <= {slug for slug, _ in FIGURES}
