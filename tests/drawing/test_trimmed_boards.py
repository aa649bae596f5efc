"""The picture of a step that brings a board to its final size."""

from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench

from planbook.drawing.picture import LabelKind
from planbook.drawing.step import step_picture


@pytest.mark.parametrize(("edition", "sizes"), [("imperial", ['36"', '14"']), ("metric", ["900", "350"])])
def test_both_final_sizes_stand_at_the_board(tmp_path: Path, edition: str, sizes: list[str]) -> None:
    plan = bench(tmp_path, edition=edition).plan
    step = next(step for step in plan.steps if "seat" in step.trims)
    for width in (180.0, 104.0):
        picture = step_picture(plan, step.number, width=width)
        assert picture is not None
        assert [label.text for label in picture.labels if label.kind is LabelKind.SIZE] == sizes
