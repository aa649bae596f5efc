"""Lists that follow from the parts: totals of each stock, bought things, materials, measured stock."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from fractions import Fraction

from planbook.plan import stand, values
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.model import Bought, Finish, Material, Measured, Part, Role, Stock, StockKind, StockTotal
from planbook.source.nearest import did_you_mean
from planbook.source.schema.plan import BoughtSource
from planbook.source.text import Text
from planbook.trade.lumber import board_feet_net
from planbook.units import amounts
from planbook.units.write import write_feet, write_length, write_metres

_FOR_EACH = re.compile(r"([0-9]{1,4})\s+(?:for each|per|for every)\s+(.+)$")

MEASURED_ROWS = 12
"""Most lines of one table of measured stock: what does not fit on half a page is not looked up."""


def totals(stock: Iterable[Stock], parts: Iterable[Part]) -> tuple[StockTotal, ...]:
    """Return what the rough pieces of each stock add up to, without saw kerf and waste."""
    found = []
    pieces = tuple(parts)
    for item in stock:
        own = [part for part in pieces if part.stock == item.name]
        if not own:
            continue
        area = sum((part.pieces * part.length.rough * part.width.rough for part in own), Fraction(0))
        rough = item.rough_thickness or item.thickness
        feet = sum(
            (part.pieces * board_feet_net(rough, part.width.rough, part.length.rough) for part in own), Fraction(0)
        )
        found.append(
            StockTotal(
                stock=item.name,
                pieces=sum(part.pieces for part in own),
                board_feet=feet if item.kind is StockKind.LUMBER else None,
                area=area,
                length=sum((part.pieces * part.length.rough for part in own), Fraction(0)),
            )
        )
    return tuple(found)


def bought_things(draft: Draft) -> tuple[Bought, ...]:
    """Return hardware and other bought things, for one piece."""
    found = []
    for key, entry in draft.facts.bought.items():
        try:
            found.append(_bought(draft, key, entry))
        except Unresolved:
            continue
    return tuple(found)


def _bought(draft: Draft, key: Text, entry: Text | BoughtSource) -> Bought:
    source = entry if isinstance(entry, BoughtSource) else BoughtSource.model_construct(count=entry)
    number = _how_many(draft, source.count) if source.count is not None else 1
    words = [str(values.chosen(draft, source.says)[0] if source.says is not None else key)]
    if source.size is not None:
        size = values.field(draft, source.size, "joinery", wants="length", word="size").value
        words.append(write_length(size, draft.edition))
    return Bought(
        key=str(key),
        text=", ".join(words),
        count=number,
        counted=source.count is not None,
        amount=_amount(draft, source) if source.amount is not None else "",
        note=str(source.note or ""),
        span=key.span,
    )


def _amount(draft: Draft, source: BoughtSource) -> str:
    """Return an amount that is not counted, in the edition's writing."""
    from planbook.plan.prose import write_quantity
    from planbook.source.formula.faults import FormulaError
    from planbook.source.formula.parser import Number, parse

    assert source.amount is not None
    text, _ = values.chosen(draft, source.amount)
    try:
        tree = parse(text, values.name_table(draft))
    except FormulaError as fault:
        draft.findings.add(fault.diagnostic(text))
        raise Unresolved(text) from None
    written = write_quantity(draft, tree.quantity) if isinstance(tree, Number) else None
    if written is None:
        raise draft.fail("wrong-unit", f"`{text}` is no amount to buy", text.span, help="write `4 fl oz` or `120 ml`")
    return written


def _how_many(draft: Draft, text: Text) -> int:
    match = _FOR_EACH.match(text)
    if match is None:
        return values.count(draft, text, 1)
    part, hand = stand.part_named(draft, text.part(match.start(2), match.end(2)))
    return int(match[1]) * (1 if hand else stand.copies(draft, part))


def finishes(draft: Draft) -> tuple[Finish, ...]:
    """Return what goes on the wood."""
    source = draft.facts.finish
    if source is None:
        return ()
    try:
        coats = values.count(draft, source.coats, 1, word="coats")
    except Unresolved:
        coats = 1
    joints = [str(name) for name in draft.facts.joints]
    for text in source.mask:
        # A face may be meant, too, in words of its own; a name that is nearly that of a joint is a slip.
        help = did_you_mean(text, joints) if text not in joints else None
        if help is not None:
            draft.findings.warn("unknown-name", f"there is no joint `{text}` to mask", text.span, help=help)
    remarks = [str(text) for text in (source.on, source.note) if text is not None]
    return (
        Finish(
            product=str(source.product),
            coats=coats,
            before_assembly=tuple(str(text) for text in source.before_assembly),
            mask=tuple(str(text) for text in source.mask),
            note="; ".join(remarks),
        ),
    )


def materials(
    draft: Draft,
    stock: Iterable[Stock],
    total: Iterable[StockTotal],
    bought: Iterable[Bought],
    finish: Iterable[Finish],
) -> tuple[Material, ...]:
    """Return the material list for one piece: wood, then hardware, glue and finish."""
    by_name = {item.name: item for item in stock}
    found = [_wood(draft, by_name[item.stock], item) for item in total]
    kinds = {
        str(key): str(entry.kind) if isinstance(entry, BoughtSource) else "hardware"
        for key, entry in draft.facts.bought.items()
    }
    for thing in bought:
        found.append(
            Material(
                group=kinds[thing.key],
                key=thing.key,
                quantity=thing.amount
                or (str(thing.count) if thing.counted or kinds[thing.key] == "hardware" else "by area"),
                text=thing.text,
                note=thing.note,
            )
        )
    for item in finish:
        coats = "1 coat" if item.coats == 1 else f"{item.coats} coats"
        found.append(Material(group="finish", key=item.product, quantity=coats, text=item.product, note=item.note))
    return tuple(found)


def _wood(draft: Draft, stock: Stock, total: StockTotal) -> Material:
    """Return the line of a stock: what its rough pieces add up to, before kerf and waste."""
    imperial = draft.edition.name == "imperial"
    if total.board_feet is not None and imperial:
        quantity = amounts.write_board_feet(total.board_feet)
    elif total.board_feet is not None:
        quantity = write_metres(total.length)
    else:
        quantity = amounts.write_area(total.area, draft.edition)
    size = ""
    if stock.sheet is not None:
        short, long = (write_length(side, draft.edition, mark=False) for side in stock.sheet)
        size = f"sheets of {short} × {long}" + (" in" if imperial else " mm")
    elif total.board_feet is not None and imperial:
        size = f"{write_feet(total.length)} of pieces end to end"
    return Material(
        group="wood", key=stock.material, quantity=quantity, text=f"{stock.material}, {stock.nominal}", note=size
    )


def measured_tables(draft: Draft, again: Callable[[str, Fraction], dict[str, Part] | None]) -> tuple[Measured, ...]:
    """Return the look-up table of each stock that is measured on the day.

    `again` resolves the parts with another thickness of a stock, or returns None where that fails.
    """
    from planbook.plan.stock import named_stock

    found = []
    for key in draft.facts.stock:
        try:
            stock = named_stock(draft, key)
            if not stock.measure:
                continue
        except Unresolved:
            continue
        step = draft.edition.resolution
        columns = tuple(stock.thickness + step * number for number in (-1, 0, 1))
        tried = [again(str(key), column) for column in columns]
        complete = [parts for parts in tried if parts is not None]
        if len(complete) != len(columns):
            continue
        rows = tuple(_changing(complete))[:MEASURED_ROWS]
        if not rows and stock.kind is StockKind.SLAB:
            # A slab's thickness drives no size of a part: what is poured is reckoned on the worksheet.
            continue
        found.append(
            Measured(
                stock=str(key),
                title=f"{stock.material}, {stock.nominal}",
                columns=columns,
                worked=stock.thickness,
                rows=rows,
            )
        )
    return tuple(found)


def _changing(tried: list[dict[str, Part]]) -> Iterable[tuple[str, tuple[Fraction, ...]]]:
    """Give the sizes that change with the thickness: lengths, widths, and how wide dados are."""
    first = tried[0]
    seen: set[str] = set()
    for name, part in first.items():
        if part.role is not Role.PART:
            continue
        for word in ("length", "width"):
            sizes = tuple(getattr(parts[name], word).final for parts in tried)
            if len(set(sizes)) > 1:
                yield f"{name}, {word}", sizes
    for name, part in first.items():
        for index, cut in enumerate(part.cuts):
            wide = tuple(parts[name].cuts[index].wide for parts in tried)
            label = f"width of the {cut.name}" if str(cut.kind) in cut.name else f"{cut.name}, width of the {cut.kind}"
            if len(set(wide)) > 1 and label not in seen:
                seen.add(label)
                yield label, wide
