"""The picture of a step: what kind of work it is decides what is shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from planbook.drawing.assembly import put_letters
from planbook.drawing.bench import cutting_picture, edging_picture, lying_picture, work_on
from planbook.drawing.fit import fitted
from planbook.drawing.joining import joining_picture
from planbook.drawing.pictorial import Item
from planbook.drawing.picture import Picture
from planbook.drawing.sawing import sawing_picture
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import WIDTH
from planbook.drawing.views import Views
from planbook.drawing.wording import lettered, listed, sentence
from planbook.plan.model import Part, Plan, Role, Step
from planbook.shape import states
from planbook.shape.direction import ISO_RIGHT


def step_picture(
    plan: Plan, number: int, *, width: float = WIDTH, height: float = 112.0, views: Views | None = None
) -> Picture | None:
    """Return the picture of the step of that number, or None where there is nothing to show.

    Parts that come to their place are drawn moved out of it; parts that are cut or bored lie with the
    worked face up; parts that are sawn out stand side by side. `width` below 130 mm makes the picture
    for a phone. Raises KeyError for an unknown number.
    """
    step = next((step for step in plan.steps if step.number == number), None)
    if step is None:
        raise KeyError(number)
    views = views or Views(plan)
    fills = _fills(plan, step)
    if fills:
        return _poured(views, step, fills, width=width, height=height)
    if states.new_in(plan, number):
        return joining_picture(views, step, width=width, height=height)
    if any(any(work_on(part, step)) for part in plan.parts):
        return cutting_picture(views, step, width=width, height=height)
    claimed = {*step.joins, *step.trims}
    if any(edging.name in claimed for part in plan.parts for edging in part.edgings):
        return edging_picture(views, step, width=width, height=height)
    if step.makes:
        return sawing_picture(plan, step, width=width, height=height)
    return _concerned(views, step, width=width, height=height)


def _fills(plan: Plan, step: Step) -> tuple[Part, ...]:
    """Return what a step pours into parts that do not stand in their places yet."""
    standing = {one.version.part for one in states.state_before(plan, step.number)}
    return tuple(
        part
        for part in plan.fittings
        if part.role is Role.FILL and part.joined_in == step.number and part.for_part not in standing
    )


def _poured(views: Views, step: Step, fills: Sequence[Part], *, width: float, height: float) -> Picture:
    """Show each part with a void by itself, and in it, toned, what is poured."""
    plan = views.plan
    keys, hosts = {part.key for part in fills}, {part.for_part for part in fills}
    items = [
        Item(
            standing=replace(one, version=states.version_after(plan, one.version.part, step.number)),
            toned=one.version.part in keys,
        )
        for one in states.finished(plan)
        if one.version.part in keys | hosts
    ]
    poured = listed(lettered(part) for part in fills)
    held = listed(lettered(part) for part in plan.parts if part.key in hosts)
    told = f"{poured}, toned, in {held}, step {step.number}"
    return _seen(views, step, items, told, width=width, height=height)


def _concerned(views: Views, step: Step, *, width: float, height: float) -> Picture | None:
    """Show the parts that a step is about: in their places if they stand there, else lying on the bench."""
    plan = views.plan
    named = {part.key for part in plan.parts}
    keys = tuple(key for key in (*step.finishes, *step.marks) if key in named) or step.handles
    parts = [part for part in plan.parts if part.key in keys and (part.made_in is None or part.made_in < step.number)]
    before = states.state_before(plan, step.number)
    standing = {one.version.part for one in before}
    if not parts:
        return None
    if not standing & {part.key for part in parts}:
        return lying_picture(views, step, parts, width=width, height=height)
    if standing <= {part.key for part in parts}:
        return None
    items = [Item(standing=one, toned=one.version.part in keys) for one in before]
    shown = listed(lettered(part) for part in parts if part.key in standing)
    return _seen(
        views, step, items, f"what stands so far, step {step.number}, with {shown} toned", width=width, height=height
    )


def _seen(views: Views, step: Step, items: Sequence[Item], told: str, *, width: float, height: float) -> Picture:
    """Draw parts where they stand, with their letters."""
    plan = views.plan
    view = views.of(items, ISO_RIGHT)

    def build(factor: float, sheet: Sheet) -> None:
        seen = view.scaled(factor)
        seen.draw(sheet, rim=None)
        put_letters(sheet, seen, plan)

    sheet = fitted(build, size=view.size, into=(width, height), around=(6.0, 2.0))
    return sheet.picture(
        title=f"Step {step.number}: {step.title}",
        alt=sentence(f"Isometric view of {told}"),
        width=width,
    )
