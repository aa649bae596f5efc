from __future__ import annotations

import csv
import io
from fractions import Fraction

import pytest
from fixtures.target_books import target_plan
from sample_plan import bookcase

from planbook.plan.model import Life, Role
from planbook.publish.tables import parts_table
from planbook.units.write import read_back


def table(edition: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(parts_table(bookcase(edition)).decode("utf-8"), newline="")))


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_pieces_add_up_and_sizes_read_back(edition: str) -> None:
    plan, rows = bookcase(edition), table(edition)
    assert sum(int(row["pieces"]) for row in rows) == sum(part.count for part in plan.parts)
    for row in rows:
        part = plan.part(row["part"])
        assert read_back(row["finished length"]) == part.length.final
        assert read_back(row["finished width"]) == part.width.final
        assert read_back(row["thick"]) == part.thick
        expected = part.length.rough if part.length.life is Life.LONG else part.body_length
        assert read_back(row["length"]) == expected


def test_decimals_are_the_same_sizes() -> None:
    for row in table("imperial"):
        decimals = Fraction(row["length in decimals (in)"]) * Fraction(254, 10)
        assert abs(decimals - read_back(row["length"])) < Fraction(1, 1000)


def test_a_pair_has_a_row_for_each_hand() -> None:
    sides = [row for row in table("metric") if row["part"] == "side"]
    assert [(row["hand"], row["pieces"]) for row in sides] == [("left", "1"), ("right", "1")]


def test_weights_of_the_parts_add_up_to_that_of_the_piece() -> None:
    plan = target_plan("a", "metric")
    rows = list(csv.DictReader(io.StringIO(parts_table(plan).decode("utf-8"))))
    kept = {part.key for part in plan.parts if part.role is Role.PART}
    whole = sum(float(row["weight of one (kg)"]) * int(row["pieces"]) for row in rows if row["part"] in kept)
    assert plan.mass is not None
    # Cuts are not taken out of one part, but they are out of the whole.
    assert float(plan.mass) <= whole < float(plan.mass) * 1.05
