"""How far wide boards move over a year: one line for each board, drawn several times as large."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planbook.drawing.picture import Label, LabelKind, Picture, Point, Stroke
from planbook.drawing.style import (
    CIRCLE_DIAMETER,
    LEAST_HEIGHT,
    LETTER_HEIGHT,
    SIZE_HEIGHT,
    WIDTH,
    WORD_HEIGHT,
    LineKind,
)
from planbook.drawing.text import text_width
from planbook.plan.shop_rows import MONTHS

MOST = 4
"""Most boards in one picture: more lines than that cannot be told apart."""

_TIMES = (1, 2, 5, 10, 20, 50, 100)
_HIGH = 46.0
_PHONE = 104.0
"""Width of a picture for phones, mm."""
_LEFT, _RIGHT = 26.0, 44.0
_ROOM = 9.0
"""Above and below the lines, for the words there."""
_FOOT = 7.0
_STEPS = 8
"""Points of a curve between two months."""
_GAP = 10.0
_KINDS = (LineKind.NEW_OUTLINE, LineKind.EDGE, LineKind.HIDDEN, LineKind.CENTRE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """One board over the year."""

    letter: str
    shrinks_mm: float
    swells_mm: float
    shrinks: str
    """As written for the edition."""
    swells: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Year:
    """Moisture over the year, as written, and the months of its ends, January being 0."""

    built: str
    driest: str
    dampest: str
    driest_month: int
    dampest_month: int


def season(title: str, swings: Sequence[Swing], year: Year, *, narrow: bool = False) -> Picture:
    """Return the picture of boards over the year, the widest swings first; raises ValueError without a board.

    Between the two months a smooth swing is assumed. `narrow` is for phones: the boards are named below the months.
    """
    shown = sorted(swings, key=lambda swing: -(swing.shrinks_mm + swing.swells_mm))[:MOST]
    span = max(swing.shrinks_mm for swing in shown) + max(swing.swells_mm for swing in shown)
    times = max((times for times in _TIMES if span * times <= _HIGH), default=_TIMES[0])
    low = max(swing.shrinks_mm for swing in shown) * times
    high = max(swing.swells_mm for swing in shown) * times
    word = "drawn full size" if times == 1 else f"drawn {times} times as large"
    page, right = (_PHONE, 3.0) if narrow else (WIDTH, _RIGHT)
    foot = _FOOT + (len(shown) * _GAP + 6 if narrow else 0)
    # Boards whose labels want more room than their lines get it below.
    base = foot + _ROOM + (low if narrow else max(low, len(shown) * _GAP - high))
    paper = _Paper(page - _LEFT - right, foot, base, low, high, year)
    strokes, labels = paper.frame()
    for place, swing in enumerate(shown):
        line = paper.curve(swing.shrinks_mm * times, swing.swells_mm * times)
        kind = _KINDS[place]
        strokes.append(Stroke(kind, line))
        if narrow:
            y = foot - _FOOT - 2 - (place + 0.5) * _GAP
            strokes.append(Stroke(kind, ((_LEFT - 18, y), (_LEFT - 6, y))))
            labels += _named(swing, (_LEFT + CIRCLE_DIAMETER / 2, y))
        else:
            x, y = page - right + 6, min(base + high, base + len(shown) * _GAP / 2) - place * _GAP
            strokes.append(Stroke(LineKind.LEADER, (line[-1], (x, y))))
            labels += _named(swing, (x + CIRCLE_DIAMETER / 2, y))
    at = (page / 2, 2.0) if narrow else (page - right / 2, foot - _FOOT / 2)
    labels.append(_word(word, *at, LEAST_HEIGHT))
    alt = "; ".join(f"{swing.letter} shrinks by {swing.shrinks} and swells by {swing.swells}" for swing in shown)
    months = f"driest in {MONTHS[year.driest_month]}, dampest in {MONTHS[year.dampest_month]}"
    return Picture(
        title=title,
        alt=f"Movement of wide boards over a year, {months}: {alt}.",
        width=page,
        height=base + high + _ROOM,
        strokes=tuple(strokes),
        labels=tuple(labels),
    )


@dataclass(frozen=True, slots=True)
class _Paper:
    wide: float
    foot: float
    """Height of the line of the months."""
    base: float
    low: float
    high: float
    year: Year

    def x(self, month: float) -> float:
        return _LEFT + self.wide * (month + 0.5) / 12

    def within(self, text: str, month: float) -> float:
        """Return where the middle of a size in a month stands, so that it does not leave the picture."""
        return min(self.x(month), _LEFT + self.wide + 2.5 - text_width(text, SIZE_HEIGHT) / 2)

    def frame(self) -> tuple[list[Stroke], list[Label]]:
        """Return the line as built, the months, and both ends of the year."""
        right, year = _LEFT + self.wide, self.year
        strokes = [
            Stroke(LineKind.DIMENSION, ((_LEFT, self.base), (right, self.base))),
            Stroke(LineKind.GRID, ((_LEFT, self.foot), (right, self.foot))),
        ]
        labels = [_word(name[0], self.x(month), self.foot - _FOOT / 2) for month, name in enumerate(MONTHS)]
        labels += [
            _word("as built", _LEFT / 2 - 1, self.base + 3),
            _word(year.built, _LEFT / 2 - 1, self.base - 3, SIZE_HEIGHT),
            _word(
                year.dampest, self.within(year.dampest, year.dampest_month), self.base + self.high + 4.5, SIZE_HEIGHT
            ),
            _word(year.driest, self.within(year.driest, year.driest_month), self.base - self.low - 4.5, SIZE_HEIGHT),
        ]
        ends = [_LEFT + self.wide * at / 12 for at in range(13)]
        ticks = [Stroke(LineKind.GRID, ((x, self.foot), (x, self.foot + 1.5))) for x in ends]
        return strokes + ticks, labels

    def curve(self, low: float, high: float) -> tuple[Point, ...]:
        points = []
        for step in range(-_STEPS // 2, 12 * _STEPS - _STEPS // 2 + 1):
            month = step / _STEPS
            share = self._share(month)
            points.append((self.x(month), self.base - low + (low + high) * share))
        return tuple(points)

    def _share(self, month: float) -> float:
        """Return 0 in the driest month, 1 in the dampest, and a half swing of a cosine between them."""
        rise = (self.year.dampest_month - self.year.driest_month) % 12
        since = (month - self.year.driest_month) % 12
        turn = since / rise if since <= rise else 1 + (since - rise) / (12 - rise)
        return (1 - math.cos(math.pi * turn)) / 2


def _named(swing: Swing, at: Point) -> list[Label]:
    told = f"\u2212{swing.shrinks} +{swing.swells}"
    wide = text_width(told, SIZE_HEIGHT)
    x = at[0] + CIRCLE_DIAMETER / 2 + 2 + wide / 2
    return [
        Label(kind=LabelKind.LETTER, text=swing.letter, x=at[0], y=at[1], height=LETTER_HEIGHT, bold=True),
        Label(kind=LabelKind.SIZE, text=told, x=x, y=at[1], height=SIZE_HEIGHT),
    ]


def _word(text: str, x: float, y: float, height: float = WORD_HEIGHT) -> Label:
    return Label(kind=LabelKind.WORD, text=text, x=x, y=y, height=height)
