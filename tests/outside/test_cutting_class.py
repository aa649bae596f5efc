"""The plywood of a class of twelve: a worked case of a bookcase with two loose shelves.

Reckoned by hand before the program was written (invented plan, exact arithmetic): 3/4 in plywood on 48 x 96 in
sheets, grain along the length, kerf 1/8 in, no trimmed edges. Seven sheets; the area bound is 6.04; two
diagrams are enough; one is impossible, because it would hold 4 sides, 4 tops or bottoms, 4 loose shelves and
2 kick boards, which is 4639 of 4608 square inches.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from cutting.virtual_saw import check_solution, saw_up, wanted

from planbook.cutting.classes import class_pieces, solve_class
from planbook.cutting.order import cut_order
from planbook.cutting.problem import First, Piece, Saw, Sheet

UNIT = 32
SAW = Saw(kerf=UNIT // 8)
SHEET = Sheet(key="ply", length=96 * UNIT, width=48 * UNIT)
STUDENTS = 12


def _piece(key: str, length: str, width: str, count: int) -> Piece:
    return Piece(key=key, length=int(Fraction(length) * UNIT), width=int(Fraction(width) * UNIT), count=count)


PIECES = [
    _piece("side", "47", "11", 2),
    _piece("top and bottom", "929/32", "43/4", 2),
    _piece("loose shelf", "455/16", "81/8", 2),
    _piece("kick board", "457/16", "3", 1),
]


def test_the_area_bound_is_as_reckoned_by_hand() -> None:
    area = sum(piece.length * piece.width * piece.count for piece in PIECES) * STUDENTS
    assert round(area / (SHEET.length * SHEET.width), 2) == 6.04


@pytest.mark.parametrize("first", list(First))
@pytest.mark.parametrize("stages", [2, 3])
def test_seven_sheets_are_proven(first: First, stages: int) -> None:
    saw = Saw(kerf=SAW.kerf, first=first, stages=stages)
    solved = solve_class(PIECES, [SHEET], saw, students=STUDENTS)
    assert (solved.solution.cost, solved.solution.bound, solved.solution.bound_any) == (7, 7, 7)
    assert solved.solution.diagrams <= 3
    pieces = list(class_pieces(PIECES, students=STUDENTS, once=(), spares={}))
    check_solution(solved.solution, pieces, [SHEET], saw)
    order = cut_order(solved.solution.layouts, saw)
    assert saw_up(order, solved.solution.layouts, saw.kerf) == wanted(pieces, solved.solution.layouts, flat=True)


def test_two_diagrams_are_enough_and_one_is_impossible() -> None:
    solved = solve_class(PIECES, [SHEET], SAW, students=STUDENTS)
    assert (solved.solution.diagrams, solved.least_diagrams) == (2, 2)
    alike = sum(piece.length * piece.width * -(-piece.count * STUDENTS // 7) for piece in PIECES)
    assert round(alike / UNIT**2) == 4639


def test_each_student_gets_a_kit() -> None:
    solved = solve_class(PIECES, [SHEET], SAW, students=STUDENTS)
    assert [kit.number for kit in solved.kits] == list(range(1, STUDENTS + 1))
    for kit in solved.kits:
        got = {piece.key: 0 for piece in PIECES}
        for _, _, key, count in kit.pieces:
            got[key] += count
        assert got == {piece.key: piece.count for piece in PIECES}
    handed: dict[tuple[int, int, str], int] = {}
    for kit in solved.kits:
        for layout, copy, key, count in kit.pieces:
            handed[layout, copy, key] = handed.get((layout, copy, key), 0) + count
    for (layout, copy, key), count in handed.items():
        assert copy < solved.solution.layouts[layout].repeats
        assert count <= solved.solution.layouts[layout].counts()[key]


def test_what_is_shared_and_what_is_spare() -> None:
    pieces = class_pieces(PIECES, students=STUDENTS, once=("kick board",), spares={"side": 2})
    assert {piece.key: piece.count for piece in pieces} == {
        "side": 26,
        "top and bottom": 24,
        "loose shelf": 24,
        "kick board": 1,
    }
