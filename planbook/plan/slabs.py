"""Slabs: edges surveyed from a chalk line, marks on them, and the part that is sawn from one.

A survey is a measurement of one piece of wood: it is converted exactly and never goes to a grid.
The chalk line runs along the slab; a part's length runs along it too. Between two lines of the
survey an edge is taken as straight for sizes, and drawn as a smooth curve through all of them.
"""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from planbook.plan import curves, reach, slab_points, stand, values
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.shapes import Curve, Line, Outline, Point
from planbook.plan.surveys import Mark, SawnAt, Survey
from planbook.source.formula.faults import FormulaError
from planbook.source.nearest import did_you_mean
from planbook.source.schema.parts import PartSource
from planbook.source.schema.plan import StockSource
from planbook.source.schema.shapes import SlabPartSource
from planbook.source.schema.slabs import MarkSource, SlabSource
from planbook.source.schema.words import Value
from planbook.source.text import Text
from planbook.units.editions import snap
from planbook.units.quantity import Quantity

if TYPE_CHECKING:
    from planbook.plan.model import Range

_START = ("from left end", "from the left end")
_AVERAGE = " on average"
_PERCENT = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,2})?)\s*%$")


def measured(draft: Draft, value: Value, word: str) -> Fraction:
    """Return a length that was measured on the wood: exact, on no grid. Raises `Unresolved`."""
    from planbook.source.formula.evaluate import evaluate
    from planbook.source.formula.field import checked
    from planbook.source.formula.parser import Name, parse

    text, _ = values.chosen(draft, value)

    def lookup(name: Name) -> Quantity:
        from planbook.plan.lookup import named

        return named(draft, name, text.part(name.start, name.end))

    unit = values.default_unit(draft)
    try:
        tree = parse(text, values.name_table(draft))
        found = evaluate(tree, lookup, default_unit=unit)
        return checked(tree, found, text, word=word, wants="length", default_unit=unit).value
    except FormulaError as fault:
        draft.findings.add(fault.diagnostic(text))
    raise Unresolved(text)


def stock_key(draft: Draft, text: Text) -> tuple[Text, StockSource]:
    """Return the slab that a text names; raises `Unresolved`."""
    for key, source in draft.facts.stock.items():
        if key == text and source.slab is not None:
            return key, source
    slabs = [str(key) for key, source in draft.facts.stock.items() if source.slab is not None]
    raise draft.fail(
        "unknown-stock",
        f"there is no slab `{text}`",
        text.span,
        help=did_you_mean(text, slabs) or "give a stock `slab:` and `survey:`",
    )


def thickness(draft: Draft, source: StockSource, key: Text) -> Fraction:
    """Return the thickness of a slab as it lies in the shop, in mm, exact."""
    if key in draft.thickness:
        return draft.thickness[key]
    assert source.slab is not None
    return measured(draft, source.slab.thick, "thick")


def moisture(draft: Draft, slab: SlabSource) -> Fraction | None:
    """Return the moisture of a slab in %, or None where its author gives none."""
    if slab.moisture is None:
        return None
    match = _PERCENT.match(slab.moisture)
    if match is None or not 0 < Fraction(match[1]) <= 100:
        raise draft.fail(
            "wrong-number", f"`{slab.moisture}` is no moisture", slab.moisture.span, help="write `moisture: 9 %`"
        )
    return Fraction(match[1])


def heart(draft: Draft, slab: SlabSource) -> str:
    """Return which way the heart side of a slab lies: `up`, `down` or empty."""
    if slab.heart_side is None or slab.heart_side in ("up", "down"):
        return str(slab.heart_side or "")
    help = "write `up` or `down`"
    raise draft.fail("wrong-word", f"`{slab.heart_side}` is no side", slab.heart_side.span, help=help)


def survey(draft: Draft, text: Text) -> Survey:
    """Return the survey of the slab that a text names."""
    key, source = stock_key(draft, text)
    return draft.once(f"{key} (survey)", key.span, lambda: _survey(draft, key, source))


def _survey(draft: Draft, key: Text, source: StockSource) -> Survey:
    if source.outline is not None and source.survey is None:
        return slab_points.as_survey(draft, source.outline, key)
    if source.survey is None:
        raise draft.fail(
            "missing-word",
            f"the slab `{key}` has no survey",
            key.span,
            help="add `survey: |` and under it lines of three sizes: along, to the front edge, to the back edge",
        )
    rows = [
        _row(draft, source.survey, number, line)
        for number, line in enumerate(source.survey.splitlines(), 1)
        if line.strip()
    ]
    if len(rows) < 2:
        raise draft.fail(
            "no-size", f"the survey of `{key}` has {len(rows)} line, two are the least", source.survey.span
        )
    for before, after in pairwise(rows):
        if after[0] <= before[0]:
            raise draft.fail(
                "survey-order",
                f"the survey of `{key}` goes from {values.shown(draft, before[0])} back to "
                f"{values.shown(draft, after[0])}",
                source.survey.span,
                help="measure from the left end, one line after another",
            )
    along, front, back = zip(*rows, strict=True)
    return Survey(along, front, back)


def _row(draft: Draft, text: Text, number: int, line: str) -> tuple[Fraction, Fraction, Fraction]:
    """Return the three sizes of one line: columns stand two blanks or a bar apart."""
    columns = slab_points.columns_of(line)
    if len(columns) != 3:
        raise draft.fail(
            "survey-row",
            f"line {number} of the survey has {len(columns)} columns, three are wanted: `{line.strip()}`",
            text.span,
            help="write along, to the front edge, to the back edge, with two blanks between them",
        )
    along, front, back = (measured(draft, Text(column, text.span), "survey") for column in columns)
    if front + back <= 0:
        raise draft.fail(
            "no-size", f"line {number} of the survey leaves no wood between the edges: `{line.strip()}`", text.span
        )
    return along, front, back


def between(at: Fraction, along: tuple[Fraction, ...], sizes: tuple[Fraction, ...]) -> Fraction:
    """Return a size of a survey at a place, straight between two lines of it."""
    for low, high, one, other in zip(along, along[1:], sizes, sizes[1:], strict=False):
        if low <= at <= high:
            return one + (other - one) * (at - low) / (high - low)
    return sizes[0] if at < along[0] else sizes[-1]


def marks(draft: Draft) -> dict[str, tuple[Text, MarkSource]]:
    """Return the marks of all slabs by name, with the slab that each is on."""
    return {
        str(name): (key, source) for key, stock in draft.facts.stock.items() for name, source in stock.marks.items()
    }


def mark(draft: Draft, name: str) -> Mark:
    """Return a mark by its name; raises `Unresolved`."""
    key, source = marks(draft)[name]
    return draft.once(f"{name} (mark)", key.span, lambda: _mark(draft, name, source))


def _mark(draft: Draft, name: str, source: MarkSource) -> Mark:
    through = source.deep is None or stand.value_text(source.deep) == "through"
    deep = None if through or source.deep is None else _deep(draft, name, source.deep)
    if source.points is not None:
        points = slab_points.points(draft, source.points, f"points of {name}")
        xs, ys = zip(*points, strict=True)
        return Mark(name, str(source.is_), (min(xs), max(xs)), (min(ys), max(ys)), deep, points)
    if source.from_ is None or source.to is None or source.wide is None:
        help = "give `from`, `to` and `wide`, or its outline as `points`"
        raise draft.fail("missing-word", f"the mark `{name}` has no size", source.is_.span, help=help)
    start, stop = measured(draft, source.from_, "from"), measured(draft, source.to, "to")
    text, _ = values.chosen(draft, source.wide)
    wide = measured(draft, text.part(0, len(text) - len(_AVERAGE)) if text.endswith(_AVERAGE) else text, "wide")
    if stop <= start or wide <= 0:
        raise draft.fail(
            "no-size", f"the mark `{name}` has no size", source.is_.span, help="look at `from`, `to`, `wide`"
        )
    if (source.behind_line is None) == (source.before_line is None):
        raise draft.fail(
            "which-side",
            f"`{name}` wants either `behind line` or `before line`",
            source.is_.span,
            help="give the distance from the chalk line to its nearer side",
        )
    if source.behind_line is not None:
        near = measured(draft, source.behind_line, "behind line")
        across = (near, near + wide)
    else:
        assert source.before_line is not None
        near = measured(draft, source.before_line, "before line")
        across = (-near - wide, -near)
    return Mark(name, str(source.is_), (start, stop), across, deep)


def _deep(draft: Draft, name: str, value: Value) -> Fraction:
    deep, thick = measured(draft, value, "deep"), thickness(draft, *_stock_of(draft, name))
    if not 0 < deep <= thick:
        raise draft.fail(
            "off-the-slab",
            f"the mark `{name}` is {values.shown(draft, deep)} deep, its slab {values.shown(draft, thick)} thick",
            values.chosen(draft, value)[0].span,
            help="measure it again, or write `deep: through`",
        )
    return deep


def depth(draft: Draft, name: str) -> Fraction:
    """Return how deep a mark goes into its slab, in mm: the slab's thickness for one right through."""
    found = mark(draft, name).deep
    return thickness(draft, *_stock_of(draft, name)) if found is None else found


def _stock_of(draft: Draft, name: str) -> tuple[StockSource, Text]:
    key, source = stock_key(draft, marks(draft)[name][0])
    return source, key


def start_of(draft: Draft, form: SlabPartSource) -> Fraction:
    """Return where a part begins on its slab, from the left end, in mm."""
    return _from_left(draft, form.start)


def _from_left(draft: Draft, value: Value) -> Fraction:
    text, _ = values.chosen(draft, value)
    tail = next((tail for tail in _START if text.endswith(tail)), None)
    if tail is None:
        raise draft.fail(
            "wrong-word", f"`{text}` does not say from which end", text.span, help="write `3 in from left end`"
        )
    return values.clearance(draft, text.part(0, len(text) - len(tail) - 1), "part", word="start")


def sawn_at(draft: Draft, words: PartSource, *, slab: bool) -> SawnAt | None:
    """Return where the author wants a plain part to lie on its slab; None for a part of other stock."""
    named = {"start": words.start, "behind line": words.behind_line, "before line": words.before_line}
    given = next((name for name, value in named.items() if value is not None), "keep" if words.keep else "")
    if not slab:
        if given:
            key = words.of.span if words.of is not None else None
            raise draft.fail("wrong-word", f"only a part sawn from a slab takes `{given}`", key, help="leave it out")
        return None
    known = marks(draft)
    for text in words.keep:
        if text not in known:
            help = did_you_mean(text, list(known))
            raise draft.fail("unknown-name", f"the slab has no mark `{text}`", text.span, help=help)
    behind, before = (
        values.clearance(draft, value, "part", word=word) if value is not None else None
        for value, word in ((words.behind_line, "behind line"), (words.before_line, "before line"))
    )
    start = _from_left(draft, words.start) if words.start is not None else None
    return SawnAt(start, behind, before, (), tuple(map(str, words.keep)))


def part_thickness(draft: Draft, form: SlabPartSource) -> Fraction:
    """Return the finished thickness of a part in mm, rounded."""
    key, source = stock_key(draft, form.of)
    whole = thickness(draft, source, key)
    if form.thick is None:
        return snap(whole, draft.edition)
    found = snap(values.size(draft, form.thick, "part", word="thick"), draft.edition)
    if found > whole:
        raise draft.fail(
            "stock-too-thin",
            f"the part is {values.shown(draft, found)} thick, its slab `{key}` has {values.shown(draft, whole)}",
            values.chosen(draft, form.thick)[0].span,
            help="make the part thinner, or choose a thicker slab",
        )
    return found


def outline(draft: Draft, name: str, form: SlabPartSource) -> tuple[Outline, Fraction, Fraction]:
    """Return the outline of a part, its width, and how far behind its foremost point the chalk line runs.

    The width is rounded, all else is as exact as the survey.
    """
    span = draft.part_key(name).span
    return draft.once(f"{name} (outline)", span, lambda: _outline(draft, name, form))


def _outline(draft: Draft, name: str, form: SlabPartSource) -> tuple[Outline, Fraction, Fraction]:
    if form.ends != "square to chalk line":
        raise draft.fail(
            "wrong-word", f"ends cannot be `{form.ends}` yet", form.ends.span, help="write `ends: square to chalk line`"
        )
    found, first = survey(draft, form.of), start_of(draft, form)
    length = snap(values.size(draft, form.length, "overall", word="length"), draft.edition)
    last = first + length
    if last > found.along[-1]:
        raise draft.fail(
            "part-too-large",
            f"`{name}` ends {values.shown(draft, last)} from the left end, its slab at "
            f"{values.shown(draft, found.along[-1])}",
            values.chosen(draft, form.start)[0].span,
            help="begin nearer to the left end, or make it shorter",
        )
    sides = {}
    for side, sizes in (("front", found.front), ("back", found.back)):
        inner = [(at, size) for at, size in zip(found.along, sizes, strict=True) if first < at < last]
        ends = [(at, between(at, found.along, sizes)) for at in (first, last)]
        sides[side] = [ends[0], *inner, ends[1]]
    straight = _straight(draft, form)
    for side in straight:
        least = min(size for _, size in sides[side])
        sides[side] = [(first, least), (last, least)]
    line = _reach(sides["front"], smooth="front" not in straight)
    back = _reach(sides["back"], smooth="back" not in straight)
    front_points = tuple((at - first, line - size) for at, size in sides["front"])
    back_points = tuple((at - first, line + size) for at, size in reversed(sides["back"]))
    made = Outline(
        front_points[0],
        (
            _edge(front_points, smooth="front" not in straight),
            Line(back_points[0]),
            _edge(back_points, smooth="back" not in straight),
            Line(front_points[0]),
        ),
    )
    return made, snap(line + back, draft.edition), line


def _straight(draft: Draft, form: SlabPartSource) -> tuple[str, ...]:
    """Return the edges that are sawn straight."""
    for text in form.natural_edge:
        if text not in ("front", "back"):
            raise draft.fail(
                "which-edge", f"`{text}` is no long edge of a slab", text.span, help="write `front` or `back`"
            )
    return tuple(side for side in ("front", "back") if side not in form.natural_edge)


def _edge(points: tuple[Point, ...], *, smooth: bool) -> Curve | Line:
    return Curve(points[1:]) if smooth and len(points) > 2 else Line(points[-1])


def _reach(side: list[tuple[Fraction, Fraction]], *, smooth: bool) -> Fraction:
    """Return how far an edge reaches from the chalk line at most, also between the lines of the survey."""
    from planbook.plan.jigs import near

    most = max(size for _, size in side)
    if not smooth or len(side) == 2:
        return most
    spots = [(float(at), float(size)) for at, size in side]
    return max(most, near(max(y for _, y in curves.through(spots))))


def interval(draft: Draft, name: str, form: SlabPartSource, axis: str) -> Range:
    """Return where a part of a slab begins and ends along an axis: its left end and its foremost point are at 0."""
    lie = stand.frame_of(draft, name)
    own = lie.own_axis(axis)
    if own == "t":
        return stand.position(draft, name, axis, stand.thick(draft, name))
    if own == "l":
        return Fraction(0), snap(reach.size(draft, name, "l", form.length), draft.edition)
    return Fraction(0), outline(draft, name, form)[1]


def sawn_from(draft: Draft, slab: Text) -> str | None:
    """Return the first part that is sawn from a slab, or None."""
    return next(
        (name for name, form in draft.forms.items() if isinstance(form, SlabPartSource) and form.of == slab), None
    )


def mark_in(draft: Draft, name: str, form: SlabPartSource, found: Mark) -> tuple[tuple[Fraction, Fraction], ...]:
    """Return the space of a mark in a part, from and to along l and w, rounded."""
    first, line = start_of(draft, form), outline(draft, name, form)[2]
    return (
        (snap(found.along[0] - first, draft.edition), snap(found.along[1] - first, draft.edition)),
        (snap(line + found.across[0], draft.edition), snap(line + found.across[1], draft.edition)),
    )


def check_kept(draft: Draft, name: str, form: SlabPartSource) -> None:
    """Record marks that should lie inside a part and do not, and names that are no marks."""
    known = marks(draft)
    for text in form.keep:
        if text not in known:
            help = did_you_mean(text, list(known))
            draft.findings.stop("unknown-name", f"the slab has no mark `{text}`", text.span, help=help)
            continue
        found, first = mark(draft, str(text)), start_of(draft, form)
        last = first + stand.interval(draft, name, stand.frame_of(draft, name).l)[1]
        if not first <= found.along[0] < found.along[1] <= last:
            draft.findings.stop(
                "mark-outside",
                f"`{text}` lies from {values.shown(draft, found.along[0])} to {values.shown(draft, found.along[1])} "
                f"on the slab, `{name}` goes from {values.shown(draft, first)} to {values.shown(draft, last)}",
                text.span,
                help="begin the part elsewhere, or leave the mark out of `keep`",
            )
