"""What a plan wants from each of its slabs: parts that are pinned where the author has put them, and the rest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.cutting.practice import Practice
from planbook.cutting.problem import CuttingError
from planbook.cutting.slab_problem import CLEAR, Natural, Slab, SlabMark, SlabPiece, Spot, from_survey
from planbook.plan import curves, hulls
from planbook.plan.model import Part, Plan, Stock
from planbook.plan.shapes import Disc, Outline, Profile
from planbook.plan.surveys import SawnAt, Survey
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.units.editions import Edition
from planbook.units.write import plain_length

if TYPE_CHECKING:
    from planbook.cutting.slabs import SlabLayout


@dataclass(frozen=True, slots=True)
class SlabTask:
    """One slab of a plan and what is sawn from it."""

    stock: Stock
    slab: Slab
    pieces: tuple[SlabPiece, ...]
    parts: tuple[Part, ...]
    """The part of each piece."""

    def part(self, key: str) -> Part:
        """Return the part of a piece; raises KeyError."""
        for piece, part in zip(self.pieces, self.parts, strict=True):
            if piece.key == key:
                return part
        raise KeyError(key)

    @property
    def letters(self) -> dict[str, str]:
        """What is written on each piece."""
        return {piece.key: part.letter for piece, part in zip(self.pieces, self.parts, strict=True)}


def slab_tasks(plan: Plan, practice: Practice) -> tuple[SlabTask, ...]:
    """Return the slabs of a plan that have a survey and give parts."""
    tasks = []
    for stock in plan.stock:
        parts = [part for part in plan.parts if part.stock == stock.name]
        if stock.survey is None or not parts:
            continue
        pieces = [(piece, part) for part in parts for piece in _pieces(part, stock.survey, plan.edition)]
        slab = _slab(stock, stock.survey, practice, plan.edition)
        tasks.append(SlabTask(stock, slab, tuple(each for each, _ in pieces), tuple(part for _, part in pieces)))
    return tuple(tasks)


def _slab(stock: Stock, survey: Survey, practice: Practice, edition: Edition) -> Slab:
    sides = [[float(value) for value in values] for values in (survey.along, survey.front, survey.back)]
    step = edition.resolution
    return Slab(
        key=stock.name,
        outline=from_survey(*sides),
        marks=tuple(
            SlabMark(
                mark.name,
                mark.kind,
                tuple((float(x), float(y)) for x, y in mark.points) or _box(mark.along, mark.across),
            )
            for mark in stock.marks
        ),
        kerf=float(-(-practice.kerf // step) * step),
        clear=float(CLEAR[edition.name] if stock.clear is None else stock.clear),
        step=float(step),
        write=lambda mm: plain_length(Fraction(mm).limit_denominator(10**6), edition),
    )


def _box(along: tuple[Fraction, Fraction], across: tuple[Fraction, Fraction]) -> tuple[Spot, ...]:
    left, right, front, back = (float(value) for value in (*along, *across))
    return (left, front), (right, front), (right, back), (left, back)


def _pieces(part: Part, survey: Survey, edition: Edition) -> Iterator[SlabPiece]:
    wishes = part.sawn_at or SawnAt()
    natural = _natural(wishes)
    outline = _outline(part) if natural is Natural.NONE else ()
    # A part with natural edges begins where its author has put it; what is longer would move its ends.
    length = part.length.final if natural is not Natural.NONE or outline else part.length.rough
    width = part.width.final if outline else part.width.rough
    if natural in (Natural.FRONT, Natural.BACK):
        width = _narrowest(survey, wishes.start or Fraction(0), length)
    elif natural is Natural.BOTH:
        width = Fraction(0)
    step = edition.resolution
    near = wishes.behind if wishes.behind is not None else None
    if wishes.before is not None:
        near = -wishes.before - width
    for number in range(1, part.pieces + 1):
        yield SlabPiece(
            key=f"{part.letter} {number}" if part.pieces > 1 else part.letter,
            length=float(-(-length // step) * step),
            width=float(width // step * step if natural is not Natural.NONE else -(-width // step) * step),
            natural=natural,
            outline=outline,
            start=None if wishes.start is None else float(survey.along[0] + wishes.start),
            near=None if near is None else float(near),
            keep=wishes.keep,
        )


def _natural(wishes: SawnAt) -> Natural:
    found = {"front": Natural.FRONT, "back": Natural.BACK}
    if len(set(wishes.natural)) == 2:
        return Natural.BOTH
    return found[wishes.natural[0]] if wishes.natural else Natural.NONE


def _narrowest(survey: Survey, start: Fraction, length: Fraction) -> Fraction:
    """Return the width between the straight lines that touch both edges from inside."""
    from planbook.plan.slabs import between

    low, high = survey.along[0] + start, survey.along[0] + start + length
    places = [low, *(at for at in survey.along if low < at < high), high]
    sides = (survey.front, survey.back)
    return sum((min(between(at, survey.along, side) for at in places) for side in sides), Fraction(0))


def _outline(part: Part) -> tuple[Spot, ...]:
    """Return the outline of a part that is no rectangle, from its lower left corner; empty for one that is."""
    if isinstance(part.shape, Outline):
        return curves.traced(part.shape)[0]
    if isinstance(part.shape, Disc):
        across = float(part.shape.diameter)
        profile = Profile.OCTAGON if part.shape.sides == 8 else Profile.ROUND
        return tuple((across / 2 + x, across / 2 + y) for x, y in hulls.ring(profile, across))
    return ()


def solve_task(task: SlabTask, practice: Practice) -> SlabLayout:
    """Return the layout of a slab; raises CuttingError."""
    from planbook.cutting.slabs import solve_slab

    return solve_slab(task.slab, task.pieces, keep_long=float(practice.keep_long), keep_wide=float(practice.keep_wide))


def pin_faults(task: SlabTask) -> Iterator[Diagnostic]:
    """Give a warning where a part does not go where its author has pinned it, without looking for other places."""
    pinned = tuple(piece for piece in task.pieces if piece.start is not None)
    if any(_doubtful(task.slab, piece, pinned) for piece in pinned):
        from planbook.cutting.slabs import solve_slab

        try:
            solve_slab(task.slab, pinned)
        except CuttingError as fault:
            yield fault_at(fault, task)


def _doubtful(slab: Slab, piece: SlabPiece, pinned: Sequence[SlabPiece]) -> bool:
    """Tell from boxes alone whether a pinned part may meet a mark, another part or the end of its slab."""
    assert piece.start is not None
    left, right = piece.start, piece.start + piece.length
    if right > max(x for x, _ in slab.outline):
        return True
    for mark in slab.marks:
        near = mark.box[0] < right + slab.clear and mark.box[2] > left - slab.clear
        if mark.spoils and mark.name not in piece.keep and near:
            return True
    return any(
        other is not piece and other.start is not None and other.start < right and left < other.start + other.length
        for other in pinned
    )


def missing(task: SlabTask, layout: SlabLayout) -> Iterator[Diagnostic]:
    """Give a warning for each part that finds no place on its slab, with what would."""
    from planbook.cutting.slabs import nearest_fit

    told = []
    for piece in layout.missing:
        part = task.part(piece.key)
        if part.key in told:
            continue
        told.append(part.key)
        yield Diagnostic(
            "no-place-on-slab",
            Severity.WARN,
            f"no place was found for `{part.key}` on `{task.stock.name}`",
            part.span,
            help=nearest_fit(task.slab, layout, piece),
        )


def fault_at(fault: CuttingError, task: SlabTask) -> Diagnostic:
    """Return a fault of a slab's layout as a warning, at the part it names or at the slab."""
    named = next(
        (part for key, part in zip(task.pieces, task.parts, strict=True) if f"`{key.key}`" in fault.message), None
    )
    span, message = task.stock.span, fault.message
    if named is not None:
        span = named.span
        for piece, part in zip(task.pieces, task.parts, strict=True):
            message = message.replace(f"`{piece.key}`", f"`{part.key}`")
    return Diagnostic(fault.slug, Severity.WARN, message, span, help=fault.help or None)


def solve_all(
    tasks: Sequence[SlabTask], practice: Practice
) -> tuple[list[tuple[SlabTask, SlabLayout]], list[Diagnostic]]:
    """Return the layouts of slabs, and what is wrong with the others."""
    found: list[tuple[SlabTask, SlabLayout]] = []
    faults: list[Diagnostic] = []
    for task in tasks:
        try:
            layout = solve_task(task, practice)
        except CuttingError as fault:
            faults.append(fault_at(fault, task))
            continue
        found.append((task, layout))
        faults += missing(task, layout)
    return found, faults
