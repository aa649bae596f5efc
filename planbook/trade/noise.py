"""Noise of a class day: how long a level is allowed, and the dose of several.

Levels in dBA, times in hours; floats. OSHA: 29 CFR 1910.95, Table G-16 and appendix A; limit 90 dBA
over 8 hours with 5 dB for twice the time, action level 85 dBA (dose 50 %). NIOSH: criteria document
98-126 (1998); 85 dBA with 3 dB for twice the time. Levels in shops differ; only a meter knows.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planbook.trade.lookup import TradeError
from planbook.trade.sourced import Basis, Span
from planbook.trade.valid import Number, need_positive

OSHA = Basis("29 CFR 1910.95, Table G-16 and appendix A")
NIOSH = Basis("NIOSH Publication 98-126 (1998), recommended exposure limit")
THRESHOLD = Basis("29 CFR 1910.95(d)(2)(i): levels under 80 dBA are not counted", "from memory")
LEAST_DBA = 80.0
"""Below it no level counts."""
CEILING_DBA = 115.0
"""No steady noise above it for any time: 29 CFR 1910.95 (from memory)."""
ACTION_DOSE_PCT = 50.0
"""OSHA dose from which a hearing programme is asked for: 85 dBA over 8 hours."""


@dataclass(frozen=True, slots=True)
class Exposure:
    """So many hours at a level."""

    level_dba: float
    hours: float


def allowed_hours_osha(level_dba: Number) -> float:
    """Return the hours OSHA allows at a level: 8 / 2^((L - 90)/5). The printed table rounds them."""
    return 8 / 2 ** ((float(level_dba) - 90) / 5)


def allowed_hours_niosh(level_dba: Number) -> float:
    """Return the hours NIOSH recommends as the most at a level: 8 / 2^((L - 85)/3)."""
    return 8 / 2 ** ((float(level_dba) - 85) / 3)


def dose_osha_pct(exposures: Sequence[Exposure]) -> float:
    """Return the OSHA dose of a day, 100 sum(C/T) %; 100 % is the limit, 50 % the action level."""
    return 100 * sum(part.hours / allowed_hours_osha(part.level_dba) for part in _counted(exposures))


def dose_niosh_pct(exposures: Sequence[Exposure]) -> float:
    """Return the NIOSH dose of a day, 100 sum(C/T) %; 100 % is the limit."""
    return 100 * sum(part.hours / allowed_hours_niosh(part.level_dba) for part in _counted(exposures))


def average_osha_dba(dose_pct: Number) -> float:
    """Return the steady level over 8 hours with the same OSHA dose: 16.61 log10(D/100) + 90."""
    need_positive(dose_pct, "the dose", "%")
    return 16.61 * math.log10(float(dose_pct) / 100) + 90


def average_niosh_dba(dose_pct: Number) -> float:
    """Return the steady level over 8 hours with the same NIOSH dose: 10 log10(D/100) + 85."""
    need_positive(dose_pct, "the dose", "%")
    return 10 * math.log10(float(dose_pct) / 100) + 85


def together_dba(levels_dba: Sequence[float]) -> float:
    """Return the level of several sources at once: 10 log10 of the sum of 10^(L/10)."""
    if not levels_dba:
        raise TradeError("no-noise", "no noise level is given", "write the level of each machine in dBA")
    return 10 * math.log10(sum(10 ** (level / 10) for level in levels_dba))


def _counted(exposures: Sequence[Exposure]) -> list[Exposure]:
    for part in exposures:
        if part.hours < 0:
            raise TradeError("negative-time", f"the time at a noise is `{part.hours:g} h`, it is 0 or more", None)
    return [part for part in exposures if part.level_dba >= LEAST_DBA]


@dataclass(frozen=True, slots=True)
class NoiseDay:
    """Doses of a day in %, from the usual least and the usual most of each machine's level."""

    osha_pct: tuple[float, float]
    niosh_pct: tuple[float, float]
    citations: tuple[str, ...]


def noise_day(times: Sequence[tuple[Span, Number]]) -> NoiseDay:
    """Return the doses of a day of levels (dBA, from least to most) with the hours at each, without ear protection.

    Noise of others in the same room is not in it. Raises `TradeError` for a time below nothing.
    """
    ends = []
    for end in ("low", "high"):
        ends.append([Exposure(float(getattr(level, end)), float(hours)) for level, hours in times])
    low, high = ends
    return NoiseDay(
        (dose_osha_pct(low), dose_osha_pct(high)),
        (dose_niosh_pct(low), dose_niosh_pct(high)),
        tuple(dict.fromkeys([*(level.citation for level, _ in times), OSHA.citation, NIOSH.citation])),
    )
