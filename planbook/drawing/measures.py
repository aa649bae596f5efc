"""Which sizes a drawing of a part carries: each place and each size once, all from the datum.

Places along the grain start at the datum end, places across it at the datum edge. A cut that runs
out at an end or edge needs no place: its own width says it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from math import atan2, cos, sin

import numpy as np

from planbook.drawing.dimension import dimension, unit
from planbook.drawing.features import chalk_line, is_through, runs_across
from planbook.drawing.picture import Label, LabelKind, Point
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import DATUM_MARK, SIZE_HEIGHT, LineKind, Shade
from planbook.drawing.wording import size
from planbook.plan.drilling import Row
from planbook.plan.model import Cut, CutKind, Part
from planbook.units.editions import Edition, snap

At = Callable[[float, float], Point]
"""Where a place of a part's face (from the datum end, from the datum edge) lies on paper."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One size to be written: from and to, along the length or across it."""

    lengthwise: bool
    start: Fraction
    stop: Fraction
    text: str
    far: bool = False
    """Whether what it measures lies in the far half of the part, seen across the measure."""


def measures_of(
    part: Part, cuts: Iterable[Cut], rows: Iterable[Row], edition: Edition, *, widths: bool = True
) -> tuple[Measure, ...]:
    """Return the sizes and places of cuts and rows of holes, without the overall sizes.

    Without `widths` the width of a channel is left out, where a detail shows it; what goes right through
    has no detail and keeps its own.
    """
    found: dict[tuple[bool, Fraction, Fraction], Measure] = {}
    line = chalk_line(part)
    far = {True: False, False: False}

    def add(lengthwise: bool, start: Fraction, stop: Fraction, text: str = "") -> None:
        if stop > start:
            key = (lengthwise, start, stop)
            found.setdefault(key, Measure(*key, text or size(stop - start, edition), far[lengthwise]))

    def from_line(w: Fraction) -> None:
        """Add a place across, from the datum edge or from the chalk line; what lies on that has none."""
        base = line or Fraction(0)
        if snap(abs(w - base), edition):
            add(False, min(base, w), max(base, w))

    for cut in cuts:
        both = cut.kind is CutKind.NOTCH
        across = runs_across(part, cut)
        far = {True: 2 * cut.box.w[0] >= part.width.final, False: 2 * cut.box.l[0] >= part.length.final}
        for lengthwise in (True, False):
            span, whole = (cut.box.l, part.length.final) if lengthwise else (cut.box.w, part.width.final)
            if not lengthwise and line is not None:
                for edge in span:
                    from_line(edge)
            elif both or across is lengthwise:
                _add_cut(add, lengthwise, span, whole, width=widths or both or is_through(part, cut))
            else:
                _add_ends(add, lengthwise, span, whole)
    far = {True: False, False: False}
    _add_rows(add, from_line, rows, edition)
    return tuple(found.values())


def _add_rows(
    add: Callable[..., None], from_line: Callable[[Fraction], None], rows: Iterable[Row], edition: Edition
) -> None:
    """Add where rows of holes stand, and how they are spaced."""
    for row in rows:
        from_line(row.w)
        add(True, Fraction(0), row.places[0])
        spaces = len(row.places) - 1
        if spaces > 1 and row.every is not None:
            add(True, row.places[0], row.places[-1], f"{spaces} \u00d7 {size(row.every, edition)}")
        elif spaces > 1 and row.evenly(edition.resolution):
            across_all = size(row.places[-1] - row.places[0], edition)
            add(True, row.places[0], row.places[-1], f"{spaces} equal in {across_all}")
        else:
            for place in row.places[1:]:
                add(True, Fraction(0), place)


def _add_cut(
    add: Callable[[bool, Fraction, Fraction], None],
    lengthwise: bool,
    span: tuple[Fraction, Fraction],
    whole: Fraction,
    *,
    width: bool,
) -> None:
    low, high = span
    if low > 0 and high < whole:
        add(lengthwise, Fraction(0), low)
    if width and (low > 0 or high < whole):
        add(lengthwise, low, high)


def _add_ends(
    add: Callable[[bool, Fraction, Fraction], None],
    lengthwise: bool,
    span: tuple[Fraction, Fraction],
    whole: Fraction,
) -> None:
    """Add where a cut stops short of the ends of the part."""
    low, high = span
    add(lengthwise, Fraction(0), low)
    if high < whole:
        add(lengthwise, Fraction(0), high)


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


def datum_mark(sheet: Sheet, at: At, part: Part, *, number: bool = True) -> None:
    """Fill the corner from which all places of a part are measured, and write 0 beside it.

    A part with natural edges has its chalk line drawn, and the corner where that begins.
    """
    line = chalk_line(part)
    if line is not None:
        sheet.line(LineKind.CENTRE, at(0.0, float(line)), at(float(part.length.final), float(line)))
    corner = at(0.0, float(line or 0))
    along_l, along_w = direction_of(at, (0.0, 0.0), (1.0, 0.0)), direction_of(at, (0.0, 0.0), (0.0, 1.0))
    legs = [(corner[0] + d[0] * DATUM_MARK, corner[1] + d[1] * DATUM_MARK) for d in (along_l, along_w)]
    sheet.area(Shade.INK, (corner, *legs))
    if not number:
        return
    # Outside the corner first, then ever farther round it.
    start = atan2(-along_l[1] - along_w[1], -along_l[0] - along_w[0])
    places = [
        (corner[0] + far * cos(start + turn), corner[1] + far * sin(start + turn))
        for far in (4.2, 5.0, 6.0, 7.5, 9.0)
        for turn in (0.0, 0.5, -0.5, 1.0, -1.0, 1.5, -1.5)
    ]
    zero = Label(kind=LabelKind.MARK, text="0", height=SIZE_HEIGHT, bold=True, x=0.0, y=0.0)
    x, y = places[int(sheet.label_costs(zero, np.array(places)).argmin())]
    sheet.label(replace(zero, x=x, y=y))
