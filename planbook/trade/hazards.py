"""Cautions that follow from the tools, the materials and the work of a step.

They gather what is usual; they promise nothing. The tool maker's instructions, the product's own
sheet and local codes come first, and an author may add to them but not take them away.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from planbook.trade.dust import dust_harms
from planbook.trade.lookup import TradeError, key, nearest, table
from planbook.trade.machines import Tool, find_tool
from planbook.trade.products import find_product
from planbook.trade.signs import signal_rank
from planbook.trade.sourced import Basis

DUSTY = ("sand", "saw", "rout", "bore", "plane", "turn")
"""Operations that raise dust."""


@dataclass(frozen=True, slots=True)
class Caution:
    """One hazard of a step: what, why, how to keep clear of it, what to wear."""

    slug: str
    of: str
    """The tool, material or operation it comes from."""
    signal: str
    hazards: tuple[str, ...]
    avoid: tuple[str, ...]
    wear: tuple[str, ...]
    signs: tuple[str, ...]
    basis: Basis


def operation_names() -> tuple[str, ...]:
    """Return the operations that rules ask for, in table order, and those that raise dust."""
    known = [word for row in table("hazards")["rules"] for word in row["when"].get("operation", ())]
    return tuple(dict.fromkeys([*known, *DUSTY]))


def material_names() -> tuple[str, ...]:
    """Return the materials that rules ask for, in table order."""
    rows = table("hazards")["rules"]
    return tuple(dict.fromkeys(word for row in rows for word in row["when"].get("material", ())))


def finish_materials(name: str) -> tuple[str, ...]:
    """Return the material words a finish stands for: `solvent finish`, `oily rags`, or none."""
    finish = find_product("finish", name)
    words = ["solvent finish"] if finish.thinner == "solvent" else []
    return (*words, "oily rags") if finish.rags else tuple(words)


def cautions(
    *,
    tools: Sequence[str] = (),
    materials: Sequence[str] = (),
    operations: Sequence[str] = (),
    woods: Sequence[str] = (),
) -> tuple[Caution, ...]:
    """Return the cautions of a step, gravest first, then in the order of what they come from.

    `tools` are names of machines and tools; one that the table does not know gives none. `materials`
    and `operations` are words of the rules (`resin`, `sand`), else `TradeError`; `woods` are the
    woods that are sawn or sanded.
    """
    _need_known(materials, material_names(), "material")
    _need_known(operations, operation_names(), "operation")
    known = [tool for tool in (_known(name) for name in tools) if tool is not None]
    found = [_of_tool(tool) for tool in known]
    for row in table("hazards")["rules"]:
        of = _matching(row["when"], known, materials, operations)
        if of:
            found.append(_of_rule(row, of))
    if any(key(operation) in DUSTY for operation in operations):
        found += [_of_dust(wood) for wood in dict.fromkeys(woods) if dust_harms(wood)]
    return tuple(sorted(found, key=lambda caution: signal_rank(caution.signal)))


def wear_of(found: Iterable[Caution]) -> tuple[str, ...]:
    """Return what to wear for all cautions, each word once."""
    return tuple(dict.fromkeys(word for caution in found for word in caution.wear))


def signs_of(found: Iterable[Caution]) -> tuple[str, ...]:
    """Return the signs of all cautions, each once."""
    return tuple(dict.fromkeys(ref for caution in found for ref in caution.signs))


def gloves_clash(found: Iterable[Caution]) -> bool:
    """Tell whether one caution asks for gloves and another forbids them: the step must say when each holds."""
    parts = list(found)
    return any("gloves" in part.wear for part in parts) and any("P028" in part.signs for part in parts)


@cache
def _known(name: str) -> Tool | None:
    try:
        return find_tool(name)
    except TradeError:
        return None


def _of_tool(tool: Tool) -> Caution:
    return Caution(
        "tool",
        tool.name,
        signal=tool.signal,
        hazards=tool.hazards,
        avoid=tool.practices,
        wear=tool.wear,
        signs=tool.signs,
        basis=tool.basis,
    )


def _of_rule(row: dict[str, Any], of: str) -> Caution:
    return Caution(
        slug=row["slug"],
        of=of,
        signal=row["signal"],
        hazards=tuple(row["hazards"]),
        avoid=tuple(row["avoid"]),
        wear=tuple(row["wear"]),
        signs=tuple(row["signs"]),
        basis=Basis(row["source"], row["status"]),
    )


def _of_dust(wood: str) -> Caution:
    harms = dust_harms(wood)
    strong = any(harm.strong for harm in harms)
    return Caution(
        "wood-dust",
        wood,
        signal="WARNING" if strong else "CAUTION",
        hazards=tuple(f"dust of {wood}: {harm.text}" for harm in harms),
        avoid=("extract at the tool", "wear a better mask than for other woods"),
        wear=("mask", "eyes"),
        signs=("M017", "M004"),
        basis=harms[0].basis,
    )


def _matching(when: dict[str, Any], tools: Sequence[Tool], materials: Sequence[str], operations: Sequence[str]) -> str:
    """Return what a rule is set off by, or nothing where one of its conditions does not hold."""
    of = ""
    for group, given in (("material", materials), ("operation", operations)):
        if group not in when:
            continue
        wanted = {key(word) for word in when[group]}
        hit = next((word for word in given if key(word) in wanted), None)
        if hit is None:
            return ""
        of = of or hit
    if "tool" in when:
        tool = next((tool for tool in tools if getattr(tool, when["tool"])), None)
        if tool is None:
            return ""
        of = of or tool.name
    return of


def _need_known(words: Sequence[str], known: tuple[str, ...], kind: str) -> None:
    keys = {key(word) for word in known}
    for word in words:
        if key(word) not in keys:
            near = nearest(word, known) or known
            choice = ", ".join(f"`{name}`" for name in near)
            raise TradeError(f"unknown-{kind}", f"`{word}` is no {kind} that a hazard follows from", f"write {choice}")
