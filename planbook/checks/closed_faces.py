"""Faces that nobody reaches any more when they are to be sanded or finished: slots narrower than a hand.

Parts are taken as boxes, shaped ones are not looked at. A part that had its coat before it was joined
is left out: its inner faces were finished then.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from planbook.checks.copies import Copies, Copy
from planbook.checks.neighbours import Floated, pairs_of
from planbook.checks.outcome import Outcome
from planbook.checks.subject import PRACTICE, Subject, finely_shown
from planbook.plan.model import Role, Step
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.units.factors import INCH

HAND = {"imperial": 5 * INCH / 2, "metric": Fraction(60)}
"""What a hand with a cloth or sanding block takes between two faces, in mm (common practice, no source)."""
FINGERS = {"imperial": 4 * INCH, "metric": Fraction(100)}
"""How deep fingers go into a narrower slot from its edge, in mm (common practice, no source)."""
APART = 1.0
"""mm: faces that are no farther apart than this touch, and nobody wants to reach them."""


class Slot(NamedTuple):
    """Two faces with little room between them."""

    room: float
    deep: float
    """From the nearest edge to the middle, in mm."""
    one: Copy
    other: Copy


def cannot_reach(subject: Subject) -> Iterator[Outcome]:
    """Reckon the room before the faces of each part at its first coat, where it is joined by then."""
    edition = subject.plan.edition
    hand, fingers = HAND[edition.name], FINGERS[edition.name]
    copies = Copies(subject.plan)
    coated: dict[str, int] = {}
    for step in subject.plan.steps:
        if not step.finishes:
            continue
        first = [key for key in step.handles if key not in coated]
        coated.update(dict.fromkeys(first, step.number))
        standing = [one for one in copies.after(step.number - 1) if one.part.role is not Role.FILL]
        wanted = [one for one in standing if one.part.key in first]
        if not wanted:
            continue
        slots = [slot for slot in _slots(standing, wanted, float(hand)) if slot.deep > float(fingers)]
        worst = min(slots, key=lambda slot: slot.room, default=None)
        told = f"{finely_shown(hand, edition)}, or no deeper than {finely_shown(fingers, edition)}"
        figure = f"{finely_shown(hand, edition)} or more before {len(wanted)} part{'s' if len(wanted) != 1 else ''}"
        problem = _problem(subject, step, worst) if worst is not None else None
        if worst is not None:
            figure = f"{_shown(subject, worst.room)} between {worst.one.name} and {worst.other.name}"
        yield Outcome(of=f"step {step.number}", figure=figure, limit=told, rule=PRACTICE, problem=problem)


def _problem(subject: Subject, step: Step, slot: Slot) -> Diagnostic:
    edition = subject.plan.edition
    return Diagnostic(
        "cannot-reach",
        Severity.WARN,
        f"in step {step.number} `{slot.one.name}` stands {_shown(subject, slot.room)} from `{slot.other.name}`, a hand "
        f"takes {finely_shown(HAND[edition.name], edition)}: {_shown(subject, slot.deep)} from the edge nobody "
        "sands or finishes it",
        subject.claimed(step.number, (slot.one.part.key,), "works", "finishes"),
        help=f"finish `{slot.one.part.key}` before step {slot.one.part.joined_in}, with its glue faces masked",
        rule=PRACTICE,
    )


def _slots(standing: Sequence[Copy], wanted: Sequence[Copy], room: float) -> Iterator[Slot]:
    """Give the slots narrower than `room` beside wanted copies; both ways round where both are wanted."""
    boxes = [(copy, box) for copy in standing if not copy.shaped for box in copy.boxes]
    for one, other in pairs_of([_grown(box, room / 2) for _, box in boxes]):
        (mine, a), (theirs, b) = boxes[one], boxes[other]
        if mine is theirs or not (mine in wanted or theirs in wanted):
            continue
        apart = [max(p[0] - q[1], q[0] - p[1]) for p, q in zip(a, b, strict=True)]
        axis = max(range(3), key=lambda at: apart[at])
        across = [-apart[at] for at in range(3) if at != axis]
        if APART < apart[axis] < room and min(across) > 0:
            pair = (mine, theirs) if mine in wanted else (theirs, mine)
            yield Slot(apart[axis], min(across) / 2, *pair)


def _grown(box: Floated, by: float) -> Floated:
    x, y, z = ((low - by, high + by) for low, high in box)
    return (x, y, z)


def _shown(subject: Subject, mm: float) -> str:
    return finely_shown(Fraction(round(mm * 1000), 1000), subject.plan.edition)
