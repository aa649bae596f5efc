"""Left and right: parts that should be mirror images and are written as if they were alike."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations

from planbook.checks.subject import EXACT, Subject
from planbook.plan.boxes import Space, placed_box
from planbook.plan.drilling import space_of
from planbook.plan.model import Part, Placement, Range, Role
from planbook.source.diagnostics import Diagnostic, Severity

Feature = tuple[str, Range, Range, Range]
"""Kind of a cut, hole or edging, with its space along l, w and t."""

TURNS = ("", "lw", "lt", "wt")
"""Axes reversed when a part is turned round: the same part in another position."""
MIRRORS = ("l", "w", "t", "lwt")
"""Axes reversed in a mirror image that no turning gives."""


def features(part: Part, reversed_axes: str = "") -> frozenset[Feature]:
    """Return the cuts, holes and edgings of a part, as they lie with some of its axes reversed."""
    found: list[Feature] = [(str(cut.kind), cut.box.l, cut.box.w, cut.box.t) for cut in part.cuts]
    found += [("edging", edging.box.l, edging.box.w, edging.box.t) for edging in part.edgings]
    for hole in part.holes:
        box = space_of(part, hole)
        found.append(("hole", box.l, box.w, box.t))
    sizes = {"l": part.length.final, "w": part.width.final, "t": part.thick}

    def seen(axis: str, span: Range) -> Range:
        return (sizes[axis] - span[1], sizes[axis] - span[0]) if axis in reversed_axes else span

    return frozenset((kind, seen("l", long), seen("w", wide), seen("t", deep)) for kind, long, wide, deep in found)


def two_lefts(subject: Subject) -> Iterator[Diagnostic]:
    """Find copies that stand opposite each other but are all worked on the same hand."""
    plan = subject.plan
    for part in plan.parts:
        if part.role is not Role.PART or part.pair or part.count < 2:
            continue
        own = features(part)
        # Turning a copy end for end or edge for edge keeps its show face where it is.
        if not own or features(part, "l") == own or features(part, "w") == own:
            continue
        copies = [placement for placement in plan.placements if placement.part == part.key]
        axis = _opposed(subject, part, copies)
        if axis is None or features(part, "t") == own:
            continue
        yield Diagnostic(
            "two-lefts",
            Severity.WARN,
            f"{part.count} copies of `{part.key}` stand opposite each other, but the {len(own)} cuts, holes and "
            "edgings of each lie alike, not mirrored",
            part.span,
            help="write `pair: left right` instead of `count: 2`"
            if axis == "x"
            else f"write two parts instead of two copies of `{part.key}`, each with its own cuts",
            rule=EXACT,
        )


def _opposed(subject: Subject, part: Part, copies: list[Placement]) -> str | None:
    """Return the axis along which two copies stand mirrored, left to right or front to back, or None."""
    for one, other in combinations(copies, 2):
        axis = one.axes[2][1]
        if axis == "z":
            # Copies above one another, as shelves, are wanted alike.
            continue
        if _handed(one) != _handed(other) or _mirrored(subject, placed_box(part, one), placed_box(part, other), axis):
            return axis
    return None


def _handed(placement: Placement) -> bool:
    """Whether a part stands as it is described; otherwise it stands as its mirror image."""
    order = "".join(axis[1] for axis in placement.axes)
    even = order in ("xyz", "yzx", "zxy")
    return even == (sum(axis[0] == "-" for axis in placement.axes) % 2 == 0)


def _mirrored(subject: Subject, one: Space, other: Space, axis: str) -> bool:
    """Whether two spaces lie at the same height and as far from the two ends of the piece."""
    at = "xyz".index(axis)
    if any(one[k] != other[k] for k in range(3) if k != at):
        return False
    parts = {part.key: part for part in subject.plan.parts}
    spans = [placed_box(parts[placement.part], placement)[at] for placement in subject.plan.placements]
    low, high = min(span[0] for span in spans), max(span[1] for span in spans)
    return abs((one[at][0] - low) - (high - other[at][1])) <= subject.plan.edition.resolution


def mirrored_parts(subject: Subject) -> Iterator[Diagnostic]:
    """Find two parts written apart that are a left and a right of the same thing."""
    single = [part for part in subject.plan.parts if part.role is Role.PART and not part.pair and features(part)]
    for one, other in combinations(single, 2):
        if _outside(one) != _outside(other) or one.count != other.count:
            continue
        own = features(one)
        if any(features(other, turn) == own for turn in TURNS):
            continue
        if any(features(other, mirror) == own for mirror in MIRRORS):
            yield Diagnostic(
                "mirrored-parts",
                Severity.NOTE,
                f"`{one.key}` and `{other.key}` are equal in size and stock, and mirror images of each other in their "
                f"{len(own)} cuts, holes and edgings",
                other.span,
                further=((one.span, f"`{one.key}` is described here"),),
                help="write them as one part with `pair: left right`, so that the handouts show both hands",
                rule=EXACT,
            )


def _outside(part: Part) -> tuple[str, Fraction, Fraction, Fraction]:
    return (part.stock, part.length.final, part.width.final, part.thick)
