"""Solid lumber: names and real sizes, and the board foot in both its meanings."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import floor
from typing import Any

from planbook.trade.lookup import TradeError, key, millimetres, nearest, table
from planbook.units.editions import nearest_step
from planbook.units.factors import BOARD_FOOT, INCH
from planbook.units.read import ReadError, read_quantity

_TIMES = re.compile(r"\s*(?:x|X|×|\*|\bby\b)\s*")


@dataclass(frozen=True, slots=True)
class Quarter:
    """One standard thickness of hardwood, counted in quarters of an inch."""

    name: str
    rough_mm: Fraction
    surfaced_mm: Fraction
    """Surfaced on two sides."""
    metric_rough_mm: Fraction | None
    """Rough thickness under which it is sold by the millimetre, where it is."""
    source: str
    status: str
    metric_source: str


@dataclass(frozen=True, slots=True)
class Softwood:
    """One dressed softwood size, dry."""

    name: str
    thickness_mm: Fraction
    width_mm: Fraction
    metric_mm: tuple[Fraction, Fraction]
    """The same piece as named by the millimetre: dressed size to the nearest 1 mm."""
    source: str


def quarter_names() -> tuple[str, ...]:
    """Return the standard thicknesses, thin to thick."""
    return tuple(_quarters())


def quarter(name: str) -> Quarter:
    """Return a hardwood thickness such as `4/4`; raises `TradeError` with the nearest ones."""
    found = _quarters().get(name.strip().replace("⁄", "/"))
    if found is None:
        near = nearest(name, quarter_names()) or quarter_names()
        message = f"`{name}` is no standard thickness of hardwood"
        raise TradeError("unknown-thickness", message, f"write one of {', '.join(near)}")
    return found


@cache
def _quarters() -> dict[str, Quarter]:
    data = table("lumber")["hardwood"]
    metric = data["metric"]["rough_mm"]
    quarters = {}
    for name, rough, surfaced, *status in data["rows"]:
        quarters[name] = Quarter(
            name=name,
            rough_mm=_inches(rough),
            surfaced_mm=_inches(surfaced),
            metric_rough_mm=Fraction(metric[name]) if name in metric else None,
            source=data["source"],
            status=status[0] if status else data["status"],
            metric_source=data["metric"]["source"],
        )
    return quarters


def softwood(name: str) -> Softwood:
    """Return the dressed size of a nominal one such as `2 x 4`; raises `TradeError`.

    Both sides are named in inches. Under 2 in thick it is a board, under 5 in dimension lumber,
    from 5 in both ways on a timber.
    """
    data = table("lumber")["softwood"]
    parts = _TIMES.split(name.strip())
    if len(parts) != 2:
        raise TradeError("unknown-size", f"`{name}` is no nominal size of softwood", "write for example `2 x 4`")
    try:
        thick, wide = sorted(read_quantity(part, default_unit="in").value / INCH for part in parts)
    except ReadError as fault:
        raise TradeError(
            "unknown-size", f"`{name}` is no nominal size of softwood: {fault.message}", fault.help
        ) from fault
    if thick >= 5:
        actual = (thick - _timber_loss(thick, data), wide - _timber_loss(wide, data))
    else:
        actual = (
            _dressed(thick, data["board_thickness"] | data["dimension_thickness"], name),
            _dressed(wide, data["width"], name),
        )
    thickness, width = (side * INCH for side in actual)
    metric = (nearest_step(thickness, Fraction(1)), nearest_step(width, Fraction(1)))
    return Softwood(f"{_plain(thick)} x {_plain(wide)}", thickness, width, metric, data["source"])


def stick_lengths(edition: str) -> tuple[Fraction, ...]:
    """Return the usual lengths of dressed softwood in mm, short to long (common practice, no source)."""
    first, last, step = (millimetres(text) for text in table("lumber")["softwood"]["lengths"][edition])
    return tuple(first + step * number for number in range(int((last - first) / step) + 1))


def board_feet_net(thick_rough_mm: Fraction, width_mm: Fraction, length_mm: Fraction) -> Fraction:
    """Return board feet by volume, without rounding: for the parts of a cut list.

    Thickness is the rough one, as the yard reckons. One board foot is 144 cubic inches (NHLA rules).
    """
    return thick_rough_mm * width_mm * length_mm / BOARD_FOOT


def board_feet_rule(width_in: Fraction, length_ft: Fraction, thickness_in: Fraction) -> Fraction:
    """Return the board feet a yard charges for one board.

    NHLA measuring rule: a part of a foot of length is dropped; surface measure, width in inches
    times length in feet by 12, is rounded to the whole square foot; stock under 1 in counts as 1 in.
    An exact half, which an inspector takes up and down in turn, is always taken up here.
    """
    return surface_measure(width_in, length_ft) * max(Fraction(thickness_in), Fraction(1))


def surface_measure(width_in: Fraction, length_ft: Fraction) -> Fraction:
    """Return the surface measure of a board in whole square feet by the rule above."""
    return nearest_step(Fraction(width_in) * floor(length_ft) / 12, Fraction(1))


def _dressed(nominal: Fraction, sizes: dict[str, str], name: str) -> Fraction:
    for written, actual in sizes.items():
        if _inches(written) == nominal * INCH:
            return _inches(actual) / INCH
    raise TradeError(
        "unknown-size",
        f"`{key(name)}` is no nominal size of softwood, {_plain(nominal)} in is not made",
        f"write one of {', '.join(sizes)} for that side",
    )


def _timber_loss(nominal: Fraction, data: dict[str, Any]) -> Fraction:
    losses = [_inches(loss) / INCH for start, loss in data["timber"] if nominal * INCH >= _inches(start)]
    return losses[-1]


def _inches(text: str) -> Fraction:
    return millimetres(text, default_unit="in")


def _plain(inches: Fraction) -> str:
    whole, rest = divmod(inches, 1)
    return " ".join(str(part) for part in (whole, rest) if part)
