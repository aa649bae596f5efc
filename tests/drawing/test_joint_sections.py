from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import make
from sample_plan import bookcase

from planbook.drawing.joint_sections import joint_sections_picture
from planbook.drawing.picture import LabelKind
from planbook.drawing.style import LineKind


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_each_kind_of_joint_is_cut_through_once(edition: str) -> None:
    plan = bookcase(edition)
    picture = joint_sections_picture(plan)
    assert picture is not None
    named = [label.text for label in picture.labels if label.kind is LabelKind.VIEW]
    scale = "half size" if edition == "imperial" else "1 : 2"
    assert named == [f"shelf dados, {scale}", f"back rabbet, {scale}"]
    letters = [label.text for label in picture.labels if label.kind is LabelKind.LETTER]
    assert {"A", "B"} <= set(letters)
    assert any(stroke.kind is LineKind.HATCH for stroke in picture.strokes)
    assert picture.overlapping_labels() == ()


def test_the_tongue_stands_in_its_dado_at_the_scale_of_the_section() -> None:
    """At 1 : 2 a side of 18 mm is 9 mm wide on paper: the two rims of it stand that far apart."""
    plan = bookcase("metric")
    picture = joint_sections_picture(plan)
    assert picture is not None
    uprights = sorted(
        {
            round(a[0], 2)
            for s in picture.strokes
            if s.kind is LineKind.OUTLINE
            for a, b in [s.points[:2]]
            if abs(a[0] - b[0]) < 1e-6
        }
    )
    thick = float(plan.part("side").thick) / 2
    assert any(abs(b - a - thick) < 0.02 for a in uprights for b in uprights)


def test_a_joint_that_hides_nothing_has_no_section(tmp_path: Path) -> None:
    plan = make(tmp_path, {"joints": "ends: {butt: bottom, to: side, by: glue}"}).plan()
    assert joint_sections_picture(plan) is None


def test_a_screw_is_cut_along_its_axis(tmp_path: Path) -> None:
    plan = make(tmp_path, {"joints": "ends: {butt: bottom, to: side, by: No. 8 x 2 in wood screw, each: 3}"}).plan()
    picture = joint_sections_picture(plan)
    assert picture is not None
    assert sum(stroke.kind is LineKind.CENTRE for stroke in picture.strokes) == 1
    assert "Joints cut through: ends" in picture.alt
