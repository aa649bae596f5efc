"""`planbook handout PLAN --free ...`: a calendar for one person at home."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planbook.cli.exits import exit_code
from planbook.cli.files import write_file
from planbook.cli.telling import summary, tell

if TYPE_CHECKING:
    from planbook.cli.resolving import Resolved


def write_home_calendar(found: Resolved, free: tuple[str, ...], first: str | None, zone: str | None, into: Path) -> int:
    """Write when one person can do which step, in the free hours of a week, as a calendar file."""
    from planbook.publish.class_facts import timing_slug
    from planbook.publish.home_calendar import calendar_of, free_hours, plan_at_home
    from planbook.timing.faults import TimingError

    if into.suffix.lower() != ".ics":
        raise click.UsageError(f"`{into}` is not the name of a calendar file; write for example `--into bench.ics`")
    if first is None or zone is None:
        raise click.UsageError("a calendar wants `--from 2026-10-03` and `--zone Europe/Oslo`, too")
    try:
        day = datetime.date.fromisoformat(first)
    except ValueError:
        raise click.UsageError(f"`{first}` is no day of the calendar; write for example `2026-10-03`") from None
    told, done = "nothing was written", b""
    if found.plan is not None and not found.findings.stopped:
        try:
            calendar = plan_at_home(found.plan, [free_hours(text) for text in free], first_day=day, zone=zone)
            done = calendar_of(found.plan, calendar)
            told = f"done on {calendar.done:%A, %Y-%m-%d at %H:%M}, dry by {calendar.ready:%A, %Y-%m-%d at %H:%M}"
        except TimingError as fault:
            found.findings.stop(timing_slug(fault), fault.message, help=fault.help or None)
    tell(found.findings, found.sources)
    if done:
        write_file(into, done)
    click.echo(f"{into}: {told}, {summary(found.findings)}")
    return exit_code(found.findings)
