"""Answers about wood: movement, sag of a shelf, board feet."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.cli.reckon_answer import (
    Answer,
    QuestionError,
    Row,
    asked_length,
    asked_percent,
    asked_temperature,
    both_lengths,
    length_row,
    thousandths_row,
)
from planbook.units.factors import BOARD_FOOT, FOOT, INCH
from planbook.units.write import decimal

if TYPE_CHECKING:
    from planbook.trade.sag import Strip

CUTS = {"flat": "FLAT", "quarter": "QUARTER", "between": "BETWEEN"}
ENDS = {"resting": "RESTING", "fixed": "FIXED", "cantilever": "CANTILEVER", "propped": "PROPPED"}
_AIR = re.compile(r"(.+?)\s+at\s+(.+)", re.DOTALL)
_EDGE = re.compile(r"(\D+?),?\s+(\d.*?)\s*(?:x|×|by)\s*(.+)", re.DOTALL)


def movement(species: str, width: str, start: str, end: str, cut: str) -> Answer:
    """Return how far a width moves across the grain between two moistures."""
    from planbook.trade.movement import Cut, coefficient
    from planbook.trade.movement import movement as moves
    from planbook.trade.species import find_wood

    wood, sawn = find_wood(species), Cut[CUTS[cut]]
    mm = asked_length("--width", width)
    first, last = _moisture("--from", start), _moisture("--to", end)
    found = moves(wood, sawn, mm, first[0], last[0])
    rate = coefficient(wood, sawn)
    word = "it swells by" if found.change_mm > 0 else "it shrinks by" if found.change_mm < 0 else "it moves by"
    moistures = [
        Row(f"wood in air of {told}", f"{decimal(pct, 1)} %", value=float(pct), unit="%")
        for pct, told in (first, last)
        if told
    ]
    rows = (
        length_row(word, abs(found.change_mm)),
        thousandths_row("more closely", float(abs(found.change_mm))),
        thousandths_row("for each 1 % of moisture", float(mm * rate.value)),
        length_row("width afterwards", mm + found.change_mm),
        *moistures,
    )
    asked = (
        f"{wood.name}, {sawn.value}, {both_lengths(mm)} wide, "
        f"from {decimal(first[0], 1)} % to {decimal(last[0], 1)} % of moisture"
    )
    sources = [
        ("equation", found.equation.citation),
        (f"coefficient {decimal(rate.value, 5)}", rate.citation),
    ]
    if moistures:
        from planbook.trade.moisture import EQUATION

        sources.append(("moisture in air", EQUATION.citation))
    return Answer(asked, rows, tuple(sources), _movement_remarks(wood.note))


def _movement_remarks(note: str) -> tuple[str, ...]:
    own = (f"{note[:1].upper()}{note[1:]}.",) if note else ()
    return (
        "Means of clear wood: boards scatter, so nothing finer than 1/64 in or 0.1 mm is worth more than a guess. "
        "Along the grain wood hardly moves.",
        *own,
    )


def _moisture(option: str, text: str) -> tuple[Fraction, str]:
    """Return a moisture in %, and the air it comes from where air was given: `70 F at 35 %`."""
    air = _AIR.fullmatch(text)
    if air is None:
        return asked_percent(option, text), ""
    from planbook.trade.moisture import Air, driest_and_dampest

    celsius, humidity = asked_temperature(option, air[1]), asked_percent(option, air[2])
    year = driest_and_dampest([Air(f"`{text}`", float(celsius), float(humidity))])
    return Fraction(round(year.driest_pct, 2)).limit_denominator(100), " ".join(text.split())


def boardfeet(thick: str, width: str, length: str, count: int) -> Answer:
    """Return the board feet of boards, by volume and as a yard charges them."""
    from planbook.trade.lumber import board_feet_net, board_feet_rule, quarter

    rough = quarter(thick).rough_mm if re.fullmatch(r"\d+/4", thick.strip()) else asked_length("--thick", thick)
    wide, long = asked_length("--width", width), asked_length("--length", length)
    if count < 1:
        raise QuestionError("--count", "not-positive", f"`{count}` boards are none", "write 1 or more")
    net = board_feet_net(rough, wide, long) * count
    rule = board_feet_rule(wide / INCH, long / FOOT, rough / INCH) * count
    volume = net * BOARD_FOOT
    rows = [
        Row("by volume", f"{decimal(net, 2)} board feet", f"{decimal(volume / 10**9, 4)} m³", float(net), "board feet")
    ]
    if rule:
        label = "as a yard charges it"
        rows.append(Row(label, f"{decimal(rule, 2)} board feet", value=float(rule), unit="board feet"))
    boards = "1 board" if count == 1 else f"{count} boards"
    asked = f"{boards}, {both_lengths(rough)} thick in the rough, {both_lengths(wide)} wide, {both_lengths(long)} long"
    return Answer(
        asked,
        tuple(rows),
        (
            ("board foot", "144 cubic inches: NHLA Rules for the Measurement and Inspection of Hardwood and Cypress"),
            (
                "yard's measure",
                "NHLA rules: a part of a foot of length is dropped, surface measure goes to the whole square foot, "
                "stock under 1 in counts as 1 in",
            ),
        ),
        (
            "Thickness is the rough one, as the yard reckons. Waste is not in it: add 20 to 40 % for boards with "
            "knots and sapwood (common practice, no source).",
        ),
    )


def sag(of: str, span: str, deep: str, thick: str, *, load: str, ends: str, edge: str | None, across: bool) -> Answer:
    """Return how far a shelf sags, now and after years."""
    from planbook.trade import sag as beams
    from planbook.trade.loads import read_load
    from planbook.trade.stiffness import creep_factor, stiffness

    carried = read_load(load, stated="as asked")
    long, wide, high = asked_length("--span", span), asked_length("--deep", deep), asked_length("--thick", thick)
    young = stiffness(of, "across" if across else "along")
    strips = [beams.Strip(float(wide), float(high), 0.0, float(young.value))]
    sources = [(f"stiffness {float(young.value):.0f} MPa ({_psi(float(young.value))} psi)", young.citation)]
    if edge is not None:
        strip, told = _edge_strip(edge)
        strips.append(strip)
        sources += [told, ("shelf with its edge strip", beams.COMPOSITE.citation)]
    section = beams.section(strips)
    held = beams.Ends[ENDS[ends]]
    creep = creep_factor(of)

    def reckoned(kg: Fraction) -> float:
        if carried.kg_m is not None:
            newtons = beams.load_n_mm(kg, 1000)
            return beams.sag_uniform_mm(held, newtons, long, section.stiffness_mpa, section.inertia_mm4)
        newtons = float(kg) * beams.G_M_S2
        if carried.count == 1:
            return beams.sag_point_mm(held, newtons, long, section.stiffness_mpa, section.inertia_mm4)
        if held is not beams.Ends.RESTING:
            raise QuestionError("--ends", "no-such-case", "several persons are reckoned on a resting shelf only", None)
        return beams.sag_spaced_mm(newtons, carried.count, long, section.stiffness_mpa, section.inertia_mm4)

    if carried.kg_m is not None:
        kg = carried.kg_m.high
    else:
        assert carried.kg is not None
        kg = carried.kg.value
    now = reckoned(kg)
    lasting = now * float(creep.value) if carried.lasting else now
    target, visible = beams.limit_mm(long), beams.limit_mm(long, beams.VISIBLE_RATIO)
    rows = [
        Row("load", *_load_told(carried.kg_m is not None, kg, carried.count)),
        thousandths_row("sag at once", now),
    ]
    if carried.lasting:
        rows.append(thousandths_row("sag after years", lasting))
        sources.append((f"creep, {float(creep.value):g} times", creep.citation))
    rows += [
        thousandths_row("a careful design keeps to", target),
        thousandths_row("the eye notices", visible),
        Row("so", _verdict(lasting, target, visible)),
    ]
    sources += [
        ("bending", beams.BENDING.citation),
        ("load", carried.citation),
        ("careful design", beams.TARGET.citation),
        ("what shows", beams.VISIBLE.citation),
    ]
    asked = (
        f"{of}, {both_lengths(long)} free between supports, {both_lengths(wide)} deep, {both_lengths(high)} thick, "
        f"{held.value}, {load}"
    )
    remarks = ["The shelf's own weight is not in it. Strength, the supports and their screws are not reckoned here."]
    if long / high < Fraction(beams.SLENDER):
        remarks.append("The span is under 20 thicknesses: shear adds to the sag, and this figure is too small.")
    return Answer(asked, tuple(rows), tuple(sources), tuple(remarks))


def _verdict(sag_mm: float, target: float, visible: float) -> str:
    if sag_mm <= target:
        return "less than a careful design allows"
    return "more than a careful design allows" + (", and it will show" if sag_mm > visible else "")


def _load_told(spread: bool, kg: Fraction, count: int) -> tuple[str, str, float, str]:
    pounds = kg / Fraction("0.45359237")
    if spread:
        feet = pounds * FOOT / 1000
        return f"{decimal(feet, 1)} lb/ft", f"{decimal(kg, 1)} kg/m", float(kg), "kg/m"
    times = f"{count} x " if count > 1 else ""
    return f"{times}{decimal(pounds, 0)} lb", f"{times}{decimal(kg, 0)} kg", float(kg * count), "kg"


def _edge_strip(text: str) -> tuple[Strip, tuple[str, str]]:
    """Return the strip of `hard maple 3/4 in x 1 1/4 in`, its upper edge level with the shelf's face."""
    from planbook.trade.sag import Strip
    from planbook.trade.stiffness import stiffness

    match = _EDGE.fullmatch(" ".join(text.split()))
    if match is None:
        raise QuestionError(
            "--edge", "no-size", f"`{text}` is no strip with its sizes", "write `hard maple 3/4 in x 1 1/4 in`"
        )
    young = stiffness(match[1])
    wide, high = asked_length("--edge", match[2]), asked_length("--edge", match[3])
    strip = Strip(float(wide), float(high), 0.0, float(young.value))
    return strip, (f"stiffness of the edge {float(young.value):.0f} MPa", young.citation)


def _psi(mpa: float) -> str:
    """Return psi to three digits: 1 psi is 0.006894757 MPa (NIST SP 811, appendix B.8)."""
    return f"{round(mpa / 0.006894757, -4):,.0f}"
