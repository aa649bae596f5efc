"""Slots in a small invented case: a second bottom near the first one, oiled after both are glued in."""

from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, outcomes, told
from fixtures.small_books import CASE, make, step_text

from planbook.checks.subject import Subject, subject_of

PARTS = CASE["parts"] + "\ntray: {of: ply, between: side, width: deep, underside: ROOM above bottom}"
JOINTS = "dados: {dado: 1/4 in deep, in: side, for: [bottom, tray], by: glue, room: 1/64 in}"
SAW = step_text("Saw", "cuts: [side, bottom, tray, dados]")
GLUE = step_text("Glue", "joins: [dados]")
OIL = step_text("Oil", "finishes: [all faces], works: [side, bottom, tray]")


def case(folder: Path, room: str, steps: str = SAW + GLUE + OIL) -> Subject:
    words = {**CASE, "parts": PARTS.replace("ROOM", room), "joints": JOINTS}
    read = make(folder, words, steps=steps, rest="finish: {product: hardwax oil, coats: 1}\n")
    assert read.book is not None
    return subject_of(read.plan(), read.book.plans[0], read.book.shop)


def test_a_slot_as_wide_as_a_hand_is_reached(tmp_path: Path) -> None:
    subject = case(tmp_path, "2 1/2 in")
    assert told("cannot-reach", subject) == ()
    assert outcomes("cannot-reach", subject)["step 3"].figure == "2 1/2 in or more before 4 parts"


def test_a_narrower_slot_is_not(tmp_path: Path) -> None:
    (item,) = told("cannot-reach", case(tmp_path, "2 7/16 in"))
    assert item.message == (
        "in step 3 `bottom` stands 2 7/16 in from `tray`, a hand takes 2 1/2 in: 5 in from the edge nobody sands or "
        "finishes it"
    )


def test_oiled_before_it_is_glued(tmp_path: Path) -> None:
    assert told("cannot-reach", case(tmp_path, "1 in", SAW + OIL + GLUE)) == ()


def test_a_shallow_slot_is_reached_with_the_fingers(tmp_path: Path) -> None:
    subject = case(tmp_path, "1 in")
    shallow = CASE["dims"].replace("deep: 10 in", "deep: 8 in")
    assert told("cannot-reach", subject)
    words = {**CASE, "dims": shallow, "parts": PARTS.replace("ROOM", "1 in"), "joints": JOINTS}
    read = make(tmp_path / "shallow", words, steps=SAW + GLUE + OIL, rest="finish: {product: hardwax oil, coats: 1}\n")
    assert read.book is not None
    assert told("cannot-reach", subject_of(read.plan(), read.book.plans[0], read.book.shop)) == ()


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_the_bench_is_oiled_inside_before_it_is_closed(tmp_path: Path, edition: str) -> None:
    assert told("cannot-reach", bench(tmp_path, edition=edition)) == ()
