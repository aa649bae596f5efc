"""Whether the parts of each step can be moved to their places in a straight line.

Before the step stands what earlier joints hold together; the step brings new parts. They may go in one
after another or some of them together, each along one straight way: left or right, to the front or the
back, up or down, or along the length of a part that leans; where dowels, biscuits or loose tenons of the
step hold two parts, only along these. Bores, screws, play and what is still left long are not looked at,
nor is tilting a part in.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from planbook.checks.copies import Copies, Copy
from planbook.checks.fit import tolerance
from planbook.checks.neighbours import WIDER
from planbook.checks.outcome import Outcome
from planbook.checks.passing import DOWELS, STRAIGHT, Known, Passing, Way, own_ways
from planbook.checks.subject import EXACT, Subject, finely_shown
from planbook.checks.units import Apart, pinned_at, taken_apart, units_at
from planbook.plan.model import Role, Step
from planbook.source.diagnostics import Diagnostic, Severity

COMES = {
    "+x": "from the right",
    "-x": "from the left",
    "+y": "from the back",
    "-y": "from the front",
    "+z": "from above",
    "-z": "from below",
}
"""How a part comes in that leaves along a way."""
MOST_LEANING = 60
"""Each of them may stand in the way of every other."""
TOLD = 4
"""Of more parts than this only the number is told."""


def trapped_part(subject: Subject) -> Iterator[Outcome]:
    """Reckon for each step whether its new parts can be moved to their places."""
    plan = subject.plan
    play = tolerance(plan.edition)
    copies, known = Copies(plan), Known()
    for step in plan.steps:
        standing = [copy for copy in copies.after(step.number) if copy.part.role is not Role.FILL]
        new = [copy for copy in standing if copy.part.joined_in == step.number]
        if not new or len(standing) < 2:
            continue
        units = units_at(plan, step.number, standing)
        leaning = sum(bool(own_ways(unit)) for unit in units)
        if leaning > MOST_LEANING:
            told = f"{leaning} parts lean, {MOST_LEANING} in one step are the most that are looked at"
            yield Outcome(of=f"step {step.number}", missing=told)
            continue
        apart, passing = taken_apart(units, subject.shapes, float(play) + WIDER, known, pinned_at(plan, step.number))
        if apart.unknown:
            told = f"{apart.unknown} parts hold each other as boxes, and are too many to be looked at as solids"
            yield Outcome(of=f"step {step.number}", missing=told)
            continue
        stuck = (some for some in apart.stuck if any(units[number].new for number in some))
        problem = next((_trapped(subject, step, some, passing) for some in stuck), None)
        yield Outcome(
            of=f"step {step.number}",
            figure="" if problem is not None else _told(apart, passing),
            limit=f"{finely_shown(play, plan.edition)} across stands in the way",
            rule=EXACT,
            problem=problem,
        )


def _told(apart: Apart, passing: Passing) -> str:
    """Return how the new parts come in, or how many there are."""
    new = [number for number, unit in enumerate(passing.units) if unit.new]
    ways = [(passing.units[number].name, apart.left[number]) for number in new if number in apart.left]
    if len(ways) < len(new) or len(ways) > TOLD:
        return f"{len(new)} part{'s' if len(new) != 1 else ''}, each along a straight way"
    return ", ".join(dict.fromkeys(f"{name} {_comes(way)}" for name, way in ways))


def _comes(way: Way) -> str:
    return COMES.get(way[0], "along its dowels" if way[0].startswith(DOWELS) else "along its length")


def _trapped(subject: Subject, step: Step, some: tuple[int, ...], passing: Passing) -> Diagnostic:
    """Tell of the new part that has least in its way."""
    edition = subject.plan.edition
    met = [(*_least(number, some, passing), number) for number in some if passing.units[number].new]
    width, way, other, number = min(met, key=lambda item: item[0])
    unit = passing.units[number]
    copy = unit.copies[0]
    shown = finely_shown(Fraction(round(width * 1000), 1000), edition)
    return Diagnostic(
        "trapped-part",
        Severity.WARN,
        f"`{unit.name}` cannot be moved to its place in step {step.number} along any straight way: even {_comes(way)} "
        f"`{other.name}` stands {shown} in its way, the limit is {finely_shown(tolerance(edition), edition)}",
        subject.claimed(step.number, _claims(subject, copy), "joins", "sets"),
        further=((copy.part.span, f"`{copy.part.key}` is described here"),),
        help=f"join `{copy.part.key}` in the step of `{other.part.key}` or before it, let the joint run out to an "
        "edge, or accept it with the way it is brought in",
        rule=EXACT,
    )


def _least(number: int, some: tuple[int, ...], passing: Passing) -> tuple[float, Way, Copy]:
    """Return the widest thing in the way of a unit on the way where that is least, with the way and the thing."""
    found: list[tuple[float, Way, Copy]] = []
    for way in (*passing.ways(number), *STRAIGHT):
        met = [passing.between(number, other, way) for other in some if other != number]
        width, copy = max(met, key=lambda item: item[0])
        if copy is not None:
            found.append((width, way, copy))
    return min(found, key=lambda item: item[0])


def _claims(subject: Subject, copy: Copy) -> tuple[str, ...]:
    """Return the names under which a step may claim a part: its own, and those of its joints."""
    key = copy.part.key
    joints = [joint.name for joint in subject.plan.joints if key in (*joint.receiving, *joint.entering)]
    return (key, *joints)
