"""The holes of a sheet: the schedule of each part, and the drill list, as rows for pages, handouts and spreadsheets."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Any

from planbook.drawing.features import across_from, across_text
from planbook.plan.drilling import (
    COUNTERSINK,
    Bored,
    DrillLine,
    Row,
    drill_list,
    hole_schedule,
    rows_of,
    schedule_of,
)
from planbook.plan.model import Part, Plan
from planbook.publish.sheet_runs import joined, size
from planbook.units.editions import Edition
from planbook.units.write import plain_length

BACKED = "through, backed"
"""How a hole right through is bored: on a backing board, or its far rim tears out."""


def holes(plan: Plan) -> dict[str, Any]:
    """Return `parts`, the schedule of each part that is bored, and `bits`, every setting of every bit.

    A part has `letter`, `name`, `pair`, `pieces` and `sides`, each with `face`, `x_from`, `y_from` and `rows`;
    equal holes in a line are one row. A bit has `bit`, `stop`, `count` (for one piece), `where` and `steps`.
    """
    return {
        "parts": [_part(plan, part) for part in plan.parts if part.holes],
        "bits": [_bit(plan, line) for line in drill_list(plan)],
    }


def _part(plan: Plan, part: Part) -> dict[str, Any]:
    lines = iter(schedule_of(part))
    sides: dict[tuple[str, str, str], list[dict[str, Any]]] = {}
    for row in rows_of(part):
        bored = [next(lines) for _ in row.places]
        key = (bored[0].face, bored[0].x_from, _y_from(part, bored[0]))
        sides.setdefault(key, []).extend(_rows(plan, row, bored))
    return {
        "letter": part.letter,
        "name": part.key,
        "pair": part.pair,
        "pieces": part.count,
        "holes": sum(line.count for line in schedule_of(part)),
        "sides": [
            {"face": face, "x_from": x_from, "y_from": y_from, "rows": rows}
            for (face, x_from, y_from), rows in sides.items()
        ],
    }


def _rows(plan: Plan, row: Row, bored: list[Bored]) -> list[dict[str, Any]]:
    """Return one line for a row, or one for each hole where each is bored in a way of its own."""
    if len({tuple(_more(line, plan.edition)) for line in bored}) == 1:
        return [_line(plan, bored, places_of(row, plan.edition))]
    return [_line(plan, [line], size(line.x, plan.edition)) for line in bored]


def _line(plan: Plan, bored: list[Bored], x: str) -> dict[str, Any]:
    edition, first, last = plan.edition, bored[0], bored[-1]
    return {
        "numbers": str(first.number) if first is last else f"{first.number} \u2013 {last.number}",
        "hand": first.hand,
        "x": x,
        "y": _y(plan, first, size),
        "diameter": size(first.diameter, edition.finest),
        "bit": first.bit,
        "deep": _deep(first.deep, edition),
        "more": _more(first, edition),
        "role": first.role,
        "goes_to": _goes_to(plan, first),
        "steps": _steps(plan, (line.step for line in bored)),
    }


def _y_from(part: Part, line: Bored) -> str:
    """Return what Y is measured from: on a part with natural edges from its chalk line."""
    return across_from(part) if line.side.wide else line.y_from


def _y(plan: Plan, line: Bored, written: Callable[[Fraction, Edition], str]) -> str:
    part, edition = plan.part(line.part), plan.edition
    return across_text(part, line.y, edition, written) if line.side.wide else written(line.y, edition)


def places_of(row: Row, edition: Edition) -> str:
    """Return the places of a row: the first, and the spacing where it is even, else each of them."""
    first, spaces = size(row.places[0], edition), len(row.places) - 1
    if spaces > 1 and row.every is not None:
        return f"{first}, then {spaces} \u00d7 {size(row.every, edition)}"
    if spaces > 1 and row.evenly(edition.resolution):
        return f"{first}, then {spaces} equal in {size(row.places[-1] - row.places[0], edition)}"
    return ", ".join(size(place, edition) for place in row.places)


def _deep(deep: Fraction | None, edition: Edition) -> str:
    return BACKED if deep is None else size(deep, edition)


def _more(line: Bored, edition: Edition) -> list[str]:
    """Return what has to be done besides: a wider hole first, a slot, a lean, a countersink, a plug."""
    found = []
    if line.counterbore is not None:
        wide, deep = (size(value, edition.finest) for value in line.counterbore)
        found.append(f"first a counterbore {wide} wide, {deep} deep")
    if line.countersink is not None:
        mouth, angle = line.countersink
        found.append(f"countersink to {size(mouth, edition.finest)}, {angle}°")
    if line.slot_along:
        found.append(f"slot {size(line.slot, edition)} long, along {line.slot_along}")
    if line.tilt:
        turn = round((line.sight + 180) % 360 - 180, 1)
        way = "toward" if turn >= 0 else "away from"
        found.append(f"lean the bit {line.tilt:.3g}° off square; sight line {abs(turn):g}° from X, {way} Y")
    if line.plugged:
        found.append("closed with a plug")
    return found


def _goes_to(plan: Plan, line: Bored) -> str:
    """Return what goes in and where to: `1 1/4 in screw, to B`; else the name of the row."""
    mate = f"to {plan.part(line.mate).letter}" if line.mate else ""
    return ", ".join(word for word in (line.fastener, mate) if word) or line.group


def _steps(plan: Plan, numbers: Iterable[int | None]) -> list[dict[str, Any]]:
    wanted = {number for number in numbers if number is not None}
    return [{"number": step.number, "slug": step.slug} for step in plan.steps if step.number in wanted]


def _bit(plan: Plan, line: DrillLine) -> dict[str, Any]:
    edition = plan.edition
    stop = f"to {size(line.diameter, edition.finest)} wide" if line.bit == COUNTERSINK else _deep(line.deep, edition)
    return {
        "bit": line.bit,
        "diameter": "" if line.bit == COUNTERSINK else size(line.diameter, edition.finest),
        "stop": stop,
        "count": line.count,
        "where": [{"letter": letter, "count": count} for letter, count in line.parts],
        "for": joined(dict.fromkeys((*line.roles, *line.groups))),
        "steps": _steps(plan, line.steps),
    }


def holes_table(plan: Plan) -> bytes:
    """Return the hole schedule as CSV (RFC 4180, UTF-8): one row for each hole, sizes as a workshop reads them."""
    titles = ["letter", "part", "hand", "copies", "hole", "face", "X", "X from", "Y", "Y from", "diameter", "bit"]
    titles += ["depth to full diameter", "remark", "role", "goes to", "fastener", "row or joint", "step"]
    stream = io.StringIO(newline="")
    writer = csv.writer(stream)
    writer.writerow(titles)
    for line in hole_schedule(plan):
        writer.writerow(_cells(plan, line))
    return stream.getvalue().encode("utf-8")


def _cells(plan: Plan, line: Bored) -> list[str]:
    edition = plan.edition
    deep = BACKED if line.deep is None else plain_length(line.deep, edition)
    return [
        line.letter, line.part, line.hand, str(line.count), str(line.number), line.face,
        plain_length(line.x, edition), line.x_from,
        _y(plan, line, plain_length), _y_from(plan.part(line.part), line),
        plain_length(line.diameter, edition.finest), line.bit, deep, "; ".join(_more(line, edition)), line.role,
        plan.part(line.mate).letter if line.mate else "", line.fastener, line.group, str(line.step or ""),
    ]  # fmt: skip
