"""`planbook handout`: one handout as a PDF, or all sheets of a class."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from planbook.cli.books import book_option
from planbook.cli.class_handout import write_class
from planbook.cli.exits import exit_code
from planbook.cli.files import plan_handout, write_file
from planbook.cli.home import write_home_calendar
from planbook.cli.resolving import Resolved, edition_choice, resolved
from planbook.cli.telling import summary, tell

if TYPE_CHECKING:
    from planbook.publish.handout import Paper


@click.command(short_help="Write one handout as a PDF.")
@click.argument("plan", required=False)
@click.option("--class", "class_", metavar="NAME", help="Class whose sheets to write, into a folder.")
@click.option("--edition", type=edition_choice, help="Edition to print; the first one of the book if not given.")
@click.option("--paper", type=click.Choice(["letter", "a4"]), help="Paper; that of the edition if not given.")
@click.option("--large", is_flag=True, help="Large print: letters of 18 points, two pages for a step.")
@click.option(
    "--into",
    type=click.Path(path_type=Path),
    required=True,
    metavar="FILE",
    help="PDF file to write; for a class the folder.",
)
@click.option("--free", multiple=True, metavar="HOURS", help="`Saturday 10:00 to 16:00`; a calendar is written then.")
@click.option("--from", "first", metavar="DATE", help="First day of that calendar.")
@click.option("--zone", metavar="ZONE", help="Its time zone, as `Europe/Oslo`.")
@book_option
def handout(
    plan: str | None,
    class_: str | None,
    edition: str | None,
    paper: Paper | None,
    large: bool,
    into: Path,
    free: tuple[str, ...],
    first: str | None,
    zone: str | None,
    book: Path | None,
) -> int:
    """Write the student's handout of PLAN (the name of its folder) as a PDF to print.

    With --class it writes what a class needs (the name of its file): run sheet, what to do before, kits, wall
    sheets, tools, sign-off, the students' handout and the calendar; one PDF holds the teacher's sheets in order.
    With --free, once for each stretch of the week that you have, it writes a calendar of when you alone can do
    which step, with what has to dry in between: a calendar file (.ics), or pages to print (.pdf).
    planbook publish makes the handouts of all plans; this one is for trying out, or for a single sheet.
    """
    if (plan is None) == (class_ is None):
        raise click.UsageError("name either a plan or, with `--class NAME`, a class")
    if plan is None:
        assert class_ is not None
        if edition is not None:
            raise click.UsageError("a class names its edition in its own file; leave `--edition` out")
        if free:
            raise click.UsageError("`--free` is for one person alone; name a plan instead of a class")
        return write_class(class_, paper, into, book, large=large)
    if free:
        return write_home_calendar(resolved(plan, edition, book), free, first, zone, into, paper=paper, large=large)
    if into.suffix.lower() != ".pdf":
        raise click.UsageError(f"`{into}` is not the name of a PDF file; write for example `--into {plan}.pdf`")
    found = resolved(plan, edition, book)
    data = _made(found, paper, large) if not found.findings.stopped else None
    tell(found.findings, found.sources)
    if data is None:
        click.echo(f"{into}: nothing was written, {summary(found.findings)}")
        return exit_code(found.findings)
    write_file(into, data)
    click.echo(f"{into}: {len(data) / 1000:.0f} kB written, {summary(found.findings)}")
    return exit_code(found.findings)


def _made(found: Resolved, paper: Paper | None, large: bool) -> bytes | None:
    """Return the handout, or record why there is none."""
    from planbook.publish.theme import find_theme

    if found.book is None or found.plan is None:
        return None
    theme = find_theme(str(found.book.facts.theme), found.book.root, found.findings)
    if theme is None:
        return None
    usual: Paper = "letter" if found.plan.edition.paper == "letter" else "a4"
    return plan_handout(found.book, found.plan, theme, paper or usual, found.findings, large=large)
