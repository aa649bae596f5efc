"""The picture of the step that saws out a part with natural edges, or a ramp."""

from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.target_books import target_plan

from planbook.drawing.sawing import sawing_picture
from planbook.plan.resolve import resolve
from planbook.source.book import read_book
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.units.editions import EDITIONS
from planbook.units.write import plain_length


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_a_slab_is_shown_with_its_edges_and_at_the_length_it_is_sawn_to(edition: str) -> None:
    plan = target_plan("c", edition)
    top = plan.part("top")
    step = next(step for step in plan.steps if "top" in step.makes)
    picture = sawing_picture(plan, step, width=180, height=100)
    assert top.length.rough > top.length.final
    wanted = " by ".join(plain_length(size.final, plan.edition) for size in (top.length, top.width))
    assert wanted in picture.alt
    (ring,) = (area.outer for area in picture.areas)
    assert len(ring) > 20  # a rectangle would have four corners
    high = max(y for _, y in ring) - min(y for _, y in ring)
    long = max(x for x, _ in ring) - min(x for x, _ in ring)
    assert high / long == pytest.approx(float(top.width.final / top.length.final), rel=0.01)


def test_a_ramp_is_shown_from_its_side() -> None:
    plan = target_plan("b", "imperial")
    step = next(step for step in plan.steps if "ramp" in step.makes)
    picture = sawing_picture(plan, step, width=180, height=100)
    # 12 in x tan 12 deg = 2.55 in
    assert "rising 2 9/16 in" in picture.alt
    (area,) = picture.areas
    long, high = (max(spot[at] for spot in area.outer) - min(spot[at] for spot in area.outer) for at in (0, 1))
    assert len(area.outer) == 3
    assert high / long == pytest.approx((2 + 9 / 16) / 12, rel=0.001)


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_a_board_is_shown_as_the_cut_list_says_and_not_as_rough_as_it_was(edition: str) -> None:
    findings = Findings()
    book = read_book(Path(__file__).parents[2] / "content", findings, Sources())
    assert book is not None
    source = next(item for item in book.plans if item.slug == "saw-bench")
    plan = resolve(source, book.shop, EDITIONS[edition], findings)
    assert plan is not None
    leg, fence = plan.part("leg"), plan.part("fence")
    assert fence.length.rough > fence.body_length
    step = next(step for step in plan.steps if "leg" in step.makes)
    said = sawing_picture(plan, step, width=180, height=100).alt
    # The leg is left long and trimmed later; the fence is cut once and for all.
    for long, wide in ((leg.length.rough, leg.body_width), (fence.body_length, fence.body_width)):
        assert f"{plain_length(long, plan.edition)} by {plain_length(wide, plan.edition)}" in said
