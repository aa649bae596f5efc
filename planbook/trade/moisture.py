"""Moisture of wood: what it comes to in a room, and over the months of a year.

Floats: the equation holds squares of measured air.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from planbook.trade.lookup import TradeError, find, key, table
from planbook.trade.sourced import Basis, Figure, figure
from planbook.trade.valid import Number, need_between

EQUATION = Basis("Wood Handbook, FPL-GTR-190 (2010), equation 4-5, Celsius coefficients")
EQUATION_FAHRENHEIT = Basis("Wood Handbook, FPL-GTR-190 (2010), equation 4-5, Fahrenheit coefficients", "cross-checked")
WARMEST_ROOM_C = 45.0
"""Above it a room's temperature is taken for one in the other unit; our own choice, no source."""

_COLDEST_C, _HOTTEST_C = -1.12, 70.0
"""30 °F is the first row of Table 4-2; 70 °C is where the pack of checked values ends."""
_CELSIUS = (
    (349.0, 1.29, 0.0135),
    (0.805, 0.000736, -0.00000273),
    (6.27, -0.00938, -0.000303),
    (1.91, 0.0407, -0.000293),
)
_FAHRENHEIT = (
    (330.0, 0.452, 0.00415),
    (0.791, 0.000463, -0.000000844),
    (6.34, 0.000775, -0.0000935),
    (1.09, 0.0284, -0.0000904),
)


@dataclass(frozen=True, slots=True)
class Air:
    """The air of one month in the room or place where a piece stands."""

    name: str
    celsius: float
    humidity_pct: float
    """Relative humidity."""


@dataclass(frozen=True, slots=True)
class Year:
    """The driest and the dampest month for wood."""

    driest: Air
    driest_pct: float
    """Moisture of wood in the driest month."""
    dampest: Air
    dampest_pct: float


def equilibrium_pct(celsius: Number, humidity_pct: Number) -> float:
    """Return the moisture that wood comes to in air, % of ovendry mass.

    Wood Handbook, FPL-GTR-190 (2010), equation 4-5; any species. Holds from about 0 to 70 °C and 5 to
    95 % relative humidity, to about 0.1 on average and 0.9 at worst (Simpson 1973). Drying wood ends
    a little above it, wood that takes up water a little below. Raises `TradeError`.
    """
    _need_air(celsius, humidity_pct)
    return _moisture(float(celsius), float(humidity_pct), _CELSIUS)


def equilibrium_pct_fahrenheit(fahrenheit: Number, humidity_pct: Number) -> float:
    """Return the same from a temperature in degrees Fahrenheit, by the equation's own coefficients.

    Both sets agree within 0.013 % from 30 to 200 °F.
    """
    _need_air((float(fahrenheit) - 32) / 1.8, humidity_pct)
    return _moisture(float(fahrenheit), float(humidity_pct), _FAHRENHEIT)


def driest_and_dampest(months: Sequence[Air]) -> Year:
    """Return the months in which wood is driest and dampest; of equal ones the first.

    Not the humidity decides but the moisture of wood, which falls with warmth too. Raises
    `TradeError` for no month at all, and for a temperature no room has.
    """
    if not months:
        raise TradeError("no-climate", "no month is given for the room", "write the driest and the dampest month")
    for month in months:
        _need_room(month)
    moisture = [equilibrium_pct(month.celsius, month.humidity_pct) for month in months]
    low = min(range(len(months)), key=lambda index: moisture[index])
    high = max(range(len(months)), key=lambda index: moisture[index])
    return Year(months[low], moisture[low], months[high], moisture[high])


def region_names() -> tuple[str, ...]:
    """Return the regions whose indoor moisture is tabled."""
    return tuple(row["name"] for row in table("moisture")["regions"])


def indoor_pct(region: str) -> Figure:
    """Return the average moisture of wood indoors in a region, %; raises `TradeError`."""
    return find(region, _regions(), "unknown-region", "region", region_names())


@cache
def _regions() -> dict[str, Figure]:
    data = table("moisture")
    return {key(row["name"]): figure((row["pct"], data["source"], data["status"]), {}) for row in data["regions"]}


def _moisture(temperature: float, humidity_pct: float, rows: tuple[tuple[float, float, float], ...]) -> float:
    w, k, k1, k2 = (a + b * temperature + c * temperature**2 for a, b, c in rows)
    kh = k * humidity_pct / 100
    first = kh / (1 - kh)
    second = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / w * (first + second)


def _need_air(celsius: Number, humidity_pct: Number) -> None:
    if not 0 <= humidity_pct <= 100:
        raise TradeError(
            "impossible-humidity",
            f"the relative humidity is `{float(humidity_pct):g} %`, it lies between 0 and 100 %",
            "write the relative humidity of the room, for example `45 %`",
        )
    need_between(
        humidity_pct,
        5,
        95,
        what="the relative humidity",
        unit="%",
        slug="outside-the-equation",
        help="no figure of the equation is trusted beyond it",
    )
    need_between(
        celsius,
        _COLDEST_C,
        _HOTTEST_C,
        what="the temperature",
        unit="°C",
        slug="outside-the-equation",
        help="write the unit, for example `70 F` or `21 C`",
    )


def _need_room(month: Air) -> None:
    if month.celsius > WARMEST_ROOM_C:
        raise TradeError(
            "no-room-temperature",
            f"`{month.celsius:g} °C` in {month.name} is no temperature of a room, {WARMEST_ROOM_C:g} °C is the most",
            f"write `{month.celsius:g} F` if degrees Fahrenheit are meant",
        )
