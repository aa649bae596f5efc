"""Curved edges of a board: an arc cut out of an edge, or a curve through points set in from it."""

from __future__ import annotations

from fractions import Fraction

from planbook.plan import curves, sides, values
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.shapes import Arc, Curve, Line, Outline, Point, Stretch
from planbook.plan.shaping import kind_of, of_part
from planbook.source.formula.faults import FormulaError
from planbook.source.places.parser import Extent, parse_station
from planbook.source.schema.shaping import ShapingSource
from planbook.source.schema.words import Value
from planbook.source.text import Text
from planbook.units.editions import snap

Rim = list[tuple[Fraction, Fraction]]
"""Places along l, each with how far in from the edge, rising."""


def outline(draft: Draft, part: str, steps: dict[str, int]) -> tuple[Outline, str, int | None] | None:
    """Return the outline of a board with curved edges, the name of its last cut and its step, or None without any."""
    long, wide = sides.size(draft, part, "l"), sides.size(draft, part, "w")
    found: dict[bool, list[Stretch]] = {}
    starts: dict[bool, Point] = {}
    last: tuple[str, int | None] | None = None
    for key, source in of_part(draft, part):
        kind = kind_of(draft, key, source)
        if kind not in ("arc", "curve"):
            continue
        if source.along is None:
            raise draft.fail(
                "missing-word",
                f"the cut `{key}` does not say along which edge",
                key.span,
                help="add `along: lower edge`",
            )
        own, high = sides.side(draft, part, source.along)
        if own != "w" or high in found:
            message = (
                f"`{source.along}` of `{part}` has a curve already" if own == "w" else f"`{source.along}` is no edge"
            )
            raise draft.fail("which-edge", message, source.along.span)
        made = _arc(draft, key, source, part) if kind == "arc" else _curve(draft, key, source, part)
        starts[high], found[high] = _turned(made, long, wide, high=high)
        last = (str(key), steps.get(str(key)))
    if last is None:
        return None
    zero = Fraction(0)
    low = found.get(False, [Line((long, zero))])
    start = starts.get(False, (zero, zero))
    back = found.get(True, [Line((zero, wide))])
    made_outline = Outline(start, (*low, Line(starts.get(True, (long, wide))), *back, Line(start)))
    crossing = curves.crossing(curves.traced(made_outline)[0])
    if crossing is not None:
        place = values.shown(draft, Fraction(round(crossing[0][0])))
        raise draft.fail(
            "outline-crosses",
            f"the outline of `{part}` crosses itself about {place} from its datum end",
            draft.part_key(part).span,
            help="make its curves shallower, or the part wider",
        )
    return made_outline, *last


def _turned(stretches: list[Stretch], long: Fraction, wide: Fraction, *, high: bool) -> tuple[Point, list[Stretch]]:
    """Return the start and the stretches of an edge; the upper one runs backwards and stands in from above.

    The first stretch given is a `Line` to where the edge begins.
    """
    if not high:
        first = stretches[0]
        assert isinstance(first, Line)
        return first.to, stretches[1:]

    def turned(point: Point) -> Point:
        return long - point[0], wide - point[1]

    found: list[Stretch] = []
    for stretch in stretches:
        if isinstance(stretch, Line):
            found.append(Line(turned(stretch.to)))
        elif isinstance(stretch, Arc):
            found.append(Arc(turned(stretch.over), turned(stretch.to)))
        else:
            found.append(Curve(tuple(map(turned, stretch.through))))
    first = found[0]
    assert isinstance(first, Line)
    return first.to, found[1:]


def _mirror(at: Fraction, long: Fraction, *, high: bool) -> Fraction:
    """Return a place along an edge in the way the edge runs: the upper one runs backwards."""
    return long - at if high else at


def _arc(draft: Draft, key: Text, source: ShapingSource, part: str) -> list[Stretch]:
    assert source.arc is not None
    assert source.along is not None
    rise = snap(values.size(draft, source.arc, "part", word="arc"), draft.edition)
    long, high = sides.size(draft, part, "l"), sides.side(draft, part, source.along)[1]
    start = Fraction(0) if source.from_ is None else sides.along(draft, part, "l", source.from_)
    stop = long if source.to is None else sides.along(draft, part, "l", source.to)
    if not 0 <= start < stop <= long:
        raise draft.fail(
            "cut-outside",
            f"the arc `{key}` goes from {values.shown(draft, start)} to {values.shown(draft, stop)}, `{part}` is "
            f"{values.shown(draft, long)} long",
            key.span,
            help="name the end nearer to the datum end first",
        )
    if rise >= sides.size(draft, part, "w"):
        raise draft.fail("cut-through", f"the arc `{key}` rises over the other edge of `{part}`", key.span)
    start, stop = sorted((_mirror(start, long, high=high), _mirror(stop, long, high=high)))
    zero = Fraction(0)
    found: list[Stretch] = [Line((zero, zero))]
    if start > 0:
        found.append(Line((start, zero)))
    found.append(Arc(((start + stop) / 2, rise), (stop, zero)))
    if stop < long:
        found.append(Line((long, zero)))
    return found


def _curve(draft: Draft, key: Text, source: ShapingSource, part: str) -> list[Stretch]:
    assert source.along is not None
    long, high = sides.size(draft, part, "l"), sides.side(draft, part, source.along)[1]
    rim = sorted(
        (_mirror(at, long, high=high), size) for at, size in (_point(draft, part, value) for value in source.curve)
    )
    if len(rim) < 3:
        raise draft.fail(
            "no-size", f"the curve `{key}` has {len(rim)} points, three are the least", key.span, help="add a point"
        )
    wide = sides.size(draft, part, "w")
    for at, size in rim:
        if not (0 <= at <= long and 0 <= size < wide):
            raise draft.fail(
                "cut-outside",
                f"a point of `{key}` stands {values.shown(draft, size)} in and {values.shown(draft, at)} along, "
                f"`{part}` is {values.shown(draft, wide)} wide and {values.shown(draft, long)} long",
                key.span,
                help="look from where it is measured",
            )
    zero = Fraction(0)
    found: list[Stretch] = [Line(rim[0] if rim[0][0] == 0 else (zero, zero))]
    if rim[0][0] > 0:
        found.append(Line(rim[0]))
    found.append(Curve(tuple(rim[1:])))
    if rim[-1][0] < long:
        found.append(Line((long, zero)))
    return found


def _point(draft: Draft, part: str, value: Value) -> tuple[Fraction, Fraction]:
    """Return place and offset of `1 in at 3 in from left end`."""
    text, _ = values.chosen(draft, value)
    try:
        tree = parse_station(text, values.name_table(draft))
    except FormulaError as fault:
        draft.findings.add(fault.diagnostic(text))
        raise Unresolved(text) from None
    if tree.value is None or isinstance(tree.where, Extent):
        raise draft.fail("wrong-word", f"`{text}` is no point of a curve", text.span, help="write `1 in at middle`")
    from planbook.plan import reach, stand

    axis = stand.frame_of(draft, part).l
    at = reach.point(draft, values.PlaceText(tree.where, text), axis, own=part, grid="part", hosted=False)
    place = snap(at - stand.interval(draft, part, axis)[0], draft.edition)
    return place, snap(values.worth(draft, tree.value, text, "part"), draft.edition)
