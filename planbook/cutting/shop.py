"""How the shop of a book saws: the words of `shop.yaml` as a practice in one edition."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from planbook.cutting.practice import USUAL, Practice
from planbook.cutting.problem import First
from planbook.source.diagnostics import Findings
from planbook.source.nearest import did_you_mean, one_of
from planbook.source.schema.book import ShopFacts
from planbook.source.schema.words import PerEdition, Value
from planbook.source.text import Text
from planbook.units.editions import Edition
from planbook.units.read import ReadError, read_quantity

_STAGES = {"2": 2, "3": 3}


def practice_of(shop: ShopFacts, edition: Edition, findings: Findings) -> Practice:
    """Return the practice of a shop; what it does not say, or says wrongly, is as usual."""
    from planbook.cutting.stick_stock import sold_sticks

    usual = USUAL[edition.name]
    practice = replace(usual, sticks=sold_sticks(shop, edition, findings))
    if shop.boards:
        from planbook.cutting.board_stock import hand_boards

        practice = replace(practice, boards=hand_boards(shop.boards, edition, findings))
        _check_woods(shop, findings)
    words = shop.sawing
    if words is None:
        return practice
    if words.kerf is not None:
        practice = replace(practice, kerf=_length(words.kerf, edition, findings, usual.kerf))
    if words.trim is not None:
        practice = replace(practice, trim=_length(words.trim, edition, findings, usual.trim))
    if words.first is not None:
        names = [first.value for first in First]
        if words.first in names:
            practice = replace(practice, first=First(str(words.first)))
        else:
            help = did_you_mean(words.first, names) or f"write {one_of(names)}"
            findings.stop("unknown-word", f"`first` is no `{words.first}`", words.first.span, help=help)
    if words.stages is not None:
        if words.stages in _STAGES:
            practice = replace(practice, stages=_STAGES[str(words.stages)])
        else:
            findings.stop(
                "stages-unknown",
                f"`{words.stages}` stages of cuts are asked for, layouts are made in 2 or 3",
                words.stages.span,
                help="write 2 or 3",
            )
    return practice


def _check_woods(shop: ShopFacts, findings: Findings) -> None:
    """Record boards of a wood that nobody knows: no plan would ever be cut from them."""
    from planbook.trade.species import wood_names

    own = [str(name) for wood, source in shop.woods.items() for name in (wood, *source.also)]
    known = {name.casefold() for name in (*own, *wood_names())}
    for name, board in shop.boards.items():
        if board.of.casefold() not in known:
            findings.warn(
                "unknown-wood",
                f"the board `{name}` is of `{board.of}`, which is no wood of the tables, so nothing is cut from it",
                board.of.span,
                help=did_you_mean(board.of, (*own, *wood_names())) or "describe it under `woods`",
            )


def chosen_text(value: Value, edition: Edition) -> Text:
    """Return the author's value for an edition."""
    if isinstance(value, PerEdition):
        return value.imperial if edition.name == "imperial" else value.metric
    return value


def _length(value: Value, edition: Edition, findings: Findings, usual: Fraction) -> Fraction:
    text = chosen_text(value, edition)
    try:
        quantity = read_quantity(text, default_unit="in" if edition.name == "imperial" else "mm")
    except ReadError as fault:
        findings.stop(fault.slug, fault.message, text.part(fault.start, fault.end).span, help=fault.help)
        return usual
    if quantity.dimension.length != 1 or quantity.value < 0:
        findings.stop("wrong-unit", f"`{text}` is no width of a cut", text.span, help="write `1/8 in` or `3 mm`")
        return usual
    return quantity.value
