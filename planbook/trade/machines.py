"""Machines and tools: hazards, guards, smallest piece, noise. The maker's instructions come first."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from planbook.trade.lookup import by_name, find, millimetres, table
from planbook.trade.sourced import Basis, Span, span


@dataclass(frozen=True, slots=True)
class Rule:
    """A sentence of practice or of a standard."""

    text: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class Least:
    """The smallest piece that a machine takes without more help."""

    long_mm: Fraction
    thick_mm: Fraction | None
    basis: Basis


@dataclass(frozen=True, slots=True)
class Tool:
    """One kind of machine or tool."""

    name: str
    also: tuple[str, ...]
    kind: str
    """`machine`, `power tool` or `hand tool`."""
    turning: bool
    """A cutter, bit, blade or blank turns or runs: no gloves."""
    signal: str
    hazards: tuple[str, ...]
    guards: tuple[str, ...]
    practices: tuple[str, ...]
    wear: tuple[str, ...]
    """Words of `signs.wear`."""
    signs: tuple[str, ...]
    """Numbers of ISO 7010."""
    facts: tuple[Rule, ...]
    noise_dba: Span | None
    """At the one who works; only a meter knows."""
    basis: Basis

    @property
    def powered(self) -> bool:
        """Driven by a motor."""
        return self.kind != "hand tool"


def tool_names() -> tuple[str, ...]:
    """Return every name of a machine or tool, in table order."""
    return tuple(name for row in table("machines")["tools"] for name in (row["name"], *row["also"]))


def find_tool(name: str) -> Tool:
    """Return a machine or tool by any of its names; raises `TradeError` with the nearest."""
    return find(name, _tools(), "unknown-tool", "machine or tool", tool_names())


def general_rules() -> tuple[Rule, ...]:
    """Return what holds for every machine."""
    return tuple(_rule(row) for row in table("machines")["general"])


def least_piece(tool: Tool, edition_name: str) -> Least | None:
    """Return the smallest piece for a tool in an edition's round figures, or None where none is tabled."""
    row = next(row for row in table("machines")["tools"] if row["name"] == tool.name).get("least")
    if row is None:
        return None
    thick = millimetres(row["thick"][edition_name]) if "thick" in row else None
    return Least(millimetres(row["long"][edition_name]), thick, Basis(row["source"], row["status"]))


@cache
def _tools() -> dict[str, Tool]:
    data = table("machines")
    tools = [_tool(row, data) for row in data["tools"]]
    return by_name(((tool.name, *tool.also), tool) for tool in tools)


def _tool(row: dict[str, Any], data: dict[str, Any]) -> Tool:
    noise = None
    if "noise_dba" in row:
        low, high, source, status = row["noise_dba"]
        noise = span([low, high], data["sources"][source], status)
    return Tool(
        name=row["name"],
        also=tuple(row["also"]),
        kind=row["kind"],
        turning=bool(row.get("turning")),
        signal=row["signal"],
        hazards=tuple(row["hazards"]),
        guards=tuple(row["guards"]),
        practices=tuple(row["practices"]),
        wear=tuple(row["wear"]),
        signs=tuple(row["signs"]),
        facts=tuple(_rule(fact) for fact in row.get("facts", ())),
        noise_dba=noise,
        basis=Basis(data["source"], data["status"]),
    )


def _rule(row: dict[str, str]) -> Rule:
    return Rule(row["text"], Basis(row["source"], row["status"]))
