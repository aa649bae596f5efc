"""The picture of a step that pours resin into a part that lies by itself."""

from __future__ import annotations

from collections.abc import Sequence

from fixtures.target_books import target_plan

from planbook.drawing.explode import exploded_picture
from planbook.drawing.pictorial import Item, Pictorial
from planbook.drawing.picture import LabelKind
from planbook.drawing.step import step_picture
from planbook.drawing.style import Shade
from planbook.drawing.views import Views
from planbook.plan.model import Plan
from planbook.shape.direction import Direction


class Kept(Views):
    """Keeps what was drawn."""

    def __init__(self, plan: Plan) -> None:
        super().__init__(plan)
        self.kept: list[Pictorial] = []

    def of(self, items: Sequence[Item], direction: Direction) -> Pictorial:
        self.kept.append(super().of(items, direction))
        return self.kept[-1]


def test_a_pour_is_shown_toned_in_the_part_that_holds_it() -> None:
    plan = target_plan("c", "imperial")
    step = next(step for step in plan.steps if "fill" in step.joins)
    picture = step_picture(plan, step.number)
    assert picture is not None
    letters = {label.text for label in picture.labels if label.kind is LabelKind.LETTER}
    assert letters == {plan.part("top").letter, plan.part("fill").letter}
    assert picture.alt == f"Isometric view of fill C, toned, in top A, step {step.number}."
    assert [area.shade for area in picture.areas].count(Shade.TONE) == 1


def test_what_was_poured_stays_in_its_part_when_the_piece_is_taken_apart() -> None:
    plan = target_plan("c", "imperial")
    picture = exploded_picture(plan)
    assert "Moved out: top A upward" in picture.alt
    assert "fill C" not in picture.alt
    last = step_picture(plan, plan.steps[-1].number)
    assert last is not None
    # The seat with its fill comes down on the frames: nothing goes back into the void by itself.
    assert last.alt.count("goes into place") == 1


def test_what_was_poured_is_seen_in_its_part_from_then_on() -> None:
    plan = target_plan("c", "imperial")
    poured = next(step for step in plan.steps if "fill" in step.joins)
    ease = next(step for step in plan.steps if "ease of top" in step.cuts)
    assert ease.number > poured.number
    views = Kept(plan)
    step_picture(plan, ease.number, views=views)
    (view,) = views.kept
    assert [item.standing.version.part for item in view.items] == ["top", "fill"]
    top, fill = (item.standing.placement for item in view.items)
    # As it lies in the slab: 8 in from the left end, 9 1/4 in from the front (see the outline of this plan).
    assert [float(a - b) / 25.4 for a, b in zip(fill.origin, top.origin, strict=True)][:2] == [8.0, 9.25]
