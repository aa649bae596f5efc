"""The drawing of one way to cut a sheet: pieces with letter and size, numbered cuts, waste hatched, rests to keep.

It reads the same in black and white: what is waste is told by hatching, what is cut by heavy lines, and in
which order by white figures on black.
"""

from __future__ import annotations

from fractions import Fraction

from planbook.cutting.diagram import Diagram, Lying, Mark, Place, Rest, Spoiled
from planbook.cutting.problem import Way
from planbook.drawing.hatching import hatch_lines
from planbook.drawing.layout_marks import Box, Figure, figures
from planbook.drawing.picture import Label, LabelKind, Picture, Point
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LEAST_HEIGHT, SIZE_HEIGHT, WORD_HEIGHT, LineKind, Shade
from planbook.drawing.text import text_width
from planbook.drawing.wording import listed, sentence
from planbook.units.editions import Edition
from planbook.units.write import plain_length, write_length

PAPER_WIDTH = {"imperial": 180.0, "metric": 174.0}
HIGHEST = 118.0
_GUTTER = 13.0
"""mm at the left, where the figures of rips stand."""
_RIGHT = 5.0
_LETTER_HEIGHTS = (5.0, 4.0, 3.0)
_CLEAR = 0.9
"""mm between lettering and lines."""
_THIN_KERF = 0.5
"""mm on paper under which a kerf is one heavy line."""
_THIN_WASTE = 0.9
_BELOW = 8.0
"""mm from the sheet to the line of words under it."""


def layout_picture(
    diagram: Diagram,
    edition: Edition,
    *,
    of: int,
    material: str,
    grain: bool = True,
    width: float | None = None,
    highest: float = HIGHEST,
) -> Picture:
    """Return the drawing of a diagram, one of `of` for its stock; `material` is written on what is kept."""
    drawing = _Drawing(diagram, edition, width or PAPER_WIDTH[edition.name], highest)
    drawing.draw(material=material, grain=grain)
    return drawing.sheet.picture(
        title=f"Cutting {material}, diagram {diagram.number} of {of}",
        alt=_alt(diagram, edition, material),
        width=width or PAPER_WIDTH[edition.name],
    )


class _Drawing:
    """One sheet on paper: the first strip at the top, the trimmed edge above it."""

    def __init__(self, diagram: Diagram, edition: Edition, width: float, highest: float) -> None:
        self.sheet = Sheet()
        self._diagram, self._edition = diagram, edition
        room = width - _GUTTER - _RIGHT
        self._factor = min(room / float(diagram.length), (highest - _BELOW - 8) / float(diagram.width))
        self._taken: list[Box] = []

    def draw(self, *, material: str, grain: bool) -> None:
        """Draw everything, lettering before figures so that these find what room is left."""
        diagram = self._diagram
        for edge in diagram.trimmed:
            self._hatch(edge)
        for rest in diagram.rests:
            if not rest.keep:
                self._hatch(rest.at)
        whole = Place(Fraction(0), Fraction(0), diagram.length, diagram.width)
        self.sheet.line(LineKind.NEW_OUTLINE, *_corners(self._box(whole)), closed=True)
        for spoiled in diagram.spoiled:
            self._spoiled(spoiled)
        for mark in diagram.marks:
            self._kerf(mark)
        for lying in diagram.lying:
            self._piece(lying)
        for rest in diagram.rests:
            if rest.keep:
                self._kept(rest, material)
        for figure in figures(diagram.marks, [self._box(mark.at) for mark in diagram.marks], self._taken):
            self._figure(figure)
        self._words(grain)

    def _box(self, place: Place) -> Box:
        """Return left, bottom, right, top on paper: the width of the sheet runs down from its trimmed edge."""
        left, top = float(place.x) * self._factor, -float(place.y) * self._factor
        return left, top - float(place.width) * self._factor, left + float(place.length) * self._factor, top

    def _hatch(self, place: Place) -> None:
        left, bottom, right, top = self._box(place)
        if min(right - left, top - bottom) > _THIN_WASTE:
            for a, b in hatch_lines(_corners((left, bottom, right, top))):
                self.sheet.line(LineKind.HATCH, a, b)

    def _spoiled(self, spoiled: Spoiled) -> None:
        """Cross out what no piece may have, and name it where there is room."""
        left, bottom, right, top = self._box(spoiled.at)
        self.sheet.area(Shade.PAPER, _corners((left, bottom, right, top)))
        self.sheet.area(Shade.TONE, _corners((left, bottom, right, top)))
        self.sheet.line(LineKind.EDGE, *_corners((left, bottom, right, top)), closed=True)
        self.sheet.line(LineKind.EDGE, (left, bottom), (right, top))
        self.sheet.line(LineKind.EDGE, (left, top), (right, bottom))

    def _kerf(self, mark: Mark) -> None:
        left, bottom, right, top = self._box(mark.at)
        if float(self._diagram.kerf) * self._factor >= _THIN_KERF:
            self.sheet.area(Shade.INK, _corners((left, bottom, right, top)))
            return
        middle_x, middle_y = (left + right) / 2, (bottom + top) / 2
        if mark.way is Way.RIP:
            self.sheet.line(LineKind.OUTLINE, (left, middle_y), (right, middle_y))
        else:
            self.sheet.line(LineKind.OUTLINE, (middle_x, bottom), (middle_x, top))

    def _piece(self, lying: Lying) -> None:
        size = self._size(lying.wanted.length, lying.wanted.width)
        for height in _LETTER_HEIGHTS:
            if self._lettered(self._box(lying.at), lying.wanted.key, size, height):
                return
        left, bottom, right, top = self._box(lying.at)
        self._write(LabelKind.MARK, lying.wanted.key, ((left + right) / 2, (bottom + top) / 2), LEAST_HEIGHT, bold=True)

    def _lettered(self, box: Box, letter: str, size: str, height: float) -> bool:
        """Write letter and size into a box, one over the other or side by side; tell whether they fit.

        The letter alone, from 3 mm on, is better than nothing: the size stands in the list.
        """
        left, bottom, right, top = box
        wide, high = right - left - 2 * _CLEAR, top - bottom - 2 * _CLEAR
        x, y = (left + right) / 2, (bottom + top) / 2
        letter_wide = text_width(letter, height, bold=True)
        for figure in (SIZE_HEIGHT, WORD_HEIGHT, LEAST_HEIGHT):
            size_wide = text_width(size, figure)
            gap = 0.62 * figure + 1.2
            stacked = height + gap + figure
            if max(letter_wide, size_wide) <= wide and stacked <= high:
                self._write(LabelKind.MARK, letter, (x, y + (stacked - height) / 2), height, bold=True)
                self._write(LabelKind.SIZE, size, (x, y - (stacked - figure) / 2), figure)
                return True
            line = letter_wide + 2.4 + size_wide
            if line <= wide and height <= high:
                self._write(LabelKind.MARK, letter, (x - (line - letter_wide) / 2, y), height, bold=True)
                self._write(LabelKind.SIZE, size, (x + (line - size_wide) / 2, y), figure)
                return True
        if height == _LETTER_HEIGHTS[-1] and letter_wide <= wide and height <= high:
            self._write(LabelKind.MARK, letter, (x, y), height, bold=True)
            return True
        return False

    def _kept(self, rest: Rest, material: str) -> None:
        left, bottom, right, top = self._box(rest.at)
        wide, high = right - left - 2 * _CLEAR, top - bottom - 2 * _CLEAR
        x, y = (left + right) / 2, (bottom + top) / 2
        size = self._size(rest.at.length, rest.at.width)
        remark = f"write “{material}” on it"
        for lines in ((f"keep: {size}", remark), (f"keep: {size}",), ("keep:", size), (size,)):
            heights = [SIZE_HEIGHT if number == 0 else WORD_HEIGHT for number in range(len(lines))]
            fits = all(text_width(line, height) <= wide for line, height in zip(lines, heights, strict=True))
            if fits and sum(heights) + 2.6 * (len(lines) - 1) <= high - 1.2:
                for number, (line, height) in enumerate(zip(lines, heights, strict=True)):
                    down = (number - (len(lines) - 1) / 2) * (SIZE_HEIGHT + 2.6)
                    self._write(LabelKind.WORD, line, (x, y - down), height)
                return

    def _figure(self, figure: Figure) -> None:
        self.sheet.area(Shade.INK, _corners(figure.box))
        if figure.leader is not None:
            self.sheet.line(LineKind.LEADER, *figure.leader)
        left, bottom, right, top = figure.box
        self._write(
            LabelKind.MARK, figure.text, ((left + right) / 2, (bottom + top) / 2), figure.height, bold=True, on_ink=True
        )

    def _words(self, grain: bool) -> None:
        """Write under the sheet: which way the grain of the face runs, how large the sheet is, how wide the blade."""
        diagram = self._diagram
        right = float(diagram.length) * self._factor
        y = min(self.sheet.bounds[1], -float(diagram.width) * self._factor) - _BELOW + 2
        size = self._size(diagram.length, diagram.width)
        kerf = write_length(diagram.kerf, self._edition)
        text = f"{_kind(diagram)} {size}, kerf {kerf}"
        wide, start, arm = text_width("face grain", WORD_HEIGHT), 2.0, 14.0
        written = text_width(text, WORD_HEIGHT)
        with_grain = grain and not diagram.stick
        # Where both do not go side by side the size stands on a line of its own.
        down = WORD_HEIGHT + 2.6 if with_grain and start + 2 * arm + wide + 8 + written > right else 0.0
        self._write(LabelKind.WORD, text, (max(right - written / 2, written / 2), y - down), WORD_HEIGHT)
        if not with_grain:
            return
        first, second = start + arm + 2, start + arm + 2 + wide + 2
        self._write(LabelKind.WORD, "face grain", (first + wide / 2, y), WORD_HEIGHT)
        for tip, tail in ((start, first - 2), (second + arm, second)):
            back = 2.6 if tip < tail else -2.6
            self.sheet.line(LineKind.GRAIN, (tip, y), (tail, y))
            self.sheet.line(LineKind.GRAIN, (tip + back, y + 1.2), (tip, y), (tip + back, y - 1.2))

    def _size(self, length: Fraction, width: Fraction) -> str:
        long, wide = (write_length(side, self._edition, mark=False) for side in (length, width))
        if self._diagram.stick:
            return long
        return f"{long} × {wide}"

    def _write(
        self, kind: LabelKind, text: str, at: Point, height: float, *, bold: bool = False, on_ink: bool = False
    ) -> None:
        label = Label(kind=kind, text=text, x=at[0], y=at[1], height=height, bold=bold, on_ink=on_ink)
        self._taken.append(self.sheet.label(label).box)


def _corners(box: Box) -> tuple[Point, Point, Point, Point]:
    left, bottom, right, top = box
    return (left, bottom), (right, bottom), (right, top), (left, top)


def _alt(diagram: Diagram, edition: Edition, material: str) -> str:
    def size(length: Fraction, width: Fraction) -> str:
        long = plain_length(length, edition)
        return long if diagram.stick else f"{long} by {plain_length(width, edition)}"

    pieces = []
    for key in diagram.letters():
        wanted = next(lying.wanted for lying in diagram.lying if lying.wanted.key == key)
        count = diagram.count(key)
        times = f"{count} pieces " if count > 1 else ""
        pieces.append(f"{times}{key}, {wanted.name}, {size(wanted.length, wanted.width)}")
    kept = [size(rest.at.length, rest.at.width) for rest in diagram.rests if rest.keep]
    kind = _kind(diagram)
    whole = size(diagram.length, diagram.width)
    return sentence(
        f"A {kind} of {material}, {whole}, cut into {'; '.join(pieces)}",
        f"{len(diagram.marks)} numbered cuts, each from edge to edge of what is cut",
        f"Cut out: {listed(spoiled.kind for spoiled in diagram.spoiled)}" if diagram.spoiled else "",
        f"To keep: {listed(kept)}" if kept else "",
    )


def _kind(diagram: Diagram) -> str:
    if diagram.board:
        return "board"
    return "stick" if diagram.stick else "sheet"
