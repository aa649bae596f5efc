"""Whether a driver reaches each screw at the step that drives it: free room on its axis in front of the head.

Boxes round the parts count where a part is no plain board; then a screw that seems out of reach is
looked at no further.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

from planbook.checks.axes import SCREWS
from planbook.checks.copies import Copies, Copy
from planbook.checks.neighbours import Floated
from planbook.checks.outcome import Outcome
from planbook.checks.subject import PRACTICE, Subject, finely_shown
from planbook.plan.fastened import Fastened, Place
from planbook.plan.model import Placement, Role
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


def no_driver_room(subject: Subject) -> Iterator[Outcome]:
    """Reckon the free room in front of each screw's head when it is driven."""
    groups = [item for item in subject.plan.fastened if item.kind in DRIVEN and item.places]
    if not groups:
        return
    copies, edition = Copies(subject.plan), subject.plan.edition
    long, short = DRILL[edition.name], STUBBY[edition.name]
    last = max((step.number for step in subject.plan.steps), default=0)
    for item in groups:
        standing = [copy for copy in copies.after(item.step or last) if copy.part.role is not Role.FILL]
        room, met = min((_free(place, standing, float(long)) for place in item.places), key=lambda found: found[0])
        yield _outcome(subject, item, room, met, (long, short))


def _outcome(
    subject: Subject, item: Fastened, room: float, met: Copy | None, limits: tuple[Fraction, Fraction]
) -> Outcome:
    edition = subject.plan.edition
    long, short = limits
    of = f"{item.joint}, {item.name}"
    limit = f"{finely_shown(short, edition)}, {finely_shown(long, edition)} for a drill"
    if met is None:
        return Outcome(of=of, figure=f"{finely_shown(long, edition)} or more", limit=limit, rule=PRACTICE)
    if met.shaped:
        return Outcome(of=of, missing=f"`{met.name}` may stand before it, and is no plain board")
    figure = finely_shown(Fraction(round(room * 1000), 1000), edition)
    tight = room < float(short)
    span = next((joint.span for joint in subject.plan.joints if joint.name == item.joint), None)
    asked = f"the shortest driver takes {finely_shown(short, edition)}"
    problem = Diagnostic(
        "no-driver-room",
        Severity.WARN if tight else Severity.NOTE,
        f"in step {item.step} `{met.name}` stands {figure} before a {item.name} of `{item.joint}`, "
        + (asked if tight else f"a drill with its bit takes {finely_shown(long, edition)}"),
        subject.claimed(item.step, (item.joint,), "joins") if item.step is not None else span,
        help=f"drive it before `{met.part.key}` is in place, or from the other side"
        if tight
        else "add a screwdriver or an angle drive to the `with` of the step, or drive it earlier",
        rule=PRACTICE,
    )
    return Outcome(of=of, figure=f"{figure} to {met.name}", limit=limit, rule=PRACTICE, problem=problem)


def _free(place: Place, standing: Sequence[Copy], most: float) -> tuple[float, Copy | None]:
    """Return the free room before a head along its axis, in mm, and what ends it; nothing within `most`."""
    own = [_key(placement) for placement in (*place.passes, *((place.into,) if place.into is not None else ()))]
    out: Vector = (-place.way[0], -place.way[1], -place.way[2])
    room, met = math.inf, None
    for copy in standing:
        if _key(copy.placement) in own:
            continue
        found = min((_hit(box, place.start, out) for box in copy.boxes), default=math.inf)
        if found < min(room, most):
            room, met = found, copy
    return room, met


def _key(placement: Placement) -> tuple[str, int, str]:
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
