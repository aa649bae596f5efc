"""The fastener schedule of a sheet: the holes of each fastener in its woods, the bits for them, and its hold.

Each row has `name`, `key` (without its length), `count` (of one piece), `joint`, `step` and `slug` (or None and
empty), `holes` (`what`, `where`, `bit`, `off`), `hold` (or empty), `remarks` and `sources`.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from planbook.plan.fastened import Fastened, Grain, Layer
from planbook.plan.model import Bought, Joint, Plan, Role, StockKind
from planbook.plan.shop_rows import ShopRows
from planbook.publish.known import fastener_key
from planbook.publish.sheet_runs import size
from planbook.trade.lookup import TradeError
from planbook.units.editions import IMPERIAL, Edition
from planbook.units.factors import INCH
from planbook.units.read import read_quantity
from planbook.units.write import decimal, plain_length

if TYPE_CHECKING:
    from planbook.trade.driving import Driven, Ground
    from planbook.trade.fasteners import Fastener
    from planbook.trade.pilot import Hole
    from planbook.trade.sourced import Basis

_LBF = Fraction("4.448222")
"""N: NIST SP 811 (2008), appendix B.8."""
_SIZED = re.compile(r"\bNo\.? ?\d{1,2}\b|\b\d{1,2}(?:\.\d)? mm\b|\b\d{1,2}d\b")
_INCHES = re.compile(r"(?:\d+ )?\d+(?:/\d+)? in\b")
_FINE = IMPERIAL.with_resolution(INCH / 64)
_KINDS = ("wood screw", "lag screw", "nail")

Row = dict[str, Any]


def fasteners(plan: Plan, own: ShopRows) -> list[Row]:
    """Return a row for each kind of fastener of each joint, then those that are bought without a joint of their own.

    `own` are the book's own rows: its woods may hold a thread.
    """
    rows = [_fastened(plan, own, each) for each in plan.fastened]
    rows += [_bolted(plan, joint) for joint in plan.joints if joint.kind == "bolts"]
    told = {row["name"] for row in rows}
    for bought in plan.bought:
        rows += [row for row in _bought(plan, own, bought) if row["name"] not in told]
    return rows


def _fastened(plan: Plan, own: ShopRows, each: Fastened) -> Row:
    from planbook.trade.fasteners import find_fastener

    row = _head(plan, each.name, len(each.places), each.joint, each.step)
    try:
        found = find_fastener(each.name)
    except TradeError:
        return {**row, "holes": _as_bored(plan, each)}
    ground = _ground(plan, own, each.into) if each.into is not None else None
    sized = _driven(plan, found, ground, passes=bool(each.passes), plugged=each.plugged, bite=each.bite)
    if each.kind in ("dowel", "machine screw", "threaded insert"):
        return {**row, "holes": _as_bored(plan, each)}
    where = [_letter(plan, layer.part) for layer in each.passes]
    into = _letter(plan, each.into.part) if each.into is not None else ""
    return _with_holes(plan, row, sized, ", ".join(where), into, len(each.places))


def _bolted(plan: Plan, joint: Joint) -> Row:
    """Return the row of screws through the holes of a bought part: its holes, and those of the inserts."""
    row = _head(plan, ", ".join(joint.by), joint.count or 0, joint.name, joint.joined_in)
    holes = []
    for key in joint.receiving:
        part = plan.part(key)
        hole = next((hole for hole in part.holes if hole.group == joint.name), None)
        if hole is not None:
            deep = f", {size(hole.deep, plan.edition)} deep" if hole.deep is not None else ", through"
            holes.append(_hole("insert", part.letter, f"{size(hole.diameter, plan.edition)}{deep}", ""))
    return {**row, "holes": holes, "remarks": [joint.note] if joint.note else []}


def _bought(plan: Plan, own: ShopRows, bought: Bought) -> Iterator[Row]:
    """Give the rows of a bought screw or nail, one for each wood that may hold it."""
    from planbook.trade.fasteners import find_fastener

    size_ = _SIZED.search(bought.text)
    kind = next((kind for kind in _KINDS if kind in bought.text), None)
    if size_ is None or kind is None:
        return
    try:
        found = find_fastener(f"{size_[0]} {kind}")
    except TradeError:
        return
    for stock in plan.stock:
        solid = stock.kind is not StockKind.PANEL
        if not solid or not any(part.stock == stock.name and part.role is Role.PART for part in plan.parts):
            continue
        ground = _wood_ground(own, stock.material)
        row = _head(plan, bought.text, bought.count, "", None)
        sized = _driven(plan, found, ground, passes=False, plugged=False, bite=Fraction(0))
        if ground is not None:
            yield _with_holes(plan, row, sized, "", f"in {stock.material}", bought.count)
            return


def _head(plan: Plan, name: str, count: int, joint: str, number: int | None) -> Row:
    step = next((step for step in plan.steps if step.number == number), None)
    return {
        "name": _INCHES.sub(lambda match: size(read_quantity(match[0]).value, _FINE), name),
        "key": fastener_key(name),
        "count": count,
        "joint": joint,
        "step": step.number if step else None,
        "slug": step.slug if step else "",
        "holes": [],
        "hold": "",
        "remarks": [],
        "sources": [],
    }


def _driven(
    plan: Plan, found: Fastener, ground: Ground | None, *, passes: bool, plugged: bool, bite: Fraction
) -> Driven:
    from planbook.trade.driving import driven

    return driven(found, plan.edition.name, ground, passes=passes, plugged=plugged, bite_mm=bite)


def _with_holes(plan: Plan, row: Row, sized: Driven, passed: str, into: str, count: int) -> Row:
    edition = plan.edition
    holes, sources = [], []

    def add(what: str, where: str, hole: Hole | None) -> None:
        if hole is not None:
            holes.append(_hole(what, where, _bit(hole, edition), _off(hole, edition)))
            sources.append(f"{what}: {hole.basis.citation}")

    add("plug", passed, sized.plug)
    add("clearance", passed, sized.clearance)
    if sized.sink is not None:
        wide = f"{_fine(sized.sink.diameter_mm, edition)} across, {sized.sink.degrees}°"
        holes.append(_hole("countersink", passed, wide, ""))
        sources.append(f"countersink: {sized.sink.basis.citation}")
    add("pilot" if sized.pilot is None or sized.pilot.needed else "pilot, if near an end", into, sized.pilot)
    hold = ""
    if sized.hold is not None:
        hold = _hold(sized, count, edition)
        sources.append(f"hold: {sized.hold.basis.citation}")
        if sized.hold.end_grain is not None:
            sources.append(f"end grain: {sized.hold.end_grain.citation}")
    return {**row, "holes": holes, "hold": hold, "remarks": list(sized.remarks), "sources": sources}


def _hold(sized: Driven, count: int, edition: Edition) -> str:
    assert sized.hold is not None
    if sized.hold.working_n == 0:
        return "none to be counted on: it stands in end grain"
    each = _loads(sized.hold.working_n, edition)
    together = f", {_force(each * count, edition)} together" if count > 1 else ""
    ultimate = sized.hold.ultimate_n
    comes = f"; comes out at about {_force(_loads(ultimate, edition), edition)} each" if ultimate else ""
    return f"{_force(each, edition)} each, straight out{together}{comes}"


def _loads(newtons: float, edition: Edition) -> int:
    """Return a load in whole pounds, or to 10 N."""
    return round(newtons / float(_LBF)) if edition.name == "imperial" else round(newtons / 10) * 10


def _force(load: int, edition: Edition) -> str:
    return f"{load} {'lbf' if edition.name == 'imperial' else 'N'}"


def _bit(hole: Hole, edition: Edition) -> str:
    """Return the diameter of a bit, to the sixty-fourths or tenths in which bits are sold."""
    step = INCH / 64 if edition.name == "imperial" else Fraction(1, 10)
    found = size(hole.choice.bit.diameter_mm, edition.with_resolution(step))
    return found if edition.name == "imperial" else f"{found} mm"


def _off(hole: Hole, edition: Edition) -> str:
    """Return what was wanted, and how far the bit is off it."""
    error, wanted = hole.choice.error_mm, hole.choice.wanted_mm
    told = f"wants {_fine(wanted, edition)}"
    least = INCH / 2000 if edition.name == "imperial" else Fraction(5, 1000)
    if abs(error) < least:
        return told
    return f"{told}, {_fine(abs(error), edition)} {'larger' if error > 0 else 'smaller'}"


def _fine(mm: Fraction, edition: Edition) -> str:
    """Return a diameter as a drill gauge shows it: thousandths of an inch, or hundredths of a millimetre."""
    if edition.name == "imperial":
        return f"{decimal(mm / INCH, 3, keep=True)} in"
    return f"{decimal(mm, 2)} mm"


def _hole(what: str, where: str, bit: str, off: str) -> dict[str, str]:
    return {"what": what, "where": where, "bit": bit, "off": off}


def _as_bored(plan: Plan, each: Fastened) -> list[dict[str, str]]:
    """Return the holes that the plan bores for a fastener without a pilot: dowels, bolts, inserts."""
    holes = []
    for layer in (*each.passes, *([each.into] if each.into is not None else [])):
        if layer.diameter:
            deep = f", {plain_length(layer.deep, plan.edition)} deep" if layer.deep is not None else ", through"
            holes.append(
                _hole("hole", _letter(plan, layer.part), f"{plain_length(layer.diameter, plan.edition)}{deep}", "")
            )
    return holes


def _ground(plan: Plan, own: ShopRows, layer: Layer) -> Ground | None:
    from dataclasses import replace

    from planbook.trade.driving import panel_ground

    end = layer.grain is Grain.END
    if layer.panel:
        stock = next((stock for stock in plan.stock if stock.material == layer.material), None)
        return panel_ground(stock.density if stock is not None else None, end_grain=end)
    ground = _wood_ground(own, layer.material)
    return replace(ground, end_grain=end) if ground is not None else None


def _wood_ground(own: ShopRows, material: str) -> Ground | None:
    from planbook.trade.density import gravity_ovendry, gravity_twelve
    from planbook.trade.driving import Ground
    from planbook.trade.species import find_wood

    try:
        wood = find_wood(material, own.woods)
    except TradeError:
        return None
    basis: Basis | None = None
    return Ground(gravity_ovendry(wood), gravity_twelve(wood), basis)


def _letter(plan: Plan, key: str) -> str:
    return next((part.letter for part in (*plan.parts, *plan.fittings) if part.key == key), key)


TITLES = ("fastener", "pieces", "joint", "step", "hole", "in", "bit", "wanted", "hold", "remark")


def fastener_rows(rows: list[Row]) -> Iterator[tuple[str, ...]]:
    """Give the schedule as rows of plain texts under `TITLES`, one for each hole."""
    for row in rows:
        ahead = (row["name"], str(row["count"]), row["joint"], str(row["step"] or ""))
        behind = (row["hold"], "; ".join(row["remarks"]))
        for hole in row["holes"] or [_hole("", "", "", "")]:
            yield (*ahead, hole["what"], hole["where"], hole["bit"], hole["off"], *behind)


def fasteners_table(rows: list[Row]) -> bytes:
    """Return the schedule as CSV (RFC 4180, UTF-8)."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream)
    writer.writerow(TITLES)
    writer.writerows(fastener_rows(rows))
    return stream.getvalue().encode("utf-8")
