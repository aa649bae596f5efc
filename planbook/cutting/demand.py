"""What a plan wants from a stock sold in sheets or sticks: every copy by letter and hand, in the size to saw first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from planbook.cutting.practice import Practice
from planbook.cutting.problem import Grain, Piece, Saw, Sheet, Trim
from planbook.plan.model import Life, Part, Plan, Role, Size, Stock, StockKind
from planbook.units.editions import Edition

GRAINLESS = frozenset({"MDF", "particleboard", "OSB", "hardboard"})
"""Panels whose faces look alike both ways (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One entry of a diagram: the copies of a part that are alike."""

    key: str
    """Letter and hand, `A L`: what is written on the wood."""
    letter: str
    hand: str
    name: str
    part: str
    role: Role
    length: Fraction
    """mm along the grain, as sawn from the sheet."""
    width: Fraction
    count: int
    """For one piece of the plan."""
    turns: bool
    """Whether it may lie across the sheet."""
    life: Life
    until: int | None
    """Number of the step that makes it final."""


def wanted_of(plan: Plan, stock: Stock, practice: Practice) -> tuple[Wanted, ...]:
    """Return what is sawn from a stock of sheets or sticks, test pieces, spares and jigs included, by the letters."""
    found: list[Wanted] = []
    for part in plan.parts:
        if part.stock == stock.name and (stock.kind is StockKind.PANEL or stock.dressed is not None):
            hands = ("L", "R") if part.pair else ("",)
            found += [_wanted(part, hand, part.pieces // len(hands), stock, practice) for hand in hands]
    return tuple(entry for entry in found if entry.count > 0)


def _wanted(part: Part, hand: str, count: int, stock: Stock, practice: Practice) -> Wanted:
    if stock.dressed is not None:
        # What is wider than a stick is glued up of several; what is narrower is ripped after it is cut to length.
        count *= -int(-part.width.final // stock.dressed)
    late = [size for size in (part.length, part.width) if size.life is not Life.NOW]
    return Wanted(
        key=f"{part.letter} {hand}".rstrip(),
        letter=part.letter,
        hand=hand,
        name=part.key,
        part=part.key,
        role=part.role,
        length=_sawn(part.length, part.body_length, practice),
        width=_sawn(part.width, part.body_width, practice),
        count=count,
        turns=stock.material in GRAINLESS or part.role is Role.TEST,
        life=late[0].life if late else Life.NOW,
        until=late[0].until if late else part.made_in,
    )


def _sawn(size: Size, body: Fraction, practice: Practice) -> Fraction:
    """Return the size to saw from the sheet: left long, or with something to fit by, or as listed."""
    if size.life is Life.LONG:
        return size.rough
    return body + practice.fitting if size.life is Life.FITTED else body


def pieces_of(wanted: Sequence[Wanted], edition: Edition) -> tuple[Piece, ...]:
    """Return the pieces in whole steps of the edition's resolution, rounded up."""
    return tuple(
        Piece(
            key=entry.key,
            length=up(entry.length, edition),
            width=up(entry.width, edition),
            count=entry.count,
            grain=Grain.FREE if entry.turns else Grain.FIXED,
        )
        for entry in wanted
    )


def saw_of(practice: Practice, edition: Edition) -> Saw:
    """Return the saw in whole steps, rounded up."""
    return Saw(
        kerf=up(practice.kerf, edition),
        trim=Trim(near=up(practice.trim, edition)),
        stages=practice.stages,
        first=practice.first,
    )


def sheet_of(stock: Stock, edition: Edition, *, price: int = 1) -> Sheet:
    """Return the usual sheet of a stock in whole steps, rounded down; its grain runs along the longer side.

    Raises ValueError for a stock that is not sold in sheets.
    """
    if stock.sheet is None:
        raise ValueError(f"{stock.name} is not sold in sheets")
    return Sheet(
        key=stock.name, length=down(max(stock.sheet), edition), width=down(min(stock.sheet), edition), price=price
    )


def up(mm: Fraction, edition: Edition) -> int:
    """Return a length in whole steps of the edition, rounded up: for pieces and kerfs."""
    return -int(-mm // edition.resolution)


def down(mm: Fraction, edition: Edition) -> int:
    """Return a length in whole steps of the edition, rounded down: for stock."""
    return int(mm // edition.resolution)
