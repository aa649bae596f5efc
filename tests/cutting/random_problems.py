"""Random cut lists for measuring: invented sizes, the same for a seed everywhere."""

from __future__ import annotations

import random

from planbook.cutting.problem import First, Piece, Saw, Sheet, Stick

UNIT = 16
"""Parts of an inch."""


def sheet_problem(
    seed: int, *, kinds: int, pieces: int, stages: int = 2, first: First = First.EITHER
) -> tuple[list[Piece], list[Sheet], Saw]:
    """Return parts of 6 to 40 by 3 to 24 in for 4 x 8 ft sheets and a 1/8 in kerf."""
    chance = random.Random(seed)
    sizes = [(chance.randint(6 * UNIT, 40 * UNIT), chance.randint(3 * UNIT, 24 * UNIT)) for _ in range(kinds)]
    listed = [
        Piece(key=f"p{n}", length=length, width=width, count=count)
        for n, ((length, width), count) in enumerate(zip(sizes, _counts(kinds, pieces), strict=True))
    ]
    return listed, [Sheet(key="sheet", length=96 * UNIT, width=48 * UNIT)], Saw(kerf=2, stages=stages, first=first)


def stick_problem(seed: int, *, kinds: int, pieces: int, priced: bool = False) -> tuple[list[Piece], list[Stick], Saw]:
    """Return parts of 4 to 60 in for 8 ft sticks, or for three lengths with prices, and a 1/8 in kerf."""
    chance = random.Random(seed)
    listed = [
        Piece(key=f"p{n}", length=chance.randint(4 * UNIT, 60 * UNIT), count=count)
        for n, count in enumerate(_counts(kinds, pieces))
    ]
    sticks = [Stick(key="8 ft", length=96 * UNIT, price=8)]
    if priced:
        sticks += [
            Stick(key="10 ft", length=120 * UNIT, price=11),
            Stick(key="12 ft", length=144 * UNIT, price=13),
        ]
    return listed, sticks, Saw(kerf=2)


def cut_up_sheets(seed: int, *, sheets: int, kinds: int) -> tuple[list[Piece], list[Sheet], Saw]:
    """Return parts that come out of whole sheets without waste: each cut into strips, each strip into pieces."""
    chance = random.Random(seed)
    kerf, length, width = 2, 96 * UNIT, 48 * UNIT
    sizes: list[tuple[int, int]] = []
    for number in range(sheets):
        many = kinds // sheets + (number < kinds % sheets)
        strips = max(2, round((many / 2) ** 0.5))
        for strip, high in enumerate(_parted(chance, width, strips, kerf)):
            across = many // strips + (strip < many % strips)
            sizes += [(long, high) for long in _parted(chance, length, max(1, across), kerf)]
    chance.shuffle(sizes)
    pieces = [Piece(key=f"p{n}", length=long, width=high) for n, (long, high) in enumerate(sizes)]
    return pieces, [Sheet(key="sheet", length=length, width=width)], Saw(kerf=kerf)


def _parted(chance: random.Random, whole: int, parts: int, kerf: int) -> list[int]:
    """Return sizes that fill a length with a kerf between each two."""
    free = whole - kerf * (parts - 1) - parts * UNIT
    marks = sorted(chance.randint(0, free) for _ in range(parts - 1))
    return [high - low + UNIT for low, high in zip([0, *marks], [*marks, free], strict=True)]


def _counts(kinds: int, pieces: int) -> list[int]:
    return [pieces // kinds + (n < pieces % kinds) for n in range(kinds)]
