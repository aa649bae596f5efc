"""`planbook show`: one table of a plan."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planbook.cli.books import book_option
from planbook.cli.exits import exit_code
from planbook.cli.resolving import edition_choice, resolved
from planbook.cli.telling import tell

if TYPE_CHECKING:
    from planbook.cli.tables import Table

FORMS = click.Choice(["table", "csv", "json"])
WHAT = ("cutlist", "materials", "tools", "steps", "sizes", "fasteners", "layout", "buying")


@click.command(short_help="Print one table of a plan.")
@click.argument("plan")
@click.argument("what", type=click.Choice(WHAT))
@click.option("--edition", type=edition_choice, help="Edition to show; the first one of the book if not given.")
@click.option(
    "--students",
    type=click.IntRange(1, 500),
    default=1,
    show_default=True,
    help="For `layout` and `buying`: how many make the piece.",
)
@click.option("--as", "form", type=FORMS, default="table", show_default=True, help="How to write it.")
@click.option("--soft", is_flag=True, help="With sizes: the same lengths in the units of the other edition, too.")
@book_option
def show(plan: str, what: str, edition: str | None, students: int, form: str, soft: bool, book: Path | None) -> int:
    """Print one table of PLAN (the name of its folder): what to cut, have, use, do, buy, or every size.

    A table goes to standard output and what is wrong to standard error, so that the table can be kept:
    planbook show boot-bench cutlist --as csv > parts.csv

    The two editions are two designs, each in round sizes of its own. Who must read a piece of one edition with the
    rule of the other asks for `sizes --soft`: no size changes, and `about` stands where it comes out between two marks.
    """
    from planbook.cli.layout_tables import LAYOUT_TABLES
    from planbook.cli.tables import TABLES, soft_sizes

    if soft and what != "sizes":
        raise click.UsageError(f"`--soft` goes with `sizes`; write `planbook show {plan} sizes --soft`")
    if students != 1 and what not in LAYOUT_TABLES:
        raise click.UsageError(f"`--students` goes with `layout` and `buying`, `{what}` is told for one piece")
    found = resolved(plan, edition, book)
    if found.plan is not None and found.book is not None:
        if what in LAYOUT_TABLES:
            table = LAYOUT_TABLES[what](found.plan, found.book, found.findings, students)
        else:
            table = (soft_sizes if soft else TABLES[what])(found.plan)
        click.echo(written(table, form), nl=False)
    if found.findings.stopped:
        tell(found.findings, found.sources)
    return exit_code(found.findings)


def written(table: Table, form: str) -> str:
    """Return a table as aligned text, CSV or JSON."""
    if form == "json":
        rows = [dict(zip(table.titles, row, strict=True)) for row in table.rows]
        return json.dumps(rows, ensure_ascii=False, indent=1) + "\n"
    if form == "csv":
        stream = io.StringIO(newline="")
        csv.writer(stream, lineterminator="\n").writerows([table.titles, *table.rows])
        return stream.getvalue()
    return _aligned(table)


def _aligned(table: Table) -> str:
    """Return columns under their titles, two blanks apart."""
    from rich.cells import cell_len

    lines = [table.titles, *table.rows]
    widths = [max(cell_len(line[place]) for line in lines) for place in range(len(table.titles))]
    rule = tuple("-" * width for width in widths)
    shown = []
    for line in (table.titles, rule, *table.rows):
        cells = (cell + " " * (width - cell_len(cell)) for cell, width in zip(line, widths, strict=True))
        shown.append("  ".join(cells).rstrip() + "\n")
    return "".join(shown)
