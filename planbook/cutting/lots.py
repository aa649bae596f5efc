"""The layouts of a plan: one lot for each stock that is sold in sheets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from planbook.cutting.demand import Wanted, pieces_of, saw_of, sheet_of, wanted_of
from planbook.cutting.layout import Solution
from planbook.cutting.practice import Practice
from planbook.cutting.problem import CuttingError, Piece, Saw, Sheet
from planbook.plan.model import Plan, Stock
from planbook.units.editions import Edition


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What is to be cut from one stock, before anybody looks for a layout."""

    stock: Stock
    edition: Edition
    wanted: tuple[Wanted, ...]
    pieces: tuple[Piece, ...]
    """The wanted, in whole steps; in their order."""
    sheet: Sheet
    saw: Saw
    students: int = 1

    def entry(self, key: str) -> Wanted:
        """Return the wanted of that letter and hand; raises KeyError."""
        for wanted in self.wanted:
            if wanted.key == key:
                return wanted
        raise KeyError(key)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """All sheets of one stock, cut."""

    task: Task
    solution: Solution


def tasks_of(plan: Plan, practice: Practice, *, students: int = 1, once: Sequence[str] = ()) -> tuple[Task, ...]:
    """Return the tasks of a plan, in the order of its stock; `once` names parts that a class needs once.

    A jig serves a whole class and is cut once in any case.
    """
    tasks = []
    for stock in plan.stock:
        wanted = wanted_of(plan, stock, practice)
        if wanted and stock.sheet is not None:
            tasks.append(
                Task(
                    stock=stock,
                    edition=plan.edition,
                    wanted=wanted,
                    pieces=_times(pieces_of(wanted, plan.edition), wanted, students, once),
                    sheet=sheet_of(stock, plan.edition),
                    saw=saw_of(practice, plan.edition),
                    students=students,
                )
            )
    return tuple(tasks)


def _times(pieces: Sequence[Piece], wanted: Sequence[Wanted], students: int, once: Sequence[str]) -> tuple[Piece, ...]:
    if students == 1:
        return tuple(pieces)
    from planbook.cutting.classes import class_pieces
    from planbook.plan.model import Role

    single = {entry.key for entry in wanted if entry.part in once or entry.role is Role.JIG}
    return class_pieces(pieces, students=students, once=single, spares={})


def solve(task: Task) -> Lot:
    """Return the layouts of a task; raises CuttingError where there are none, with sizes in the edition's writing."""
    from planbook.cutting.sheets import solve_sheets

    refuse_too_large(task)
    return Lot(task=task, solution=solve_sheets(task.pieces, [task.sheet], task.saw))


def refuse_too_large(task: Task) -> None:
    """Refuse a part that no sheet holds, in the edition's writing; raises CuttingError."""
    from planbook.cutting.problem import Grain, usable
    from planbook.units.write import plain_length

    def size(sides: tuple[int, int]) -> str:
        return " x ".join(plain_length(side * task.edition.resolution, task.edition) for side in sides)

    room = usable(task.sheet, task.saw.trim)
    for piece in task.pieces:
        flat = (piece.length, piece.width)
        fits = flat[0] <= room[0] and flat[1] <= room[1]
        turned = flat[1] <= room[0] and flat[0] <= room[1]
        if not fits and not (turned and piece.grain is Grain.FREE):
            entry = task.entry(piece.key)
            raise CuttingError(
                "larger-than-stock",
                f"`{entry.part}` is {size(flat)}, the largest piece that a sheet of `{task.stock.name}` gives is "
                f"{size(room)}",
                "turned across the grain it would fit" if turned else "make it of two pieces with a joint",
            )


def share_used(lot: Lot) -> Fraction:
    """Return which part of all sheets becomes pieces."""
    solution = lot.solution
    sheets = sum(layout.repeats for layout in solution.layouts)
    filled = sum(layout.repeats * (1 - layout.waste) for layout in solution.layouts)
    return Fraction(filled) / sheets
