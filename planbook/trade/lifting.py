"""The revised NIOSH lifting equation: what one person should lift, and how many persons a thing needs.

NIOSH Publication 94-110 (revised September 2021). Floats. Holds for a smooth lift with two hands,
standing, of something dry that keeps its shape; not for one hand and not for a team, so that for
several persons only the rule of practice is given.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from planbook.trade.lookup import TradeError
from planbook.trade.sourced import Basis
from planbook.trade.valid import Number, need_positive

EQUATION = Basis("NIOSH Publication 94-110 (revised September 2021), revised lifting equation")
BOUNDS = Basis("NIOSH Publication 94-110, farthest reach, height and travel, seldom lifts", "from memory")
ALONE = Basis("common practice, no source: 35 lb (16 kg) for one person alone", "practice")
ALONE_KG = 35 * 0.45359237
"""What one person lifts alone by common practice, kg."""

Grip = Literal["good", "fair", "poor"]
"""Good: handles or an edge to curl round. Poor: nothing to hold, or the thing bends."""


@dataclass(frozen=True, slots=True)
class _Unit:
    """The constants of one unit set, as the publication prints them."""

    load: float
    reach: float
    farthest: float
    height: float
    slope: float
    highest: float
    travel: float
    """Numerator of the travel multiplier."""
    least_travel: float
    most_travel: float


_METRIC = _Unit(23.0, 25.0, 63.0, 75.0, 0.003, 175.0, 4.5, 25.0, 175.0)
_INCH = _Unit(51.0, 10.0, 25.0, 30.0, 0.0075, 70.0, 1.8, 10.0, 70.0)
_SELDOM: dict[str, float] = {"up to 1 hour": 1.0, "1 to 2 hours": 0.95, "2 to 8 hours": 0.85}


def seldom_factor(duration: str) -> float:
    """Return the multiplier for up to one lift in five minutes, by how long the work lasts (from memory)."""
    if duration not in _SELDOM:
        raise TradeError("unknown-duration", f"`{duration}` is no duration of the table", f"write {', '.join(_SELDOM)}")
    return _SELDOM[duration]


def weight_limit_kg(
    *, reach_cm: Number, height_cm: Number, travel_cm: Number, twist_deg: Number = 0, grip: Grip, often: Number = 1
) -> float:
    """Return the recommended weight in kg.

    `reach_cm`: hands in front of the ankles; `height_cm`: hands above the floor at the start;
    `travel_cm`: how far up or down; `often`: the frequency multiplier, 1 for a few lifts a day. 0 where
    a bound of the equation is passed: no such lift is recommended at all.
    """
    return _limit(_METRIC, (reach_cm, height_cm, travel_cm, twist_deg), grip, float(often))


def weight_limit_lb(
    *, reach_in: Number, height_in: Number, travel_in: Number, twist_deg: Number = 0, grip: Grip, often: Number = 1
) -> float:
    """Return the recommended weight in lb from inches, by the publication's own inch constants."""
    return _limit(_INCH, (reach_in, height_in, travel_in, twist_deg), grip, float(often))


def lifting_index(load: Number, limit: Number) -> float:
    """Return load over recommended weight, both in one unit: above 1 the lift strains."""
    need_positive(load, "the load", "", slug="no-load")
    return float(load) / float(limit) if limit > 0 else math.inf


def persons_for(mass_kg: Number, alone_kg: Number = ALONE_KG) -> int:
    """Return how many persons share a load so that none has more than one person's part."""
    need_positive(mass_kg, "the load", "kg", slug="no-load")
    need_positive(alone_kg, "the limit for one person", "kg")
    return math.ceil(float(mass_kg) / float(alone_kg) - 1e-9)


def multipliers(reach_cm: Number, height_cm: Number, travel_cm: Number, twist_deg: Number) -> tuple[float, ...]:
    """Return the multipliers for reach, height, travel and twist, in this order, from centimetres."""
    return _multipliers(_METRIC, (reach_cm, height_cm, travel_cm, twist_deg))


def _limit(unit: _Unit, lift: tuple[Number, Number, Number, Number], grip: Grip, often: float) -> float:
    if not 0 < often <= 1:
        raise TradeError("impossible-multiplier", f"the frequency multiplier is `{often:g}`, it is 0 to 1", None)
    coupling = _coupling(unit, grip, float(lift[1]))
    return unit.load * math.prod(_multipliers(unit, lift)) * often * coupling


def _multipliers(unit: _Unit, lift: tuple[Number, Number, Number, Number]) -> tuple[float, ...]:
    reach, height, travel, twist = (float(value) for value in lift)
    for value, what in ((reach, "the reach"), (height, "the height"), (travel, "the travel"), (twist, "the twist")):
        if value < 0:
            raise TradeError("negative-lift", f"{what} is `{value:g}`, it is 0 or more", None)
    return (
        0.0 if reach > unit.farthest else unit.reach / max(reach, unit.reach),
        0.0 if height > unit.highest else 1 - unit.slope * abs(height - unit.height),
        0.0 if travel > unit.most_travel else min(1.0, 0.82 + unit.travel / max(travel, unit.least_travel)),
        0.0 if twist > 135 else 1 - 0.0032 * twist,
    )


def _coupling(unit: _Unit, grip: Grip, height: float) -> float:
    if grip == "fair":
        return 1.0 if height >= unit.height else 0.95
    return {"good": 1.0, "poor": 0.9}[grip]
