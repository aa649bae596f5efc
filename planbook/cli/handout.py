"""`planbook handout`: one handout as a PDF."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from planbook.cli.books import book_option
from planbook.cli.exits import exit_code
from planbook.cli.resolving import Resolved, edition_choice, resolved
from planbook.cli.telling import summary, tell

if TYPE_CHECKING:
    from planbook.publish.handout import Paper


@click.command(short_help="Write one handout as a PDF.")
@click.argument("plan")
@click.option("--edition", type=edition_choice, help="Edition to print; the first one of the book if not given.")
@click.option("--paper", type=click.Choice(["letter", "a4"]), help="Paper; that of the edition if not given.")
@click.option("--into", type=click.Path(path_type=Path), required=True, metavar="FILE", help="PDF file to write.")
@book_option
def handout(plan: str, edition: str | None, paper: Paper | None, into: Path, book: Path | None) -> int:
    """Write the student's handout of PLAN (the name of its folder) as a PDF to print.

    planbook publish makes the handouts of all plans; this one is for trying out, or for a single sheet.
    """
    if into.suffix.lower() != ".pdf":
        raise click.UsageError(f"`{into}` is not the name of a PDF file; write for example `--into {plan}.pdf`")
    found = resolved(plan, edition, book)
    data = _made(found, paper) if not found.findings.stopped else None
    tell(found.findings, found.sources)
    if data is None:
        click.echo(f"{into}: nothing was written, {summary(found.findings)}")
        return exit_code(found.findings)
    _write(into, data)
    click.echo(f"{into}: {len(data) / 1000:.0f} kB written, {summary(found.findings)}")
    return exit_code(found.findings)


def _made(found: Resolved, paper: Paper | None) -> bytes | None:
    """Return the handout, or record why there is none."""
    from planbook.cutting.shop import practice_of
    from planbook.publish.accepted import read_accepted
    from planbook.publish.book_info import book_info
    from planbook.publish.cache import Store
    from planbook.publish.handout import HandoutError
    from planbook.publish.handout import handout as set_handout
    from planbook.publish.layouts import cutting_of
    from planbook.publish.pictures import pictures_of
    from planbook.publish.sheet import sheet
    from planbook.publish.theme import find_theme

    if found.book is None or found.plan is None:
        return None
    theme = find_theme(str(found.book.facts.theme), found.book.root, found.findings)
    if theme is None:
        return None
    store = Store(found.book.root)
    practice = practice_of(found.book.shop, found.plan.edition, found.findings)
    accepted = read_accepted(found.book.root / "plans" / found.plan.slug)
    cutting = cutting_of(found.plan, practice, store, accepted=accepted)
    found.findings.extend(cutting.faults)
    pictures = pictures_of(found.plan, store).with_more(cutting.screen, cutting.paper, cutting.alts)
    data = sheet(found.plan, book_info(found.book), pictures=pictures.alts, cutting=cutting.rows)
    usual: Paper = "letter" if found.plan.edition.paper == "letter" else "a4"
    try:
        return set_handout(data, pictures.paper, paper=paper or usual, theme_dir=theme.folders)
    except HandoutError as fault:
        found.findings.add(fault.diagnostic)
        return None


def _write(into: Path, data: bytes) -> None:
    """Write a file so that a full disk leaves no half of it in place of an older one."""
    into.parent.mkdir(parents=True, exist_ok=True)
    beside = into.with_name(f".{into.name}.part")
    try:
        beside.write_bytes(data)
        beside.replace(into)
    finally:
        beside.unlink(missing_ok=True)
