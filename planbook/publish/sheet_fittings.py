"""What stands in the piece, or is made for the work, without being sawn from stock: bought parts, pours, jigs."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from planbook.plan.model import Part, Plan, Role
from planbook.plan.shapes import Blocks, Cylinder, Ramp
from planbook.plan.volumes import volume
from planbook.publish.sheet_runs import size
from planbook.units.amounts import write_mass, write_volume

_GROUPS = (
    (Role.BOUGHT, "Bought parts", "buy and measure them first: their own sizes decide"),
    (Role.FILL, "Filled with resin", "the volume is that of the void; mix more, see the step"),
    (Role.JIG, "Made for the work", "from an offcut; no part of the piece"),
)


def fittings(plan: Plan) -> list[dict[str, Any]]:
    """Return the groups `title`, `note` and `rows` (`letter`, `count`, `name`, `size`, `more`, `steps`), none empty."""
    groups = []
    for role, title, note in _GROUPS:
        rows = [_row(plan, part) for part in plan.fittings if part.role is role]
        if rows:
            groups.append({"title": title, "note": note, "rows": rows})
    return groups


def _row(plan: Plan, part: Part) -> dict[str, Any]:
    numbers = {number for number in (part.made_in, part.joined_in) if number is not None}
    return {
        "letter": part.letter,
        "count": part.count,
        "name": part.key,
        "key": part.key,
        "size": _size(plan, part),
        "more": _more(plan, part),
        "steps": [{"number": step.number, "slug": step.slug} for step in plan.steps if step.number in numbers],
    }


def _size(plan: Plan, part: Part) -> str:
    edition = plan.edition
    long, wide, thick = (size(value, edition) for value in (part.length.final, part.width.final, part.thick))
    if isinstance(part.shape, Cylinder):
        return f"{size(part.shape.diameter, edition)} across, {thick} high"
    if isinstance(part.shape, Blocks):
        return f"{long} long, {wide} wide, {thick} high"
    if isinstance(part.shape, Ramp):
        return f"{long} \u00d7 {wide}, rising {thick}"
    return f"{long} \u00d7 {wide} \u00d7 {thick}"


def _more(plan: Plan, part: Part) -> str:
    """Return slope, volume or mass, where it is told, and the author's remark."""
    found = []
    if isinstance(part.shape, Ramp):
        found.append(f"{round(float(part.shape.slope), 1):g}° to the table")
    if part.role is Role.FILL:
        found.append(f"{write_volume(volume(part), plan.edition)}")
    if part.role is Role.BOUGHT and part.density is not None:
        found.append(f"{write_mass(_grams(part, part.density), plan.edition)} each")
    return "; ".join(word for word in (*found, part.note) if word)


def _grams(part: Part, density: Fraction) -> Fraction:
    return volume(part) * density / 10**6
