"""How the sheets of a plan are cut, for pages and handouts: diagrams, cuts in order, proof, what is kept.

Layouts are kept from run to run by what they depend on, and drawings by the plan. A layout that the author
has accepted stays as it was printed, as long as it gives the parts.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from planbook.cutting.board_problem import BUY
from planbook.cutting.demand import GRAINLESS
from planbook.cutting.faults import diagnostic_of
from planbook.cutting.kept import solution_data, solution_from, task_key
from planbook.cutting.lots import Lot, Task, share_used, tasks_of
from planbook.cutting.practice import Practice
from planbook.cutting.problem import CuttingError
from planbook.plan.model import Plan
from planbook.publish.accepted import Accepted
from planbook.publish.cache import Store, program
from planbook.publish.layout_words import diagram_rows, proof, sheet_weight, stick_length
from planbook.publish.sheet_runs import number, size
from planbook.source.diagnostics import Diagnostic

if TYPE_CHECKING:
    from planbook.cutting.diagram import Diagram

KIND = "layouts"
"""Name of this cache in the store."""


@dataclass(frozen=True, slots=True)
class Cutting:
    """Everything that pages and handouts show about cutting one plan in one edition."""

    rows: tuple[Mapping[str, Any], ...] = ()
    """One for each diagram: see `diagram_rows` of `planbook.publish.layout_words`."""
    screen: Mapping[str, str] = field(default_factory=dict)
    paper: Mapping[str, str] = field(default_factory=dict)
    alts: Mapping[str, str] = field(default_factory=dict)
    faults: tuple[Diagnostic, ...] = ()
    lots: tuple[Lot, ...] = field(default=(), compare=False)
    """What the rows tell of, for the buying list."""


def lots_of(
    plan: Plan,
    practice: Practice,
    store: Store | None,
    *,
    accepted: Accepted | None = None,
    students: int = 1,
    spares: Sequence[tuple[str, int]] = (),
) -> tuple[tuple[Lot, ...], tuple[Diagnostic, ...]]:
    """Return the lots of a plan, and a warning for each stock that has no layout."""
    found: list[Lot] = []
    faults: list[Diagnostic] = []
    for task in tasks_of(plan, practice, students=students, spares=spares):
        try:
            found.append(lot_of(task, store, accepted=accepted))
        except CuttingError as fault:
            faults.append(diagnostic_of(fault, plan, task))
    return tuple(found), tuple(faults)


def lot_of(task: Task, store: Store | None, *, accepted: Accepted | None = None) -> Lot:
    """Return the layouts of a task: accepted, kept, or looked for afresh; raises CuttingError."""
    key = task_key(task)
    if accepted and key in accepted:
        solution = solution_from(accepted[key], task)
        if solution is not None:
            return Lot(task=task, solution=solution)
    name = f"{program()} {key}"
    kept = store.get(KIND, name) if store is not None else None
    if kept is not None:
        solution = solution_from(json.loads(kept), task)
        if solution is not None:
            return Lot(task=task, solution=solution)
    from planbook.cutting.lots import solve

    lot = solve(task)
    if store is not None:
        store.put(KIND, name, json.dumps(solution_data(lot.solution)).encode())
    return lot


def cutting_of(
    plan: Plan,
    practice: Practice,
    store: Store,
    *,
    accepted: Accepted | None = None,
    students: int = 1,
    spares: Sequence[tuple[str, int]] = (),
) -> Cutting:
    """Return diagrams, drawings and words of a plan, made afresh only if something in them has changed.

    With `students` it is for as many pieces, and `spares` of named parts beside.
    """
    lots, faults = lots_of(plan, practice, store, accepted=accepted, students=students, spares=spares)
    drawn: dict[str, dict[str, str]] = {"screen": {}, "paper": {}, "alts": {}}
    rows: list[dict[str, Any]] = []
    for lot in lots:
        kept = _drawn(plan, lot, practice, store)
        rows += kept["rows"]
        for medium, pictures in drawn.items():
            pictures.update(kept[medium])
    return Cutting(tuple(rows), drawn["screen"], drawn["paper"], drawn["alts"], faults, lots)


def _drawn(plan: Plan, lot: Lot, practice: Practice, store: Store) -> dict[str, Any]:
    """Return rows and pictures of a lot."""
    key = f"{program()} drawn {plan!r} {practice!r} {task_key(lot.task)} {lot.solution.layouts!r}"
    kept = store.get(KIND, key)
    if kept is not None:
        data: dict[str, Any] = json.loads(kept)
        return data
    from planbook.cutting.diagram import diagrams_of

    diagrams = diagrams_of(lot, practice)
    made: dict[str, Any] = {"rows": [], "screen": {}, "paper": {}, "alts": {}}
    for diagram in diagrams:
        word = "cutting" if lot.task.students == 1 else f"cutting-for-{lot.task.students}"
        name = f"{word}-{_plain(lot.task.stock.name)}-{diagram.number}"
        made["rows"].append(_row(plan, lot, diagram, name, len(diagrams)))
        _draw(made, plan, lot, diagram, name, len(diagrams))
    store.put(KIND, key, json.dumps(made, ensure_ascii=False).encode())
    return made


def _draw(made: dict[str, Any], plan: Plan, lot: Lot, diagram: Diagram, name: str, of: int) -> None:
    from planbook.drawing.layout import layout_picture
    from planbook.drawing.svg import to_svgs

    picture = layout_picture(
        diagram, plan.edition, of=of, material=_title(lot), grain=lot.task.stock.material not in GRAINLESS
    )
    written = to_svgs(picture, ids=f"fig-{name}", media=("web", "print"))
    made["screen"][name], made["paper"][name] = written["web"], written["print"]
    made["alts"][name] = picture.alt


def _row(plan: Plan, lot: Lot, diagram: Diagram, name: str, of: int) -> dict[str, Any]:
    edition = plan.edition
    sheets = sum(layout.repeats for layout in lot.solution.layouts)
    return {
        "title": _title(lot),
        "stock": lot.task.stock.name,
        "k": diagram.number,
        "of": of,
        "sheets": sheets,
        "times": diagram.repeats,
        "picture": name,
        "stick": diagram.stick,
        "board": "" if not diagram.board else "to buy" if diagram.stock == BUY else diagram.stock,
        "one face": diagram.faces == 1,
        "sheet": stick_length(diagram.length, edition)
        if diagram.stick
        else f"{number(diagram.length, edition)} × {number(diagram.width, edition)}",
        "kerf": size(diagram.kerf, edition),
        "weight": sheet_weight(lot.task, edition),
        "grain": lot.task.stock.material not in GRAINLESS and not diagram.stick,
        **diagram_rows(plan, diagram),
        "proof": proof(lot),
        "used": f"{float(share_used(lot)) * 100:.0f} %",
    }


def _title(lot: Lot) -> str:
    return f"{lot.task.stock.material}, {lot.task.stock.nominal}"


def _plain(name: str) -> str:
    return "".join(char if char.isalnum() else "-" for char in name)
