from __future__ import annotations

from dataclasses import replace

from checks.altered import MM, found, moved, with_part
from hypothesis import given
from hypothesis import strategies as st
from sample_plan import bookcase

from planbook.checks.hands import MIRRORS, TURNS, features
from planbook.plan.model import Placement, Plan
from planbook.source.diagnostics import Severity


def unpaired(plan: Plan, *, turned: bool) -> Plan:
    """Two sides that are no pair; the right one is only shifted, or stands as a mirror image."""
    side, wide = plan.part("side"), plan.overall[0]

    def stand(item: Placement) -> Placement:
        if item.part != "side" or item.hand != "R":
            return replace(item, hand="")
        if turned:
            return replace(item, hand="")
        return replace(item, hand="", axes=("+z", "+y", "+x"), origin=(wide - side.thick, MM * 0, MM * 0))

    plan = with_part(plan, "side", pair=False)
    return replace(plan, placements=tuple(stand(item) for item in plan.placements))


def test_a_pair_passes():
    assert found("two-lefts", bookcase()) == ()


def test_two_sides_alike_at_both_ends_are_two_lefts():
    (item,) = found("two-lefts", unpaired(bookcase(), turned=False))
    assert item.severity is Severity.WARN
    assert item.help == "write `pair: left right` instead of `count: 2`"


def test_two_sides_that_stand_mirrored_are_two_lefts():
    assert len(found("two-lefts", unpaired(bookcase(), turned=True))) == 1


def test_two_plain_sides_may_be_alike():
    plan = with_part(unpaired(bookcase(), turned=False), "side", cuts=(), holes=(), edgings=())
    assert found("two-lefts", plan) == ()


def test_a_side_that_is_its_own_mirror_image_needs_no_pair():
    plan = unpaired(bookcase(), turned=False)
    dados = tuple(cut for cut in plan.part("side").cuts if cut.name == "shelf dados")
    assert found("two-lefts", with_part(plan, "side", cuts=dados, holes=(), edgings=())) == ()


def test_dividers_that_do_not_stand_opposite_may_be_alike():
    plan = unpaired(bookcase(), turned=False)
    assert found("two-lefts", moved(plan, "side", x=-50 * MM, copy=2)) == ()


def separate(*, mirrored: bool) -> Plan:
    """The pair of sides as two parts written apart."""
    plan = bookcase()
    side = replace(plan.part("side"), pair=False, count=1)
    sizes = {"l": side.length.final, "w": side.width.final, "t": side.thick}

    def flip(span: tuple, axis: str) -> tuple:
        return (sizes[axis] - span[1], sizes[axis] - span[0]) if mirrored else span

    def other(thing):
        return replace(thing, box=replace(thing.box, t=flip(thing.box.t, "t")))

    right = replace(
        side,
        key="right side",
        cuts=tuple(other(cut) for cut in side.cuts),
        edgings=tuple(other(edging) for edging in side.edgings),
        holes=tuple(replace(hole, from_show=hole.from_show != mirrored) for hole in side.holes),
    )
    return replace(plan, parts=(side, right, *plan.parts[1:]))


def test_two_parts_that_are_mirror_images_are_noted():
    (item,) = found("mirrored-parts", separate(mirrored=True))
    assert item.severity is Severity.NOTE
    assert "`side` and `right side`" in item.message


def test_two_parts_that_are_the_same_are_not_mirrored():
    assert found("mirrored-parts", separate(mirrored=False)) == ()


def test_a_hole_right_through_has_no_hand():
    side = bookcase().part("side")
    through = replace(side.holes[0], deep=None)
    front = replace(side, cuts=(), edgings=(), holes=(through,))
    back = replace(front, holes=(replace(through, from_show=False),))
    assert features(front) == features(back)
    assert features(front, "t") == features(front)


@given(st.sampled_from((*TURNS, *MIRRORS)), st.sampled_from((*TURNS, *MIRRORS)))
def test_turns_and_mirror_images_go_together_as_a_group(one: str, other: str):
    # Two turns are a turn, a turn and a mirror image are a mirror image, two mirror images are a turn.
    both = "".join(axis for axis in "lwt" if (axis in one) != (axis in other))
    assert (both in TURNS) == ((one in TURNS) == (other in TURNS))
