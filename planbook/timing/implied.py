"""Resources that follow from the given ones and say more: what can never be at work together.

Two kinds. Cliques: items of which any two exclude each other, by a resource or by precedence, share one place.
Rounded amounts: a dual-feasible function turns "amounts within the capacity" into a stronger count ("of all
that need more than a third, two at once"; Fekete, Schepers 1998; for projects Carlier, Neron 2000).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from planbook.timing.items import Work

_PARTS = range(1, 6)
_CLIQUES = 40


def with_implied(work: Work) -> Work:
    """Return the same instance with implied resources added; its timetables are the same."""
    added: dict[tuple[tuple[int, int], ...], int] = {}
    for resource, capacity in enumerate(work.capacity):
        given = _amounts(work, resource)
        for parts in _PARTS:
            rounded = {number: _rounded(amount, capacity, parts) for number, amount in given.items()}
            if any(rounded[n] * capacity > given[n] * parts * capacity for n in given):
                added.setdefault(tuple((n, a) for n, a in rounded.items() if a), parts * capacity)
    for clique in _cliques(work):
        added.setdefault(tuple((number, 1) for number in clique), 1)
    uses = [list(item.uses) for item in work.items]
    for place, members in enumerate(added):
        for number, amount in members:
            uses[number].append((len(work.capacity) + place, amount))
    items = tuple(replace(item, uses=tuple(row)) for item, row in zip(work.items, uses, strict=True))
    names = (*work.names, *("" for _ in added)) if work.names else ()
    return Work(work.grid, items, work.arcs, (*work.capacity, *added.values()), names, work.soon)


def _amounts(work: Work, resource: int) -> dict[int, int]:
    """Return what each item uses of a resource; none where an item holds it through a wait."""
    if any(r == resource for item in work.items for r, _ in item.holds):
        return {}
    return {n: a for n, item in enumerate(work.items) for r, a in item.uses if r == resource and a}


def _rounded(amount: int, capacity: int, parts: int) -> int:
    """Return `parts * capacity` times the function u(k) of Fekete and Schepers at amount / capacity."""
    if (parts + 1) * amount % capacity == 0:
        return parts * amount
    return (parts + 1) * amount // capacity * capacity


def _cliques(work: Work) -> Iterable[tuple[int, ...]]:
    """Return sets of items that exclude each other, grown greedily from each excluding pair."""
    if any(item.copies > 1 for item in work.items):
        return
    after = _after(work)
    apart = _apart(work)
    found: set[tuple[int, ...]] = set()
    linked = [
        {*apart[n], *after[n], *(m for m, later in enumerate(after) if n in later)} for n in range(len(work.items))
    ]
    pairs = [(n, m) for n, others in enumerate(apart) for m in sorted(others) if n < m]
    covered: set[tuple[int, int]] = set()
    for pair in pairs:
        if pair in covered or len(found) >= _CLIQUES:
            continue
        members = list(pair)
        common = linked[pair[0]] & linked[pair[1]]
        while common:
            one = max(common, key=lambda n: (len(apart[n] & set(members)), len(linked[n] & common), -n))
            members.append(one)
            common = common & linked[one]
        clique = tuple(sorted(members))
        covered |= {(n, m) for n in clique for m in clique if n < m}
        if clique not in found:
            found.add(clique)
            yield clique


def _after(work: Work) -> list[set[int]]:
    after: list[set[int]] = [set() for _ in work.items]
    for number in range(len(work.items) - 1, -1, -1):
        for arc in work.after[number]:
            after[number] |= {arc.after} | after[arc.after]
    return after


def _apart(work: Work) -> list[set[int]]:
    """Return by item the others that a resource keeps from being at work at the same time."""
    apart: list[set[int]] = [set() for _ in work.items]
    for resource, capacity in enumerate(work.capacity):
        given = _amounts(work, resource)
        for n, one in given.items():
            for m, two in given.items():
                if n != m and one + two > capacity:
                    apart[n].add(m)
    return apart
