"""A plan cut from the boards that its shop has: by paper and scissors, in words, and what is wrong with the list."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
from cutting.test_plan_layouts import scissors
from fixtures.target_books import target_plan

from planbook.cutting.board_problem import BUY
from planbook.cutting.buying import buying_list
from planbook.cutting.diagram import diagrams_of
from planbook.cutting.lots import Lot, solve, tasks_of
from planbook.cutting.practice import Practice
from planbook.cutting.shop import practice_of
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.source.schema.book import ShopFacts
from planbook.source.validate import validated
from planbook.source.yaml_nodes import load
from planbook.units.editions import EDITIONS

BOARDS = """\
boards:
  ash 1:
    of: white ash
    thick: 2 in
    length: 62 in
    width: 6 1/2 in
    faces: 1
    defects:
      knot: {is: knot, from: 20 in, to: 23 in, wide: 2 in, edge: far}
      pin: {is: pin knot, from: 40 in, to: 41 in, wide: 1/2 in, from near edge: 3 in}
  ash 2: {of: white ash, thick: 2 in, length: 50 in, width: 7 in, defects: {split: {is: split, from: 0 in, to: 4 in}}}
  thin: {of: white ash, thick: 1 in, length: 90 in, width: 9 in, edges: straight, count: 2}
"""
EDITION = ("imperial", "metric")


def practice(tmp_path: Path, edition: str, text: str = BOARDS) -> tuple[Practice, Findings]:
    path, findings = tmp_path / "shop.yaml", Findings()
    path.write_text(text)
    source = Sources().read(tmp_path, "shop.yaml", findings)
    assert source is not None
    node = load(source, findings)
    assert node is not None
    shop = validated(ShopFacts, node, findings)
    assert shop is not None
    return practice_of(shop, EDITIONS[edition], findings), findings


def lot_of(tmp_path: Path, edition: str, text: str = BOARDS) -> tuple[Lot, Practice]:
    habits, findings = practice(tmp_path, edition, text)
    assert not list(findings)
    (task,) = tasks_of(target_plan("b", edition), habits)
    return solve(task), habits


@pytest.mark.parametrize("edition", EDITION)
def test_scissors_get_the_parts_from_sound_wood(tmp_path: Path, edition: str) -> None:
    lot, habits = lot_of(tmp_path, edition)
    got: Counter[str] = Counter()
    assert [board.key for board in lot.task.boards] == ["ash 1", "ash 2"]  # the others are too thin
    for diagram in diagrams_of(lot, habits):
        bench = scissors(diagram)
        for lying in diagram.lying:
            assert lying.at in bench
            got[lying.wanted.key] += diagram.repeats
            for spoiled in diagram.spoiled:
                at, bad = lying.at, spoiled.at
                beside = bad.x >= at.x + at.length or at.x >= bad.x + bad.length
                above = bad.y >= at.y + at.width or at.y >= bad.y + bad.width
                assert beside or above
    plan = target_plan("b", edition)
    assert got["B"] == plan.part("leg").count
    assert got["A"] == 3  # the author's strips: 13 in and what is planed off, up to 5 in wide each
    assert all(wanted.length >= plan.part(wanted.part).length.final for wanted in lot.task.wanted)


def test_what_lacks_is_bought_and_listed(tmp_path: Path) -> None:
    short = BOARDS.replace("length: 50 in", "length: 30 in").replace("length: 62 in", "length: 45 in")
    lot, habits = lot_of(tmp_path, "imperial", short)
    assert BUY in lot.solution.stock
    lines = buying_list(target_plan("b", "imperial"), [lot], habits, {})
    lumber = [line for line in lines if line.group == "lumber"]
    assert lumber[0].buy == "nothing, they are on hand"
    assert "or more, clear" in lumber[1].buy


@pytest.mark.parametrize(
    ("old", "new", "slug"),
    [
        ("from: 20 in, to: 23 in", "from: 70 in, to: 73 in", "defect-off-board"),
        ("wide: 2 in, edge: far", "wide: 20 in, edge: far", "defect-off-board"),
        ("edge: far", "edge: top", "which-edge"),
        ("length: 62 in", "length: 0 in", "size-not-positive"),
        ("width: 6 1/2 in", "width: 6 1/2 lb", "wrong-unit"),
        ("faces: 1", "faces: 3", "wrong-number"),
        ("count: 2", "count: -2", "wrong-number"),
        ("edges: straight", "edges: strait", "unknown-word"),
    ],
)
def test_faults_of_the_list_are_named(tmp_path: Path, old: str, new: str, slug: str) -> None:
    _, findings = practice(tmp_path, "imperial", BOARDS.replace(old, new))
    (found,) = findings
    assert found.slug == slug
    assert found.span is not None
    assert found.help


def test_a_stretch_is_rounded_outwards(tmp_path: Path) -> None:
    habits, _ = practice(tmp_path, "metric")
    lot = solve(tasks_of(target_plan("b", "metric"), habits)[0])
    for board, hand in zip(lot.task.boards, habits.boards, strict=False):
        assert board.length <= hand.length < board.length + 1
        for defect, seen in zip(board.defects, hand.defects, strict=True):
            assert defect.at.x <= seen.start
            assert defect.at.x + defect.at.length >= seen.stop
            assert Fraction(defect.at.width) >= seen.high - seen.low
