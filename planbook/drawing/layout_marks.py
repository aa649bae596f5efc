"""Where the figures of numbered cuts stand: on the cut itself, clear of lettering and of each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planbook.cutting.diagram import Mark
from planbook.cutting.problem import Way
from planbook.drawing.picture import Point
from planbook.drawing.text import text_width

Box = tuple[float, float, float, float]

_HEIGHT = 3.0
_SMALL = 2.4
_SIDE = 0.9
"""mm of ink beside the figure."""
_FULL = 0.9
"""Share of the longest rip from which a rip is one through the whole sheet."""
_OUTSIDE = 10.5
"""mm from the left edge of the sheet to the outer end of a figure beside it."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A white number on black."""

    text: str
    box: Box
    height: float
    leader: tuple[Point, Point] | None = None


def figures(marks: Sequence[Mark], lines: Sequence[Box], taken: list[Box]) -> list[Figure]:
    """Return the figures of marks whose kerfs are `lines` on paper; `taken` grows by what they cover.

    A rip through the whole sheet has its figure beside the left edge, a crosscut its own at the lower end of the
    cut; where that is taken, at the next place along the cut that is free, or beside it, or the least bad one.
    """
    found = []
    edge = min((line[0] for line in lines), default=0.0)
    longest = max((line[2] - line[0] for line in lines), default=0.0)
    for mark, line in zip(marks, lines, strict=True):
        outside = mark.way is Way.RIP and line[0] == edge and line[2] - line[0] > _FULL * longest
        choices = [
            (_cost(figure.box, taken) + 0.02 * rank, rank, figure)
            for rank, figure in enumerate(_places(str(mark.number), mark, line, outside=outside))
        ]
        best = min(choices, key=lambda choice: choice[:2])[2]
        taken.append(best.box)
        found.append(best)
    return found


def _places(text: str, mark: Mark, line: Box, *, outside: bool) -> list[Figure]:
    left, bottom, right, top = line
    x, y = (left + right) / 2, (bottom + top) / 2
    places = []
    for height in (_HEIGHT, _SMALL):
        wide = max(text_width(text, height, bold=True), height * 0.8) / 2 + _SIDE
        high = height / 2 + _SIDE
        if outside:
            for shift in (0.0, high, -high, 2 * high, -2 * high):
                middle = (left - _OUTSIDE + wide, y + shift)
                box = (middle[0] - wide, middle[1] - high, middle[0] + wide, middle[1] + high)
                places.append(Figure(text, box, height, ((box[2], middle[1]), (left, y))))
        steps = [number / 10 for number in range(11)]
        for step in steps:
            if mark.way is Way.RIP:
                run = max(right - left - 2 * wide, 0.0)
                middle = (right - wide - run * step, y)
            else:
                run = max(top - bottom - 2 * high, 0.0)
                middle = (x, bottom + high + run * step)
            box = (middle[0] - wide, middle[1] - high, middle[0] + wide, middle[1] + high)
            places.append(Figure(text, box, height))
        places += [_beside(figure, mark, side) for figure in places[-len(steps) :] for side in (-1, 1)]
    return places


def _beside(figure: Figure, mark: Mark, side: int) -> Figure:
    """Return the figure moved off its cut so that it only touches it: below or left of it for -1."""
    left, bottom, right, top = figure.box
    across, up = (0.0, side * (top - bottom) / 2) if mark.way is Way.RIP else (side * (right - left) / 2, 0.0)
    return Figure(figure.text, (left + across, bottom + up, right + across, top + up), figure.height)


def _cost(box: Box, taken: Sequence[Box]) -> float:
    """Return mm2 of a box that others cover, with a hair of paper between."""
    total = 0.0
    for other in taken:
        across = min(box[2], other[2] + 0.3) - max(box[0], other[0] - 0.3)
        up = min(box[3], other[3] + 0.3) - max(box[1], other[1] - 0.3)
        if across > 0 and up > 0:
            total += across * up
    return total
