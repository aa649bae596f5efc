"""The lists of a sheet: cut list, measured on the day, materials, yard, finish, what may be changed."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from planbook.checks.masses import part_kg
from planbook.drawing.sawing import sawn_size
from planbook.plan.model import Life, Part, Plan, Role, Stock, StockKind, StockTotal
from planbook.publish.book_info import BookInfo
from planbook.publish.sheet_runs import Runs, counted, number, run, size, step_target
from planbook.units.amounts import write_area, write_board_feet, write_mass
from planbook.units.editions import Edition
from planbook.units.factors import FOOT
from planbook.units.write import write_feet, write_metres

_GROUPS = ("wood", "hardware", "glue", "abrasive", "finish")


def cut_list(plan: Plan) -> list[dict[str, Any]]:
    """Return the parts by stock, in the order of the stock; a stock without parts is left out."""
    groups = []
    totals = {total.stock: total for total in plan.totals}
    for stock in plan.stock:
        parts = [part for part in plan.parts if part.stock == stock.name]
        if parts:
            groups.append(_group(plan, stock, parts, totals.get(stock.name)))
    return groups


def measured(plan: Plan) -> list[dict[str, Any]]:
    """Return the tables *measured on the day*."""
    stock = {stock.name: stock for stock in plan.stock}
    return [
        {
            "title": f"Measure today: {table.title}",
            "ask": f"Measure the {stock[table.stock].material} at several places, and use the column that fits yours."
            if table.stock in stock
            else "Measure yours at several places, and use the column that fits it.",
            "columns": [number(value, plan.edition) for value in table.columns],
            "worked_index": table.columns.index(table.worked) if table.worked in table.columns else None,
            "rows": [
                {"label": label, "values": [number(value, plan.edition) for value in values]}
                for label, values in table.rows
            ],
        }
        for table in plan.measured
    ]


def materials(plan: Plan, book: BookInfo) -> list[dict[str, Any]]:
    """Return the material list by group, each with a link where the book describes the material."""
    names = {stock.name: stock.material for stock in plan.stock}
    known = [*_GROUPS, *dict.fromkeys(row.group for row in plan.materials if row.group not in _GROUPS)]
    groups = []
    for group in known:
        rows = []
        for row in plan.materials:
            if row.group == group:
                name = described(names.get(row.key, row.key), row.text, book)
                to = f"material:{name}" if name else None
                rows.append({"quantity": row.quantity, "text": row.text, "note": row.note, "to": to, "key": row.key})
        if rows:
            groups.append({"group": group, "rows": rows})
    return groups


def described(key: str, text: str, book: BookInfo) -> str:
    """Return the book's name of a material, found by its key or by its words; empty if it has none."""
    return next((name for name in (key, text) if name in book.materials), "")


def yard(plan: Plan) -> list[str]:
    """Return how to choose each stock, in the author's words."""
    return [f"{stock.material}, {stock.nominal}: {', '.join(stock.pick)}" for stock in plan.stock if stock.pick]


def finishes(plan: Plan) -> list[dict[str, Any]]:
    """Return what goes on the wood."""
    return [
        {
            "product": finish.product,
            "coats": counted(finish.coats, "coat"),
            "before": ", ".join(finish.before_assembly),
            "mask": ", ".join(finish.mask),
            "note": finish.note,
            "steps": [step.number for step in plan.steps if step.finishes],
        }
        for finish in plan.finish
    ]


def dims(plan: Plan) -> list[dict[str, Any]]:
    """Return the driving dimensions with the range in which each may be changed, and the options with both ways."""
    rows = []
    for dim in plan.dims:
        if dim.angle:
            value, may = f"{float(dim.value):g}°", " to ".join(f"{float(end):g}°" for end in dim.may or ())
        else:
            value = size(dim.value, plan.edition)
            may = " to ".join(size(end, plan.edition) for end in dim.may or ())
        rows.append({"name": dim.name, "value": value, "may": may, "about": dim.about})
    for name, there, about in plan.options:
        rows.append({"name": name, "value": "with" if there else "without", "may": "with or without", "about": about})
    return rows


def _group(plan: Plan, stock: Stock, parts: list[Part], total: StockTotal | None) -> dict[str, Any]:
    return {
        "stock": stock.name,
        "title": f"{stock.material}, {stock.nominal}",
        "material": stock.material,
        "thickness": size(stock.thickness, plan.edition),
        "thickness_from": stock.thickness_from,
        "measure": stock.measure,
        "solid": stock.kind is StockKind.LUMBER,
        "rows": [_row(plan, stock, part) for part in parts],
        "totals": [*_totals(stock, total, plan.edition), *_weight(plan, parts)] if total else [],
    }


def _row(plan: Plan, stock: Stock, part: Part) -> dict[str, Any]:
    edition = plan.edition
    length, width = sawn_size(part)
    rough = stock.kind is StockKind.LUMBER and (part.length.rough, part.width.rough) != (length, width)
    finished = (part.length.final, part.width.final)
    ends = _finished(part, (length, width), edition)
    thick = "" if part.thick == stock.thickness * part.layers else size(part.thick, edition)
    return {
        "letters": [{"letter": part.letter, "hand": hand} for hand in (("L", "R") if part.pair else ("",))],
        "count": part.pieces,
        "pair": part.pair,
        "name": part.key,
        "key": part.key,
        "role": part.role.value,
        "length": number(length, edition),
        "width": number(width, edition),
        "thick": thick,
        "rough_length": number(part.length.rough, edition) if rough else "",
        "rough_width": number(part.width.rough, edition) if rough else "",
        "finished_length": number(finished[0], edition),
        "finished_width": number(finished[1], edition),
        "ends": ends,
        "finished": ", ".join(f"{end['side']} {end['value']}" for end in ends),
        "life": life_of(part).value,
        "when": _when(plan, part),
        "note": _note(part),
    }


def _finished(part: Part, cut: tuple[Fraction, Fraction], edition: Edition) -> list[dict[str, str]]:
    """Return the finished sizes that are others than the list says to cut."""
    sides = (("length", part.length.final, cut[0]), ("width", part.width.final, cut[1]))
    return [{"side": side, "value": number(final, edition)} for side, final, now in sides if final != now]


def life_of(part: Part) -> Life:
    """Return when the sizes of a part become final: the later of the two."""
    lives = (part.length.life, part.width.life)
    return next((life for life in (Life.FITTED, Life.LONG) if life in lives), Life.NOW)


def _when(plan: Plan, part: Part) -> Runs:
    life = life_of(part)
    until = part.length.until if part.length.life is life else part.width.until
    number_ = part.made_in if life is Life.NOW else until
    step = next((step for step in plan.steps if step.number == number_), None)
    link = [run("link", f"step {step.number}", step_target(step))] if step else []
    if life is Life.LONG:
        return [run("strong", "leave long"), *([run("text", ", trim in "), *link] if link else [])]
    if life is Life.FITTED:
        words = part.note.removeprefix("fit") if part.note.startswith("fit ") else " to the opening"
        return [run("strong", "fit"), run("text", words), *([run("text", ", "), *link] if link else [])]
    return [run("text", "cut now"), *([run("text", ", "), *link] if link else [])]


def _note(part: Part) -> str:
    """Return the remark for the list, unless the column *when* or the name says it already."""
    if part.note.startswith(part.key) or (life_of(part) is Life.FITTED and part.note.startswith("fit ")):
        return ""
    if not part.note and part.role is Role.JIG:
        return "jig"
    return part.note


def _weight(plan: Plan, parts: list[Part]) -> list[dict[str, str]]:
    """Return what the finished parts of a stock weigh together; nothing where a density is missing."""
    masses = [part_kg(plan, part) for part in parts if part.role is Role.PART]
    if not masses or None in masses:
        return []
    counts = [part.count for part in parts if part.role is Role.PART]
    kg = sum((mass * count for mass, count in zip(masses, counts, strict=True) if mass is not None), Fraction(0))
    return [{"label": "weight", "value": write_mass(kg * 1000, plan.edition)}]


def _totals(stock: Stock, total: StockTotal, edition: Edition) -> list[dict[str, str]]:
    """Return what the parts of a stock add up to; waste is not in it."""
    rows = [{"label": "pieces", "value": str(total.pieces)}]
    if total.board_feet is not None and edition.name == "imperial":
        rows.append({"label": "rough, without waste", "value": write_board_feet(total.board_feet)})
    else:
        rows.append({"label": "area, without waste", "value": write_area(total.area, edition)})
    if stock.kind is StockKind.LUMBER:
        length = write_feet(total.length) if total.length >= FOOT and edition.name == "imperial" else ""
        length = length or (size(total.length, edition) if edition.name == "imperial" else write_metres(total.length))
        rows.append({"label": "all pieces end to end", "value": length})
    return rows
