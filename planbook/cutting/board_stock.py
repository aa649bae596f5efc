"""Boards on hand, from the shop's list, and what a plan wants to cut from them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from planbook.cutting.board_problem import Board, Defect
from planbook.cutting.boards import EDGES, ENDS, JOINT, LONGEST, STRIP, WIDEST
from planbook.cutting.demand import Wanted, down, up
from planbook.cutting.layout import Rect
from planbook.cutting.problem import Sheet
from planbook.plan.model import Life, Part, Plan, Role, Stock
from planbook.source.diagnostics import Findings
from planbook.source.nearest import did_you_mean, one_of
from planbook.source.schema.boards import BoardSource, DefectSource
from planbook.source.schema.words import PerEdition, Value
from planbook.source.text import Text
from planbook.units.editions import Edition
from planbook.units.factors import FOOT, INCH
from planbook.units.read import ReadError, read_quantity
from planbook.units.write import plain_length

_EDGES = ("near", "far")
_PLANED = INCH / 4
"""Taken off a rough board to make it flat on both faces (common practice, no source)."""
_FEET = (LONGEST, 8, 5, 3)
_INCHES = (WIDEST, 7, 5)
"""Sizes of boards to buy that are tried (our own choice)."""


@dataclass(frozen=True, slots=True)
class HandDefect:
    """A stretch that no part may have; mm, `low` and `high` from the near edge."""

    name: str
    kind: str
    start: Fraction
    stop: Fraction
    low: Fraction
    high: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class HandBoard:
    """A board on hand, in mm as measured."""

    key: str
    material: str
    thick: Fraction
    length: Fraction
    width: Fraction
    faces: int
    straight: bool
    """Whether its edges are planed already."""
    defects: tuple[HandDefect, ...] = ()


def hand_boards(boards: dict[Text, BoardSource], edition: Edition, findings: Findings) -> tuple[HandBoard, ...]:
    """Return the boards of a list, each by itself; faults are recorded, and what has one is left out."""
    reader = _Reader(edition, findings)
    return tuple(board for key, source in boards.items() for board in reader.boards(key, source))


def board_of_list(
    key: Text, size: tuple[Fraction, Fraction], defects: dict[Text, DefectSource], edition: Edition, findings: Findings
) -> Board:
    """Return a board of a bare list, whose length and width in mm are clear but for its defects."""
    reader = _Reader(edition, findings)
    found = [reader.defect(name, source, *size) for name, source in defects.items()]
    board = HandBoard(
        key=str(key), material="", thick=Fraction(0), length=size[0], width=size[1], faces=2, straight=True,
        defects=tuple(defect for defect in found if defect is not None),
    )  # fmt: skip
    made = _steps(board, edition)
    return replace(made, room=Rect(0, 0, made.length, made.width))


class _Reader:
    def __init__(self, edition: Edition, findings: Findings) -> None:
        self._edition, self._findings = edition, findings

    def boards(self, key: Text, source: BoardSource) -> Iterator[HandBoard]:
        length, width = self._positive(source.length), self._positive(source.width)
        thick = self._positive(source.thick)
        count = self._number(source.count, range(1, 1000), "write how many, 1 or more")
        faces = self._number(source.faces, range(1, 3), "write 1 or 2") if source.faces is not None else 2
        if source.edges is not None and source.edges != "straight":
            help = did_you_mean(source.edges, ["straight"]) or "write `straight`, or leave it out"
            self._findings.stop("unknown-word", f"`edges` is no `{source.edges}`", source.edges.span, help=help)
        if length is None or width is None or thick is None or count is None or faces is None:
            return
        defects = [self.defect(name, defect, length, width) for name, defect in source.defects.items()]
        for number in range(1, count + 1):
            yield HandBoard(
                key=f"{key} no. {number}" if count > 1 else str(key),
                material=str(source.of),
                thick=thick,
                length=length,
                width=width,
                faces=faces,
                straight=source.edges == "straight",
                defects=tuple(defect for defect in defects if defect is not None),
            )

    def defect(self, name: Text, source: DefectSource, length: Fraction, width: Fraction) -> HandDefect | None:
        """Return a defect; None, with the fault recorded, where it is none of such a board."""
        start, stop = self._length(source.from_), self._length(source.to)
        wide = self._length(source.wide) if source.wide is not None else width
        low = self._low(source, width, wide)
        if start is None or stop is None or wide is None or low is None:
            return None
        if not 0 <= start < stop <= length or not 0 <= low < low + wide <= width:
            self._findings.stop(
                "defect-off-board",
                f"the {source.is_} `{name}` does not lie on its board, which is {self._shown(length)} long and "
                f"{self._shown(width)} wide",
                name.span,
                help="measure it from the same end and from the near edge",
            )
            return None
        return HandDefect(str(name), str(source.is_), start, stop, low, low + wide)

    def _low(self, source: DefectSource, width: Fraction, wide: Fraction | None) -> Fraction | None:
        if source.from_near is not None:
            return self._length(source.from_near)
        if source.edge is not None and source.edge not in _EDGES:
            help = did_you_mean(source.edge, list(_EDGES)) or f"write {one_of(_EDGES)}"
            self._findings.stop("which-edge", f"`{source.edge}` is no edge of a board", source.edge.span, help=help)
        return width - wide if source.edge == "far" and wide is not None else Fraction(0)

    def _positive(self, value: Value) -> Fraction | None:
        found = self._length(value)
        if found is not None and found <= 0:
            text = _chosen(value, self._edition)
            self._findings.stop(
                "size-not-positive", f"`{text}` is not more than nothing", text.span, help="write its size"
            )
            return None
        return found

    def _length(self, value: Value) -> Fraction | None:
        text = _chosen(value, self._edition)
        try:
            quantity = read_quantity(text, default_unit="in" if self._edition.name == "imperial" else "mm")
        except ReadError as fault:
            self._findings.stop(fault.slug, fault.message, text.part(fault.start, fault.end).span, help=fault.help)
            return None
        if quantity.dimension.length != 1 or quantity.value < 0:
            self._findings.stop("wrong-unit", f"`{text}` is no length", text.span, help="write `72 in` or `1830 mm`")
            return None
        return quantity.value

    def _number(self, text: Text | None, allowed: range, help: str) -> int | None:
        if text is None:
            return 1
        if text.isascii() and text.isdigit() and len(text) < 8 and int(text) in allowed:
            return int(text)
        self._findings.stop("wrong-number", f"`{text}` is no number here", text.span, help=help)
        return None

    def _shown(self, mm: Fraction) -> str:
        return plain_length(mm, self._edition)


def _chosen(value: Value, edition: Edition) -> Text:
    if isinstance(value, PerEdition):
        return value.imperial if edition.name == "imperial" else value.metric
    return value


def boards_for(stock: Stock, boards: Sequence[HandBoard], edition: Edition) -> tuple[Board, ...]:
    """Return the boards of a wood that are thick enough for a stock, in whole steps, ends and edges trimmed."""
    if stock.rough_thickness is None:
        return ()
    least = min(stock.rough_thickness, stock.thickness + _PLANED)
    return tuple(
        _steps(board, edition) for board in boards if board.material == stock.material and board.thick >= least
    )


def _steps(board: HandBoard, edition: Edition) -> Board:
    length, width = down(board.length, edition), down(board.width, edition)
    end, edge = up(ENDS / 2, edition), 0 if board.straight else up(EDGES / 2, edition)
    return Board(
        key=board.key,
        length=length,
        width=width,
        room=Rect(end, edge, max(0, length - 2 * end), max(0, width - 2 * edge)),
        defects=tuple(
            Defect(
                defect.name,
                defect.kind,
                _outside(defect.start, defect.stop, defect.low, defect.high, edition),
            )
            for defect in board.defects
        ),
        faces=board.faces,
    )


def _outside(start: Fraction, stop: Fraction, low: Fraction, high: Fraction, edition: Edition) -> Rect:
    """Return a defect rounded outwards."""
    x, y = down(start, edition), down(low, edition)
    return Rect(x, y, up(stop, edition) - x, up(high, edition) - y)


def boards_to_buy(edition: Edition) -> tuple[Sheet, ...]:
    """Return boards that yards sell, ends and edges taken off, large to small, for what is not on hand."""
    lengths = [down(feet * FOOT - ENDS, edition) for feet in _FEET]
    widths = [down(inches * INCH - EDGES, edition) for inches in _INCHES]
    return tuple(Sheet(key="", length=length, width=width) for length in lengths for width in widths)


def board_wanted(plan: Plan, stock: Stock, widest: Fraction) -> tuple[Wanted, ...]:
    """Return the rough pieces of a stock; what is wider than `widest`, or glued up by its author, comes in strips."""
    found: list[Wanted] = []
    for part in plan.parts:
        if part.stock == stock.name:
            hands = ("L", "R") if part.pair else ("",)
            found += [_wanted(part, hand, part.pieces // len(hands), widest) for hand in hands]
    return tuple(entry for entry in found if entry.count > 0)


def _wanted(part: Part, hand: str, count: int, widest: Fraction) -> Wanted:
    number, width = strips_of(part.width.rough, part.strips, widest)
    late = [size for size in (part.length, part.width) if size.life is not Life.NOW]
    return Wanted(
        key=f"{part.letter} {hand}".rstrip(),
        letter=part.letter,
        hand=hand,
        name=part.key if number == 1 else f"{part.key}, strip",
        part=part.key,
        role=part.role,
        length=part.length.rough,
        width=width,
        count=count * number,
        turns=part.role is Role.TEST,
        life=late[0].life if late else Life.NOW,
        until=late[0].until if late else part.made_in,
    )


def strips_of(width: Fraction, author: Fraction | None, widest: Fraction) -> tuple[int, Fraction]:
    """Return into how many strips of what width a rough width is split; one where it is not.

    The author's widest strip counts; else the usual one, where no board is wide enough. Each strip has a little
    more for its joint.
    """
    if author is None and width <= widest:
        return 1, width
    most = min(author if author is not None else STRIP, widest - JOINT)
    number = max(1, -int(-width // most))
    return (1, width) if number == 1 else (number, width / number + JOINT)
