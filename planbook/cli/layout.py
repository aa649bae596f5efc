"""`planbook layout`: how to cut a list of pieces, or the sheets of a plan."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planbook.cli.books import book_option
from planbook.cli.exits import exit_code
from planbook.cli.resolving import edition_choice, resolved
from planbook.cli.telling import tell
from planbook.source.diagnostics import Diagnostic, Findings, Severity
from planbook.source.files import Sources

if TYPE_CHECKING:
    from planbook.cli.layout_slabs import CutSlab
    from planbook.cutting.lots import Lot
    from planbook.drawing.layout_dxf import Drills
    from planbook.publish.layout_files import Cut
    from planbook.units.editions import Edition

FORMS = click.Choice(["table", "csv", "json", "svg"])
FILES = (".pdf", ".dxf", ".svg")


@click.command(short_help="Lay out a list of pieces on stock, or the sheets of a plan.")
@click.argument("what", metavar="FILE|PLAN")
@click.option("--as", "form", type=FORMS, default="table", show_default=True, help="How to write it.")
@click.option("--into", type=click.Path(path_type=Path), metavar="FILE", help="PDF, DXF or SVG file to write.")
@click.option(
    "--accept",
    is_flag=True,
    help="Keep the layouts of a plan beside it, so that they stay as they are; in all editions where none is named.",
)
@click.option("--edition", type=edition_choice, help="For a plan: edition; the first one of the book if not given.")
@click.option("--students", type=click.IntRange(1, 500), default=1, show_default=True, help="For a plan: how many.")
@book_option
def layout(
    what: str, form: str, into: Path | None, accept: bool, edition: str | None, students: int, book: Path | None
) -> int:
    """Lay out pieces on sheets or sticks with the least stock, and say whether that is proven.

    FILE is a list in YAML or CSV, with pieces and stock by name. Where no such file is there it is the name of a
    plan. A CSV list has the columns what (piece or stock), name, length, width, count, grain and price.

    \b
    units: in
    kerf: 1/8 in
    pieces:
      side: {length: 17 in, width: 13 3/4 in, count: 2}
    stock:
      sheet: {length: 96 in, width: 48 in, price: 84}

    Stock with `defects` is a board on hand. Stock with a `survey` or an `outline` is a slab, with its marks; parts
    of it may have natural edges.
    """  # noqa: D301 - the sign for click to keep the lines
    if into is not None and into.suffix.lower() not in FILES:
        raise click.UsageError(f"`{into}` is no PDF, DXF or SVG file; write for example `--into layout.pdf`")
    findings, sources = Findings(), Sources()
    path = Path(what)
    if path.is_file() or path.suffix.lower() in (".yaml", ".yml", ".csv"):
        if accept:
            raise click.UsageError("`--accept` keeps the layouts of a plan; give the name of a plan with it")
        if students != 1 or edition is not None:
            word, instead = ("--students", "count:") if students != 1 else ("--edition", "units:")
            raise click.UsageError(f"`{word}` is for a plan; in a list of pieces write `{instead}`")
        found = _bare(path, findings, sources)
    else:
        found, findings, sources = _of_plan(what, edition, students, book)
        if accept and not findings.stopped:
            _accept(what, edition, students, book)
    if found is not None:
        _tell_cuts(found, form)
        if into is not None and (found.cuts or found.slabs):
            data = _file(found, into.suffix.lower(), title=path.stem)
            into.parent.mkdir(parents=True, exist_ok=True)
            into.write_bytes(data)
            click.echo(f"{into}: {len(data) / 1000:.0f} kB written", err=True)
    tell(findings, sources)
    return exit_code(findings)


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What was laid out."""

    edition: Edition
    cuts: Sequence[Cut] = ()
    slabs: Sequence[CutSlab] = ()
    priced: bool = False
    drills: Drills | None = None


def _bare(path: Path, findings: Findings, sources: Sources) -> Found | None:
    from planbook.cli.layout_slabs import CutSlab
    from planbook.cutting.bare import read_bare, solve_bare
    from planbook.cutting.bare_slabs import BareSlabs, solve_slabs
    from planbook.cutting.diagram import diagrams_of
    from planbook.cutting.problem import CuttingError

    bare = read_bare(path, findings, sources)
    if bare is None:
        return None
    if isinstance(bare, BareSlabs):
        layouts = solve_slabs(bare, findings)
        slabs = [CutSlab(layout, layout.slab.key) for layout in layouts]
        return Found(edition=bare.edition, slabs=slabs) if slabs else None
    try:
        lot = solve_bare(bare)
    except CuttingError as fault:
        span = next((span for key, span in bare.spans.items() if f"`{key}`" in fault.message), None)
        findings.add(Diagnostic(fault.slug, Severity.STOP, fault.message, span, help=fault.help or None))
        return None
    diagrams = diagrams_of(lot, bare.practice)
    return Found(edition=bare.edition, cuts=[(lot, diagrams, "")], priced=True)


def _accept(slug: str, edition: str | None, students: int, book: Path | None) -> None:
    """Keep the layouts of a plan beside it: of one edition, or of all where none is named."""
    from planbook.cli.layout_tables import lots_of_plan
    from planbook.publish.accepted import write_accepted

    first = resolved(slug, edition, book)
    names = (
        [edition] if edition is not None or first.book is None else [str(name) for name in first.book.facts.editions]
    )
    for name in names:
        found = first if name == edition else resolved(slug, name, book)
        if found.plan is None or found.book is None:
            continue
        lots, _ = lots_of_plan(found.plan, found.book, found.findings, students=students)
        if lots:
            kept = write_accepted(found.book.root / "plans" / slug, lots)
            click.echo(f"{kept}: the layouts of the {found.plan.edition.name} edition are kept", err=True)


def _of_plan(
    slug: str, edition: str | None, students: int, book: Path | None
) -> tuple[Found | None, Findings, Sources]:
    from planbook.cli.layout_slabs import slabs_of_plan
    from planbook.cli.layout_tables import lots_of_plan
    from planbook.cutting.diagram import diagrams_of
    from planbook.cutting.drills import drills_of

    found = resolved(slug, edition, book)
    if found.plan is None or found.book is None:
        return None, found.findings, found.sources
    lots, practice = lots_of_plan(found.plan, found.book, found.findings, students=students)
    cuts: list[Cut] = [
        (lot, diagrams_of(lot, practice), f"{lot.task.stock.material}, {lot.task.stock.nominal}") for lot in lots
    ]
    slabs = slabs_of_plan(found.plan, practice, found.findings)
    laid = Found(edition=found.plan.edition, cuts=cuts, slabs=slabs, drills=drills_of(found.plan))
    return laid, found.findings, found.sources


def _tell_cuts(found: Found, form: str) -> None:
    from planbook.cli.layout_slabs import slab_cut_rows, slab_notes
    from planbook.cli.layout_tables import CUT_TITLES, cut_rows
    from planbook.cli.show import written
    from planbook.cli.tables import Table
    from planbook.publish.layout_files import layout_data
    from planbook.publish.slab_files import slab_data

    if form == "svg":
        click.echo(_svg(found), nl=False)
    elif form == "json":
        data = layout_data(found.cuts, found.edition, priced=found.priced)
        data |= slab_data([slab.layout for slab in found.slabs], found.edition)
        click.echo(json.dumps(data, ensure_ascii=False, indent=1))
    else:
        rows = [
            row
            for _, diagrams, title in found.cuts
            for diagram in diagrams
            for row in cut_rows(title or diagram.stock, diagram, found.edition)
        ]
        rows += [row for slab in found.slabs for row in slab_cut_rows(slab, found.edition)]
        click.echo(written(Table(CUT_TITLES, tuple(rows)), form), nl=False)
        if form == "table":
            for lot, _, title in found.cuts:
                click.echo(_summary(lot, title, priced=found.priced))
            for slab in found.slabs:
                click.echo("\n".join(slab_notes(slab, found.edition)))


def _svg(found: Found) -> str:
    from planbook.publish.layout_files import pictures_of_cuts, stacked_svg
    from planbook.publish.slab_files import slab_pictures

    cut = [picture for *_, picture in pictures_of_cuts(found.cuts, found.edition)]
    slabs = [(slab.layout, slab.title, slab.letters) for slab in found.slabs]
    return stacked_svg([*cut, *slab_pictures(slabs, found.edition)])


def _summary(lot: Lot, title: str, *, priced: bool) -> str:
    solution = lot.solution
    used = ", ".join(f"{count} of {key}" for key, count in sorted(solution.stock.items()))
    scale = 100 if priced else 1
    bound, cost = solution.bound / scale, solution.cost / scale
    proof = "proven least" if solution.proven else f"at least {bound:g} needed, between them it is open"
    if lot.task.boards:
        proof = "less wood is impossible" if solution.proven else "whether less wood would do is open"
        return f"\n{title + ': ' if title else ''}{used}; {proof} with {solution.model}"
    worth = f", cost {cost:g}" if priced else ""
    return f"\n{title + ': ' if title else ''}{used}{worth}; {proof} with {solution.model}"


def _file(found: Found, kind: str, *, title: str) -> bytes:
    from planbook.publish.layout_files import head_lists, page_rows, pages_pdf
    from planbook.publish.slab_files import slab_page_rows

    if kind == ".svg":
        return _svg(found).encode()
    if kind == ".pdf":
        slabs = [(slab.layout, slab.title, slab.letters) for slab in found.slabs]
        rows = [*page_rows(found.cuts, found.edition), *slab_page_rows(slabs, found.edition)]
        lists = head_lists(found.cuts, found.edition, priced=found.priced)
        return pages_pdf(rows, title=title, edition=found.edition, lists=lists)
    if not found.cuts:
        from planbook.drawing.slab_dxf import slab_dxf

        return slab_dxf([slab.layout for slab in found.slabs])
    from planbook.drawing.layout_dxf import layout_dxf

    return layout_dxf([diagram for _, diagrams, _ in found.cuts for diagram in diagrams], drills=found.drills)
