"""A plan while it is being resolved: what is known so far, worked out on demand and only once.

Every value has a name (`bottom.length`, `side.x`); whoever needs it asks for it, and asks on for what
it rests on. A value that rests on itself is reported as a chain. What could not be worked out is
remembered as such, so that one fault is told once and does not bring a tail of others.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeVar, cast

from planbook.plan.shop_rows import ShopRows
from planbook.source.diagnostics import Findings, Span
from planbook.source.formula.faults import Chain, CycleError
from planbook.source.schema.parts import PartSource
from planbook.source.schema.plan import PlanSource
from planbook.source.schema.shapes import FormSource
from planbook.source.text import Text
from planbook.units.editions import Edition

Value = TypeVar("Value")


class Unresolved(Exception):  # noqa: N818 - it is no error of its own, the fault is recorded
    """A value could not be worked out; the reason is among the findings already."""


_FAILED = object()

DEEPEST = 50
"""Most values in a row that need one another: no piece stacks more parts on one another."""


@dataclass(slots=True)
class Draft:
    """What a plan is resolved from, and the values found so far."""

    facts: PlanSource
    slug: str
    edition: Edition
    findings: Findings
    dims: Mapping[str, Fraction] = field(default_factory=dict)
    """Values that replace the author's, in mm, to try out a change."""
    thickness: Mapping[str, Fraction] = field(default_factory=dict)
    """Thicknesses of stock that replace the author's, in mm."""
    rows: ShopRows = field(default_factory=ShopRows)
    """The book's own rows for the tables."""
    parts: dict[str, PartSource] = field(default_factory=dict)
    """The words of each part, with those of `like` filled in; of one that is no board, those that hold for it too."""
    forms: dict[str, FormSource] = field(default_factory=dict)
    """The words of each part that is no plain board."""
    _values: dict[str, object] = field(default_factory=dict)
    _chain: Chain = field(default_factory=Chain)
    _depth: int = 0
    _keys: dict[str, Text] = field(default_factory=dict)

    def once(self, name: str, span: Span, work: Callable[[], Value]) -> Value:
        """Return the value of that name, working it out the first time.

        Raises `Unresolved` where it cannot be worked out; `span` is where the author asks for it.
        """
        if name in self._values:
            known = self._values[name]
            if known is _FAILED:
                raise Unresolved(name)
            return cast("Value", known)
        try:
            with self._chain.enter(name, span):
                value = self._deeper(name, span, work)
        except CycleError as cycle:
            self.findings.add(cycle.diagnostic())
            self._values[name] = _FAILED
            raise Unresolved(name) from None
        except Unresolved:
            self._values[name] = _FAILED
            raise
        self._values[name] = value
        return value

    def _deeper(self, name: str, span: Span, work: Callable[[], Value]) -> Value:
        """Work a value out unless too many others wait for it already."""
        if self._depth == DEEPEST:
            raise self.fail(
                "nested-too-deep",
                f"`{name}` stands at the end of a chain of more than {DEEPEST} values that need one another",
                span,
                help="give some of them values of their own",
            )
        self._depth += 1
        try:
            return work()
        finally:
            self._depth -= 1

    def part_key(self, name: str) -> Text:
        """Return the name of a part as the author wrote it, with its place."""
        if not self._keys:
            self._keys.update((str(key), key) for key in self.facts.parts)
        return self._keys[name]

    def fail(
        self,
        slug: str,
        message: str,
        span: Span | None,
        *,
        help: str | None = None,
        further: tuple[tuple[Span, str], ...] = (),
    ) -> Unresolved:
        """Record a fault and return the exception to raise."""
        self.findings.stop(slug, message, span, help=help, further=further)
        return Unresolved(message)
