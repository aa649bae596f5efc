"""Sawing and buying for a whole class: diagrams cut so many times each, when which bag is whole, and the bill."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import accumulate
from typing import TYPE_CHECKING, Any

from planbook.cutting.classes import kits_of
from planbook.plan.model import Role
from planbook.publish.book_info import BookInfo
from planbook.publish.class_facts import Class
from planbook.publish.layouts import cutting_of
from planbook.publish.sheet_buying import buying
from planbook.source.diagnostics import Diagnostic

if TYPE_CHECKING:
    from planbook.cutting.lots import Lot
    from planbook.cutting.practice import Practice
    from planbook.publish.cache import Store
    from planbook.source.schema.book import ShopFacts


@dataclass(frozen=True, slots=True)
class ClassCutting:
    """What the sheet *sawing and buying* of a class says."""

    facts: Mapping[str, Any] = field(default_factory=dict)
    """`rows` as those of a plan, `bags` by stock, `buying`."""
    pictures: Mapping[str, str] = field(default_factory=dict)
    """For print, by the keys that the rows name."""
    alts: Mapping[str, str] = field(default_factory=dict)
    faults: tuple[Diagnostic, ...] = ()

    def drawn(self) -> dict[str, dict[str, Any]]:
        """Return the pictures as the templates want them."""
        return {key: {"svg": svg, "alt": self.alts[key], "least": 0} for key, svg in self.pictures.items()}


def class_cutting(
    one: Class, practice: Practice, shop: ShopFacts, book: BookInfo, store: Store, steps: Sequence[Mapping[str, Any]]
) -> ClassCutting:
    """Return how the stock of a class is sawn: what each maker needs, ready-made parts, and what serves all once.

    `steps` are those of the plan's sheet; of them the hazards of the sawing are shown.
    """
    makers = one.makers
    cutting = cutting_of(one.plan, practice, store, students=makers, spares=one.ready_made)
    sawn = {slug for row in cutting.rows for slug in row["steps"]}
    facts = {
        "rows": list(cutting.rows),
        "steps": [step for step in steps if step["slug"] in sawn],
        "bags": [
            {"title": f"{lot.task.stock.material}, {lot.task.stock.nominal}", "rows": bags(lot)} for lot in cutting.lots
        ],
        "buying": buying(one.plan, cutting.lots, practice, shop, book, students=makers, spares=dict(one.ready_made)),
        "makers": makers,
    }
    return ClassCutting(facts, cutting.paper, cutting.alts, cutting.faults)


def bags(lot: Lot) -> list[dict[str, str]]:
    """Return after how many sheets of a stock which bags are whole: the sheets are counted diagram by diagram.

    A jig goes into no bag.
    """
    solution, makers = lot.solution, lot.task.students
    each = {entry.key: entry.count for entry in lot.task.wanted if entry.role is not Role.JIG}
    if not each:
        return []
    before = [0, *accumulate(layout.repeats for layout in solution.layouts)]
    whole: dict[int, list[int]] = {}
    for kit in kits_of(solution, each, makers):
        last = max(before[layout] + copy + 1 for layout, copy in kit.copies)
        whole.setdefault(last, []).append(kit.number)
    return [{"after": str(sheet), "bags": _runs(whole[sheet])} for sheet in sorted(whole)]


def _runs(numbers: Sequence[int]) -> str:
    """Return numbers with neighbours drawn together: `1 to 4, 7`."""
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][-1] + 1:
            found[-1].append(number)
        else:
            found.append([number])
    return ", ".join(
        str(run[0]) if len(run) == 1 else f"{run[0]}, {run[1]}" if len(run) == 2 else f"{run[0]} to {run[-1]}"
        for run in found
    )
