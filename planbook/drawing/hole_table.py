"""The table of the holes of a part: where each is, how wide and deep, and what it is for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planbook.drawing.features import across_from, across_text
from planbook.drawing.picture import Label, LabelKind
from planbook.drawing.placing import word_label
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import SIZE_HEIGHT, WORD_HEIGHT, LineKind
from planbook.drawing.text import text_width
from planbook.drawing.wording import size
from planbook.plan.drilling import Row, Side, rows_of
from planbook.plan.model import Hole, Part, Plan

MOST_WITHOUT = 4
"""More holes than this are listed in a table, fewer carry their sizes in the drawing."""
ROW = 7.0
GAP, LEAST_GAP = 9.0, 3.0
"""mm between columns."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleLine:
    """One line of the table: holes in a row along the grain."""

    first: int
    last: int
    """Numbers of the holes as the drawing has them."""
    along: str
    """From the datum end to the centres."""
    across: str
    """From the datum edge to the centres."""
    diameter: str
    deep: str
    for_what: str
    """Letters of the parts that the holes lead to, else what the holes are called."""

    @property
    def numbers(self) -> str:
        """The numbers as they are written: `7`, `1 - 6`."""
        return str(self.first) if self.first == self.last else f"{self.first} \u2013 {self.last}"

    @property
    def cells(self) -> tuple[str, ...]:
        """What stands in the columns."""
        return self.numbers, self.along, self.across, self.diameter, self.deep, self.for_what


def hole_lines(plan: Plan, part: Part, *, show: bool = True) -> tuple[HoleLine, ...]:
    """Return the table of a part's holes, numbered from 1 row by row; `show` tells that its show face is drawn."""
    lines = []
    number = 0
    for row in rows_of(part):
        count = len(row.places)
        lines.append(
            HoleLine(
                first=number + 1,
                last=number + count,
                along=_places(plan, row),
                across=_across(plan, part, row),
                diameter=_wide(plan, row),
                deep=_deep(plan, part, row, show=show),
                for_what=_for_what(plan, part, row.hole),
            )
        )
        number += count
    return tuple(lines)


def _across(plan: Plan, part: Part, row: Row) -> str:
    """Return Y of a row, on a part with natural edges from its chalk line."""
    if not row.side.wide:
        return size(row.w, plan.edition)
    return across_text(part, row.w, plan.edition, size)


def bored_words(plan: Plan, row: Row) -> str:
    """Return what a row is bored with, for a drawing without a table: `4 × ¹¹⁄₆₄" through, countersunk`."""
    many = f"{len(row.places)} \u00d7 " if len(row.places) > 1 else ""
    deep = "through" if row.deep is None else f"{size(row.deep, plan.edition)} deep"
    sunk = ", countersunk" if row.hole.countersink is not None else ""
    return f"{many}{_wide(plan, row)} {deep}{sunk}"


def _wide(plan: Plan, row: Row) -> str:
    """Return how wide a row is bored: the bit, with the length of a slot or the counterbore that comes first."""
    edition, hole = plan.edition.finest, row.hole
    wide = size(row.diameter, edition)
    if hole.slot > hole.diameter:
        return f"{wide} \u00d7 {size(hole.slot, edition)}"
    if hole.counterbore is not None:
        return f"{wide}, {size(hole.counterbore[0], edition)} first {size(hole.counterbore[1], edition)} deep"
    return wide


def _deep(plan: Plan, part: Part, row: Row, *, show: bool) -> str:
    """Return how deep a row is bored, and from which face where that is not the one that is seen."""
    if row.deep is None and row.side.wide:
        return "through"
    deep = "through" if row.deep is None else size(row.deep, plan.edition)
    seen = row.from_show if show else row.side.wide and not row.from_show
    return deep if seen else f"{deep}, {getattr(part.faces, row.side.value)}"


def _places(plan: Plan, row: Row) -> str:
    """Return the places of a row: the first, and the spacing where it is even, else each of them."""
    edition = plan.edition
    first, spaces = size(row.places[0], edition), len(row.places) - 1
    if spaces > 1 and row.every is not None:
        return f"{first}, then {spaces} \u00d7 {size(row.every, edition)}"
    if spaces > 1 and row.evenly(edition.resolution):
        return f"{first}, then {spaces} equal in {size(row.places[-1] - row.places[0], edition)}"
    return ", ".join(size(place, edition) for place in row.places)


def _for_what(plan: Plan, part: Part, hole: Hole) -> str:
    if hole.mate:
        role = "" if hole.role in ("clearance", "socket") else f", {hole.role}"
        return plan.part(hole.mate).letter + role
    group = hole.group
    for joint in plan.joints:
        if joint.name == group:
            others = dict.fromkeys(key for key in (*joint.receiving, *joint.entering) if key != part.key)
            return ", ".join(plan.part(key).letter for key in others) or group
    return group


def draw_hole_table(
    sheet: Sheet, lines: Sequence[HoleLine], part: Part, *, middle: float, top: float, across: float
) -> None:
    """Draw the table below a height, in the middle of `across` mm; below it what its places run from."""
    heads = ("hole", "X", "Y", "diameter", "deep", "for")
    rows = [heads, *(line.cells for line in lines)]
    widths = [
        max(text_width(row[k], SIZE_HEIGHT if row is not heads else WORD_HEIGHT, bold=k == 0) for row in rows) + 0.4
        for k in range(len(heads))
    ]
    gap = min(max((across - 2.0 - sum(widths)) / (len(widths) - 1), LEAST_GAP), GAP)
    left = middle - (sum(widths) + gap * (len(widths) - 1) + 2.0) / 2
    starts = [left + 1.0 + sum(widths[:k]) + gap * k for k in range(len(heads))]
    right = starts[-1] + widths[-1] + 1.0
    for number, row in enumerate(rows):
        y = top - ROW * (number + 0.5)
        for k, text in enumerate(row):
            head = row is heads
            high = WORD_HEIGHT if head or k == len(heads) - 1 else SIZE_HEIGHT
            kind = LabelKind.WORD if head or k == len(heads) - 1 else LabelKind.MARK if k == 0 else LabelKind.SIZE
            bold = k == 0 and not head
            x = starts[k] + text_width(text, high, bold=bold) / 2
            sheet.label(Label(kind=kind, text=text, x=x, y=y, height=high, bold=bold))
        below = LineKind.DIMENSION if row is heads else LineKind.GRID
        if number < len(rows) - 1:
            sheet.line(below, (left, y - ROW / 2), (right, y - ROW / 2))
    bottom = top - ROW * len(rows)
    for y in (top, bottom):
        sheet.line(LineKind.STROKE, (left, y), (right, y))
    notes = [f"X from the {part.faces.datum_end}, Y from the {across_from(part)}, both from the black corner"]
    if any(not row.side.wide for row in rows_of(part)):
        ends = any(row.side in (Side.DATUM_END, Side.FAR_END) for row in rows_of(part))
        notes.append(
            f"in edges Y from the {part.faces.show}"
            + (f"; in ends also X from the {part.faces.datum_edge}" if ends else "")
        )
    for number, note in enumerate(notes):
        sheet.label(word_label(note, (left + text_width(note, WORD_HEIGHT) / 2, bottom - 5.0 * (number + 1))))
