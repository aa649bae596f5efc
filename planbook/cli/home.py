"""`planbook handout PLAN --free ...`: a calendar for one person at home."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from planbook.cli.exits import exit_code
from planbook.cli.files import write_file
from planbook.cli.telling import summary, tell

if TYPE_CHECKING:
    from planbook.cli.resolving import Resolved
    from planbook.publish.handout import Paper
    from planbook.timing.alone import HomeCalendar


def write_home_calendar(
    found: Resolved,
    free: tuple[str, ...],
    first: str | None,
    zone: str | None,
    into: Path,
    *,
    paper: Paper | None,
    large: bool,
) -> int:
    """Write when one person can do which step, in the free hours of a week, as a calendar file or on paper."""
    from planbook.publish.class_facts import timing_slug
    from planbook.publish.class_notes import day_of
    from planbook.publish.home_calendar import calendar_of, free_hours, plan_at_home
    from planbook.timing.faults import TimingError

    if into.suffix.lower() not in (".ics", ".pdf"):
        raise click.UsageError(
            f"`{into}` is neither a calendar nor a PDF file; write for example `--into bench.ics` or `--into bench.pdf`"
        )
    if first is None or zone is None:
        raise click.UsageError("a calendar wants `--from 2026-10-03` and `--zone Europe/Oslo`, too")
    try:
        day = day_of(first)
    except ValueError:
        raise click.UsageError(f"`{first}` is no day of the calendar; write for example `2026-10-03`") from None
    told, done = "nothing was written", b""
    if found.plan is not None and not found.findings.stopped:
        try:
            calendar = plan_at_home(found.plan, [free_hours(text) for text in free], first_day=day, zone=zone)
            done = (
                calendar_of(found.plan, calendar)
                if into.suffix.lower() == ".ics"
                else _on_paper(found, calendar, free, paper, large)
            )
            told = f"done on {calendar.done:%A, %Y-%m-%d at %H:%M}, dry by {calendar.ready:%A, %Y-%m-%d at %H:%M}"
        except TimingError as fault:
            found.findings.stop(timing_slug(fault), fault.message, help=fault.help or None)
    tell(found.findings, found.sources)
    if not done:
        told = "nothing was written"
    if done:
        write_file(into, done)
    click.echo(f"{into}: {told}, {summary(found.findings)}")
    return exit_code(found.findings)


def _on_paper(
    found: Resolved, calendar: HomeCalendar, free: tuple[str, ...], paper: Paper | None, large: bool
) -> bytes:
    """Return the calendar as pages to print; a fault is recorded and leaves it empty."""
    from planbook.publish.book_info import book_info
    from planbook.publish.handout import HandoutError
    from planbook.publish.home_sheet import home_pages
    from planbook.publish.theme import find_theme

    if found.book is None or found.plan is None:
        return b""
    theme = find_theme(str(found.book.facts.theme), found.book.root, found.findings)
    if theme is None:
        return b""
    usual: Paper = "letter" if found.plan.edition.paper == "letter" else "a4"
    try:
        return home_pages(found.plan, book_info(found.book), calendar, free, theme, paper=paper or usual, large=large)
    except HandoutError as fault:
        found.findings.add(fault.diagnostic)
        return b""
