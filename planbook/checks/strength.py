"""Strength and weight: shelves that sag, pieces that tip, lifts that strain.

Only what is named is reckoned: no joint, no screw and no floor is looked at.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.checks.masses import centre_mm, group_kg, together
from planbook.checks.outcome import Outcome
from planbook.checks.spaces import standing
from planbook.checks.subject import Subject
from planbook.plan.model import Part, Plan, Role, Step, StockKind
from planbook.plan.shapes import Disc
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.trade.lookup import TradeError
from planbook.units.amounts import write_mass
from planbook.units.editions import Edition
from planbook.units.factors import INCH
from planbook.units.write import decimal

if TYPE_CHECKING:
    from planbook.checks.beams import Beam
    from planbook.source.diagnostics import Span
    from planbook.trade.loads import Load

STRAP_FROM_MM = Fraction(686)
"""Height from which a case is strapped to the wall; ASTM F2057-23 counts clothes storage from 27 in."""
STRAP_RULE = (
    "common practice, no source: strap a tall case to the wall; ASTM F2057-23 begins at 27 in for clothes storage"
)
STRAPS = ("strap", "anti-tip", "restraint", "wall bracket")
STRAIN_KG = Fraction(23)
"""Load constant of the revised lifting equation: the most for anybody in the best posture."""
POUND_FORCE_N = 4.4482216152605


def small(mm: float, edition: Edition) -> str:
    """Return a deflection: to a thousandth of an inch, or to 0.1 mm."""
    exact = Fraction(mm)
    if edition.unit_mm == INCH:
        return f"{decimal(exact / INCH, 3, keep=True)} in"
    return f"{decimal(exact, 1, keep=True)} mm"


def force(newtons: float, edition: Edition) -> str:
    """Return a force in pounds or newtons."""
    return f"{newtons / POUND_FORCE_N:.0f} lb" if edition.name == "imperial" else f"{newtons:.0f} N"


def unknown_load(subject: Subject) -> Iterator[Diagnostic]:
    """Find loads that no weight is known for: what they do to the piece cannot be reckoned."""
    from planbook.trade.loads import read_load

    own = subject.rows().loads
    for part, text in subject.plan.loads:
        try:
            read_load(text, own)
        except TradeError as fault:
            yield Diagnostic(fault.slug, Severity.WARN, fault.message, subject.load_span(part), help=fault.help)


def shelf_sag(subject: Subject) -> Iterator[Outcome]:
    """Reckon how far each loaded part sags, against what a careful design allows.

    The figure is that of the ordinary load and the middle of a panel's stiffness; told with it is the most,
    at the heaviest usual load and the least stiffness. Its own weight is not in it; a load that comes and goes
    has no creep and may go as far as shows.
    """
    if not subject.plan.loads:
        return
    from planbook.checks.beams import beam
    from planbook.trade.loads import read_load

    own = subject.rows().loads
    for name, text in subject.plan.loads:
        try:
            load = read_load(text, own)
        except TradeError:
            yield Outcome(of=name, missing=f"no weight is known for `{text}`")
            continue
        found = beam(subject, name)
        if isinstance(found, str):
            yield Outcome(of=name, missing=found)
            continue
        yield _sagging(subject, name, text, load, found)


def _sagging(subject: Subject, name: str, text: str, load: Load, found: Beam) -> Outcome:
    from planbook.trade import sag

    limit = sag.limit_mm(found.span_mm, sag.TARGET_RATIO if load.lasting else sag.VISIBLE_RATIO)
    least, most = (_sag_mm(load, kg, found) for kg in _range(load))
    usual = least / found.usual
    basis = sag.TARGET if load.lasting else sag.VISIBLE
    edition = subject.plan.edition
    rule = "; ".join(dict.fromkeys((basis.citation, sag.BENDING.citation, load.citation, *found.sources)))
    under = f"over {subject.shown(found.span_mm)} under `{text}`{', after years' if load.lasting else ''}"
    with_rails = f", with {' and '.join(found.stiffened)} below it" if found.stiffened else ""
    scatter = f", at the most {small(most, edition)}" if most > usual else ""
    problem = None
    if usual > limit:
        problem = Diagnostic(
            "shelf-sag",
            Severity.WARN,
            f"`{name}` sags {small(usual, edition)} {under}, {small(limit, edition)} is the limit",
            subject.load_span(name),
            help=f"make `{name}` thicker or its span shorter, or give it a stiffer edging",
            rule=basis.citation,
        )
    figure = f"sags {small(usual, edition)} {under}{with_rails}{scatter}"
    return Outcome(of=name, figure=figure, limit=small(limit, edition), rule=rule, problem=problem)


def _range(load: Load) -> tuple[Fraction, Fraction]:
    if load.kg_m is not None:
        return load.kg_m.low, load.kg_m.high
    assert load.kg is not None
    return load.kg.value, load.kg.value


def _sag_mm(load: Load, kg: Fraction, found: Beam) -> float:
    from planbook.trade import sag

    young, inertia = found.section.stiffness_mpa, found.inertia_mm4
    if load.kg_m is not None:
        now = sag.sag_uniform_mm(sag.Ends.RESTING, sag.load_n_mm(kg, 1000), found.span_mm, young, inertia)
    else:
        now = sag.sag_spaced_mm(float(kg) * sag.G_M_S2, load.count, found.span_mm, young, inertia)
    return now * found.creep if load.lasting else now


def tips_forward(subject: Subject) -> Iterator[Outcome]:
    """Reckon the level pull at the top that tips the empty piece forward; a tall one wants a strap."""
    plan = subject.plan
    feet = _feet(subject)
    whole = centre_mm(plan)
    high = plan.overall[2]
    if whole is None or not feet or high <= 0:
        yield Outcome(of=plan.title, missing="a density is missing, or nothing stands on the floor")
        return
    from planbook.trade.tipping import STATICS, pull_to_tip_n

    behind = whole[2] - min(y for _, y in feet)
    strapped = any(word in f"{item.key} {item.text}".casefold() for item in plan.bought for word in STRAPS)
    tall = high >= STRAP_FROM_MM
    pull = pull_to_tip_n(whole[0], behind, high) if behind > 0 else 0.0
    figure = f"a level pull of {force(pull, plan.edition)} at {subject.shown(high)} tips it, empty"
    problem = None
    if behind <= 0 or (tall and not strapped):
        problem = Diagnostic(
            "tips-forward",
            Severity.WARN,
            f"the piece is {subject.shown(high)} high and {figure}; from {subject.shown(STRAP_FROM_MM)} on "
            "a strap to the wall is usual",
            _first_part(subject),
            help="add `wall strap: 1` to `bought` and fix it in a step",
            rule=STRAP_RULE,
        )
    limit = f"a strap to the wall from {subject.shown(STRAP_FROM_MM)} high on"
    yield Outcome(
        of="the whole piece",
        figure=figure + (", and it is strapped" if strapped else ""),
        limit=limit,
        rule=f"{STATICS.citation}; {STRAP_RULE}",
        problem=problem,
    )


def seat_tips(subject: Subject) -> Iterator[Outcome]:
    """Reckon whether a person near the rim tips what is sat on: the load of the seating test."""
    sat_on = [name for name, text in subject.plan.loads if persons(text)]
    if not sat_on:
        return
    feet, whole = _feet(subject), centre_mm(subject.plan)
    for name in sat_on:
        if whole is None or len(feet) < 3:
            yield Outcome(of=name, missing="a density is missing, or fewer than three feet stand on the floor")
            continue
        yield _seat(subject, name, feet, whole)


def _seat(
    subject: Subject, name: str, feet: list[tuple[float, float]], whole: tuple[float, float, float, float]
) -> Outcome:
    from planbook.trade.sag import G_M_S2
    from planbook.trade.stiffness import seat_load
    from planbook.trade.tipping import STATICS, foot_reach_mm

    test, edition = seat_load(), subject.plan.edition
    points, top = _rim(subject, name, test.inset_mm)
    inside = min(foot_reach_mm(feet, point) for point in points)
    own = whole[0] * G_M_S2 * max(foot_reach_mm(feet, (whole[1], whole[2])), 0.0)
    holding = (own + test.load_n * max(inside, 0.0)) / 1000
    tipping = (test.load_n * max(-inside, 0.0) + test.pull_n * top) / 1000
    margin = holding / tipping if tipping else float("inf")
    where = "inside" if inside >= 0 else "outside"
    rule = f"{test.basis.citation}; {STATICS.citation}"
    figure = (
        f"{force(test.load_n, edition)} at {subject.shown(Fraction(test.inset_mm))} from the rim stands "
        f"{subject.shown(Fraction(abs(inside)))} {where} the line of the feet: holds {margin:.1f} times"
    )
    problem = None
    if margin < 1:
        problem = Diagnostic(
            "seat-tips",
            Severity.WARN,
            f"`{name}` tips: {figure}, the limit is 1",
            subject.load_span(name),
            help="set the feet further out, or make the seat smaller",
            rule=test.basis.citation,
        )
    return Outcome(of=name, figure=figure, limit="holds at least 1 time", rule=rule, problem=problem)


def _rim(subject: Subject, name: str, inset_mm: float) -> tuple[list[tuple[float, float]], float]:
    """Return the places near the rim where the load stands, and the height of the seat."""
    one = next(item for item in standing(subject.plan) if item.part.key == name)
    (x0, x1), (y0, y1), (_, top) = ((float(low), float(high)) for low, high in one.around)
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    if isinstance(one.part.shape, Disc):
        import math

        radius = float(one.part.shape.diameter) / 2 - inset_mm
        turns = [2 * math.pi * step / 72 for step in range(72)]
        return [(middle[0] + radius * math.cos(q), middle[1] + radius * math.sin(q)) for q in turns], top
    inset = [
        (x0 + inset_mm, middle[1]),
        (x1 - inset_mm, middle[1]),
        (middle[0], y0 + inset_mm),
        (middle[0], y1 - inset_mm),
    ]
    return inset, top


def _feet(subject: Subject) -> list[tuple[float, float]]:
    """Return where the piece stands on the floor: corners of straight parts, middles of leaning ones."""
    found = []
    for one in standing(subject.plan):
        (x0, x1), (y0, y1), (z0, _) = ((float(low), float(high)) for low, high in one.around)
        if z0 > 1:
            continue
        turn = one.placement.turn
        if turn is None:
            found += [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
            continue
        origin = [float(value) for value in one.placement.origin]
        middle = [
            origin[axis] + turn[1][axis] * float(one.part.width.final) / 2 + turn[2][axis] * float(one.part.thick) / 2
            for axis in range(3)
        ]
        end = [middle[axis] + turn[0][axis] * float(one.part.length.final) for axis in range(3)]
        foot = min(middle, end, key=lambda point: point[2])
        found.append((foot[0], foot[1]))
    return found


def persons(text: str) -> bool:
    """Whether a load is persons who sit."""
    return any(word in text.casefold() for word in ("person", "people", "adult"))


def _first_part(subject: Subject) -> Span:
    return subject.plan.parts[0].span


def heavy_lift(subject: Subject) -> Iterator[Outcome]:
    """Reckon the heaviest thing of each step for each of its persons: a full sheet, a part, what is joined so far.

    In a step that only finishes, the piece is turned and not lifted. Told are the steps that strain, and of
    the others the heaviest.
    """
    found = list(_lifts(subject))
    yield from (outcome for _, outcome in found if outcome.problem is not None)
    passed = [pair for pair in found if pair[1].problem is None]
    if passed:
        yield max(passed, key=lambda pair: pair[0])[1]


def _lifts(subject: Subject) -> Iterator[tuple[Fraction, Outcome]]:
    from planbook.trade.lifting import ALONE, ALONE_KG, EQUATION

    sawn: dict[str, int] = {}
    for step in subject.plan.steps:
        found = None if step.finishes and not step.joins else heaviest(subject.plan, step, sawn)
        if found is None:
            continue
        kg, what = found
        each = kg / step.hands
        most = STRAIN_KG if step.hands > 1 else Fraction(ALONE_KG)
        basis = EQUATION if step.hands > 1 else ALONE
        shown, limit = (write_mass(value * 1000, subject.plan.edition) for value in (each, most))
        persons = f"for each of {step.hands} persons" if step.hands > 1 else "for one person alone"
        figure = f"{what}: {shown} {persons}"
        problem = None
        if each > most:
            problem = Diagnostic(
                "heavy-lift",
                Severity.WARN if each > STRAIN_KG else Severity.NOTE,
                f"step {step.number} moves {figure}, {limit} is the most",
                step.span,
                help=f"write `hands: {int(-(-kg // STRAIN_KG)) if kg > STRAIN_KG else 2}`, or say how it is moved",
                rule=basis.citation,
            )
        rule = basis.citation
        yield each, Outcome(of=f"step {step.number}", figure=figure, limit=limit, rule=rule, problem=problem)


def heaviest(plan: Plan, step: Step, sawn: dict[str, int]) -> tuple[Fraction, str] | None:
    """Return mass in kg and name of the heaviest thing of a step; `sawn` keeps which stock was opened, and where."""
    found: list[tuple[Fraction, str]] = []
    parts = {part.key: part for part in plan.parts}
    for name in step.makes:
        part = parts.get(name)
        if part is not None and part.stock not in sawn:
            sawn[part.stock] = step.number
            sheet = _sheet_kg(plan, part)
            if sheet is not None:
                found.append((sheet, f"a full sheet of {plan.stock_named(part.stock).material}"))
    groups = together(plan, step.number)
    for name in step.handles:
        keys = groups.get(name, ())
        if len(keys) < 2:
            part = parts.get(name)
            one = group_kg(plan, keys[:1]) if part is not None and part.role is Role.PART else None
            if one is not None and part is not None:
                found.append((one / part.count, f"`{name}`"))
            continue
        mass = group_kg(plan, keys)
        if mass is not None:
            found.append((mass, f"`{keys[0]}` and what is joined to it"))
    return max(found, key=lambda pair: pair[0], default=None)


def _sheet_kg(plan: Plan, part: Part) -> Fraction | None:
    stock = plan.stock_named(part.stock)
    if stock.kind is not StockKind.PANEL or stock.sheet is None or stock.density is None:
        return None
    return stock.sheet[0] * stock.sheet[1] * stock.thickness * stock.density / 10**9
