from __future__ import annotations

from dataclasses import replace

from sample_plan import bookcase

from planbook.checks.last import Last
from planbook.checks.spaces import standing


def test_the_same_object_is_asked_about_once() -> None:
    asked: list[object] = []
    answer = Last(lambda thing: asked.append(thing) or len(asked))  # type: ignore[func-returns-value]
    one, other = object(), object()
    assert [answer(one), answer(one), answer(other), answer(one)] == [1, 1, 2, 3]


def test_another_plan_gets_its_own_answer() -> None:
    plan = bookcase()
    moved = replace(plan, placements=plan.placements[1:])
    assert standing(plan) is standing(plan)
    assert len(standing(moved)) == len(standing(plan)) - 1


def test_equal_objects_are_told_apart() -> None:
    answer = Last(id)
    one, other = [1], [1]
    assert answer(one) != answer(other)
