"""Boards bolted to bought bars: which way the slots of the bar lie, and whether they are long enough."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from planbook.checks import wood
from planbook.checks.outcome import Outcome, judged
from planbook.checks.subject import EXACT, Subject, finely_shown
from planbook.checks.wood import NO_ROOM, SLOT_RULE, over_the_year
from planbook.plan.model import Joint, Stock, StockKind


def slot_short(subject: Subject) -> Iterator[Outcome]:
    """Reckon the slots that let a board move: those of its joints, and those of bars that it is bolted to."""
    yield from wood.slot_short(subject)
    yield from _of_bars(subject)


def slot_turned(subject: Subject) -> Iterator[Outcome]:
    """Look which way the slots of bought parts lie: the wood moves across its grain, so a slot lies across it."""
    placements = {placement.part: placement for placement in reversed(subject.plan.placements)}
    for joint in subject.plan.joints:
        if joint.kind != "bolts" or not joint.free:
            continue
        for bought in joint.entering:
            slots = [hole for hole in subject.plan.part(bought).holes if hole.slot]
            for board in joint.receiving:
                stock = _solid(subject, board)
                if not slots or stock is None or bought not in placements or board not in placements:
                    continue
                along = placements[bought].axes[0][1] == placements[board].axes[0][1]
                figure = f"slots of `{bought}` lie {'along' if along else 'across'} the grain of `{board}`"
                yield judged(
                    "slot-turned",
                    joint.name,
                    figure=figure,
                    limit="across the grain, where the wood moves",
                    rule=EXACT,
                    wrong=figure if along else "",
                    span=joint.span,
                    help=f"turn `{bought}`: its bar runs across the grain of `{board}`",
                )


def _of_bars(subject: Subject) -> Iterator[Outcome]:
    """Reckon the slots of bought bars that a board is bolted to: from the fixed hole to each free one."""
    from planbook.trade.movement import slot_length_mm

    room = subject.rows().room
    edition = subject.plan.edition
    for joint in subject.plan.joints:
        if joint.kind != "bolts" or not joint.free:
            continue
        for bought in joint.entering:
            for board in joint.receiving:
                stock = _solid(subject, board)
                found = _farthest_slot(subject, joint, bought)
                if stock is None or found is None:
                    continue
                if room is None:
                    yield Outcome(of=board, missing=NO_ROOM)
                    continue
                slot, across, shank = found
                moves = over_the_year(subject, stock, across, room)
                if isinstance(moves, str):
                    yield Outcome(of=board, missing=moves)
                    continue
                needed = slot_length_mm(moves, shank)
                told = finely_shown(slot, edition)
                figure = f"slots of {told} in `{bought}`, {subject.shown(across)} from the fixed screw"
                limit = finely_shown(needed, edition)
                yield judged(
                    "slot-short",
                    board,
                    figure=figure,
                    limit=f"at least {limit}",
                    rule=f"{SLOT_RULE}; {moves.equation.citation}; {moves.coefficient.citation}; {room.basis.citation}",
                    wrong=f"`{board}` moves in {figure}, {limit} are needed" if slot < needed else "",
                    span=joint.span,
                    help=f"choose `{bought}` with longer slots, or bolt it nearer to the fixed screw",
                )


def _farthest_slot(subject: Subject, joint: Joint, bought: str) -> tuple[Fraction, Fraction, Fraction] | None:
    """Return slot, distance from the nearest fixed hole, and shank, in mm, of the free hole that moves most."""
    from planbook.trade.fasteners import find_fastener
    from planbook.trade.lookup import TradeError

    holes = subject.plan.part(bought).holes
    fixed = [hole.l for hole in holes if not hole.slot]
    free = [hole for hole in holes if hole.slot]
    if not fixed or not free:
        return None
    try:
        shank = find_fastener(joint.by[0]).shank.value
    except (TradeError, IndexError):
        return None
    across, slot = max((min(abs(hole.l - one) for one in fixed), hole.slot) for hole in free)
    return slot, across, shank


def _solid(subject: Subject, key: str) -> Stock | None:
    part = subject.plan.part(key)
    stock = next((stock for stock in subject.plan.stock if stock.name == part.stock), None)
    return stock if stock is not None and stock.kind is not StockKind.PANEL else None
