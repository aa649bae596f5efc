"""Holding power of screws, lag screws and nails, and how many a load needs.

Forces N, lengths mm; floats, because of the powers of gravity and diameter. Ultimate loads: side
grain, short term, one fastener in its right lead hole (Wood Handbook, FPL-GTR-190 (2010), chapter 8;
specific gravity on volume at 12 %). Working loads: the design code (specific gravity on ovendry
volume), or a fifth of the ultimate. Hardened screws of modern form are not covered: their strength is
in the maker's report.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction
from itertools import pairwise
from typing import Any

from planbook.trade.lookup import TradeError, exact, table
from planbook.trade.sourced import Basis, Figure
from planbook.trade.valid import Number, need_positive
from planbook.units.factors import INCH

POUND_FORCE_N = 4.4482216152605
"""0.453 592 37 kg times standard gravity: NIST SP 811 (2008), appendix B.8."""


def ultimate_n(kind: str, *, gravity: Number, shank_mm: Number, thread_mm: Number) -> float:
    """Return the load that pulls one fastener out of side grain: c G^a D^b L.

    `kind`: `wood screw` (a 2, b 1), `lag screw` (3/2, 3/4) or `nail` (5/2, 1); `gravity` on volume at
    12 %; `thread_mm` in the piece that holds the point. Raises `TradeError`.
    """
    row = _row("withdrawal", kind)
    _need_hold(gravity, shank_mm, thread_mm)
    power = float(gravity) ** row["gravity"] * float(shank_mm) ** row["diameter"]
    return float(row["n"] * power * float(thread_mm))


def working_n(kind: str, *, gravity_ovendry: Number, shank_mm: Number, thread_mm: Number) -> float:
    """Return the working load of one `wood screw` or `nail` in side grain by the design code.

    2850 G² D and 1380 G^2.5 D lb on each inch, G on ovendry volume: National Design Specification for
    Wood Construction (NDS).
    """
    row = _row("working", kind)
    _need_hold(gravity_ovendry, shank_mm, thread_mm)
    inches = float(shank_mm) / float(INCH) * float(thread_mm) / float(INCH)
    return float(row["lb_in"] * float(gravity_ovendry) ** row["gravity"] * inches * POUND_FORCE_N)


def working_share() -> Figure:
    """Return the part of the ultimate load that may be counted on: a fifth."""
    row = table("fasteners")["working_part"]
    return Figure(exact(row["value"]), row["source"], row["status"])


def end_grain_factor(kind: str) -> Figure:
    """Return the part of the withdrawal load that counts in end grain; 0: none is to be counted on."""
    row = _row("end_grain", kind)
    return Figure(exact(row["factor"]), row["source"], row["status"])


def withdrawal_basis() -> Basis:
    """Return what the ultimate loads rest on."""
    data = table("fasteners")["withdrawal"]
    return Basis(data["source"], data["status"])


def working_basis() -> Basis:
    """Return what the working loads rest on."""
    data = table("fasteners")["working"]
    return Basis(data["source"], data["status"])


def lateral_factor(group: str, kind: str, gravity: Number) -> Figure:
    """Return K in N and mm of a `softwood` or `hardwood` for a `nail`, `wood screw` or `lag screw`.

    Wood Handbook, FPL-GTR-190 (2010), Table 8-4; between two rows the lower one counts.
    """
    data = table("fasteners")["lateral"]
    columns = {"nail": 3, "wood screw": 4, "lag screw": 5}
    if kind not in columns:
        raise _unknown(kind, columns)
    rows = [row for row in data["rows"] if row[0] == group and row[1] <= float(gravity)]
    if not rows:
        least = min((row[1] for row in data["rows"] if row[0] == group), default=None)
        message = f"no {group} of a specific gravity of `{float(gravity):.2f}` is tabled"
        raise TradeError("outside-the-table", message, f"the table begins at {least}" if least else None)
    return Figure(exact(rows[-1][columns[kind]]), data["source"], data["status"])


def lateral_n(kind: str, factor: Number, diameter_mm: Number) -> float:
    """Return the lateral load of one fastener at small slip: K D^1.5 for nails, K D² for screws and lag screws."""
    need_positive(diameter_mm, "the diameter", "mm")
    return float(factor) * float(diameter_mm) ** (1.5 if kind == "nail" else 2)


def side_piece_factor(thick_mm: Number, shank_mm: Number) -> float:
    """Return the factor for a thin side piece under a lag screw, by thickness over shank.

    Wood Handbook, FPL-GTR-190 (2010), Table 8-10, straight between its rows.
    """
    rows = table("fasteners")["lateral_factors"]["side_piece"]
    return _between(rows, float(thick_mm) / float(shank_mm), "the side piece is too thin to reckon with")


def across_grain_factor(shank_mm: Number) -> float:
    """Return the factor for a lag screw loaded across the grain, by its shank.

    Wood Handbook, FPL-GTR-190 (2010), Table 8-11, straight between its rows.
    """
    rows = [
        [float(Fraction(size) * INCH), factor] for size, factor in table("fasteners")["lateral_factors"]["across_grain"]
    ]
    return _between(rows, float(shank_mm), "the lag screw is too thin for the table")


def hanger_pull_n(load_n: Number, lever_mm: Number, arm_mm: Number) -> float:
    """Return the pull on the upper fasteners of a cantilever: load times lever over arm.

    `lever_mm`: from the wall to the load; `arm_mm`: from the upper fasteners down to where the bracket
    presses on the wall. Statics; the load's own downward push is shear, not in it.
    """
    need_positive(load_n, "the load", "N", slug="no-load")
    need_positive(arm_mm, "the arm of the fasteners", "mm")
    return float(load_n) * float(lever_mm) / float(arm_mm)


def needed_number(load_n: Number, each_n: Number) -> int:
    """Return how many fasteners hold a load if all share it alike."""
    need_positive(load_n, "the load", "N", slug="no-load")
    need_positive(each_n, "the load of one fastener", "N")
    return math.ceil(float(load_n) / float(each_n) - 1e-9)


def _between(rows: list[list[float]], value: float, fault: str) -> float:
    if value < rows[0][0]:
        raise TradeError("outside-the-table", f"{fault}: `{value:.3g}` is below {rows[0][0]:.3g}", None)
    for (low, first), (high, second) in pairwise(rows):
        if value <= high:
            return first + (second - first) * (value - low) / (high - low)
    return rows[-1][1]


def _row(group: str, kind: str) -> dict[str, Any]:
    data = table("fasteners")[group]
    rows = {name: row for name, row in data.items() if isinstance(row, dict)}
    if kind not in rows:
        raise _unknown(kind, rows)
    found: dict[str, Any] = rows[kind]
    return found


def _unknown(kind: str, rows: Iterable[str]) -> TradeError:
    return TradeError("no-holding-rule", f"no rule gives the hold of a `{kind}`", f"it is known for {', '.join(rows)}")


def _need_hold(gravity: Number, shank_mm: Number, thread_mm: Number) -> None:
    need_positive(gravity, "the specific gravity", "", slug="no-density")
    need_positive(shank_mm, "the shank", "mm")
    need_positive(thread_mm, "the thread in the last piece", "mm", slug="no-bite")
