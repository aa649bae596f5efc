"""The finished piece in isometric view: with its three overall sizes, or with the letters of its parts."""

from __future__ import annotations

from planbook.drawing.dimension import dimension, unit
from planbook.drawing.pictorial import Item, Pictorial, fitted
from planbook.drawing.picture import Picture
from planbook.drawing.placing import place_letter
from planbook.drawing.sheet import Sheet
from planbook.drawing.wording import lettered, listed, overall_words, sentence, size
from planbook.plan.model import Plan, Role
from planbook.shape import arrange, states
from planbook.shape.direction import ISO_RIGHT, Vector
from planbook.shape.regions import Anchor
from planbook.shape.solids import Body, Solids

NARROW = 104.0
"""Width of a picture made for a phone, with letters of the same height."""


def assembly_picture(plan: Plan, *, width: float = 139.0, height: float = 128.0) -> Picture:
    """Return the finished piece, seen from in front, right and above, with its overall sizes."""
    view = _finished(plan)

    def build(factor: float) -> Sheet:
        sheet = Sheet()
        view.scaled(factor).draw(sheet)
        _overall(sheet, view, plan)
        return sheet

    sheet = fitted(build, size=view.size, into=(width, height))
    return sheet.picture(
        title=plan.title,
        alt=sentence(f"Isometric view of the finished piece, {plan.title}, {overall_words(plan)}"),
        width=width,
    )


def letters_picture(plan: Plan, *, width: float = 139.0, height: float = 128.0) -> Picture:
    """Return the finished piece with a letter on, or a leader to, every part that can be seen."""
    view = _finished(plan)

    def build(factor: float) -> Sheet:
        sheet = Sheet()
        view.scaled(factor).draw(sheet)
        put_letters(sheet, view, plan)
        return sheet

    sheet = fitted(build, size=view.size, into=(width, height), around=16.0)
    parts = listed(lettered(part) for part in plan.parts if part.role is Role.PART)
    alt = f"Isometric view of the finished piece with the letters of its parts: {parts}"
    return sheet.picture(title=f"{plan.title}: which part is where", alt=sentence(alt), width=width)


def _finished(plan: Plan) -> Pictorial:
    items = [Item(standing=standing) for standing in states.finished(plan)]
    return Pictorial(plan, Solids(plan), items, ISO_RIGHT)


def put_letters(sheet: Sheet, view: Pictorial, plan: Plan) -> None:
    """Write the letter of every item that can be seen: where there is most room first."""
    waiting: list[tuple[float, int, Item, Body, Anchor]] = []
    for number, (item, group) in enumerate(zip(view.items, view.bodies, strict=True)):
        anchor = view.anchor(number)
        if anchor is not None:
            waiting.append((-anchor.radius, len(waiting), item, group[0], anchor))
    silhouette = view.silhouette()
    for _, _, item, body, anchor in sorted(waiting, key=lambda row: row[:2]):
        part = plan.part(item.standing.version.part)
        target = (anchor.point[0] * view.factor, anchor.point[1] * view.factor)
        region = view.regions(body)[0]
        place_letter(sheet, part.letter, item.standing.placement.hand, region, target, outside=silhouette)


def _overall(sheet: Sheet, view: Pictorial, plan: Plan) -> None:
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
