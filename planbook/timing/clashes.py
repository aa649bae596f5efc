"""Count what is wrong with a timetable, from the visits alone: the solver's word is not taken for it."""

from __future__ import annotations

from collections import defaultdict

from planbook.timing.clock import Pause
from planbook.timing.problem import Operation
from planbook.timing.timetable import Timetable

Taken = tuple[int, int, str]
"""From, to, by whom."""


def clashes(table: Timetable) -> tuple[str, ...]:
    """Return a sentence for each clash; empty for a timetable that can be lived."""
    return (
        *_complete(table),
        *_persons(table),
        *_stations(table),
        *_teachers(table),
        *_precedence(table),
        *_hours(table),
        *_hands(table),
        *_shown(table),
    )


def _operations(table: Timetable) -> dict[str, Operation]:
    return {operation.key: operation for operation in table.lesson.operations}


def _complete(table: Timetable) -> list[str]:
    wanted = [o.key for o in table.lesson.operations if not o.prepared]
    found: list[str] = []
    for maker in range(1, table.makers + 1):
        there = sorted(visit.operation for visit in table.of(maker))
        if there != sorted(wanted):
            found.append(f"{maker} does {len(there)} steps of {len(wanted)}")
    return found


def _overlaps(taken: list[Taken], most: int = 1) -> list[str]:
    """Return who begins when more than `most` are taken already."""
    found: list[str] = []
    open_until: list[int] = []
    for start, end, who in sorted(taken):
        open_until = [until for until in open_until if until > start]
        if end > start:
            open_until.append(end)
        if len(open_until) > most:
            found.append(f"{who} at minute {start}")
    return found


def _persons(table: Timetable) -> list[str]:
    hands = table.lesson.group.hands
    taken: dict[int, list[Taken]] = defaultdict(list)
    for visit in table.visits:
        taken[visit.maker] += [(visit.start, visit.end, f"{visit.maker} for {visit.operation}")] * hands
        for helper, start, end in visit.helpers:
            taken[helper].append((start, end, f"{helper} helps {visit.maker} with {visit.operation}"))
    for common in table.common:
        for maker in range(1, table.makers + 1) if common.kind == "demonstration" else ():
            taken[maker] += [(common.start, common.end, f"{maker} at the demonstration of {common.operation}")] * hands
    return [f"in two places: {who}" for maker in sorted(taken) for who in _overlaps(taken[maker], hands)]


def _stations(table: Timetable) -> list[str]:
    found: list[str] = []
    operations = _operations(table)
    for station in table.lesson.stations:
        units: dict[int, list[Taken]] = defaultdict(list)
        for visit in table.visits:
            for use, place in zip(operations[visit.operation].uses, visit.places, strict=True):
                if place.station != station.key:
                    continue
                if len(place.units) < use.count:
                    found.append(f"{visit.maker} gets {len(place.units)} of {use.count} {station.key}")
                for unit in place.units:
                    units[unit].append((visit.start, place.until, f"{visit.maker} for {visit.operation}"))
        for common in table.common:
            if station.set and common.kind == "setting" and station.key in common.stations:
                for unit in range(1, station.count + 1):
                    units[unit].append((common.start, common.end, f"the setting for {common.operation}"))
        found += [
            f"{station.key} {unit} taken twice: {who}" for unit in sorted(units) for who in _overlaps(units[unit])
        ]
        found += [f"{station.key} has no unit {unit}" for unit in sorted(units) if unit > station.count]
    return found


def _teachers(table: Timetable) -> list[str]:
    eyes = {station.key for station in table.lesson.stations if station.eye}
    operations = _operations(table)
    taken: list[Taken] = [(common.start, common.end, f"{common.kind} of {common.operation}") for common in table.common]
    for visit in table.visits:
        if operations[visit.operation].eye or any(place.station in eyes for place in visit.places):
            taken.append((visit.start, visit.end, f"{visit.maker} for {visit.operation}"))
    return [f"teacher in two places: {who}" for who in _overlaps(taken, 1 + table.lesson.group.assistants)]


def _precedence(table: Timetable) -> list[str]:
    operations = _operations(table)
    common = {(one.kind, one.operation): one for one in table.common}
    found: list[str] = []
    for maker in range(1, table.makers + 1):
        mine = {visit.operation: visit for visit in table.of(maker)}
        for visit in mine.values():
            operation = operations[visit.operation]
            slack = table.lesson.slack if operation.pause is Pause.NONE else 0
            for key in operation.after:
                if key in mine and mine[key].cured + slack > visit.start:
                    found.append(f"{maker} begins {visit.operation} before {key} is ready")
            if operation.demonstration and common["demonstration", operation.key].end > visit.start:
                found.append(f"{maker} begins {visit.operation} before it is shown")
            setting = common.get(("setting", operation.key))
            if setting is not None and setting.end > visit.start:
                found.append(f"{maker} begins {visit.operation} before it is set")
    return found


def _hours(table: Timetable) -> list[str]:
    operations = _operations(table)
    found: list[str] = []
    for visit in table.visits:
        operation = operations[visit.operation]
        if not _in_hours(table, visit.start, visit.end, table.lesson.minutes(operation), operation.pause):
            found.append(f"{visit.maker} at {visit.operation} outside the hours")
    for common in table.common:
        pause = Pause.NONE if common.kind == "demonstration" else Pause.BREAK
        if not _in_hours(table, common.start, common.end, 0, pause):
            found.append(f"{common.kind} of {common.operation} outside the hours")
    return found


def _shown(table: Timetable) -> list[str]:
    """Return the demonstrations after which nobody begins at once."""
    found: list[str] = []
    for common in table.common:
        if common.kind == "demonstration":
            begun = min(visit.start for visit in table.visits if visit.operation == common.operation)
            if any(common.end <= start < begun for start in table.grid.starts) or _night(table, common.end, begun):
                found.append(f"nobody begins {common.operation} right after it is shown")
    return found


def _night(table: Timetable, minute: int, later: int) -> bool:
    """Return whether a session ends between two minutes."""
    origin = table.grid.moments[0].timestamp()
    ends = [round((session.end.timestamp() - origin) / 60) for session in table.lesson.sessions]
    return any(minute <= end <= later for end in ends)


def _in_hours(table: Timetable, start: int, end: int, minutes: int, pause: Pause) -> bool:
    """Return whether work begins and ends inside sessions, bears its pauses and has its minutes."""
    grid = table.grid
    origin = grid.moments[0].timestamp()
    inside = 0
    sessions, stretches = 0, 0
    for session in table.lesson.sessions:
        begin, close = session.start, session.end
        edges = [begin, *(moment for pair in session.breaks for moment in pair), close]
        touched = 0
        for one, two in zip(edges[::2], edges[1::2], strict=True):
            a, b = (round((moment.timestamp() - origin) / 60) for moment in (one, two))
            shared = min(b, end) - max(a, start)
            if shared > 0:
                inside += shared
                touched += 1
        stretches += touched
        sessions += touched > 0
    if pause is Pause.NONE and stretches > 1:
        return False
    if pause is Pause.BREAK and sessions > 1:
        return False
    return inside >= minutes and inside > 0 if end > start else True


def _hands(table: Timetable) -> list[str]:
    operations, group = _operations(table), table.lesson.group
    found: list[str] = []
    for visit in table.visits:
        lacking = max(0, min(operations[visit.operation].hands, group.makers * group.hands) - group.hands)
        helped = sum(_worked(table, start, end) for _, start, end in visit.helpers)
        if helped < lacking * _worked(table, visit.start, visit.end):
            found.append(f"{visit.maker} lacks hands for {visit.operation}")
    return found


def _worked(table: Timetable, start: int, end: int) -> int:
    return sum(table.grid.slot for begin in table.grid.starts if start <= begin < end)
