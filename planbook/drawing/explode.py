"""The piece taken apart in isometric view: every part moved out the way it came in."""

from __future__ import annotations

from planbook.drawing.assembly import put_letters
from planbook.drawing.fit import fitted
from planbook.drawing.motion import REACH, Move, move_of, moves_of
from planbook.drawing.pictorial import Item
from planbook.drawing.picture import Picture
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import WIDTH
from planbook.drawing.travel import Travel
from planbook.drawing.views import Views
from planbook.drawing.wording import lettered, listed, sentence
from planbook.plan.model import Plan
from planbook.shape import states
from planbook.shape.direction import ISO_RIGHT

REACH_NARROW = 0.14


def exploded_picture(plan: Plan, *, width: float = WIDTH, height: float = 150.0, views: Views | None = None) -> Picture:
    """Return every part moved out of its place along the way of the step that puts it there, with letters."""
    views = views or Views(plan)
    share = REACH if width > 130 else REACH_NARROW
    moves: dict[tuple[str, int], Move] = {}
    for step in plan.steps:
        new = states.new_in(plan, step.number)
        if new:
            before = states.state_before(plan, step.number)
            for move in moves_of(plan, step.number, before, new, share=share, boxes=views.boxes):
                moves[move.placement.part, move.placement.copy] = move
    items = []
    for standing in states.finished(plan):
        found = move_of(plan, tuple(moves.values()), standing.placement)
        shift = found.shift if found else (0.0, 0.0, 0.0)
        items.append(Item(standing=standing, shift=shift))
    view = views.of(items, ISO_RIGHT)
    staying = [item.standing.placement for item in items if item.shift == (0.0, 0.0, 0.0)]
    ways = [Travel(view, views.boxes, move, staying) for move in moves.values()]

    def build(factor: float, sheet: Sheet) -> None:
        seen = view.scaled(factor)
        seen.draw(sheet, rim=None)
        for way in ways:
            way.draw(sheet, factor)
        put_letters(sheet, seen, plan)

    sheet = fitted(build, size=view.size, into=(width, height), around=(6.0, 2.0))
    moved = listed(
        f"{lettered(plan.part(move.placement.part), move.placement.hand)} {WAYS[move.way]}" for move in moves.values()
    )
    stays = listed(dict.fromkeys(lettered(plan.part(place.part), place.hand) for place in staying))
    return sheet.picture(
        title=f"{plan.title}, taken apart",
        alt=sentence(
            f"Exploded isometric view of {plan.title}",
            f"Moved out: {moved}" if moved else "",
            f"In place: {stays}" if stays else "",
        ),
        width=width,
    )


WAYS = {
    (0, 1): "to the right",
    (0, -1): "to the left",
    (1, 1): "to the back",
    (1, -1): "to the front",
    (2, 1): "upward",
    (2, -1): "downward",
}
