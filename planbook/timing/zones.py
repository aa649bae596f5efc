"""The VTIMEZONE of a zone (RFC 5545 3.6.5), from the time zone database that Python reads.

Each change of offset in the range is written by itself, with its onset in the local time before the change, as
the standard asks.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, tzinfo
from typing import Any


def zone_component(zone: tzinfo, name: str, first: datetime, last: datetime) -> Any:
    """Return the VTIMEZONE component that holds between two moments."""
    from icalendar import Timezone

    component = Timezone()
    component.add("tzid", name)
    begun = first.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    offset = _offset(zone, begun)
    component.add_component(_observance(zone, begun, offset))
    for moment in _changes(zone, begun, last.astimezone(UTC)):
        component.add_component(_observance(zone, moment, offset))
        offset = _offset(zone, moment)
    return component


def _offset(zone: tzinfo, moment: datetime) -> timedelta:
    return moment.astimezone(zone).utcoffset() or timedelta(0)


def _changes(zone: tzinfo, first: datetime, last: datetime) -> Iterator[datetime]:
    """Yield the moments, to the minute, at which the offset changes; no zone changes twice within a day."""
    day = timedelta(days=1)
    while first < last:
        low, high = first, first + day
        if _offset(zone, low) != _offset(zone, high):
            while high - low > timedelta(minutes=1):
                middle = low + timedelta(minutes=int((high - low).total_seconds() // 120))
                if _offset(zone, middle) == _offset(zone, first):
                    low = middle
                else:
                    high = middle
            yield high
        first += day


def _observance(zone: tzinfo, moment: datetime, before: timedelta) -> Any:
    from icalendar import TimezoneDaylight, TimezoneStandard

    local = moment.astimezone(zone)
    one = TimezoneDaylight() if local.dst() else TimezoneStandard()
    one.add("dtstart", (moment + before).replace(tzinfo=None))
    one.add("tzoffsetfrom", before)
    one.add("tzoffsetto", _offset(zone, moment))
    one.add("tzname", local.tzname() or "")
    return one
