"""What the solver sees: items with copies, arcs between them and resources over a grid of slots.

A class of twelve is one item a step with twelve copies, a demonstration an item with one. A project of
single activities is the same thing with one copy each.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from planbook.timing.clock import Grid, Pause


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """Work that is done `copies` times, each time in `slots` slots on end; both are one at least."""

    key: str
    copies: int
    slots: int
    pause: Pause = Pause.BREAK
    wait: int = 0
    """Minutes of the clock after the work, through which `holds` stays taken."""
    uses: tuple[tuple[int, int], ...] = ()
    """(resource, amount) of each copy while it is worked on."""
    holds: tuple[tuple[int, int], ...] = ()
    """(resource, amount) of each copy from its start until its wait is over."""


@dataclass(frozen=True, slots=True)
class Arc:
    """`after` begins when `before` has ended, `lag` minutes ago at least.

    With as many copies on both sides the k-th start follows the k-th end. One copy before: all follow it. One
    copy after: it follows all.
    """

    before: int
    after: int
    lag: int = 0


@dataclass(frozen=True)
class Work:
    """A whole instance. Items stand in an order in which no arc points back."""

    grid: Grid
    items: tuple[Item, ...]
    arcs: tuple[Arc, ...]
    capacity: tuple[int, ...]
    """By resource."""
    names: tuple[str, ...] = field(default=())
    """By resource, for messages."""
    soon: tuple[tuple[int, tuple[int, ...]], ...] = ()
    """(item of one copy, items after it): one of these begins as soon as it has ended, in the same session."""

    @cached_property
    def before(self) -> tuple[tuple[Arc, ...], ...]:
        """By item: the arcs that end at it."""
        found: list[list[Arc]] = [[] for _ in self.items]
        for arc in self.arcs:
            found[arc.after].append(arc)
        return tuple(tuple(arcs) for arcs in found)

    @cached_property
    def after(self) -> tuple[tuple[Arc, ...], ...]:
        """By item: the arcs that begin at it."""
        found: list[list[Arc]] = [[] for _ in self.items]
        for arc in self.arcs:
            found[arc.before].append(arc)
        return tuple(tuple(arcs) for arcs in found)

    @cached_property
    def may_start(self) -> tuple[tuple[bool, ...], ...]:
        """By item and slot: whether a copy can begin there."""
        table: dict[tuple[int, Pause], tuple[bool, ...]] = {}
        for item in self.items:
            kind = item.slots, item.pause
            if kind not in table:
                table[kind] = tuple(self.grid.may_start(slot, *kind) for slot in range(len(self.grid)))
        return tuple(table[item.slots, item.pause] for item in self.items)

    @cached_property
    def ready(self) -> tuple[tuple[int, ...], ...]:
        """By arc and slot of the start of `before`: the first slot in which `after` can begin."""
        table: dict[tuple[int, int], tuple[int, ...]] = {}
        return tuple(self._released(table, self.items[arc.before].slots, arc.lag) for arc in self.arcs)

    @cached_property
    def free(self) -> tuple[tuple[int, ...], ...]:
        """By item and slot of its start: the first slot in which what it holds is free again."""
        table: dict[tuple[int, int], tuple[int, ...]] = {}
        return tuple(self._released(table, item.slots, item.wait) for item in self.items)

    def _released(self, table: dict[tuple[int, int], tuple[int, ...]], slots: int, lag: int) -> tuple[int, ...]:
        if (slots, lag) not in table:
            table[slots, lag] = tuple(self._release(slot, slots, lag) for slot in range(len(self.grid)))
        return table[slots, lag]

    def _release(self, slot: int, slots: int, lag: int) -> int:
        last = slot + slots - 1
        if last >= len(self.grid):
            return len(self.grid)
        return self.grid.first_from(self.grid.end(last) + lag)

    @cached_property
    def session_ends(self) -> tuple[int, ...]:
        """Last slot of each session."""
        places = self.grid.session
        return tuple(slot for slot in range(len(places)) if slot + 1 == len(places) or places[slot] != places[slot + 1])

    @cached_property
    def arc_number(self) -> dict[Arc, int]:
        """Place of each arc."""
        return {arc: number for number, arc in enumerate(self.arcs)}

    @cached_property
    def latest_before(self) -> tuple[tuple[int, ...], ...]:
        """By arc and slot of the start of `after`: the last slot in which `before` may have begun, or -1."""
        return _inverses(self.ready, len(self.grid))

    @cached_property
    def latest_free(self) -> tuple[tuple[int, ...], ...]:
        """By item and slot: the last start whose hold has ended by then, or -1."""
        return _inverses(self.free, len(self.grid))


def _inverses(tables: tuple[tuple[int, ...], ...], slots: int) -> tuple[tuple[int, ...], ...]:
    """Return the inverse of each table; those that are one object, and there are few others, are turned once."""
    found = {id(table): table for table in tables}
    turned = {key: _inverse(table, slots) for key, table in found.items()}
    return tuple(turned[id(table)] for table in tables)


def _inverse(rising: tuple[int, ...], slots: int) -> tuple[int, ...]:
    """Return by slot the last place whose value is not over it; `rising` never falls."""
    found: list[int] = []
    place = -1
    for slot in range(slots):
        while place + 1 < slots and rising[place + 1] <= slot:
            place += 1
        found.append(place)
    return tuple(found)
