"""The layouts of a plan: one lot for each stock that is sold in sheets or in sticks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from planbook.cutting.board_problem import Board
from planbook.cutting.demand import Wanted, pieces_of, saw_of, sheet_of, wanted_of
from planbook.cutting.layout import Solution
from planbook.cutting.practice import Practice
from planbook.cutting.problem import CuttingError, Piece, Saw, Sheet, Stick, Trim
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
    """The sheet; for sticks the longest of them, one step wide."""
    saw: Saw
    students: int = 1
    sticks: tuple[Stick, ...] = ()
    """The lengths as sold, where the stock is only cut to length."""
    boards: tuple[Board, ...] = ()
    """Boards on hand; then `sheet` is the largest board that can be bought."""
    sheets: tuple[Sheet, ...] = ()
    """All sheets that a bare list names."""

    @property
    def stock_entries(self) -> tuple[Sheet | Stick, ...]:
        """What can be bought."""
        return self.sticks or self.sheets or (self.sheet,)

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


def tasks_of(
    plan: Plan,
    practice: Practice,
    *,
    students: int = 1,
    once: Sequence[str] = (),
    spares: Sequence[tuple[str, int]] = (),
) -> tuple[Task, ...]:
    """Return the tasks of a plan, in the order of its stock; `once` names parts that a class needs once.

    A jig serves a whole class and is cut once in any case. `spares` are parts with how many are cut beyond the
    need; those of a pair are shared out to both hands.
    """
    tasks = []
    for stock in plan.stock:
        wanted = wanted_of(plan, stock, practice)
        if wanted and stock.dressed is not None:
            tasks.append(_stick_task(plan, stock, practice, wanted, students=students, once=once, spares=spares))
        elif not wanted and practice.boards:
            tasks += _board_tasks(plan, stock, practice, students=students, once=once, spares=spares)
        elif wanted and stock.sheet is not None:
            tasks.append(
                Task(
                    stock=stock,
                    edition=plan.edition,
                    wanted=wanted,
                    pieces=_times(pieces_of(wanted, plan.edition), wanted, students, once, spares),
                    sheet=sheet_of(stock, plan.edition),
                    saw=saw_of(practice, plan.edition),
                    students=students,
                )
            )
    return tuple(tasks)


def _stick_task(
    plan: Plan,
    stock: Stock,
    practice: Practice,
    wanted: tuple[Wanted, ...],
    *,
    students: int,
    once: Sequence[str],
    spares: Sequence[tuple[str, int]],
) -> Task:
    from planbook.cutting.demand import up
    from planbook.cutting.stick_stock import END, sticks_of

    sticks = sticks_of(stock, practice, plan.edition)
    longest = max(sticks, key=lambda stick: stick.length)
    pieces = tuple(replace(piece, width=1) for piece in pieces_of(wanted, plan.edition))
    return Task(
        stock=stock,
        edition=plan.edition,
        wanted=wanted,
        pieces=_times(pieces, wanted, students, once, spares),
        sheet=Sheet(key=longest.key, length=longest.length, width=1, price=longest.price),
        saw=Saw(kerf=up(practice.kerf, plan.edition), trim=Trim(start=up(END, plan.edition))),
        students=students,
        sticks=sticks,
    )


def _board_tasks(
    plan: Plan,
    stock: Stock,
    practice: Practice,
    *,
    students: int,
    once: Sequence[str],
    spares: Sequence[tuple[str, int]],
) -> list[Task]:
    """Return the task of a stock for which there are boards on hand, if there are."""
    from planbook.cutting.board_stock import board_wanted, boards_for, boards_to_buy
    from planbook.cutting.demand import up

    boards = boards_for(stock, practice.boards, plan.edition)
    bought = boards_to_buy(plan.edition)[0]
    widest = max([bought.width, *(board.room.width for board in boards)]) * plan.edition.resolution
    wanted = board_wanted(plan, stock, widest)
    if not boards or not wanted:
        return []
    return [
        Task(
            stock=stock,
            edition=plan.edition,
            wanted=wanted,
            pieces=_times(pieces_of(wanted, plan.edition), wanted, students, once, spares),
            sheet=bought,
            saw=Saw(kerf=up(practice.kerf, plan.edition)),
            students=students,
            boards=boards,
        )
    ]


def _times(
    pieces: Sequence[Piece],
    wanted: Sequence[Wanted],
    students: int,
    once: Sequence[str],
    spares: Sequence[tuple[str, int]],
) -> tuple[Piece, ...]:
    if students == 1 and not spares:
        return tuple(pieces)
    from planbook.cutting.classes import class_pieces
    from planbook.plan.model import Role

    single = {entry.key for entry in wanted if entry.part in once or entry.role is Role.JIG}
    more: dict[str, int] = {}
    for part, count in spares:
        hands = [entry.key for entry in wanted if entry.part == part]
        for number, key in enumerate(hands):
            share = -(-(count - number) // len(hands))
            if share > 0:
                more[key] = share
    return class_pieces(pieces, students=students, once=single, spares=more)


def solve(task: Task) -> Lot:
    """Return the layouts of a task; raises CuttingError where there are none, with sizes in the edition's writing."""
    from planbook.cutting.sheets import solve_sheets

    refuse_too_large(task)
    if task.boards:
        from planbook.cutting.board_stock import boards_to_buy
        from planbook.cutting.on_hand import solve_boards

        bought = boards_to_buy(task.edition)
        try:
            return Lot(task=task, solution=solve_boards(task.pieces, task.boards, task.saw.kerf, bought=bought))
        except CuttingError as fault:
            message = fault.message
            for entry in task.wanted:
                message = message.replace(f"`{entry.key}`", f"`{entry.part}`")
            raise CuttingError(fault.slug, message, fault.help) from None
    if task.sticks:
        from planbook.cutting.sticks import solve_sticks

        return Lot(task=task, solution=solve_sticks(task.pieces, task.sticks, task.saw))
    return Lot(task=task, solution=solve_sheets(task.pieces, [task.sheet], task.saw))


def refuse_too_large(task: Task) -> None:
    """Refuse a part that no sheet holds, in the edition's writing; raises CuttingError."""
    from planbook.cutting.problem import Grain, usable
    from planbook.units.write import plain_length

    def size(sides: tuple[int, int]) -> str:
        return " x ".join(plain_length(side * task.edition.resolution, task.edition) for side in sides)

    if task.sticks:
        _refuse_too_long(task)
        return
    room = usable(task.sheet, task.saw.trim)
    if task.boards:
        longest = max([room[0], *(board.room.length for board in task.boards)])
        room = longest, max([room[1], *(board.room.width for board in task.boards)])
    for piece in task.pieces:
        flat = (piece.length, piece.width)
        fits = flat[0] <= room[0] and flat[1] <= room[1]
        turned = flat[1] <= room[0] and flat[0] <= room[1]
        if not fits and not (turned and piece.grain is Grain.FREE):
            entry = task.entry(piece.key)
            raise CuttingError(
                "larger-than-stock",
                f"`{entry.part}` is {size(flat)}, the largest piece that a {'board' if task.boards else 'sheet'} of "
                f"`{task.stock.name}` gives is "
                f"{size(room)}",
                "turned across the grain it would fit" if turned else "make it of two pieces with a joint",
            )


def _refuse_too_long(task: Task) -> None:
    from planbook.units.write import plain_length

    room = task.sheet.length - task.saw.trim.start - task.saw.trim.end
    step = task.edition.resolution
    for piece in task.pieces:
        if piece.length > room:
            entry = task.entry(piece.key)
            raise CuttingError(
                "longer-than-stock",
                f"`{entry.part}` is {plain_length(piece.length * step, task.edition)} long, the longest stick of "
                f"`{task.stock.name}` gives {plain_length(room * step, task.edition)}",
                "name longer sticks under `sold` in the shop file, or make it of two with a joint",
            )


def share_used(lot: Lot) -> Fraction:
    """Return which part of all that is bought becomes pieces."""
    layouts = lot.solution.layouts
    whole = sum(layout.repeats * layout.length * layout.width for layout in layouts)
    filled = sum(layout.repeats * layout.length * layout.width * (1 - layout.waste) for layout in layouts)
    return Fraction(filled) / whole
