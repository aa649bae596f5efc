from __future__ import annotations

import csv
import io

import pytest
from fixtures.target_books import target_plan
from sample_plan import bookcase

from planbook.plan.drilling import hole_schedule
from planbook.publish.sheet_fittings import fittings
from planbook.publish.sheet_holes import holes, holes_table
from planbook.publish.tables import parts_table


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_every_hole_is_in_one_row_and_under_one_bit(edition: str) -> None:
    plan = bookcase(edition)
    told = holes(plan)
    bored = sum(len(part.holes) * part.count for part in plan.parts)
    assert sum(bit["count"] for bit in told["bits"]) == bored
    assert sum(part["holes"] for part in told["parts"]) == bored
    (side,) = told["parts"]
    rows = [row for face in side["sides"] for row in face["rows"]]
    numbers = [part for row in rows for part in row["numbers"].split(" – ")]
    assert (numbers[0], numbers[-1]) == ("1", str(len(plan.part("side").holes)))


def test_equal_holes_are_one_row_with_start_spacing_and_number() -> None:
    (side,) = holes(bookcase("metric"))["parts"]
    rows = [row for face in side["sides"] for row in face["rows"]]
    assert len(rows) == 2
    assert rows[0]["x"].endswith("× 32")
    assert (rows[0]["diameter"], rows[0]["bit"], rows[0]["role"]) == ("5", "brad-point bit", "pin")
    assert [step["number"] for step in rows[0]["steps"]] == [8]


def test_leaning_holes_say_how_far_and_which_way_each() -> None:
    """The four sockets of a splayed stool: 12 degrees off square, each toward the middle of the seat."""
    (seat,) = holes(target_plan("b", "imperial"))["parts"]
    (face,) = seat["sides"]
    assert (face["face"], face["x_from"]) == ("underside", "left end")
    assert [row["deep"] for row in face["rows"]] == ["through, backed"] * 4
    told = {row["more"][0] for row in face["rows"]}
    ways = [f"{turn}° from X, {way} Y" for turn in (45, 135) for way in ("toward", "away from")]
    assert told == {f"lean the bit 12° off square; sight line {way}" for way in ways}


def test_the_table_has_a_row_for_each_hole() -> None:
    plan = target_plan("c", "imperial")
    rows = list(csv.DictReader(io.StringIO(holes_table(plan).decode())))
    assert len(rows) == len(hole_schedule(plan)) == 6
    # Edges as they grew are nothing to measure from: the frames are centred on the chalk line, 5 in to either side.
    assert {row["Y from"] for row in rows} == {"chalk line"}
    assert {(row["X"], row["Y"]) for row in rows} == {
        (x, y) for x in ("5 in", "19 in") for y in ("5 in before", "0", "5 in behind")
    }
    assert {(row["face"], row["diameter"], row["depth to full diameter"], row["step"]) for row in rows} == {
        ("underside", "3/8 in", "9/16 in", "6")
    }


def test_what_is_bought_or_poured_stands_with_the_parts() -> None:
    plan = target_plan("c", "imperial")
    bought, filled = fittings(plan)
    assert [row["count"] for row in bought["rows"]] == [2]
    assert bought["rows"][0]["size"] == '12" long, 2" wide, 16" high'
    assert bought["rows"][0]["more"].startswith("5 lb each")
    # 9 x 1 1/4 x 1 1/2 in, the void of the finished top.
    assert filled["rows"][0]["more"].startswith("16.9 cu in")
    rows = list(csv.DictReader(io.StringIO(parts_table(plan).decode())))
    assert [(row["letter"], row["pieces"], row["material"]) for row in rows[1:]] == [
        ("B", "2", "bought part"), ("C", "1", "fill")
    ]  # fmt: skip


def test_a_jig_tells_its_slope() -> None:
    (made,) = fittings(target_plan("b", "metric"))
    (ramp,) = made["rows"]
    # 300 mm at 12 degrees rise 300 tan 12 = 63.8 mm.
    assert ramp["size"] == "300 × 150, rising 64"
    assert ramp["more"].startswith("12° to the table")
