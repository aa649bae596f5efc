"""Which sizes a drawing of a part carries: each place and each size once, all from the datum.

Places along the grain start at the datum end, places across it at the datum edge. A cut that runs
out at an end or edge needs no place: its own width says it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import hypot

from planbook.drawing.dimension import dimension, unit
from planbook.drawing.features import Row, runs_across
from planbook.drawing.picture import Label, LabelKind, Point
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import DATUM_MARK, SIZE_HEIGHT, Shade
from planbook.drawing.wording import size
from planbook.plan.model import Cut, CutKind, Part
from planbook.units.editions import Edition

At = Callable[[float, float], Point]
"""Where a place of a part's face (from the datum end, from the datum edge) lies on paper."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One size to be written: from and to, along the length or across it."""

    lengthwise: bool
    start: Fraction
    stop: Fraction
    text: str


def measures_of(part: Part, cuts: Iterable[Cut], rows: Iterable[Row], edition: Edition) -> tuple[Measure, ...]:
    """Return the sizes and places of cuts and rows of holes, without the overall sizes."""
    found: dict[tuple[bool, Fraction, Fraction], Measure] = {}

    def add(lengthwise: bool, start: Fraction, stop: Fraction, text: str = "") -> None:
        if stop > start:
            key = (lengthwise, start, stop)
            found.setdefault(key, Measure(*key, text or size(stop - start, edition)))

    for cut in cuts:
        both = cut.kind is CutKind.NOTCH
        if both or runs_across(part, cut):
            _add_cut(add, True, cut.box.l, part.length.final)
        if both or not runs_across(part, cut):
            _add_cut(add, False, cut.box.w, part.width.final)
        elif cut.box.w[0] > 0:
            add(False, Fraction(0), cut.box.w[0])
        if not both and runs_across(part, cut) and cut.box.w[1] < part.width.final:
            add(False, cut.box.w[1], part.width.final)
    for row in rows:
        add(False, Fraction(0), row.w)
        add(True, Fraction(0), row.places[0])
        if row.every is not None and len(row.places) > 2:
            times = f"{len(row.places) - 1} \u00d7 {size(row.every, edition)}"
            add(True, row.places[0], row.places[-1], times)
        else:
            for place in row.places[1:]:
                add(True, Fraction(0), place)
    return tuple(found.values())


def _add_cut(
    add: Callable[[bool, Fraction, Fraction], None],
    lengthwise: bool,
    span: tuple[Fraction, Fraction],
    whole: Fraction,
) -> None:
    low, high = span
    if low > 0 and high < whole:
        add(lengthwise, Fraction(0), low)
    if low > 0 or high < whole:
        add(lengthwise, low, high)


def draw_measures(
    sheet: Sheet,
    at: At,
    measures: Iterable[Measure],
    *,
    beyond: float = 0.0,
    foot: At | None = None,
    first: float = 10.0,
    step: float = 10.0,
) -> None:
    """Draw measures beside a face: places along the grain beyond one edge, others beyond the datum end.

    `beyond` is the distance of that edge from the datum edge, 0 for the datum edge itself. `foot` says
    where its extension lines start, where that is not the rim of the face.
    """
    inward = 1.0 if beyond == 0.0 else -1.0
    toward_edge = direction_of(at, (0.0, inward), (0.0, 0.0))
    toward_end = direction_of(at, (1.0, 0.0), (0.0, 0.0))
    start_at = foot or at
    ordered = sorted(measures, key=lambda m: (not m.lengthwise, m.start > 0, m.stop))
    for measure in ordered:
        start, stop = float(measure.start), float(measure.stop)
        if measure.lengthwise:
            a, b, away = start_at(start, beyond), start_at(stop, beyond), toward_edge
        else:
            a, b, away = at(0.0, start), at(0.0, stop), toward_end
        outside = 1 if start else -1
        dimension(sheet, a, b, measure.text, away=away, first=first, step=step, outside=outside)


def direction_of(at: At, start: tuple[float, float], stop: tuple[float, float]) -> Point:
    """Return the direction on paper from one place of a face to another."""
    a, b = at(*start), at(*stop)
    return unit(b[0] - a[0], b[1] - a[1])


def datum_mark(sheet: Sheet, at: At, *, number: bool = True) -> None:
    """Fill the corner from which all places are measured, and write 0 beside it."""
    corner = at(0.0, 0.0)
    along_l, along_w = direction_of(at, (0.0, 0.0), (1.0, 0.0)), direction_of(at, (0.0, 0.0), (0.0, 1.0))
    legs = [(corner[0] + d[0] * DATUM_MARK, corner[1] + d[1] * DATUM_MARK) for d in (along_l, along_w)]
    sheet.area(Shade.INK, (corner, *legs))
    if not number:
        return
    out = (-along_l[0] - along_w[0], -along_l[1] - along_w[1])
    reach = hypot(*out)
    if reach < 1e-6:
        return
    away = (out[0] / reach, out[1] / reach)
    best = min(
        (
            Label(
                kind=LabelKind.MARK, text="0", height=SIZE_HEIGHT, bold=True,
                x=corner[0] + away[0] * far, y=corner[1] + away[1] * far,
            )
            for far in (4.2, 5.0, 6.0, 7.0)
        ),
        key=lambda label: sheet.box_cost(label.box),
    )  # fmt: skip
    sheet.label(best)
