"""The one style of all drawings: kinds of line with their widths, sizes of lettering, distances.

All measures are millimetres on paper. Line widths keep the ratio 2 : 1 of wide and narrow lines
(ISO 128-2:2020, groups 0.5/0.25); the new part of a step is one step wider so that it still stands
out after photocopying, when its tone is gone.
"""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple


class LineKind(StrEnum):
    """What a line means; each meaning has one look. Listed in the order of painting."""

    HATCH = "hatch"
    GRID = "grid"
    EDGE = "edge"
    HIDDEN = "hidden"
    CENTRE = "centre"
    DIMENSION = "dimension"
    LEADER = "leader"
    STROKE = "stroke"
    """The 45-degree stroke at the end of a dimension."""
    GRAIN = "grain"
    MOTION = "motion"
    MOTION_HEAD = "motion head"
    OUTLINE = "outline"
    NEW_OUTLINE = "new outline"


class LineStyle(NamedTuple):
    """Width and dash pattern of a kind of line, in mm."""

    width: float
    dashes: tuple[float, ...] = ()
    """Lengths of marks and gaps in turn; empty is continuous. A mark of 0 is a round dot."""


LINES: dict[LineKind, LineStyle] = {
    LineKind.HATCH: LineStyle(0.18),
    LineKind.GRID: LineStyle(0.2),
    LineKind.EDGE: LineStyle(0.25),
    LineKind.HIDDEN: LineStyle(0.25, (2.2, 1.1)),
    LineKind.CENTRE: LineStyle(0.2, (5.0, 1.0, 0.6, 1.0)),
    LineKind.DIMENSION: LineStyle(0.25),
    LineKind.LEADER: LineStyle(0.25),
    LineKind.STROKE: LineStyle(0.5),
    LineKind.GRAIN: LineStyle(0.35),
    LineKind.MOTION: LineStyle(0.45, (0.0, 1.5)),
    LineKind.MOTION_HEAD: LineStyle(0.5),
    LineKind.OUTLINE: LineStyle(0.5),
    LineKind.NEW_OUTLINE: LineStyle(0.65),
}

SOLID_KINDS = (LineKind.EDGE, LineKind.OUTLINE, LineKind.NEW_OUTLINE)
"""Lines that show the wood itself: no size or word may cross one."""


class Shade(StrEnum):
    """How an area is filled."""

    TONE = "tone"
    """The part that is new, or cut, in this step."""
    INK = "ink"
    PAPER = "paper"


SIZE_HEIGHT = 3.5
"""Height of capitals and digits of sizes (ISO 3098 series 2.5, 3.5, 5); read at arm's length."""
WORD_HEIGHT = 3.0
LEAST_HEIGHT = 2.4
LETTER_HEIGHT = 3.5
CIRCLE_DIAMETER = 7.0
CIRCLE_LINE = 0.35
STACK = 10.0
"""Distance of a dimension line from the outline, and from the next one."""
EXTENSION_GAP = 1.5
EXTENSION_OVERSHOOT = 2.0
STROKE_LENGTH = 3.4
HEAD_LENGTH = 3.6
DATUM_MARK = 3.5
"""Legs of the filled corner at the datum."""
LEADER_DOT = 1.2
"""Diameter of the dot with which a leader ends on a surface."""
WIDTH = 174.0
"""Width of a picture that takes the whole of a page, mm: what A4 has between its margins, and Letter too."""
MARGIN = 1.0
"""Least blank border of a picture, so that no line is cut in half."""
