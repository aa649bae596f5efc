"""Tables of a plan for spreadsheets."""

from __future__ import annotations

import csv
import io
from fractions import Fraction

from planbook.checks.masses import part_kg
from planbook.drawing.sawing import sawn_size
from planbook.plan.model import Life, Part, Plan
from planbook.publish.sheet_lists import life_of
from planbook.units.factors import POUND
from planbook.units.write import plain_length

_WHEN = {Life.NOW: "cut now", Life.LONG: "leave long", Life.FITTED: "fit"}


def parts_table(plan: Plan) -> bytes:
    """Return the cut list as CSV (RFC 4180, UTF-8): one row for each letter and hand.

    Sizes stand as a workshop reads them, and again as decimals of the edition's unit for reckoning.
    """
    unit = "in" if plan.edition.name == "imperial" else "mm"
    titles = ["letter", "hand", "pieces", "part", "material", "as sold", "length", "width", "thick"]
    titles += ["finished length", "finished width", "when", "step", "remark"]
    titles += [f"length in decimals ({unit})", f"width in decimals ({unit})"]
    titles += [f"weight of one ({'lb' if unit == 'in' else 'kg'})"]
    stream = io.StringIO(newline="")
    writer = csv.writer(stream)
    writer.writerow(titles)
    stocks = {stock.name: stock for stock in plan.stock}
    for stock in plan.stock:
        for part in plan.parts:
            if part.stock == stock.name:
                for row in _rows(plan, part, stocks[part.stock].material, stock.nominal):
                    writer.writerow(row)
    for part in plan.fittings:
        writer.writerow(_fitting(plan, part))
    return stream.getvalue().encode("utf-8")


def _fitting(plan: Plan, part: Part) -> list[str]:
    """Return the row of a part that is bought, poured or made of an offcut: its own sizes, none to cut to."""
    sizes = [plain_length(mm, plan.edition) for mm in (part.length.final, part.width.final, part.thick)]
    step = part.joined_in or part.made_in
    return [
        part.letter, "", str(part.count), part.key, part.role.value, "", "", "", sizes[2], *sizes[:2], "",
        str(step or ""), part.note, "", "", _weight(plan, part),
    ]  # fmt: skip


def _rows(plan: Plan, part: Part, material: str, nominal: str) -> list[list[str]]:
    edition = plan.edition
    length, width = sawn_size(part)
    life = life_of(part)
    until = part.length.until if part.length.life is life else part.width.until
    step = part.made_in if life is Life.NOW else until
    hands = ("left", "right") if part.pair else ("",)
    written = [plain_length(mm, edition) for mm in (length, width, part.thick, part.length.final, part.width.final)]
    decimals = [_decimal(mm / edition.unit_mm) for mm in (length, width)]
    return [
        [
            part.letter, hand, str(part.count // len(hands)), part.key, material, nominal, *written[:3],
            *written[3:], _WHEN[life], str(step or ""), part.note, *decimals, _weight(plan, part),
        ]
        for hand in hands
    ]  # fmt: skip


def _weight(plan: Plan, part: Part) -> str:
    """Return the mass of one copy by the densities of the tables, in pounds or kilograms; empty without a density."""
    kg = part_kg(plan, part)
    if kg is None:
        return ""
    return f"{float(kg * 1000 / POUND if plan.edition.name == 'imperial' else kg):.2f}"


def _decimal(value: Fraction) -> str:
    return f"{float(value):.6f}".rstrip("0").rstrip(".")
