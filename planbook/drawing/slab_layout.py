"""The drawing of a slab as it is cut: natural edges, chalk line, marks, lettered parts, numbered cuts.

It reads the same in black and white: waste is hatched, marks are drawn and named, cuts are heavy lines with white
figures on black. Between two stations of a survey the edge is drawn as a smooth curve.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import cos, pi, sin
from typing import TYPE_CHECKING

from planbook.cutting.diagram import Mark, Place
from planbook.cutting.problem import Way
from planbook.cutting.slab_cuts import SlabCut
from planbook.cutting.slab_places import Ground, Laid
from planbook.cutting.slab_problem import Natural, SlabMark, Spot
from planbook.cutting.slabs import SlabLayout, SlabPart
from planbook.drawing.hatching import hatch_lines
from planbook.drawing.layout_marks import Box, figures
from planbook.drawing.picture import Label, LabelKind, Picture, Point
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LEAST_HEIGHT, SIZE_HEIGHT, WORD_HEIGHT, LineKind, Shade
from planbook.drawing.text import text_width
from planbook.drawing.wording import listed, sentence
from planbook.plan import curves
from planbook.units.editions import Edition
from planbook.units.write import plain_length, write_length

if TYPE_CHECKING:
    from shapely import Geometry

PAPER_WIDTH = {"imperial": 180.0, "metric": 174.0}
HIGHEST = 110.0
_SIDE = 12.0
"""mm at the left, for the figures of long rips."""
_LETTER_HEIGHTS = (5.0, 4.0, 3.0)
_GAP = 1.6
_THIN_KERF = 0.5
"""mm on paper under which a kerf is one heavy line."""
_BELOW = 8.0
_OPEN = ("crack", "bark pocket", "void", "hole", "rot")
"""Marks without sound wood: they are drawn filled."""


def slab_picture(
    layout: SlabLayout,
    edition: Edition,
    *,
    material: str,
    letters: Mapping[str, str] | None = None,
    width: float | None = None,
    highest: float = HIGHEST,
) -> Picture:
    """Return the drawing of a slab; `letters` are written for the keys of parts, and the keys where there are none."""
    across = width or PAPER_WIDTH[edition.name]
    drawing = _Drawing(layout, edition, letters or {}, across, highest)
    drawing.draw()
    return drawing.sheet.picture(
        title=f"Cutting the slab of {material}",
        alt=_alt(layout, edition, material, letters or {}),
        width=across,
    )


class _Drawing:
    """One slab on paper, its front edge below."""

    def __init__(
        self, layout: SlabLayout, edition: Edition, letters: Mapping[str, str], width: float, highest: float
    ) -> None:
        self.sheet = Sheet()
        self._layout, self._edition, self._letters = layout, edition, letters
        self._ground = Ground(layout.slab)
        ground = self._ground
        self._factor = min(
            (width - _SIDE - 14.0) / (ground.right - ground.left), (highest - _BELOW) / (ground.back - ground.front)
        )
        self._taken: list[Box] = []

    def _at(self, spot: Spot) -> Point:
        return (spot[0] - self._ground.left) * self._factor, spot[1] * self._factor

    def _box(self, box: tuple[float, float, float, float]) -> Box:
        (left, bottom), (right, top) = self._at(box[:2]), self._at(box[2:])
        return left, bottom, right, top

    def draw(self) -> None:
        """Draw everything: waste first, lettering last but for the figures of the cuts."""
        from shapely import Polygon, unary_union

        edge = self._edge()
        whole = Polygon(edge)
        whole = whole if whole.is_valid else whole.buffer(0)
        parts = unary_union([self._area(part.laid, whole) for part in self._layout.parts])
        rests = unary_union([Polygon(_corners(self._box(rest.box))) for rest in self._layout.rests])
        self._hatch(whole.difference(unary_union([parts, rests]).buffer(0.01)))
        self.sheet.line(LineKind.NEW_OUTLINE, *edge, closed=True)
        lines = [self._kerf(cut, whole) for cut in self._layout.cuts]
        for part in self._layout.parts:
            if part.laid.piece.outline:
                self.sheet.line(LineKind.OUTLINE, *map(self._at, part.laid.shape), closed=True)
        for mark in self._layout.slab.marks:
            self._mark(mark)
        self._chalk_line()
        marks = [Mark(cut.number, cut.way, _NOWHERE, edge=False) for cut in self._layout.cuts]
        for figure in figures(marks, lines, self._taken):
            self.sheet.area(Shade.INK, _corners(figure.box))
            if figure.leader is not None:
                self.sheet.line(LineKind.LEADER, *figure.leader)
            left, bottom, right, top = figure.box
            middle = ((left + right) / 2, (bottom + top) / 2)
            self._write(LabelKind.MARK, figure.text, middle, figure.height, bold=True, on_ink=True)
        for mark in self._layout.slab.marks:
            self._name(mark)
        for part in self._layout.parts:
            self._letter(part)
        for rest in self._layout.rests:
            self._rest(rest.box)
        self._words()

    def _edge(self) -> tuple[Point, ...]:
        """Return the outline on paper: smooth along both long edges where these run from end to end."""
        low, high = self._ground.edges(self._ground.left, self._ground.right)
        if low is None or high is None:
            return tuple(map(self._at, self._layout.slab.outline))
        ring: list[Point] = []
        for chain in (low, high[::-1]):
            spots = [self._at(spot) for spot in chain]
            ring += [spots[0], *(curves.through(spots) if len(spots) > 2 else spots[1:])]
        return tuple(ring)

    def _area(self, laid: Laid, whole: Geometry) -> Geometry:
        from shapely import Polygon, box, intersection

        if laid.piece.outline:
            return Polygon([self._at(spot) for spot in laid.shape])
        left, bottom, right, top = self._box(laid.box)
        far = 10 * (top - bottom)
        low = bottom - far if laid.natural in (Natural.FRONT, Natural.BOTH) else bottom
        high = top + far if laid.natural in (Natural.BACK, Natural.BOTH) else top
        return intersection(whole, box(left, low, right, high))

    def _hatch(self, waste: Geometry) -> None:
        for piece in getattr(waste, "geoms", [waste]):
            if piece.geom_type == "Polygon" and piece.area > 1.0:
                for a, b in hatch_lines(piece.exterior.coords, [hole.coords for hole in piece.interiors]):
                    self.sheet.line(LineKind.HATCH, a, b)

    def _kerf(self, cut: SlabCut, whole: Geometry) -> Box:
        """Draw the way of the blade over what lies on the bench; returns its box on paper."""
        from shapely import LineString

        kerf = self._layout.slab.kerf
        middle = cut.at + (kerf / 2 if cut.kerf_after else -kerf / 2)
        left, front, right, back = cut.within
        ends = ((middle, front), (middle, back)) if cut.way is Way.CROSSCUT else ((left, middle), (right, middle))
        line = LineString([self._at(end) for end in ends])
        found = line.intersection(whole)
        if found.is_empty or found.length < _GAP:
            # The blade takes a sliver off the edge: nothing to draw, but its figure has to be found.
            left, bottom, right, top = line.bounds
            return left, bottom, right, top
        x0, y0, x1, y1 = found.bounds
        half = kerf * self._factor / 2
        if 2 * half >= _THIN_KERF:
            wide = (half, 0.0) if cut.way is Way.CROSSCUT else (0.0, half)
            self.sheet.area(Shade.INK, _corners((x0 - wide[0], y0 - wide[1], x1 + wide[0], y1 + wide[1])))
        else:
            self.sheet.line(LineKind.OUTLINE, (x0, y0), (x1, y1))
        return x0, y0, x1, y1

    def _mark(self, mark: SlabMark) -> None:
        spots = [self._at(spot) for spot in mark.outline]
        if mark.kind.endswith("knot") and len(spots) == 4:
            spots = _ellipse(self._box(mark.box))
        self._taken.append(self._box(mark.box))
        if any(kind in mark.kind for kind in _OPEN):
            self.sheet.area(Shade.TONE, spots)
        self.sheet.line(LineKind.EDGE if mark.spoils else LineKind.HIDDEN, *spots, closed=True)
        if mark.kind.endswith("knot"):
            middle = (sum(x for x, _ in spots) / len(spots), sum(y for _, y in spots) / len(spots))
            for share in (0.66, 0.33):
                inner = [(middle[0] + (x - middle[0]) * share, middle[1] + (y - middle[1]) * share) for x, y in spots]
                self.sheet.line(LineKind.EDGE, *inner, closed=True)

    def _chalk_line(self) -> None:
        left, right = self._at((self._ground.left, 0.0))[0], self._at((self._ground.right, 0.0))[0]
        self.sheet.line(LineKind.CENTRE, (left - 3.0, 0.0), (right + 3.0, 0.0))

    def _letter(self, part: SlabPart) -> None:
        piece = part.laid.piece
        letter = self._letters.get(piece.key, piece.key)
        box = self._box(part.laid.box)
        for height in _LETTER_HEIGHTS:
            for figure in (SIZE_HEIGHT, WORD_HEIGHT, LEAST_HEIGHT):
                if self._lettered(box, letter, self._size(part.laid), height, figure):
                    return
        self._lettered(box, letter, "", _LETTER_HEIGHTS[-1], LEAST_HEIGHT, force=True)

    def _lettered(self, box: Box, letter: str, size: str, height: float, figure: float, *, force: bool = False) -> bool:
        """Write letter and size at the calmest place of a box, one over the other or side by side."""
        wide, size_wide = text_width(letter, height, bold=True), text_width(size, figure)
        gap = 0.62 * figure + 1.2
        stacked = (max(wide, size_wide), height + (gap + figure if size else 0.0))
        beside = (wide + (2.4 + size_wide if size else 0.0), max(height, figure))
        for across, up in (stacked, beside):
            place = self._calm(box, across, up, force=force)
            if place is None:
                continue
            x, y = place
            if (across, up) == stacked:
                self._write(LabelKind.MARK, letter, (x, y + (up - height) / 2), height, bold=True)
                if size:
                    self._write(LabelKind.SIZE, size, (x, y - (up - figure) / 2), figure)
            else:
                self._write(LabelKind.MARK, letter, (x - (across - wide) / 2, y), height, bold=True)
                self._write(LabelKind.SIZE, size, (x + (across - size_wide) / 2, y), figure)
            return True
        return False

    def _calm(self, box: Box, across: float, up: float, *, force: bool = False) -> Point | None:
        """Return the middle of the place in a box that lies on the least, nearest to its middle; None without room."""
        import numpy as np

        left, bottom, right, top = box
        room = (right - left - across - 2.0, top - bottom - up - 2.0)
        if min(room) < 0 and not force:
            return None
        middle = ((left + right) / 2, (bottom + top) / 2)
        shifts = [-0.5, -0.375, -0.25, -0.125, 0.0, 0.125, 0.25, 0.375, 0.5]
        spots = [(middle[0] + a * max(room[0], 0.0), middle[1] + b * max(room[1], 0.0)) for a in shifts for b in shifts]
        boxes = np.array([(x - across / 2, y - up / 2, x + across / 2, y + up / 2) for x, y in spots])
        costs = self.sheet.box_costs(boxes, pad=0.6)
        far = np.array([abs(x - middle[0]) + abs(y - middle[1]) for x, y in spots])
        best = int(np.argmin(costs + 0.05 * far))
        return spots[best] if force or costs[best] < _TOO_MUCH else None

    def _name(self, mark: SlabMark) -> None:
        """Write the name of a mark on it or beside it."""
        import numpy as np

        left, bottom, right, top = self._box(mark.box)
        wide = text_width(mark.name, LEAST_HEIGHT)
        x, y, high = (left + right) / 2, (bottom + top) / 2, LEAST_HEIGHT
        spots = [(x, top + 0.6 * high + 1.2), (x, bottom - 0.6 * high - 1.2)]
        spots += [(right + wide / 2 + 1.4, y), (left - wide / 2 - 1.4, y)]
        for gap in (1.4, 4.0):  # beside it at a slant, near and further off
            sides, ends = (left - wide / 2 - gap, right + wide / 2 + gap), (top + high, bottom - high)
            spots += [(a, b) for a in sides for b in ends]
        spots += [(a, y + b) for a in (left - wide / 2 + 1, right + wide / 2 - 1) for b in (2 * high, -2 * high)]
        if wide + 1.5 < right - left and high + 2.4 < top - bottom:
            spots.insert(0, (x, y))
        boxes = np.array([(a - wide / 2, b - high * 0.8, a + wide / 2, b + high / 2) for a, b in spots])
        costs = self.sheet.box_costs(boxes, pad=0.4) + np.arange(len(spots)) * 0.5
        self._write(LabelKind.WORD, mark.name, spots[int(np.argmin(costs))], high)

    def _rest(self, box: tuple[float, float, float, float]) -> None:
        size = f"{self._written(box[2] - box[0])} × {self._written(box[3] - box[1])}"
        for lines in ((f"keep: {size}",), ("keep", size), ("keep",)):
            wide = max(text_width(line, WORD_HEIGHT) for line in lines)
            up = len(lines) * WORD_HEIGHT + (len(lines) - 1) * 2.6
            place = self._calm(self._box(box), wide, up)
            if place is not None:
                for number, line in enumerate(lines):
                    down = number * (WORD_HEIGHT + 2.6)
                    self._write(
                        LabelKind.WORD, line, (place[0], place[1] + up / 2 - WORD_HEIGHT / 2 - down), WORD_HEIGHT
                    )
                return

    def _words(self) -> None:
        ground = self._ground
        right = self._at((ground.right, 0.0))[0]
        y = self.sheet.bounds[1] - _BELOW + 3.0
        kerf = write_length(_exact(self._layout.slab.kerf), self._edition)
        text = f"kerf {kerf}"
        self._write(LabelKind.WORD, text, (right - text_width(text, WORD_HEIGHT) / 2, y), WORD_HEIGHT)
        for number, line in enumerate(("chalk", "line")):
            place = (right + 4.0 + text_width(line, LEAST_HEIGHT) / 2, 2.2 - 4.4 * number)
            self._write(LabelKind.WORD, line, place, LEAST_HEIGHT)
        wide = text_width("left end", WORD_HEIGHT)
        self._write(LabelKind.WORD, "left end", (wide / 2, y), WORD_HEIGHT)
        text = "front edge below"
        self._write(LabelKind.WORD, text, (right / 2, y), WORD_HEIGHT)

    def _size(self, laid: Laid) -> str:
        piece = laid.piece
        if laid.natural is Natural.BOTH:
            return self._written(piece.length)
        return f"{self._written(piece.length)} × {self._written(piece.width)}"

    def _written(self, mm: float) -> str:
        return write_length(_exact(mm), self._edition, mark=False)

    def _write(
        self, kind: LabelKind, text: str, at: Point, height: float, *, bold: bool = False, on_ink: bool = False
    ) -> None:
        label = Label(kind=kind, text=text, x=at[0], y=at[1], height=height, bold=bold, on_ink=on_ink)
        self._taken.append(self.sheet.label(label).box)


_TOO_MUCH = 100.0
"""Cost from which a place is no place for lettering: on an edge of the wood or on other lettering."""
_NOWHERE = Place(Fraction(0), Fraction(0), Fraction(0), Fraction(0))


def _corners(box: Box) -> tuple[Point, Point, Point, Point]:
    left, bottom, right, top = box
    return (left, bottom), (right, bottom), (right, top), (left, top)


def _ellipse(box: Box) -> list[Point]:
    """Return a round shape in a box, as knots are."""
    left, bottom, right, top = box
    turns = [2 * pi * number / 24 for number in range(24)]
    middle = ((left + right) / 2, (bottom + top) / 2)
    return [(middle[0] + (right - left) / 2 * cos(t), middle[1] + (top - bottom) / 2 * sin(t)) for t in turns]


def _exact(mm: float) -> Fraction:
    return Fraction(mm).limit_denominator(10**4)


def _alt(layout: SlabLayout, edition: Edition, material: str, letters: Mapping[str, str]) -> str:
    ground = Ground(layout.slab)
    edges = {
        Natural.BOTH: "both edges natural",
        Natural.FRONT: "front edge natural",
        Natural.BACK: "back edge natural",
    }

    def size(mm: float) -> str:
        return plain_length(_exact(mm), edition)

    def told(part: SlabPart) -> str:
        laid = part.laid
        width = "" if laid.natural is Natural.BOTH else f" by {size(laid.piece.width)}"
        held = [name for name, whole in part.holds if whole]
        return ", ".join(
            filter(
                None,
                (
                    f"{letters.get(laid.piece.key, laid.piece.key)}, {size(laid.piece.length)}{width}",
                    edges.get(laid.natural, ""),
                    f"with {listed(held)} on it" if held else "",
                    f"from {size(laid.box[0] - ground.left)} on",
                ),
            )
        )

    return sentence(
        f"A slab of {material}, {size(ground.right - ground.left)} long, cut into {'; '.join(map(told, layout.parts))}",
        f"{len(layout.cuts)} numbered straight cuts",
        f"Marks: {listed(mark.name for mark in layout.slab.marks)}" if layout.slab.marks else "",
    )
