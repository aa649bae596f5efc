"""Tongues, tenons and dowels that are longer than what they go into: the shoulder stays open."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from planbook.checks.fit import TOUCH
from planbook.checks.outcome import Outcome
from planbook.checks.spaces import Standing, gap, standing
from planbook.checks.subject import PRACTICE, Subject, finely_shown
from planbook.plan.boxes import Space, placed, placed_box
from planbook.plan.fastened import Fastened, Layer
from planbook.plan.model import Cut, CutKind
from planbook.source.diagnostics import Diagnostic, Severity, Span
from planbook.units.factors import INCH

FREE = {
    CutKind.MORTISE: {"imperial": INCH / 16, "metric": Fraction(3, 2)},
    CutKind.DADO: {"imperial": INCH / 64, "metric": Fraction(4, 10)},
    CutKind.GROOVE: {"imperial": INCH / 64, "metric": Fraction(4, 10)},
}
"""Room that stays free before the bed of a cut, in mm (common practice, no source)."""
HIDDEN = ("dowel", "loose tenon")


def bottoms_out(subject: Subject) -> Iterator[Outcome]:
    """Reckon the room between what enters a cut or hole and its bed."""
    places = standing(subject.plan)
    for joint in subject.plan.joints:
        found = [
            (free, cut, host)
            for host in places
            if host.part.key in joint.receiving and not host.shaped
            for cut in host.part.cuts
            if cut.name == joint.name and cut.hand in ("", host.placement.hand) and cut.kind in FREE
            if (free := _free(cut, host, places)) is not None
        ]
        if found:
            free, cut, host = min(found, key=lambda item: item[0])
            needed = FREE[cut.kind][subject.plan.edition.name]
            wrong = (
                f"`{cut.for_part}` reaches to {_shown(subject, free)} from the bed of `{joint.name}` in `{host.name}`"
            )
            yield _outcome(subject, joint.name, free, needed, wrong, joint.span, loose=cut.kind is not CutKind.MORTISE)
    for item in subject.plan.fastened:
        if item.kind in HIDDEN and item.back:
            yield from _in_its_holes(subject, item)


def _free(cut: Cut, host: Standing, places: tuple[Standing, ...]) -> Fraction | None:
    """Return the room between the bed of a cut and what enters it, in mm, or None where nothing does."""
    space = placed(cut.box, host.placement)
    inside = [
        solid
        for one in places
        if one.part.key == cut.for_part and not one.shaped
        for solid in one.solid
        if gap(space, solid) < 0
    ]
    return min((_from_bed(space, solid, host) for solid in inside), default=None)


def _from_bed(cut: Space, solid: Space, host: Standing) -> Fraction:
    axis = "xyz".index(host.placement.axes[2][1])
    (low, high), whole = cut[axis], placed_box(host.part, host.placement)[axis]
    # The bed is the side of the cut that has wood behind it.
    return solid[axis][0] - low if low - whole[0] >= whole[1] - high else high - solid[axis][1]


def _in_its_holes(subject: Subject, item: Fastened) -> Iterator[Outcome]:
    """Give the room beyond both ends of a dowel or loose tenon together: it slides until it meets a bed."""
    layers: list[Layer] = [*item.passes, *((item.into,) if item.into is not None else ())]
    if len(layers) != 2 or any(layer.deep is None for layer in layers):
        return
    deep = sum((layer.deep or Fraction(0) for layer in layers), Fraction(0))
    free = deep - item.long
    needed = FREE[CutKind.MORTISE][subject.plan.edition.name]
    span = next((joint.span for joint in subject.plan.joints if joint.name == item.joint), None)
    wrong = f"the {item.name} of `{item.joint}` has {_shown(subject, free)} to spare in its two holes"
    yield _outcome(subject, f"{item.joint}, {item.name}", free, needed, wrong, span, loose=False)


def _outcome(
    subject: Subject, of: str, free: Fraction, needed: Fraction, wrong: str, span: Span | None, *, loose: bool
) -> Outcome:
    limit = f"{_shown(subject, needed)} stays free"
    problem = None
    if free < needed - TOUCH / 8:
        problem = Diagnostic(
            "bottoms-out",
            Severity.NOTE if loose else Severity.WARN,
            f"{wrong}, {_shown(subject, needed)} should stay free",
            span,
            help="add `room:` to the joint, or cut it deeper",
            rule=PRACTICE,
        )
    return Outcome(of=of, figure=f"{_shown(subject, free)} free", limit=limit, rule=PRACTICE, problem=problem)


def _shown(subject: Subject, mm: Fraction) -> str:
    return finely_shown(mm, subject.plan.edition)
