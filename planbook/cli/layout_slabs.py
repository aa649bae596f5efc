"""What `planbook layout` and `planbook show PLAN layout` tell of slabs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planbook.cutting.practice import Practice
    from planbook.cutting.slabs import SlabLayout
    from planbook.plan.model import Plan
    from planbook.source.diagnostics import Findings
    from planbook.units.editions import Edition


@dataclass(frozen=True, slots=True)
class CutSlab:
    """A slab, cut, with what is written on its parts."""

    layout: SlabLayout
    title: str
    letters: Mapping[str, str] = field(default_factory=dict)


def slabs_of_plan(plan: Plan, practice: Practice, findings: Findings) -> list[CutSlab]:
    """Return the slabs of a plan, cut; what finds no place is recorded."""
    from planbook.cutting.slab_plan import slab_tasks, solve_all

    solved, faults = solve_all(slab_tasks(plan, practice), practice)
    findings.extend(faults)
    return [
        CutSlab(layout, f"{task.stock.material}, {task.stock.nominal}", task.letters)
        for task, layout in solved
        if layout.parts
    ]


def slab_cut_rows(slab: CutSlab, edition: Edition) -> list[tuple[str, ...]]:
    """Return a row for each cut, in the columns of other layouts."""
    from planbook.publish.sheet_runs import plain
    from planbook.publish.slab_words import slab_rows

    rows: list[tuple[str, ...]] = []
    words = slab_rows(slab.layout, edition, slab.letters, plain=True)
    for cut, row in zip(slab.layout.cuts, words["cuts"], strict=True):
        way, _, where = plain(row["setting"]).partition(" ")
        done = dict.fromkeys(slab.letters.get(key, key) for key in cut.done)
        rows.append((slab.title, "1", "1", row["n"], way, where, ", ".join(row["for"]), ", ".join(done)))
    return rows


def slab_notes(slab: CutSlab, edition: Edition) -> list[str]:
    """Return lines about what the parts hold, where they lie and what is left."""
    from planbook.publish.slab_files import told
    from planbook.publish.slab_words import slab_rows

    words = slab_rows(slab.layout, edition, slab.letters, plain=True)
    return [f"\n{slab.title}: {told(words)}", *(f"  {part['name']}: {part['at']}" for part in words["parts"])]
