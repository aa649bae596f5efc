"""A bare list whose stock are slabs, as slabs and pieces in mm."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from planbook.cutting.practice import USUAL, Practice
from planbook.cutting.problem import CuttingError
from planbook.cutting.slab_problem import CLEAR, Natural, Slab, SlabMark, SlabPiece, Spot, box_of, from_survey
from planbook.cutting.slabs import SlabLayout, nearest_fit, solve_slab
from planbook.source.diagnostics import Diagnostic, Findings, Severity, Span
from planbook.source.nearest import did_you_mean
from planbook.source.schema.bare import BareFacts, BareMark, BarePiece, BareStock
from planbook.source.text import Text
from planbook.units.editions import Edition
from planbook.units.read import ReadError, read_quantity
from planbook.units.write import plain_length

_COLUMNS = re.compile(r"\s{2,}|\s*\|\s*|\t")
_START = re.compile(r"(.*\S)\s+from (?:the )?left end$")


@dataclass(frozen=True, slots=True, kw_only=True)
class BareSlabs:
    """A list of slabs that was read."""

    title: str
    edition: Edition
    practice: Practice
    pieces: tuple[SlabPiece, ...]
    slabs: tuple[Slab, ...]
    spans: Mapping[str, Span]
    """Where each piece and each slab stands in the list."""


def of_slabs(facts: BareFacts) -> bool:
    """Whether a list cuts from slabs."""
    return any(entry.survey is not None or entry.outline is not None for entry in facts.stock.values())


def read_slabs(facts: BareFacts, findings: Findings, *, title: str, edition: Edition) -> BareSlabs:
    """Return slabs and pieces of a list; faults are recorded, and what they touch has a size that stands in."""
    reader = _Reader(facts, findings, edition)
    return BareSlabs(
        title=title,
        edition=edition,
        practice=USUAL[edition.name],
        pieces=tuple(piece for key, entry in facts.pieces.items() for piece in reader.pieces(key, entry)),
        slabs=tuple(reader.slab(key, entry) for key, entry in facts.stock.items()),
        spans={str(key): key.span for key in (*facts.stock, *facts.pieces)},
    )


def solve_slabs(bare: BareSlabs, findings: Findings) -> tuple[SlabLayout, ...]:
    """Return a layout for each slab that gets a part; what finds no place on any slab is a finding."""
    left = list(bare.pieces)
    layouts: list[SlabLayout] = []
    for slab in bare.slabs:
        try:
            found = solve_slab(
                slab, left, keep_long=float(bare.practice.keep_long), keep_wide=float(bare.practice.keep_wide)
            )
        except CuttingError as fault:
            span = next((at for key, at in bare.spans.items() if f"`{key}`" in fault.message), None)
            findings.add(Diagnostic(fault.slug, Severity.STOP, fault.message, span, help=fault.help or None))
            return ()
        layouts.append(found)
        left = list(found.missing)
        if not left:
            break
    for piece in left:
        name = piece.key.partition(" ")[0] if piece.key not in bare.spans else piece.key
        findings.stop(
            "no-place-on-slab",
            f"no place was found for `{name}` on {_slabs(layouts)}",
            bare.spans.get(name),
            help=nearest_fit(layouts[-1].slab, layouts[-1], piece),
        )
    return tuple(layout for layout in layouts if layout.parts)


def _slabs(layouts: Sequence[SlabLayout]) -> str:
    names = [f"`{layout.slab.key}`" for layout in layouts]
    return names[0] if len(names) == 1 else f"any of {', '.join(names)}"


class _Reader:
    def __init__(self, facts: BareFacts, findings: Findings, edition: Edition) -> None:
        self._findings, self._edition = findings, edition
        self._unit = str(facts.units or "") or None
        self._step = edition.resolution
        self._kerf = self._up(self._length(facts.kerf, USUAL[edition.name].kerf))

    def slab(self, key: Text, entry: BareStock) -> Slab:
        """Return one slab; sizes of the list are exact."""
        if entry.survey is not None:
            rows = self._rows(entry.survey, f"survey of {key}", 3)
            self._check_rising(key, entry.survey, rows)
            sides = [[float(row[n]) for row in rows] for n in range(3)]
            outline = from_survey(sides[0], sides[1], sides[2])
        else:
            outline = self._points(entry.outline, f"outline of {key}", key)
        usual = CLEAR[self._edition.name]
        return Slab(
            key=str(key),
            outline=outline,
            marks=tuple(self._mark(name, mark) for name, mark in entry.marks.items()),
            kerf=float(self._kerf),
            clear=float(self._length(entry.clear, usual)),
            step=float(self._step),
            write=lambda mm: plain_length(Fraction(mm).limit_denominator(10**6), self._edition),
        )

    def _check_rising(self, key: Text, text: Text, rows: Sequence[Sequence[Fraction]]) -> None:
        if len(rows) < 2:
            message = f"the survey of `{key}` has {len(rows)} line, two are the least"
            self._findings.stop("no-size", message, text.span)
        for before, after in pairwise(rows):
            if after[0] <= before[0]:
                self._findings.stop(
                    "survey-order",
                    f"the survey of `{key}` goes from {self._shown(before[0])} back to {self._shown(after[0])}",
                    text.span,
                    help="measure from the left end, one line after another",
                )

    def _mark(self, name: Text, mark: BareMark) -> SlabMark:
        if mark.points is not None:
            return SlabMark(str(name), str(mark.is_), self._points(mark.points, f"points of {name}", name))
        if mark.from_ is None or mark.to is None or mark.wide is None:
            help = "give `from`, `to` and `wide`, or its outline as `points`"
            self._findings.stop("missing-word", f"the mark `{name}` has no size", name.span, help=help)
        start, stop = self._length(mark.from_, Fraction(0)), self._length(mark.to, Fraction(1))
        wide = self._length(mark.wide, Fraction(1))
        if stop <= start or wide <= 0:
            self._findings.stop(
                "no-size", f"the mark `{name}` has no size", name.span, help="look at `from`, `to`, `wide`"
            )
        near = self._near(name, mark, wide)
        if near is None:
            self._findings.stop(
                "which-side",
                f"`{name}` wants either `behind line` or `before line`",
                name.span,
                help="give the distance from the chalk line to its nearer side",
            )
            near = Fraction(0)
        left, front, right, back = (float(side) for side in (start, near, stop, near + wide))
        return SlabMark(str(name), str(mark.is_), ((left, front), (right, front), (right, back), (left, back)))

    def _near(self, key: Text, entry: BareMark | BarePiece, wide: Fraction) -> Fraction | None:
        """Return the front side of something, from the chalk line; None where nothing is said."""
        if entry.behind_line is not None and entry.before_line is not None:
            self._findings.stop(
                "which-side", f"`{key}` lies either behind the line or before it", key.span, help="leave one out"
            )
        if entry.behind_line is not None:
            return self._length(entry.behind_line, Fraction(0))
        if entry.before_line is not None:
            return -self._length(entry.before_line, Fraction(0)) - wide
        return None

    def pieces(self, key: Text, entry: BarePiece) -> Iterator[SlabPiece]:
        """Yield every copy of a piece."""
        count = self._count(entry.count)
        outline = self._points(entry.outline, f"outline of {key}", key) if entry.outline is not None else ()
        if outline:
            left, front, right, back = box_of(outline)
            outline = tuple((x - left, y - front) for x, y in outline)
            length, width = self._up(Fraction(right - left)), self._up(Fraction(back - front))
        else:
            if entry.length is None:
                self._findings.stop("missing-word", f"`{key}` has no length", key.span, help="add `length:`")
            length = self._up(self._positive(entry.length, self._step))
            width = self._up(self._positive(entry.width, Fraction(0)))
        natural = self._natural(entry)
        if entry.width is None and not outline and natural is not Natural.BOTH:
            self._findings.stop("missing-word", f"`{key}` has no width", key.span, help="add `width:`")
        start = self._start(entry.start) if entry.start is not None else None
        near = self._near(key, entry, width)
        for number in range(1, count + 1):
            yield SlabPiece(
                key=f"{key} {number}" if count > 1 else str(key),
                length=float(length),
                width=float(width),
                natural=natural,
                outline=outline,
                turns=entry.grain == "free",
                start=None if start is None else float(start),
                near=None if near is None else float(near),
                keep=tuple(map(str, entry.keep)),
            )

    def _natural(self, entry: BarePiece) -> Natural:
        known = {"front": Natural.FRONT, "back": Natural.BACK, "either": Natural.EITHER}
        found = []
        for text in entry.natural_edge:
            if text not in known:
                help = did_you_mean(text, list(known)) or "write `front`, `back` or `either`"
                self._findings.stop("which-edge", f"`{text}` is no long edge of a slab", text.span, help=help)
                continue
            found.append(known[str(text)])
        if Natural.FRONT in found and Natural.BACK in found:
            return Natural.BOTH
        return found[0] if found else Natural.NONE

    def _start(self, text: Text) -> Fraction | None:
        match = _START.match(text)
        if match is None:
            self._findings.stop(
                "wrong-word",
                f"`{text}` does not say from which end",
                text.span,
                help="write `3 in from left end`",
            )
            return None
        return self._length(text.part(0, match.end(1)), Fraction(0))

    # sizes

    def _rows(self, text: Text, word: str, columns: int) -> list[tuple[Fraction, ...]]:
        rows = []
        for number, line in enumerate(text.splitlines(), 1):
            cells = [cell for cell in _COLUMNS.split(line.strip()) if cell]
            if not cells:
                continue
            if len(cells) != columns:
                self._findings.stop(
                    "survey-row",
                    f"line {number} of the {word} has {len(cells)} columns, {columns} are wanted: `{line.strip()}`",
                    text.span,
                    help="put two blanks between the sizes",
                )
                continue
            rows.append(tuple(self._signed(Text(cell, text.span)) for cell in cells))
        return rows

    def _points(self, text: Text | None, word: str, key: Text) -> tuple[Spot, ...]:
        if text is None:
            self._findings.stop(
                "missing-word", f"`{key}` has no survey", key.span, help="add `survey: |` or `outline: |`"
            )
            return ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))
        rows = self._rows(text, word, 2)
        if len(rows) < 3:
            self._findings.stop("no-size", f"the {word} has {len(rows)} points, three are the least", text.span)
        return tuple((float(x), float(y)) for x, y in rows)

    def _signed(self, text: Text) -> Fraction:
        if text.startswith(("-", "−")):
            return -self._length(Text(text[1:].strip(), text.span), Fraction(0))
        return self._length(text, Fraction(0))

    def _positive(self, text: Text | None, usual: Fraction) -> Fraction:
        found = self._length(text, usual)
        if text is not None and found <= 0:
            self._findings.stop(
                "size-not-positive", f"`{text}` is not more than nothing", text.span, help="write its size"
            )
        return found

    def _length(self, text: Text | None, usual: Fraction) -> Fraction:
        if text is None:
            return usual
        try:
            quantity = read_quantity(text, default_unit=self._unit)
        except ReadError as fault:
            self._findings.stop(fault.slug, fault.message, text.part(fault.start, fault.end).span, help=fault.help)
            return usual
        if quantity.dimension.length != 1:
            self._findings.stop("wrong-unit", f"`{text}` is no length", text.span, help="write `24 in` or `600 mm`")
            return usual
        if quantity.value < 0:
            self._findings.stop("size-not-positive", f"`{text}` is below zero", text.span, help="write its size")
            return usual
        return quantity.value

    def _count(self, text: Text | None) -> int:
        if text is None:
            return 1
        if text.isascii() and text.isdigit() and len(text) < 8 and int(text) >= 1:
            return int(text)
        self._findings.stop("wrong-number", f"`{text}` is no number of pieces", text.span, help="write 1 or more")
        return 1

    def _up(self, mm: Fraction) -> Fraction:
        return -(-mm // self._step) * self._step

    def _shown(self, mm: Fraction) -> str:
        return plain_length(mm, self._edition)
