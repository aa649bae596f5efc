"""What the shop's machines and clamps can take, as its own list says: width, height, stroke, opening, number."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from planbook.checks.outcome import Outcome, judged
from planbook.checks.safety import known_tool
from planbook.checks.spaces import standing
from planbook.checks.subject import Subject
from planbook.plan.model import Joint, Part, Role, Step, StockKind
from planbook.plan.tools import singular
from planbook.source.schema.book import ToolSource
from planbook.units.quantity import LENGTH, UnitError
from planbook.units.read import read_quantity

SHOP_RULE = "the shop's own list of tools, exact"
SAWS = ("table saw", "track saw", "mitre saw", "bandsaw", "hand saw", "jigsaw", "radial arm saw", "circular saw")
PLANERS = ("jointer", "thickness planer")


def machine_too_small(subject: Subject) -> Iterator[Outcome]:
    """Compare what goes over a machine in each step with the width, height and stroke that the shop's list gives."""
    for step in subject.plan.steps:
        for key, name, source in _machines(subject, step):
            limits = (("widest", source.widest), ("thickest", source.thickest), ("stroke", source.stroke))
            if not any(limit for _, limit in limits) or _another(subject, step, name):
                continue
            for word, limit in limits:
                most = length_of(subject, limit)
                needed = _needed(subject, step, name, word)
                if most is None or needed is None:
                    continue
                (size, what), room = needed, subject.shown(most)
                yield judged(
                    "machine-too-small",
                    f"step {step.number}, {key}",
                    figure=f"{what}, {subject.shown(size)}",
                    limit=f"{word} {room}",
                    rule=SHOP_RULE,
                    wrong=f"{what} is {subject.shown(size)}, the {key} in step {step.number} takes {room}"
                    if size > most
                    else "",
                    span=subject.claimed(step.number, (key,), "with_"),
                    help="make it in narrower pieces or from both sides, or take another machine",
                )


def _machines(subject: Subject, step: Step) -> Iterator[tuple[str, str, ToolSource]]:
    """Give the tools of a step that the shop describes: key, name in the tables, and what the shop says."""
    shop = subject.shop.tools if subject.shop is not None else {}
    for use in step.tools:
        source = next((source for key, source in shop.items() if key == use.key), None)
        if source is not None:
            tool = known_tool(subject, use)
            yield use.key, tool.name if tool is not None else use.key, source


def _another(subject: Subject, step: Step, name: str) -> bool:
    """Whether the step has another machine that does the same: then nobody knows which piece goes over which."""
    names = [other for _, other, _ in _machines(subject, step)]
    alike = next((group for group in (SAWS, ("drill", "drill press")) if name in group), ())
    return sum(other in alike for other in names) > 1


def _needed(subject: Subject, step: Step, name: str, word: str) -> tuple[Fraction, str] | None:
    """Return the largest size that a machine must take in a step, and of what."""
    if word == "stroke":
        holes = [
            (part.thick if hole.deep is None else hole.deep, f"a hole of `{hole.group}`")
            for part in subject.plan.parts
            for hole in part.holes
            if hole.step == step.number
        ]
        return max(holes, key=lambda pair: pair[0], default=None)
    found = []
    for part in _made(subject, step, planed=name in PLANERS):
        size = _strip_width(part) if word == "widest" else _rough_thick(subject, part)
        what = f"the width of `{part.key}`" if word == "widest" else f"the thickness of `{part.key}`"
        if size is not None:
            found.append((size, what))
    return max(found, key=lambda pair: pair[0], default=None)


def _made(subject: Subject, step: Step, *, planed: bool) -> Iterator[Part]:
    for part in subject.plan.parts:
        stock = next((stock for stock in subject.plan.stock if stock.name == part.stock), None)
        if part.key not in step.makes or part.role is Role.TEST or stock is None:
            continue
        if not planed or stock.kind is not StockKind.PANEL:
            yield part


def _strip_width(part: Part) -> Fraction | None:
    """Return how wide a part is when it goes over a machine; None where it is glued up from strips of any width."""
    return None if "glued up" in part.note else part.width.rough


def _rough_thick(subject: Subject, part: Part) -> Fraction:
    stock = subject.plan.stock_named(part.stock)
    return stock.rough_thickness or part.thick


def clamps_short(subject: Subject) -> Iterator[Outcome]:
    """Compare the clamps of each step with those that the shop has, in number and in opening.

    Told are the steps that want too many, and of the others the one that wants most of each kind.
    """
    if subject.shop is None:
        return
    most: dict[str, tuple[int, Outcome]] = {}
    for name, count, outcome in _counted(subject):
        if outcome.problem is not None:
            yield outcome
        elif name not in most or most[name][0] < count:
            most[name] = (count, outcome)
    yield from (outcome for _, outcome in most.values())
    for step in subject.plan.steps:
        yield from _openings(subject, step)


def _counted(subject: Subject) -> Iterator[tuple[str, int, Outcome]]:
    for step in subject.plan.steps:
        for name, count in _wanted(step).items():
            have = _have(subject, name)
            if have is None:
                continue
            outcome = judged(
                "clamps-short",
                f"step {step.number}, {name}s",
                figure=f"{count} for one piece",
                limit=f"{have} in the shop",
                rule=SHOP_RULE,
                wrong=f"step {step.number} takes {count} {name}s for one piece, the shop has {have}"
                if count > have
                else "",
                span=subject.claimed(step.number, (f"{count} {name}s", f"{name}s", name), "with_"),
                help="glue it in two stages, or use cauls and fewer clamps",
            )
            yield name, count, outcome


def _wanted(step: Step) -> dict[str, int]:
    """Return what a step holds or uses that is a clamp, with the larger number of both."""
    found: dict[str, int] = {}
    uses: Iterable[tuple[str, int]] = (*step.holds, *((use.key, use.count) for use in step.tools))
    for name, count in uses:
        if "clamp" in name.casefold():
            key = singular(name.casefold())
            found[key] = max(found.get(key, 0), count)
    return found


def _have(subject: Subject, name: str) -> int | None:
    assert subject.shop is not None
    for key, station in subject.shop.stations.items():
        names = {singular(str(key).casefold()), *(singular(str(text).casefold()) for text in station.of)}
        if name in names and str(station.count).isdecimal():
            return int(station.count)
    return None


def _openings(subject: Subject, step: Step) -> Iterator[Outcome]:
    assert subject.shop is not None
    opening = {str(key): source.opens for key, source in subject.shop.tools.items() if source.opens is not None}
    found = ((length_of(subject, opening[use.key]), use.key) for use in step.tools if use.key in opening)
    opens = [(most, key) for most, key in found if most is not None]
    span = _span(subject, step) if opens else None
    if span is None:
        return
    (most, key), (size, what) = max(opens), span
    yield judged(
        "clamps-short",
        f"step {step.number}, opening",
        figure=f"{subject.shown(size)} over all at `{what}`",
        limit=f"{key} opens {subject.shown(most)}",
        rule=SHOP_RULE,
        wrong=f"`{what}` is {subject.shown(size)} over all in step {step.number}, the {key} opens {subject.shown(most)}"
        if size > most
        else "",
        span=subject.claimed(step.number, (key,), "with_"),
        help="take longer clamps, or hook two together",
    )


def _span(subject: Subject, step: Step) -> tuple[Fraction, str] | None:
    """Return the longest way that clamps reach in a step, and over which joint."""
    found = []
    for joint in subject.plan.joints:
        if joint.joined_in == step.number and any("glue" in text.casefold() for text in joint.by):
            size = _over_all(subject, joint)
            if size is not None:
                found.append((size, joint.name))
    for part in subject.plan.parts:
        if part.key in step.makes and "glued up" in part.note:
            found.append((part.width.rough, part.key))
    return max(found, default=None)


def _over_all(subject: Subject, joint: Joint) -> Fraction | None:
    """Return the distance over the receiving parts of a dado or mortise, along what enters; None for a butt joint."""
    everything = standing(subject.plan)
    enters = next((one for one in everything if one.part.key in joint.entering), None)
    if enters is None or joint.kind not in ("dado", "groove", "mortise"):
        return None
    axis = "xyz".index(enters.placement.axes[0][1])
    hosts = [one.around[axis] for one in everything if one.part.key in joint.receiving]
    return max(high for _, high in hosts) - min(low for low, _ in hosts) if hosts else None


def length_of(subject: Subject, value: object) -> Fraction | None:
    """Return a length of the shop's list in mm; None where it is not given or cannot be read."""
    if value is None:
        return None
    try:
        quantity = read_quantity(str(getattr(value, subject.plan.edition.name, value)))
    except UnitError:
        return None
    return quantity.value if quantity.dimension == LENGTH else None
