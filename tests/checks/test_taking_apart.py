"""Taking units apart: boxes that share no space always come apart, a thing in a closed shell never does."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from fixtures.target_books import target_plan
from hypothesis import given
from hypothesis import strategies as st

from planbook.checks.copies import Copy, around_all
from planbook.checks.neighbours import Floated, floated
from planbook.checks.passing import STRAIGHT, Known, Passing, Pinned, Unit
from planbook.checks.spaces import without
from planbook.checks.units import Apart
from planbook.plan.boxes import Space
from planbook.shape.states import finished_version


def unit(number: int, *boxes: Floated, new: bool = True) -> Unit:
    """One copy made of boxes."""
    plan = target_plan("a", "imperial")
    part = plan.part("loose shelf")
    place = next(item for item in plan.placements if item.part == part.key)
    around = around_all(boxes)
    assert around is not None
    copy = Copy(part, replace(place, copy=number), finished_version(plan, part.key), boxes, around, False)
    return Unit((copy,), new)


def apart(*units: Unit, pinned: tuple[Pinned, ...] = ()) -> Apart:
    return Apart(Passing(units, None, 0.0, Known(), pinned))


span = st.builds(lambda low, size: (float(low), float(low + size)), st.integers(0, 12), st.integers(1, 5))
box = st.tuples(span, span, span)


@given(st.lists(box, max_size=14))
def test_boxes_that_share_no_space_come_apart(boxes: list[Floated]) -> None:
    """Along any axis the one that begins last is in nobody's shadow."""
    kept: list[Floated] = []
    for one in boxes:
        if all(any(a[0] >= b[1] or b[0] >= a[1] for a, b in zip(one, other, strict=True)) for other in kept):
            kept.append(one)
    found = apart(*(unit(number, one) for number, one in enumerate(kept)))
    assert found.stuck == []
    assert len(found.left) >= len(kept) - 1


def shell(open_above: bool) -> tuple[Floated, ...]:
    """Five or six plates round a space from 1 to 9."""
    plates = [
        ((0.0, 10.0), (0.0, 10.0), (0.0, 1.0)),
        ((0.0, 1.0), (0.0, 10.0), (1.0, 9.0)),
        ((9.0, 10.0), (0.0, 10.0), (1.0, 9.0)),
        ((1.0, 9.0), (0.0, 1.0), (1.0, 9.0)),
        ((1.0, 9.0), (9.0, 10.0), (1.0, 9.0)),
    ]
    return tuple(plates if open_above else [*plates, ((0.0, 10.0), (0.0, 10.0), (9.0, 10.0))])


INNER: Floated = ((3.0, 6.0), (3.0, 6.0), (3.0, 6.0))


def test_a_box_in_an_open_shell_comes_out_above() -> None:
    found = apart(unit(1, INNER), unit(2, *shell(True), new=False))
    assert found.left[0][0] == "+z"


def test_a_box_in_a_closed_shell_is_stuck() -> None:
    found = apart(unit(1, INNER), unit(2, *shell(False), new=False), unit(3, ((20.0, 21.0),) * 3))
    assert found.stuck == [(0, 1)]


def less(whole: Floated, *holes: Floated) -> tuple[Floated, ...]:
    """Return a box without others, as boxes side by side."""

    def exact(one: Floated) -> Space:
        x, y, z = ((Fraction(low), Fraction(high)) for low, high in one)
        return (x, y, z)

    return tuple(floated(space) for space in without(exact(whole), [exact(hole) for hole in holes]))


def frame() -> list[Unit]:
    """Four legs and four rails, the rails with a tenon of 1 in a blind mortise at each end."""
    rails: list[Floated] = [((3.0, 21.0), (y, y + 2.0), (8.0, 10.0)) for y in (1.0, 21.0)]
    rails += [((x, x + 2.0), (3.0, 21.0), (12.0, 14.0)) for x in (1.0, 21.0)]
    legs: list[Floated] = [((x, x + 4.0), (y, y + 4.0), (0.0, 20.0)) for x in (0.0, 20.0) for y in (0.0, 20.0)]
    boxes = [less(leg, *rails) for leg in legs] + [(rail,) for rail in rails]
    return [unit(number, *one) for number, one in enumerate(boxes)]


def test_several_leave_together_where_none_can_alone() -> None:
    """No leg leaves two rails square to one another, no rail two legs: two legs with their rail do."""
    units = frame()
    passing = Passing(units, None, 0.0, Known())
    for number in range(len(units)):
        for way in STRAIGHT:
            assert any(passing.blocked(number, other, way) for other in range(len(units)) if other != number)
    assert Apart(passing).stuck == []


def test_a_frame_whose_legs_stand_takes_no_rail() -> None:
    units = frame()
    legs = Unit(tuple(copy for one in units[:4] for copy in one.copies), False)
    found = apart(legs, *units[4:])
    assert found.stuck == [(0, 1, 2, 3, 4)]


def test_dowels_leave_one_way_only() -> None:
    """A block under a shelf slides out to the front; on dowels it would have to go up."""
    base: Floated = ((0.0, 9.0), (0.0, 9.0), (0.0, 5.0))
    back: Floated = ((0.0, 9.0), (9.0, 10.0), (0.0, 13.0))
    lid: Floated = ((0.0, 9.0), (0.0, 9.0), (12.0, 13.0))
    block = unit(2, ((0.0, 9.0), (0.0, 9.0), (5.0, 8.0)))
    pins = (Pinned(("loose shelf", 1, ""), ("loose shelf", 2, ""), (0.0, 0.0, 1.0), 8.0),)
    assert apart(unit(1, base, back, lid, new=False), block).left[1][0] == "-y"
    assert apart(unit(1, base, back, lid, new=False), block, pinned=pins).stuck == [(0, 1)]
    assert apart(unit(1, base, back, new=False), block, pinned=pins).left[1][0] == "+z"
