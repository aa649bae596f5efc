from __future__ import annotations

from sample_plan import CASE, DADOS, GLUE_LIPS, PINS, RABBETS, SHELVES, bookcase

from planbook.shape.states import finished, new_in, state_after, state_before, version_after, version_before


def test_a_part_before_and_after_its_dados_is_two_versions() -> None:
    plan = bookcase()
    before, after = version_before(plan, "side", DADOS), version_after(plan, "side", DADOS)
    assert before != after
    assert before.cuts == ()
    assert after.cuts == ("shelf dados",)
    assert version_after(plan, "side", RABBETS).cuts == ("shelf dados", "back rabbet")
    assert version_after(plan, "side", PINS).cuts == ("shelf dados", "back rabbet", "shelf pins")


def test_an_edging_is_on_from_the_step_that_glues_it() -> None:
    plan = bookcase()
    assert version_before(plan, "top", GLUE_LIPS).edgings == ()
    assert version_after(plan, "top", GLUE_LIPS).edgings == ("lip of top",)


def test_the_case_stands_after_the_step_that_closes_it() -> None:
    plan = bookcase()
    assert state_before(plan, CASE) == ()
    names = [(one.placement.part, one.placement.hand) for one in state_after(plan, CASE)]
    assert names == [("side", "L"), ("side", "R"), ("bottom", ""), ("top", "")]
    assert new_in(plan, CASE) == state_after(plan, CASE)


def test_before_and_new_make_up_after_at_every_step() -> None:
    plan = bookcase()
    for step in plan.steps:
        both = {one.placement for one in (*state_before(plan, step.number), *new_in(plan, step.number))}
        assert both == {one.placement for one in state_after(plan, step.number)}


def test_the_last_step_leaves_the_finished_piece() -> None:
    plan = bookcase("metric")
    assert state_after(plan, SHELVES) == finished(plan)
    assert len(finished(plan)) == len(plan.placements)
