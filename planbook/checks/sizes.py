"""Sizes of parts against what the stock gives: sheets, boards, thickness."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from planbook.checks.subject import EXACT, PRACTICE, Subject
from planbook.plan.model import Box, Cut, CutKind, Part, Role, Stock, StockKind
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.source.schema.parts import PartSource
from planbook.source.schema.shapes import DiscSource, FormSource
from planbook.source.text import Text
from planbook.trade.lookup import TradeError
from planbook.units.factors import FOOT, INCH

LONGEST_BOARD = {"imperial": 16 * FOOT, "metric": Fraction(4800)}
"""Longest usual hardwood board, in mm; 4.8 m is common practice, no source."""
LENGTHS_RULE = "NHLA Rules for the Measurement and Inspection of Hardwood and Cypress: standard lengths 4 to 16 ft"
LONGEST_SOFTWOOD = {"imperial": 24 * FOOT, "metric": Fraction(6300)}
"""Longest usual softwood board, in mm: 6 to 24 ft, 1.8 to 6.3 m (common practice, no source)."""
WIDEST_BOARD = {"imperial": 10 * INCH, "metric": Fraction(250)}
"""Widest hardwood board that a yard usually has, in mm (common practice, no source)."""


def part_too_large(subject: Subject) -> Iterator[Diagnostic]:
    """Find parts larger than the sheet, grain along its length, and longer than a board is sold."""
    for part in subject.plan.parts:
        stock = _stock(subject, part)
        if stock is None:
            continue
        if stock.sheet is not None:
            yield from _in_sheet(subject, part, stock.sheet)
        elif stock.kind is StockKind.LUMBER:
            yield from _in_board(subject, part, stock)


def _stock(subject: Subject, part: Part) -> Stock | None:
    return next((stock for stock in subject.plan.stock if stock.name == part.stock), None)


def _in_sheet(subject: Subject, part: Part, sheet: tuple[Fraction, Fraction]) -> Iterator[Diagnostic]:
    wide, long = sheet
    length, width = part.length.rough, part.width.rough
    if length <= long and width <= wide:
        return
    turned = length <= wide and width <= long
    size = f"{subject.shown(length)} along the grain and {subject.shown(width)} across it"
    whole = f"a sheet of {subject.shown(wide)} by {subject.shown(long)}"
    yield Diagnostic(
        "part-too-large",
        Severity.WARN if turned else Severity.STOP,
        f"`{part.key}` is sawn {size}, and comes out of {whole} only with the grain across it"
        if turned
        else f"`{part.key}` is sawn {size}, larger than {whole}",
        part.span,
        help=f"swap `length` and `width` of `{part.key}` if its grain may run the other way, or make it of two pieces"
        if turned
        else f"make `{part.key}` smaller, or of two pieces",
        rule=EXACT,
    )


def _in_board(subject: Subject, part: Part, stock: Stock) -> Iterator[Diagnostic]:
    softwood = stock.rough_thickness is None
    edition = subject.plan.edition.name
    limit = (LONGEST_SOFTWOOD if softwood else LONGEST_BOARD)[edition]
    if part.length.rough <= limit:
        return
    yield Diagnostic(
        "part-too-large",
        Severity.WARN,
        f"`{part.key}` is sawn {subject.shown(part.length.rough)} long, boards are usually sold up to "
        f"{subject.shown(limit)}",
        part.span,
        help=f"make `{part.key}` of two pieces, or ask the yard for longer boards",
        rule=PRACTICE if softwood or edition == "metric" else LENGTHS_RULE,
    )


def stock_too_thin(subject: Subject) -> Iterator[Diagnostic]:
    """Find parts thicker than their stock, and strips that fit into it neither way."""
    for part in subject.plan.parts:
        stock = _stock(subject, part)
        if stock is None:
            continue
        # A strip is ripped off, so either of its two sizes may lie in the thickness of the board.
        needed = min(part.thick, part.width.rough) if part.role is Role.EDGING else part.thick / part.layers
        rough = stock.rough_thickness
        given = stock.thickness if rough is None else min(stock.thickness, rough)
        if needed <= given:
            continue
        yield Diagnostic(
            "stock-too-thin",
            Severity.STOP,
            f"`{part.key}` is {subject.shown(needed)} thick, its stock `{stock.name}` has {subject.shown(given)}",
            part.span,
            further=((stock.span, f"`{stock.name}` is described here"),),
            help=f"choose the next thicker size in `nominal` of `{stock.name}`",
            rule=EXACT,
        )


def little_wood_left(subject: Subject) -> Iterator[Diagnostic]:
    """Find dados and grooves that, with those on the opposite face, leave less than half of the thickness."""
    for part in subject.plan.parts:
        channels = [cut for cut in part.cuts if cut.kind in (CutKind.DADO, CutKind.GROOVE)]
        worst: tuple[Fraction, str] | None = None
        for index, cut in enumerate(channels):
            found = _left_behind(part, cut, channels[index + 1 :])
            if worst is None or found[0] < worst[0]:
                worst = found
        if worst is None or worst[0] >= part.thick / 2:
            continue
        yield Diagnostic(
            "little-wood-left",
            Severity.WARN,
            f"{worst[1]} in `{part.key}` leaves {subject.shown(worst[0])} of {subject.shown(part.thick)}, "
            f"half is {subject.shown(part.thick / 2)}",
            part.span,
            help="cut it less deep, or move it away from the one on the other face",
            rule=PRACTICE,
        )


def _left_behind(part: Part, cut: Cut, others: list[Cut]) -> tuple[Fraction, str]:
    """Return the least thickness that a channel leaves, alone or with one opposite, and what leaves it."""
    worst = (part.thick - cut.deep, f"`{cut.name}`")
    for other in others:
        same_hand = not cut.hand or not other.hand or cut.hand == other.hand
        if other.face != cut.face and same_hand and _opposite(cut.box, other.box):
            left = part.thick - cut.deep - other.deep
            names = f"`{cut.name}`" if cut.name == other.name else f"`{cut.name}` with `{other.name}`"
            worst = min(worst, (left, f"{names} on both faces"))
    return worst


def _opposite(one: Box, other: Box) -> bool:
    return all(a[0] < b[1] and b[0] < a[1] for a, b in ((one.l, other.l), (one.w, other.w)))


def too_wide_for_board(subject: Subject) -> Iterator[Diagnostic]:
    """Find parts of solid wood that are wider than a board and not said to be glued up."""
    if subject.written is None:
        return
    for part in subject.plan.parts:
        stock = _stock(subject, part)
        if stock is None or stock.kind is not StockKind.LUMBER or part.role is Role.EDGING:
            continue
        if _glued_up(subject.written.facts.parts, part.key):
            continue
        limit, rule = _widest(subject, stock)
        if part.width.rough <= limit:
            continue
        yield Diagnostic(
            "too-wide-for-board",
            Severity.NOTE,
            f"`{part.key}` is sawn {subject.shown(part.width.rough)} wide, usual boards of `{stock.name}` have up to "
            f"{subject.shown(limit)}",
            part.span,
            help=f"add to `{part.key}` for example `glue up: strips up to {'5 in' if limit % INCH == 0 else '125 mm'}`",
            rule=rule,
        )


def _widest(subject: Subject, stock: Stock) -> tuple[Fraction, str]:
    """Return the widest usual board of a stock in mm, and where that comes from."""
    from planbook.trade.lumber import softwood

    edition = subject.plan.edition.name
    assert subject.written is not None
    source = next((facts for key, facts in subject.written.facts.stock.items() if key == stock.name), None)
    if source is not None and source.nominal is not None and "x" in source.nominal.casefold():
        try:
            size = softwood(source.nominal)
        except TradeError:
            return WIDEST_BOARD[edition], PRACTICE
        return (Fraction(size.metric_mm[1]) if edition == "metric" else size.width_mm), size.source
    return WIDEST_BOARD[edition], PRACTICE


def _glued_up(parts: dict[Text, PartSource | FormSource], key: str) -> bool:
    """Whether a part, or the part that it is like, says how it is glued up."""
    words = next((source for name, source in parts.items() if name == key), None)
    for _ in range(len(parts)):
        if not isinstance(words, PartSource) or words.glue_up is not None:
            break
        like = words.like
        words = next((source for name, source in parts.items() if name == like), None)
    return isinstance(words, PartSource | DiscSource) and words.glue_up is not None
