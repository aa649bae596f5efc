"""How much wood stays round each hole: to other holes, to cuts, behind it and beside it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from planbook.checks.bores import Bore, behind, beside, bores_of, meetings, to_cut
from planbook.checks.neighbours import WIDER
from planbook.checks.outcome import Outcome
from planbook.checks.subject import PRACTICE, Subject, finely_shown
from planbook.plan.drilling import TWIST, bit_of
from planbook.plan.model import CutKind, Part
from planbook.source.diagnostics import Diagnostic, Severity, Span
from planbook.units.factors import INCH

LEAST = {"imperial": INCH / 8, "metric": Fraction(3)}
"""Least wood between two holes, and between a hole and the next side or cut, in mm (common practice, no source)."""
TIP = 0.5 / math.tan(math.radians(59))
"""How far the point of a twist bit goes beyond its full diameter, in diameters: half of 118 degrees, by geometry."""
OF_JOINT = "holes of "
"""How a joint's own holes are named where its name is that of its dado or groove."""
GRAIN = 1000
"""Parts of a mm that figures are rounded to."""


@dataclass(frozen=True, slots=True)
class Least:
    """The thinnest wood that some hole of a part leaves."""

    left: float
    where: str
    """As the end of `leaves 1/8 in of wood ...`."""
    group: str
    hole: bool = True

    @property
    def name(self) -> str:
        """What leaves it, in words."""
        return f"a hole of `{_joint_of(self.group)}`" if self.hole else f"`{self.group}`"


def holes_meet(subject: Subject) -> Iterator[Outcome]:
    """Reckon for each part the least wood between two of its holes."""
    limit = LEAST[subject.plan.edition.name]
    for part in (*subject.plan.parts, *subject.plan.fittings):
        if len(part.holes) < 2:
            continue
        found = [pair for hand in _hands(part) for pair in meetings(bores_of(part, hand), float(limit) - WIDER)]
        shown = finely_shown(limit, subject.plan.edition)
        figure = f"{shown} or more between {len(part.holes)} holes"
        problem = None
        if found:
            left, one, other = min(found, key=lambda pair: pair[0])
            figure = _shown(subject, left)
            problem = _meeting(subject, part, left, (one, other), shown)
        yield Outcome(of=part.key, figure=figure, limit=f"{shown} of wood", rule=PRACTICE, problem=problem)


def _meeting(subject: Subject, part: Part, left: float, pair: tuple[Bore, Bore], limit: str) -> Diagnostic:
    one, other = (_joint_of(bore.hole.group) for bore in pair)
    names = f"two holes of `{one}`" if one == other else f"a hole of `{one}` and one of `{other}`"
    does = f"leave {_shown(subject, left)} of wood between them" if left > 0 else "run into each other"
    return Diagnostic(
        "holes-meet",
        Severity.WARN,
        f"{names} in `{part.key}` {does}, the limit is {limit}",
        _place_of(subject, other, part),
        further=() if one == other else _further(subject, one),
        help="move one of them, or make it thinner or less deep",
        rule=PRACTICE,
    )


def wood_left(subject: Subject) -> Iterator[Outcome]:
    """Reckon for each part the least wood behind and beside its holes, to its cuts, and round its mortises."""
    limit = LEAST[subject.plan.edition.name]
    shown = finely_shown(limit, subject.plan.edition)
    for part in subject.plan.parts:
        found = [least for hand in _hands(part) for least in (*_round_holes(part, hand), *_round_mortises(part, hand))]
        if not found:
            continue
        worst = min(found, key=lambda least: least.left)
        if math.isinf(worst.left):
            continue
        problem = None
        if worst.left < float(limit) - WIDER:
            left = f"{_shown(subject, worst.left)} of wood" if worst.left > 0 else "no wood"
            problem = Diagnostic(
                "wood-left",
                Severity.WARN,
                f"{worst.name} in `{part.key}` leaves {left} {worst.where}, the limit is {shown}",
                _place_of(subject, worst.group, part),
                help="make it less deep or thinner, or move it",
                rule=PRACTICE,
            )
        figure = f"{worst.name} leaves {_shown(subject, worst.left)} {worst.where}"
        yield Outcome(of=part.key, figure=figure, limit=f"{shown} of wood", rule=PRACTICE, problem=problem)


def _round_holes(part: Part, hand: str) -> Iterator[Least]:
    for bore in bores_of(part, hand):
        group = bore.hole.group
        left = behind(part, bore)
        if left is not None:
            point = TIP * 2 * bore.radius if bit_of(bore.hole) == TWIST else 0.0
            yield Least(left - point, "behind its point" if point else "behind it", group)
        aside, side = beside(part, bore)
        yield Least(aside, f"to the {side}", group)
        for cut in part.cuts:
            if cut.hand in ("", hand):
                yield Least(to_cut(bore, cut), f"to `{cut.name}`", group)


def _round_mortises(part: Part, hand: str) -> Iterator[Least]:
    """Give the walls of mortises: to the sides of the part that they do not open."""
    sizes = (float(part.length.final), float(part.width.final), float(part.thick))
    faces = part.faces
    names = ((faces.datum_end, faces.far_end), (faces.datum_edge, faces.far_edge), (faces.reverse, faces.show))
    for cut in part.cuts:
        if cut.kind is not CutKind.MORTISE or cut.hand not in ("", hand):
            continue
        for (low, high), size, (near, far) in zip((cut.box.l, cut.box.w, cut.box.t), sizes, names, strict=True):
            yield from (Least(float(low), f"to the {near}", cut.name, False) for _ in range(low > 0))
            yield from (Least(size - float(high), f"to the {far}", cut.name, False) for _ in range(float(high) < size))


def _joint_of(group: str) -> str:
    """Return the name under which the author knows a group of holes: that of its joint or row."""
    return group.removeprefix(OF_JOINT)


def _hands(part: Part) -> tuple[str, ...]:
    return ("L", "R") if part.pair else ("",)


def _shown(subject: Subject, mm: float) -> str:
    return finely_shown(Fraction(round(mm * GRAIN), GRAIN), subject.plan.edition)


def _place_of(subject: Subject, group: str, part: Part) -> Span:
    """Return where the plan describes a joint or row of holes, else the place of the part."""
    group = _joint_of(group)
    if subject.written is not None:
        facts = subject.written.facts
        for key in (*facts.joints, *facts.holes):
            if str(key) == group:
                return key.span
    return next((joint.span for joint in subject.plan.joints if joint.name == group), part.span)


def _further(subject: Subject, group: str) -> tuple[tuple[Span, str], ...]:
    if subject.written is None:
        return ()
    keys = (*subject.written.facts.joints, *subject.written.facts.holes)
    return tuple((key.span, f"`{group}` is described here") for key in keys if str(key) == group)
