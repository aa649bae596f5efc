from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, bookcase, outcomes, told

from planbook.source.diagnostics import Severity

GLUE = ('  wood glue: {amount: {imperial: 6 fl oz, metric: 180 ml}, kind: glue, says: "wood glue (PVA), interior"}\n',)


def test_six_meetings_are_closed_in_time(tmp_path: Path) -> None:
    assert told("glue-skins", bench(tmp_path)) == ()
    assert outcomes("glue-skins", bench(tmp_path))["step 13"].figure.startswith("6 meetings")


def test_a_beginner_is_too_slow_for_six(tmp_path: Path) -> None:
    (item,) = told("glue-skins", bench(tmp_path, ("level: second project", "level: beginner")))
    assert "about 12 min, PVA glue stays open for 10 min" in item.message
    assert item.severity is Severity.WARN


@pytest.mark.parametrize(("minutes", "fails"), [("8 min", True), ("9 min", False)])
def test_a_glue_of_the_book_has_its_own_open_time(tmp_path: Path, minutes: str, fails: bool) -> None:
    own = f"\nproducts:\n  wood glue: {{is: glue, like: PVA glue, open: {minutes}, source: own measurement}}\n"
    found = told("glue-skins", bench(tmp_path, ("\nproducts:\n", own)))
    assert bool(found) is fails


def test_without_a_glue_nothing_is_reckoned(tmp_path: Path) -> None:
    assert outcomes("glue-skins", bookcase(tmp_path))["step 9"].missing


def test_glue_on_a_finished_face_does_not_hold(tmp_path: Path) -> None:
    assert told("finish-clash", bench(tmp_path)) == ()
    (item,) = told("finish-clash", bench(tmp_path, (", back rabbet, kick joint]", ", back rabbet]")))
    assert "glue of `kick joint` on hardwax oil of step 12" in item.message


@pytest.mark.parametrize(
    ("under", "product", "severity"),
    [
        ("paste wax", "oil varnish", Severity.WARN),
        ("oil stain", "water-borne varnish", Severity.NOTE),
        ("gel stain", "oil varnish", None),
    ],
)
def test_coats_that_clash(tmp_path: Path, under: str, product: str, severity: Severity | None) -> None:
    changed = bench(tmp_path, ("  product: hardwax oil\n", f"  product: {product}\n  over: {under}\n"))
    found = [item for item in told("finish-clash", changed) if f"{product} over {under}" in item.message]
    assert [item.severity for item in found] == ([severity] if severity else [])


def test_a_finish_that_no_table_has_is_told(tmp_path: Path) -> None:
    (item,) = told("unknown-finish", bench(tmp_path, ("  product: hardwax oil\n", "  product: hardwax oyl\n")))
    assert "`hardwax oil`" in (item.help or "")
    assert told("unknown-finish", bench(tmp_path)) == ()
