"""How loud a class day is for the one who hears most of it: doses by OSHA and by NIOSH.

Reckoned from the timetable: the loudest machine of a step counts for as long as its maker is at it. That
is the usual worst case for a maker; whoever teaches stands beside all of them, so the sum over the makers
of one group is no bound for the teacher. Only a meter knows a room.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from planbook.drawing.timetable import minute_of
from planbook.plan.model import Step
from planbook.publish.book_info import BookInfo
from planbook.publish.class_solved import Solved

if TYPE_CHECKING:
    from planbook.trade.machines import Tool
    from planbook.trade.sourced import Span


def noise(solved: Solved, book: BookInfo) -> dict[str, Any]:
    """Return `rows` and `sources`; a row for each session with a machine.

    Each has `session`, `hours`, `machines`, `osha`, `niosh`. Doses are ranges in % of what is allowed in a
    day, of the maker with the highest; there is no row where nothing is loud.
    """
    from planbook.publish.class_run import session_name
    from planbook.trade.noise import noise_day

    loudest = {step.number: _loudest(step, book) for step in solved.one.plan.steps}
    rows, sources = [], list[str]()
    for number, session in enumerate(solved.one.sessions):
        begin, end = minute_of(solved.table, session.start), minute_of(solved.table, session.end)
        heard: dict[int, list[tuple[Tool, Span, Fraction]]] = {}
        for visit in solved.table.visits:
            found = loudest[solved.work.share(visit.operation).step.number]
            if begin <= visit.start < end and found is not None and found.noise_dba is not None:
                hours = Fraction(visit.end - visit.start, 60)
                heard.setdefault(visit.maker, []).append((found, found.noise_dba, hours))
        days = [(noise_day([(level, hours) for _, level, hours in times]), times) for times in heard.values()]
        if not days:
            continue
        worst, times = max(days, key=lambda day: day[0].niosh_pct[1])
        sources += worst.citations
        rows.append(
            {
                "session": session_name(number),
                "hours": f"{float(sum((hours for *_, hours in times), Fraction(0))):.1f} h",
                "machines": ", ".join(dict.fromkeys(tool.name for tool, *_ in times)),
                "osha": _range(worst.osha_pct),
                "niosh": _range(worst.niosh_pct),
            }
        )
    return {"rows": rows, "sources": list(dict.fromkeys(sources))}


def _loudest(step: Step, book: BookInfo) -> Tool | None:
    """Return the loudest machine of a step that the tables know."""
    from planbook.checks.safety import tabled

    found = []
    for use in step.tools:
        info = book.tool(use.key)
        for name in (use.key, *(info.also if info else ())):
            tool = tabled(name)
            if tool is not None and tool.noise_dba is not None:
                found.append(tool)
                break
    return max(found, key=lambda tool: tool.noise_dba.high if tool.noise_dba else 0, default=None)


def _range(pct: tuple[float, float]) -> str:
    low, high = round(pct[0]), round(pct[1])
    return f"{low} to {high} %" if low != high else f"{high} %"
