"""Pictures of parts as they lie on the bench: being cut, bored, edged or varnished."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from math import hypot
from typing import TYPE_CHECKING

from planbook.drawing.features import (
    cut_words,
    hands_of,
    in_face,
    is_through,
    on_show,
    placements_of,
    row_words,
    rows_of,
)
from planbook.drawing.fit import Cell, fitted_together
from planbook.drawing.measures import At, Measure, datum_mark, direction_of, draw_measures, measures_of
from planbook.drawing.outline_places import shaped_measures
from planbook.drawing.pictorial import Item, Scaled, to_space
from planbook.drawing.picture import Picture, Point, distance, polygon
from planbook.drawing.placing import beside, letter_label, open_head, place_letter, place_word, word_label
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LineKind, Shade
from planbook.drawing.views import Views
from planbook.drawing.wood_marks import face_mark, mark_boards
from planbook.drawing.wording import lettered, listed, sentence, size, sized, spoken
from planbook.plan import drilling
from planbook.plan.model import Cut, CutKind, Edging, Hole, Part, Placement, Plan, Role, Step
from planbook.shape import arrange, states
from planbook.shape.direction import ISO_RIGHT
from planbook.shape.states import PartVersion, Standing
from planbook.units.write import write_length

if TYPE_CHECKING:
    from shapely import Polygon

BETWEEN = 45
"""mm of wood between two boards that lie side by side."""
EDGING_AWAY = 0.7
"""How far an edging is drawn from its edge, as a share of the part's width."""
CELL_GAP = 6.0
LOW = 66.0
"""Height in mm of a picture of parts on which nothing is measured or marked: it only says which they are."""
MOST_WITH_PLACES = 2
"""With more kinds of part than this, the places of holes for fasteners are left to the drawings of the parts."""
MOST_CELLS = 6
"""More kinds of part than this on one picture would be too small to tell apart."""


def cutting_picture(views: Views, step: Step, *, width: float, height: float) -> Picture:
    """Return every part that the step cuts or bores, lying with the worked face up, with its places."""
    plan = views.plan
    parts = [part for part in plan.parts if work_on(part, step)[0] or work_on(part, step)[1]]
    crowded = len(parts) > MOST_WITH_PLACES
    cells: list[Cell] = [_cutting_cell(views, step, part, crowded=crowded) for part in parts]
    sheet = grid(cells, width=width, height=height, columns=1 if len(cells) < 3 else 2, around=(35.0, 8.0))
    return sheet.picture(title=f"Step {step.number}: {step.title}", alt=_cutting_words(plan, step, parts), width=width)


def edging_picture(views: Views, step: Step, *, width: float, height: float) -> Picture:
    """Return the parts whose edgings are glued on or trimmed, each kind once, with the edging toned."""
    plan = views.plan
    wanted = set(step.joins) | set(step.trims)
    glued = any(edging.name in step.joins for part in plan.parts for edging in part.edgings)
    groups: dict[tuple[object, ...], list[tuple[Part, list[Edging]]]] = {}
    for part in plan.parts:
        edgings = [edging for edging in part.edgings if edging.name in wanted]
        if edgings:
            key = (part.length.final, part.width.final, part.thick, tuple(edging.box for edging in edgings))
            groups.setdefault(key, []).append((part, edgings))
    cells = [_edging_cell(views, step, same, glued=glued) for same in groups.values()]
    sheet = grid(cells, width=width, height=height, columns=1 if len(cells) < 2 else 2)
    pairs = [
        f"{sized(plan.part(edging.key), plan.edition)} on the {getattr(part.faces, edging.edge)} of {lettered(part)}"
        for same in groups.values()
        for part, edgings in same
        for edging in edgings
    ]
    verb = "glued on" if glued else "trimmed"
    return sheet.picture(
        title=f"Step {step.number}: {step.title}",
        alt=sentence(
            f"Isometric view of parts lying on the bench, step {step.number}", f"Edgings {verb}: {listed(pairs)}"
        ),
        width=width,
    )


def lying_picture(views: Views, step: Step, parts: Sequence[Part], *, width: float, height: float) -> Picture:
    """Return parts lying with their show face up, toned."""
    plan = views.plan
    groups: dict[tuple[object, ...], list[Part]] = {}
    for part in parts:
        groups.setdefault((*_alike(part), part.key in step.marks), []).append(part)
    cells = [_lying_cell(views, step, same) for same in list(groups.values())[:MOST_CELLS]]
    told = any(part.key in step.marks or _trimmed(plan, part, step) for part in parts)
    sheet = grid(cells, width=width, height=height if told else min(height, LOW), columns=1 if len(cells) < 2 else 2)
    up = {part.key: part.key not in step.marks or _marked_up(plan, part, step) for part in parts}
    faces = [
        f"{sized(part, plan.edition)}, {face_up(part.faces.show if up[part.key] else part.faces.reverse)}"
        + _trimmed_words(plan, part, step)
        for part in parts
    ]
    return sheet.picture(
        title=f"Step {step.number}: {step.title}",
        alt=sentence(f"Isometric view of parts lying on the bench, step {step.number}: {'; '.join(faces)}"),
        width=width,
    )


def grid(
    cells: Sequence[Cell], *, width: float, height: float, columns: int, around: tuple[float, float] = (1.0, 0.0)
) -> Sheet:
    """Return cells in rows at one factor, the largest at which all of them fit.

    `around` is the room that labels are likely to take beside the wood of a cell, across and up.
    """
    rows = -(-len(cells) // columns)
    room = ((width - CELL_GAP * (columns - 1)) / columns, (height - CELL_GAP * (rows - 1)) / rows)
    sheets = fitted_together(cells, into=room, around=around)
    if len(cells) == 1:
        return sheets[0]
    whole = Sheet()
    top = 0.0
    for row in range(rows):
        line = sheets[row * columns : (row + 1) * columns]
        high = max(sheet.bounds[3] - sheet.bounds[1] for sheet in line)
        for column, sheet in enumerate(line):
            left, bottom, right, upper = sheet.bounds
            middle = (room[0] + CELL_GAP) * column
            whole.add(sheet, middle - (left + right) / 2, top - high / 2 - (bottom + upper) / 2)
        top -= high + CELL_GAP
    return whole


def work_on(part: Part, step: Step) -> tuple[tuple[Cut, ...], tuple[Hole, ...]]:
    """Return the cuts and holes that a step makes in a part."""
    cuts = tuple(cut for cut in part.cuts if cut.name in step.cuts)
    return cuts, tuple(hole for hole in part.holes if hole.group in step.cuts)


def _lying(plan: Plan, part: Part, hand: str, version: PartVersion, *, show_up: bool, y: Fraction) -> Standing:
    """Return a copy lying on the bench with its nearer edge at `y`."""
    own = next((place for place in placements_of(plan, part) if place.hand == hand), None)
    if own is None:
        upright = ("+x", "-y", "+z") if hand == "R" else ("+x", "+y", "+z")
        own = Placement(part=part.key, copy=1, hand=hand, origin=(Fraction(0),) * 3, axes=upright)
    flat = arrange.laid_flat(plan, own, show_up=show_up)
    x, at_y, z = flat.origin
    return Standing(replace(flat, origin=(x, at_y + y, z)), version)


def _poured(plan: Plan, part: Part, lying: Sequence[Item], step: Step) -> list[Item]:
    """Return what was poured into a part by then, in each copy that lies there."""
    own = next((place for place in plan.placements if place.part == part.key), None)
    found = []
    for place in plan.placements if own is not None else ():
        fill = plan.part(place.part)
        if fill.role is not Role.FILL or fill.for_part != part.key or (fill.joined_in or step.number) > step.number:
            continue
        assert own is not None
        away = [one - other for one, other in zip(place.origin, own.origin, strict=True)]
        version = states.version_after(plan, fill.key, step.number)
        for item in lying:
            flat = item.standing.placement
            origin = list(flat.origin)
            for was, is_now in zip(own.axes, flat.axes, strict=True):
                (old, old_sign), (new, new_sign) = arrange.axis_of(was), arrange.axis_of(is_now)
                origin[new] += away[old] * old_sign * new_sign
            there = replace(place, origin=(origin[0], origin[1], origin[2]), axes=flat.axes)
            found.append(Item(standing=Standing(there, version)))
    return found


def _cutting_cell(views: Views, step: Step, part: Part, *, crowded: bool) -> Cell:
    plan = views.plan
    cuts, holes = work_on(part, step)
    show_up = _show_up(part, cuts, holes)
    version = states.version_after(plan, part.key, step.number)
    hands = hands_of(plan, part)
    wide = part.width.final
    # A right-handed board lies with its datum edge to the front, a left-handed one with it to the back:
    # so a pair lies edge to edge, datum edges together.
    behind = [h for h in hands if not _datum_at_back(plan, part, h, show_up)]
    front = [h for h in hands if h not in behind]
    ordered = [*front, *behind]
    items = []
    for number, hand in enumerate(ordered):
        y = (wide + BETWEEN) * (number - len(front))
        items.append(Item(standing=_lying(plan, part, hand, version, show_up=show_up, y=y), toned=True))
    view = views.of([*items, *_poured(plan, part, items, step)], ISO_RIGHT)
    measured = items[0]
    face_t = float(part.thick) if show_up else 0.0
    datum_back = _datum_at_back(plan, part, ordered[0], show_up)

    told = tuple(hole for hole in holes if not (crowded and hole.fastener))

    def build(factor: float, sheet: Sheet) -> None:
        seen = view.scaled(factor)
        seen.draw(sheet, rim=None)
        faces = [seen.face(item, face_t) for item in items]
        for on_face in faces:
            for cut in cuts:
                _opening(sheet, part, cut, on_face, show_up=show_up)
        at, floor = faces[0], seen.face(measured, float(part.thick) - face_t)
        for on_face in faces:
            datum_mark(sheet, on_face, part, number=on_face is at)
        draw_measures(
            sheet, at, measures_of(part, cuts, rows_of(part, told), plan.edition),
            beyond=float(wide) if datum_back else 0.0, foot=floor,
        )  # fmt: skip
        face = face_up(part.faces.show if show_up else part.faces.reverse)
        for item, on_face in zip(items, faces, strict=True):
            letters = [(part.letter, item.standing.placement.hand)]
            _names(
                sheet,
                letters,
                part,
                on_face,
                face=face,
                end=part.faces.datum_end,
                insist=item is items[-1],
            )
        _depths(sheet, plan, part, cuts, told, faces[-1], seen)
        if show_up and part.key in step.marks:
            for on_face in faces:
                face_mark(sheet, on_face, float(part.length.final), float(wide))

    return view.size, build


def _show_up(part: Part, cuts: Sequence[Cut], holes: Sequence[Hole]) -> bool:
    """Whether a part lies with its show face up to be cut and bored: most of it is on that face."""
    on_top = [on_show(part, cut) for cut in cuts] + [hole.from_show for hole in holes if in_face(hole)]
    return sum(on_top) * 2 >= len(on_top)


def _marked_up(plan: Plan, part: Part, step: Step) -> bool:
    """Whether a part lies with its show face up to be marked: that which is worked next."""
    for later in plan.steps:
        if later.number >= step.number and any(work_on(part, later)):
            return _show_up(part, *work_on(part, later))
    return True


def _opening(sheet: Sheet, part: Part, cut: Cut, at: At, *, show_up: bool) -> None:
    """Leave the opening of a cut white and give it a wide rim, so that it stands out on its part."""
    if on_show(part, cut) is not show_up and not is_through(part, cut):
        return
    (l0, l1), (w0, w1) = (tuple(map(float, span)) for span in (cut.box.l, cut.box.w))
    sheet.area(Shade.PAPER, [at(l0, w0), at(l1, w0), at(l1, w1), at(l0, w1)])
    for place, whole, ends in (
        (l0, part.length.final, (at(l0, w0), at(l0, w1))),
        (l1, part.length.final, (at(l1, w0), at(l1, w1))),
        (w0, part.width.final, (at(l0, w0), at(l1, w0))),
        (w1, part.width.final, (at(l0, w1), at(l1, w1))),
    ):
        if 0.0 < place < float(whole):
            sheet.line(LineKind.OUTLINE, *ends)


def _depths(
    sheet: Sheet, plan: Plan, part: Part, cuts: Sequence[Cut], holes: Sequence[Hole], at: At, view: Scaled
) -> None:
    """Write how deep each cut and each kind of hole is, with a leader that ends on one of them."""
    wanted: dict[str, Point] = {}
    for cut in cuts:
        deep = ", right through" if cut.deep >= part.thick else f" {write_length(cut.deep, plan.edition)} deep"
        text = f"{cut.kind.value}{deep}"
        share = 0.6 if cut.kind in (CutKind.RABBET, CutKind.GROOVE) else 0.5
        (l0, l1), (w0, w1) = (tuple(map(float, span)) for span in (cut.box.l, cut.box.w))
        wanted[text] = at(l0 + (l1 - l0) * share, w0 + (w1 - w0) * (0.8 if share < 0.55 else 0.5))
    for row in rows_of(part, tuple(holes)):
        deep = "right through" if row.deep is None else f"{write_length(row.deep, plan.edition)} deep"
        text = f"{write_length(row.diameter, plan.edition.finest)} holes, {deep}"
        wanted.setdefault(text, at(float(row.places[-1]), float(row.w)))
    for text, target in wanted.items():
        beside(sheet, word_label(text, target), target, region=view.silhouette)


def face_up(name: str) -> str:
    """Return the words for the face that is up: `inside face up`, `underside up`."""
    return f"{name} up" if "face" in name or name == "underside" else f"{name} face up"


def _datum_at_back(plan: Plan, part: Part, hand: str, show_up: bool) -> bool:
    standing = _lying(plan, part, hand, states.finished_version(plan, part.key), show_up=show_up, y=Fraction(0))
    return standing.placement.axes[1] == "-y"


def _names(
    sheet: Sheet,
    letters: Sequence[tuple[str, str]],
    part: Part,
    at: At,
    *,
    face: str,
    end: str = "",
    insist: bool = False,
) -> None:
    """Write letters with their hands, the face that is up and the datum end on a lying part.

    Where the face has no room for its name, `insist` writes it beside with a leader.
    """
    region = _face_area(part, at)
    long, wide = float(part.length.final), float(part.width.final)
    middle = at(long / 2, wide / 2)
    spine = [at(long * k / 40, wide / 2) for k in range(1, 40)]
    along_l = direction_of(at, (0.0, 0.0), (1.0, 0.0))
    paper_long = distance(at(0.0, 0.0), at(long, 0.0))
    last = middle
    for number, (letter, hand) in enumerate(letters):
        share = min(14.0 / paper_long, 0.33) * (number - (len(letters) - 1) / 2)
        target = at(long * (0.5 + share), wide / 2)
        label = place_letter(sheet, letter, hand, region, target, also=spine)
        last = (label.x, label.y)
    if end:
        near_end = at(0.0, wide / 2)
        prefer = (near_end[0] + along_l[0] * 8, near_end[1] + along_l[1] * 8)
        place_word(sheet, end, region, prefer, also=spine, within=0.35 * paper_long)
    if face:
        prefer = (last[0] + along_l[0] * 24, last[1] + along_l[1] * 24)
        if place_word(sheet, face, region, prefer, also=spine) is None and insist:
            target = at(long * 0.75, wide / 2)
            beside(sheet, word_label(face, target), target, region=region)


def _face_area(part: Part, at: At) -> Polygon:
    long, wide = float(part.length.final), float(part.width.final)
    return polygon([at(0.0, 0.0), at(long, 0.0), at(long, wide), at(0.0, wide)])


def _edging_cell(views: Views, step: Step, same: list[tuple[Part, list[Edging]]], *, glued: bool) -> Cell:
    plan = views.plan
    part, edgings = same[0]
    version = states.version_after(plan, part.key, step.number)
    hand = hands_of(plan, part)[-1]
    standing = _lying(plan, part, hand, version, show_up=True, y=Fraction(0))
    items = [Item(standing=standing, only=("",))]
    for edging in edgings:
        shift = _outward(part, edging, standing) if glued else (0.0, 0.0, 0.0)
        items.append(Item(standing=standing, only=(edging.key,), shift=shift, toned=True))
    view = views.of(items, ISO_RIGHT)

    def build(factor: float, sheet: Sheet) -> None:
        seen = view.scaled(factor)
        seen.draw(sheet, rim=None)
        if glued:
            for item, edging in zip(items[1:], edgings, strict=True):
                _edging_motion(sheet, seen, item, items[0], edging)
        on_face = seen.face(items[0], float(part.thick))
        _names(sheet, [(other.letter, "") for other, _ in same], part, on_face, face="")
        for position, item in enumerate(items[1:]):
            letters = [plan.part(strips[position].key).letter for _, strips in same]
            anchor = view.anchor(position + 1)
            if anchor is not None:
                spot = seen.paper(anchor.point)
                for number, letter in enumerate(letters):
                    target = _slide(seen, item, spot, part, number - (len(letters) - 1) / 2)
                    beside(sheet, letter_label(letter, "", target), target, region=seen.silhouette)

    return view.size, build


def _slide(view: Scaled, item: Item, spot: Point, part: Part, steps: float) -> Point:
    """Return a place on a strip, moved along it by steps of 14 mm on paper or a third of its length."""
    a, b = view.at(to_space(item, (0.0, 0.0, 0.0))), view.at(to_space(item, (float(part.length.final), 0.0, 0.0)))
    share = min(14.0 / max(hypot(b[0] - a[0], b[1] - a[1]), 1e-9), 0.33) * steps
    return spot[0] + (b[0] - a[0]) * share, spot[1] + (b[1] - a[1]) * share


def _outward(part: Part, edging: Edging, standing: Standing) -> tuple[float, float, float]:
    far = EDGING_AWAY * float(part.width.final)
    axis_number = 0 if edging.edge.endswith("end") else 1
    sign = -1.0 if edging.edge.startswith("datum") else 1.0
    axis, turn = arrange.axis_of(standing.placement.axes[axis_number])
    shift = [0.0, 0.0, 0.0]
    shift[axis] = sign * turn * far
    return shift[0], shift[1], shift[2]


def _edging_motion(sheet: Sheet, view: Scaled, item: Item, home: Item, edging: Edging) -> None:
    """Draw two dotted lines from a strip to its edge."""
    (l0, l1), (w0, w1), (_, t1) = (tuple(map(float, span)) for span in (edging.box.l, edging.box.w, edging.box.t))
    lengthwise = edging.edge.endswith("edge")
    for share in (0.12, 0.88):
        if lengthwise:
            inner = w1 if edging.edge == "datum_edge" else w0
            point = (l0 + (l1 - l0) * share, inner, t1)
        else:
            inner = l1 if edging.edge == "datum_end" else l0
            point = (inner, w0 + (w1 - w0) * share, t1)
        start, end = view.at(to_space(item, point)), view.at(to_space(home, point))
        long = hypot(end[0] - start[0], end[1] - start[1])
        if long > 6.0:
            way = ((end[0] - start[0]) / long, (end[1] - start[1]) / long)
            sheet.line(
                LineKind.MOTION,
                (start[0] + way[0] * 1.4, start[1] + way[1] * 1.4),
                (end[0] - way[0] * 1.4, end[1] - way[1] * 1.4),
            )
            open_head(sheet, (end[0] - way[0] * 1.0, end[1] - way[1] * 1.0), way)


def _lying_cell(views: Views, step: Step, same: Sequence[Part]) -> Cell:
    plan = views.plan
    part = same[0]
    marked = any(other.key in step.marks for other in same)
    show_up = _marked_up(plan, part, step) if marked else True
    version = states.version_after(plan, part.key, step.number)
    items = [
        Item(
            standing=_lying(plan, part, hand, version, show_up=show_up, y=(part.width.final + BETWEEN) * number),
            toned=True,
        )
        for number, hand in enumerate(hands_of(plan, part))
    ]
    view = views.of([*items, *_poured(plan, part, items, step)], ISO_RIGHT)
    face = face_up(part.faces.show if show_up else part.faces.reverse)

    trimmed = _trimmed(plan, part, step)
    beyond = float(part.width.final) if items[0].standing.placement.axes[1] == "-y" else 0.0

    def build(factor: float, sheet: Sheet) -> None:
        seen = view.scaled(factor)
        seen.draw(sheet, rim=None)
        faces = [seen.face(item, float(part.thick) if show_up else 0.0) for item in items]
        foot = seen.face(items[0], 0.0 if show_up else float(part.thick))
        if trimmed:
            datum_mark(sheet, faces[0], part)
        draw_measures(sheet, faces[0], trimmed, beyond=beyond, foot=foot)
        for item, at in zip(items, faces, strict=True):
            letters = [(other.letter, item.standing.placement.hand) for other in same]
            _names(sheet, letters, part, at, face=face)
        if marked:
            mark_boards(sheet, seen.silhouette, part, [item.standing.placement for item in items], faces, mark=show_up)

    return view.size, build


def _trimmed(plan: Plan, part: Part, step: Step) -> tuple[Measure, ...]:
    """Return the sizes that a board is brought to in a step that trims it, or saws its outline."""
    if part.key not in step.trims or part.shape is not None:
        return shaped_measures(part, plan.edition, step.number)
    sizes = ((True, part.length.final), (False, part.width.final))
    return tuple(Measure(along, Fraction(0), value, size(value, plan.edition)) for along, value in sizes)


def _trimmed_words(plan: Plan, part: Part, step: Step) -> str:
    """Return the same sizes for an alternative text."""
    sides = {True: part.faces.datum_end, False: part.faces.datum_edge}
    found = [f"{spoken(one.stop, plan.edition)} from the {sides[one.lengthwise]}" for one in _trimmed(plan, part, step)]
    return f", {listed(found)}" if found else ""


def _alike(part: Part) -> tuple[object, ...]:
    """Return what two parts must have in common to be drawn once with both letters."""
    boxes = (tuple(cut.box for cut in part.cuts), tuple(edging.box for edging in part.edgings), part.holes)
    return (part.length.final, part.width.final, part.thick, part.faces, part.pair, *boxes)


def _cutting_words(plan: Plan, step: Step, parts: Sequence[Part]) -> str:
    edition = plan.edition
    pieces = []
    for part in parts:
        cuts, holes = work_on(part, step)
        done = [
            *dict.fromkeys(cut_words(part, cut, edition) for cut in cuts),
            *(row_words(part, row, edition) for row in drilling.rows_of(part, holes)),
        ]
        hands = [hand for hand in hands_of(plan, part) if hand]
        who = listed(lettered(part, hand) for hand in hands) if hands else lettered(part)
        pieces.append(f"{who}: {'; '.join(done)}")
    return sentence(f"Isometric view of parts lying on the bench, step {step.number}", *pieces)
