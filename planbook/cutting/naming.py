"""Pieces of one size get their own names: equal sizes were laid out as one kind."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from planbook.cutting.layout import Block, Layout
from planbook.cutting.problem import Piece


def name_layouts(
    drafts: Sequence[Layout],
    pieces: Sequence[Piece],
    kinds: Sequence[Sequence[int]],
) -> tuple[Layout, ...]:
    """Replace kinds by pieces so that each comes as often as it is wanted.

    A diagram that is cut several times keeps one set of names where the counts allow it, and is divided
    where they do not.
    """
    left = {number: pieces[number].count for numbers in kinds for number in numbers}
    named: dict[Layout, int] = {}
    todo = list(drafts)
    while todo:
        draft = todo.pop(0)
        names = _names(draft, kinds, left)
        if names is None:
            half = draft.repeats // 2
            todo[:0] = [replace(draft, repeats=draft.repeats - half), replace(draft, repeats=half)]
            continue
        for number in names:
            left[number] -= draft.repeats
        layout = replace(draft, root=_renamed(draft.root, iter([pieces[number] for number in names])), repeats=1)
        named[layout] = named.get(layout, 0) + draft.repeats
    return tuple(replace(layout, repeats=times) for layout, times in named.items())


def _names(draft: Layout, kinds: Sequence[Sequence[int]], left: dict[int, int]) -> list[int] | None:
    """Return a piece for each place, or None where the copies cannot be alike."""
    taken: dict[int, int] = {}
    names = []
    for block in draft.pieces():
        for number in kinds[int(block.piece)]:
            if left[number] - taken.get(number, 0) >= draft.repeats:
                taken[number] = taken.get(number, 0) + draft.repeats
                names.append(number)
                break
        else:
            return None
    return names


def _renamed(block: Block, names: Iterator[Piece]) -> Block:
    if block.piece:
        piece = next(names)
        return replace(block, piece=piece.key, turned=block.at.length != piece.length)
    if block.cut is None:
        return block
    return replace(block, blocks=tuple(_renamed(inner, names) for inner in block.blocks))
