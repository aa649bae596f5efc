from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_plan import bookcase

from planbook.drawing.fit import fitted, fitted_together
from planbook.drawing.pictorial import Item
from planbook.drawing.picture import Label, LabelKind, Point, boxes_overlap, polygon
from planbook.drawing.placing import beside, inside, place_near, word_label
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LineKind
from planbook.drawing.views import Views
from planbook.shape import states
from planbook.shape.direction import ISO_LEFT, ISO_RIGHT


def frame(sheet: Sheet, factor: float, wide: float, high: float) -> list[Point]:
    ring = [(0.0, 0.0), (wide * factor, 0.0), (wide * factor, high * factor), (0.0, high * factor)]
    sheet.line(LineKind.OUTLINE, *ring, closed=True)
    return ring


@given(st.floats(50, 3000), st.floats(50, 3000), st.floats(100, 200), st.floats(60, 200))
def test_a_drawing_fits_and_fills_its_room(wide: float, high: float, room_wide: float, room_high: float) -> None:
    def build(factor: float, sheet: Sheet) -> None:
        frame(sheet, factor, wide, high)
        sheet.label(word_label("a word beside it", (wide * factor + 20.0, high * factor / 2)))

    sheet = fitted(build, size=(wide, high), into=(room_wide, room_high), around=(10.0, 0.0))
    left, bottom, right, top = sheet.bounds
    assert right - left <= room_wide - 2 + 1e-9
    assert top - bottom <= room_high - 2 + 1e-9
    assert right - left > 0.9 * (room_wide - 2) or top - bottom > 0.9 * (room_high - 2)


def test_cells_share_the_factor_of_the_one_that_needs_most_room() -> None:
    factors: list[tuple[float, float]] = []

    def cell(wide: float) -> tuple[tuple[float, float], object]:
        def build(factor: float, sheet: Sheet) -> None:
            factors.append((wide, factor))
            frame(sheet, factor, wide, 100.0)

        return (wide, 100.0), build

    sheets = fitted_together([cell(100.0), cell(400.0)], into=(82.0, 102.0), around=(0.0, 0.0))  # type: ignore[list-item]
    widths = [sheet.bounds[2] - sheet.bounds[0] for sheet in sheets]
    assert widths[1] == pytest.approx(80.0, rel=0.06)
    assert widths[1] == pytest.approx(4 * widths[0])


def test_what_was_chosen_is_tried_first_on_the_same_drawing_at_another_factor() -> None:
    def drawn(factor: float, like: Sheet | None) -> tuple[Sheet, Label]:
        sheet = Sheet(like=like, about_same=True)
        frame(sheet, factor, 100.0, 60.0)
        target = (100.0 * factor, 30.0 * factor)
        return sheet, beside(sheet, word_label("a word", target), target)

    first, one = drawn(0.5, None)
    _, again = drawn(0.52, first)
    assert (again.x - 52.0, again.y - 15.6) == pytest.approx((one.x - 50.0, one.y - 15.0))


def test_a_label_without_room_is_looked_for_again_only_at_quite_another_factor() -> None:
    def found(factor: float, like: Sheet | None, *, about_same: bool) -> tuple[Sheet, Label | None]:
        sheet = Sheet(like=like, about_same=about_same)
        region = polygon([(0, 0), (20 * factor, 0), (20 * factor, 10 * factor), (0, 10 * factor)])
        middle = (10 * factor, 5 * factor)
        return sheet, inside(sheet, word_label("word", middle), region, middle)

    small, none = found(0.5, None, about_same=False)
    assert none is None
    assert found(2.0, small, about_same=True)[1] is None
    assert found(2.0, small, about_same=False)[1] is not None


def test_a_mark_stands_close_to_its_hole_and_over_nothing() -> None:
    sheet = Sheet()
    sheet.line(LineKind.OUTLINE, (-30.0, 4.0), (30.0, 4.0))
    mark = Label(kind=LabelKind.MARK, text="12", x=0.0, y=0.0, height=3.0, bold=True)
    placed = place_near(sheet, mark, (0.0, 0.0), beyond=1.0)
    assert 4.0 < (placed.x**2 + placed.y**2) ** 0.5 < 10.0
    assert placed.box[3] < 4.0 or placed.box[1] > 4.0
    second = place_near(sheet, mark, (0.0, 0.0), beyond=1.0)
    assert not boxes_overlap(placed.box, second.box)


def test_the_same_items_from_the_same_side_are_one_view() -> None:
    plan = bookcase("metric")
    views = Views(plan)
    items = [Item(standing=standing) for standing in states.finished(plan)]
    assert views.of(items, ISO_RIGHT) is views.of(list(items), ISO_RIGHT)
    assert views.of(items, ISO_LEFT) is not views.of(items, ISO_RIGHT)
    assert views.of(items, ISO_LEFT).bodies[0][0] is views.of(items, ISO_RIGHT).bodies[0][0]
