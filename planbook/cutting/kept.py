"""Solutions as plain data, to keep them from run to run and beside a plan, and to read them back with care."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from typing import Any

from planbook.cutting.board_problem import Board
from planbook.cutting.layout import Block, Layout, Rect, Solution, Work
from planbook.cutting.lots import Task
from planbook.cutting.problem import Piece, Saw, Sheet, Stick, Way

FORM = 1
"""Number of this way of writing; data of another is not read."""


def instance_key(pieces: Sequence[Piece], stock: Sequence[Sheet | Stick | Board], saw: Saw) -> str:
    """Return a digest of everything that a layout depends on."""
    return hashlib.sha256(repr((FORM, tuple(pieces), tuple(stock), saw)).encode()).hexdigest()[:32]


def task_key(task: Task) -> str:
    """Return the digest of a task."""
    return instance_key(task.pieces, (*task.stock_entries, *task.boards), task.saw)


def solution_data(solution: Solution) -> dict[str, Any]:
    """Return a solution as plain data for JSON."""
    return {
        "cost": solution.cost,
        "bound": solution.bound,
        "bound_any": solution.bound_any,
        "model": solution.model,
        "layouts": [
            [layout.stock, layout.length, layout.width, layout.repeats, _block_data(layout.root)]
            for layout in solution.layouts
        ],
    }


def solution_from(data: Mapping[str, Any], task: Task) -> Solution | None:
    """Return the solution that plain data hold, or None where they do not give exactly the pieces of the task."""
    try:
        solution = Solution(
            layouts=tuple(
                Layout(str(stock), int(length), int(width), int(repeats), _block_from(root))
                for stock, length, width, repeats, root in data["layouts"]
            ),
            cost=int(data["cost"]),
            bound=int(data["bound"]),
            bound_any=int(data["bound_any"]),
            model=str(data["model"]),
            work=Work(),
        )
    except (KeyError, TypeError, ValueError, IndexError, AttributeError):
        return None
    return solution if serves(solution, task) else None


def serves(solution: Solution, task: Task) -> bool:
    """Return whether layouts give the pieces of a task, each in its size, within the sheet."""
    made: dict[str, int] = {}
    wanted = {piece.key: piece for piece in task.pieces}
    # What is bought beside boards on hand is as large as its parts ask.
    sizes = {(entry.length, entry.width if isinstance(entry, Sheet) else 1) for entry in task.stock_entries}
    for layout in solution.layouts:
        if layout.repeats < 1 or not (task.boards or (layout.length, layout.width) in sizes):
            return False
        for block in layout.pieces():
            piece = wanted.get(block.piece)
            size = (block.at.width, block.at.length) if block.turned else (block.at.length, block.at.width)
            if piece is None or size != (piece.length, piece.width):
                return False
            made[block.piece] = made.get(block.piece, 0) + layout.repeats
    return all(made.get(key, 0) == piece.count for key, piece in wanted.items())


def _block_data(block: Block) -> list[Any]:
    at = [block.at.x, block.at.y, block.at.length, block.at.width]
    if block.cut is None:
        return [at, block.piece, int(block.turned)]
    return [at, block.cut.value, [_block_data(inner) for inner in block.blocks]]


def _block_from(data: Sequence[Any]) -> Block:
    x, y, length, width = (int(number) for number in data[0])
    at = Rect(x, y, length, width)
    if isinstance(data[2], list):
        return Block(at, Way(data[1]), tuple(_block_from(inner) for inner in data[2]))
    return Block(at, piece=str(data[1]), turned=bool(data[2]))
