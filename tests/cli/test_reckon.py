"""Answers without a plan: figures of published examples, both systems, sources, and faults that help."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import Any

import pytest
from sample_commands import Command

OAK = ("reckon", "movement", "--species", "white oak", "--width", "14 in", "--from", "6%", "--to", "12%")
SHELF = ("reckon", "sag", "--of", "birch plywood", "--span", "28 7/16 in", "--deep", "10 1/8 in", "--thick", "23/32 in")
BRACKET = ("reckon", "pilot", "--species", "hard maple", "--by", "No. 8 x 2 in wood screw")
VOID = (
    "reckon", "resin", "--product", "clear deep-pour", "--long", "9 in", "--wide", "1 1/4 in", "--deep", "1 7/8 in",
    "--proud", "1/16 in", "--spare", "15 %", "--ratio", "2 to 1",
)  # fmt: skip


def figures(planbook: Command, *words: str) -> dict[str, dict[str, Any]]:
    told = planbook(*words, "--as", "json")
    assert told.code == 0, told.err
    return {row["what"]: row for row in json.loads(told.out)["figures"]}


def test_movement_by_the_printed_coefficient(planbook: Command) -> None:
    # Wood Handbook, FPL-GTR-190 (2010), Table 13-5: white oak, tangential 0.00365; 14 in x 0.00365 x 6 = 0.3066 in.
    rows = figures(planbook, *OAK)
    assert rows["more closely"]["imperial"] == "0.307 in"
    assert rows["it swells by"]["metric"] == "7.8 mm"


def test_movement_from_air(planbook: Command) -> None:
    # Wood Handbook, FPL-GTR-190 (2010), Table 4-2: 70 °F, 30 % is 6.2 %; 70 °F, 65 % is 12.0 %.
    rows = figures(planbook, *OAK[:-4], "--from", "70 F at 30 %", "--to", "70 F at 65 %")
    assert abs(rows["wood in air of 70 F at 30 %"]["value"] - 6.2) <= 0.1
    assert abs(rows["wood in air of 70 F at 65 %"]["value"] - 12.0) <= 0.1


def test_quarter_sawn_moves_less(planbook: Command) -> None:
    flat, quarter = (figures(planbook, *OAK, "--cut", cut)["more closely"]["value"] for cut in ("flat", "quarter"))
    assert quarter < flat


def test_drying_is_said_to_shrink(planbook: Command) -> None:
    assert "it shrinks by" in figures(planbook, *OAK[:-4], "--from", "12 %", "--to", "6 %")


def test_the_resin_of_the_side_table(planbook: Command) -> None:
    # Worked by hand: 9 x 1 1/4 x 1 15/16 in = 21.8 cu in; with 15 % 13.9 fl oz or 411 ml; one pour of 2 in.
    rows = figures(planbook, *VOID, "--limit", "2 in")
    assert rows["the void holds"]["imperial"] == "21.8 cu in"
    assert rows["mix, with 15 % spare"]["metric"] == "411 ml"
    assert rows["pours"]["imperial"] == "1"
    assert rows["part A by volume"]["value"] == pytest.approx(2 * rows["part B by volume"]["value"])
    assert "part A by weight" not in rows


def test_resin_weighed_and_in_batches(planbook: Command) -> None:
    rows = figures(
        planbook, *VOID, "--limit", "1 in", "--density-a", "1.1", "--density-b", "0.98 kg/l", "--batch", "200 ml"
    )
    assert rows["pours"]["imperial"] == "2"
    assert rows["batches"]["imperial"] == "3"
    assert rows["part A by weight"]["value"] == pytest.approx(rows["part A by volume"]["value"] * 1.1 / 1000)


def test_the_sag_of_an_edged_shelf(planbook: Command) -> None:
    plain = figures(planbook, *SHELF, "--load", "20 lb/ft")
    edged = figures(planbook, *SHELF, "--load", "20 lb/ft", "--edge", "hard maple 3/4 in x 1 1/4 in")
    assert edged["sag after years"]["imperial"] == "0.045 in"
    assert edged["so"]["imperial"] == "less than a careful design allows"
    assert plain["so"]["imperial"].startswith("more than")


def test_the_sag_of_a_cantilever_by_hand(planbook: Command) -> None:
    # w L^4/(8 E I), strength of materials: 1 lb/in on 10 in of 1 x 1 in white oak, E 1.78 million psi: 0.00843 in.
    stick = ("--of", "white oak", "--span", "10 in", "--deep", "1 in", "--thick", "1 in")
    rows = figures(planbook, "reckon", "sag", *stick, "--load", "12 lb/ft", "--ends", "cantilever")
    assert rows["sag at once"]["value"] / 25.4 == pytest.approx(0.00843, rel=0.01)


def test_pilot_in_both_series(planbook: Command) -> None:
    rows = figures(planbook, "reckon", "pilot", "--species", "hard maple", "--by", "No. 8 x 2 in wood screw")
    # Root of a No. 8 is 0.112 in (a handbook of civil engineering), 90 % of it for a dense wood.
    assert rows["that wants"]["imperial"].startswith("0.101 in")
    assert rows["pilot hole"]["imperial"] == "3/32 in"
    assert rows["fastener"]["metric"] == "4 mm wood screw"


def test_board_feet_by_volume_and_by_the_yards_rule(planbook: Command) -> None:
    # NHLA rules: 6 1/2 in x 8 ft is a surface measure of 4; 5/4 makes 5 board feet a board.
    rows = figures(planbook, "reckon", "boardfeet", "--thick", "5/4", "--width", "6 1/2 in", "--length", "8 ft",
                   "--count", "4")  # fmt: skip
    assert rows["by volume"]["imperial"] == "21.67 board feet"
    assert rows["as a yard charges it"]["imperial"] == "20 board feet"


def test_a_bracket_wants_as_many_as_statics_and_the_code_say(planbook: Command) -> None:
    # 200 lb at 8 in over an arm of 3 in pulls with 533 lb; one screw: 2850 x 0.67^2 x 0.164 x 4/3 in = 283 lb (NDS).
    rows = figures(planbook, *BRACKET, "--load", "200 lb", "--lever", "8 in", "--arm", "3 in")
    assert rows["pull on those that hold it"]["imperial"] == "533 lb"
    assert rows["working pull in side grain"]["imperial"] == "283 lb"
    assert rows["needed"]["value"] == 2
    straight = figures(planbook, *BRACKET, "--load", "200 lb")
    assert straight["needed"]["value"] == 1


def test_the_text_has_both_systems_and_the_sources(planbook: Command) -> None:
    told = planbook(*OAK)
    assert "5/16 in" in told.out
    assert "7.8 mm" in told.out
    assert "Wood Handbook, FPL-GTR-190 (2010), Table 13-5" in told.out


@pytest.mark.parametrize(
    ("words", "slug", "says"),
    [
        ((*OAK[:3], "wite oak", *OAK[4:]), "unknown-wood", "`white oak`"),
        ((*OAK[:5], "14", *OAK[6:]), "wrong-unit", "a length is wanted"),
        ((*OAK[:5], "14 kg", *OAK[6:]), "wrong-unit", "`14 in`"),
        ((*OAK[:5], "0 in", *OAK[6:]), "not-positive", "not more than 0"),
        ((*OAK[:7], "-3%", *OAK[8:]), "negative-moisture", "no less than 0 %"),
        ((*OAK[:7], "70 F at 130 %", *OAK[8:]), "impossible-humidity", "between 0 and 100 %"),
        ((*OAK[:7], "70 C at 30 %", *OAK[8:]), "no-room-temperature", "`70 F`"),
        ((*SHELF, "--load", "boks"), "unknown-load", "`books`"),
        ((*SHELF, "--load", "0 kg"), "no-load", "above 0"),
        ((*SHELF[:3], "cardboard", *SHELF[4:], "--load", "books"), "unknown-material", "cardboard"),
        ((*SHELF, "--load", "books", "--edge", "hard maple"), "no-size", "`hard maple 3/4 in x 1 1/4 in`"),
        (
            (*SHELF, "--load", "books", "--across", "--ends", "fixed", "--edge", "oke 1 in x 1 in"),
            "unknown-material",
            "oke",
        ),
        ((*BRACKET[:5], "No. 8 wood screw", "--load", "200 lb"), "no-length", "add it to `--by`"),
        ((*BRACKET, "--load", "0 lb"), "no-load", "above 0"),
        ((*BRACKET, "--load", "200 lb", "--lever", "8 in"), "missing-word", "`--arm`"),
        (VOID, "no-pour-limit", "from the product's sheet"),
        ((*VOID[:-1], "2 and 1", "--limit", "2 in"), "impossible-ratio", "`2 to 1`"),
        ((*VOID, "--limit", "2 in", "--density-a", "1100"), "no-density", "`1.1 kg/l`"),
        ((*VOID, "--limit", "2 in", "--by", "weight"), "no-density", "both densities"),
        (("reckon", "pilot", "--species", "oak", "--by", "No. 8 wood screw"), "unknown-wood", "oak"),
        (("reckon", "pilot", "--species", "white oak", "--by", "No. 99 wood screw"), "unknown-gauge", "No. 0 to 24"),
        (("reckon", "boardfeet", "--thick", "9/4", "--width", "6 in", "--length", "8 ft"), "unknown-thickness", "8/4"),
    ],
)
def test_what_cannot_be_answered_is_told_with_a_cure(
    planbook: Command, words: tuple[str, ...], slug: str, says: str
) -> None:
    told = planbook(*words)
    assert told.code == 2
    assert told.out == ""
    assert f"[{slug}]" in told.err
    assert says in told.err


def test_a_question_loads_nothing_heavy() -> None:
    heavy = ("matplotlib", "pint", "typst", "numpy", "pydantic", "jinja2", "manifold3d", "shapely", "markdown_it")
    code = (
        "import sys\nfrom planbook.cli.entry import run\n"
        f"assert run({list(OAK)!r}) == 0\nprint('LOADED', *[name for name in {heavy!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.rstrip().endswith("LOADED")
