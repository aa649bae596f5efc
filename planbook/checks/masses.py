"""Masses: of a part, of what is joined so far, and where the middle of the mass is. Floats, kg and mm."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from planbook.plan.boxes import placed_box
from planbook.plan.model import Part, Plan, Role

STANDING = (Role.PART, Role.EDGING, Role.BOUGHT, Role.FILL)


def part_kg(plan: Plan, part: Part) -> Fraction | None:
    """Return the mass of one copy of a part with its edgings, cuts not taken out, or None without a density."""
    own = part.density if part.density is not None else _stock_density(plan, part.stock)
    if own is None:
        return None
    strips = Fraction(0)
    for edging in part.edgings:
        density = _stock_density(plan, plan.part(edging.key).stock)
        if density is None:
            return None
        box = edging.box
        strips += (box.l[1] - box.l[0]) * (box.w[1] - box.w[0]) * (box.t[1] - box.t[0]) * density
    return (_volume(part) * own + strips) / 10**9


def _volume(part: Part) -> Fraction:
    if part.shape is None:
        return part.body_length * part.body_width * part.thick
    from planbook.plan.volumes import volume

    return volume(part)


def _stock_density(plan: Plan, name: str) -> Fraction | None:
    return next((stock.density for stock in plan.stock if stock.name == name), None)


def together(plan: Plan, number: int) -> dict[str, tuple[str, ...]]:
    """Return for each part the parts that are joined to it by the end of a step, itself among them."""
    groups = {part.key: [part.key] for part in (*plan.parts, *plan.fittings) if part.role in STANDING}
    for joint in plan.joints:
        if joint.joined_in is None or joint.joined_in > number:
            continue
        members = [key for key in (*joint.receiving, *joint.entering) if key in groups]
        for other in members[1:]:
            one, two = groups[members[0]], groups[other]
            if one is not two:
                one.extend(two)
                for key in two:
                    groups[key] = one
    return {key: tuple(group) for key, group in groups.items()}


def group_kg(plan: Plan, keys: Iterable[str]) -> Fraction | None:
    """Return the mass of all copies of some parts; strips count with the part that wears them."""
    total = Fraction(0)
    for key in keys:
        part = plan.part(key)
        if part.role is Role.EDGING:
            continue
        one = part_kg(plan, part)
        if one is None:
            return None
        total += one * part.count
    return total


def centre_mm(plan: Plan) -> tuple[float, float, float, float] | None:
    """Return the mass of the piece and the place of its middle, or None without all densities."""
    mass, moments = 0.0, [0.0, 0.0, 0.0]
    for placement in plan.placements:
        part = plan.part(placement.part)
        one = part_kg(plan, part)
        if one is None:
            return None
        mass += float(one)
        for axis, (low, high) in enumerate(placed_box(part, placement)):
            moments[axis] += float(one) * float(low + high) / 2
    if not mass:
        return None
    x, y, z = (moment / mass for moment in moments)
    return (mass, x, y, z)
