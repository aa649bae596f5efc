"""The time line of somebody who builds alone: a row for each step, the days side by side, what waits hatched.

Only the hours that go to the work have width; the time between two of them is a narrow gap, over which glue and oil
go on drying.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from planbook.drawing.charts import HEIGHT, Chart, finished
from planbook.drawing.picture import Picture
from planbook.drawing.text import text_width
from planbook.timing.alone import HomeCalendar

GAP = 2.0
"""Between two days, mm."""
DATE = "Sep 30"
"""The widest head of a day that has a date."""
MOST_NAME = 62.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """Stretches of work on paper, in minutes since the first begins."""

    spans: tuple[tuple[int, int], ...]
    left: float
    right: float

    def x(self, minute: int) -> float:
        """Return where a minute lies; all time from the end of a day's column to the next day lies in the gap."""
        longest = max(end - start for start, end in self.spans)
        day = (self.right - self.left - GAP * (len(self.spans) - 1)) / len(self.spans)
        at = self.left
        for number, (start, _) in enumerate(self.spans):
            following = self.spans[number + 1][0] if number + 1 < len(self.spans) else None
            if following is None or minute < following:
                after = GAP * 0.75 if following is not None and minute > start + longest else 0.0
                return round(at + day * min(max(0, minute - start) / longest, 1.0) + after, 3)
            at += day + GAP
        return self.right

    def meets(self, start: int, end: int) -> bool:
        """Whether a stretch of minutes lies at least partly between the first and the last."""
        return start < self.spans[-1][1] and end > self.spans[0][0]


def time_lines(calendar: HomeCalendar, names: Mapping[str, str], *, width: float, dated: bool) -> tuple[Picture, ...]:
    """Return the time line in as many charts as the days need; names of steps by operation.

    Days carry their date where it is known, else their number.
    """
    wide = min(MOST_NAME, 0.34 * width, max(text_width(name, HEIGHT) for name in names.values()) + 2)
    days = sorted({part[0].date() for entry in calendar.entries for part in entry.parts})
    least = text_width(DATE if dated else f"day {len(days)}", HEIGHT)
    many = max(1, int((width - wide) / (least + GAP)))
    groups = [days[at : at + many] for at in range(0, len(days), many)]
    return tuple(_chart(calendar, names, group, days.index(group[0]), wide, width, dated=dated) for group in groups)


def _chart(
    calendar: HomeCalendar,
    names: Mapping[str, str],
    days: Sequence[object],
    first: int,
    left: float,
    width: float,
    *,
    dated: bool,
) -> Picture:
    parts = [part for entry in calendar.entries for part in entry.parts if part[0].date() in days]
    origin = min(start for start, _ in parts)

    def minute(moment: datetime) -> int:
        return round((moment - origin).total_seconds() / 60)

    spans = []
    for day in days:
        here = [part for part in parts if part[0].date() == day]
        spans.append((minute(min(start for start, _ in here)), minute(max(end for _, end in here))))
    window = Days(spans=tuple(spans), left=left, right=width - 1.0)
    chart = Chart(window)
    last = spans[-1][1]
    for entry in calendar.entries:
        worked = [(minute(start), minute(end)) for start, end in entry.parts if start.date() in days]
        waits = entry.ready > entry.end and minute(entry.ready) > 0 and minute(entry.end) < last
        if not worked and not waits:
            continue
        row = chart.row(_shortened(names[entry.operation], left - 2), 1)
        if waits:
            chart.hatched(max(0, minute(entry.end)), min(last, minute(entry.ready)), row(0))
        for start, end in worked:
            chart.bar(start, end, row(0), "")
    heads = [
        (span[0], f"{min(start for start, _ in parts if start.date() == day):%b %-d}" if dated else f"day {first + n}")
        for n, (day, span) in enumerate(zip(days, spans, strict=True), start=1)
    ]
    return finished(
        chart, heads, title="Time line", alt=_in_words(calendar, names, days, first, dated=dated), width=width
    )


def _shortened(name: str, room: float) -> str:
    words = name.split(" ")
    while len(words) > 1 and text_width(" ".join(words) + " …", HEIGHT) > room:
        words.pop()
    return name if len(words) == len(name.split(" ")) else " ".join(words) + " …"


def _in_words(
    calendar: HomeCalendar, names: Mapping[str, str], days: Sequence[object], first: int, *, dated: bool
) -> str:
    told = []
    for number, day in enumerate(days, start=first + 1):
        begun = [names[entry.operation] for entry in calendar.entries if entry.start.date() == day]
        head = f"{day:%B %-d}" if dated else f"day {number}"
        told.append(f"{head}: {'; '.join(begun) or 'going on'}")
    return f"Time line of one person, white bars at work, hatched ones waiting. {'. '.join(told)}."
