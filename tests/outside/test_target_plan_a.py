"""A bookcase with loose shelves, its sizes worked out by hand (common practice, no source).

The plan stands in `tests/fixtures/target-a`. Inch figures are to the nearest 1/32; plywood measures
23/32 in, in the metric edition 18 mm.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from fixtures.target_books import target_plan

from planbook.plan.model import Plan
from planbook.units.editions import EDITIONS
from planbook.units.write import plain_length


def bookcase(edition: str) -> Plan:
    return target_plan("a", edition)


def size(edition: str, part: str, word: str) -> str:
    """The size of a part as it is written: `29 1/32 in`, `735 mm`."""
    found = bookcase(edition).part(part)
    mm = found.body_width if word == "body" else getattr(found, word).final
    return plain_length(mm, EDITIONS[edition])


@pytest.mark.parametrize(
    ("part", "word", "inches"),
    [
        ("kick board", "length", "28 9/16 in"),  # the clear distance: 30 - 2 x 23/32
        ("bottom", "length", "29 1/32 in"),  # + 2 x 1/4 - 2 x 1/64
        ("top", "length", "29 1/32 in"),
        ("bottom", "width", "11 in"),
        ("bottom", "body", "10 3/4 in"),
        ("top", "body", "10 3/4 in"),
        ("loose shelf", "length", "28 7/16 in"),  # clear - 2 x 1/16
        ("loose shelf", "width", "10 7/8 in"),
        ("loose shelf", "body", "10 1/8 in"),
        ("panel", "length", "29 3/16 in"),  # clear + 2 x 3/8 - 2 x 1/16
        ("panel", "width", "43 in"),
        ("side", "length", "47 in"),
        ("side", "width", "11 1/4 in"),
        ("side", "body", "11 in"),
    ],
)
def test_inch_sizes(part: str, word: str, inches: str) -> None:
    assert size("imperial", part, word) == inches


@pytest.mark.parametrize(
    ("part", "word", "millimetres"),
    [
        ("kick board", "length", "724 mm"),  # the clear distance: 760 - 2 x 18
        ("bottom", "length", "735 mm"),  # + 2 x 6 - 2 x 0.5
        ("loose shelf", "length", "720 mm"),  # clear - 2 x 2
    ],
)
def test_metric_sizes(part: str, word: str, millimetres: str) -> None:
    assert size("metric", part, word) == millimetres


def test_metric_piece_is_760_wide_with_dados_of_6() -> None:
    plan = bookcase("metric")
    assert plan.overall[0] == 760
    dado = next(cut for cut in plan.part("side").cuts if cut.name == "shelf dados")
    assert dado.deep == 6
    assert dado.wide == 18


def test_lower_edge_of_the_top_dado_stands_45_and_9_32_from_the_foot() -> None:
    dados = [cut for cut in bookcase("imperial").part("side").cuts if cut.for_part == "top"]
    assert [plain_length(cut.box.l[0], EDITIONS["imperial"]) for cut in dados] == ["45 9/32 in"]


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_each_row_has_21_pin_holes(edition: str) -> None:
    holes = bookcase(edition).part("side").holes
    assert [sum(hole.row == row for hole in holes) for row in (1, 2)] == [21, 21]


def test_metric_pin_holes_stand_32_apart() -> None:
    row = [hole.l for hole in bookcase("metric").part("side").holes if hole.row == 1]
    assert {second - first for first, second in pairwise(row)} == {Fraction(32)}


def test_letters_follow_the_order_of_the_parts() -> None:
    parts = [part.key for part in bookcase("imperial").parts[:6]]
    assert parts == ["side", "bottom", "top", "loose shelf", "kick board", "panel"]
    assert [part.letter for part in bookcase("imperial").parts[:6]] == list("ABCDEF")


def test_look_up_table_for_the_plywood_in_hand() -> None:
    (table,) = bookcase("imperial").measured
    rows = dict(table.rows)
    assert [plain_length(mm, EDITIONS["imperial"]) for mm in table.columns] == ["11/16 in", "23/32 in", "3/4 in"]
    # A sheet 1/32 thinner leaves the sides 1/16 further apart.
    lengths = [plain_length(mm, EDITIONS["imperial"]) for mm in rows["loose shelf, length"]]
    assert lengths == ["28 1/2 in", "28 7/16 in", "28 3/8 in"]
