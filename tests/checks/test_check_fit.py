from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from checks.altered import INCH, MM, found, moved, with_joint, with_part, written
from hypothesis import given
from hypothesis import strategies as st
from sample_plan import bookcase

from planbook.checks.spaces import common, gap, without
from planbook.plan.boxes import Space
from planbook.plan.model import Size
from planbook.source.diagnostics import Severity

EDITIONS = ["imperial", "metric"]
STEP = INCH / 64


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("slug", ["parts-overlap", "joint-open", "parts-outside"])
def test_the_sample_fits(edition: str, slug: str):
    assert found(slug, bookcase(edition)) == ()


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("slug", ["parts-overlap", "joint-open", "parts-outside"])
def test_a_resolved_plan_fits(tmp_path: Path, edition: str, slug: str):
    assert found(slug, written(tmp_path, edition=edition)) == ()


def test_a_kick_board_in_the_bottom_stops_the_plan():
    (item,) = found("parts-overlap", moved(bookcase(), "kick board", z=2 * STEP))
    assert item.severity is Severity.STOP
    assert item.message == "`bottom` and `kick board` run into each other by 1/32 in, the limit is 1/64 in"
    assert found("parts-overlap", moved(bookcase(), "kick board", z=STEP)) == ()


def test_the_metric_edition_allows_half_a_step():
    plan = bookcase("metric")
    assert found("parts-overlap", moved(plan, "kick board", z=MM / 2)) == ()
    (item,) = found("parts-overlap", moved(plan, "kick board", z=MM * Fraction(6, 10)))
    assert "by 0.6 mm, the limit is 0.5 mm" in item.message


def test_a_shelf_beside_its_dado_is_in_the_side():
    (item,) = found("parts-overlap", moved(bookcase(), "top", z=INCH / 8))
    assert "`left side` and `top` run into each other by 1/8 in" in item.message


def test_a_shelf_too_long_for_its_dados_is_in_the_side():
    top = bookcase().part("top")

    def longer(mm: Fraction) -> Size:
        return Size(final=top.length.final + mm, rough=top.length.final + mm)

    # The room at the right end is 1/64 in, and so is the limit.
    assert found("parts-overlap", with_part(bookcase(), "top", length=longer(2 * STEP), edgings=())) == ()
    (item,) = found("parts-overlap", with_part(bookcase(), "top", length=longer(3 * STEP), edgings=()))
    assert "`right side` and `top`" in item.message


def test_two_copies_in_one_place_are_found():
    plan = bookcase()
    heights = [item.origin[2] for item in plan.placements if item.part == "loose shelf"]
    (item,) = found("parts-overlap", moved(plan, "loose shelf", z=heights[0] - heights[1], copy=2))
    assert "copies 1 and 2 of `loose shelf`" in item.message


def test_an_edging_lower_than_its_shelf_is_looked_at():
    plan = bookcase()
    heights = [item.origin[2] for item in plan.placements if item.part == "loose shelf"]
    thick, rail = plan.part("loose shelf").thick, INCH * Fraction(5, 4)
    # The rail hangs below the upper shelf by the difference of its height and the thickness.
    down = heights[1] - heights[0] - rail
    assert rail > thick
    assert found("parts-overlap", moved(plan, "loose shelf", z=-down, copy=2)) == ()
    assert len(found("parts-overlap", moved(plan, "loose shelf", z=-down - INCH / 8, copy=2))) == 1


def test_a_cut_of_one_hand_is_empty_on_that_hand_only():
    plan = bookcase()
    cuts = tuple(replace(cut, hand="L") for cut in plan.part("side").cuts)
    messages = [item.message for item in found("parts-overlap", with_part(plan, "side", cuts=cuts))]
    assert messages
    assert all("`right side`" in message for message in messages)


def test_a_kick_board_below_the_bottom_leaves_a_joint_open():
    plan = bookcase()
    (item,) = found("joint-open", moved(plan, "kick board", z=-3 * STEP))
    assert item.severity is Severity.WARN
    assert item.message == "`kick joint` stays open at `bottom` by 3/64 in, the limit is 1/32 in"
    assert found("joint-open", moved(plan, "kick board", z=-2 * STEP)) == ()


def test_a_short_kick_board_leaves_a_side_open():
    kick = bookcase().part("kick board")

    def shorter(steps: int) -> Size:
        return replace(kick.length, final=kick.length.final - steps * STEP)

    (item,) = found("joint-open", with_part(bookcase(), "kick board", length=shorter(3)))
    assert "`kick joint` stays open at `right side`" in item.message
    assert found("joint-open", with_part(bookcase(), "kick board", length=shorter(2))) == ()


def test_a_shelf_as_long_as_the_clear_width_does_not_enter_its_dados():
    top = bookcase().part("top")
    deep, room = INCH / 4, INCH / 64
    clear = replace(top.length, final=top.length.final - 2 * deep + 2 * room)
    plan = moved(with_part(bookcase(), "top", length=clear, edgings=()), "top", x=deep - room)
    names = [item.message.split(" by ")[0] for item in found("joint-open", plan)]
    assert names == ["`shelf dados` stays open at `left side`", "`shelf dados` stays open at `right side`"]


def test_a_shelf_half_way_into_its_dado_passes():
    assert found("joint-open", moved(bookcase(), "top", x=INCH / 8 - INCH / 64)) == ()
    (item,) = found("joint-open", moved(bookcase(), "top", x=INCH / 8))
    assert "at `left side` by 9/64 in, the limit is 1/8 in" in item.message


def test_more_room_opens_no_joint():
    plan = moved(bookcase(), "kick board", z=-6 * STEP)
    assert len(found("joint-open", plan)) == 1
    assert found("joint-open", with_joint(plan, "kick joint", room=4 * STEP)) == ()


def test_a_joint_of_one_hand_asks_nothing_of_the_other(tmp_path: Path):
    subject = written(tmp_path, ("to: [side, bottom], by: glue, blocks: 3", "to: [left side, bottom], by: glue"))
    kick = subject.plan.part("kick board")
    short = replace(kick.length, final=kick.length.final - INCH)
    assert found("joint-open", replace(subject, plan=with_part(subject.plan, "kick board", length=short))) == ()


def test_a_part_beyond_the_dims_is_doubtful():
    (item,) = found("parts-outside", moved(bookcase(), "top", z=INCH + 2 * STEP))
    assert item.severity is Severity.WARN
    assert item.message == "`top` stands out at the upper side by 1/32 in, the piece is 47 in by its dim `high`"
    assert found("parts-outside", moved(bookcase(), "top", z=INCH + STEP)) == ()


def test_a_part_in_front_of_the_piece_is_doubtful():
    (item,) = found("parts-outside", moved(bookcase(), "bottom", y=-INCH))
    assert "`bottom` stands out at the front by 1 in" in item.message


def box(numbers: st.SearchStrategy[int]) -> st.SearchStrategy[Space]:
    span = (
        st.tuples(numbers, numbers)
        .filter(lambda ends: ends[0] != ends[1])
        .map(lambda ends: (Fraction(min(ends)), Fraction(max(ends))))
    )
    return st.tuples(span, span, span)


BOXES = box(st.integers(0, 6))


def volume(space: Space) -> Fraction:
    (a, b), (c, d), (e, f) = space
    return (b - a) * (d - c) * (f - e)


@given(BOXES, st.lists(BOXES, max_size=3))
def test_what_is_left_of_a_box_is_what_no_hole_covers(whole: Space, holes: list[Space]):
    def covers(space: Space, at: tuple[Fraction, Fraction, Fraction]) -> bool:
        return all(low < place < high for (low, high), place in zip(space, at, strict=True))

    pieces = without(whole, holes)
    half = [Fraction(2 * k + 1, 2) for k in range(6)]
    for at in ((x, y, z) for x in half for y in half for z in half):
        wanted = covers(whole, at) and not any(covers(hole, at) for hole in holes)
        assert sum(covers(piece, at) for piece in pieces) == wanted


@given(BOXES, BOXES)
def test_boxes_apart_share_nothing(one: Space, other: Space):
    assert (gap(one, other) < 0) == (common(one, other) is not None)
    assert gap(one, other) == gap(other, one)
