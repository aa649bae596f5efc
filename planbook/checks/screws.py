"""Fasteners in the wood: their points, their bite, their heads, the ends and edges that they split."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from planbook.checks.axes import FINE, NAIL, SCREWS, Axes, Driven, in_own_axes, stretch_at, wood_along
from planbook.checks.outcome import Outcome, judged
from planbook.checks.subject import PRACTICE, Subject, finely_shown
from planbook.plan.fastened import Fastened, Grain
from planbook.plan.model import Joint, Part
from planbook.source.diagnostics import Severity, Span
from planbook.units.factors import INCH

POINT = {"imperial": INCH / 8, "metric": Fraction(3)}
"""Least wood beyond the point of a screw, in mm (common practice, no source)."""
HEAD = {"imperial": INCH / 4, "metric": Fraction(6)}
"""Least wood under a head that is let in, in mm (common practice, no source)."""
BITE = 6
"""Least bite of a loaded screw or nail in side grain, in diameters."""
BITE_RULE = "National Design Specification for Wood Construction (NDS), least penetration, from memory"
EDGE, END = 3, 6
"""Least distance of a screw with a pilot hole from edge and end, in diameters (common practice, no source)."""
INSIDE = 4
"""A screw into an edge or end is no thicker than the board over this (common practice, no source)."""
CARRIED = ("dado", "groove", "rabbet", "mortise", "half lap", "socket")
"""Joints whose cut carries the load, so that screws only hold it closed."""
POINTED = (*SCREWS, NAIL, "hanger bolt")

Group = tuple[Fastened, tuple[Driven, ...]]


def _groups(subject: Subject, wanted: Callable[[Fastened], bool]) -> Iterator[Group]:
    chosen = [item for item in subject.plan.fastened if wanted(item)]
    if chosen:
        axes = Axes(subject.plan)
        for item in chosen:
            yield item, tuple(axes.of(item))


def _of(fastened: Fastened) -> str:
    """Name a group of fasteners for the report."""
    return f"{fastened.joint}, {fastened.name}"


def _shown(subject: Subject, mm: Fraction | float) -> str:
    exact = mm if isinstance(mm, Fraction) else Fraction(round(mm * 1000), 1000)
    return finely_shown(exact, subject.plan.edition)


def _joint(subject: Subject, name: str) -> Joint | None:
    return next((joint for joint in subject.plan.joints if joint.name == name), None)


def _span(subject: Subject, fastened: Fastened) -> Span | None:
    joint = _joint(subject, fastened.joint)
    return joint.span if joint is not None else None


def point_out(subject: Subject) -> Iterator[Outcome]:
    """Reckon how much wood lies beyond the points of screws and nails."""
    limit = POINT[subject.plan.edition.name]
    for item, driven in _groups(subject, lambda one: one.kind in POINTED and one.into is not None):
        assert item.into is not None
        left = min((_beyond(one) for one in driven), default=float(item.into.thick - item.bite))
        told = f"{_shown(subject, left)} of wood" if left > 0 else "no wood"
        comes = f", it comes out by {_shown(subject, -left)}" if left < 0 else ""
        yield judged(
            "point-out",
            _of(item),
            figure=f"{told} beyond its point",
            limit=f"{_shown(subject, limit)} of wood",
            rule=PRACTICE,
            wrong=(
                f"the {item.name} of `{item.joint}` leaves {told} of `{item.into.part}` beyond its point{comes}, "
                f"the limit is {_shown(subject, limit)}"
            )
            if left < float(limit) - FINE
            else "",
            span=_span(subject, item),
            help="use the next shorter one, or sink its head less deep",
        )


def _beyond(one: Driven) -> float:
    """Return the wood of the last part beyond the point, in mm; below 0 where it comes out."""
    assert one.fastened.into is not None
    if one.into is not None and not one.into.shaped:
        wood = stretch_at(wood_along(one.into, one.place), one.depth)
        if wood is not None:
            return wood[1] - one.reach
    return float(one.fastened.into.thick - one.fastened.bite)


def misses_mate(subject: Subject) -> Iterator[Outcome]:
    """Reckon for each fastener whether all parts it should hold have wood on its axis."""
    for item, driven in _groups(subject, lambda one: bool(one.places)):
        missed = next((copy for one in driven for copy in _missed(one)), None)
        count = len(driven)
        yield judged(
            "misses-mate",
            _of(item),
            figure=f"{count} place{'s' if count != 1 else ''} looked at",
            limit="wood of both parts on each axis",
            rule="exact (geometry)",
            wrong=f"a {item.name} of `{item.joint}` meets no wood of `{missed}` on its axis"
            if missed is not None
            else "",
            span=_span(subject, item),
            help="move it, or look where both parts stand and what is cut out of them",
            severity=Severity.STOP,
        )


def _missed(one: Driven) -> Iterator[str]:
    """Give the parts of a fastener that have no wood on its axis; shaped parts are not looked at."""
    parts = [*one.passes, *((one.into,) if one.into is not None else ())]
    for copy in parts:
        if copy.shaped:
            continue
        wood = wood_along(copy, one.place)
        if not any(high > -float(one.fastened.back) and low < one.reach for low, high in wood):
            yield copy.name
    if one.into is not None and not one.into.shaped and stretch_at(wood_along(one.into, one.place), one.depth) is None:
        yield one.into.name


def little_bite(subject: Subject) -> Iterator[Outcome]:
    """Reckon how far screws and nails reach into the part that holds them, in diameters."""
    for item, _ in _groups(subject, lambda one: one.kind in (*SCREWS, NAIL) and one.into is not None):
        assert item.into is not None
        times = item.bite / item.shank
        carried = _carried(subject, item)
        told = f"{_shown(subject, item.bite)}, {float(times):.1f} diameters"
        yield judged(
            "little-bite",
            _of(item),
            figure=f"{told}; {carried}" if carried and times < BITE else told,
            limit=f"{BITE} diameters, {_shown(subject, item.shank * BITE)}",
            rule=BITE_RULE,
            wrong=(
                f"the {item.name} of `{item.joint}` reaches {_shown(subject, item.bite)} into `{item.into.part}`, "
                f"{BITE} diameters are {_shown(subject, item.shank * BITE)}"
            )
            if times < BITE and not carried
            else "",
            span=_span(subject, item),
            help="use a longer one, sink its head deeper, or glue the joint so that the screw only holds it closed",
        )


def _carried(subject: Subject, item: Fastened) -> str:
    """Return what else carries the load of a joint, or nothing."""
    joint = _joint(subject, item.joint)
    if joint is None:
        return ""
    if joint.kind in CARRIED:
        return f"the {joint.kind} carries the load"
    glued = any("glue" in by.casefold().split() for by in joint.by)
    return "the glue carries the load" if glued and item.into is not None and item.into.grain is not Grain.END else ""


def head_buried(subject: Subject) -> Iterator[Outcome]:
    """Reckon the wood under heads that are let in."""
    limit = HEAD[subject.plan.edition.name]
    for item, _ in _groups(subject, lambda one: one.sunk > 0 and bool(one.passes) and not one.back):
        left = item.passes[0].thick - item.sunk
        yield judged(
            "head-buried",
            _of(item),
            figure=f"{_shown(subject, left)} under its head",
            limit=f"{_shown(subject, limit)} of wood",
            rule=PRACTICE,
            wrong=(
                f"`{item.joint}` leaves {_shown(subject, left)} of `{item.passes[0].part}` under the head of the "
                f"{item.name}, the limit is {_shown(subject, limit)}"
            )
            if left < limit
            else "",
            span=_span(subject, item),
            help="sink the head less deep, or let it lie on the face",
        )


def end_grain_screw(subject: Subject) -> Iterator[Outcome]:
    """Find screws and nails in end grain, and what part of their hold counts there."""
    from planbook.trade.lookup import TradeError
    from planbook.trade.withdrawal import end_grain_factor

    def in_end(one: Fastened) -> bool:
        into = one.into
        return one.kind in (*SCREWS, NAIL) and into is not None and into.grain is Grain.END and not into.panel

    for item, _ in _groups(subject, in_end):
        assert item.into is not None
        try:
            factor = end_grain_factor(item.kind)
        except TradeError:
            factor = end_grain_factor("wood screw")
        share = f"{float(factor.value) * 100:g} %"
        joint = _joint(subject, item.joint)
        carried = joint is not None and joint.kind in CARRIED
        yield judged(
            "end-grain-screw",
            _of(item),
            figure=f"end grain of {item.into.part}, {share} of its hold counts"
            + (f"; the {joint.kind} carries the load" if carried and joint is not None else ""),
            limit="side grain, or a cut that carries the load",
            rule=factor.source,
            wrong=(
                f"the {item.name} of `{item.joint}` is driven into the end grain of `{item.into.part}`, where "
                f"{share} of its hold against pulling out counts"
            )
            if not carried and factor.value < 1
            else "",
            span=_span(subject, item),
            help="let a dado, rabbet or mortise carry the load, or drive it into side grain or a dowel across",
        )


def splits_edge(subject: Subject) -> Iterator[Outcome]:
    """Reckon how far screws and nails keep from edges and ends, in diameters."""
    parts = {part.key: part for part in (*subject.plan.parts, *subject.plan.fittings)}
    for item, driven in _groups(subject, lambda one: one.kind in (*SCREWS, NAIL) and bool(one.places)):
        found = [one for each in driven for one in _to_sides(each, parts)]
        if not found:
            continue
        _, left, needed, where = min(found)
        yield judged(
            "splits-edge",
            _of(item),
            figure=f"{_shown(subject, left)} {where}",
            limit=_shown(subject, needed),
            rule=PRACTICE,
            wrong=(
                f"the {item.name} of `{item.joint}` stands {_shown(subject, left)} {where}, the limit is "
                f"{_shown(subject, needed)}"
            )
            if left < needed - FINE
            else "",
            span=_span(subject, item),
            help="move it inward, use a thinner one, or bore the pilot to its full depth and drive it by hand",
            severity=Severity.NOTE,
        )


def _to_sides(one: Driven, parts: dict[str, Part]) -> Iterator[tuple[float, float, float, str]]:
    """Give for each side near a fastener: share of what is needed, distance, what is needed, and the side in words.

    Of boards only. Into a face of solid wood: `EDGE` and `END` diameters; into an edge or end, of a panel too:
    half of what a board of `INSIDE` diameters has on each side, and in solid wood the distance along it.
    """
    shank = float(one.fastened.shank)
    layers = [*zip(one.fastened.passes, one.passes, strict=False)]
    if one.fastened.into is not None and one.into is not None:
        layers.append((one.fastened.into, one.into))
    at = 0.0
    for layer, copy in layers:
        spot = one.at(at)
        at += float(layer.thick)
        part = parts[copy.part.key]
        if part.shape is not None or part.trims or not part.stock:
            continue
        l, w, t = in_own_axes(copy.placement, spot)
        along = min(l, float(part.length.final) - l)
        across = min(w, float(part.width.final) - w)
        through = min(t, float(part.thick) - t)
        sides = {
            Grain.FACE: ((along, END, "end"), (across, EDGE, "edge")),
            Grain.EDGE: ((along, END, "end"), (through, INSIDE / 2, "face")),
            Grain.END: ((across, EDGE, "edge"), (through, INSIDE / 2, "face")),
        }[layer.grain]
        # The faces of a panel do not split, its edges do.
        for distance, times, side in sides if not layer.panel else sides[1:] * (layer.grain is not Grain.FACE):
            needed = times * shank
            yield distance / needed, distance, needed, f"from the nearest {side} of `{copy.name}`"
