"""`planbook publish`: the whole site."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from planbook.cli.books import book_argument, book_root
from planbook.cli.exits import exit_code
from planbook.cli.telling import summary, tell
from planbook.source.diagnostics import Findings

Progress = Callable[[str, int, int], None]


@click.command(short_help="Write the website with handouts and tables.")
@book_argument
@click.option(
    "--into",
    type=click.Path(path_type=Path),
    default=Path("site"),
    show_default=True,
    help="Folder that the site is written to.",
)
@click.option("--theme", metavar="NAME", help="Theme to use instead of the book's own.")
def publish(book: Path | None, into: Path, theme: str | None) -> int:
    """Write the website of a book with its handouts and tables.

    Only what has changed is written, and what is no longer made is removed; files of your own in the
    folder are left alone. If anything stops, nothing is written and the old site stays as it was.
    """
    from planbook.publish.site import publish as publish_book

    root = book_root(book)
    with _progress() as progress:
        outcome = publish_book(root, into, theme=theme, progress=progress)
    findings = Findings()
    findings.extend(outcome.findings)
    tell(findings, outcome.sources)
    if findings.stopped:
        click.echo(f"{into}: nothing was written, {summary(findings)}")
        return exit_code(findings)
    counts = f"{len(outcome.written)} written, {len(outcome.unchanged)} unchanged, {len(outcome.removed)} removed"
    click.echo(f"{into}: {counts}, {summary(findings)}")
    return exit_code(findings)


@contextmanager
def _progress() -> Iterator[Progress | None]:
    """Give what shows progress on a terminal, and nothing elsewhere."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, TextColumn
    from rich.progress import Progress as Bar

    columns = (BarColumn(), MofNCompleteColumn(), TextColumn("{task.description}"))
    with Bar(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("reading the book", total=None)
        yield lambda what, done, total: bar.update(task, description=what, completed=done, total=total)
