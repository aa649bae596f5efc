"""Parts on their straight ways into place: the bench in another order of work, and blocks by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from checks.altered import INCH, moved, with_cuts, with_joint, with_part
from checks.altered_bench import bench, outcomes, told
from fixtures.small_books import CASE, make, step_text
from fixtures.target_books import target_plan
from hypothesis import given
from hypothesis import strategies as st

from planbook.checks.copies import WAYS, in_the_way
from planbook.checks.neighbours import near_pairs
from planbook.checks.subject import Subject, subject_of
from planbook.plan.model import Cut, Plan
from planbook.source.diagnostics import Severity

CLOSED, SEAT = 14, 16


def rails_last(plan: Plan, rails_in: int) -> Plan:
    """The bench with its seat fixed to the sides first, and its rails brought in step `rails_in`."""
    changed = with_joint(plan, "rail grooves", joined_in=rails_in)
    changed = with_joint(changed, "seat joint", receiving=("side",), joined_in=CLOSED)
    for key, step in (("front rail", rails_in), ("back rail", rails_in), ("seat", CLOSED)):
        changed = with_part(changed, key, joined_in=step)
    return changed


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_the_bench_goes_together(tmp_path: Path, edition: str) -> None:
    found = outcomes("trapped-part", bench(tmp_path, edition=edition))
    assert all(outcome.problem is None for outcome in found.values())
    assert found[f"step {SEAT}"].figure == "seat from above, loose shelf from the front"


def test_rails_under_a_seat_that_is_fixed_are_trapped(tmp_path: Path) -> None:
    subject = bench(tmp_path)
    (item,) = told("trapped-part", Subject(rails_last(subject.plan, SEAT)))
    assert item.severity is Severity.WARN
    assert "`front rail` cannot be moved to its place in step 16 along any straight way" in item.message
    # The tongue is 1/4 in less the room of 1/64 in.
    assert "stands 15/64 in in its way, the limit is 1/64 in" in item.message


def test_rails_in_the_same_step_as_the_seat_are_not(tmp_path: Path) -> None:
    assert told("trapped-part", Subject(rails_last(bench(tmp_path).plan, CLOSED))) == ()


def test_a_seat_that_only_lies_there_is_lifted_off(tmp_path: Path) -> None:
    plan = rails_last(bench(tmp_path).plan, SEAT)
    assert told("trapped-part", Subject(with_joint(plan, "seat joint", joined_in=SEAT + 1))) == ()


@pytest.mark.parametrize(("lower", "trapped"), [(0, False), (1, False), (2, True)])
def test_a_groove_that_ends_below_the_upper_end_of_the_side(tmp_path: Path, lower: int, trapped: bool) -> None:
    """The sides are closed and the rails come from above: wood of 1/64 in over the groove is no more than rounding."""
    down = lower * INCH / 64
    plan = bench(tmp_path).plan
    for key in ("front rail", "back rail"):
        plan = with_part(plan, key, joined_in=CLOSED)
        plan = moved(plan, key, z=-down) if lower else plan
    plan = with_joint(plan, "rail grooves", joined_in=CLOSED)
    if lower:
        plan = with_cuts(plan, "side", lambda cut: lowered(cut, down) if cut.name == "rail grooves" else cut)
    found = told("trapped-part", Subject(plan))
    assert bool(found) == trapped
    if trapped:
        assert "`front rail` cannot be moved" in found[0].message


def lowered(cut: Cut, down: Fraction) -> Cut:
    low, high = cut.box.l
    return replace(cut, box=replace(cut.box, l=(low - down, high - down)))


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_the_stool_goes_together_along_its_leaning_legs(edition: str) -> None:
    (found,) = outcomes("trapped-part", Subject(target_plan("b", edition))).values()
    assert found.problem is None


RAIL = "\nrail: {of: ply, between: side, width: 3 in, faces: front, flush: front, upper face: 1 in below top of side}"


def case(folder: Path, by: str, steps: str) -> Subject:
    """The plain case with a rail between its sides."""
    words = {
        "parts": CASE["parts"] + RAIL,
        "joints": f"{CASE['joints']}\nrail joint: {{butt: rail, to: side, by: {by}}}",
    }
    read = make(folder, words, steps=steps)
    assert read.book is not None
    return subject_of(read.plan(), read.book.plans[0], read.book.shop)


SAW = step_text("Saw", "cuts: [side, bottom, rail, dados]")
SAW_AND_BORE = step_text("Saw", "cuts: [side, bottom, rail, dados, rail joint]")
TOGETHER = step_text("Glue", "joins: [dados, rail joint]")
ONE_BY_ONE = step_text("Glue", "joins: [dados]") + step_text("Glue the rail", "joins: [rail joint]")
DOWELS = '"3/8 in x 2 in dowel", each: 2'


def test_a_rail_on_dowels_does_not_go_between_sides_that_stand(tmp_path: Path) -> None:
    (item,) = told("trapped-part", case(tmp_path, DOWELS, SAW_AND_BORE + ONE_BY_ONE))
    assert item.message.startswith("`rail` cannot be moved to its place in step 3 along any straight way")
    assert "stands 3/8 in in its way" in item.message


def test_a_rail_on_dowels_goes_in_with_its_sides(tmp_path: Path) -> None:
    subject = case(tmp_path, DOWELS, SAW_AND_BORE + TOGETHER)
    assert len(subject.plan.fastened[0].places) == 4
    assert told("trapped-part", subject) == ()


def test_a_rail_that_is_only_glued_slides_in(tmp_path: Path) -> None:
    assert told("trapped-part", case(tmp_path, "glue", SAW + ONE_BY_ONE)) == ()


SPLAYED = (
    "seat: {of: thick oak, disc: 16 in, top: 18 in above floor}\n"
    "leg: {of: thick oak, count: 4, shape: square, square: full, length: floor to underside of seat, thick: "
    "[full at foot, full at top], around: seat centre, on: 10 in, of face: seat underside, first: 45 deg from grain, "
    "splay: 10 deg}\n"
    "apron: {of: oak, length: 6 31/32 in, width: 3 in, faces: front, runs: across, underside: 12 1/2 in above floor, "
    "left face: 4 33/64 in, front face: 4 3/32 in}\n"
    "back apron: {like: apron, front face: 11 5/32 in}"
)


def test_splayed_legs_go_onto_the_dowels_of_a_mitred_apron_along_these(tmp_path: Path) -> None:
    """The dowels lean as the ends of the apron do: 10 degrees off each of the six directions."""
    groups = {
        "stock": "oak: {lumber: white oak, nominal: 4/4, to: 3/4 in}\n"
        "thick oak: {lumber: white oak, nominal: 8/4, to: 1 1/2 in}",
        "dims": "",
        "parts": SPLAYED,
        "cuts": "ends: {mitre: 10 deg, at: each end, along: lower edge, in: [apron, back apron]}",
        "joints": "corners: {butt: [apron, back apron], to: leg, by: 3/8 x 1 1/2 in dowel, each: 2}",
    }
    steps = step_text("Make it", "cuts: [seat, leg, shape of leg, apron, back apron, ends], joins: [corners]")
    read = make(tmp_path, groups, steps=steps)
    assert read.book is not None
    plan = read.plan()
    assert len(plan.fastened[0].places) == 4
    assert told("trapped-part", subject_of(plan, read.book.plans[0], read.book.shop)) == ()
    # With the legs fast to the seat, nothing goes between them any more.
    early = with_part(with_part(plan, "leg", joined_in=0), "seat", joined_in=0)
    held = replace(plan.joints[0], name="legs", kind="socket", receiving=("seat",), entering=("leg",), joined_in=0)
    (item,) = told("trapped-part", Subject(replace(early, joints=(*plan.joints, held))))
    assert "apron` cannot be moved to its place in step 1 along any straight way" in item.message


ends = st.builds(lambda low, size: (float(low), float(low + size)), st.integers(0, 8), st.integers(1, 6))
box = st.tuples(ends, ends, ends)


@given(st.lists(box, max_size=12))
def test_the_sweep_finds_what_all_pairs_find(boxes: list) -> None:
    exact = [tuple((Fraction(low), Fraction(high)) for low, high in one) for one in boxes]
    overlapping = {
        (i, j)
        for i in range(len(boxes))
        for j in range(i + 1, len(boxes))
        if all(a[0] < b[1] and b[0] < a[1] for a, b in zip(boxes[i], boxes[j], strict=True))
    }
    found = near_pairs(exact)
    assert found == sorted(found)
    assert overlapping <= set(found)
    assert all(all(a[0] <= b[1] and b[0] <= a[1] for a, b in zip(boxes[i], boxes[j], strict=True)) for i, j in found)


@given(box, box)
def test_a_box_that_is_moved_away_meets_what_is_in_its_way_and_nothing_else(mine: tuple, theirs: tuple) -> None:
    apart = any(a[0] >= b[1] or b[0] >= a[1] for a, b in zip(mine, theirs, strict=True))
    widths = in_the_way([mine], [theirs], 0.0)
    for way, width in zip(WAYS, widths, strict=True):
        axis, far = "xyz".index(way[1]), 100.0 if way[0] == "+" else -100.0
        low, high = mine[axis]
        swept = list(mine)
        swept[axis] = (min(low, low + far), max(high, high + far))
        hit = all(a[0] < b[1] and b[0] < a[1] for a, b in zip(swept, theirs, strict=True))
        assert (width > 0) == (hit and apart)


def test_many_leaning_parts_take_no_long_time_and_say_what_was_left_out() -> None:
    """Four stools pushed into each other: too many parts hold each other to look at them as solids."""
    plan = target_plan("b", "imperial")
    placements = tuple(
        replace(item, copy=item.copy + 10 * number, origin=(item.origin[0] + 300 * number, *item.origin[1:]))
        for number in range(4)
        for item in plan.placements
    )
    (found,) = outcomes("trapped-part", Subject(replace(plan, placements=placements))).values()
    assert found.problem is None
    assert "hold each other as boxes" in found.missing
