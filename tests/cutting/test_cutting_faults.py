"""What cannot be cut is refused at once, by name, with what would work."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from planbook.cutting.problem import CuttingError, Grain, Piece, Saw, Sheet, Stick
from planbook.cutting.sheets import solve_sheets
from planbook.cutting.sticks import solve_sticks

SHEET = [Sheet(key="sheet", length=96, width=48)]
STICK = [Stick(key="stick", length=96)]
SAW = Saw(kerf=1)
CASES: dict[str, Callable[[], object]] = {
    "no-pieces": lambda: solve_sheets([], SHEET, SAW),
    "no-stock": lambda: solve_sticks([Piece(key="a", length=5)], [], SAW),
    "size-not-positive": lambda: solve_sheets([Piece(key="a", length=5, width=0)], SHEET, SAW),
    "count-not-positive": lambda: solve_sticks([Piece(key="a", length=5, count=0)], STICK, SAW),
    "kerf-over-piece": lambda: solve_sticks([Piece(key="a", length=2)], STICK, Saw(kerf=3)),
    "kerf-negative": lambda: solve_sticks([Piece(key="a", length=2)], STICK, Saw(kerf=-1)),
    "longer-than-stock": lambda: solve_sticks([Piece(key="a", length=97)], STICK, SAW),
    "larger-than-stock": lambda: solve_sheets([Piece(key="a", length=40, width=60)], SHEET, SAW),
    "too-many-pieces": lambda: solve_sheets([Piece(key="a", length=40, width=6, count=100_000)], SHEET, SAW),
    "name-twice": lambda: solve_sticks([Piece(key="a", length=4), Piece(key="a", length=5)], STICK, SAW),
    "unit-too-fine": lambda: solve_sticks([Piece(key="a", length=4)], [Stick(key="s", length=10**7)], SAW),
    "free-without-limit": lambda: solve_sticks([Piece(key="a", length=4)], [Stick(key="s", length=9, price=0)], SAW),
    "stages-unknown": lambda: solve_sheets([Piece(key="a", length=4, width=4)], SHEET, Saw(kerf=0, stages=5)),
    "stock-short": lambda: solve_sticks(
        [Piece(key="a", length=60, count=3)], [Stick(key="s", length=96, limit=2)], SAW
    ),
}


@pytest.mark.parametrize("slug", CASES)
def test_the_fault_has_a_name_and_a_sentence(slug: str) -> None:
    with pytest.raises(CuttingError) as caught:
        CASES[slug]()
    assert caught.value.slug == slug
    assert caught.value.help
    assert not caught.value.message.endswith(".")
    assert caught.value.message[0] in "`abcdefghijklmnopqrstuvwxyz0123456789"


def test_sheets_that_run_out_are_named_too() -> None:
    with pytest.raises(CuttingError) as caught:
        solve_sheets(
            [Piece(key="a", length=60, width=30, count=3)], [Sheet(key="s", length=96, width=48, limit=2)], SAW
        )
    assert caught.value.slug == "stock-short"


def test_a_piece_that_fits_turned_says_so() -> None:
    piece = Piece(key="side", length=40, width=60)
    with pytest.raises(CuttingError) as caught:
        solve_sheets([piece], SHEET, SAW)
    assert "turned, it fits" in caught.value.help
    free = Piece(key="side", length=40, width=60, grain=Grain.FREE)
    assert solve_sheets([free], SHEET, SAW).layouts[0].pieces()[0].turned
