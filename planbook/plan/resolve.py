"""From a plan as written to the plan of one edition."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from fractions import Fraction

from planbook.plan import lists, stand, values
from planbook.plan.claims import Claims, read_claims
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.driving import drive
from planbook.plan.mixing import coat, mixings
from planbook.plan.model import Dim, Joint, Line, Part, Plan, Role, Step, Stock
from planbook.plan.parts import Made, lettered, make_parts
from planbook.plan.prose import Teller
from planbook.plan.shop_rows import rows_of
from planbook.plan.templates import read_templates
from planbook.plan.words import check_names, merged_parts
from planbook.plan.work import Workshop
from planbook.source.book import WrittenPlan
from planbook.source.diagnostics import Findings
from planbook.source.prose.locate import read_text
from planbook.source.schema.book import ShopFacts
from planbook.source.schema.plan import DimSource
from planbook.source.schema.words import Value
from planbook.source.text import Text
from planbook.units.editions import Edition, grid_mm, snap
from planbook.units.quantity import ANGLE, LENGTH, Quantity, UnitError
from planbook.units.write import plain_length


def resolve(
    written: WrittenPlan,
    shop: ShopFacts,
    edition: Edition,
    findings: Findings,
    *,
    dims: Mapping[str, Fraction] | None = None,
    thickness: Mapping[str, Fraction] | None = None,
) -> Plan | None:
    """Resolve a plan for one edition; all faults are recorded.

    `dims` (mm) and `thickness` (mm, by stock) replace the author's values, to try out a change; the
    tables of measured stock and the steps are then left empty. Returns None where the plan has a fault that stops it.
    """
    own = Findings()
    rows = rows_of(shop)
    draft = Draft(written.facts, written.slug, edition, own, dict(dims or {}), dict(thickness or {}), rows)
    try:
        draft.edition = _with_resolution(draft, edition)
        check_names(draft)
        draft.parts.update(merged_parts(draft))
    except Unresolved:
        findings.extend(own)
        return None
    trial = dims is not None or thickness is not None
    plan = _Resolver(draft, written, shop).plan(tables=not trial)
    findings.extend(own)
    return None if own.stopped else plan


def _with_resolution(draft: Draft, edition: Edition) -> Edition:
    value = draft.facts.resolution
    if value is None:
        return edition
    text, own = values.chosen(draft, value)
    if not own and values.field(draft, value, "joinery", wants="length").system != edition.name:
        return edition
    try:
        return edition.with_resolution(values.length(draft, value, "joinery", word="resolution"))
    except UnitError as fault:
        raise draft.fail("wrong-resolution", fault.message, text.span, help=fault.help) from None


class _Resolver:
    """One resolving of one plan."""

    def __init__(self, draft: Draft, written: WrittenPlan, shop: ShopFacts) -> None:
        self.draft = draft
        self.written = written
        self.shop = shop
        self.claims: Claims = read_claims(draft, [(step.prose.title, step.facts) for step in written.steps])
        self.letters = lettered(draft)
        self.teller = Teller(draft, self.claims, self.letters)

    def plan(self, *, tables: bool) -> Plan:
        """Return the plan, as far as it could be resolved."""
        draft, facts = self.draft, self.draft.facts
        tests = [
            (number, str(step.prose.title), step.facts.test)
            for number, step in enumerate(self.written.steps, 1)
            if step.facts.test is not None
        ]
        made, fastened = drive(draft, self.claims, make_parts(draft, self.claims, self.letters, tests))
        self._check_sides(made)
        stock = self._stock(made)
        totals = lists.totals(stock, made.parts)
        bought, finish = lists.bought_things(draft), lists.finishes(draft)
        overall = _overall(made)
        self._check_overall(overall)
        title = facts.plan
        return Plan(
            slug=self.written.slug,
            title=str(title.title),
            summary=str(title.summary or ""),
            level=str(title.level),
            revision=str(title.revision),
            revised=self._revised(title.revised),
            changed=self._line(title.changed),
            learn=self._line(title.learn),
            ask_first=self._line(title.ask_first),
            edition=draft.edition,
            dims=self._dims(),
            overall=overall,
            mass=_mass(stock, made),
            stock=stock,
            parts=made.parts,
            placements=made.placements,
            joints=self._joints(),
            bought=bought,
            materials=lists.materials(draft, stock, totals, bought, finish),
            finish=finish,
            steps=self._steps(made) if tables else (),
            introduction=tuple(self.teller.line(block.inlines) for block in self.written.introduction),
            measured=lists.measured_tables(draft, self._with_thickness) if tables else (),
            totals=totals,
            loads=self._loads(),
            accepted=tuple((str(slug), str(why)) for slug, why in facts.accept.items()),
            fittings=made.fittings,
            fastened=fastened,
            options=tuple((str(key), one.is_ == "yes", str(one.about or "")) for key, one in facts.options.items()),
            pours=(*mixings(draft), *coat(draft, made.parts)) if tables else (),
            templates=read_templates(draft, (*made.parts, *made.fittings)),
        )

    def _line(self, text: Text | None) -> Line:
        return self.teller.line(read_text(text, self.draft.findings)) if text is not None else ()

    def _revised(self, text: Text | None) -> datetime.date | None:
        if text is None:
            return None
        try:
            return datetime.date.fromisoformat(text)
        except ValueError:
            self.draft.findings.stop("wrong-date", f"`{text}` is no date", text.span, help="write it as 2026-03-14")
            return None

    def _dims(self) -> tuple[Dim, ...]:
        found = []
        for key, entry in self.draft.facts.dims.items():
            try:
                value = values.dim_value(self.draft, key)
                may = self._range(key, entry.may) if isinstance(entry, DimSource) and entry.may is not None else None
            except Unresolved:
                continue
            found.append(
                Dim(
                    name=str(key),
                    value=value.value,
                    angle=value.dimension == ANGLE,
                    kind=values.dim_kind(key),
                    may=may,
                    about=str(entry.about or "") if isinstance(entry, DimSource) else "",
                    span=entry.may.span if isinstance(entry, DimSource) and entry.may is not None else key.span,
                )
            )
        return tuple(found)

    def _range(self, key: Text, text: Text) -> tuple[Fraction, Fraction]:
        low, mark, high = text.partition("..")
        if not mark:
            raise self.draft.fail(
                "wrong-range", f"`{text}` is no range", text.span, help="write for example `18 in .. 32 in`"
            )
        kind = values.dim_kind(key)
        wants = "angle" if values.dim_value(self.draft, key).dimension == ANGLE else "length"
        first, last = (
            values.field(self.draft, part, kind, wants=wants, word=f"may of {key}")
            for part in (text.part(0, len(low)), text.part(len(low) + 2, len(low) + 2 + len(high)))
        )
        if first.value >= last.value:
            help = f"write `{high.strip()} .. {low.strip()}`" if first.value > last.value else None
            raise self.draft.fail("wrong-range", f"`{text}` ends before it begins", text.span, help=help)
        self._check_within(key, text, first, last)
        return (first.value, last.value)

    def _check_within(self, key: Text, text: Text, first: Quantity, last: Quantity) -> None:
        """Record a dim that lies outside its own range."""
        if key in self.draft.dims:
            return
        value, edition = values.dim_value(self.draft, key), self.draft.edition
        # A range of the other system went to the edition's grid, half a step either way.
        slack = grid_mm(values.dim_kind(key), edition) if first.system != edition.name else 0
        if value.dimension == LENGTH and not first.value - slack <= value.value <= last.value + slack:
            self.draft.findings.stop(
                "wrong-range",
                f"`{key}` is {plain_length(value.value, edition)}, outside its own range `{text}`",
                text.span,
                help="widen the range, or change the size",
            )

    def _stock(self, made: Made) -> tuple[Stock, ...]:
        from planbook.plan.stock import named_stock

        used = {part.stock for part in made.parts} | self._asked_for()
        found = []
        for key in self.draft.facts.stock:
            try:
                stock = named_stock(self.draft, key)
            except Unresolved:
                continue
            if stock.name not in used:
                self.draft.findings.warn("unused-name", f"nothing is made of the stock `{key}`", key.span)
            found.append(stock)
        return tuple(found)

    def _asked_for(self) -> set[str]:
        """Return the stock that parts, edgings and test pieces name, also those that could not be worked out."""
        facts = self.draft.facts
        named: list[Text | None] = [part.of for part in self.draft.parts.values()]
        named += [edging.of for edging in facts.edgings.values()]
        named += [step.facts.test.of for step in self.written.steps if step.facts.test is not None]
        return {str(text) for text in named if text is not None}

    def _steps(self, made: Made) -> tuple[Step, ...]:
        order = tuple(part.key for part in (*made.parts, *made.fittings))
        workshop = Workshop(self.draft, self.shop, self.claims, self.teller, order)
        steps = []
        for written, claimed in zip(self.written.steps, self.claims.steps, strict=True):
            try:
                steps.append(workshop.step(written, claimed))
            except Unresolved:
                continue
        return tuple(steps)

    def _joints(self) -> tuple[Joint, ...]:
        from planbook.plan.fastening import joint

        found = []
        for key in self.draft.facts.joints:
            try:
                found.append(joint(self.draft, self.claims, key))
            except Unresolved:
                continue
        return tuple(found)

    def _loads(self) -> tuple[tuple[str, str], ...]:
        found = []
        for name, load in self.draft.facts.loads.items():
            try:
                found.append((stand.part_named(self.draft, name)[0], str(load)))
            except Unresolved:
                continue
        return tuple(found)

    def _with_thickness(self, stock: str, thickness: Fraction) -> dict[str, Part] | None:
        """Return the parts by name with another thickness of one stock, or None where that fails."""
        trial = Draft(
            self.draft.facts,
            self.draft.slug,
            self.draft.edition,
            Findings(),
            self.draft.dims,
            {**self.draft.thickness, stock: thickness},
            self.draft.rows,
            self.draft.parts,
            self.draft.forms,
        )
        made = make_parts(trial, self.claims, self.letters, [])
        return None if trial.findings.stopped else {part.key: part for part in made.parts}

    def _check_sides(self, made: Made) -> None:
        """Record parts that could not be finished for a reason told elsewhere, so that none is lost silently."""
        finished = {part.key for part in (*made.parts, *made.fittings)}
        if not self.draft.findings.stopped and finished < set(self.draft.parts):
            missing = sorted(set(self.draft.parts) - finished)
            self.draft.findings.stop("no-size", f"`{missing[0]}` could not be worked out")

    def _check_overall(self, overall: tuple[Fraction, Fraction, Fraction]) -> None:
        claim = self.draft.facts.overall
        if claim is None or self.draft.findings.stopped:
            return  # with a part missing, any size of the whole would be a false alarm
        for word, size in zip(("wide", "deep", "high"), overall, strict=True):
            value: Value | None = getattr(claim, word)
            if value is None:
                continue
            try:
                claimed = snap(values.length(self.draft, value, "overall", word=word), self.draft.edition)
            except Unresolved:
                continue
            if claimed != snap(size, self.draft.edition):
                self.draft.findings.stop(
                    "overall-differs",
                    f"the piece is {plain_length(size, self.draft.edition)} {word}, "
                    f"`overall` says {plain_length(claimed, self.draft.edition)}",
                    values.chosen(self.draft, value)[0].span,
                    help="change the parts, or the claim",
                    rule="exact",
                )


def _overall(made: Made) -> tuple[Fraction, Fraction, Fraction]:
    """Return wide, deep, high of all placed parts, in mm."""
    from planbook.plan.boxes import placed_box

    by_key = {part.key: part for part in (*made.parts, *made.fittings)}
    spans = [placed_box(by_key[placement.part], placement) for placement in made.placements]
    if not spans:
        return (Fraction(0), Fraction(0), Fraction(0))
    low = [min(span[axis][0] for span in spans) for axis in range(3)]
    high = [max(span[axis][1] for span in spans) for axis in range(3)]
    return (high[0] - low[0], high[1] - low[1], high[2] - low[2])


def _mass(stock: tuple[Stock, ...], made: Made) -> Fraction | None:
    """Return the mass of the piece in kg, or None where a density is missing."""
    from planbook.plan.volumes import volume

    density = {item.name: item.density for item in stock}
    total = Fraction(0)
    for part in (*made.parts, *made.fittings):
        if part.role not in (Role.PART, Role.EDGING, Role.BOUGHT, Role.FILL):
            continue
        own = part.density if part.density is not None else density.get(part.stock)
        if own is None:
            return None
        total += part.count * volume(part) * own / 10**9
    return total
