"""The tables of `planbook show` that need layouts: how sheets are cut, and what to buy."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from planbook.cli.tables import Table

if TYPE_CHECKING:
    from planbook.cutting.diagram import Diagram, Setting
    from planbook.cutting.lots import Lot
    from planbook.cutting.practice import Practice
    from planbook.plan.model import Plan
    from planbook.source.book import Book
    from planbook.source.diagnostics import Findings
    from planbook.units.editions import Edition


def lots_of_plan(plan: Plan, book: Book, findings: Findings, *, students: int = 1) -> tuple[tuple[Lot, ...], Practice]:
    """Return the layouts of a plan, accepted ones first, and how the shop saws; faults are recorded."""
    from planbook.cutting.shop import practice_of
    from planbook.publish.accepted import read_accepted
    from planbook.publish.layouts import lots_of

    practice = practice_of(book.shop, plan.edition, findings)
    accepted = read_accepted(book.root / "plans" / plan.slug)
    lots, faults = lots_of(plan, practice, None, accepted=accepted, students=students)
    findings.extend(faults)
    return lots, practice


def layout(plan: Plan, book: Book, findings: Findings, students: int) -> Table:
    """Return the order of cuts for every sheet, stick and slab."""
    from planbook.cli.layout_slabs import slab_cut_rows, slabs_of_plan
    from planbook.cutting.diagram import diagrams_of

    lots, practice = lots_of_plan(plan, book, findings, students=students)
    rows = []
    for lot in lots:
        title = f"{lot.task.stock.material}, {lot.task.stock.nominal}"
        for diagram in diagrams_of(lot, practice):
            rows += cut_rows(title, diagram, plan.edition)
    rows += [row for slab in slabs_of_plan(plan, practice, findings) for row in slab_cut_rows(slab, plan.edition)]
    return Table(CUT_TITLES, tuple(rows))


CUT_TITLES = ("stock", "diagram", "copies", "cuts", "set-up", "setting", "gives", "finished")


def cut_rows(title: str, diagram: Diagram, edition: Edition) -> list[tuple[str, ...]]:
    """Return a row for each set-up of a diagram."""
    from planbook.units.write import plain_length

    def row(setting: Setting) -> tuple[str, ...]:
        numbers = " ".join(str(number) for number in setting.numbers)
        verb = "trim" if setting.trims else setting.way.value
        gives = "" if setting.trims else ", ".join(wanted.key for wanted in setting.gives)
        fence = plain_length(diagram.trimmed_by(setting.way) if setting.trims else setting.fence, edition)
        return title, str(diagram.number), str(diagram.repeats), numbers, verb, fence, gives, ", ".join(setting.done)

    return [row(setting) for setting in diagram.settings]


def buying(plan: Plan, book: Book, findings: Findings, students: int) -> Table:
    """Return what to buy in the packs that are sold, with prices where the shop file has them, and what is left."""
    from fractions import Fraction

    from planbook.cutting.buying import buying_list, total
    from planbook.cutting.prices import money, offers_of

    lots, practice = lots_of_plan(plan, book, findings, students=students)
    lines = buying_list(plan, lots, practice, offers_of(book.shop, plan.edition, findings), students=students)
    titles = ("kind", "what", "need", "buy", "left over", "price", "how to choose", "reckoned from")
    rows = [
        (
            line.group, line.what, line.need, line.buy, line.left,
            money(line.price, book.shop) if line.price is not None else "", line.choose, line.reason,
        )
        for line in lines
    ]  # fmt: skip
    cost, unpriced = total(lines)
    if cost:
        lacks = f"{unpriced} lines without a price" if unpriced else ""
        rows.append(("all", "", "", "", "", money(cost, book.shop), "", lacks))
        if students > 1:
            each = money(Fraction(cost) / students, book.shop)
            rows.append(("each student", "", "", "", "", each, "", ""))
    return Table(titles, tuple(rows))


LAYOUT_TABLES: Mapping[str, Callable[[Plan, Book, Findings, int], Table]] = {"layout": layout, "buying": buying}
