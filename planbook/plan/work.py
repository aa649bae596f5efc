"""Steps of the work: claims, tools and times with their prose, ready to print."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from planbook.plan import bolts, edgings, forms, holes, joints, mixing, resin, sockets, stand, tools, values
from planbook.plan.claims import Claims, StepClaims
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.model import Hazard, Line, Photo, Run, RunKind, Signal, Step, StepTime, ToolUse
from planbook.plan.prose import Teller
from planbook.source.book import WrittenStep
from planbook.source.formula.faults import FormulaError
from planbook.source.formula.parser import Number, parse
from planbook.source.prose.inlines import Block, plain_text
from planbook.source.prose.paragraphs import HazardSource
from planbook.source.schema.book import ShopFacts
from planbook.source.schema.steps import TimeSource
from planbook.source.text import Text
from planbook.units.quantity import TIME

_EACH = re.compile(r"(.+?)\s+(?:per|each|for each)\s+(.+)$")
_WAIT = re.compile(r"(.+?)\s+(?:for|until)\s+(.+)$")

SEVERITY = (Signal.DANGER, Signal.WARNING, Signal.CAUTION, Signal.NOTICE)


def signal_word(harm: str, likelihood: str) -> Signal:
    """Return the signal word that follows from harm and likelihood.

    ANSI Z535: DANGER will, WARNING could result in death or serious injury; CAUTION could result in
    minor or moderate injury; NOTICE addresses practices not related to personal injury.
    """
    if harm in ("death", "serious injury"):
        return Signal.DANGER if likelihood == "will" else Signal.WARNING
    return Signal.CAUTION if harm == "minor injury" else Signal.NOTICE


@dataclass(frozen=True, slots=True)
class Workshop:
    """What the steps of one plan are told with."""

    draft: Draft
    shop: ShopFacts
    claims: Claims
    teller: Teller
    order: tuple[str, ...]
    """Names of all parts, in the order of their letters."""

    def step(self, written: WrittenStep, claimed: StepClaims) -> Step:
        """Return one step."""
        prose, facts = written.prose, written.facts
        tell = self.teller.line
        hazards = [self._hazard(source, claimed.number) for source in prose.hazards]
        return Step(
            number=claimed.number,
            slug=claimed.slug,
            title=str(prose.title),
            for_whom=tell(prose.for_whom.inlines) if prose.for_whom else (),
            makes=claimed.makes,
            cuts=claimed.cuts,
            joins=claimed.joins,
            sets=claimed.sets,
            trims=claimed.trims,
            finishes=claimed.finishes,
            marks=claimed.marks,
            handles=self._handles(claimed),
            tools=tuple(self._tools(facts.with_)),
            holds=tuple(self._holds(facts.holds)),
            teachers_eye=str(facts.teachers_eye or ""),
            hands=self._count(facts.hands, "hands"),
            time=self._time(facts.time, claimed),
            actions=tuple(tell(block.inlines) for block in prose.actions),
            hazards=tuple(sorted(hazards, key=lambda hazard: SEVERITY.index(hazard.signal))),
            good_enough=self._one(prose.good_enough),
            went_wrong=self._one(prose.went_wrong),
            meanwhile=self._one(prose.meanwhile),
            teacher=tuple(tell(block.inlines) for block in prose.teacher),
            tips=tuple(tell(block.inlines) for block in prose.tips),
            photos=tuple(Photo(path=str(p.path), alt=plain_text(p.alt), span=p.span) for p in prose.photos),
            span=prose.span,
        )

    def _one(self, blocks: Iterable[Block]) -> Line:
        """Return several paragraphs as one, each on a line of its own."""
        found: list[Run] = []
        for block in blocks:
            if found:
                found.append(Run(RunKind.BREAK, ""))
            found.extend(self.teller.line(block.inlines))
        return tuple(found)

    def _hazard(self, source: HazardSource, number: int) -> Hazard:
        return Hazard(
            signal=signal_word(source.harm, source.likelihood),
            harm=str(source.harm),
            likelihood=str(source.likelihood),
            title=self.teller.line(source.title) if source.title else (),
            text=self.teller.line(source.inlines),
            step=number,
            span=source.span,
        )

    def _tools(self, texts: tuple[Text, ...]) -> Iterable[ToolUse]:
        for text in texts:
            try:
                yield tools.tool_use(self.draft, self.shop, text)
            except Unresolved:
                continue

    def _holds(self, holds: dict[Text, Text]) -> Iterable[tuple[str, int]]:
        for name, number in holds.items():
            try:
                yield str(name), values.count(self.draft, number, 1, word=str(name))
            except Unresolved:
                continue

    def _count(self, text: Text | None, word: str) -> int:
        try:
            return values.count(self.draft, text, 1, word=word)
        except Unresolved:
            return 1

    def _time(self, source: TimeSource, claimed: StepClaims) -> StepTime:
        set_up = self._minutes(source.set_up)
        each, pieces, of = Fraction(0), 1, ""
        if source.each is not None:
            match = _EACH.match(source.each)
            if match is None:
                each = self._minutes(source.each)
            else:
                each = self._minutes(source.each.part(match.start(1), match.end(1)))
                of = match[2]
                pieces = self._pieces(source.each.part(match.start(2), match.end(2)), claimed)
        wait, wait_for = Fraction(0), ""
        poured = self._poured(source.wait) if source.wait is not None else None
        if poured is not None:
            wait, wait_for = poured
        elif source.wait is not None:
            match = _WAIT.match(source.wait)
            stem = source.wait if match is None else source.wait.part(match.start(1), match.end(1))
            wait, wait_for = self._minutes(stem), match[2] if match else ""
        return StepTime(set_up=set_up, each=each, each_of=of, pieces=pieces, wait=wait, wait_for=wait_for)

    def _poured(self, text: Text) -> tuple[Fraction, str] | None:
        """Return a wait that the plan's resin gives, such as `cure of fill`."""
        try:
            return mixing.wait_of(self.draft, text)
        except Unresolved:
            return Fraction(0), ""

    def _minutes(self, text: Text | None) -> Fraction:
        """Return a time in minutes, 0 where none is given or it is at fault."""
        if text is None:
            return Fraction(0)
        try:
            tree = parse(text, values.name_table(self.draft))
            if isinstance(tree, Number) and tree.quantity.dimension == TIME:
                return tree.quantity.value
            raise FormulaError(
                f"a time is wanted, not `{text}`",
                0,
                len(text),
                slug="wrong-unit",
                help="write `20 min`, `2 h` or `1 day`",
            )
        except FormulaError as fault:
            self.draft.findings.add(fault.diagnostic(text))
            return Fraction(0)

    def _pieces(self, text: Text, claimed: StepClaims) -> int:
        """Return how many of a thing a step works on: a named part, joint or row, or a kind of work."""
        name = " ".join(text.split())
        facts = self.draft.facts
        try:
            for form in (name, name.removesuffix("s"), name.removesuffix("es")):
                if form in self.draft.parts:
                    return stand.copies(self.draft, form)
                if form in facts.joints and joints.kind_of(self.draft, form) in joints.BORED:
                    return self._bored(form)
                if form in facts.joints:
                    return len(joints.entering(self.draft, form)) * self._copies_of(joints.receiving(self.draft, form))
                if form in facts.holes:
                    key = next(key for key in facts.holes if key == form)
                    return len(facts.holes[key].rows)
                if form in ("piece", "part", "strip", "row", "joint", "hole", "coat", *joints.KINDS):
                    return max(1, self._counted(form, claimed))
            raise self.draft.fail(
                "unknown-name",
                f"`{text}` is neither a part, a joint nor holes, so nobody knows how many there are",
                text.span,
                help="write the time for one piece alone, or `per` with a name from `plan.yaml`, `part`, `strip`, "
                "`row`, `hole`, `dado`, `rabbet`, `joint` or `coat`",
            )
        except Unresolved:
            return 1

    def _bored(self, name: str) -> int:
        """Return how many places a bored joint has."""
        kind = joints.kind_of(self.draft, name)
        return sockets.count(self.draft, name) if kind == joints.SOCKET else bolts.count(self.draft, name)

    def _copies_of(self, named: list[tuple[str, str]]) -> int:
        return sum(1 if hand else stand.copies(self.draft, part) for part, hand in named)

    def _counted(self, kind: str, claimed: StepClaims) -> int:
        """Return how many parts, strips, rows, holes or joints of a kind a step works on."""
        facts = self.draft.facts
        if kind == "coat":
            return values.count(self.draft, facts.finish.coats, 1, word="coats") if facts.finish else 0
        if kind in ("piece", "part", "strip"):
            handled = self._handles(claimed)
            own = [name for name in handled if kind == "piece" or (name in self.draft.parts) == (kind == "part")]
            worn = edgings.wearers(self.draft)
            return sum(1 if name in facts.resin else stand.copies(self.draft, worn.get(name, name)) for name in own)
        if kind in ("row", "hole"):
            total = 0
            for key, source in facts.holes.items():
                if str(key) in claimed.cuts:
                    rows = len(source.rows) * self._copies_of([stand.part_named(self.draft, t) for t in source.in_])
                    total += rows * (len(holes.places(self.draft, str(key))) if kind == "hole" else 1)
            return total + sum(self._bored(name) for name in self._bored_claims(claimed) if kind == "hole")
        names = [name for name in dict.fromkeys((*claimed.cuts, *claimed.joins)) if name in facts.joints]
        chosen = [name for name in names if kind in ("joint", joints.kind_of(self.draft, name))]
        bored = [name for name in chosen if joints.kind_of(self.draft, name) in joints.BORED]
        return sum(self._bored(name) for name in bored) + sum(
            max(1, len(joints.entering(self.draft, name))) * self._copies_of(joints.receiving(self.draft, name))
            for name in chosen
            if name not in bored
        )

    def _bored_claims(self, claimed: StepClaims) -> list[str]:
        """Return the joints among a step's cuts that bore their own places."""
        names = [name for name in claimed.cuts if name in self.draft.facts.joints]
        return [name for name in names if joints.kind_of(self.draft, name) in joints.BORED]

    def _handles(self, claimed: StepClaims) -> tuple[str, ...]:
        """Return every part a step works on, in the order of the cut list."""
        facts = self.draft.facts
        found = {*claimed.makes, *claimed.sets, *claimed.marks, *claimed.works}
        for name in (*claimed.cuts, *claimed.joins, *claimed.trims):
            if name in facts.joints:
                found |= self._members(name, cut_only=name in claimed.cuts and name not in claimed.joins)
            elif name in facts.holes:
                key = next(key for key in facts.holes if key == name)
                found |= {stand.part_named(self.draft, text)[0] for text in facts.holes[key].in_}
            elif name in facts.edgings:
                for part in self.draft.parts:
                    strips = {worn.key for worn in edgings.worn_by(self.draft, part) if worn.name == name}
                    found |= {part, *strips} if strips else set()
            elif name in facts.cuts:
                key = next(key for key in facts.cuts if key == name)
                found |= {stand.part_named(self.draft, text)[0] for text in facts.cuts[key].in_}
            elif name in facts.resin:
                found |= {name, resin.host(self.draft, name)[0]}
            elif name in self.draft.parts:
                found.add(name)
            else:
                found |= {part for part in (forms.owner(self.draft, name),) if part is not None}
        return tuple(name for name in self.order if name in found)

    def _members(self, name: str, *, cut_only: bool) -> set[str]:
        members = {part for part, _ in joints.receiving(self.draft, name)}
        return members if cut_only else members | set(joints.entering(self.draft, name))
