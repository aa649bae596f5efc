"""A loaded part as a beam: its free span between supports, its section, and what stiffens it from below."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planbook.checks.spaces import Standing, standing
from planbook.checks.subject import Subject
from planbook.plan.model import Stock, StockKind
from planbook.trade import sag
from planbook.trade.lookup import TradeError, key
from planbook.trade.stiffness import creep_factor, panel_range, stiffness

NEAR = 3
"""A support may stay this far from the end of a loose shelf, in mm (our own choice)."""
ANY_WOOD = "red oak"
"""Creep is told for wood as such, not by species."""


@dataclass(frozen=True, slots=True)
class Beam:
    """What bends."""

    span_mm: Fraction
    section: sag.Section
    creep: float
    sources: tuple[str, ...]
    stiffened: tuple[str, ...]
    """Parts below it that carry along."""
    usual: float = 1.0
    """Middle over least stiffness of its material, where the table prints a range; the section has the least."""

    @property
    def inertia_mm4(self) -> float:
        """Second moment of area, all reckoned into the shelf's own material."""
        return self.section.inertia_mm4


def beam(subject: Subject, name: str) -> Beam | str:
    """Return a loaded part as a beam, or why it is none."""
    everything = standing(subject.plan)
    mine = next((one for one in everything if one.part.key == name), None)
    if mine is None:
        return "it has no place in the piece"
    axis = mine.placement.axes[0][1]
    if mine.part.shape is not None or mine.placement.turn is not None:
        return "it is no straight board"
    if axis == "z" or mine.placement.axes[2][1] != "z":
        return "it does not lie flat"
    others = [one for one in everything if one is not mine]
    span = _span(mine, others, "xy".index(axis))
    if span is None:
        return "no two supports were found under it"
    try:
        return _beam(subject, mine, others, span, axis)
    except TradeError as fault:
        return fault.message.replace("`", "")


def _span(mine: Standing, others: list[Standing], along: int) -> Fraction | None:
    """Return the longest free length between two supports, or None where there are no two."""
    low, high = mine.around[along]
    places = []
    for other in others:
        start, stop = other.around[along]
        if stop - start > (high - low) / 2 or not _carries(mine, other, along):
            continue
        if stop + NEAR > low and start - NEAR < high:
            places.append((max(start, low), min(stop, high)))
    places.sort()
    gaps = []
    reach: Fraction | None = None
    for start, stop in places:
        if reach is not None and start > reach:
            gaps.append(start - reach)
        reach = stop if reach is None else max(reach, stop)
    return max(gaps, default=None)


def _carries(mine: Standing, other: Standing, along: int) -> bool:
    """Whether another part is beside it or below it, and not only on top."""
    across = 1 - along
    (low, high), (start, stop) = mine.around[across], other.around[across]
    if start >= high or stop <= low:
        return False
    (under, upper), (foot, head) = mine.around[2], other.around[2]
    return foot < upper - NEAR and head > under - NEAR and foot < under + NEAR


def _beam(subject: Subject, mine: Standing, others: list[Standing], span: Fraction, axis: str) -> Beam:
    plan, part = subject.plan, mine.part
    stock = plan.stock_named(part.stock)
    young, source = _stiffness(subject, part.stock)
    show_up = mine.placement.axes[2][0] == "+"
    strips = [sag.Strip(float(part.body_width), float(part.thick), 0.0, young)]
    sources = [source]
    for edging in part.edgings:
        if edging.edge in ("datum_edge", "far_edge"):
            low, high = edging.box.t
            top = part.thick - high if show_up else low
            own, told = _stiffness(subject, plan.part(edging.key).stock)
            wide = edging.box.w[1] - edging.box.w[0]
            strips.append(sag.Strip(float(wide), float(high - low), float(top), own))
            sources.append(told)
    section = sag.section(strips)
    rails = [
        other
        for other in others
        if _joined(subject, part.key, other.part.key) and _stiffens(mine, other, span, "xy".index(axis))
    ]
    extra = 0.0
    for rail in rails:
        own, told = _stiffness(subject, rail.part.stock)
        broad, tall = (float(end - start) for start, end in (rail.around[1 - "xy".index(axis)], rail.around[2]))
        extra += own * sag.rectangle_mm4(broad, tall)
        sources.append(told)
    section = sag.Section(section.axis_mm, section.inertia_mm4 + extra / section.stiffness_mpa, section.stiffness_mpa)
    creep = creep_factor(ANY_WOOD if stock.kind is not StockKind.PANEL else stock.known_as)
    return Beam(
        span,
        section,
        float(creep.value),
        tuple(dict.fromkeys((*sources, creep.citation))),
        tuple(dict.fromkeys(rail.part.key for rail in rails)),
        _scatter(stock),
    )


def _scatter(stock: Stock) -> float:
    if stock.kind is not StockKind.PANEL:
        return 1.0
    printed = panel_range(stock.known_as, "along")
    return float((printed.low + printed.high) / 2 / printed.low)


def _joined(subject: Subject, one: str, other: str) -> bool:
    return any({one, other} <= {*joint.receiving, *joint.entering} for joint in subject.plan.joints)


def _stiffens(mine: Standing, other: Standing, span: Fraction, along: int) -> bool:
    """Whether a part lies under the whole span and runs along it, as a rail does."""
    if other.part.shape is not None or not other.part.stock or other.placement.axes[0][1] != "xy"[along]:
        return False
    (low, high), (start, stop) = mine.around[along], other.around[along]
    (left, right), (near, far) = mine.around[1 - along], other.around[1 - along]
    under = mine.around[2][0]
    touches = abs(other.around[2][1] - under) <= 1
    return touches and min(high, stop) - max(low, start) >= span * 9 / 10 and near < right and far > left


def _stiffness(subject: Subject, name: str) -> tuple[float, str]:
    stock = subject.plan.stock_named(name)
    own = {key(called): wood for called, wood in subject.rows().woods.items()}.get(key(stock.material))
    if own is not None:
        if own.stiffness is None:
            raise TradeError("no-stiffness", f"no stiffness of `{own.name}` is told")
        return float(own.stiffness.value), own.stiffness.citation
    found = stiffness(stock.known_as)
    return float(found.value), found.citation
