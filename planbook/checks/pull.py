"""Loads that hang on their screws: a shelf or rail that stands out from what it is screwed to."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.checks.outcome import Outcome, judged
from planbook.checks.spaces import Standing, standing
from planbook.checks.strength import force
from planbook.checks.subject import EXACT, Subject
from planbook.plan.fastened import Fastened, Grain
from planbook.trade.lookup import TradeError

if TYPE_CHECKING:
    from planbook.trade.loads import Load

PULLED = ("wood screw", "nail")
"""Fasteners whose pull in wood has a working load."""
NEAR = 3
"""Two parts this near touch, in mm (our own choice)."""


def pulls_out(subject: Subject) -> Iterator[Outcome]:
    """Reckon the pull on the upper screws of loaded parts that stand out on one side of what holds them.

    The load stands in the middle of the part, which turns about its lower edge; shear and glue are not reckoned.
    """
    from planbook.trade.loads import read_load

    own = subject.rows().loads
    for name, text in subject.plan.loads:
        mine = next((one for one in standing(subject.plan) if one.part.key == name), None)
        screws = [item for item in subject.plan.fastened if _holds(item, name)]
        if mine is None or not screws:
            continue
        try:
            load = read_load(text, own)
        except TradeError:
            continue
        by = _carried(subject, mine, screws)
        if by:
            yield judged("pulls-out", name, figure=by, limit="hangs on no screw", rule=EXACT)
            continue
        yield _pulled(subject, mine, screws[0], load)


def _holds(item: Fastened, name: str) -> bool:
    members = [layer.part for layer in item.passes] + ([item.into.part] if item.into is not None else [])
    return name in members and item.kind in PULLED and bool(item.places) and abs(item.places[0].way[2]) < 0.5


def _carried(subject: Subject, mine: Standing, screws: list[Fastened]) -> str:
    """Return what keeps a part from hanging on its screws, or nothing."""
    ways = {tuple(round(value) for value in place.way) for item in screws for place in item.places}
    sides = {tuple(abs(value) for value in way) for way in ways}
    others = [one for one in standing(subject.plan) if one is not mine]
    joined = {
        key
        for joint in subject.plan.joints
        if mine.part.key in (*joint.receiving, *joint.entering) and joint.name not in {item.joint for item in screws}
        for key in (*joint.receiving, *joint.entering)
    }
    below = next((one for one in others if _below(mine, one, joined=one.part.key in joined)), None)
    if below is not None:
        return f"it rests on `{below.part.key}`"
    if len(sides) > 1 or _both_sides(mine, screws):
        return "it is held on more than one side"
    joint = next(joint for joint in subject.plan.joints if joint.name == screws[0].joint)
    return f"`{joint.name}` lets it rest in a {joint.kind}" if joint.kind in ("dado", "mortise", "rabbet") else ""


def _below(mine: Standing, other: Standing, *, joined: bool) -> bool:
    """Whether a part carries another: it ends just below it, or is joined to it and reaches further down."""
    (low, _), beside = mine.around[2], zip(mine.around[:2], other.around[:2], strict=True)
    meets = all(a[0] < b[1] and b[0] < a[1] for a, b in beside)
    return meets and (abs(other.around[2][1] - low) <= NEAR or (joined and other.around[2][0] < low - NEAR))


def _both_sides(mine: Standing, screws: list[Fastened]) -> bool:
    axis = _axis(screws[0])
    low, high = mine.around[axis]
    middle = float(low + high) / 2
    return len({place.start[axis] > middle for item in screws for place in item.places}) > 1


def _axis(item: Fastened) -> int:
    """Return the level axis of the assembly along which fasteners are driven."""
    way = item.places[0].way
    return 0 if abs(way[0]) > abs(way[1]) else 1


def _pulled(subject: Subject, mine: Standing, item: Fastened, load: Load) -> Outcome:
    from planbook.trade.sag import G_M_S2
    from planbook.trade.withdrawal import hanger_pull_n, needed_number, working_basis

    each = _each_n(subject, item)
    if isinstance(each, str):
        return Outcome(of=mine.part.key, missing=each)
    low, high = mine.around[_axis(item)]
    upper = max(place.start[2] for place in item.places)
    row = sum(abs(place.start[2] - upper) < 1 for place in item.places)
    arm = upper - float(mine.around[2][0])
    if arm <= 0:
        return Outcome(of=mine.part.key, missing="its screws stand below its lower edge")
    weight = float(_kg(load, mine)) * G_M_S2
    pull = hanger_pull_n(weight, float(high - low) / 2, arm)
    needed = needed_number(pull, each)
    edition = subject.plan.edition
    most = force(each, edition)
    figure = f"{force(pull / row, edition)} on each of {row} upper {item.name}s"
    return judged(
        "pulls-out",
        mine.part.key,
        figure=figure,
        limit=f"{most} each",
        rule=f"{working_basis().citation}; statics, moments about the lower edge; {load.citation}",
        wrong=f"`{mine.part.key}` pulls with {figure}, {most} is the working load of one: {needed} would be needed"
        if needed > row
        else "",
        span=subject.load_span(mine.part.key),
        help="give it a bracket or a cleat below, a dado, or more screws higher up",
    )


def _kg(load: Load, mine: Standing) -> Fraction:
    if load.kg_m is not None:
        longest = max(high - low for low, high in mine.around[:2])
        return load.kg_m.high * longest / 1000
    assert load.kg is not None
    return load.kg.value * load.count


def _each_n(subject: Subject, item: Fastened) -> float | str:
    """Return the working load of one fastener in newtons, or why it is not known."""
    from planbook.trade.density import gravity_ovendry
    from planbook.trade.species import find_wood
    from planbook.trade.withdrawal import end_grain_factor, working_n

    assert item.into is not None
    if item.into.panel:
        return f"no working load in `{item.into.material}` is tabled"
    try:
        wood = find_wood(item.into.material, subject.rows().woods)
        gravity = gravity_ovendry(wood)
        whole = working_n(item.kind, gravity_ovendry=gravity, shank_mm=item.shank, thread_mm=item.bite)
        share = float(end_grain_factor(item.kind).value) if item.into.grain is Grain.END else 1.0
    except TradeError as fault:
        return fault.message
    return whole * share
