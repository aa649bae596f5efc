"""What a class needs beside its timetable: preparation, kit, costs, what hangs at each machine, what is signed."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from planbook.plan.model import Hazard, Part, Plan, Role, Signal, Step
from planbook.publish.book_info import BookInfo
from planbook.publish.class_facts import Class, ShopStation
from planbook.publish.class_run import unit_of
from planbook.publish.class_solved import Solved
from planbook.publish.sheet_runs import bench_minutes, number, run, runs
from planbook.publish.sheet_safety import hazard
from planbook.trade.lookup import TradeError
from planbook.trade.machines import Tool, find_tool
from planbook.units.amounts import write_area, write_board_feet

_ORDER = tuple(Signal)
_SIGNS = {
    "eyes": "eye protection",
    "ears": "ear protection",
    "mask": "mask",
    "no-gloves": "no gloves",
    "unplug": "unplug first",
    "gloves": "gloves",
}
_MOST_SIGNS = 4
# Common practice, no source.
_LEAVE = "Switch off. Wait until it stands still. Brush the chips off, never with a hand. Take key and cord with you."
_ASK = "It smokes, squeals or shakes. The work does not lie firm. The bit or blade is dull. Or: you are not sure."


def preparation(solved: Solved) -> dict[str, Any]:
    """Return what the teacher does before the class: steps with minutes, ready-made parts, settings, test pieces."""
    one = solved.one
    steps = []
    for operation, share in zip(solved.work.lesson.operations, solved.work.shares, strict=True):
        if operation.prepared:
            step = share.step
            minutes = int(step.time.set_up) + solved.work.lesson.preparation(operation)
            steps.append(
                {
                    "number": step.number,
                    "title": step.title,
                    "slug": step.slug,
                    "minutes": bench_minutes(Fraction(minutes)),
                    "count": one.makers,
                    "parts": ", ".join(_lettered(one.plan, name) for name in step.handles),
                    "test": runs(step.good_enough),
                }
            )
    ready = [{"text": f"{count} × {_lettered(one.plan, part)}"} for part, count in one.ready_made]
    return {
        "steps": steps,
        "ready": ready,
        "set": _first_settings(solved),
        "tests": _tests(one),
        "bits": _bits(solved),
        "last": [
            *(f"It ran out: {thing}." for thing in (one.notes.ran_out if one.notes is not None else ())),
            *(one.notes.remarks if one.notes is not None else ()),
        ],
    }


def _lettered(plan: Plan, name: str) -> str:
    part = next((part for part in plan.parts if part.key == name), None)
    return f"{part.letter} {name}" if part is not None and part.letter else name


def _first_settings(solved: Solved) -> list[dict[str, str]]:
    """Return the step that each station stands set for when the class begins."""
    found: dict[str, dict[str, str]] = {}
    keys = {station.key for station in solved.work.lesson.stations if station.set}
    for operation, share in zip(solved.work.lesson.operations, solved.work.shares, strict=True):
        if share.station in keys and share.station not in found and not operation.prepared:
            found[share.station] = {
                "station": share.station,
                "for": f"step {share.step.number}, {share.step.title}",
                "with": ", ".join(settings_of(share.step)) or "as it stands",
            }
    return list(found.values())


def settings_of(step: Step) -> list[str]:
    """Return the bits of a step, in the edition's writing: tools that no shop keeps under a name."""
    return [use.text for use in step.tools if not use.key]


def _tests(one: Class) -> list[str]:
    return [
        f"{part.count * one.makers} test pieces: {part.key}, "
        f"{number(part.length.final, one.plan.edition)} × {number(part.width.final, one.plan.edition)}"
        for part in one.plan.parts
        if part.role is Role.TEST
    ]


def _bits(solved: Solved) -> list[str]:
    found = [text for share in solved.work.shares for text in settings_of(share.step)]
    return list(dict.fromkeys(found))


def kit(solved: Solved) -> dict[str, Any]:
    """Return what goes into each bag, the shared pool, and what to buy for all."""
    one, plan = solved.one, solved.one.plan
    makers = one.makers
    papers = {row.key for row in plan.materials if row.group == "abrasive"}
    bought = [
        {
            "text": item.text,
            "each": item.amount or str(item.count),
            "all": f"{makers} × {item.amount}" if item.amount else str(item.count * makers),
        }
        # Abrasive paper that is reckoned by area stands in the buying list alone.
        for item in plan.bought
        if item.counted or item.amount or item.key not in papers
    ]
    return {"bag": bag(one), "bought": bought, "stock": _stock(plan, makers), "makers": makers, "unit": unit_of(one)}


def bag(one: Class) -> list[dict[str, Any]]:
    """Return the parts of one bag, with how many there are for the whole class and its spares."""
    plan, makers, spares = one.plan, one.makers, dict(one.ready_made)
    return [
        {
            "letter": part.letter,
            "name": part.key,
            "each": part.count,
            "spare": spares.get(part.key, 0),
            "all": part.count * makers + spares.get(part.key, 0),
            "size": f"{number(part.length.final, plan.edition)} × {number(part.width.final, plan.edition)}",
            "prepared": _made_in(part, one),
        }
        for part in plan.parts
        if part.role is Role.PART
    ]


def _made_in(part: Part, one: Class) -> str:
    """Return by whom a part is sawn out: the teacher beforehand, or the class in a step."""
    step = next((step for step in one.plan.steps if part.key in step.makes), None)
    if step is None:
        return ""
    if step.slug in one.prepared:
        return "beforehand"
    return "at home" if step.slug in one.at_home else f"step {step.number}"


def _stock(plan: Plan, makers: int) -> list[dict[str, str]]:
    totals = {total.stock: total for total in plan.totals}
    found = []
    for stock in plan.stock:
        total = totals.get(stock.name)
        if total is None:
            continue
        feet = total.board_feet
        amount = (
            write_board_feet(feet * makers)
            if feet is not None and plan.edition.name == "imperial"
            else write_area(total.area * makers, plan.edition)
        )
        found.append(
            {"text": f"{stock.material}, {stock.nominal}", "pieces": str(total.pieces * makers), "all": amount}
        )
    return found


def costs(one: Class) -> dict[str, Any]:
    """Return the costs of a class: per student, and the number of students from which it pays; empty without any."""
    if not one.costs:
        return {}
    makers, students = one.makers, one.students
    each = sum((cost.amount for cost in one.costs if not cost.once), Fraction(0))
    once = sum((cost.amount for cost in one.costs if cost.once), Fraction(0))
    whole = each * makers + once
    result = {
        "rows": [
            {
                "what": cost.what,
                "each": "once" if cost.once else f"{makers} × {money(one, cost.amount)}",
                "all": money(one, cost.amount * (1 if cost.once else makers)),
            }
            for cost in one.costs
        ],
        "whole": money(one, whole),
        "student": money(one, _up(whole / students)),
        "price": money(one, one.price) if one.price is not None else "",
        "left": money(one, one.price * students - whole) if one.price is not None else "",
        "even": "",
    }
    if one.price is not None:
        result["even"] = str(break_even(one) or "none")
    return result


def break_even(one: Class) -> int | None:
    """Return the smallest number of students whose fees pay all costs; None where a student costs more than pays.

    In pairs, two students share what one piece costs; an odd student joins a pair.
    """
    assert one.price is not None
    each = sum((cost.amount for cost in one.costs if not cost.once), Fraction(0))
    once = sum((cost.amount for cost in one.costs if cost.once), Fraction(0))
    for students in range(1, 1001):
        makers = max(1, students // 2) if one.pairs else students
        if one.price * students >= each * makers + once:
            return students
    return None


def money(one: Class, amount: Fraction) -> str:
    """Return an amount with the sign of the class: `$ 12.50`, `$ 70`."""
    text = f"{float(amount):.2f}".removesuffix(".00")
    return f"{one.money} {text}".strip()


def _up(amount: Fraction) -> Fraction:
    return Fraction(-int(-amount * 100 // 1), 100)


def walls(solved: Solved, book: BookInfo) -> list[dict[str, Any]]:
    """Return a wall sheet for each station that a motor drives and that the class or its preparation uses."""
    found = []
    for station in solved.one.stations:
        steps = [
            share.step
            for share in solved.work.shares
            if any(use.key in station.tools for use in share.step.tools) and share.step.slug not in solved.one.prepared
        ]
        steps = list({step.slug: step for step in steps}.values())
        powered = [tool for tool in map(book.tool, station.tools) if tool is not None and tool.powered]
        if steps and powered:
            found.append(_wall(station, steps, book))
    return found


def _wall(station: ShopStation, steps: list[Step], book: BookInfo) -> dict[str, Any]:
    info = book.tool(station.tools[0])
    assert info is not None
    known = _machine(station.tools)
    turning = known is None or known.turning
    wear = [sign for sign in info.wear if sign != "gloves"]
    wanted = [*wear[:2], *(["no-gloves"] if turning else []), *wear[2:]]
    signs = [*wanted[: _MOST_SIGNS - 1], "unplug"]
    before = list(known.practices[:4]) if known is not None else []
    hazards = [(item, step) for step in steps for item in step.hazards]
    return {
        "station": station.key,
        "title": station.key[:1].upper() + station.key[1:],
        "age": station.minimum_age,
        "eye": station.eye,
        "signs": [{"sign": sign, "text": _SIGNS[sign]} for sign in signs],
        "also": [_SIGNS[sign] for sign in wanted if sign not in signs],
        "before": [_sentence(text) for text in before]
        + ["Hair tied back, sleeves up, rings off.", "A hand reaches the switch."],
        "settings": [
            {
                "step": f"step {step.number}",
                "title": step.title,
                "with": "; ".join(settings_of(step)) or "no bit or blade of its own",
            }
            for step in steps
        ],
        "hazard": _fitting(hazards, station, known, info.care),
        "care": info.care,
        "leave": _LEAVE,
        "ask": _ASK,
    }


def _machine(names: tuple[str, ...]) -> Tool | None:
    for name in names:
        try:
            return find_tool(name)
        except TradeError:
            continue
    return None


def _fitting(
    hazards: list[tuple[Hazard, Step]], station: ShopStation, known: Tool | None, care: str
) -> dict[str, Any] | None:
    """Return the gravest hazard of the steps with the tool in its title, else the usual one of such a machine."""
    word = station.tools[0].split()[-1].casefold()
    named = [(item, step) for item, step in hazards if word in _title(item).casefold()]
    if named:
        return hazard(*min(named, key=lambda pair: _ORDER.index(pair[0].signal)))
    if known is None:
        return None
    return {
        "signal": known.signal,
        "title": [run("text", _sentence(known.hazards[0]).rstrip("."))],
        "text": [run("text", care)],
        "step": 0,
        "slug": "",
    }


def _title(item: Hazard) -> str:
    return "".join(str(piece.text) for piece in item.title)


def _sentence(text: str) -> str:
    text = text.strip()
    return f"{text[:1].upper()}{text[1:]}" + ("" if text.endswith(".") else ".")


def checkout(solved: Solved, book: BookInfo) -> list[dict[str, Any]]:
    """Return the tools that are handed out, with how many the whole class has out at once, by kind."""
    one = solved.one
    most: dict[str, int] = {}
    for share in solved.work.shares:
        if share.step.slug in one.prepared:
            continue
        for use in share.step.tools:
            if use.key:
                most[use.key] = max(most.get(use.key, 0), use.count)
    shared = {tool: station.count for station in one.stations for tool in station.tools}
    rows = []
    for key, count in most.items():
        info = book.tool(key)
        if info is None or info.kind in ("machine", "supply"):
            continue
        rows.append(
            {"name": info.key, "kind": info.kind, "count": min(count * one.makers, shared.get(key, count * one.makers))}
        )
    kinds = ("machine", "power tool", "hand tool", "measuring")
    return sorted(rows, key=lambda row: kinds.index(row["kind"]) if row["kind"] in kinds else 9)


def sign_off(solved: Solved) -> dict[str, Any]:
    """Return what each student is shown and signs: the machines of the class, with the youngest age at each."""
    used = {share.station for share in solved.work.shares if share.step.slug not in solved.one.prepared}
    machines = [station for station in solved.one.stations if station.key in used]
    return {
        "students": solved.one.students,
        "machines": [{"name": station.key, "age": station.minimum_age} for station in machines],
    }


def youngest(one: Class, solved: Solved) -> int:
    """Return the youngest age of a student who may work at every station of the class; 0 where nothing is said."""
    used = {share.station for share in solved.work.shares}
    return max((station.minimum_age for station in one.stations if station.key in used), default=0)
