"""Light kits: whether the plug passes the bore, and whether the supply carries the load. Low voltage only.

Mains belongs to a licensed electrician; `mains-voltage` looks for it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from planbook.checks.outcome import Outcome, judged
from planbook.checks.subject import Subject, finely_shown
from planbook.plan.model import Bought, Hole, Part
from planbook.units.factors import INCH
from planbook.units.quantity import LENGTH, UnitError
from planbook.units.read import read_quantity
from planbook.units.write import decimal

CLEAR_MM = INCH / 16
WIRE_RULE = "exact; common practice, no source: 1/16 in (1.6 mm) clear round a plug"
LOAD = Fraction(4, 5)
LOAD_RULE = "common practice, no source: a supply is loaded to 80 % at the most"
_SIZE = r"(\d[\d /.-]*(?:mm|in|\"))"
_PLUG = re.compile(rf"(?:plug|connector)\s*(?:of\s+)?{_SIZE}|{_SIZE}\s*(?:plug|connector)")
_WATTS = re.compile(r"(\d+(?:\.\d+)?)\s*w(?:atts?)?\b")
_SUPPLY = re.compile(r"\b(?:supply|adapter|adaptor|driver|transformer)\b")


def lamp_wire(subject: Subject) -> Iterator[Outcome]:
    """Compare the bores for wires with the plug that must pass, and the load with what the supply gives."""
    plan = subject.plan
    for part in plan.parts:
        told: set[str] = set()
        for hole in part.holes:
            if hole.role == "wire" and hole.group not in told:
                told.add(hole.group)
                yield _bore(subject, part, hole)
    yield from _load(subject)


def _bore(subject: Subject, part: Part, hole: Hole) -> Outcome:
    edition = subject.plan.edition
    found = [(size, item) for item in subject.plan.bought if (size := _plug_mm(item)) is not None]
    if not found:
        return Outcome(of=hole.group, missing="no bought thing says how wide its plug is (`note: plug 1/2 in`)")
    size, item = max(found, key=lambda pair: pair[0])
    needed = size + CLEAR_MM
    bore, least = finely_shown(hole.diameter, edition), finely_shown(needed, edition)
    return judged(
        "lamp-wire",
        hole.group,
        figure=f"bore of {bore}, plug of {finely_shown(size, edition)}",
        limit=f"at least {least}",
        rule=WIRE_RULE,
        wrong=f"the bore `{hole.group}` in `{part.key}` is {bore}, the plug of `{item.key}` wants {least}"
        if hole.diameter < needed
        else "",
        span=part.span,
        help=f"write `drill: {least}` or wider, or choose a lead whose plug comes off",
    )


def _plug_mm(item: Bought) -> Fraction | None:
    match = _PLUG.search(f"{item.text} {item.note}".casefold())
    if match is None:
        return None
    try:
        quantity = read_quantity((match[1] or match[2]).strip())
    except UnitError:
        return None
    return quantity.value if quantity.dimension == LENGTH else None


def _load(subject: Subject) -> Iterator[Outcome]:
    supply, load = Fraction(0), Fraction(0)
    named: Bought | None = None
    for item in subject.plan.bought:
        words = f"{item.key} {item.text} {item.note}".casefold()
        watts = _WATTS.search(words)
        if watts is None:
            continue
        if _SUPPLY.search(words):
            supply, named = supply + Fraction(watts[1]) * item.count, item
        else:
            load += Fraction(watts[1]) * item.count
    if named is None or not load:
        return
    most = supply * LOAD
    yield judged(
        "lamp-wire",
        named.key,
        figure=f"{decimal(load, 1)} W on a supply of {decimal(supply, 1)} W",
        limit=f"up to {decimal(most, 1)} W",
        rule=LOAD_RULE,
        wrong=f"the lamps take {decimal(load, 1)} W, `{named.key}` gives {decimal(supply, 1)} W, of which "
        f"{decimal(most, 1)} W are used at the most"
        if load > most
        else "",
        span=named.span,
        help="choose a stronger listed supply, or shorter strips",
    )
