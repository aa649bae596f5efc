"""`planbook check`: everything that is wrong with a book, without writing anything."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planbook.cli.books import book_argument, book_root
from planbook.cli.exits import exit_code
from planbook.cli.telling import summary, tell
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources

if TYPE_CHECKING:
    from planbook.plan.model import Plan

FORMS = click.Choice(["text", "json", "sarif"])


@click.command(short_help="List everything that is wrong with a book.")
@book_argument
@click.option("--as", "form", type=FORMS, default="text", show_default=True, help="How to list what is found.")
def check(book: Path | None, form: str) -> int:
    """Read a book, work out all its plans in all editions, and list what is wrong.

    Nothing is written. A finding names its file, line and column; `planbook why` and the word in its
    brackets explains it. `--as json` and `--as sarif` (SARIF 2.1.0) write a report for other programs to
    standard output. A check that passes says what was computed, never that the work is safe.
    """
    from planbook.publish.reading import read_material

    root = book_root(book)
    findings, sources = Findings(), Sources()
    material = read_material(root, findings, sources)
    if material is not None and material.classes:
        # Timetables are loaded only for a book that has classes.
        from planbook.publish.cache import Store
        from planbook.publish.class_solved import tell_fit

        for one in material.classes:
            tell_fit(one, material.info, findings, Store(root))
    plans = material.plans if material is not None else ()
    if form == "json":
        click.echo(json.dumps(_facts(root, plans, findings), ensure_ascii=False, indent=1))
    elif form == "sarif":
        from planbook.cli.sarif import to_sarif

        click.echo(json.dumps(to_sarif(findings), ensure_ascii=False, indent=1))
    else:
        tell(findings, sources)
        click.echo(f"{root}: {_worked_out(plans)}, {summary(findings)}")
    return exit_code(findings)


def _worked_out(plans: tuple[Plan, ...]) -> str:
    count = len({plan.slug for plan in plans})
    editions = " and ".join(dict.fromkeys(plan.edition.name for plan in plans))
    return f"{count} plan{'' if count == 1 else 's'} worked out" + (f" in {editions}" if editions else "")


def _facts(root: Path, plans: tuple[Plan, ...], findings: Findings) -> dict[str, object]:
    from planbook.source.report import to_json

    return {
        "book": str(root),
        "worked_out": [{"plan": plan.slug, "edition": plan.edition.name} for plan in plans],
        "findings": [to_json(item) for item in findings],
        "exit_code": exit_code(findings),
    }
