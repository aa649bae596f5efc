"""The picture of a step that pours resin into a part that lies by itself."""

from __future__ import annotations

from fixtures.target_books import target_plan

from planbook.drawing.picture import LabelKind
from planbook.drawing.step import step_picture
from planbook.drawing.style import Shade


def test_a_pour_is_shown_toned_in_the_part_that_holds_it() -> None:
    plan = target_plan("c", "imperial")
    step = next(step for step in plan.steps if "fill" in step.joins)
    picture = step_picture(plan, step.number)
    assert picture is not None
    letters = {label.text for label in picture.labels if label.kind is LabelKind.LETTER}
    assert letters == {plan.part("top").letter, plan.part("fill").letter}
    assert picture.alt == f"Isometric view of fill C, toned, in top A, step {step.number}."
    assert [area.shade for area in picture.areas].count(Shade.TONE) == 1
