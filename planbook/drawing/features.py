"""What a drawing of one part shows: its hands, its cuts and its rows of holes, with their places."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from planbook.drawing.wording import spoken
from planbook.plan import drilling
from planbook.plan.drilling import Row, Side
from planbook.plan.model import Cut, CutKind, Hole, Part, Placement, Plan
from planbook.units.editions import Edition, snap


def rows_of(part: Part, holes: tuple[Hole, ...] | None = None) -> tuple[Row, ...]:
    """Gather the holes in a part's wide faces (or some of them) into rows, in the order in which they are listed."""
    return tuple(row for row in drilling.rows_of(part, holes) if row.side.wide)


def placements_of(plan: Plan, part: Part) -> tuple[Placement, ...]:
    """Return where the copies of a part stand."""
    return tuple(place for place in plan.placements if place.part == part.key)


def hands_of(plan: Plan, part: Part) -> tuple[str, ...]:
    """Return the hands of a part, left first; one empty word where it has none."""
    hands = dict.fromkeys(place.hand for place in placements_of(plan, part))
    if part.pair and not hands:
        return ("L", "R")
    return tuple(hands) or ("",)


_AXES = {
    f"{sign}{name}": tuple((1 if sign == "+" else -1) * (at == place) for at in range(3))
    for sign in "+-"
    for place, name in enumerate("xyz")
}


def axis_vector(axis: str) -> tuple[int, int, int]:
    """Return a signed axis word as a vector."""
    x, y, z = _AXES[axis]
    return x, y, z


def handedness(plan: Plan, part: Part, hand: str = "") -> int:
    """Return 1 where length, width and thickness of a part turn like x, y and z, else -1.

    It decides on which side the datum edge lies when one looks at the show face, so it is read off
    the placement of that hand and never assumed; a part that stands nowhere counts as 1.
    """
    for place in placements_of(plan, part):
        if place.hand == hand:
            (a, b, c), (d, e, f), (g, h, i) = (axis_vector(axis) for axis in place.axes)
            return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
    return -1 if hand == "R" else 1


def on_show(part: Part, cut: Cut) -> bool:
    """Whether a cut is open to the show face."""
    return cut.box.t[1] >= part.thick


def is_through(part: Part, cut: Cut) -> bool:
    """Whether a cut goes right through the thickness."""
    return cut.box.t[0] <= 0 and cut.box.t[1] >= part.thick


def opens_on_show(hole: Hole) -> bool:
    """Whether the place of a hole is seen on the show face: one that leans comes out elsewhere."""
    return hole.from_show or (hole.deep is None and hole.axis is None)


def in_face(hole: Hole) -> bool:
    """Whether a bit enters one of the two wide faces, not an edge or end."""
    return drilling.side_of(hole).wide


def runs_across(part: Part, cut: Cut) -> bool:
    """Whether a cut crosses the grain, so that its place is measured along the length."""
    if cut.kind is CutKind.DADO:
        return True
    (l0, l1), (w0, w1) = cut.box.l, cut.box.w
    return (l1 - l0) / part.length.final < (w1 - w0) / part.width.final


def chalk_line(part: Part) -> Fraction | None:
    """Return how far from its datum edge the chalk line of a part with natural edges runs; None for others.

    Nobody can measure from an edge as it grew: what lies across such a part is measured from its line.
    """
    return part.sawn_at.line if part.sawn_at is not None else None


def across_from(part: Part) -> str:
    """Return what places across a part are measured from."""
    return part.faces.datum_edge if chalk_line(part) is None else "chalk line"


def across_text(part: Part, w: Fraction, edition: Edition, written: Callable[[Fraction, Edition], str]) -> str:
    """Return a place across a part: from its datum edge, or `5" before` and `5" behind` the chalk line."""
    line = chalk_line(part)
    if line is None:
        return written(w, edition)
    off = snap(w - line, edition)
    return f"{written(abs(off), edition)} {'behind' if off > 0 else 'before'}" if off else "0"


def across_words(part: Part, w: Fraction, edition: Edition) -> str:
    """Return the same with what it is measured from, for an alternative text."""
    text, base = across_text(part, w, edition, spoken), across_from(part)
    if chalk_line(part) is None:
        return f"{text} from the {base}"
    return f"on the {base}" if text == "0" else f"{text} the {base}"


def cut_words(part: Part, cut: Cut, edition: Edition) -> str:
    """Return a cut with its sizes and its place, for an alternative text."""
    what = f"a {cut.kind.value} for the {cut.for_part}" if cut.for_part else f"a {cut.kind.value}"
    words = [what, f"{spoken(cut.wide, edition)} wide", f"{spoken(cut.deep, edition)} deep"]
    across = runs_across(part, cut)
    for lengthwise, (low, high), whole, side in (
        (True, cut.box.l, part.length.final, part.faces.datum_end),
        (False, cut.box.w, part.width.final, part.faces.datum_edge),
    ):
        # Along its run a cut may stop; across it, one that runs out at an edge is placed by its width.
        if low > 0 and (high < whole or lengthwise is not across):
            words.append(f"{spoken(low, edition)} from the {side}" if lengthwise else across_words(part, low, edition))
    return ", ".join(words)


def row_words(part: Part, row: Row, edition: Edition) -> str:
    """Return a row of holes with its sizes and its place, for an alternative text."""
    deep = "right through" if row.deep is None else f"{spoken(row.deep, edition)} deep"
    x_from, across = part.faces.datum_end, across_words(part, row.w, edition)
    if not row.side.wide:
        deep += f", in the {getattr(part.faces, row.side.value)}"
        x_from = part.faces.datum_edge if row.side in (Side.DATUM_END, Side.FAR_END) else part.faces.datum_end
        across = f"{spoken(row.w, edition)} from the {part.faces.show}"
    every = f", {spoken(row.every, edition)} apart" if row.every is not None else ""
    if row.every is None and row.evenly(edition.resolution):
        every = f", evenly spaced over {spoken(row.places[-1] - row.places[0], edition)}"
    many = len(row.places) > 1
    what = f"a row of {len(row.places)} holes" if many else "a hole"
    first = "the first " if many else ""
    return (
        f"{what}, {spoken(row.diameter, edition.finest)} in diameter, {deep}, "
        f"{across}, "
        f"{first}{spoken(row.places[0], edition)} from the {x_from}{every}"
    )
