"""Boards of random width: how much to buy, by cutting the parts from many lots as they are sold.

A yard sells hardwood by the board foot in boards of random width and length. What is lost cannot be known
before the boards are seen, so it is tried: the pieces are cut from seeded random lots by a plain rule, and the
spread of what was needed is reported, not one flat share.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from planbook.trade.lumber import board_feet_net, board_feet_rule
from planbook.units.factors import FOOT, INCH

LOTS = 40
"""Lots tried; the figures of more of them differ by less than a board."""
NARROWEST, WIDEST = 4, 10
"""Inches. At least 4 in is the width of the grade Selects (NHLA rules); the upper end is common practice, no source."""
SHORTEST, LONGEST = 6, 12
"""Feet. At least 6 ft is the length of the grade Selects (NHLA rules); the upper end is common practice, no source."""
ENDS = 2 * INCH
"""Lost at both ends together to checks (common practice, no source)."""
EDGES = INCH / 2
"""Lost of the width to straighten both edges (common practice, no source)."""
LOOKED_AT = 8
"""Boards of which the buyer takes the one that serves best (our own choice; who may turn the pile over does better)."""
STRIP = 5 * INCH
"""Widest strip of a glued-up panel, so that it stays flat (common practice, no source)."""
LEAST_STRIP = 3 * INCH / 2
"""Narrowest strip of a panel (common practice, no source)."""
JOINT = INCH / 8
"""Added to each strip of a panel for its glue joint (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Blank:
    """Something to saw from boards; mm. What is wider than a board is glued up from strips."""

    length: Fraction
    width: Fraction
    count: int
    strips: Fraction | None = None
    """Widest strip of what is glued up however wide the boards are; None for what may come in one piece."""


@dataclass(frozen=True, slots=True)
class Yield:
    """What the parts take, and what had to be bought for them in the lots tried; board feet."""

    net: Fraction
    low: Fraction
    """One lot in ten needed less."""
    middle: Fraction
    high: Fraction
    """One lot in ten needed more: what to buy."""

    @property
    def waste(self) -> Fraction:
        """Share of the middle lot that is lost."""
        return 1 - self.net / self.middle if self.middle else Fraction(0)


def board_yield(blanks: Sequence[Blank], thick: Fraction, *, kerf: Fraction, seed: str, lots: int = LOTS) -> Yield:
    """Return what to buy for blanks from rough boards `thick` mm thick; the same seed gives the same lots.

    Board feet as the yard charges them: surface measure rounded for each board (NHLA measuring rule).
    Raises ValueError for a blank longer than any board of these lots.
    """
    if any(blank.length > LONGEST * FOOT - ENDS for blank in blanks):
        raise ValueError("a blank is longer than the boards that yards sell")
    net = sum((blank.count * board_feet_net(thick, blank.length, blank.width) for blank in blanks), Fraction(0))
    random = Random(seed)
    needed = sorted(_lot(blanks, thick, kerf, random) for _ in range(lots))
    return Yield(net, needed[lots // 10], needed[lots // 2], needed[-1 - lots // 10])


def _glued(blank: Blank, usable: Fraction) -> bool:
    return blank.width > (usable if blank.strips is None else min(blank.strips, usable))


Left = list[tuple[Fraction, Fraction, bool]]
"""Length, width still wanted, whether it is a panel made of strips; long and wide first."""


def _lot(blanks: Sequence[Blank], thick: Fraction, kerf: Fraction, random: Random) -> Fraction:
    """Return the board feet of one random lot that gives all blanks."""
    usable = WIDEST * INCH - EDGES
    left: Left = sorted(
        ((blank.length, blank.width, _glued(blank, usable)) for blank in blanks for _ in range(blank.count)),
        reverse=True,
    )
    total = Fraction(0)
    while left:
        seen: list[tuple[Fraction, Fraction, Left]] = []
        for _ in range(LOOKED_AT):
            quarters, feet = random.randint(NARROWEST * 4, WIDEST * 4), random.randint(SHORTEST, LONGEST)
            rest, used = _cut(left, feet * FOOT - ENDS, quarters * INCH / 4 - EDGES, kerf)
            charged = board_feet_rule(Fraction(quarters, 4), Fraction(feet), thick / INCH)
            if used:
                seen.append((charged, used / charged, rest))
        # A board that gives all that is still wanted ends the search: of several the one that costs least.
        enough = [board for board in seen if not board[2]]
        if seen:
            charged, _, left = min(enough) if enough else max(seen, key=lambda board: board[1])
            total += charged
    return total


def _cut(pieces: Left, length: Fraction, width: Fraction, kerf: Fraction) -> tuple[Left, Fraction]:
    """Cut one board: sections as long as the longest piece that still fits, each ripped as far as it goes.

    Returns what is still wanted, and the area that was served.
    """
    left, used = list(pieces), Fraction(0)
    while True:
        first = next((piece for piece in left if piece[0] <= length and _strip(piece, width)), None)
        if first is None:
            return left, used
        room = width
        while (at := _next(left, first[0], room)) is not None:
            long, wide, panel = left.pop(at)
            taken = _strip((long, wide, panel), room)
            served = min(wide, taken - JOINT) if panel else wide
            used += long * served
            if panel and wide - served > 0:
                left.insert(at, (long, wide - served, True))
            room -= taken + kerf
        length -= first[0] + kerf


def _next(left: Left, length: Fraction, room: Fraction) -> int | None:
    return next((at for at, piece in enumerate(left) if piece[0] <= length and _strip(piece, room)), None)


def _strip(piece: tuple[Fraction, Fraction, bool], room: Fraction) -> Fraction:
    """Return how much of a section's width goes into a piece; 0 where it does not fit."""
    _, wide, panel = piece
    if not panel:
        return wide if wide <= room else Fraction(0)
    taken = min(room, STRIP, wide + JOINT)
    return taken if taken >= min(LEAST_STRIP, wide + JOINT) else Fraction(0)
