"""What `planbook layout` tells of a list whose stock are slabs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from planbook.cutting.bare_slabs import BareSlabs
    from planbook.cutting.slabs import SlabLayout
    from planbook.source.diagnostics import Findings

TITLES = ("slab", "cut", "set-up", "where", "gives", "finished")


def tell_slabs(bare: BareSlabs, findings: Findings, *, form: str, into: Path | None) -> None:
    """Lay out the slabs of a list and write the result; what finds no place is recorded."""
    from planbook.cutting.bare_slabs import solve_slabs
    from planbook.publish.slab_files import slab_data, slab_svg

    layouts = solve_slabs(bare, findings)
    if not layouts:
        return
    if form == "json":
        click.echo(json.dumps(slab_data(layouts, bare.edition), ensure_ascii=False, indent=1))
    elif form == "svg":
        click.echo(slab_svg(layouts, bare.edition), nl=False)
    else:
        _tell_table(bare, layouts, form)
    if into is not None:
        data = _file(bare, layouts, into.suffix.lower())
        into.parent.mkdir(parents=True, exist_ok=True)
        into.write_bytes(data)
        click.echo(f"{into}: {len(data) / 1000:.0f} kB written", err=True)


def _tell_table(bare: BareSlabs, layouts: tuple[SlabLayout, ...], form: str) -> None:
    from planbook.cli.show import written
    from planbook.cli.tables import Table
    from planbook.publish.sheet_runs import plain
    from planbook.publish.slab_files import told
    from planbook.publish.slab_words import slab_rows

    rows: list[tuple[str, ...]] = []
    notes = []
    for layout in layouts:
        words = slab_rows(layout, bare.edition, {}, plain=True)
        for cut, row in zip(layout.cuts, words["cuts"], strict=True):
            way, _, where = plain(row["setting"]).partition(" ")
            rows.append((layout.slab.key, row["n"], way, where, ", ".join(cut.gives), ", ".join(cut.done)))
        notes.append(f"\n{layout.slab.key}: {told(words)}")
        notes += [f"  {part['name']}: {part['at']}" for part in words["parts"]]
    click.echo(written(Table(TITLES, tuple(rows)), form), nl=False)
    if form == "table":
        for note in notes:
            click.echo(note)


def _file(bare: BareSlabs, layouts: tuple[SlabLayout, ...], kind: str) -> bytes:
    from planbook.publish.slab_files import slab_pdf, slab_svg

    if kind == ".svg":
        return slab_svg(layouts, bare.edition).encode()
    if kind == ".pdf":
        return slab_pdf(layouts, bare.edition, title=bare.title)
    from planbook.drawing.slab_dxf import slab_dxf

    return slab_dxf(layouts)
