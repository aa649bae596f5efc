"""Full-size templates of a part, and the story stick with every place along it."""

from __future__ import annotations

from math import ceil, cos, pi, sin
from typing import TYPE_CHECKING

from planbook.drawing.features import handedness, hands_of, opens_on_show, rows_of
from planbook.drawing.flat import Flat, draw_face
from planbook.drawing.measures import datum_mark
from planbook.drawing.picture import Label, LabelKind, Picture
from planbook.drawing.placing import letter_label, place_near, word_label
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import SIZE_HEIGHT, WORD_HEIGHT, LineKind
from planbook.drawing.text import text_width
from planbook.drawing.tiles import OVERLAP, PAPERS, Tiling, tiled
from planbook.drawing.wording import lettered, listed, sentence, size, spoken
from planbook.units.factors import INCH

if TYPE_CHECKING:
    from fractions import Fraction

    from planbook.plan.model import Part, Plan

SIDES = 72
"""Corners of a circle at full size: it strays from the true one by less than 1/1000 of its radius."""
STICK = 24.0
"""Width of a story stick, mm."""
STICK_GAP = 4.0
BEYOND = 8.0
"""mm of stick beyond the far end of the part, where its size is written."""


def template_pages(plan: Plan, key: str, *, paper: str) -> tuple[Picture, ...]:
    """Return a part at full size, tiled over `letter` or `a4`; raises KeyError for an unknown part or paper.

    The show face is seen, with its cuts, its holes with numbers and crosses at their centres, and the
    black datum corner; a pair is shown as its left hand. The grain runs so that fewer tiles are needed.
    """
    part = plan.part(key)
    hand = hands_of(plan, part)[0]
    turn = handedness(plan, part, hand)
    long, wide = float(part.length.final), float(part.width.final)
    tiles = {
        upright: Tiling((wide, long) if upright else (long, wide), PAPERS[paper]).counts for upright in (False, True)
    }
    upright = tiles[True][0] * tiles[True][1] < tiles[False][0] * tiles[False][1]
    flat = Flat(1.0, upright, turn)
    sheet = Sheet()
    draw_face(sheet, flat, plan, part)
    _bore(sheet, flat, part)
    datum_mark(sheet, flat.at, number=False)
    sheet.label(letter_label(part.letter, hand, flat.at(min(long / 2, 40.0), min(wide / 2, 40.0))))
    name = lettered(part, hand)
    said = [f"{spoken(part.length.final, plan.edition)} by {spoken(part.width.final, plan.edition)}"]
    if part.holes:
        said.append(f"{len(part.holes)} holes")
    turned = f". For {lettered(part, hands_of(plan, part)[1])} lay the paper on its face" if part.pair else ""
    return tiled(
        sheet,
        paper=paper,
        edition=plan.edition,
        title=f"Template of {name}",
        told=f"{name}, {part.faces.show}",
        alt=sentence(f"Full-size template of {name}, seen from the {part.faces.show}: {listed(said)}{turned}"),
        scale=_full_size(plan),
    )


def _full_size(plan: Plan) -> str:
    return "full size" if plan.edition.unit_mm == INCH else "1 : 1"


def _bore(sheet: Sheet, flat: Flat, part: Part) -> None:
    """Draw every hole with a cross through its centre, and number it as the table of holes does."""
    number = 0
    for row in rows_of(part.holes):
        for place in row.places:
            number += 1
            x, y = flat.at(float(place), float(row.w))
            radius = float(row.diameter) / 2
            ring = [(x + radius * cos(2 * pi * k / SIDES), y + radius * sin(2 * pi * k / SIDES)) for k in range(SIDES)]
            seen = all(opens_on_show(hole) for hole in part.holes if hole.group == row.group and hole.w == row.w)
            sheet.line(LineKind.EDGE if seen else LineKind.HIDDEN, *ring, closed=True)
            arm = radius + 3.0
            sheet.line(LineKind.LEADER, (x - arm, y), (x + arm, y))
            sheet.line(LineKind.LEADER, (x, y - arm), (x, y + arm))
            mark = Label(kind=LabelKind.MARK, text=str(number), height=WORD_HEIGHT, bold=True, x=0.0, y=0.0)
            place_near(sheet, mark, (x, y), beyond=radius)


def stick_places(part: Part) -> tuple[tuple[Fraction, str], ...]:
    """Return every place along a part, from its datum end: ends, sides of cuts across it, centres of holes."""
    found: dict[Fraction, str] = {}
    for cut in part.cuts:
        for place in cut.box.l:
            if 0 < place < part.length.final:
                found.setdefault(place, cut.kind.value)
    for row in rows_of(part.holes):
        for place in row.places:
            found.setdefault(place, "hole")
    found.setdefault(part.length.final, part.faces.far_end)
    return tuple(sorted(found.items()))


def story_stick(plan: Plan, key: str, *, paper: str) -> tuple[Picture, ...]:
    """Return a strip at full size with every place along a part, cut into lengths that stand side by side.

    The lengths are cut out and joined at their seams: each repeats the last bit of the one before.
    """
    part = plan.part(key)
    across, up = Tiling((STICK, STICK), PAPERS[paper]).step
    step = up - OVERLAP
    lengths = ceil((float(part.length.final) + BEYOND - OVERLAP) / step)
    columns = int((across + STICK_GAP) // (STICK + STICK_GAP))
    name = lettered(part)
    places = stick_places(part)
    told = listed(f"{spoken(place, plan.edition)} {what}" for place, what in places)
    pages: list[Picture] = []
    for first in range(0, lengths, columns):
        some = range(first, min(first + columns, lengths))
        sheet = Sheet()
        for column, number in enumerate(some):
            _draw_length(sheet, plan, part, step, number, (STICK + STICK_GAP) * column)
        pages += tiled(
            sheet,
            paper=paper,
            edition=plan.edition,
            title=f"Story stick of {name}",
            told=f"story stick of {name}, from the {part.faces.datum_end}",
            alt=sentence(f"Full-size story stick of {name}, from the {part.faces.datum_end}: {told}"),
            scale=_full_size(plan),
        )
    return tuple(pages)


def _draw_length(sheet: Sheet, plan: Plan, part: Part, step: float, number: int, x: float) -> None:
    """Draw one length of a stick: its rim, and a tick with its size at every place in it."""
    start, stop = step * number, min(step * (number + 1) + OVERLAP, float(part.length.final) + BEYOND)
    sheet.line(LineKind.EDGE, (x, 0.0), (x + STICK, 0.0), (x + STICK, stop - start), (x, stop - start), closed=True)
    last = 0.0
    if number == 0:
        sheet.label(word_label(part.faces.datum_end, (x + STICK / 2, 3.0)))
        last = 3.0
    for place, _ in stick_places(part):
        y = float(place) - start
        if not 0.0 <= y <= stop - start:
            continue
        text = size(place, plan.edition)
        room = y - last > SIZE_HEIGHT + 1.5 and 3.0 < y < stop - start - 3.0
        sheet.line(LineKind.STROKE, (x, y), (x + (5.0 if room else STICK), y))
        if room:
            half = text_width(text, SIZE_HEIGHT) / 2
            sheet.label(Label(kind=LabelKind.SIZE, text=text, x=x + 6.5 + half, y=y, height=SIZE_HEIGHT))
            last = y
