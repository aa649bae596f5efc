from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, outcomes, piece, saw_bench, told

from planbook.checks.subject import Subject

BACK = (
    "back: {of: oak, length: wide, width: 6 in, runs: across, faces: front, on: floor, left face: 0 in, "
    "front face: DEPTH}\n"
)
SHELF = (
    "shelf: {of: oak, length: wide, width: DEPTH, runs: across, faces: up, left face: 0 in, front face: 0 in, "
    "upper face: 4 in above floor}"
)


def wall_shelf(folder: Path, *, each: int = 4, depth: str = "8 in", more: str = "", joint: str = "") -> Subject:
    """A shelf of oak that is screwed on through a back into its rear edge, 24 in long, full of books."""
    return piece(
        folder,
        {
            "dims": "wide: 24 in",
            "stock": "oak: {lumber: red oak, nominal: 4/4, to: 3/4 in}",
            "parts": (BACK + SHELF).replace("DEPTH", depth) + more,
            "joints": f"hold: {{butt: shelf, to: back, by: 2 in No. 8 wood screws, each: {each}}}{joint}",
            "loads": "shelf: books",
        },
    )


# By hand: 2 ft of books at the most a foot, in the middle of 8 in, over 3/8 in from the lower edge to the screws.
@pytest.mark.parametrize(("each", "fails"), [(2, True), (3, False), (4, False)])
def test_a_shelf_pulls_at_the_screws_in_its_edge(tmp_path: Path, each: int, fails: bool) -> None:
    found = told("pulls-out", wall_shelf(tmp_path, each=each))
    assert bool(found) is fails
    if fails:
        assert "`shelf` pulls with 267 lb on each of 2 upper No. 8 x 2 in wood screws" in found[0].message
        assert "is the working load of one: 3 would be needed" in found[0].message


def test_a_deeper_shelf_pulls_harder(tmp_path: Path) -> None:
    shallow, deep = (
        outcomes("pulls-out", wall_shelf(tmp_path / depth, depth=depth))["shelf"].figure for depth in ("4 in", "8 in")
    )
    assert (shallow.split()[0], deep.split()[0]) == ("67", "133")


def test_what_rests_on_a_cleat_does_not_hang(tmp_path: Path) -> None:
    cleat = (
        "\ncleat: {of: oak, length: wide, width: 1 in, runs: across, faces: front, left face: 0 in, back face: 8 in, "
        "upper face: 3 1/4 in above floor}"
    )
    held = "\ncleat hold: {butt: cleat, to: back, by: 1 1/4 in No. 8 wood screws, each: 2}"
    subject = wall_shelf(tmp_path, each=2, more=cleat, joint=held)
    assert told("pulls-out", subject) == ()
    assert outcomes("pulls-out", subject)["shelf"].figure == "it rests on `cleat`"


def test_a_top_on_legs_does_not_hang_on_its_fence(tmp_path: Path) -> None:
    subject = saw_bench(tmp_path)
    assert told("pulls-out", subject) == ()
    assert outcomes("pulls-out", subject)["bench top"].figure == "it rests on `leg`"


def test_the_bench_hangs_nothing(tmp_path: Path) -> None:
    assert outcomes("pulls-out", bench(tmp_path)) == {}
