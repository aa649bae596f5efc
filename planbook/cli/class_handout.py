"""`planbook handout --class`: everything that a class needs on paper, in one folder."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planbook.cli.books import book_root
from planbook.cli.exits import exit_code
from planbook.cli.files import plan_sheet, write_file
from planbook.cli.telling import summary, tell
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.source.nearest import did_you_mean

if TYPE_CHECKING:
    from planbook.publish.class_facts import Class
    from planbook.publish.handout import Paper
    from planbook.source.book import Book


def write_class(name: str, paper: Paper | None, into: Path, book: Path | None, *, large: bool = False) -> int:
    """Write the sheets of a class into a folder; nothing is written where one of them cannot be made."""
    if into.suffix.lower() == ".pdf":
        raise click.UsageError(f"a class is several files: write a folder, for example `--into {into.stem}`")
    root, findings, sources = book_root(book), Findings(), Sources()
    files = _files(name, paper, root, findings, sources, large)
    tell(findings, sources)
    if not files or findings.stopped:
        click.echo(f"{into}: nothing was written, {summary(findings)}")
        return exit_code(findings) or 1
    for file, data in files.items():
        write_file(into / file, data)
    click.echo(f"{into}: {len(files)} files written, {summary(findings)}")
    return exit_code(findings)


def _files(
    name: str, paper: Paper | None, root: Path, findings: Findings, sources: Sources, large: bool
) -> dict[str, bytes]:
    """Return the files of a class by name; empty where it cannot be."""
    from planbook.cutting.shop import practice_of
    from planbook.publish.book_info import book_info
    from planbook.publish.cache import Store
    from planbook.publish.class_cutting import class_cutting
    from planbook.publish.class_files import class_calendar, class_pdfs, usual_paper
    from planbook.publish.class_notes import blank_notes
    from planbook.publish.class_solved import solve_class
    from planbook.publish.class_student import student_of
    from planbook.publish.handout import HandoutError
    from planbook.publish.theme import find_theme
    from planbook.source.book import NOTES

    found = _class(name, root, findings, sources)
    if found is None:
        return {}
    one, book = found
    theme = find_theme(str(book.facts.theme), book.root, findings)
    info = book_info(book)
    solved = solve_class(one, info, findings) if theme is not None else None
    if theme is None or solved is None:
        return {}
    chosen = paper or usual_paper(one)
    data, pictures = plan_sheet(book, one.plan, findings)
    student = student_of(solved, data, pictures.paper, info)
    practice = practice_of(book.shop, one.plan.edition, findings)
    cutting = class_cutting(one, practice, book.shop, info, Store(book.root), data["steps"])
    findings.extend(cutting.faults)
    try:
        files = dict(class_pdfs(solved, info, theme, chosen, student=student, cutting=cutting, large=large))
    except HandoutError as fault:
        findings.add(fault.diagnostic)
        return {}
    files[f"{one.slug}.ics"] = class_calendar(one, info)
    files[f"{one.slug}{NOTES}"] = blank_notes(one.plan, one.title, one.makers, solved.slugs)
    return files


def _class(name: str, root: Path, findings: Findings, sources: Sources) -> tuple[Class, Book] | None:
    """Return a class with its book. Raises a usage error for one that is not there; faults elsewhere do not count."""
    from planbook.publish.class_facts import read_classes
    from planbook.publish.reading import checked_plan
    from planbook.source.book import read_book
    from planbook.units.editions import EDITIONS

    whole = Findings()
    book = read_book(root, whole, sources)
    if book is None:
        findings.extend(whole)
        return None
    written = next((one for one in book.classes if one.slug == name), None)
    file = f"classes/{name}.yaml"
    if written is None and not any(item.span is not None and item.span.file == file for item in whole):
        names = [one.slug for one in book.classes]
        hint = did_you_mean(name, names) or (f"the classes are {', '.join(names)}" if names else "it has none")
        raise click.UsageError(f"there is no class `{name}` in `{root}`; {hint}")
    plan_name = str(written.facts.plan) if written is not None else ""
    mine = (file, f"plans/{plan_name}/")
    findings.extend(
        item
        for item in whole
        if item.span is None or not item.span.file.startswith(("plans/", "classes/")) or item.span.file.startswith(mine)
    )
    if written is None or findings.stopped:
        return None
    edition = EDITIONS.get(str(written.facts.edition or book.facts.editions[0]))
    plan = next((plan for plan in book.plans if plan.slug == plan_name), None)
    made = checked_plan(plan, book.shop, edition, findings) if plan is not None and edition is not None else None
    classes = read_classes(replace(book, classes=(written,)), [made] if made is not None else [], findings)
    return (classes[0], book) if classes else None
