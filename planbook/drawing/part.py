"""The drawing of one part: its show face, its cuts and edges enlarged, and the table of its holes."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.drawing.details import cut_names, detail_sheet, details_of
from planbook.drawing.dimension import dimension
from planbook.drawing.features import (
    across_from,
    chalk_line,
    cut_words,
    handedness,
    hands_of,
    in_face,
    is_through,
    on_show,
    opens_on_show,
    row_words,
    rows_of,
    runs_across,
)
from planbook.drawing.flat import Flat, draw_face, rim_of
from planbook.drawing.hole_table import MOST_WITHOUT, HoleLine, bored_words, draw_hole_table, hole_lines
from planbook.drawing.measures import Measure, datum_mark, direction_of, measures_of
from planbook.drawing.outline_places import eased_words, outline_measures, trim_angles
from planbook.drawing.picture import Label, LabelKind, Picture, Point, polygon
from planbook.drawing.placing import beside, place_grain, place_letter, place_near, place_word, word_label
from planbook.drawing.scale_marks import draw_scale_bar
from planbook.drawing.scales import Scale, scales_of
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import MARGIN, SIZE_HEIGHT, WIDTH, LineKind, Shade
from planbook.drawing.text import text_width
from planbook.drawing.wording import lettered, listed, sentence, size, spoken
from planbook.plan import drilling
from planbook.plan.drilling import Row, Side
from planbook.plan.model import CutKind, Hole, Part, Plan
from planbook.plan.shapes import Turned
from planbook.units.editions import Edition

if TYPE_CHECKING:
    from shapely import Polygon

SHORT_PART = 45.0
"""mm on paper: a shorter part stands with its grain up, where that fits at the same scale."""
BESIDE = 22.0
"""mm: what sizes and words take at least beside the face, in both directions."""
NEAR = 14.0
"""mm: the name of an edge or end stands no farther from it."""
HAIR = 0.01
"""mm on paper: what is no wider than this is rounding."""
NUMBER_HEIGHT = 3.0
"""Height of the number of a hole."""
BETWEEN, ABREAST = 7.0, 4.0
"""mm between the face, the details and the table, and between details side by side."""


def part_picture(plan: Plan, key: str, *, width: float = WIDTH, height: float = 216.0) -> Picture:
    """Return the drawing of a part at a standard scale; raises KeyError for an unknown part.

    A pair is shown as its left hand, and a part that is worked from its reverse alone is turned over. The
    picture states the face that is seen, the grain, and all sizes and places from the datum corner, each
    once: places on the face, widths and depths of cuts in enlarged sections, more than a few holes in a table.
    """
    part = plan.part(key)
    hand = hands_of(plan, part)[0]
    show = seen_from_show(part)
    turn = handedness(plan, part, hand) * (1 if show else -1)
    room = (width - 2 * MARGIN, height - 2 * MARGIN)
    # Holes in edges and ends have no place on the face to write their sizes at.
    tabled = len(part.holes) > MOST_WITHOUT or not all(in_face(hole) for hole in part.holes)
    lines = hole_lines(plan, part, show=show) if tabled else ()
    details = [detail_sheet(plan, part, one, thickness=not number) for number, one in enumerate(details_of(part))]
    best: tuple[float, Sheet, Scale] | None = None
    for upright, scale in _ways_to_lie(part, plan.edition, room):
        sheet = _face_sheet(plan, part, hand, Flat(scale.factor, upright, turn, show), lines)
        left, bottom, *_ = sheet.bounds
        draw_scale_bar(sheet, scale, plan.edition, (left + 1.0, bottom - 6.0))
        _below(sheet, details, room[0])
        if lines:
            left, bottom, right, _ = sheet.bounds
            middle = (left + right) / 2
            draw_hole_table(sheet, lines, part, middle=middle, top=bottom - BETWEEN, across=room[0])
        over = max(_wide(sheet) - room[0], 0.0) + max(_high(sheet) - room[1], 0.0)
        if best is None or over < best[0]:
            best = (over, sheet, scale)
        if over < HAIR:
            break
    assert best is not None
    _, sheet, scale = best
    return sheet.picture(
        title=f"Part {lettered(part, hand)}",
        alt=part_words(plan, part, hand),
        width=width,
        scale=scale.text,
    )


def seen_from_show(part: Part) -> bool:
    """Whether a part is drawn from its show face: not where all that is cut and bored is on the other."""
    on_face = [on_show(part, cut) for cut in part.cuts if not is_through(part, cut) and cut.kind is not CutKind.VOID]
    on_face += [opens_on_show(hole) for hole in part.holes if in_face(hole)]
    return any(on_face) or not on_face


def _face_name(part: Part, *, show: bool) -> str:
    return part.faces.show if show else part.faces.reverse


def _below(sheet: Sheet, details: Sequence[Sheet], across: float) -> None:
    """Set details below the face, in rows no wider than `across`."""
    left, bottom, right, _ = sheet.bounds
    middle, top = (left + right) / 2, bottom - BETWEEN
    rows: list[list[Sheet]] = [[]]
    for detail in details:
        if rows[-1] and sum(_wide(one) + ABREAST for one in rows[-1]) + _wide(detail) > across:
            rows.append([])
        rows[-1].append(detail)
    for row in rows if details else ():
        x = middle - (sum(_wide(one) for one in row) + ABREAST * (len(row) - 1)) / 2
        floor = top - max(_high(one) for one in row)
        for one in row:
            sheet.add(one, x - one.bounds[0], floor - one.bounds[1])
            x += _wide(one) + ABREAST
        top = floor - BETWEEN


def _wide(sheet: Sheet) -> float:
    return sheet.bounds[2] - sheet.bounds[0]


def _high(sheet: Sheet) -> float:
    return sheet.bounds[3] - sheet.bounds[1]


def _ways_to_lie(part: Part, edition: Edition, room: tuple[float, float]) -> list[tuple[bool, Scale]]:
    """Return whether the grain runs up, with a scale: the larger scale first, then a long part lying."""
    ways = []
    for scale in scales_of(edition):
        long, wide = float(part.length.final) * scale.factor, float(part.width.final) * scale.factor
        for upright in (long < SHORT_PART, long >= SHORT_PART):
            across, up = (wide, long) if upright else (long, wide)
            if across + BESIDE <= room[0] and up + BESIDE <= room[1]:
                ways.append((upright, scale))
    return ways or [(False, scales_of(edition)[-1])]


def _face_sheet(plan: Plan, part: Part, hand: str, flat: Flat, lines: Sequence[HoleLine]) -> Sheet:
    """Draw the face with its places and overall sizes, and what is written on it."""
    sheet = Sheet()
    long, wide = float(part.length.final), float(part.width.final)
    draw_face(sheet, flat, plan, part)
    _draw_rows(sheet, flat, part, lines)
    _draw_places(sheet, flat, part, plan.edition, rows=() if lines else rows_of(part))
    face = polygon(rim_of(flat, part))
    _name_cuts(sheet, flat, part, face)
    for row in () if lines else rows_of(part):
        target = flat.at(float(row.places[-1]), float(row.w))
        beside(sheet, word_label(bored_words(plan, row), target), target, region=face)
    _name_stations(sheet, flat, part, plan.edition, face)
    for text, spot in trim_angles(part):
        target = flat.at(*map(float, spot))
        beside(sheet, word_label(text, target), target, region=face)
    middle = flat.at(long / 2, wide / 2)
    letter = place_letter(sheet, part.letter, hand, face, middle)
    seen = _face_name(part, show=flat.show)
    place_word(sheet, seen, face, (letter.x, letter.y - 7.0))
    place_grain(sheet, face, direction_of(flat.at, (0, 0), (1, 0)), middle)
    for text, place in (
        (part.faces.datum_end, (0.06 * long, 0.6 * wide)),
        (across_from(part), (0.75 * long, float(chalk_line(part) or Fraction(3, 100) * part.width.final))),
    ):
        target = flat.at(*place)
        if place_word(sheet, text, face, target, within=NEAR) is None:
            beside(sheet, word_label(text, target), target, region=face)
    left, bottom, right, _ = sheet.bounds
    named = f"seen from the {seen}" if "face" in seen or not flat.show else f"seen from the {seen} face"
    if not details_of(part):
        named += f", {size(part.thick, plan.edition)} thick"
    eased = eased_words(part, plan.edition)
    if eased:
        sheet.label(word_label(eased, ((left + right) / 2, bottom - 10.5)))
    sheet.label(word_label(named, ((left + right) / 2, bottom - 5.0), kind=LabelKind.VIEW))
    return sheet


def part_words(plan: Plan, part: Part, hand: str) -> str:
    """Return the alternative text of a part's drawing."""
    edition = plan.edition
    cuts = dict.fromkeys(cut_words(part, cut, edition) for cut in part.cuts)
    rows = [row_words(part, row, edition) for row in drilling.rows_of(part)]
    return sentence(
        f"Drawing of part {lettered(part, hand)}, seen from the {_face_name(part, show=seen_from_show(part))}: "
        f"{spoken(part.length.final, edition)} long, {spoken(part.width.final, edition)} wide, "
        f"{spoken(part.thick, edition)} thick",
        f"It has {'; '.join([*cuts, *rows])}" if cuts or rows else "",
        _outline_words(part, edition),
        f"Places are measured from the {part.faces.datum_end} and the {across_from(part)}",
        "The other hand is its mirror image" if part.pair else "",
    )


def _outline_words(part: Part, edition: Edition) -> str:
    """Return where the corners of an outline lie, for an alternative text."""
    places = outline_measures(part, edition, show=seen_from_show(part))
    if not places:
        return ""
    along = listed(spoken(place.stop, edition) for place in places if place.lengthwise)
    across = listed(spoken(place.stop, edition) for place in places if not place.lengthwise)
    words = [f"{along} from the {part.faces.datum_end}"] if along else []
    words += [f"{across} from the {part.faces.datum_edge}"] if across else []
    angles = listed(dict.fromkeys(text for text, _ in trim_angles(part)))
    return f"Corners of its outline lie {' and '.join(words)}{', cut at ' + angles if angles else ''}"


def _draw_hole(sheet: Sheet, flat: Flat, hole: Hole, part: Part) -> None:
    from math import cos, pi, sin

    if not in_face(hole):
        _draw_from_edge(sheet, flat, hole, part)
        return
    x, y = flat.at(float(hole.l), float(hole.w))
    radius = max(float(hole.diameter) / 2 * flat.factor, 0.35)
    way = direction_of(flat.at, (0.0, 0.0), (hole.slot_way or (1.0, 0.0, 0.0))[:2])
    half = max(float(hole.slot - hole.diameter) / 2 * flat.factor, 0.0)

    def ring(size: float) -> list[Point]:
        found = []
        for k in range(24):
            across, up = cos(2 * pi * (k + 0.5) / 24), sin(2 * pi * (k + 0.5) / 24)
            end = half if across * way[0] + up * way[1] > 0 else -half
            found.append((x + size * across + end * way[0], y + size * up + end * way[1]))
        return found

    if radius < 0.6 and not half:
        sheet.area(Shade.INK, ring(radius))
        return
    through = hole.deep is None and hole.axis is None
    seen = through or hole.from_show is flat.show
    # Dashes as long as the hole would say nothing of its shape.
    plain = seen or radius < 1.0
    sheet.line(LineKind.EDGE if plain else LineKind.HIDDEN, *ring(radius), closed=True)
    if hole.counterbore is not None:
        kind = LineKind.EDGE if hole.from_show is flat.show else LineKind.HIDDEN
        sheet.line(kind, *ring(float(hole.counterbore[0]) / 2 * flat.factor), closed=True)
    arm, across = radius + 1.0, direction_of(flat.at, (0.0, 0.0), (0.0, 1.0))
    sheet.line(LineKind.CENTRE, (x - across[0] * arm, y - across[1] * arm), (x + across[0] * arm, y + across[1] * arm))


def _draw_from_edge(sheet: Sheet, flat: Flat, hole: Hole, part: Part) -> None:
    """Draw a hole in an edge or end as it lies below the face: its sides dashed, its axis on beyond the edge."""
    assert hole.axis is not None
    x, y, _ = hole.axis
    deep = (
        float(hole.deep) if hole.deep is not None else float(part.length.final if abs(x) > abs(y) else part.width.final)
    )
    half = max(float(hole.slot if _slot_seen(hole) else hole.diameter) / 2, 0.35 / flat.factor)
    a, b = (float(hole.l), float(hole.w)), (float(hole.l) + x * deep, float(hole.w) + y * deep)
    for side in (1.0, -1.0):
        (ax, ay), (bx, by) = ((px - y * half * side, py + x * half * side) for px, py in (a, b))
        sheet.line(LineKind.HIDDEN, flat.at(ax, ay), flat.at(bx, by))
    if hole.deep is not None:
        ends = [flat.at(b[0] - y * half * side, b[1] + x * half * side) for side in (1.0, -1.0)]
        sheet.line(LineKind.HIDDEN, *ends)
    (ex, ey), out = flat.at(*a), direction_of(flat.at, (0.0, 0.0), (x, y))
    end = flat.at(*b)
    sheet.line(LineKind.CENTRE, (ex - out[0] * 1.5, ey - out[1] * 1.5), (end[0] + out[0], end[1] + out[1]))


def _slot_seen(hole: Hole) -> bool:
    """Whether the length of a slot in an edge is seen from the face."""
    return hole.slot > hole.diameter and abs((hole.slot_way or (1.0, 0.0, 0.0))[2]) < 0.5


def _edge_spots(flat: Flat, part: Part, row: Row) -> tuple[Point, Point]:
    """Return where the first and the last hole of a row enter an edge or end, on paper."""
    long, wide = float(part.length.final), float(part.width.final)

    def spot(place: Fraction) -> Point:
        if row.side in (Side.DATUM_END, Side.FAR_END):
            return flat.at(0.0 if row.side is Side.DATUM_END else long, float(place))
        return flat.at(float(place), 0.0 if row.side is Side.DATUM_EDGE else wide)

    return spot(row.places[0]), spot(row.places[-1])


def _draw_rows(sheet: Sheet, flat: Flat, part: Part, lines: Sequence[HoleLine]) -> None:
    """Draw the holes, the centre line through each row, and where a table lists them the numbers at its ends."""
    for hole in part.holes:
        _draw_hole(sheet, flat, hole, part)
    along = direction_of(flat.at, (0.0, 0.0), (1.0, 0.0))
    ends = []
    for row in drilling.rows_of(part):
        if not row.side.wide:
            ends.append(_edge_spots(flat, part, row))
            continue
        reach = float(row.diameter) / 2 * flat.factor + 1.5
        (x1, y1), (x2, y2) = (flat.at(float(place), float(row.w)) for place in (row.places[0], row.places[-1]))
        a, b = (x1 - along[0] * reach, y1 - along[1] * reach), (x2 + along[0] * reach, y2 + along[1] * reach)
        sheet.line(LineKind.CENTRE, a, b)
        ends.append(((x1, y1), (x2, y2)))
    for line, (first, last) in zip(lines, ends, strict=False):
        for number, spot in ((line.first, first), (line.last, last))[: 1 if line.first == line.last else 2]:
            mark = Label(kind=LabelKind.MARK, text=str(number), height=NUMBER_HEIGHT, bold=True, x=0.0, y=0.0)
            place_near(sheet, mark, spot)


def _draw_places(sheet: Sheet, flat: Flat, part: Part, edition: Edition, *, rows: Sequence[Row]) -> None:
    """Draw where cuts and holes are, each on the side that is nearer to it, then the overall sizes outside."""
    long, wide = float(part.length.final), float(part.width.final)
    at = flat.at
    along, across = direction_of(at, (0, 0), (1, 0)), direction_of(at, (0, 0), (0, 1))
    back_along, back_across = (-along[0], -along[1]), (-across[0], -across[1])
    datum_mark(sheet, at, part)
    found = [
        *measures_of(part, part.cuts, rows, edition, widths=False),
        *_station_places(part, edition),
        *outline_measures(part, edition, show=flat.show),
    ]
    whole = (
        Measure(True, Fraction(0), part.length.final, size(part.length.final, edition), far=True),
        Measure(False, Fraction(0), part.width.final, size(part.width.final, edition), far=True),
    )
    for measure in (*sorted(found, key=lambda m: (not m.lengthwise, m.start > 0, m.stop)), *whole):
        start, stop = float(measure.start), float(measure.stop)
        if measure.lengthwise:
            rim = wide if measure.far else 0.0
            a, b, away = at(start, rim), at(stop, rim), across if measure.far else back_across
        else:
            rim = long if measure.far else 0.0
            a, b, away = at(rim, start), at(rim, stop), along if measure.far else back_along
        outside = 1 if start else -1
        # A number is wider than high: beside an upright rim its line stands farther off.
        half = text_width(measure.text, SIZE_HEIGHT) / 2 + 2.5 if abs(away[0]) > 0.5 else 0.0
        dimension(sheet, a, b, measure.text, away=away, first=max(8.0, half), step=8.5, outside=outside)


def _station_places(part: Part, edition: Edition) -> list[Measure]:
    """Return the places at which the section of a turned part changes, without its ends."""
    if not isinstance(part.shape, Turned):
        return []
    places = dict.fromkeys(station.at for station in part.shape.stations)
    return [Measure(True, Fraction(0), at, size(at, edition)) for at in places if 0 < at < part.length.final]


def _name_stations(sheet: Sheet, flat: Flat, part: Part, edition: Edition, face: Polygon) -> None:
    """Write the size and the section of a turned part at every place where it changes."""
    if not isinstance(part.shape, Turned):
        return
    found: dict[Fraction, dict[str, None]] = {}
    for station in part.shape.stations:
        section = f"{size(station.size, edition)} {station.profile.value}"
        found.setdefault(station.at, {})[section] = None
    for at, words in found.items():
        inside = min(max(at, part.length.final / 50), part.length.final * 49 / 50)
        target = flat.at(float(inside), float(part.width.final) / 2)
        beside(sheet, word_label(", ".join(words), target), target, region=face)


def _name_cuts(sheet: Sheet, flat: Flat, part: Part, face: Polygon) -> None:
    """Name each kind of cut, with a leader, as its detail is named."""
    for name, cut in cut_names(part):
        (l0, l1), (w0, w1) = (tuple(map(float, span)) for span in (cut.box.l, cut.box.w))
        share = (0.5, 0.5) if runs_across(part, cut) else (0.25, 0.5)
        target = flat.at(l0 + (l1 - l0) * share[0], w0 + (w1 - w0) * (0.82 if share[0] == 0.5 else 0.5))
        beside(sheet, word_label(name, target), target, region=None if runs_across(part, cut) else face)
