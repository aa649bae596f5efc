"""The finished piece in isometric view: with its three overall sizes, or with the letters of its parts."""

from __future__ import annotations

from planbook.drawing.dimension import dimension, unit
from planbook.drawing.fit import fitted
from planbook.drawing.pictorial import Item, Pictorial, Scaled
from planbook.drawing.picture import Picture
from planbook.drawing.placing import place_letter
from planbook.drawing.sheet import Sheet
from planbook.drawing.views import Views
from planbook.drawing.wording import listed, overall_words, sentence, size, sized
from planbook.plan.model import Plan, Role
from planbook.shape import arrange, states
from planbook.shape.direction import ISO_RIGHT, Vector
from planbook.shape.regions import Anchor

NARROW = 104.0
"""Width of a picture made for a phone, with letters of the same height."""


def assembly_picture(plan: Plan, *, width: float = 139.0, height: float = 128.0, views: Views | None = None) -> Picture:
    """Return the finished piece, seen from in front, right and above, with its overall sizes.

    `views` are those of the plan, where more than one picture is made.
    """
    view = _finished(plan, views)

    def build(factor: float, sheet: Sheet) -> None:
        seen = view.scaled(factor)
        seen.draw(sheet)
        _overall(sheet, seen, plan)

    sheet = fitted(build, size=view.size, into=(width, height), around=(32.0, 20.0))
    return sheet.picture(
        title=plan.title,
        alt=sentence(f"Isometric view of the finished piece, {plan.title}, {overall_words(plan)}"),
        width=width,
    )


def letters_picture(plan: Plan, *, width: float = 139.0, height: float = 128.0, views: Views | None = None) -> Picture:
    """Return the finished piece with a letter on, or a leader to, every part that can be seen."""
    view = _finished(plan, views)

    def build(factor: float, sheet: Sheet) -> None:
        seen = view.scaled(factor)
        seen.draw(sheet)
        put_letters(sheet, seen, plan)

    sheet = fitted(build, size=view.size, into=(width, height), around=(13.0, 3.0))
    parts = listed(sized(part, plan.edition) for part in plan.parts if part.role is Role.PART)
    alt = f"Isometric view of the finished piece with the letters of its parts: {parts}"
    return sheet.picture(title=f"{plan.title}: which part is where", alt=sentence(alt), width=width)


def _finished(plan: Plan, views: Views | None) -> Pictorial:
    items = [Item(standing=standing) for standing in states.finished(plan)]
    return (views or Views(plan)).of(items, ISO_RIGHT)


MOST_LETTERS = 80
"""Of more letters in one picture none is found again; those of the smallest parts then stand in the cut list alone."""


def put_letters(sheet: Sheet, view: Scaled, plan: Plan) -> None:
    """Write the letter of every item that can be seen, up to `MOST_LETTERS`: where there is most room first."""
    waiting: list[tuple[float, int, Anchor]] = []
    for number in range(len(view.model.items)):
        anchor = view.model.anchor(number)
        if anchor is not None:
            waiting.append((-anchor.radius, number, anchor))
    for _, number, anchor in sorted(waiting, key=lambda row: row[:2])[:MOST_LETTERS]:
        standing = view.model.items[number].standing
        letter, hand = plan.part(standing.version.part).letter, standing.placement.hand
        place_letter(sheet, letter, hand, view.area(number), view.paper(anchor.point), outside=view.silhouette)


def _overall(sheet: Sheet, view: Scaled, plan: Plan) -> None:
    """Draw wide and deep along the floor, high at the far right corner."""
    around = arrange.overall(plan)
    (x0, y0, z0), (x1, y1, z1) = (tuple(map(float, corner)) for corner in (around.low, around.high))

    def toward(vector: Vector) -> tuple[float, float]:
        a, b = view.at((0.0, 0.0, 0.0)), view.at(vector)
        return unit(b[0] - a[0], b[1] - a[1])

    front, right = toward((0.0, -1.0, 0.0)), toward((1.0, 0.0, 0.0))
    wide, deep, high = (size(value, plan.edition) for value in around.size)
    dimension(sheet, view.at((x0, y0, z0)), view.at((x1, y0, z0)), wide, away=front)
    dimension(sheet, view.at((x1, y0, z0)), view.at((x1, y1, z0)), deep, away=right)
    dimension(sheet, view.at((x1, y1, z0)), view.at((x1, y1, z1)), high, away=right)
