from __future__ import annotations

import csv
import io
from fractions import Fraction

import pytest
from sample_plan import bookcase

from planbook.plan.model import Life
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
