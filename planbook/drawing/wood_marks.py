"""What a maker writes on the wood before it moves: the face mark, and the triangle over a pair.

The face mark is a loop on the working face whose tail runs to the edge that everything is squared from; a
triangle over boards that belong together shows at a glance which is which and which end is up (common
practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians, sin
from typing import TYPE_CHECKING

import numpy as np

from planbook.drawing.features import across_from, chalk_line
from planbook.drawing.measures import datum_mark, direction_of
from planbook.drawing.picture import distance, polygon
from planbook.drawing.placing import beside, place_word, word_label
from planbook.drawing.style import LineKind

if TYPE_CHECKING:
    from shapely import Polygon

    from planbook.drawing.measures import At
    from planbook.drawing.picture import Point
    from planbook.drawing.sheet import Sheet
    from planbook.plan.model import Part, Placement

LOOP, TAIL = 2.3, 6.5
"""Radius of the loop of a face mark, and how far its middle stands from the edge, mm on paper."""
SHARES = (0.3, 0.2, 0.4, 0.7, 0.8, 0.12, 0.88, 0.55)
"""Places along a part at which a face mark is tried."""
SIDE = 0.38
"""How much of the width of each board a triangle takes at its base."""
BASE, APEX = 0.52, 0.84
"""Where along a board the base and the apex of a triangle stand: it points to the far end."""


def face_mark(sheet: Sheet, at: At, long: float, wide: float) -> None:
    """Draw the face mark on a face of that size at the place along the datum edge where it covers least.

    A face too small for it is left as it is.
    """
    if distance(at(0.0, 0.0), at(0.0, wide)) < 2 * TAIL or distance(at(0.0, 0.0), at(long, 0.0)) < 6 * LOOP:
        return
    along, across = direction_of(at, (0.0, 0.0), (1.0, 0.0)), direction_of(at, (0.0, 0.0), (0.0, 1.0))

    def curve(share: float) -> list[Point]:
        x, y = at(long * share, 0.0)
        turns = [radians(angle) for angle in range(150, -201, -15)]
        spots = [(LOOP * cos(turn), TAIL + LOOP * sin(turn)) for turn in turns]
        spots += [(LOOP * 0.2, TAIL * 0.45), (0.0, 0.0)]
        return [(x + a * along[0] + b * across[0], y + a * along[1] + b * across[1]) for a, b in spots]

    tried = [curve(share) for share in SHARES]
    boxes = np.array(
        [
            (min(x for x, _ in spots), min(y for _, y in spots), max(x for x, _ in spots), max(y for _, y in spots))
            for spots in tried
        ]
    )
    # The tail touches the edge at any place: only what else is covered counts.
    costs = np.round(sheet.box_costs(boxes, pad=0.4), 6)
    sheet.line(LineKind.STROKE, *tried[int(np.argmin(costs))])


def triangle(sheet: Sheet, near: At, far: At, size: tuple[float, float], boundaries: tuple[float, float]) -> None:
    """Draw a triangle over two boards that lie edge to edge, its apex toward their far ends.

    `size` is length and width of each; `boundaries` are the places across each at which they meet.
    """
    long, wide = size
    for at, edge in zip((near, far), boundaries, strict=True):
        inner = edge + (SIDE * wide if edge == 0.0 else -SIDE * wide)
        _strokes(sheet, at, ((long * BASE, edge), (long * BASE, inner), (long * APEX, edge)))


def _strokes(sheet: Sheet, at: At, places: Sequence[tuple[float, float]]) -> None:
    sheet.line(LineKind.STROKE, *(at(*place) for place in places))


def mark_boards(
    sheet: Sheet, wood: Polygon, part: Part, lying: Sequence[Placement], faces: Sequence[At], *, mark: bool
) -> None:
    """Draw the datum corner of parts that lie on the bench, whose outline on paper is `wood`, and name its sides.

    With `mark` the show face is up: then it gets its mark, and a pair the triangle.
    """
    long, wide = float(part.length.final), float(part.width.final)
    for at in faces:
        datum_mark(sheet, at, part, number=False)
        if mark:
            face_mark(sheet, at, long, wide)
    if mark and len(lying) == 2:
        # The boards lie one behind the other: they meet at the back of the first and the front of the second.
        first, second = (
            wide if (place.axes[1] == "+y") is front else 0.0 for place, front in zip(lying, (True, False), strict=True)
        )
        triangle(sheet, faces[0], faces[1], (long, wide), (first, second))
    at = faces[-1]
    end = at(0.06 * long, 0.5 * wide)
    if (
        place_word(
            sheet,
            part.faces.datum_end,
            polygon([at(0.0, 0.0), at(long, 0.0), at(long, wide), at(0.0, wide)]),
            end,
            within=12.0,
        )
        is None
    ):
        beside(sheet, word_label(part.faces.datum_end, end), end, region=wood)
    edge = at(0.85 * long, float(chalk_line(part) or 0.02 * wide))
    beside(sheet, word_label(across_from(part), edge), edge, region=wood)
