"""The picture of a step that joins parts or sets them in place."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot
from typing import TYPE_CHECKING

from planbook.drawing.assembly import put_letters
from planbook.drawing.dimension import along, unit
from planbook.drawing.motion import REACH, Move, contacts, moves_of
from planbook.drawing.pictorial import Item, Pictorial, fitted
from planbook.drawing.picture import LabelKind, Picture, Point
from planbook.drawing.placing import beside, open_head, word_label
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LineKind
from planbook.drawing.wording import lettered, listed, sentence, spoken
from planbook.plan.model import Joint, Placement, Plan, Step
from planbook.shape import arrange, states
from planbook.shape.arrange import Bounds
from planbook.shape.direction import ISO_RIGHT, Direction, Vector, looking_from
from planbook.shape.solids import Solids
from planbook.units.write import write_length

if TYPE_CHECKING:
    from shapely import Point as Spot
    from shapely import Polygon

ISO_BEHIND = looking_from((-1.0, 1.0, 1.0))
"""Isometric from behind and above, for what is put on from the back."""
REACH_NARROW = 0.13
"""Share of the diagonal by which parts are moved out in a picture for a phone."""
LEAST_MOTION = 6.0
"""mm on paper: a shorter way is not drawn."""


def joining_picture(plan: Plan, step: Step, *, width: float, height: float) -> Picture:
    """Return what stands before the step in thin lines, and what comes to it, toned and moved out."""
    before, new = states.state_before(plan, step.number), states.new_in(plan, step.number)
    moves = moves_of(plan, step.number, before, new, share=REACH if width > 130 else REACH_NARROW)
    shifts = {id(move.placement): move for move in moves}
    items = [Item(standing=standing) for standing in before]
    for standing in new:
        move = shifts.get(id(standing.placement))
        items.append(
            Item(
                standing=standing,
                shift=move.shift if move else (0.0, 0.0, 0.0),
                toned=move is not None or not moves,
            )
        )
    direction, seen_from = _direction(moves)
    view = Pictorial(plan, Solids(plan), items, direction)
    joints = [joint for joint in plan.joints if joint.joined_in == step.number]
    staying = [item.standing.placement for item in items if not item.toned]

    def build(factor: float) -> Sheet:
        sheet = Sheet()
        view.scaled(factor).draw(sheet, rim=None)
        for move in moves:
            draw_motion(sheet, view, plan, move, staying)
        put_letters(sheet, view, plan)
        for joint in joints:
            _held_by(sheet, view, plan, joint, moves, staying)
        if seen_from:
            _view_word(sheet, seen_from)
        return sheet

    sheet = fitted(build, size=view.size, into=(width, height), around=8.0)
    return sheet.picture(
        title=f"Step {step.number}: {step.title}",
        alt=_words(plan, step, moves, before, joints, seen_from),
        width=width,
    )


def _direction(moves: Sequence[Move]) -> tuple[Direction, str]:
    from_behind = sum(move.way == (1, 1) for move in moves)
    if moves and from_behind * 2 > len(moves):
        return ISO_BEHIND, "seen from behind"
    return ISO_RIGHT, ""


def _view_word(sheet: Sheet, text: str) -> None:
    left, bottom, right, _ = sheet.bounds
    sheet.label(word_label(text, ((left + right) / 2, bottom - 5.0), kind=LabelKind.VIEW))


def draw_motion(sheet: Sheet, view: Pictorial, plan: Plan, move: Move, staying: Sequence[Placement]) -> None:
    """Draw up to two dotted lines from a part to its place, each with an open head."""
    lines = _paths(view, plan, move, staying)
    for start, end in lines:
        direction = unit(end[0] - start[0], end[1] - start[1])
        sheet.line(LineKind.MOTION, along(start, direction, 1.6), along(end, direction, -1.4))
        open_head(sheet, along(end, direction, -1.0), direction)


def _paths(view: Pictorial, plan: Plan, move: Move, staying: Sequence[Placement]) -> list[tuple[Point, Point]]:
    """Return the ways of corners on paper, from where the part's visible area ends to the place itself.

    Preferred are corners where the part will touch what stays and whose place can be seen. They are
    taken as far apart as possible.
    """
    moved = next(number for number, item in enumerate(view.items) if item.standing.placement is move.placement)
    own = view.visible_part(view.bodies[moved])
    found: list[tuple[Point, Point]] = []
    for other, box in contacts(plan, move.placement, staying):
        target = next(n for n, item in enumerate(view.items) if item.standing.placement is other)
        area = view.visible_part(view.bodies[target])
        for corner in _corners(box, move.way):
            end = view.at(corner)
            start = view.at(_add(corner, move.shift))
            if area.distance(_spot(end)) < 0.1 and _clear(view, moved, start, end):
                found.append((_leaving(own, start, end), end))
    found = [pair for pair in found if hypot(pair[0][0] - pair[1][0], pair[0][1] - pair[1][1]) > LEAST_MOTION]
    return _farthest(found) if found else _short_path(view, plan, move, own)


def _corners(box: Bounds, way: tuple[int, int]) -> list[Vector]:
    """Return the corners of a common box on the side from which the part comes."""
    axis, sign = way
    face = float(box.high[axis] if sign > 0 else box.low[axis])
    one, two = (k for k in range(3) if k != axis)
    found: list[Vector] = []
    for a in (box.low[one], box.high[one]):
        for b in (box.low[two], box.high[two]):
            corner = [0.0, 0.0, 0.0]
            corner[axis], corner[one], corner[two] = face, float(a), float(b)
            found.append((corner[0], corner[1], corner[2]))
    return list(dict.fromkeys(found))


def _add(a: Vector, b: Vector) -> Vector:
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def _spot(point: Point) -> Spot:
    from shapely import Point

    return Point(point)


def _leaving(own: Polygon, start: Point, end: Point) -> Point:
    """Return where a way leaves the part's own area for the last time."""
    from shapely import LineString

    rest = LineString([start, end]).difference(own)
    pieces = [piece for piece in getattr(rest, "geoms", [rest]) if not piece.is_empty]
    if not pieces:
        return end
    last = min(pieces, key=lambda piece: hypot(piece.coords[-1][0] - end[0], piece.coords[-1][1] - end[1]))
    x, y = last.coords[0]
    return (x, y)


def _clear(view: Pictorial, moved: int, start: Point, end: Point) -> bool:
    """Whether a way runs over no more than its end of other parts on paper."""
    from shapely import LineString

    way = LineString([start, end])
    over = 0.0
    for number, group in enumerate(view.bodies):
        if number != moved:
            over += way.intersection(view.visible_part(group)).length
    return bool(over < 0.5 * way.length)


def _farthest(found: list[tuple[Point, Point]]) -> list[tuple[Point, Point]]:
    (sx, sy), (ex, ey) = found[0]
    across = unit(-(ey - sy), ex - sx)
    ordered = sorted(found, key=lambda pair: pair[1][0] * across[0] + pair[1][1] * across[1])
    first, last = ordered[0], ordered[-1]
    apart = (last[1][0] - first[1][0]) * across[0] + (last[1][1] - first[1][1]) * across[1]
    return [first, last] if apart > 8.0 else [first]


def _short_path(view: Pictorial, plan: Plan, move: Move, own: Polygon) -> list[tuple[Point, Point]]:
    """Return one way from the part to where it goes: from its middle, or from beside it where that is covered."""
    box = arrange.bounds(plan, move.placement)
    axis = max((k for k in range(3) if k != move.way[0]), key=lambda k: box.size[k])
    centre = [float(a + b) / 2 for a, b in zip(box.low, box.high, strict=True)]
    others = [
        view.visible_part(group)
        for item, group in zip(view.items, view.bodies, strict=True)
        if any(item.shift) and item.standing.placement is not move.placement
    ]
    for share in (0.5, 0.3, 0.7, 0.1, 0.9):
        centre[axis] = float(box.low[axis]) + share * float(box.size[axis])
        place = (centre[0], centre[1], centre[2])
        end = view.at(place)
        start = _leaving(own, view.at(_add(place, move.shift)), end)
        if hypot(start[0] - end[0], start[1] - end[1]) < LEAST_MOTION:
            continue
        if all(other.distance(_spot(start)) > 0.5 and other.distance(_spot(end)) > 0.5 for other in others):
            return [(start, end)]
    return []


def _held_by(
    sheet: Sheet, view: Pictorial, plan: Plan, joint: Joint, moves: Sequence[Move], staying: Sequence[Placement]
) -> None:
    """Write what holds a joint, with a leader to a visible place of it."""
    text = held_words(plan, joint)
    if not text:
        return
    for move in moves:
        if move.placement.part not in (*joint.receiving, *joint.entering):
            continue
        number = next(n for n, item in enumerate(view.items) if item.standing.placement is move.placement)
        area = view.visible_part(view.bodies[number])
        partners = {*joint.receiving, *joint.entering}
        for _, box in contacts(plan, move.placement, [p for p in staying if p.part in partners]):
            middle = tuple(float(a + b) / 2 for a, b in zip(box.low, box.high, strict=True))
            target = _well_inside(area, view.at(_add((middle[0], middle[1], middle[2]), move.shift)))
            if target is not None and not sheet.label_hits(
                (target[0] - 1, target[1] - 1, target[0] + 1, target[1] + 1)
            ):
                beside(sheet, word_label(text, target), target, region=view.silhouette())
                return


def _well_inside(area: Polygon, target: Point) -> Point | None:
    """Return a place of an area near a point, a little off its rim, or None where the point is not on it."""
    from shapely import Point as Spot
    from shapely.ops import nearest_points

    if area.distance(Spot(target)) > 0.5:
        return None
    for depth in (2.0, 1.0, 0.4):
        core = area.buffer(-depth)
        if not core.is_empty:
            spot = nearest_points(core, Spot(target))[0]
            return (spot.x, spot.y)
    return None


def held_words(plan: Plan, joint: Joint, *, aloud: bool = False) -> str:
    """Return what holds a joint in a few words: `glue in the dado`, `1 in panel nail every 6"`."""
    if not joint.by:
        return ""
    text = listed(joint.by)
    if joint.by == ("glue",) and joint.kind in ("dado", "groove", "rabbet"):
        text = f"glue in the {joint.kind}"
    if joint.every is not None:
        every = spoken(joint.every, plan.edition) if aloud else write_length(joint.every, plan.edition)
        text += f" every {every}"
    return text


def _words(
    plan: Plan,
    step: Step,
    moves: Sequence[Move],
    before: states.State,
    joints: Sequence[Joint],
    seen_from: str,
) -> str:
    shown = [move.placement for move in moves] or [s.placement for s in states.new_in(plan, step.number)]
    coming = dict.fromkeys(lettered(plan.part(place.part), place.hand) for place in shown)
    there = dict.fromkeys(lettered(plan.part(standing.version.part)) for standing in before)
    held = [words for words in (held_words(plan, joint, aloud=True) for joint in joints) if words]
    return sentence(
        f"Isometric view{', ' + seen_from if seen_from else ''}, step {step.number}: "
        f"{listed(coming)} {'go' if len(shown) > 1 else 'goes'} into place",
        f"Already there: {listed(there)}" if there else "",
        f"Held by {listed(held)}" if held else "",
    )
