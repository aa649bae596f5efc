"""What a check looks at, and how it finds the place in the sources that it speaks of."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from planbook.checks.last import Last
from planbook.plan.model import Plan
from planbook.source.book import WrittenPlan, WrittenStep
from planbook.source.diagnostics import Diagnostic, Findings, Span
from planbook.source.schema.book import ShopFacts
from planbook.source.text import Text
from planbook.units.editions import Edition
from planbook.units.factors import INCH
from planbook.units.write import plain_length

if TYPE_CHECKING:
    from planbook.checks.shapes import Shapes
    from planbook.plan.shop_rows import ShopRows

EXACT = "exact (logic)"
PRACTICE = "common practice, no source"

Again = Callable[[Mapping[str, Fraction]], tuple[Plan | None, tuple[Diagnostic, ...]]]
"""Resolves the plan again with other values of some dims (mm): the plan, if any, and what was found."""


@dataclass(frozen=True, slots=True)
class Subject:
    """A plan of one edition, with what was written for it where that is known."""

    plan: Plan
    written: WrittenPlan | None = None
    again: Again | None = None
    shop: ShopFacts | None = None
    _kept: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)
    """What several checks need, made once."""

    def shapes(self) -> Shapes:
        """Return the solids of the plan, each made when it is first asked for."""
        if "shapes" not in self._kept:
            from planbook.checks.shapes import Shapes

            self._kept["shapes"] = Shapes(self.plan)
        shapes: Shapes = self._kept["shapes"]
        return shapes

    def shown(self, mm: Fraction) -> str:
        """Return a length for a message, in the edition's writing."""
        return plain_length(mm, self.plan.edition)

    def rows(self) -> ShopRows:
        """Return the book's own rows for the tables; those with a fault were told when the book was read."""
        return _rows(self.shop)

    def load_span(self, part: str) -> Span | None:
        """Return where the plan says what a part carries, else the place of the part."""
        if self.written is not None:
            found = next((key.span for key in self.written.facts.loads if str(key) == part), None)
            if found is not None:
                return found
        return next((item.span for item in self.plan.parts if item.key == part), None)

    def claimed(self, number: int, names: Iterable[str], *words: str) -> Span | None:
        """Return where a step claims one of `names` in one of its `words`, else the place of its title."""
        wanted = tuple(names)
        for text in self.claims(number, *words):
            if " ".join(text.split()) in wanted:
                return text.span
        return next((step.span for step in self.plan.steps if step.number == number), None)

    def claims(self, number: int, *words: str) -> tuple[Text, ...]:
        """Return what stands in the given words of a step's facts; empty where nothing written is known."""
        if self.written is None or number > len(self.written.steps):
            return ()
        facts = self.written.steps[number - 1].facts
        return tuple(text for word in words for text in getattr(facts, word))


@Last
def _rows(shop: ShopFacts | None) -> ShopRows:
    from planbook.plan.shop_rows import ShopRows, shop_rows

    return shop_rows(shop, Findings()) if shop is not None else ShopRows()


Check = Callable[[Subject], Iterable[Diagnostic]]


def subject_of(plan: Plan, written: WrittenPlan, shop: ShopFacts) -> Subject:
    """Return the subject of a plan just resolved from what was written."""
    from planbook.plan.resolve import resolve

    facts = for_trials(written)

    def again(dims: Mapping[str, Fraction]) -> tuple[Plan | None, tuple[Diagnostic, ...]]:
        findings = Findings()
        return resolve(facts, shop, plan.edition, findings, dims=dims), tuple(findings)

    return Subject(plan, written, again, shop)


def for_trials(written: WrittenPlan) -> WrittenPlan:
    """Return a plan as it is resolved with other dims: its facts alone, without a claim about the outside size.

    The claim is about the piece as it is. Reading the prose again would take most of the time.
    """
    steps = []
    for step in written.steps:
        prose = replace(step.prose, actions=(), hazards=(), good_enough=(), went_wrong=(), teacher=(), tips=())
        steps.append(WrittenStep(step.facts, replace(prose, photos=(), meanwhile=(), for_whom=None)))
    facts = written.facts.model_copy(update={"overall": None})
    return replace(written, facts=facts, introduction=(), steps=tuple(steps))


def finely_shown(mm: Fraction, edition: Edition) -> str:
    """Return a small length to 1/64 in or 0.1 mm, so that a limit does not vanish in rounding."""
    step = INCH / 64 if edition.unit_mm == INCH else Fraction(1, 10)
    return plain_length(mm, edition.with_resolution(step))
