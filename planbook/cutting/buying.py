"""The buying list: what a plan needs, in the packs that are sold, rounded up, with price and what is left over."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from planbook.cutting.board_problem import BUY
from planbook.cutting.boards import LOTS, Blank, Yield, board_yield
from planbook.cutting.buying_fittings import Offers, fastener_lines, part_lines, resin_lines, slab_lines
from planbook.cutting.lots import Lot
from planbook.cutting.practice import Practice
from planbook.cutting.prices import Offer
from planbook.cutting.purchase import Purchase, best_offer, counted, liquid, packed
from planbook.plan.model import Bought, Finish, Part, Plan, Role, Stock, StockKind
from planbook.trade.abrasives import grades_named, sheets_of_grade
from planbook.trade.coverage import board_area_mm2, finish_mm3
from planbook.trade.lookup import TradeError
from planbook.trade.products import find_product
from planbook.units.amounts import write_area, write_board_feet
from planbook.units.editions import Edition
from planbook.units.factors import BOARD_FOOT, FOOT, GALLON
from planbook.units.quantity import UnitError
from planbook.units.read import read_quantity
from planbook.units.write import decimal, plain_length, write_feet, write_metres


def buying_list(
    plan: Plan,
    lots: Sequence[Lot],
    practice: Practice,
    offers: Offers,
    *,
    students: int = 1,
    spares: Mapping[str, int] | None = None,
) -> tuple[Purchase, ...]:
    """Return what to buy for a plan made by each of `students`; `lots` are its layouts for as many.

    `spares` are parts made beyond that: a spare part out of a slab wants a slab of its own.
    """
    found: list[Purchase] = []
    by_stock = {lot.task.stock.name: lot for lot in lots}
    for stock in plan.stock:
        if stock.name in by_stock and by_stock[stock.name].task.sticks:
            found += _sticks(by_stock[stock.name], offers)
        elif stock.name in by_stock and by_stock[stock.name].task.boards:
            found += _on_hand(by_stock[stock.name])
        elif stock.name in by_stock:
            found.append(_sheets(by_stock[stock.name], offers))
        elif stock.kind is StockKind.LUMBER and stock.rough_thickness is not None:
            found += _boards(plan, stock, practice, offers, students)
    found += slab_lines(plan, offers, students, spares or {})
    found += part_lines(plan, offers, students)
    found += [_thing(plan, thing, offers, students) for thing in plan.bought]
    found += fastener_lines(plan, offers, students)
    found += resin_lines(plan, offers, students)
    poured = {pour.product for pour in plan.pours}
    brushed = [finish for finish in plan.finish if finish.product not in poured]
    found += [line for finish in brushed for line in _finish(plan, finish, offers, students)]
    return tuple(found)


def total(purchases: Sequence[Purchase]) -> tuple[Fraction, int]:
    """Return what the lines with a price cost together, and how many have none."""
    priced = [line.price for line in purchases if line.price is not None]
    return sum(priced, Fraction(0)), len(purchases) - len(priced)


def _sheets(lot: Lot, offers: Offers) -> Purchase:
    task, edition = lot.task, lot.task.edition
    count = sum(layout.repeats for layout in lot.solution.layouts)
    used = sum(layout.repeats * (1 - layout.waste) for layout in lot.solution.layouts)
    size = " x ".join(
        plain_length(side * edition.resolution, edition) for side in (task.sheet.length, task.sheet.width)
    )
    offer = best_offer(offers, task.stock.material, "sheet", nominal=task.stock.nominal)
    return Purchase(
        group="sheet",
        key=task.stock.material,
        what=f"{task.stock.material}, {task.stock.nominal}, {size}",
        need=f"{decimal(Fraction(used), 2)} of a sheet" if used < 1 else f"{decimal(Fraction(used), 1)} sheets",
        buy=counted(count, "sheet"),
        left=f"{decimal(Fraction(count - used) / count * 100, 0)} % of it",
        price=offer.price * count if offer and offer.price is not None else None,
        choose=", ".join(task.stock.pick),
        reason=_proof(lot, count),
    )


def _on_hand(lot: Lot) -> Iterator[Purchase]:
    """Give a line for the boards on hand, and one for each that has to be bought beside."""
    task, layouts = lot.task, lot.solution.layouts
    step = task.edition.resolution
    what = f"{task.stock.material}, {task.stock.nominal}"
    taken = [layout for layout in layouts if layout.stock != BUY]
    choose = ", ".join(task.stock.pick)
    if taken:
        names = ", ".join(layout.stock for layout in taken)
        yield Purchase(
            group="lumber", key=task.stock.material, what=what, need=counted(len(taken), "board"),
            buy="nothing, they are on hand", choose=names, reason="cut from the boards on hand",
        )  # fmt: skip
    for layout in layouts:
        if layout.stock == BUY:
            size = [plain_length(side * step, task.edition) for side in (layout.length, layout.width)]
            yield Purchase(
                group="lumber", key=task.stock.material, what=what, need=counted(layout.repeats, "board"),
                buy=f"{counted(layout.repeats, 'board')} of {size[0]} x {size[1]} or more, clear",
                choose=choose, reason="more than is on hand; checked ends and rough edges come on top",
            )  # fmt: skip


def _sticks(lot: Lot, offers: Offers) -> Iterator[Purchase]:
    """Give a line for each length; the last says whether less would do."""
    task = lot.task
    feet = write_feet if task.edition.name == "imperial" else write_metres
    for stick in task.sticks:
        layouts = [layout for layout in lot.solution.layouts if layout.stock == stick.key]
        count = sum(layout.repeats for layout in layouts)
        if not count:
            continue
        length = stick.length * task.edition.resolution
        used = Fraction(sum(layout.repeats * (1 - layout.waste) for layout in layouts))
        offer = next(
            (
                each
                for each in offers.get(task.stock.material, ())
                if each.length is not None and _same(each, length, lot)
            ),
            None,
        )
        yield Purchase(
            group="stick",
            key=task.stock.material,
            what=f"{task.stock.material}, {task.stock.nominal}, {feet(length)}",
            need=f"{feet(length * used)} of pieces",
            buy=counted(count, "stick"),
            left=f"{feet(length * (count - used))}, waste",
            price=offer.price * count if offer is not None and offer.price is not None else None,
            choose=", ".join(task.stock.pick),
            reason="" if lot.solution.proven else "whether less would do is open",
        )


def _same(offer: Offer, length: Fraction, lot: Lot) -> bool:
    nominal = "".join(lot.task.stock.nominal.split())
    fits = not offer.nominal or nominal.startswith("".join(offer.nominal.split()))
    return fits and offer.length is not None and abs(offer.length - length) < lot.task.edition.resolution


def _proof(lot: Lot, count: int) -> str:
    if count == 1:
        return ""
    return "fewer are impossible" if lot.solution.proven else f"{lot.solution.bound} at least are needed"


def _boards(plan: Plan, stock: Stock, practice: Practice, offers: Offers, students: int) -> Iterator[Purchase]:
    assert stock.rough_thickness is not None
    blanks = [
        Blank(
            part.length.rough, part.width.rough, part.pieces * (1 if part.role is Role.JIG else students), part.strips
        )
        for part in plan.parts
        if part.stock == stock.name
    ]
    if not blanks:
        return
    what = f"{stock.material}, {stock.nominal}"
    try:
        found = board_yield(blanks, stock.rough_thickness, kerf=practice.kerf, seed=f"{stock.material} {stock.nominal}")
    except ValueError as fault:
        yield Purchase(
            group="lumber", key=stock.material, what=what, need="", buy="ask for long boards", reason=str(fault)
        )
        return
    buy = Fraction(-int(-found.high // 1))
    offer = best_offer(offers, stock.material, "board foot", nominal=stock.nominal)
    yield Purchase(
        group="lumber",
        key=stock.material,
        what=what,
        need=_boards_written(found.net, plan.edition),
        buy=_boards_written(buy, plan.edition),
        left=f"{_boards_written(buy - found.net, plan.edition)}, waste",
        price=offer.price * buy if offer and offer.price is not None else None,
        choose=", ".join(stock.pick),
        reason=_spread(found, plan.edition),
    )


def _spread(found: Yield, edition: Edition) -> str:
    middle, low, high = (_boards_written(feet, edition) for feet in (found.middle, found.low, found.high))
    return (
        f"{LOTS} lots of random boards were tried: half took up to {middle}, one in ten under {low}, one in ten over "
        f"{high}"
    )


def _boards_written(feet: Fraction, edition: Edition) -> str:
    """Return an amount of rough lumber: `4.8 board feet`, `0.011 m³`."""
    if edition.name == "imperial":
        return write_board_feet(feet)
    return f"{decimal(feet * BOARD_FOOT / 10**9, 3)} m³"


def _thing(plan: Plan, thing: Bought, offers: Offers, students: int) -> Purchase:
    group = next((row.group for row in plan.materials if row.key == thing.key), "hardware")
    offer = best_offer(offers, thing.key, "pack") or best_offer(offers, thing.key, "")
    if thing.amount:
        try:
            need = read_quantity(thing.amount).value * students
        except UnitError:
            return Purchase(group=group, key=thing.key, what=thing.text, need=thing.amount, buy=thing.amount)
        return liquid(group, thing.key, thing.text, need, plan.edition, offer, choose=thing.note)
    if group == "abrasive" and not thing.counted:
        return _abrasive(plan, thing, offer, students)
    return packed(group, thing.key, thing.text, thing.count * students, offer, choose=thing.note)


def _abrasive(plan: Plan, thing: Bought, offer: Offer | None, students: int) -> Purchase:
    """Return the line of abrasive paper by the faces of the piece and the grades that it names."""
    area = _all_faces(plan)
    grades = grades_named(thing.text)
    count = sheets_of_grade(area) * max(1, len(grades))
    named = ", ".join(row.grade for row in grades)
    reason = (
        f"{counted(len(grades), 'grade')}, {named}, on {write_area(area, plan.edition)} for each piece"
        if grades
        else ""
    )
    return packed("abrasive", thing.key, thing.text, count * students, offer, choose=thing.note, reason=reason)


def _finish(plan: Plan, finish: Finish, offers: Offers, students: int) -> Iterator[Purchase]:
    """Give the line of a finish by the coverage of its kind; none where no table has it."""
    offer = best_offer(offers, finish.product, "pack") or best_offer(offers, finish.product, "")
    area = _all_faces(plan) * students
    try:
        kind = find_product("finish", finish.product)
        cover = kind.strictest("cover_m2_l")
    except TradeError:
        yield Purchase(
            group="finish", key=finish.product, what=finish.product, need=counted(finish.coats, "coat"),
            buy="by the coverage on the tin", choose=finish.note,
        )  # fmt: skip
        return
    loss = kind.spans["loss_pct"].high if "loss_pct" in kind.spans else Fraction(0)
    need = finish_mm3(area, coats=finish.coats, cover_m2_l=cover.value, loss_pct=loss)
    faces = write_area(area, plan.edition)
    reason = f"{counted(finish.coats, 'coat')} on {faces}, {_coverage(cover.value, plan.edition)}"
    yield liquid("finish", finish.product, finish.product, need, plan.edition, offer, choose=finish.note, reason=reason)


def _all_faces(plan: Plan) -> Fraction:
    return sum((_faces(part) for part in plan.parts if part.role is Role.PART), Fraction(0))


def _coverage(m2_l: Fraction, edition: Edition) -> str:
    if edition.name == "imperial":
        return f"{decimal(m2_l * 10**6 / FOOT**2 * GALLON / 10**6, 0)} sq ft to the gallon"
    return f"{decimal(m2_l, 1)} m² to the litre"


def _faces(part: Part) -> Fraction:
    return part.count * board_area_mm2(part.length.final, part.width.final, part.thick)
