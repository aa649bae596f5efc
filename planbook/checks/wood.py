"""Solid wood over the year: where it is held across its grain, and whether its slots are long enough.

Boards scatter about the means of the tables; nothing finer than the limit is worth reckoning.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.checks.outcome import Outcome
from planbook.checks.spaces import Standing, standing
from planbook.checks.subject import Subject, finely_shown
from planbook.plan.model import Joint, Part, Range, Role, Stock, StockKind
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.source.schema.joints import JointSource
from planbook.trade.lookup import TradeError
from planbook.units.factors import INCH

if TYPE_CHECKING:
    from planbook.plan.shop_rows import Room
    from planbook.source.schema.words import Value
    from planbook.trade.movement import BothWays

FORCED_MM = INCH / 32
FORCED_RULE = "common practice, no source: no more than 1/32 in (0.8 mm) is forced on a board"
SLOT_RULE = "common practice, no source: twice the larger movement, and the shank"
NO_ROOM = "`room` in `shop.yaml` does not say in which air the piece will stand"
NEAR = 1
SAWN = {"flat": "FLAT", "quarter": "QUARTER", "between": "BETWEEN"}


@dataclass(frozen=True, slots=True)
class Held:
    """A part that a board is joined to, and where, across the board's grain."""

    key: str
    span: Range
    rigid: bool
    """It does not swell and shrink along with the board in this direction."""
    free: bool
    """The joint lets the board move."""
    joint: Joint


def solid_parts(subject: Subject) -> Iterator[tuple[Part, Stock]]:
    """Give the parts of solid wood, without strips and jigs."""
    for part in subject.plan.parts:
        stock = next((stock for stock in subject.plan.stock if stock.name == part.stock), None)
        if stock is not None and stock.kind is not StockKind.PANEL and part.role is Role.PART and part.shape is None:
            yield part, stock


def cross_fixed(subject: Subject) -> Iterator[Outcome]:
    """Reckon how much movement each board of solid wood is kept from where it is held across its grain."""
    room = subject.rows().room
    for part, stock in solid_parts(subject):
        held = [item for item in holds(subject, part) if not item.free]
        across, by = _fixed_over(subject, part, held)
        if not across:
            yield Outcome(of=part.key, figure="held at one place or none", limit=_forced(subject), rule=FORCED_RULE)
            continue
        if room is None:
            yield Outcome(of=part.key, missing=NO_ROOM)
            continue
        moves = over_the_year(subject, stock, across, room)
        if isinstance(moves, str):
            yield Outcome(of=part.key, missing=moves)
            continue
        most = max(moves.shrinks_mm, moves.swells_mm)
        names = " and ".join(f"`{name}`" for name in by)
        figure = (
            f"held over {subject.shown(across)} by {names}, where it moves {finely_shown(most, subject.plan.edition)}"
        )
        problem = None
        if most > FORCED_MM:
            problem = Diagnostic(
                "cross-fixed",
                Severity.WARN,
                f"`{part.key}` is {figure} over the year, {_forced(subject)} is the most that is forced",
                held[0].joint.span if len(by) == 1 else _joint_of(held, by).span,
                further=((part.span, f"`{part.key}` is described here"),),
                help=f"fix it along one edge and name the other part in `free`, as `free: {by[-1]}`",
                rule=FORCED_RULE,
            )
        rule = f"{FORCED_RULE}; {moves.equation.citation}; {moves.coefficient.citation}; {room.basis.citation}"
        yield Outcome(of=part.key, figure=figure, limit=_forced(subject), rule=rule, problem=problem)


def slot_short(subject: Subject) -> Iterator[Outcome]:
    """Reckon the slots that let a board move: from where it is held to where it is free, and the screw."""
    from planbook.trade.movement import slot_length_mm

    room = subject.rows().room
    for part, stock in solid_parts(subject):
        held = holds(subject, part)
        for loose in (item for item in held if item.free):
            source = _source(subject, loose.joint)
            if source is None or source.slot is None:
                yield Outcome(of=part.key, missing=f"`{loose.joint.name}` does not say how long its slots are")
                continue
            if room is None:
                yield Outcome(of=part.key, missing=NO_ROOM)
                continue
            fixed = [item for item in held if not item.free]
            across = _farthest(loose, fixed) if fixed else (loose.span[1] - loose.span[0]) / 2
            moves = over_the_year(subject, stock, across, room)
            if isinstance(moves, str):
                yield Outcome(of=part.key, missing=moves)
                continue
            slot, shank = (_size(subject, value) for value in (source.slot, source.shank))
            needed = slot_length_mm(moves, shank)
            edition = subject.plan.edition
            figure = (
                f"slots of {finely_shown(slot, edition)} at `{loose.key}`, {subject.shown(across)} from the fixed edge"
            )
            limit = finely_shown(needed, edition)
            problem = None
            if slot < needed:
                problem = Diagnostic(
                    "slot-short",
                    Severity.WARN,
                    f"`{part.key}` moves in {figure}, {limit} are needed",
                    loose.joint.span,
                    help=f"use brackets with longer slots, and write their length in `slot` of `{loose.joint.name}`",
                    rule=SLOT_RULE,
                )
            rule = f"{SLOT_RULE}; {moves.equation.citation}; {moves.coefficient.citation}; {room.basis.citation}"
            yield Outcome(of=part.key, figure=figure, limit=f"at least {limit}", rule=rule, problem=problem)


def over_the_year(subject: Subject, stock: Stock, across: Fraction, room: Room) -> BothWays | str:
    """Return how far a width of a stock moves over the year, or why that is not known."""
    from planbook.trade.movement import Cut, both_ways
    from planbook.trade.species import find_wood

    try:
        wood = find_wood(stock.material, subject.rows().woods)
        return both_ways(
            wood,
            Cut[_sawn(subject, stock)],
            across,
            built_pct=room.built_pct,
            driest_pct=room.driest_pct,
            dampest_pct=room.dampest_pct,
        )
    except TradeError as fault:
        return fault.message


def holds(subject: Subject, part: Part) -> list[Held]:
    """Return what a part is joined to, in the order of the joints: each with where it touches across the grain."""
    everything = standing(subject.plan)
    mine = next((one for one in everything if one.part.key == part.key), None)
    if mine is None or mine.placement.turn is not None:
        return []
    axis = "xyz".index(mine.placement.axes[1][1])
    found: dict[tuple[str, str], Held] = {}
    for joint in subject.plan.joints:
        if part.key not in (*joint.receiving, *joint.entering):
            continue
        others = joint.entering if part.key in joint.receiving else joint.receiving
        for other in everything:
            if other.part.key not in others or not _touches(mine, other):
                continue
            low, high = mine.around[axis]
            start, stop = other.around[axis]
            rigid = _rigid(subject, other, axis)
            span = (max(low, start), min(high, stop))
            if not rigid:
                # What moves along with the board holds it at one place only.
                span = (_middle(span), _middle(span))
            free = bool(joint.free) or other.part.key in _free(subject, joint)
            key = (joint.name, other.part.key)
            if key in found:
                before = found[key].span
                if free or _joined_to(subject, other.part.key) - {part.key}:
                    span = (min(before[0], span[0]), max(before[1], span[1]))
                else:
                    # Nothing else ties these copies together: each holds the board by itself, as legs do.
                    span = max(before, span, key=_long)
            found[key] = Held(other.part.key, span, rigid, free, joint)
    return list(found.values())


def _long(span: Range) -> Fraction:
    return span[1] - span[0]


def _fixed_over(subject: Subject, part: Part, held: list[Held]) -> tuple[Fraction, tuple[str, ...]]:
    """Return over how much of its width a board is held, and by which parts."""
    best: tuple[Fraction, tuple[str, ...]] = (Fraction(0), ())
    for item in held:
        if item.span[1] - item.span[0] > best[0]:
            best = (item.span[1] - item.span[0], (item.key,))
    for index, one in enumerate(held):
        for other in held[index + 1 :]:
            apart = max(one.span[1], other.span[1]) - min(one.span[0], other.span[0])
            if one.key != other.key and apart > best[0] and _kept_apart(subject, part, one.key, other.key):
                best = (apart, (one.key, other.key))
    return best


def _kept_apart(subject: Subject, part: Part, one: str, other: str) -> bool:
    """Whether two parts that hold a board are joined to a third one that does not move along with it."""
    everything = standing(subject.plan)
    mine = next(item for item in everything if item.part.key == part.key)
    axis = "xyz".index(mine.placement.axes[1][1])
    first, second = _joined_to(subject, one), _joined_to(subject, other)
    between = (first & second) - {part.key}
    if other in first or one in second:
        return True
    return any(item.part.key in between and _rigid(subject, item, axis) for item in everything)


def _joined_to(subject: Subject, key: str) -> frozenset[str]:
    found: set[str] = set()
    for joint in subject.plan.joints:
        if key in joint.receiving:
            found.update(joint.entering)
        if key in joint.entering:
            found.update(joint.receiving)
    return frozenset(found)


def _rigid(subject: Subject, one: Standing, axis: int) -> bool:
    """Whether a part keeps its size in a direction: a panel, metal, or wood along its grain."""
    stock = next((stock for stock in subject.plan.stock if stock.name == one.part.stock), None)
    if stock is None or stock.kind is StockKind.PANEL:
        return True
    return one.placement.axes[0][1] == "xyz"[axis]


def _touches(one: Standing, other: Standing) -> bool:
    return all(a[0] < b[1] + NEAR and b[0] < a[1] + NEAR for a, b in zip(one.around, other.around, strict=True))


def _farthest(loose: Held, fixed: list[Held]) -> Fraction:
    """Return how far a free place is from the nearest fixed one."""
    return min(abs(_middle(loose.span) - _middle(item.span)) for item in fixed)


def _middle(span: Range) -> Fraction:
    return (span[0] + span[1]) / 2


def _joint_of(held: list[Held], by: tuple[str, ...]) -> Joint:
    return next(item.joint for item in held if item.key == by[-1])


def _source(subject: Subject, joint: Joint) -> JointSource | None:
    if subject.written is None:
        return None
    found = next((source for key, source in subject.written.facts.joints.items() if str(key) == joint.name), None)
    return found if isinstance(found, JointSource) else None


def _free(subject: Subject, joint: Joint) -> tuple[str, ...]:
    source = _source(subject, joint)
    return tuple(" ".join(text.split()) for text in source.free) if source is not None else ()


def _sawn(subject: Subject, stock: Stock) -> str:
    """Return the cut of a stock; where nothing is said, flat, which moves most."""
    if subject.written is None:
        return "FLAT"
    source = next((facts for key, facts in subject.written.facts.stock.items() if str(key) == stock.name), None)
    word = str(source.sawn or "flat") if source is not None else "flat"
    return SAWN.get(word, "FLAT")


def _size(subject: Subject, value: Value | None) -> Fraction:
    """Return a length of a joint in mm, exact; 0 where none is written or it cannot be read."""
    from planbook.source.schema.words import PerEdition
    from planbook.units.quantity import LENGTH, UnitError
    from planbook.units.read import read_quantity

    if value is None:
        return Fraction(0)
    text = getattr(value, subject.plan.edition.name) if isinstance(value, PerEdition) else value
    try:
        quantity = read_quantity(text)
    except UnitError:
        return Fraction(0)
    return quantity.value if quantity.dimension == LENGTH else Fraction(0)


def _forced(subject: Subject) -> str:
    return finely_shown(FORCED_MM, subject.plan.edition)
