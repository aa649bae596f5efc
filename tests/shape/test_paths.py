from __future__ import annotations

from sample_bodies import block, body, solid
from sample_plan import BACK, CASE, KICK, SHELVES, bookcase

from planbook.shape.paths import WAYS, ways_out
from planbook.shape.solids import Solids
from planbook.shape.states import state_after


def ways(part: str, hand: str, step: int) -> tuple[str, ...]:
    plan = bookcase()
    solids = Solids(plan)
    after = state_after(plan, step)
    mine = [one for one in after if (one.placement.part, one.placement.hand) == (part, hand)][:1]
    rest = [one for one in after if one not in mine]
    return ways_out(solids.bodies(mine, holes=False), solids.bodies(rest, holes=False))


def test_a_free_block_leaves_every_way() -> None:
    block_here = block((0, 0, 0), (1, 1, 1))
    assert ways_out([block_here], []) == tuple(WAYS)
    assert ways_out([block_here], [block((5, 5, 5), (6, 6, 6))]) == tuple(WAYS)


def test_a_touching_face_is_in_the_way() -> None:
    assert ways_out([block((0, 0, 0), (10, 10, 10))], [block((10, 0, 0), (20, 10, 10))]) == (
        "-x",
        "+y",
        "-y",
        "+z",
        "-z",
    )


def test_a_block_in_a_box_is_trapped() -> None:
    shell = body(solid((0, 0, 0), (30, 30, 30)) - solid((5, 5, 5), (25, 25, 25)))
    assert ways_out([block((10, 10, 10), (20, 20, 20))], [shell]) == ()


def test_a_far_wall_is_in_the_way_too() -> None:
    assert ways_out([block((0, 0, 0), (10, 10, 10))], [block((500, 5, 5), (510, 90, 90))]) == (
        "-x",
        "+y",
        "-y",
        "+z",
        "-z",
    )


def test_a_dado_lets_a_shelf_out_along_itself_only() -> None:
    assert ways("bottom", "", CASE) == ("+y", "-y")


def test_a_side_comes_off_sideways() -> None:
    assert "-x" in ways("side", "L", CASE)
    assert "+x" not in ways("side", "L", CASE)


def test_parts_of_the_closed_case() -> None:
    assert ways("kick board", "", KICK) == ("+y", "-y", "-z")
    assert "+y" in ways("panel", "", BACK)
    assert ways("loose shelf", "", SHELVES) == ("-y",)
