"""Layouts of sticks: patterns of lengths become blocks with places."""

from __future__ import annotations

from collections.abc import Sequence

from planbook.cutting.layout import Block, Layout, Rect
from planbook.cutting.naming import name_layouts
from planbook.cutting.problem import Piece, Saw, Stick, Way

Pattern = tuple[tuple[int, int], ...]
"""Kind and count, kinds rising: longest first."""


def build_layouts(
    chosen: Sequence[tuple[int, Pattern, int]],
    pieces: Sequence[Piece],
    kinds: Sequence[Sequence[int]],
    sticks: Sequence[Stick],
    saw: Saw,
) -> tuple[Layout, ...]:
    """Return the layouts of patterns, equal ones together, most often used first."""
    times: dict[tuple[int, Pattern], int] = {}
    for stock, pattern, count in chosen:
        times[stock, pattern] = times.get((stock, pattern), 0) + count
    ordered = sorted(times.items(), key=lambda entry: (-entry[1], entry[0]))
    lengths = [pieces[numbers[0]].length for numbers in kinds]
    drafts = [_layout(sticks[stock], pattern, count, lengths, saw) for (stock, pattern), count in ordered]
    return name_layouts(drafts, pieces, kinds)


def _layout(stick: Stick, pattern: Pattern, repeats: int, lengths: Sequence[int], saw: Saw) -> Layout:
    room = stick.length - saw.trim.start - saw.trim.end
    usable = Rect(saw.trim.start, 0, room, 1)
    blocks: list[Block] = []
    x, end = saw.trim.start, saw.trim.start + room
    for kind, count in pattern:
        for _ in range(count):
            blocks.append(Block(Rect(x, 0, lengths[kind], 1), piece=str(kind)))
            x += lengths[kind] + saw.kerf
    if x < end:
        blocks.append(Block(Rect(x, 0, end - x, 1)))
    if len(blocks) == 1 and blocks[0].at == usable:
        return Layout(stick.key, stick.length, 1, repeats, blocks[0])
    return Layout(stick.key, stick.length, 1, repeats, Block(usable, Way.CROSSCUT, tuple(blocks)))
