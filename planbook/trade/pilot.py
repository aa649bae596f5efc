"""Holes for screws: pilot by the density of the wood, clearance, countersink, counterbore for a plug.

Pilot of an inch wood screw: a share of its root diameter (traditional chart) by specific gravity on
ovendry volume, 90 % from 0.60 on, 70 % below (NDS; in wood under 0.50 the code asks for none). Of a
metric wood screw: the trade's own pilot for soft and hard wood, from memory. In hard maple a pilot
is bored always, and its chips are cleared (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Any, Literal

from planbook.trade.bits import Choice, bit_at_least, nearest_bit
from planbook.trade.fasteners import Fastener
from planbook.trade.lookup import TradeError, exact, table
from planbook.trade.sourced import Basis, Figure
from planbook.trade.valid import need_positive
from planbook.units.factors import INCH
from planbook.units.read import read_quantity

Load = Literal["withdrawal", "lateral"]
"""Pulled out along its axis, or pushed aside."""

COUNTERBORE = Basis(
    "common practice, no source: a bit a little wider than the head or washer first, then right through", "practice"
)


class Density(Enum):
    """Woods by specific gravity on ovendry volume, as the design code sorts them for lead holes."""

    LIGHT = "light"
    MEDIUM = "medium"
    DENSE = "dense"


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole to bore: what is wanted, and the bit of the edition's own series."""

    choice: Choice
    basis: Basis
    needed: bool = True
    """False where the rule asks for no hole; boring one is still the safer way near an end."""


@dataclass(frozen=True, slots=True)
class Countersink:
    """The cone for a flat head."""

    diameter_mm: Fraction
    degrees: int
    depth_mm: Fraction
    """To which the cone reaches when the head lies flush: half the head less half the shank, at the cone's slope."""
    basis: Basis


def density_class(gravity_ovendry: Fraction) -> Density:
    """Return the class of a wood by specific gravity on ovendry volume: from 0.60 dense, from 0.50 medium."""
    need_positive(gravity_ovendry, "the specific gravity", "", slug="no-density")
    rules = table("fasteners")["pilot"]
    for density in (Density.DENSE, Density.MEDIUM):
        if gravity_ovendry >= exact(rules[density.value]["from_gravity"]):
            return density
    return Density.LIGHT


def pilot(fastener: Fastener, gravity_ovendry: Fraction, edition_name: str, load: Load = "withdrawal") -> Hole:
    """Return the pilot hole in the piece that holds the thread, with a twist bit of the edition's series.

    Wood screws, lag screws, structural screws, hanger bolts, dowel screws and nails; for the others
    `TradeError`: an insert takes the hole its maker prints.
    """
    density = density_class(gravity_ovendry)
    if fastener.kind == "wood screw":
        wanted, basis, needed = _screw(fastener, density, load)
    elif fastener.kind in ("lag screw", "hanger bolt", "dowel screw"):
        wanted, basis, needed = _lag(fastener, density)
    elif fastener.kind == "structural screw" and fastener.root is not None:
        # Its shank is thinner than its thread, and that is what must fit in without splitting the wood.
        wanted, basis, needed = fastener.root.value, Basis(fastener.root.source, fastener.root.status), True
    elif fastener.kind == "nail":
        data = table("fasteners")["nail_pilot"]
        share = exact(data["dense_share"] if density is Density.DENSE else data["share"])
        wanted, basis = share * fastener.shank.value, Basis(data["source"], data["status"])
        needed = density is Density.DENSE
    else:
        raise TradeError(
            "no-pilot-rule",
            f"no rule gives the pilot of a {fastener.name}",
            "write the hole that its maker prints as `drill`",
        )
    return Hole(nearest_bit(wanted, "twist", edition_name), basis, needed)


def printed_pilots(fastener: Fastener, density: Density) -> tuple[Figure, ...]:
    """Return the pilots that tables print for an inch wood screw, mm: close to the code first, then shop practice."""
    data = table("fasteners")["wood_screws_inch"]
    column = 1 if density is Density.DENSE else 0
    row: dict[str, Any] = next((row for row in data["rows"] if row["gauge"] == fastener.gauge), {})
    found = []
    for word in ("pilot_close", "pilot_loose"):
        if f"{word}_in" in row:
            found.append(Figure(_inch(row[f"{word}_in"][column]), data[word]["source"], data[word]["status"]))
    return tuple(found)


def clearance(fastener: Fastener, edition_name: str) -> Hole:
    """Return the hole that a fastener passes freely: its chart's, else the first bit not thinner than its shank."""
    if fastener.clearance is not None:
        printed = fastener.clearance
        choice = bit_at_least(printed.value, "twist", edition_name)
        return Hole(choice, Basis(printed.source, printed.status))
    kind = "twist" if fastener.shank.value <= INCH / 2 else "forstner"
    return Hole(
        bit_at_least(fastener.shank.value, kind, edition_name),
        Basis("the first bit that is not thinner than the shank", "derived"),
    )


def countersink(fastener: Fastener) -> Countersink:
    """Return the countersink of a flat-head wood screw; raises `TradeError` where no head is tabled."""
    if fastener.kind != "wood screw" or fastener.head is None:
        raise TradeError("no-head", f"no head of a {fastener.name} is tabled", "write the counterbore as a hole")
    name = "wood_screws_inch" if fastener.series == "imperial" else "wood_screws_metric"
    cone = table("fasteners")[name]["countersink"]
    slope = _CONE_SLOPE[cone["degrees"]]
    depth = (fastener.head.value - fastener.shank.value) / 2 * slope
    return Countersink(fastener.head.value, cone["degrees"], depth, Basis(cone["source"], cone["status"]))


def counterbore(diameter_mm: Fraction, edition_name: str) -> Hole:
    """Return the counterbore for a head or washer of a diameter: the first Forstner bit wider than it."""
    need_positive(diameter_mm, "the head", "mm")
    return Hole(bit_at_least(diameter_mm, "forstner", edition_name), COUNTERBORE)


def plug(fastener: Fastener, edition_name: str) -> Hole:
    """Return the counterbore for a plug over a screw's head: the first plug cutter not thinner than the head.

    The counterbore is bored first, with the plug's diameter; then the pilot has a centre to start in.
    """
    if fastener.head is None:
        raise TradeError("no-head", f"no head of a {fastener.name} is tabled", "write the counterbore as a hole")
    return Hole(bit_at_least(fastener.head.value, "plug cutter", edition_name), COUNTERBORE)


# 1/tan of half the cone's angle, to four places: 82° and 90°.
_CONE_SLOPE = {82: Fraction("1.1504"), 90: Fraction(1)}


def _screw(fastener: Fastener, density: Density, load: Load) -> tuple[Fraction, Basis, bool]:
    needed = density is not Density.LIGHT
    if fastener.series == "metric":
        data = table("fasteners")["wood_screws_metric"]
        row = next(row for row in data["rows"] if exact(row["d_mm"]) == fastener.shank.value)
        soft = density is Density.LIGHT
        return exact(row["pilot_soft_mm" if soft else "pilot_hard_mm"]), Basis(data["source"], data["status"]), needed
    rules = table("fasteners")["pilot"]
    root = fastener.root
    assert root is not None  # every inch wood screw has one, printed or reckoned
    light = density is Density.LIGHT and load == "withdrawal"
    basis = Basis(rules["light_source"], rules["light_status"]) if light else Basis(rules["source"], rules["status"])
    return exact(rules[density.value][load]) * root.value, basis, needed


def _lag(fastener: Fastener, density: Density) -> tuple[Fraction, Basis, bool]:
    data = table("fasteners")["lag_screws_inch"]["lead"]
    low, high = data[density.value]
    middle = (exact(low) + exact(high)) / 2
    return middle * fastener.shank.value, Basis(f"{data['source']}, middle of the range", data["status"]), True


def _inch(text: str) -> Fraction:
    return read_quantity(text, default_unit="in").value
