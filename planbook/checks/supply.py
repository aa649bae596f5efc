"""What is bought against what the joints and shelves of one piece take: screws, nails, brackets, inserts, pins."""

from __future__ import annotations

from collections.abc import Iterator

from planbook.checks.finish import meetings
from planbook.checks.outcome import Outcome, judged
from planbook.checks.subject import EXACT, Subject
from planbook.plan.model import Bought
from planbook.plan.tools import singular
from planbook.source.schema.parts import PartSource

PINS = 4
"""Shelf pins for one loose shelf: one at each corner."""
NOUNS = ("screw", "nail", "bolt", "insert", "dowel", "biscuit")


def bought_short(subject: Subject) -> Iterator[Outcome]:
    """Compare the number of each bought fastener with what one piece takes; what is not counted is not asked."""
    for what, needed, items in _needed(subject):
        have = sum(item.count for item in items)
        if not items:
            continue
        names = " and ".join(f"`{item.key}`" for item in items)
        yield judged(
            "bought-short",
            what,
            figure=f"{have} bought, {needed} are used",
            limit=f"at least {needed}",
            rule=EXACT,
            wrong=f"one piece takes {needed} for {what}, {names} is {have}" if have < needed else "",
            span=items[0].span,
            help=f"write `{items[0].key}: {needed}`, and a few to spare",
        )


def _needed(subject: Subject) -> Iterator[tuple[str, int, list[Bought]]]:
    yield from _named(subject)
    yield from _driven(subject)
    yield from _bolted(subject)
    yield from _pins(subject)


def _named(subject: Subject) -> Iterator[tuple[str, int, list[Bought]]]:
    """Give joints that name what is bought (`by: slotted angle brackets`), with so many at each meeting."""
    wanted: dict[str, list[str]] = {}
    count: dict[str, int] = {}
    for joint in subject.plan.joints:
        for text in joint.by:
            name = singular(text.casefold())
            if joint.count is not None and any(item.key.casefold() == name for item in subject.plan.bought):
                wanted.setdefault(name, []).append(f"`{joint.name}`")
                count[name] = count.get(name, 0) + joint.count * meetings(subject, joint)
    for name, joints in wanted.items():
        yield " and ".join(joints), count[name], [item for item in subject.plan.bought if item.key.casefold() == name]


def _driven(subject: Subject) -> Iterator[tuple[str, int, list[Bought]]]:
    """Give the fasteners whose places are known, by the noun of their kind."""
    for noun in NOUNS:
        found = [item for item in subject.plan.fastened if noun in item.kind]
        needed = sum(len(item.places) for item in found)
        if needed:
            joints = " and ".join(dict.fromkeys(f"`{item.joint}`" for item in found))
            yield f"{joints}, {noun}s", needed, [item for item in _counted(subject) if noun in _words(item)]


def _bolted(subject: Subject) -> Iterator[tuple[str, int, list[Bought]]]:
    """Give joints bolted through the holes of bought parts: a screw or bolt, and an insert, for each hole."""
    for joint in subject.plan.joints:
        if joint.kind != "bolts" or joint.count is None:
            continue
        for noun in NOUNS:
            if noun == "insert" or noun in " ".join(joint.by).casefold():
                items = [item for item in _counted(subject) if noun in _words(item)]
                yield f"`{joint.name}`, {noun}s", joint.count, items


def _counted(subject: Subject) -> list[Bought]:
    return [item for item in subject.plan.bought if not item.amount]


def _words(item: Bought) -> list[str]:
    """Return the words of a bought thing's name, each for one."""
    return [singular(word) for word in item.key.casefold().split()]


def _pins(subject: Subject) -> Iterator[tuple[str, int, list[Bought]]]:
    """Give loose shelves that lie on rows of holes, four pins each."""
    if subject.written is None:
        return
    facts = subject.written.facts
    rows = {str(key) for key, row in facts.holes.items() if str(row.role or "") == "pin" or "pin" in str(key)}
    shelves = [
        str(key) for key, words in facts.parts.items() if isinstance(words, PartSource) and str(words.on or "") in rows
    ]
    needed = sum(part.count * PINS for part in subject.plan.parts if part.key in shelves)
    if needed:
        names = " and ".join(f"`{name}`" for name in shelves)
        yield f"{names}, pins", needed, [item for item in _counted(subject) if "pin" in _words(item)]
