"""What pages and handouts say about slabs and about boards on hand, and that it is kept from run to run."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from fixtures.target_books import target_plan
from pypdf import PdfReader
from sample_sheet import THEME, sample

from planbook.cutting.board_stock import HandBoard
from planbook.cutting.faults import cutting_faults
from planbook.cutting.practice import USUAL
from planbook.cutting.slab_plan import slab_tasks, solve_all
from planbook.plan.surveys import Mark, SawnAt
from planbook.publish.cache import Store
from planbook.publish.handout import handout
from planbook.publish.layouts import cutting_of
from planbook.publish.sheet_runs import plain
from planbook.publish.slab_layouts import slabs_of

EDITIONS = ("imperial", "metric")
INCH = Fraction(254, 10)


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_slab_of_a_plan(tmp_path: Path, edition: str) -> None:
    plan, store = target_plan("c", edition), Store(tmp_path)
    slabs = slabs_of(plan, USUAL[edition], store)
    assert not slabs.faults
    (row,) = slabs.rows
    settings = [plain(cut["setting"]) for cut in row["cuts"]]
    ends = {"imperial": ('3"', '27"'), "metric": ("75", "685")}[edition]
    assert settings == [
        f"crosscut {ends[0]} from the left end, blade left of the line",
        f"crosscut {ends[1]} from the left end, blade right of the line",
    ]
    assert row["parts"][0]["holds"] == "pocket and knot"
    assert len(row["survey"]) == 4
    assert row["picture"] in slabs.screen
    assert "with pocket and knot on it" in slabs.alts[row["picture"]]
    assert slabs_of(plan, USUAL[edition], store) == slabs


def test_a_plain_part_finds_its_place_beside_the_pinned_one() -> None:
    plan = target_plan("c", "imperial")
    top = next(part for part in plan.parts if part.key == "top")
    size = replace(top.length, final=5 * INCH, rough=5 * INCH)
    batten = replace(
        top, key="batten", letter="X", count=2, length=replace(size, final=10 * INCH, rough=10 * INCH),
        width=replace(size, final=1 * INCH, rough=1 * INCH), shape=None, cuts=(), sawn_at=SawnAt(),
    )  # fmt: skip
    two = replace(plan, parts=(*plan.parts, batten))
    solved, faults = solve_all(slab_tasks(two, USUAL["imperial"]), USUAL["imperial"])
    assert [fault.slug for fault in faults] == ["no-place-on-slab"]
    assert "`batten`" in faults[0].message
    short = replace(top, sawn_at=replace(top.sawn_at or SawnAt(), start=Fraction(0)), length=size)
    beside = replace(plan, parts=(replace(short, sawn_at=SawnAt(Fraction(0), natural=("front", "back"))), batten))
    solved, faults = solve_all(slab_tasks(beside, USUAL["imperial"]), USUAL["imperial"])
    assert not faults
    ((task, layout),) = solved
    assert {task.letters[part.laid.piece.key] for part in layout.parts} == {"A", "X"}
    assert len(layout.parts) == 3
    for part in layout.parts:
        if task.letters[part.laid.piece.key] == "X":
            assert part.holds == ()
            assert part.near is not None
            assert part.near.distance >= float(INCH / 2)


def test_a_pin_over_a_mark_is_a_finding_at_the_part() -> None:
    plan = target_plan("c", "imperial")
    (stock,) = plan.stock
    split = Mark("split", "crack", (4 * INCH, 6 * INCH), (Fraction(0), INCH), None)
    spoiled = replace(plan, stock=(replace(stock, marks=(*stock.marks, split)),))
    solved, faults = solve_all(slab_tasks(spoiled, USUAL["imperial"]), USUAL["imperial"])
    assert not solved
    (fault,) = faults
    assert fault.slug == "part-over-mark"
    assert "`top` is pinned where the crack `split` lies" in fault.message
    assert fault.span == plan.part("top").span


def board(key: str, length: int, width: int) -> HandBoard:
    return HandBoard(
        key=key, material="white ash", thick=2 * INCH, length=length * INCH, width=width * INCH, faces=1, straight=False
    )


@pytest.mark.parametrize("edition", EDITIONS)
def test_boards_on_hand_of_a_plan(tmp_path: Path, edition: str) -> None:
    plan, store = target_plan("b", edition), Store(tmp_path)
    habits = replace(USUAL[edition], boards=(board("long one", 62, 7), board("short one", 50, 7)))
    cutting = cutting_of(plan, habits, store)
    assert not cutting.faults
    assert {row["board"] for row in cutting.rows} <= {"long one", "short one"}
    for row in cutting.rows:
        assert row["one face"]
        words = [plain(cut["setting"]) for cut in row["cuts"]]
        assert any(text.startswith("saw the end off") for text in words)
        assert any(text.startswith("straighten the edge") for text in words)
        assert "on hand" in row["proof"]
        assert row["weight"] == ""
    assert cutting_of(plan, habits, store) == cutting


def test_a_check_tells_of_a_pin_over_a_mark_without_looking_for_places() -> None:
    plan = target_plan("c", "imperial")
    assert not list(cutting_faults(plan, USUAL["imperial"]))
    (stock,) = plan.stock
    split = Mark("split", "crack", (4 * INCH, 6 * INCH), (Fraction(0), INCH), None)
    spoiled = replace(plan, stock=(replace(stock, marks=(*stock.marks, split)),))
    assert [fault.slug for fault in cutting_faults(spoiled, USUAL["imperial"])] == ["part-over-mark"]
    beside = replace(split, along=(Fraction(0), 2 * INCH))
    clear = replace(plan, stock=(replace(stock, marks=(*stock.marks, beside)),))
    assert not list(cutting_faults(clear, USUAL["imperial"]))


def test_slabs_and_boards_have_pages_of_their_own_in_the_handout(tmp_path: Path) -> None:
    store, usual = Store(tmp_path), USUAL["imperial"]
    slabs = slabs_of(target_plan("c", "imperial"), usual, store)
    habits = replace(usual, boards=(board("long one", 45, 7),))
    cutting = cutting_of(target_plan("b", "imperial"), habits, store)
    data, pictures = sample(pictured=False)
    # Steps of another plan: the links to them are left out.
    rows = [{**row, "steps": [], "cuts": [_without_links(cut) for cut in row["cuts"]]} for row in cutting.rows]
    data |= {"cutting": rows, "slabs": list(slabs.rows)}
    made = handout(data, {**pictures, **slabs.paper, **cutting.paper}, paper="letter", theme_dir=THEME)
    texts = [page.extract_text() for page in PdfReader(io.BytesIO(made)).pages]
    (slab,) = (text for text in texts if "Cutting the slab" in text)
    assert "from the left end, blade left of the line" in slab
    assert "pocket and knot" in slab
    assert "yours, front" in slab
    boards = " ".join(text for text in texts if "Cutting the boards" in text or "on hand" in text)
    assert "long one" in boards
    assert "One good face" in boards
    assert "A board to buy, at least" in " ".join(texts)


def _without_links(cut: Mapping[str, Any]) -> dict[str, Any]:
    return {**cut, "leaves": [piece for piece in cut["leaves"] if piece["k"] != "link"]}
