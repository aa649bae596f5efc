"""Stock counts of printed plans: ours is never more where the print can be cut at all, and where it cannot, we say so.

None of these prints a kerf; 1/8 in is our assumption, and so is that every saw takes some.

- Worm bin: Kentucky Cooperative Extension, ENRI-312, "Constructing a Worm Composting Bin", steps 1 to 12.
- Sawhorse: Craigin, "A Boy's Workshop" (1880s, public domain), chapter II.
- Compost unit: University of Wisconsin Extension, "Wood 3-Bin Compost Unit", list of materials.
- Folding screen: Scott, "Home Labor Saving Devices" (1917, public domain), pages 49 and 50.
- Flytrap: USDA Farmers' Bulletin 734, "Fly Traps and Their Operation", the conical hoop trap.
"""

from __future__ import annotations

import math
from fractions import Fraction
from pathlib import Path

import pytest
from cutting.virtual_saw import check_solution

from planbook.cutting.bare import BareList, read_bare, solve_bare
from planbook.cutting.problem import CuttingError, Grain, Piece, Saw, Sheet, Stick
from planbook.cutting.sheets import solve_sheets
from planbook.cutting.slab_problem import Slab, SlabPiece
from planbook.cutting.slabs import solve_slab
from planbook.cutting.sticks import solve_sticks
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.trade.lumber import board_feet_net
from planbook.units.factors import INCH

EIGHTH = 4
"""Kerf in 1/32 in."""


def units(inches: float) -> int:
    return round(inches * 32)


def cut(lengths: dict[float, int], stock: dict[float, int | None], *, kerf: int = EIGHTH) -> int:
    """Return how many sticks our layout takes; lengths in inches, with how many of each."""
    pieces = [Piece(key=f"{n:g}", length=units(n), count=count) for n, count in lengths.items()]
    sticks = [Stick(key=f"{n:g}", length=units(n), limit=limit) for n, limit in stock.items()]
    saw = Saw(kerf=kerf)
    solution = solve_sticks(pieces, sticks, saw)
    check_solution(solution, pieces, sticks, saw)
    assert solution.proven
    return solution.cost


@pytest.mark.parametrize(
    ("what", "lengths", "stock", "printed"),
    [
        ("compost, rails B", {32: 8}, {144: None}, 2),
        ("compost, base and top", {108: 3}, {120: None}, 3),
        ("compost, slats and runner blank", {35: 1, 31: 18}, {144: None}, 5),
        ("compost, all 2 x 4 without the lid", {36: 8, 32: 8, 108: 3}, {144: 4, 120: 3}, 7),
        ("compost, back of the lid", {108: 1}, {120: None}, 1),
        ("compost, cross supports of the lid", {32.5: 4}, {144: None}, 1),
        ("compost, closure boards", {108: 2}, {120: None}, 2),
        ("worm bin, both 2 x 4", {39: 2, 23: 2, 20: 3, 12: 4, 45: 2}, {144: 1, 192: 1}, 2),
        ("worm bin, cleats and lid", {12: 4, 45: 2, 20: 2}, {192: None}, 1),
        ("sawhorse, board B with braces as scribed", {22: 4, 7.25: 2}, {144: None}, 1),
        ("sawhorse, board A", {30: 1}, {72: None}, 1),
    ],
)
def test_never_more_than_printed(
    what: str, lengths: dict[float, int], stock: dict[float, int | None], printed: int
) -> None:
    assert cut(lengths, stock) <= printed, what


@pytest.mark.parametrize(
    ("what", "lengths", "stock", "printed"),
    [
        ("compost, uprights A: four of 36 from each of two 12 ft", {36: 8}, 144, 2),
        ("compost, runners D and E: four of 36 from one 12 ft", {36: 4}, 144, 1),
        ("worm bin, base frame from one 12 ft", {39: 2, 23: 2, 20: 1}, 144, 1),
    ],
)
def test_what_closes_only_without_a_kerf(
    tmp_path: Path, what: str, lengths: dict[float, int], stock: int, printed: int
) -> None:
    assert cut(lengths, {stock: None}, kerf=0) == printed, what
    assert cut(lengths, {stock: None}) == printed + 1, what
    path = tmp_path / "list.yaml"
    pieces = "\n".join(f"  p{n:g}: {{length: {n:g} in, count: {count}}}" for n, count in lengths.items())
    path.write_text(f"units: in\npieces:\n{pieces}\nstock:\n  as printed: {{length: {stock} in, count: {printed}}}\n")
    bare = read_bare(path, Findings(), Sources())
    assert isinstance(bare, BareList)
    with pytest.raises(CuttingError) as fault:
        solve_bare(bare)
    assert fault.value.slug == "kerf-forgotten"
    assert "each cut takes 1/8 in" in fault.value.message


SHEET = Sheet(key="plywood", length=units(96), width=units(48))


def worm_bin(base: float) -> list[Piece]:
    """Return the six panels of the worm bin; its base is printed 24 in wide, in one reprint 23."""
    sizes = [(42, 24, 1), (42, base, 1), (24, 16, 2), (42, 16, 2)]
    return [
        Piece(key=f"p{n}", length=units(a), width=units(b), count=count, grain=Grain.FREE)
        for n, (a, b, count) in enumerate(sizes)
    ]


@pytest.mark.parametrize("base", [24, 23])
def test_the_sheet_of_the_worm_bin_closes_only_without_a_kerf(base: float) -> None:
    pieces = worm_bin(base)
    assert solve_sheets(pieces, [SHEET], Saw(kerf=0, stages=3)).cost == 1
    for kerf in (1, 2, EIGHTH):  # 1/32, 1/16, 1/8 in
        solution = solve_sheets(pieces, [SHEET], Saw(kerf=kerf, stages=3))
        assert (solution.cost, solution.bound) == (2, 2)
        assert "under 2" in solution.reason()


def test_the_screen_in_board_feet() -> None:
    """Printed `3 feet of oak` are board feet: 32 running feet of 1 x 1 are 2 2/3 of them."""
    net = 4 * board_feet_net(INCH, 60 * INCH, INCH) + 6 * board_feet_net(INCH, 24 * INCH, INCH)
    assert net == Fraction(8, 3)
    assert net <= 3


def sector(radius: float, angle: float, turn: float) -> tuple[tuple[float, float], ...]:
    """Return a sector of a circle from its lower left corner, turned by an angle in degrees."""
    turns = [math.radians(turn + angle * n / 96) for n in range(97)]
    spots = [(0.0, 0.0), *((radius * math.cos(at), radius * math.sin(at)) for at in turns)]
    left, front = min(x for x, _ in spots), min(y for _, y in spots)
    return tuple((x - left, y - front) for x, y in spots)


@pytest.mark.parametrize(("turn", "fits"), [(0.0, False), (-5.3, True)])
def test_the_cone_of_the_flytrap_on_its_screen(turn: float, fits: bool) -> None:
    """Printed: 41 in of 26 in screen. With one straight edge on the selvage the blank is 41.6 in long."""
    radius = math.hypot(22, 9)
    blank = sector(radius, math.degrees(57.5 / radius), turn)
    long, wide = max(x for x, _ in blank), max(y for _, y in blank)
    assert (long <= 41) == fits
    screen = Slab(key="screen", outline=((0, 0), (41, 0), (41, 26), (0, 26)), kerf=0.0, clear=0.0, step=1 / 16)
    layout = solve_slab(screen, [SlabPiece(key="cone", length=long, width=wide, outline=blank)])
    assert bool(layout.parts) == fits
