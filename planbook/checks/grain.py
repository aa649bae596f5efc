"""Grain: wedges that split, short grain that snaps, end grain that is glued as if it held."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from planbook.checks.outcome import Outcome, judged
from planbook.checks.spaces import Standing, standing
from planbook.checks.subject import Subject
from planbook.plan.model import Joint, Part, Role, StockKind
from planbook.plan.shapes import Arc, Curve, Line, Outline, Point, Turned
from planbook.source.diagnostics import Severity

WEDGE_DEG = 20
WEDGE_RULE = (
    "common practice, no source: a wedge is driven square to the grain of what it spreads in, within 20 degrees"
)
SLOPE = 8
SLOPE_RULE = (
    "common practice, no source: no more than 1 in 8; from memory: Wood Handbook, chapter 5, slope of grain: 1 in 10 "
    "keeps 81 % of the bending strength, 1 in 5 keeps 55 %"
)
NARROW = Fraction(2, 3)
"""Short grain matters where less than this share of the width is left (our own choice)."""
END_RULE = "common practice, no source: glue alone holds little on end grain"
_ACROSS = re.compile(r"\bacross\b|\bsquare to\b")
_ALONG = re.compile(r"\balong\b|\bwith the grain\b|\bparallel\b")
_DEGREES = re.compile(r"(\d+(?:\.\d+)?)\s*(?:deg|°)")
_HOLDING = ("screw", "nail", "dowel", "biscuit", "tenon", "peg", "wedge", "bolt", "bracket", "spline", "pocket")


def wedge_splits(subject: Subject) -> Iterator[Outcome]:
    """Read which way each wedge is driven against the grain of the part that it spreads in."""
    if subject.written is None:
        return
    for joint in subject.plan.joints:
        source = next((words for key, words in subject.written.facts.joints.items() if str(key) == joint.name), None)
        wedge = getattr(source, "wedge", None)
        if wedge is None:
            continue
        off = _off_square(str(wedge).casefold())
        if off is None:
            yield Outcome(of=joint.name, missing=f"`{wedge}` does not say which way the wedge lies to the grain")
            continue
        host = joint.receiving[0]
        yield judged(
            "wedge-splits",
            joint.name,
            figure=f"{wedge}: {off:g} deg off square to the grain of `{host}`",
            limit=f"up to {WEDGE_DEG} deg",
            rule=WEDGE_RULE,
            wrong=f"the wedges of `{joint.name}` lie {off:g} deg off square to the grain of `{host}` and split it, "
            f"{WEDGE_DEG} deg is the most"
            if off > WEDGE_DEG
            else "",
            span=wedge.span,
            help=f"write `wedge: across {host} grain`",
        )


def _off_square(words: str) -> float | None:
    """Return how far off square to the grain a wedge lies, degrees, or None where it is not said."""
    degrees = _DEGREES.search(words)
    if degrees is not None:
        angle = float(degrees[1]) % 180
        # Degrees are told from the grain, unless the words say otherwise.
        return abs(angle if _ACROSS.search(words) else 90 - angle)
    if _ALONG.search(words):
        return 90.0
    return 0.0 if _ACROSS.search(words) else None


def short_grain(subject: Subject) -> Iterator[Outcome]:
    """Reckon how steeply the outline of each shaped board of solid wood cuts across its grain where it is narrow."""
    for part in subject.plan.parts:
        stock = next((stock for stock in subject.plan.stock if stock.name == part.stock), None)
        if stock is None or stock.kind is StockKind.PANEL or part.role is not Role.PART:
            continue
        found = [*_tapered(subject, part), *_turned(part), *_outlined(part)]
        if not found:
            continue
        steepest = max(found)
        slope, left = steepest
        told = f"1 in {float(1 / slope):.1f}" if slope else "straight"
        figure = f"{told} where {subject.shown(left)} of {subject.shown(part.width.final)} is left"
        yield judged(
            "short-grain",
            part.key,
            figure=figure,
            limit=f"1 in {SLOPE} where less than two thirds are left",
            rule=SLOPE_RULE,
            wrong=f"the outline of `{part.key}` crosses its grain {figure}, and snaps there: 1 in {SLOPE} is the limit"
            if slope > Fraction(1, SLOPE)
            else "",
            span=part.span,
            help="turn the grain along the narrow part, make it wider there, or laminate it",
        )


def _tapered(subject: Subject, part: Part) -> Iterator[tuple[Fraction, Fraction]]:
    """Give the slope of each tapered edge, and the width that it leaves at the narrow end."""
    if subject.written is None:
        return
    for trim in part.trims:
        source = next((cut for key, cut in subject.written.facts.cuts.items() if str(key) == trim.name), None)
        along, across, through = trim.outward
        if source is None or source.taper is None or abs(across) < abs(through):
            continue
        slope = Fraction(abs(along / across)).limit_denominator(10_000)
        # The plane meets both ends: its distance from the far edge there is what is left.
        ends = [trim.point[1] - along / across * (end - trim.point[0]) for end in (0.0, float(part.length.final))]
        left = min(end if across > 0 else float(part.width.final) - end for end in ends)
        if 0 < left < part.width.final * NARROW:
            yield slope, Fraction(left).limit_denominator(1000)


def _turned(part: Part) -> Iterator[tuple[Fraction, Fraction]]:
    """Give the slopes of a leg between its stations, where it is narrow; a shoulder is no slope."""
    if not isinstance(part.shape, Turned):
        return
    thickest = max(station.size for station in part.shape.stations)
    for one, other in pairwise(part.shape.stations):
        left = min(one.size, other.size)
        if other.at > one.at and left < thickest * NARROW:
            yield abs(other.size - one.size) / 2 / (other.at - one.at), left


def _outlined(part: Part) -> Iterator[tuple[Fraction, Fraction]]:
    """Give the slopes of a curved outline where it is narrow, and the width that is left there."""
    if not isinstance(part.shape, Outline):
        return
    points = _points(part.shape)
    whole = part.width.final
    for (l0, w0), (l1, w1) in zip(points, points[1:] + points[:1], strict=True):
        run, rise = abs(l1 - l0), abs(w1 - w0)
        if run < whole / 100:
            continue  # an end, sawn square to the grain
        left = min(_left_at(points, l0), _left_at(points, l1))
        if 0 < left < whole * NARROW:
            yield rise / run, left


def _points(outline: Outline) -> list[Point]:
    found = [outline.start]
    for stretch in outline.stretches:
        if isinstance(stretch, Line):
            found.append(stretch.to)
        elif isinstance(stretch, Curve):
            found.extend(stretch.through)
        elif isinstance(stretch, Arc):
            found.extend((stretch.over, stretch.to))
    return found[:-1] if found[-1] == found[0] else found


def _left_at(points: list[Point], place: Fraction) -> Fraction:
    """Return the width of the wood at one place of the length."""
    crossings = []
    for (l0, w0), (l1, w1) in zip(points, points[1:] + points[:1], strict=True):
        if min(l0, l1) <= place <= max(l0, l1):
            crossings += [w0, w1] if l0 == l1 else [w0 + (w1 - w0) * (place - l0) / (l1 - l0)]
    return max(crossings) - min(crossings) if crossings else Fraction(0)


def end_grain_glued(subject: Subject) -> Iterator[Outcome]:
    """Find butt joints that hold a board by its end grain with glue and nothing else."""
    everything = standing(subject.plan)
    for joint in subject.plan.joints:
        if joint.kind != "butt" or not joint.by:
            continue
        words = " ".join(joint.by).casefold()
        glued = "glue" in words or "epoxy" in words
        if not glued or not _only_ends(subject, joint, everything):
            continue
        helped = any(word in words for word in _HOLDING) or bool(_blocks(subject, joint))
        names = " and ".join(f"`{name}`" for name in joint.entering)
        yield judged(
            "end-grain-glued",
            joint.name,
            figure=f"ends of {names} held by {', '.join(joint.by)}"
            + (" and glue blocks" if _blocks(subject, joint) else ""),
            limit="more than glue on end grain",
            rule=END_RULE,
            wrong=f"`{joint.name}` holds {names} by the ends with `{', '.join(joint.by)}` alone" if not helped else "",
            span=joint.span,
            help="add screws, dowels or `blocks: 3`, or cut a dado for it",
            severity=Severity.WARN,
        )


def _blocks(subject: Subject, joint: Joint) -> object:
    if subject.written is None:
        return None
    source = next((words for key, words in subject.written.facts.joints.items() if str(key) == joint.name), None)
    return getattr(source, "blocks", None)


def _only_ends(subject: Subject, joint: Joint, everything: tuple[Standing, ...]) -> bool:
    """Whether every solid part that is set against others meets each of them with an end."""
    met = False
    for one in everything:
        if one.part.key not in joint.entering or not _solid(subject, one.part):
            continue
        axis = "xyz".index(one.placement.axes[0][1])
        for other in everything:
            if other.part.key not in joint.receiving:
                continue
            if one.around[axis][1] > other.around[axis][0] + 1 and one.around[axis][0] < other.around[axis][1] - 1:
                return False
            met = True
    return met


def _solid(subject: Subject, part: Part) -> bool:
    stock = next((stock for stock in subject.plan.stock if stock.name == part.stock), None)
    return stock is not None and stock.kind is not StockKind.PANEL and part.role is Role.PART
