"""Cuts that leave nothing of a part, or several pieces, or less of its length than it says."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from fixtures.small_books import Read, make, step_text
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_plan import bookcase

from planbook.plan.model import Box, Cut, CutKind, Part
from planbook.plan.remains import pieces

RAIL = "rail: {of: oak, length: 20 in, width: 4 in, on: floor, left face: 0 in}"
STOCK = "oak: {lumber: white oak, nominal: 4/4, to: {imperial: 3/4 in, metric: 20 mm}}"


def read(tmp_path: Path, words: str, group: str = "cuts") -> Read:
    names = ", ".join(re.findall(r"^([^\s:#][^:]*):", words, re.MULTILINE))
    groups = {"dims": "", "stock": STOCK, "parts": RAIL, "joints": "", group: words}
    return make(tmp_path, groups, steps=step_text("Make it", f"cuts: [rail, {names}], sets: [rail]"))


CROSSING = (
    "front taper: {taper: 1 in, at: left end, from: 12 in from left end, on: front edge, in: rail}\n"
    "back taper: {taper: 1 in, at: left end, from: 12 in from left end, on: back edge, in: rail}"
)
APART = (
    "one: {notch: 10 in, wide: 3 1/2 in, at: right end, along: back edge, in: rail}\n"
    "two: {notch: 15 in, wide: 3 1/2 in, at: left end, along: front edge, in: rail}"
)
ALL = "\n".join(
    f"c{n}: {{notch: {long} in, wide: 3 1/2 in, at: {end} end, along: {edge} edge, in: rail}}"
    for n, (long, end, edge) in enumerate(
        [(10, "left", "back"), (10, "left", "front"), (19, "right", "front"), (19, "right", "back")]
    )
)


@pytest.mark.parametrize(
    ("words", "slug", "said"),
    [
        # Each goes 3 in into 4 in, 12 in long: they cross where both are 2 in in, 8 in from where they begin.
        (CROSSING, "taper-crosses", "4 in before the left end"),
        (APART, "falls-apart", "2 separate pieces"),
        (ALL, "no-wood-left", "nothing of `rail`"),
    ],
)
def test_cuts_that_leave_too_little_are_told(tmp_path: Path, words: str, slug: str, said: str) -> None:
    found = read(tmp_path, words)
    assert said in " ".join(item.message for item in found.findings if item.slug == slug)
    assert found.found(slug).span is not None


def test_tapers_that_just_do_not_cross_are_fine(tmp_path: Path) -> None:
    assert read(tmp_path, CROSSING.replace("taper: 1 in", "taper: 2 1/8 in")).slugs() == []


def test_notches_that_leave_a_neck_are_fine(tmp_path: Path) -> None:
    assert read(tmp_path, APART.replace("15 in", "9 in")).slugs() == []


@pytest.mark.parametrize(("drill", "told"), [("4 in", True), ("3 7/8 in", False)])
def test_holes_as_wide_as_the_board_are_told(tmp_path: Path, drill: str, told: bool) -> None:
    words = (
        f"hand hole: {{in: rail, rows: [2 in from front edge], start: 10 in from left end, count: 1, drill: {drill}}}"
    )
    found = read(tmp_path, words, "holes").slugs()
    assert ("hole-too-wide" in found) == told


def test_a_slot_of_no_length_is_called_a_slot(tmp_path: Path) -> None:
    words = "slit: {slot: 3 in - 5 in, wide: 1/4 in, at: [10 in from left end, 2 in from front edge], in: rail}"
    assert "`slot` is" in read(tmp_path, words).found("no-size").message


def test_two_thousand_holes_are_bored(tmp_path: Path) -> None:
    rows = ", ".join(f"{row} mm from front edge" for row in range(5, 100, 5))
    words = f"sieve: {{in: rail, rows: [{rows}], start: 3 mm from left end, every: 5 mm, count: 100, drill: 2 mm}}"
    found = read(tmp_path, words, "holes")
    assert found.slugs() == []
    assert len(found.plan("metric").part("rail").holes) == 1900


def board(boxes: list[tuple[tuple[int, int], tuple[int, int], tuple[int, int]]]) -> Part:
    part = bookcase().part("side")
    size = replace(part.length, final=Fraction(6), rough=Fraction(6))
    spans = [tuple((Fraction(low), Fraction(high)) for low, high in box) for box in boxes]
    cuts = tuple(
        Cut(
            name="cut", kind=CutKind.NOTCH, part="side", face="", box=Box(*span), deep=Fraction(1), wide=Fraction(1),
            for_part=None, step=None,
        )
        for span in spans
    )  # fmt: skip
    return replace(part, length=size, width=size, thick=Fraction(6), cuts=cuts, pair=False)


def span() -> st.SearchStrategy[tuple[int, int]]:
    return st.tuples(st.integers(-1, 6), st.integers(1, 4)).map(lambda pair: (pair[0], pair[0] + pair[1]))


@given(st.lists(st.tuples(span(), span(), span()), max_size=8))
@settings(max_examples=60, deadline=None)
def test_pieces_agree_with_counting_every_unit_cube(boxes: list) -> None:  # type: ignore[type-arg]
    cubes = {(l, w, t) for l in range(6) for w in range(6) for t in range(6)}
    cubes -= {
        cube
        for cube in cubes
        for box in boxes
        if all(low <= place < high for place, (low, high) in zip(cube, box, strict=True))
    }
    number = 0
    while cubes:
        number += 1
        ring = {cubes.pop()}
        while ring:
            near = {
                cube
                for cube in cubes
                if any(sum(abs(a - b) for a, b in zip(cube, one, strict=True)) == 1 for one in ring)
            }
            cubes -= near
            ring = near
    assert pieces(board(boxes)) == number
