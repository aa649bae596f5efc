"""The picture of a step that saws parts out: their outlines side by side, at one scale."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from planbook.drawing.features import hands_of
from planbook.drawing.picture import Label, LabelKind, Picture, Point
from planbook.drawing.placing import letter_label
from planbook.drawing.scales import Scale, scales_of
from planbook.drawing.sheet import Sheet
from planbook.drawing.style import CIRCLE_DIAMETER, SIZE_HEIGHT, WORD_HEIGHT, LineKind, Shade
from planbook.drawing.text import text_width
from planbook.drawing.wood_marks import face_mark
from planbook.drawing.wording import lettered, listed, sentence, size, spoken
from planbook.plan.curves import traced
from planbook.plan.model import Life, Part, Plan, Role, Size, Step, StockKind
from planbook.plan.shapes import Outline, Ramp

ROW_GAP = 3.5
LEAST_ROW = CIRCLE_DIAMETER + 0.6
WORDS_AWAY = 6.0


def sawing_picture(plan: Plan, step: Step, *, width: float, height: float) -> Picture:
    """Return the pieces that a step saws out, with letter, length and width as they are sawn."""
    parts = [plan.part(key) for key in step.makes]
    words_wide = max(_words_width(plan, part) for part in parts)
    scale = _scale(plan, parts, (width - 2 - words_wide - WORDS_AWAY, height - 2))
    sheet = Sheet()
    top = 0.0
    longest = max(float(_drawn(part)[0]) for part in parts) * scale.factor
    for part in parts:
        long, wide = (float(value) * scale.factor for value in _drawn(part))
        row = max(wide, LEAST_ROW)
        low = top - row / 2 - wide / 2
        ring = _ring(part, scale.factor, low) or ((0.0, low), (long, low), (long, low + wide), (0.0, low + wide))
        sheet.area(Shade.TONE, ring)
        sheet.line(LineKind.NEW_OUTLINE if wide > 2.5 else LineKind.OUTLINE, *ring, closed=True)
        if part.key in step.marks and part.shape is None:

            def on_board(l: float, w: float, low: float = low) -> Point:
                return l * scale.factor, low + w * scale.factor

            face_mark(sheet, on_board, float(_drawn(part)[0]), float(_drawn(part)[1]))
        _write(sheet, plan, part, (longest + WORDS_AWAY, top - row / 2))
        top -= row + ROW_GAP
    return sheet.picture(
        title=f"Step {step.number}: {step.title}", alt=_alt(plan, step, parts), width=width, scale=scale.text
    )


def sawn_size(part: Part) -> tuple[Fraction, Fraction]:
    """Return length and width of a piece as it is sawn: long where it is trimmed later, else as the cut list says.

    A part with natural edges is sawn out of its slab only once, to its final length. Edgings are left out.
    """
    if part.sawn_at is not None:
        return part.length.final, part.width.final
    return _sawn(part.length, part.body_length), _sawn(part.width, part.body_width)


def _sawn(given: Size, body: Fraction) -> Fraction:
    return given.rough if given.life is Life.LONG else body


def _drawn(part: Part) -> tuple[Fraction, Fraction]:
    """Return length and height of a piece as it is drawn: face up, a ramp from its side."""
    long, wide = sawn_size(part)
    return (long, part.thick) if isinstance(part.shape, Ramp) else (long, wide)


def _ring(part: Part, factor: float, low: float) -> tuple[Point, ...]:
    """Return the corners on paper of a slab part, its front edge below, or of a ramp; none for a board."""
    if isinstance(part.shape, Ramp):
        long, high = (float(value) * factor for value in _drawn(part))
        return ((0.0, low), (long, low), (long, low + high))
    if part.sawn_at is None or not isinstance(part.shape, Outline):
        return ()
    return tuple((l * factor, low + w * factor) for l, w in traced(part.shape)[0])


def _scale(plan: Plan, parts: Sequence[Part], into: tuple[float, float]) -> Scale:
    scales = scales_of(plan.edition)
    for scale in scales:
        long = max(float(_drawn(part)[0]) for part in parts) * scale.factor
        rows = [max(float(_drawn(part)[1]) * scale.factor, LEAST_ROW) for part in parts]
        if long <= into[0] and sum(rows) + ROW_GAP * (len(rows) - 1) <= into[1]:
            return scale
    return scales[-1]


def _texts(plan: Plan, part: Part) -> tuple[str, str]:
    long, wide = (size(value, plan.edition) for value in sawn_size(part))
    count = f"{part.count} pieces" if part.count > 1 and not part.pair else ""
    if part.role is Role.TEST:
        count = "test piece"
    text = f"{long} \u00d7 {wide}"
    if isinstance(part.shape, Ramp):
        text += f", rising {size(part.thick, plan.edition)}"
    elif part.stock and plan.stock_named(part.stock).kind is StockKind.LUMBER:
        text += f" \u00d7 {size(part.thick, plan.edition)}"
    return text, count


def _words_width(plan: Plan, part: Part) -> float:
    text, count = _texts(plan, part)
    letters = 13.0 * len(hands_of(plan, part)) if part.pair else CIRCLE_DIAMETER + 2.5
    extra = text_width(count, WORD_HEIGHT) + 4.0 if count else 0.0
    return letters + text_width(text, SIZE_HEIGHT) + extra + 1.0


def _write(sheet: Sheet, plan: Plan, part: Part, start: tuple[float, float]) -> None:
    x, y = start
    for hand in hands_of(plan, part) if part.pair else ("",):
        label = sheet.label(letter_label(part.letter, hand, (x + CIRCLE_DIAMETER / 2, y)))
        x = label.box[2] + 2.5
    text, count = _texts(plan, part)
    for words, high in ((text, SIZE_HEIGHT), (count, WORD_HEIGHT)):
        if words:
            wide = text_width(words, high)
            kind = LabelKind.SIZE if words is text else LabelKind.WORD
            sheet.label(Label(kind=kind, text=words, x=x + wide / 2, y=y, height=high))
            x += wide + 4.0


def _alt(plan: Plan, step: Step, parts: Sequence[Part]) -> str:
    pieces = []
    for part in parts:
        long, wide = (spoken(value, plan.edition) for value in sawn_size(part))
        rising = f", rising {spoken(part.thick, plan.edition)}" if isinstance(part.shape, Ramp) else ""
        pieces.append(f"{part.count} of {lettered(part)}, {long} by {wide}{rising}")
    return sentence(f"Pieces to saw out, side by side at one scale, step {step.number}: {listed(pieces)}")
