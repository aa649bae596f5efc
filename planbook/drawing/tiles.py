"""Full-size drawings cut up over sheets of paper: windows, register marks, check lengths and the map of tiles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import TYPE_CHECKING

from planbook.drawing.picture import Box, Label, LabelKind, Picture, Point
from planbook.drawing.placing import word_label
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LEAST_HEIGHT, WORD_HEIGHT, LineKind, Shade
from planbook.drawing.text import text_width
from planbook.units.editions import Edition
from planbook.units.factors import INCH

if TYPE_CHECKING:
    from shapely import Geometry

Spot = tuple[int, int]
"""Column from the left and row from the bottom of a tile, from 0."""
PAPERS = {"letter": (179.5, 230.0), "a4": (173.5, 248.0)}
"""Paper and the room on it, mm: US Letter 215.9 x 279.4 and ISO 216 A4 210 x 297, less margins and foot.

A little less than that: what does not fit would be made smaller on paper, and no longer be true."""
OVERLAP = 10.0
"""mm that two neighbouring tiles have in common."""
LEFT, RIGHT, BOTTOM, TOP = 12.0, 1.0, 19.0, 14.0
"""mm beside the window of a tile: for the upright check length, and for what is written."""
CROSS = 4.0
"""Half of a register mark, mm."""
MAP = 11.0
"""Greatest side of the map of tiles, mm."""


@dataclass(frozen=True, slots=True)
class Tiling:
    """A drawing of some size laid out over equal windows that overlap."""

    size: tuple[float, float]
    """Width and height of the drawing, mm."""
    paper: tuple[float, float]

    @property
    def window(self) -> tuple[float, float]:
        """Width and height of the part of the drawing that one tile shows."""
        return self.paper[0] - LEFT - RIGHT, self.paper[1] - BOTTOM - TOP

    @property
    def step(self) -> tuple[float, float]:
        """From a seam to the next; seams run through the middle of what two tiles share."""
        return self.window[0] - OVERLAP, self.window[1] - OVERLAP

    @property
    def counts(self) -> tuple[int, int]:
        """Tiles across and up."""
        columns, rows = (max(ceil(round(self.size[k] / self.step[k], 6)), 1) for k in (0, 1))
        return columns, rows

    def corner(self, column: int, row: int) -> Point:
        """Return the lower left corner of a tile's window in the drawing."""
        return column * self.step[0] - OVERLAP / 2, row * self.step[1] - OVERLAP / 2


def tiled(
    sheet: Sheet, *, paper: str, edition: Edition, title: str, told: str, alt: str, scale: str
) -> tuple[Picture, ...]:
    """Return the tiles of a full-size sheet, row by row from the top; raises KeyError for an unknown paper.

    `told` stands at the head of every tile. Each tile carries a check length in both directions; a tile
    without a line is left out.
    """
    left, bottom, right, top = sheet.bounds
    tiling = Tiling((right - left, top - bottom), PAPERS[paper])
    columns, rows = tiling.counts
    tiles: dict[tuple[int, int], Sheet] = {}
    for row in reversed(range(rows)):
        for column in range(columns):
            x, y = (start + by for start, by in zip((left, bottom), tiling.corner(column, row), strict=True))
            window = (x, y, x + tiling.window[0], y + tiling.window[1])
            tile = clipped(sheet, window, (LEFT - x, BOTTOM - y))
            if tile.strokes or tile.areas or tile.labels:
                tiles[column, row] = tile
    total = len(tiles)
    pictures = []
    for number, ((column, row), tile) in enumerate(tiles.items(), 1):
        _seams(tile, tiling, column, row)
        _head(tile, tiling, (column, row), tuple(tiles), f"{told}: tile {number} of {total}" if total > 1 else told)
        _check_lengths(tile, edition)
        where = f"Tile {number} of {total}, row {rows - row} from the top, column {column + 1} from the left"
        pictures.append(
            Picture(
                title=f"{title}, tile {number} of {total}" if total > 1 else title,
                alt=f"{alt} {where if total > 1 else 'One tile'}, with a check length of "
                f"{_check(edition)[1]} in both directions.",
                width=tiling.paper[0],
                height=tiling.paper[1],
                scale=scale,
                strokes=tuple(tile.strokes),
                areas=tuple(tile.areas),
                labels=tuple(tile.labels),
            )
        )
    return tuple(pictures)


def clipped(sheet: Sheet, window: Box, shift: Point = (0.0, 0.0)) -> Sheet:
    """Return what of a sheet lies in a window, moved by `shift`; labels only where they lie in it whole."""
    from shapely import LinearRing, LineString, Polygon, box

    found = Sheet()
    dx, dy = shift
    frame = box(*window)
    for stroke in sheet.strokes:
        line = (LinearRing if stroke.closed else LineString)(stroke.points)
        if frame.contains(line):
            found.line(stroke.kind, *_moved(stroke.points, dx, dy), closed=stroke.closed)
            continue
        for piece in _pieces(line.intersection(frame), "LineString"):
            found.line(stroke.kind, *_moved(piece.coords, dx, dy))
    for area in sheet.areas:
        for piece in _pieces(Polygon(area.outer, area.holes).intersection(frame), "Polygon"):
            holes = [_moved(ring.coords[:-1], dx, dy) for ring in piece.interiors]
            found.area(area.shade, _moved(piece.exterior.coords[:-1], dx, dy), holes)
    for label in sheet.labels:
        if frame.contains(box(*label.box)):
            found.label(replace(label, x=label.x + dx, y=label.y + dy))
    return found


def _pieces(found: Geometry, wanted: str) -> list[Geometry]:
    return [piece for piece in getattr(found, "geoms", [found]) if piece.geom_type == wanted and not piece.is_empty]


def _moved(points: Sequence[Point], dx: float, dy: float) -> list[Point]:
    return [(x + dx, y + dy) for x, y in points]


def _seams(tile: Sheet, tiling: Tiling, column: int, row: int) -> None:
    """Draw the seams with a register mark at each end and in the middle: the neighbour has the same marks."""
    wide, high = tiling.window
    columns, rows = tiling.counts
    xs = [LEFT + OVERLAP / 2] * (column > 0) + [LEFT + wide - OVERLAP / 2] * (column < columns - 1)
    ys = [BOTTOM + OVERLAP / 2] * (row > 0) + [BOTTOM + high - OVERLAP / 2] * (row < rows - 1)
    low_x, high_x = LEFT + OVERLAP / 2, LEFT + wide - OVERLAP / 2
    low_y, high_y = BOTTOM + OVERLAP / 2, BOTTOM + high - OVERLAP / 2
    marks: dict[Point, None] = {}
    for x in xs:
        tile.line(LineKind.HIDDEN, (x, low_y), (x, high_y))
        marks |= dict.fromkeys((x, y) for y in (low_y, (low_y + high_y) / 2, high_y))
    for y in ys:
        tile.line(LineKind.HIDDEN, (low_x, y), (high_x, y))
        marks |= dict.fromkeys((x, y) for x in (low_x, (low_x + high_x) / 2, high_x))
    for x, y in marks:
        tile.line(LineKind.LEADER, (x - CROSS, y), (x + CROSS, y))
        tile.line(LineKind.LEADER, (x, y - CROSS), (x, y + CROSS))


def _head(tile: Sheet, tiling: Tiling, here: Spot, kept: Sequence[Spot], text: str) -> None:
    """Write what the tile is, and draw the map of all tiles with this one toned."""
    wide, high = tiling.paper
    tile.label(word_label(text, (1.0 + text_width(text, WORD_HEIGHT) / 2, high - 5.0)))
    columns, rows = tiling.counts
    if len(kept) == 1:
        return
    side = min(MAP / rows, 3.0 * MAP / columns, MAP / 2)
    left, bottom = wide - 1.0 - side * columns, high - 1.0 - side * rows
    for column, row in kept:
        ring = [(left + side * (column + a), bottom + side * (row + b)) for a, b in ((0, 0), (1, 0), (1, 1), (0, 1))]
        if (column, row) == here:
            tile.area(Shade.INK, ring)
        tile.line(LineKind.DIMENSION, *ring, closed=True)


def _check(edition: Edition) -> tuple[float, str, float]:
    """Return the check length in mm, its name in words, and its smallest mark in mm."""
    return (152.4, "6 in", 25.4) if edition.unit_mm == INCH else (140.0, "140 mm", 10.0)


def _check_lengths(tile: Sheet, edition: Edition) -> None:
    """Draw a ruler along the foot and one up the left side, and say what they are for."""
    length, name, mark = _check(edition)
    for across in (True, False):
        start = (LEFT, 12.0) if across else (6.0, BOTTOM)

        def at(along: float, aside: float, start: Point = start, across: bool = across) -> Point:
            return (start[0] + along, start[1] + aside) if across else (start[0] + aside, start[1] + along)

        tile.line(LineKind.DIMENSION, at(0.0, 0.0), at(length, 0.0))
        steps = round(length / mark)
        for number in range(steps + 1):
            end = number in (0, steps)
            tile.line(LineKind.STROKE if end else LineKind.DIMENSION, at(mark * number, -2.4 if end else 0.0),
                      at(mark * number, 2.4 if end else 1.6))  # fmt: skip
    across_at = LEFT + length + 3.0 + text_width(name, WORD_HEIGHT) / 2
    tile.label(Label(kind=LabelKind.SIZE, text=name, x=across_at, y=12.0, height=WORD_HEIGHT))
    # The strip beside the window is narrow: the number stands over its unit.
    for line, word in enumerate(reversed(name.split(" "))):
        x, y = text_width(word, LEAST_HEIGHT) / 2 + 0.5, BOTTOM + length + 5.0 + 4.0 * line
        tile.label(Label(kind=LabelKind.SIZE, text=word, x=x, y=y, height=LEAST_HEIGHT))
    sentence = f"Measure both before you drill or cut: each rule must be {name} long."
    tile.label(word_label(sentence, (LEFT + text_width(sentence, WORD_HEIGHT) / 2, 4.5)))
