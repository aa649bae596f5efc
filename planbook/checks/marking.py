"""Marking out and the life of sizes: where a size is measured from, and whether a tape and a sheet give it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.checks.outcome import Outcome, judged
from planbook.checks.subject import EXACT, PRACTICE, Subject, finely_shown
from planbook.plan.model import Cut, CutKind, Edging, Hole, Life, Part, Role, Stock, StockKind
from planbook.source.diagnostics import Severity
from planbook.units.factors import INCH

if TYPE_CHECKING:
    from planbook.plan.model import Joint

TAPE_MM = {"imperial": INCH / 32, "metric": Fraction(1, 2)}
"""Finest size that is marked with a tape (common practice, no source)."""
TAPE_RULE = "common practice, no source: 1/32 in (0.5 mm) is the finest that is marked with a tape"
MOST_ALIKE = 3
"""Pieces side by side on a sheet for which a kerf too many is told even if a piece has fewer of them."""


def kerf_doubles(subject: Subject) -> Iterator[Outcome]:
    """Find sizes of which several fill a sheet to the last bit: nothing is left for the kerfs between them."""
    kerf = _kerf(subject)
    told: set[tuple[str, Fraction]] = set()
    for part in subject.plan.parts:
        stock = stock_of(subject, part)
        if stock is None or stock.sheet is None or part.role not in (Role.PART, Role.SPARE):
            continue
        for size, whole, word in (
            (part.length.rough, stock.sheet[1], "length"),
            (part.width.rough, stock.sheet[0], "width"),
        ):
            count = int(whole / size)
            if count < 2 or (stock.name, size) in told or count > max(MOST_ALIKE, part.count):
                continue
            told.add((stock.name, size))
            yield _side_by_side(subject, part, word, (count, size, kerf, whole))


def _side_by_side(subject: Subject, part: Part, word: str, row: tuple[int, Fraction, Fraction, Fraction]) -> Outcome:
    count, size, kerf, whole = row
    taken = count * size + (count - 1) * kerf
    over = taken - whole
    kerfs = f"{count - 1} kerf{'s' if count > 2 else ''}"
    figure = f"{count} times {subject.shown(size)} and {kerfs} take {finely_shown(taken, subject.plan.edition)}"
    return judged(
        "kerf-doubles",
        f"{part.key}, {word}",
        figure=figure,
        limit=f"a sheet of {subject.shown(whole)}",
        rule=EXACT,
        wrong=f"the {word} of `{part.key}` fits {count} times into {subject.shown(whole)} only without the saw: "
        f"{figure}, {finely_shown(over, subject.plan.edition)} too much"
        if over > 0
        else "",
        span=part.span,
        help=f"make it {finely_shown(over / count, subject.plan.edition)} less, or count on {count - 1} for each sheet",
        severity=Severity.WARN if part.count >= count else Severity.NOTE,
    )


def stock_of(subject: Subject, part: Part) -> Stock | None:
    """Return the stock of a part, or None of what is bought or poured."""
    return next((stock for stock in subject.plan.stock if stock.name == part.stock), None)


def _kerf(subject: Subject) -> Fraction:
    from planbook.cutting.practice import USUAL
    from planbook.cutting.shop import practice_of
    from planbook.source.diagnostics import Findings

    edition = subject.plan.edition
    return practice_of(subject.shop, edition, Findings()).kerf if subject.shop is not None else USUAL[edition.name].kerf


def tape_cannot(subject: Subject) -> Iterator[Outcome]:
    """Look for sizes of parts and places of cuts and holes that are finer than a tape shows."""
    edition = subject.plan.edition
    limit = TAPE_MM[edition.name]
    fine: list[tuple[Part, str, Fraction]] = []
    count = 0
    for part in subject.plan.parts:
        if part.role not in (Role.PART, Role.SPARE) or part.shape is not None:
            continue
        for what, mm in _marked(part):
            count += 1
            if (mm / limit).denominator != 1:
                fine.append((part, what, mm))
    if not count:
        return
    first = fine[0] if fine else None
    yield judged(
        "tape-cannot",
        "sizes and places",
        figure=f"{len(fine)} of {count} are finer" if fine else f"none of {count} is finer",
        limit=finely_shown(limit, edition),
        rule=TAPE_RULE,
        wrong=f"{len(fine)} sizes are finer than {finely_shown(limit, edition)}, first {first[1]} of `{first[0].key}`, "
        f"{finely_shown(first[2], edition)}"
        if first
        else "",
        span=first[0].span if first else None,
        help="write `fit:` where it is fitted to an opening, choose a coarser `resolution`, or make a template",
        severity=Severity.NOTE,
    )


def _marked(part: Part) -> Iterator[tuple[str, Fraction]]:
    """Give what is marked out on a part with a tape: what it is, and the length in mm."""
    for word, size in (("the length", part.length), ("the width", part.width)):
        if size.life is not Life.FITTED:
            yield word, size.final
    for cut in part.cuts:
        if cut.kind is CutKind.DADO:
            yield f"the place of `{cut.name}`", cut.box.l[0]
    for hole in part.holes:
        yield f"the place of `{hole.group}`", hole.l


def datum_gone(subject: Subject) -> Iterator[Outcome]:
    """Find cuts and holes marked from an edge or end that is not there yet, or that is sawn off later."""
    told: set[tuple[str, str]] = set()
    for part in subject.plan.parts:
        if part.role is not Role.PART or part.shape is not None:
            continue
        features: tuple[Cut | Hole, ...] = (*part.cuts, *part.holes)
        for feature in features:
            name = feature.name if isinstance(feature, Cut) else feature.group
            if feature.step is None or (part.key, name) in told:
                continue
            reason = _gone(part, feature, feature.step)
            if reason is None and not _at_risk(part):
                continue
            told.add((part.key, name))
            yield judged(
                "datum-gone",
                f"{name} in {part.key}",
                figure=reason or f"marked in step {feature.step} from edges that stay",
                limit="edges that are there, and stay",
                rule=EXACT,
                wrong=f"`{name}` is marked on `{part.key}` in step {feature.step}, but {reason}" if reason else "",
                span=subject.claimed(feature.step, (name,), "cuts"),
                help=f"move `{name}` to a later step, or finish that edge of `{part.key}` first",
            )


def _at_risk(part: Part) -> bool:
    return bool(part.edgings) or Life.LONG in (part.length.life, part.width.life)


def _gone(part: Part, feature: Cut | Hole, step: int) -> str | None:
    """Return why a feature cannot be measured in its step, or None."""
    for size, across, word in ((part.length, False, "length"), (part.width, True, "width")):
        low, high = _span(feature, across=across)
        if low <= 0 and high >= size.final:
            continue
        if size.life is Life.LONG and size.until is not None and step < size.until:
            return f"its {word} is left long until step {size.until}"
        near = _nearest(part.edgings, low + high < size.final, across=across)
        if near is not None and near.glued_in is not None and near.glued_in > step:
            return f"the edging `{near.name}` that it is measured from is glued on only in step {near.glued_in}"
    return None


def _span(feature: Cut | Hole, *, across: bool) -> tuple[Fraction, Fraction]:
    if isinstance(feature, Cut):
        return feature.box.w if across else feature.box.l
    place = feature.w if across else feature.l
    return place, place


def _nearest(edgings: tuple[Edging, ...], at_datum: bool, *, across: bool) -> Edging | None:
    side = f"{'datum' if at_datum else 'far'}_{'edge' if across else 'end'}"
    return next((edging for edging in edgings if edging.edge == side), None)


def final_too_soon(subject: Subject) -> Iterator[Outcome]:
    """Find panels that close an opening and are sawn to the list before the opening is there."""
    for joint in subject.plan.joints:
        if joint.kind != "rabbet":
            continue
        for name in joint.entering:
            part = next((part for part in subject.plan.parts if part.key == name), None)
            opening = _closed_in(subject, joint)
            if part is None or part.made_in is None or opening is None:
                continue
            fitted = Life.FITTED in (part.length.life, part.width.life)
            early = part.made_in < opening and not fitted and not joint.room
            stock = stock_of(subject, part)
            sheet = stock is not None and stock.kind is StockKind.PANEL
            figure = "fitted to the opening" if fitted else f"sawn in step {part.made_in}, opening from step {opening}"
            yield judged(
                "final-too-soon",
                part.key,
                figure=figure,
                limit="sawn when the opening is there, or fitted to it",
                rule=PRACTICE,
                wrong=f"`{part.key}` is sawn to the list in step {part.made_in}, but its opening is there only "
                f"from step {opening} on"
                if early
                else "",
                span=subject.claimed(part.made_in, (part.key,), "cuts"),
                help=f"write `fit: to the case` in `{part.key}` and saw it in step {opening} or later",
                severity=Severity.NOTE if sheet else Severity.WARN,
            )


def _closed_in(subject: Subject, joint: Joint) -> int | None:
    """Return the step that first joins the parts with the rabbet to something else."""
    others = [
        other.joined_in
        for other in subject.plan.joints
        if other is not joint
        and other.joined_in is not None
        and set(joint.receiving) & {*other.receiving, *other.entering}
    ]
    return min(others, default=None)
