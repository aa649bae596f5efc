"""The picture of a step that joins parts or sets them in place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from planbook.drawing.assembly import put_letters
from planbook.drawing.fasteners import draw_fasteners, fasteners_of
from planbook.drawing.fit import fitted
from planbook.drawing.motion import REACH, Boxes, Move, contacts, move_of, moves_of
from planbook.drawing.pictorial import Item, Pictorial, Scaled
from planbook.drawing.picture import LabelKind, Picture, Point
from planbook.drawing.placing import beside, word_label
from planbook.drawing.sheet import Sheet
from planbook.drawing.travel import Travel
from planbook.drawing.views import Views
from planbook.drawing.wording import lettered, listed, sentence, sized, spoken
from planbook.plan.model import Joint, Placement, Plan, Step
from planbook.shape import states
from planbook.shape.direction import ISO_RIGHT, Direction, looking_from
from planbook.units.write import write_length

if TYPE_CHECKING:
    from shapely import Polygon

ISO_BEHIND = looking_from((-1.0, 1.0, 1.0))
"""Isometric from behind and above, for what is put on from the back."""
TIMES = "\u00d7 "
FROM = {
    (0, 1): "from the right",
    (0, -1): "from the left",
    (1, 1): "from the back",
    (1, -1): "from the front",
    (2, 1): "from above",
    (2, -1): "from below",
}
REACH_NARROW = 0.13
"""Share of the diagonal by which parts are moved out in a picture for a phone."""


def joining_picture(views: Views, step: Step, *, width: float, height: float) -> Picture:
    """Return what stands before the step in thin lines, and what comes to it, toned and moved out."""
    plan = views.plan
    before, new = states.state_before(plan, step.number), states.new_in(plan, step.number)
    moves = moves_of(plan, step.number, before, new, share=REACH if width > 130 else REACH_NARROW, boxes=views.boxes)
    items = [Item(standing=standing) for standing in before]
    for standing in new:
        move = move_of(plan, moves, standing.placement)
        items.append(
            Item(
                standing=standing,
                shift=move.shift if move else (0.0, 0.0, 0.0),
                toned=move is not None or not moves,
            )
        )
    direction, seen_from = _direction(moves)
    view = views.of(items, direction)
    joints = [joint for joint in plan.joints if joint.joined_in == step.number]
    staying = [item.standing.placement for item in items if not item.toned]
    ways = [Travel(view, views.boxes, move, staying) for move in moves]
    held = [(held_words(plan, joint), _places_held(view, views.boxes, joint, moves, staying)) for joint in joints]
    driven = [one for joint in joints for one in fasteners_of(view, plan, views.boxes, joint, moves, staying)]

    def build(factor: float, sheet: Sheet) -> None:
        seen = view.scaled(factor)
        seen.draw(sheet, rim=None)
        for way in ways:
            way.draw(sheet, factor)
        draw_fasteners(sheet, seen, driven)
        put_letters(sheet, seen, plan)
        for text, places in held:
            _write_held(sheet, seen, text, places)
        if seen_from:
            _view_word(sheet, seen_from)

    sheet = fitted(build, size=view.size, into=(width, height), around=(6.0, 2.0))
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


def _places_held(
    view: Pictorial, boxes: Boxes, joint: Joint, moves: Sequence[Move], staying: Sequence[Placement]
) -> list[tuple[int, Point]]:
    """Return places of a joint on the parts that come to it: number of the item, and where on the picture.

    Only where no such side is turned to the viewer are places on the far side taken: a leader should not
    end on the back of a joint.
    """
    partners = {*joint.receiving, *joint.entering}
    coming = [move for move in moves if move.placement.part in partners]
    toward = view.view.direction.toward
    facing = [move for move in coming if toward[move.way[0]] * move.way[1] < 0]
    found = []
    for move in facing or coming:
        number = next(n for n, item in enumerate(view.items) if item.standing.placement is move.placement)
        for _, box in contacts(boxes, move.placement, [p for p in staying if p.part in partners]):
            middle = [float(a + b) / 2 + shift for a, b, shift in zip(box.low, box.high, move.shift, strict=True)]
            line = max(range(3), key=lambda k: box.size[k])
            for share in (0.0, 0.2, -0.2, 0.35, -0.35):
                place = list(middle)
                place[line] += share * float(box.size[line])
                found.append((number, view.at((place[0], place[1], place[2]))))
    return found


def _write_held(sheet: Sheet, view: Scaled, text: str, places: Sequence[tuple[int, Point]]) -> None:
    """Write what holds a joint, with a leader to a visible place of it."""
    for number, place in places if text else ():
        target = _well_inside(view.whole(number), view.paper(place))
        if target is None:
            continue
        x, y = target
        if not sheet.label_hits(np.array([[x - 1, y - 1, x + 1, y + 1]]))[0]:
            beside(sheet, word_label(text, target), target, region=view.silhouette)
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


def _counted(joint: Joint, text: str) -> str:
    """Return what holds a joint with its number, where that is known; glue is not counted."""
    if joint.count is None or text == "glue":
        return text
    return f"{joint.count} {TIMES if text[:1].isdigit() else ''}{text}"


def held_words(plan: Plan, joint: Joint, *, aloud: bool = False) -> str:
    """Return what holds a joint in a few words: `glue in the dado`, `1 in panel nail every 6"`."""
    if not joint.by:
        return ""
    text = listed(_counted(joint, words) for words in joint.by)
    if joint.by == ("glue",) and joint.kind in ("dado", "groove", "rabbet"):
        text = f"glue in the {joint.kind}"
    others = dict.fromkeys(joint.receiving)
    if joint.count is not None and len(others) > 1 and joint.by != ("glue",):
        # The number is that of each meeting of two parts.
        text += f" to each of {listed(plan.part(key).letter for key in others)}"
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
    ways = {id(move.placement): f" {FROM[move.way]}" for move in moves}
    coming = dict.fromkeys(
        f"{sized(plan.part(place.part), plan.edition, place.hand)}{ways.get(id(place), '')}" for place in shown
    )
    there = dict.fromkeys(lettered(plan.part(standing.version.part)) for standing in before)
    held = [words for words in (held_words(plan, joint, aloud=True) for joint in joints) if words]
    return sentence(
        f"Isometric view{', ' + seen_from if seen_from else ''}, step {step.number}: "
        f"{listed(coming)} {'go' if len(shown) > 1 else 'goes'} into place",
        f"Already there: {listed(there)}" if there else "",
        f"Held by {listed(held)}" if held else "",
    )
