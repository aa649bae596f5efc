from __future__ import annotations

from fractions import Fraction

import pytest
from sample_numbers import inches
from sample_plan import bookcase

from planbook.plan.model import Placement
from planbook.shape.arrange import bounds, laid_flat, mirrored, overall, to_assembly

F = Fraction


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_the_box_around_everything_is_the_overall_size(edition: str) -> None:
    plan = bookcase(edition)
    around = overall(plan)
    assert around.low == (0, 0, 0)
    assert around.size == plan.overall


def test_the_rail_hangs_below_the_shelf() -> None:
    plan = bookcase()
    shelf = next(place for place in plan.placements if place.part == "loose shelf")
    box = bounds(plan, shelf)
    assert box.size == (inches("28 7/16"), inches("10 7/8"), inches("1 1/4"))
    assert box.low[2] == shelf.origin[2] - inches("17/32")


def test_hands_are_mirror_images() -> None:
    plan = bookcase("metric")
    left, right = (place for place in plan.placements if place.part == "side")
    assert mirrored(left) != mirrored(right)
    point = (F(100), F(20), F(18))
    assert to_assembly(left, point) == (18, 20, 100)
    assert to_assembly(right, point) == (760 - 18, 20, 100)


def test_a_side_laid_flat_keeps_its_hand() -> None:
    plan = bookcase("metric")
    for place in plan.placements:
        for show_up in (True, False):
            flat = laid_flat(plan, place, show_up=show_up)
            assert mirrored(flat) == mirrored(place)
            assert flat.axes[2] == ("+z" if show_up else "-z")
            assert bounds(plan, flat).low == (0, 0, 0)


def test_mirrored_agrees_with_the_determinant() -> None:
    def place(*axes: str) -> Placement:
        return Placement(part="p", copy=1, hand="", origin=(F(0), F(0), F(0)), axes=(axes[0], axes[1], axes[2]))

    assert not mirrored(place("+x", "+y", "+z"))
    assert not mirrored(place("-x", "-y", "+z"))
    assert not mirrored(place("+z", "+x", "+y"))
    assert mirrored(place("+z", "+y", "+x"))
    assert mirrored(place("+x", "+y", "-z"))
    assert not mirrored(place("+x", "+z", "-y"))
