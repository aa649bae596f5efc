"""The story stick: one strip at full size with every place along a part, ticked from its datum end."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from planbook.drawing.features import hands_of
from planbook.drawing.picture import Label, LabelKind, Picture
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LEAST_HEIGHT, SIZE_HEIGHT, LineKind
from planbook.drawing.text import text_width
from planbook.drawing.tiles import OVERLAP, PAPERS, Tiling, tiled
from planbook.drawing.wording import lettered, listed, sentence, size, spoken
from planbook.plan.drilling import Side, side_of
from planbook.plan.model import Plan
from planbook.plan.shapes import Turned
from planbook.units.factors import INCH

if TYPE_CHECKING:
    from planbook.plan.model import Part
    from planbook.plan.templates import Template
    from planbook.units.editions import Edition

STICK = 32.0
"""Least width of a strip, mm."""
STICK_GAP = 4.0
TICK = 5.0
BEFORE, BETWEEN = 6.5, 2.0
"""mm: from the rim to a size, and from there to what is there."""
BEYOND = 8.0
"""mm of stick beyond the far end of the part, where its size is written."""
LEAST_ABOVE = 2.8
"""Least distance of the middle of what is written from a seam or a rim, mm."""
LINE = 5.0
"""mm: two ticks nearer than this share a line of writing."""


@dataclass(frozen=True, slots=True)
class Place:
    """A tick: how far from the datum end, and what is there."""

    at: Fraction
    what: str


def stick_places(plan: Plan, template: Template, *, aloud: bool = False) -> tuple[Place, ...]:
    """Return every place along a part, from its datum end: cuts, holes, changes of section, the far end.

    Of a turned part the section stands beside each place, of others the kind of cut; `aloud` as it is read out.
    """
    part = plan.part(template.part)
    found: dict[Fraction, dict[str, None]] = {}
    for at, what in _marks(plan, part, template, spoken if aloud else size):
        if 0 <= at <= part.length.final:
            found.setdefault(at, {})[what] = None
    for at, end in ((Fraction(0), part.faces.datum_end), (part.length.final, part.faces.far_end)):
        found[at] = {end: None, **found.get(at, {})}
    return tuple(Place(at, ", ".join(found[at])) for at in sorted(found))


def _marks(
    plan: Plan, part: Part, template: Template, written: Callable[[Fraction, Edition], str]
) -> Iterator[tuple[Fraction, str]]:
    """Give each place with what is there, in no order; the ends of the part carry no cut."""
    if isinstance(part.shape, Turned):
        for station in part.shape.stations:
            yield station.at, f"{written(station.size, plan.edition)} {station.profile.value}"
    for cut in part.cuts:
        if cut.name in template.cuts:
            yield from ((at, cut.kind.value) for at in cut.box.l if 0 < at < part.length.final)
    for hole in part.holes:
        if hole.group in template.holes and side_of(hole) not in (Side.DATUM_END, Side.FAR_END):
            yield hole.l, "hole"


def story_stick(plan: Plan, template: Template, *, paper: str) -> tuple[Picture, ...]:
    """Return a strip at full size, cut into lengths that stand side by side; raises KeyError for an unknown paper.

    The lengths are cut out and joined at their seams: each repeats the last bit of the one before.
    """
    part = plan.part(template.part)
    places = stick_places(plan, template)
    wide = _width(plan, places)
    across, up = Tiling((wide, wide), PAPERS[paper]).step
    step = up - OVERLAP
    lengths = ceil((float(part.length.final) + BEYOND - OVERLAP) / step)
    columns = int((across + STICK_GAP) // (wide + STICK_GAP))
    name = lettered(part, hands_of(plan, part)[0])
    told = listed(
        f"{spoken(place.at, plan.edition)} {place.what}" for place in stick_places(plan, template, aloud=True)
    )
    pages: list[Picture] = []
    for first in range(0, lengths, columns):
        some = range(first, min(first + columns, lengths))
        sheet = Sheet()
        for column, number in enumerate(some):
            strip = _Strip(sheet, plan, part, places, step, number, (wide + STICK_GAP) * column, wide)
            strip.draw(last=number == lengths - 1)
        pages += tiled(
            sheet,
            paper=paper,
            edition=plan.edition,
            title=f"Story stick {template.name}",
            told=f"{template.name}: {name}, from the {part.faces.datum_end} up",
            alt=sentence(f"Full-size story stick of {name}, from the {part.faces.datum_end}: {told}"),
            scale="full size" if plan.edition.unit_mm == INCH else "1 : 1",
        )
    return tuple(pages)


def _width(plan: Plan, places: Sequence[Place]) -> float:
    """Return how wide a strip is, so that everything can be written on it."""
    written = (
        text_width(size(place.at, plan.edition), SIZE_HEIGHT) + text_width(place.what, LEAST_HEIGHT) for place in places
    )
    return max(STICK, BEFORE + BETWEEN + 1.5 + max(written))


@dataclass(frozen=True, slots=True)
class _Strip:
    """One length of a stick: its rim, and a tick with its size at every place in it."""

    sheet: Sheet
    plan: Plan
    part: Part
    places: tuple[Place, ...]
    step: float
    number: int
    x: float
    wide: float

    @property
    def start(self) -> float:
        """How far from the datum end it begins, mm."""
        return self.step * self.number

    def draw(self, *, last: bool) -> None:
        """Draw it: what it repeats of the one before lies below its seam."""
        stop = min(self.start + self.step + OVERLAP, float(self.part.length.final) + BEYOND)
        high, right = stop - self.start, self.x + self.wide
        self.sheet.line(LineKind.EDGE, (self.x, 0.0), (right, 0.0), (right, high), (self.x, high), closed=True)
        for seam, here in ((OVERLAP / 2, self.number > 0), (self.step + OVERLAP / 2, not last)):
            if here:
                self.sheet.line(LineKind.HIDDEN, (self.x, seam), (right, seam))
                for x in (self.x + 0.25 * self.wide, self.x + 0.75 * self.wide):
                    self.sheet.line(LineKind.LEADER, (x, seam - 3.0), (x, seam + 3.0))
        kept = (OVERLAP / 2 if self.number > 0 else 0.0, high if last else self.step + OVERLAP / 2)
        self._write(kept)

    def _write(self, kept: tuple[float, float]) -> None:
        """Draw the ticks, and write beside those that are left when the strip is cut at its seams."""
        low, high = kept
        free = low + LEAST_ABOVE
        for place in self.places:
            y = float(place.at) - self.start
            if not low - OVERLAP / 2 <= y <= high + OVERLAP / 2:
                continue
            middle = min(max(y, low + LEAST_ABOVE), high - LEAST_ABOVE)
            room = low <= y < high and middle >= free
            self.sheet.line(LineKind.STROKE, (self.x, y), (self.x + (TICK if room else self.wide), y))
            if room:
                text = size(place.at, self.plan.edition)
                right = self._text(text, LabelKind.SIZE, SIZE_HEIGHT, self.x + BEFORE, middle)
                self._text(place.what, LabelKind.WORD, LEAST_HEIGHT, right + BETWEEN, middle)
                free = middle + LINE

    def _text(self, text: str, kind: LabelKind, height: float, left: float, y: float) -> float:
        """Write from a left end on, and return the right end."""
        wide = text_width(text, height)
        self.sheet.label(Label(kind=kind, text=text, x=left + wide / 2, y=y, height=height))
        return left + wide
