"""Enlarged sections through the cuts and edges of a part, where their sizes can be read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.drawing.dimension import dimension
from planbook.drawing.features import is_through, runs_across
from planbook.drawing.hatching import hatch_lines
from planbook.drawing.picture import LabelKind, Point
from planbook.drawing.placing import word_label
from planbook.drawing.scales import Scale, scales_of
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import LineKind
from planbook.drawing.wording import size
from planbook.plan.model import Cut, Part, Plan, Range
from planbook.units.editions import Edition

if TYPE_CHECKING:
    from shapely import Polygon

LEAST_ON_PAPER = 2.5
"""mm: what is drawn smaller than this has no room for the strokes of its size."""
LEAST_THICK = 8.0
MOST_WIDE = 62.0
AROUND = 0.8
"""Wood that is shown beside a cut, as a share of the thickness."""
BREAK = 1.2
"""Depth of the zigzag where the wood goes on, mm."""

Span = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True, kw_only=True)
class Detail:
    """A cut, or an edge with its strip, seen in section; the show face is up."""

    name: str
    along: Span
    """What of the part is shown, from the datum end or edge."""
    whole: Fraction
    """Size of the part in that direction."""
    empty: tuple[Range, Range] | None
    """What is cut away: along, and through the thickness from the reverse."""
    strip: tuple[Range, Range] | None
    """The strip glued on."""


def details_of(part: Part) -> tuple[Detail, ...]:
    """Return a detail for every kind of cut that does not go right through, and for every glued edge."""
    found: dict[tuple[object, ...], Detail] = {}
    for cut in part.cuts:
        if is_through(part, cut):
            continue
        across = runs_across(part, cut)
        span, whole = (cut.box.l, part.length.final) if across else (cut.box.w, part.width.final)
        key = (cut.kind, cut.wide, cut.deep, cut.box.t[0] <= 0, span[0] <= 0, span[1] >= whole)
        if key not in found:
            found[key] = Detail(
                name=cut.kind.value, along=_around(span, whole, part), whole=whole, empty=(span, cut.box.t), strip=None
            )
    for strip in part.edgings:
        across = strip.edge.endswith("end")
        span, whole = (strip.box.l, part.length.final) if across else (strip.box.w, part.width.final)
        name = getattr(part.faces, strip.edge)
        found.setdefault(
            ("edge", name),
            Detail(name=name, along=_around(span, whole, part), whole=whole, empty=None, strip=(span, strip.box.t)),
        )
    return tuple(found.values())


def cut_names(part: Part) -> list[tuple[str, Cut]]:
    """Return each kind of cut that has a detail, with the first cut of it."""
    named: dict[str, Cut] = {}
    for cut in part.cuts:
        if not is_through(part, cut):
            named.setdefault(cut.kind.value, cut)
    return list(named.items())


def _around(span: Span, whole: Fraction, part: Part) -> Span:
    beside = part.thick * Fraction(4, 5)
    low, high = max(span[0] - beside, Fraction(0)), min(span[1] + beside, whole)
    return low, high


def detail_sheet(plan: Plan, part: Part, detail: Detail, *, thickness: bool) -> Sheet:
    """Return a detail with its name, its scale and its sizes, at the smallest scale that can be read.

    Only with `thickness` it says how thick the part is: once in a drawing is enough.
    """
    scale = _scale(part, detail, plan.edition)
    f = scale.factor
    sheet = Sheet()
    low = float(detail.along[0])

    def at(along: float, t: float) -> Point:
        return (along - low) * f, t * f

    strip = _rectangles([detail.strip] if detail.strip else [])
    empty = _rectangles([detail.empty] if detail.empty else [])
    wood = _rectangles([(detail.along, (Fraction(0), part.thick))])
    for solid in (wood.difference(strip).difference(empty), strip.difference(empty)):
        for piece in getattr(solid, "geoms", [solid]):
            if not piece.is_empty:
                ring = [at(*corner) for corner in piece.exterior.coords[:-1]]
                _outline(sheet, ring, _open_ends(detail, at))
                for a, b in hatch_lines(ring):
                    sheet.line(LineKind.HATCH, a, b)
    _detail_sizes(sheet, plan, part, detail, f, thickness=thickness)
    (left, bottom, right, _) = sheet.bounds
    sheet.label(word_label(f"{detail.name}, {scale.text}", ((left + right) / 2, bottom - 5.0), kind=LabelKind.VIEW))
    return sheet


def _scale(part: Part, detail: Detail, edition: Edition) -> Scale:
    span = detail.empty or detail.strip
    assert span is not None
    least = min(float(high - low) for low, high in span)
    fitting = [
        scale for scale in scales_of(edition) if float(detail.along[1] - detail.along[0]) * scale.factor <= MOST_WIDE
    ]
    for scale in reversed(fitting):
        if least * scale.factor >= LEAST_ON_PAPER and float(part.thick) * scale.factor >= LEAST_THICK:
            return scale
    return fitting[0] if fitting else scales_of(edition)[-1]


def _rectangles(spans: Sequence[tuple[Range, Range]]) -> Polygon:
    from shapely import box, union_all

    return union_all([box(float(a[0]), float(t[0]), float(a[1]), float(t[1])) for a, t in spans])


def _open_ends(detail: Detail, at: object) -> tuple[float, ...]:
    """Return the places on paper at which the wood goes on beyond the detail."""
    assert callable(at)
    low, high = detail.along
    ends = [low] if low > 0 else []
    ends += [high] if high < detail.whole else []
    return tuple(at(float(end), 0.0)[0] for end in ends)


def _outline(sheet: Sheet, ring: Sequence[Point], open_ends: Sequence[float]) -> None:
    """Draw the rim of a section; where the wood goes on it is broken off by a thin zigzag."""
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        if any(abs(a[0] - x) < 1e-6 and abs(b[0] - x) < 1e-6 for x in open_ends):
            x, middle = a[0], (a[1] + b[1]) / 2
            step = BREAK if b[1] > a[1] else -BREAK
            sheet.line(LineKind.DIMENSION, a, (x, middle - step), (x - BREAK, middle - step / 3),
                       (x + BREAK, middle + step / 3), (x, middle + step), b)  # fmt: skip
        else:
            sheet.line(LineKind.OUTLINE, a, b)


def _detail_sizes(sheet: Sheet, plan: Plan, part: Part, detail: Detail, f: float, *, thickness: bool) -> None:
    """Write the width and depth of the cut, or the width of the strip, and maybe the thickness."""
    low, high = (float(value) for value in detail.along)
    thick = float(part.thick)
    span, through = detail.empty or detail.strip or (detail.along, (Fraction(0), part.thick))
    from_show = detail.empty is None or through[1] >= part.thick
    face, away = (thick, (0.0, 1.0)) if from_show else (0.0, (0.0, -1.0))
    a, b = ((float(value) - low) * f for value in span)
    dimension(sheet, (a, face * f), (b, face * f), size(span[1] - span[0], plan.edition), away=away, first=5.0)
    right, left = (high - low) * f, 0.0
    # The thickness stands where the wood is whole, the depth on the side of the cut.
    cut_right = float(span[1]) >= high - 1e-9
    if detail.empty is not None:
        deep = through[1] - through[0]
        x, side = (right, (1.0, 0.0)) if cut_right else (left, (-1.0, 0.0))
        ends = (float(through[0]) * f, float(through[1]) * f)
        dimension(sheet, (x, ends[0]), (x, ends[1]), size(deep, plan.edition), away=side, first=5.0)
    if thickness:
        x, side = (left, (-1.0, 0.0)) if cut_right else (right, (1.0, 0.0))
        dimension(sheet, (x, 0.0), (x, thick * f), size(part.thick, plan.edition), away=side, first=5.0)
