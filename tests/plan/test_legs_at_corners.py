"""Four legs at the corners of a rectangle, leaning two ways; their places and angles by plane geometry."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from fixtures.small_books import Read, make, shown, step_text

INCH = 25.4
STOCK = "ash: {lumber: white ash, nominal: 8/4, to: 1 3/4 in}"
TOP = (
    "board: {of: ash, length: 30 in, width: 9 in, runs: across, faces: up, upper face: 19 in above floor, "
    "flush: [front, left]}\n"
)
LEG = (
    "leg: {of: ash, count: 4, square: full, length: floor to top of board, shape: octagon, "
    "thick: [1 in from top to 1/4 in below board, full at 4 in below board, 1 in at floor], "
    "around: board centre, on: 21 in x 5 in, of face: board underside, splay: 10 deg, rake: 12 deg}"
)
SOCKET = "sockets: {bore: 1 in, through: board, for: leg, from: underside, by: glue}"
STEPS = step_text("Make it", "cuts: [board, leg, shape of leg, sockets], joins: [sockets]")


def stool(tmp_path: Path, legs: str = LEG, prose: str = "- Saw.") -> Read:
    groups = {"dims": "wide: 30 in", "stock": STOCK, "parts": TOP + legs, "joints": SOCKET}
    return make(tmp_path, groups, steps=STEPS + f"\n{prose}\n")


def test_the_sockets_stand_at_the_corners(tmp_path: Path) -> None:
    read = stool(tmp_path)
    assert read.slugs() == []
    # Middle of the top 15 and 4 1/2; half of 21 and half of 5 to either side.
    places = {(shown(hole.l), shown(hole.w)) for hole in read.plan().part("board").holes}
    assert places == {(x, y) for x in ("4 1/2 in", "25 1/2 in") for y in ("2 in", "7 in")}


def test_lean_and_sight_line_of_two_leans(tmp_path: Path) -> None:
    lean = stool(tmp_path).plan().part("leg").lean
    assert lean is not None
    # Two rises over the same drop add at right angles.
    along, across = math.tan(math.radians(10)), math.tan(math.radians(12))
    assert float(lean.angle) == pytest.approx(math.degrees(math.atan(math.hypot(along, across))), abs=0.01)
    assert lean.sight == pytest.approx(math.degrees(math.atan2(across, along)), abs=0.01)
    # The underside stands 17 1/4 above the floor, the top 1 3/4 higher.
    assert float(lean.feet) / INCH == pytest.approx(21 + 2 * 17.25 * along, abs=0.01)
    higher = (21 - 2 * 1.75 * along, 5 - 2 * 1.75 * across)
    assert float(lean.circle_beyond) / INCH == pytest.approx(math.hypot(*higher), abs=0.01)


def test_the_sight_line_in_a_sentence(tmp_path: Path) -> None:
    read = stool(tmp_path, prose="- Draw it {leg.sight line} from the grain, lean {leg.lean}.")
    words = "".join(run.text for run in read.plan().steps[0].actions[-1])
    assert words == "Draw it 50.3° from the grain, lean 15.4°."


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("count: 4", "count: 3", "has four corners, `leg` has 3 copies"),
        ("splay: 10 deg", "first: 45 deg from grain, splay: 10 deg", "no first one has an angle"),
    ],
)
def test_what_has_no_four_corners(tmp_path: Path, old: str, new: str, message: str) -> None:
    assert message in stool(tmp_path, LEG.replace(old, new)).found("wrong-number").message
