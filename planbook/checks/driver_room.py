"""Whether a driver reaches each screw at the step that drives it: free room on its axis in front of the head.

Boxes round the parts count where a part is no plain board; then a screw that seems out of reach is
looked at no further.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from planbook.checks.axes import FINE, SCREWS, in_assembly
from planbook.checks.bores import bores_of
from planbook.checks.capacity import length_of
from planbook.checks.copies import Copies, Copy
from planbook.checks.neighbours import Floated
from planbook.checks.outcome import Outcome
from planbook.checks.subject import PRACTICE, Subject, finely_shown
from planbook.plan.fastened import Place
from planbook.plan.model import Part, Placement, Plan, Role
from planbook.plan.shapes import Vector
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.units.factors import INCH

DRILL = {"imperial": 9 * INCH, "metric": Fraction(230)}
"""Length of a cordless drill with a bit in its chuck, in mm (common practice, no source)."""
STUBBY = {"imperial": 4 * INCH, "metric": Fraction(100)}
"""Length of the shortest usual screwdriver, or of an angle drive with its bit, in mm (common practice, no source)."""
WIDE = 8.0
"""Half the width of a bit in its holder, in mm (common practice, no source): a chuck comes in at a slight angle."""
DRIVEN = (*SCREWS, "hanger bolt", "machine screw")
SHOP_RULE = "the shop's own list of tools"


@dataclass(frozen=True, slots=True)
class Needs:
    """Room that the tools of a step need on an axis."""

    least: Fraction
    """Below it nothing reaches."""
    least_by: str
    usual: Fraction
    """Below it only a short tool does."""
    usual_by: str
    rule: str


def no_driver_room(subject: Subject) -> Iterator[Outcome]:
    """Reckon the free room before each screw when it is driven, and before each hole bored after assembly."""
    groups = [item for item in subject.plan.fastened if item.kind in DRIVEN and item.places]
    late = list(_late(subject.plan))
    if not groups and not late:
        return
    copies = Copies(subject.plan)
    last = max((step.number for step in subject.plan.steps), default=0)
    for item in groups:
        step = item.step or last
        standing, needs = _standing(copies, step), _needs(subject, step, bored=False)
        axes = [(place.start, place.way, _own(place)) for place in item.places]
        room, met = min((_free(*axis, standing, needs) for axis in axes), key=lambda found: found[0])
        yield _outcome(subject, item.joint, f"a {item.name}", step, (room, met), needs)
    for part, group, step in late:
        standing, needs = _standing(copies, step), _needs(subject, step, bored=True)
        axes = [axis for copy in standing if copy.part is part for axis in _bored(copy, group, step)]
        if axes:
            room, met = min((_free(*axis, standing, needs) for axis in axes), key=lambda found: found[0])
            yield _outcome(subject, group, "a hole", step, (room, met), needs)


def _standing(copies: Copies, step: int) -> list[Copy]:
    return [copy for copy in copies.after(step) if copy.part.role is not Role.FILL]


def _late(plan: Plan) -> Iterator[tuple[Part, str, int]]:
    """Give the groups of holes that are bored into a part after it was joined, with their step."""
    for part in (*plan.parts, *plan.fittings):
        steps = {hole.group: hole.step for hole in part.holes}
        for group, step in steps.items():
            if step is not None and part.joined_in is not None and step > part.joined_in:
                yield part, group, step


def _bored(copy: Copy, group: str, step: int) -> Iterator[tuple[Vector, Vector, list[Key]]]:
    """Give the axes of late holes: where each enters, its way into the wood, and the copy that it is in."""
    for bore in bores_of(copy.part, copy.placement.hand):
        if bore.hole.group == group and bore.hole.step == step:
            yield (*in_assembly(copy.placement, bore.start, bore.way), [_key(copy.placement)])


def _needs(subject: Subject, number: int, *, bored: bool) -> Needs:
    """Return the room that the tools of a step need: as the shop states it, else the usual lengths."""
    edition = subject.plan.edition.name
    shop = subject.shop.tools if subject.shop is not None else {}
    stated = []
    for step in subject.plan.steps:
        for use in step.tools if step.number == number else ():
            source = next((source for key, source in shop.items() if key == use.key), None)
            room = length_of(subject, source.room) if source is not None else None
            if room is not None:
                stated.append((room, f"the {use.key}"))
    if stated:
        room, name = min(stated)
        return Needs(room, name, room, name, SHOP_RULE)
    drill = "a drill with its bit"
    if bored:
        return Needs(DRILL[edition], drill, DRILL[edition], drill, PRACTICE)
    return Needs(STUBBY[edition], "the shortest driver", DRILL[edition], drill, PRACTICE)


def _outcome(
    subject: Subject, group: str, what: str, step: int, found: tuple[float, Copy | None], needs: Needs
) -> Outcome:
    edition = subject.plan.edition
    room, met = found
    least, usual = finely_shown(needs.least, edition), finely_shown(needs.usual, edition)
    limit = usual if needs.least == needs.usual else f"{least}, {usual} for a drill"
    if met is None:
        return Outcome(of=group, figure=f"{usual} or more before {what}", limit=limit, rule=needs.rule)
    if met.shaped:
        return Outcome(of=group, missing=f"`{met.name}` may stand before it, and is no plain board")
    figure = finely_shown(Fraction(round(room * 1000), 1000), edition)
    tight = room < float(needs.least)
    asked = f"{needs.least_by} takes {least}" if tight else f"{needs.usual_by} takes {usual}"
    problem = Diagnostic(
        "no-driver-room",
        Severity.WARN if tight else Severity.NOTE,
        f"in step {step} `{met.name}` stands {figure} before {what} of `{group}`, {asked}",
        subject.claimed(step, (group,), "joins", "cuts"),
        help=f"do it before `{met.part.key}` is in place, or from the other side"
        if tight
        else "add a screwdriver or an angle drive to the `with` of the step, or drive it earlier",
        rule=needs.rule,
    )
    return Outcome(
        of=group, figure=f"{figure} before {what}, to {met.name}", limit=limit, rule=needs.rule, problem=problem
    )


Key = tuple[str, int, str]


def _own(place: Place) -> list[Key]:
    return [_key(placement) for placement in (*place.passes, *((place.into,) if place.into is not None else ()))]


def _free(
    start: Vector, way: Vector, own: Sequence[Key], standing: Sequence[Copy], needs: Needs
) -> tuple[float, Copy | None]:
    """Return the free room before an axis, in mm, and what ends it; nothing where the usual tool fits."""
    out: Vector = (-way[0], -way[1], -way[2])
    room, met = math.inf, None
    for copy in standing:
        if _key(copy.placement) in own:
            continue
        found = min((_hit(box, start, out) for box in copy.boxes), default=math.inf)
        if found < min(room, float(needs.usual) - FINE):
            room, met = found, copy
    return room, met


def _key(placement: Placement) -> Key:
    return (placement.part, placement.copy, placement.hand)


def _hit(box: Floated, start: Vector, out: Vector) -> float:
    """Return how far out along an axis a driver of that width meets a box, in mm; infinite where it passes.

    Square to a side of the box; beside a slanted axis the width is left out.
    """
    low, high = -math.inf, math.inf
    for (first, last), at, run in zip(box, start, out, strict=True):
        if abs(run) <= 1e-9:
            if not first - WIDE < at < last + WIDE:
                return math.inf
            continue
        ends = sorted(((first - at) / run, (last - at) / run))
        low, high = max(low, ends[0]), min(high, ends[1])
    return max(low, 0.0) if high > max(low, 0.0) else math.inf
