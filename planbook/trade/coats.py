"""When the next coat may go on, and when a finished piece may be used: ranges of minutes from the first coat."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planbook.trade.products import Product
from planbook.trade.sourced import Span
from planbook.trade.valid import need_positive


@dataclass(frozen=True, slots=True)
class Schedule:
    """Coats of one finish; all times in minutes from the start of the first coat."""

    starts: tuple[Span, ...]
    """Earliest start of each coat, at the usual least and the usual most."""
    use: Span | None
    """Light use."""
    cure: Span | None
    """Full hardness."""


def schedule(finish: Product, coats: int) -> Schedule:
    """Return when each coat may start and when the piece may be used.

    Times between coats, to light use and to full hardness are counted from the last coat. Raises
    `TradeError` where the finish has no time to the next coat and more than one is asked for.
    """
    need_positive(coats, "the number of coats", "")
    nothing = Span(Fraction(0), Fraction(0), "", finish.basis.status)
    starts = [nothing]
    for _ in range(coats - 1):
        starts.append(_after(starts[-1], finish.span("recoat")))
    last = starts[-1]
    later = {word: _after(last, finish.spans[word]) for word in ("use", "cure") if word in finish.spans}
    return Schedule(tuple(starts), later.get("use"), later.get("cure"))


def before(under: Product) -> Span:
    """Return how long something of another kind waits on top of this: its topcoat time, else its recoat time."""
    return under.spans.get("topcoat") or under.span("recoat")


def _after(start: Span, wait: Span) -> Span:
    return Span(start.low + wait.low, start.high + wait.high, wait.source, wait.status)
