"""Wood and the air of its room: damp stock, panels that stick in their grooves, one bare face."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from planbook.checks.outcome import Outcome, judged
from planbook.checks.spaces import Standing, standing
from planbook.checks.subject import Subject, finely_shown
from planbook.checks.wood import NO_ROOM, over_the_year, solid_parts
from planbook.plan.boxes import placed
from planbook.plan.model import Cut, CutKind, Part, Role, StockKind
from planbook.source.diagnostics import Severity
from planbook.units.factors import INCH
from planbook.units.write import decimal

DRIER_PCT = Fraction(2)
WET_RULE = "common practice, no source: wood is worked within 2 % of the middle of its room"
LEFT_MM = INCH / 16
STUCK_RULE = "common practice, no source: 1/16 in (1.6 mm) is left on the dampest day"
WIDE_MM = {"imperial": 6 * INCH, "metric": Fraction(150)}
FACES_RULE = "common practice, no source: both faces of solid wood over 6 in (150 mm) wide get the same coats"
_ONE_FACE = re.compile(
    r"\b(?:upper|top|show|outer|outside|front|one|visible)\s+(?:faces?|sides?|only)\b|\boutside\b|\bshow faces?\b"
)
_ALL_FACES = re.compile(r"\ball\b|\bboth\b|\balike\b|\bunderside\b|\bbottom face\b|\bevery\b|\bwhole\b")


def too_wet(subject: Subject) -> Iterator[Outcome]:
    """Compare the moisture of each wood with the middle of what the air of its room brings it to."""
    room = subject.rows().room
    for stock in subject.plan.stock:
        if stock.kind is StockKind.PANEL:
            continue
        if room is None:
            yield Outcome(of=stock.name, missing=NO_ROOM)
            continue
        built = stock.moisture if stock.moisture is not None else room.built_pct if room.built_stated else None
        if built is None:
            yield Outcome(of=stock.name, missing="nothing says how damp it is when it is worked")
            continue
        middle = (room.driest_pct + room.dampest_pct) / 2
        apart = abs(built - middle)
        told, low, high = (_percent(pct) for pct in (built, room.driest_pct, room.dampest_pct))
        wrong = ""
        if apart > DRIER_PCT:
            wrong = (
                f"`{stock.name}` is worked at {told}, the room brings it to {low} to {high}: {_percent(apart)} off the "
                f"middle, {_percent(DRIER_PCT)} is the most"
            )
        yield judged(
            "too-wet",
            stock.name,
            figure=f"worked at {told}, the room brings it to {low} to {high}",
            limit=f"within {_percent(DRIER_PCT)} of the middle, {_percent(middle)}",
            rule=f"{WET_RULE}; {room.basis.citation}",
            wrong=wrong,
            span=stock.span,
            help="let it lie in the shop until a meter shows less"
            if built > middle
            else "let it take up the air first",
        )


def _percent(value: Fraction) -> str:
    return f"{decimal(value, 1)} %"


def panel_stuck(subject: Subject) -> Iterator[Outcome]:
    """Reckon the room across the grain of each solid panel in its grooves, on the dampest and the driest day."""
    room = subject.rows().room
    everything = standing(subject.plan)
    for part, stock in solid_parts(subject):
        mine = next((one for one in everything if one.part.key == part.key), None)
        if mine is None or mine.placement.turn is not None:
            continue
        beds = _beds(subject, mine, everything)
        if beds is None:
            continue
        gap, tongue = beds
        if room is None:
            yield Outcome(of=part.key, missing=NO_ROOM)
            continue
        moves = over_the_year(subject, stock, part.width.final, room)
        if isinstance(moves, str):
            yield Outcome(of=part.key, missing=moves)
            continue
        left, held = gap - moves.swells_mm, tongue - moves.shrinks_mm
        edition = subject.plan.edition
        swells, shrinks = (finely_shown(mm, edition) for mm in (moves.swells_mm, moves.shrinks_mm))
        most = finely_shown(LEFT_MM, edition)
        figure = (
            f"{finely_shown(gap, edition)} room in its grooves, swells {swells}; "
            f"{finely_shown(tongue, edition)} in the shallower groove, shrinks {shrinks}"
        )
        wrong = ""
        if left < LEFT_MM:
            wrong = f"`{part.key}` has {figure}: {most} must be left"
        elif held <= 0:
            wrong = f"`{part.key}` has {figure}: it comes out of its groove"
        yield judged(
            "panel-stuck",
            part.key,
            figure=figure,
            limit=f"{most} left when dampest, still in both grooves when driest",
            rule=f"{STUCK_RULE}; {moves.equation.citation}; {moves.coefficient.citation}; {room.basis.citation}",
            wrong=wrong,
            span=part.span,
            help=f"give `{part.key}` more `room` in its grooves, and make them deeper by as much",
        )


def _beds(subject: Subject, mine: Standing, everything: tuple[Standing, ...]) -> tuple[Fraction, Fraction] | None:
    """Return the room across the grain in both grooves together, and the least depth that the panel is in one.

    None where it is not held in a groove at both of its long edges.
    """
    axis = "xyz".index(mine.placement.axes[1][1])
    low, high = mine.around[axis]
    below: list[tuple[Fraction, Fraction]] = []
    above: list[tuple[Fraction, Fraction]] = []
    for host in everything:
        for cut in host.part.cuts:
            if cut.kind is not CutKind.GROOVE or cut.for_part != mine.part.key:
                continue
            if cut.hand not in ("", host.placement.hand) or _glued(subject, cut):
                continue
            start, stop = placed(cut.box, host.placement)[axis]
            if host.placement.axes[2][1] != "xyz"[axis]:
                continue
            if start <= low <= stop and not start <= high <= stop:
                below.append((low - start, stop - low))
            elif start <= high <= stop:
                above.append((stop - high, high - start))
    if not below or not above:
        return None
    return below[0][0] + above[0][0], min(below[0][1], above[0][1])


def _glued(subject: Subject, cut: Cut) -> bool:
    joint = next((joint for joint in subject.plan.joints if joint.name == cut.name), None)
    return joint is not None and any("glue" in text.casefold() for text in joint.by)


def one_face_finished(subject: Subject) -> Iterator[Outcome]:
    """Look whether the finish goes on one face only of wide solid wood."""
    finish = subject.written.facts.finish if subject.written is not None else None
    if finish is None:
        return
    where = " ".join((finish.on or "").split())
    limit = WIDE_MM[subject.plan.edition.name]
    wide = [part for part in subject.plan.parts if part.width.final > limit and _solid_part(subject, part)]
    one = _ONE_FACE.search(where.casefold()) is not None and _ALL_FACES.search(where.casefold()) is None
    for part in wide:
        told = f"`{where}`" if where else "no faces named, so all"
        yield judged(
            "one-face-finished",
            part.key,
            figure=f"{told}; it is {subject.shown(part.width.final)} wide",
            limit=f"both faces alike over {subject.shown(limit)}",
            rule=FACES_RULE,
            wrong=f"`{finish.product}` goes on {told}, and `{part.key}` is {subject.shown(part.width.final)} wide: "
            f"over {subject.shown(limit)} both faces are coated alike"
            if one
            else "",
            span=finish.on.span if finish.on is not None else None,
            help="write `on: all faces, both faces of the top alike`",
            severity=Severity.WARN,
        )


def _solid_part(subject: Subject, part: Part) -> bool:
    stock = next((stock for stock in subject.plan.stock if stock.name == part.stock), None)
    return part.role is Role.PART and stock is not None and stock.kind is not StockKind.PANEL
