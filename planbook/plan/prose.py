"""Prose with its references filled in: what the author wrote in braces becomes a size, a letter, a link."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from planbook.plan import mixing, reach, stand, tools, values
from planbook.plan.claims import Claims
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.lookup import PART_SIDES
from planbook.plan.model import Line, Run, RunKind
from planbook.source.formula.evaluate import evaluate
from planbook.source.formula.faults import FormulaError
from planbook.source.formula.names import plain
from planbook.source.formula.parser import Name, Number, parse
from planbook.source.nearest import did_you_mean
from planbook.source.prose.inlines import Break, Code, Emphasis, Inline, Inlines, Link, Plain, Reference, Strong
from planbook.source.prose.quantities import typed_quantities
from planbook.source.text import Text
from planbook.units import amounts
from planbook.units.editions import nearest_step, round_to_grid, snap
from planbook.units.quantity import (
    ANGLE,
    AREA,
    LENGTH,
    MASS,
    NUMBER,
    TEMPERATURE,
    TIME,
    VOLUME,
    Dimension,
    Quantity,
)
from planbook.units.write import decimal, plain_length, write_length

_STEP = re.compile(r"step\s+(.+)$")
_BIT = re.compile(r"bit for\s+(.+)$")
_SPEED = re.compile(r"speed for\s+(.+)$")
_COUNT = re.compile(r"count of\s+(.+)$")
_FROM = re.compile(r"(.+?)\s+from\s+(.+)$")
BORED = ("drill", "pilot", "clearance")
"""Properties that are the diameter of a bit."""


@dataclass(frozen=True, slots=True)
class Teller:
    """Fills references in, for one plan in one edition."""

    draft: Draft
    claims: Claims
    letters: Mapping[str, str]
    """Letter of each part and strip, by its name."""

    def line(self, inlines: Inlines) -> Line:
        """Return running text with its references filled in; faults are recorded."""
        self._report_typed(inlines)
        return tuple(_joined(self._runs(inlines, RunKind.TEXT)))

    def _runs(self, inlines: Inlines, kind: RunKind) -> list[Run]:
        found: list[Run] = []
        for inline in inlines:
            found.extend(self._piece(inline, kind))
        return found

    def _piece(self, inline: Inline, kind: RunKind) -> list[Run]:
        if isinstance(inline, Plain):
            return [Run(kind, str(inline.text))]
        if isinstance(inline, Strong):
            return self._runs(inline.children, RunKind.STRONG)
        if isinstance(inline, Emphasis):
            return self._runs(inline.children, RunKind.EMPHASIS)
        if isinstance(inline, Code):
            return [Run(RunKind.CODE, str(inline.text))]
        if isinstance(inline, Break):
            return [Run(RunKind.BREAK, "")]
        if isinstance(inline, Link):
            words = "".join(run.text for run in self._runs(inline.children, RunKind.TEXT))
            return [Run(RunKind.LINK, words, str(inline.target))]
        return self.reference(inline)

    def reference(self, inline: Reference) -> list[Run]:
        """Return what stands for one reference; a fault is recorded and the words are kept."""
        text = inline.text
        try:
            # A part may be called `step board`: what is in the plan comes before the forms of references.
            letter = self._letter(text)
            if letter is not None:
                return [letter]
            for pattern, tell in self._forms():
                match = pattern.match(text)
                if match is not None and not self._begins_with_name(text):
                    return tell(text, match)
            poured = mixing.told(self.draft, text)
            return [Run(RunKind.SIZE, poured)] if poured is not None else [self._size(text)]
        except FormulaError as fault:
            self.draft.findings.add(fault.diagnostic(text))
        except Unresolved:
            pass
        return [Run(RunKind.TEXT, str(text))]

    def _begins_with_name(self, text: Text) -> bool:
        """Whether a text is a name of the plan with a property behind its dot, such as `step board.length`."""
        found = values.name_table(self.draft).longest(text, 0)
        return found is not None and text[found[1] : found[1] + 1] == "." and " from " not in text

    def _forms(self) -> tuple[tuple[re.Pattern[str], Callable[[Text, re.Match[str]], list[Run]]], ...]:
        return (
            (_STEP, self._step),
            (_BIT, self._bit),
            (_SPEED, self._speed),
            (_COUNT, self._count),
            (_FROM, self._distance),
        )

    def _step(self, text: Text, match: re.Match[str]) -> list[Run]:
        wanted = match[1].strip().casefold()
        found = [item for title, item in self.claims.by_title.items() if title.casefold().startswith(wanted)]
        exact = [item for title, item in self.claims.by_title.items() if title.casefold() == wanted]
        chosen = exact or found
        if len(chosen) == 1:
            number, slug = chosen[0]
            return [Run(RunKind.LINK, f"step {number}", f"step:{slug}")]
        raise self.draft.fail(
            "unknown-step",
            f"{'several steps begin' if found else 'no step begins'} with `{match[1]}`",
            text.span,
            help=did_you_mean(match[1], list(self.claims.by_title)),
        )

    def _bit(self, text: Text, match: re.Match[str]) -> list[Run]:
        size, kind = tools.bit_size(self.draft, text, match[1])
        return [Run(RunKind.SIZE, write_length(size, self.draft.edition.finest)), Run(RunKind.TEXT, f" {kind}")]

    def _speed(self, text: Text, match: re.Match[str]) -> list[Run]:
        return [Run(RunKind.SIZE, tools.speed(self.draft, text, match[1]))]

    def _count(self, text: Text, match: re.Match[str]) -> list[Run]:
        part, hand = stand.part_named(self.draft, text.part(match.start(1), match.end(1)))
        return [Run(RunKind.TEXT, "1" if hand else str(stand.copies(self.draft, part)))]

    def _letter(self, text: Text) -> Run | None:
        """Return the letter where the reference is a part, a hand of a pair, or a strip of edging."""
        name = str(text)
        if name in self.letters:
            return Run(RunKind.LETTER, self.letters[name], f"part:{name}")
        first, _, rest = name.partition(" ")
        if first in ("left", "right") and rest in self.draft.parts and self.draft.parts[rest].pair:
            return Run(RunKind.LETTER, f"{self.letters[rest]} {first[0].upper()}", f"part:{rest}")
        if name in self.draft.facts.stock:
            from planbook.plan.stock import named_stock

            return Run(RunKind.TEXT, named_stock(self.draft, text).material)
        return None

    def _distance(self, text: Text, match: re.Match[str]) -> list[Run]:
        """Return how far one face stands from another: `bottom.underside from foot`."""
        first = text.part(match.start(1), match.end(1))
        second = text.part(match.start(2), match.end(2))
        tree = parse(first, values.name_table(self.draft))
        if not isinstance(tree, Name) or tree.property not in PART_SIDES or tree.name not in self.draft.parts:
            raise FormulaError(
                f"`{first}` is no face of a part",
                0,
                len(first),
                help="write for example `{bottom.underside from foot}`",
            )
        axis, high = PART_SIDES[tree.property]
        here = stand.interval(self.draft, tree.name, axis)[high]
        place = values.place(self.draft, second)
        there = reach.point(self.draft, place, axis, own=tree.name, grid="part")
        return [self._length(abs(here - there))]

    def _size(self, text: Text) -> Run:
        tree = parse(text, values.name_table(self.draft))
        if isinstance(tree, Number):
            return self._written(self._converted(tree.quantity), text)

        def lookup(name: Name) -> Quantity:
            from planbook.plan.lookup import named

            return named(self.draft, name, text.part(name.start, name.end))

        found = evaluate(tree, lookup, default_unit=values.default_unit(self.draft))
        if isinstance(tree, Name) and tree.property in BORED and found.dimension == LENGTH:
            # Bits come in finer steps than a rule shows.
            mark = self.draft.edition.name == "imperial"
            return Run(RunKind.SIZE, write_length(found.value, self.draft.edition.finest, mark=mark))
        if isinstance(tree, Name) and tree.property == "volume" and found.dimension == VOLUME:
            # What a thing fills is told in cubes, what is mixed for it as a liquid.
            return Run(RunKind.SIZE, amounts.write_volume(found.value, self.draft.edition))
        return self._written(found, text)

    def _converted(self, quantity: Quantity) -> Quantity:
        if quantity.dimension != LENGTH:
            return quantity
        return Quantity(on_prose_grid(self.draft, quantity), LENGTH, self.draft.edition.name)

    def _length(self, mm: Fraction) -> Run:
        return Run(RunKind.SIZE, written_length(self.draft, mm))

    def _written(self, quantity: Quantity, text: Text) -> Run:
        if quantity.dimension == LENGTH:
            return self._length(quantity.value)
        written = write_quantity(self.draft, quantity)
        if written is None:
            raise self.draft.fail(
                "wrong-unit", f"`{text}` is {quantity.dimension.name}, which has no writing", text.span
            )
        return Run(RunKind.SIZE if quantity.dimension != NUMBER else RunKind.TEXT, written)

    def _report_typed(self, inlines: Inlines) -> None:
        """Report sizes typed by hand, with the reference that says the same."""
        for typed in typed_quantities(inlines):
            self.draft.findings.warn(
                "typed-number",
                f"`{typed.text}` is typed by hand, so it stays when the plan or the edition changes",
                typed.text.span,
                help=self._same(typed.literal),
            )

    def _same(self, literal: str) -> str:
        """Return help that names the plan's own value of that size, or the quantity in braces."""
        plain_form = f"write `{{{literal}}}`"
        try:
            tree = parse(plain(literal), values.name_table(self.draft))
        except FormulaError:
            return plain_form
        if not isinstance(tree, Number) or tree.quantity.system != self.draft.edition.name:
            return plain_form
        same = [name for name, value in known_sizes(self.draft) if value == tree.quantity.value]
        if not same:
            return plain_form
        return (
            " or ".join(f"`{{{name}}}`" for name in same[:2]) + f" says the same; if it is none of these, {plain_form}"
        )


def known_sizes(draft: Draft) -> list[tuple[str, Fraction]]:
    """Return the sizes a reference can name, with their values in mm: dims, joints, holes, edgings, stock."""
    from planbook.plan import edgings, holes, joints

    facts = draft.facts
    asked: list[tuple[str, Callable[[], Fraction | None]]] = []
    for key in facts.dims:
        asked.append((str(key), partial(_dim_length, draft, key)))
    for key in facts.joints:
        asked.append((f"{key}.deep", partial(joints.deep, draft, key)))
    for key in facts.holes:
        asked.append((f"{key}.drill", partial(holes.diameter, draft, key)))
    for key in facts.edgings:
        asked.append((f"{key}.thick", partial(edgings.thick, draft, key)))
    for key in facts.stock:
        asked.append((f"{key}.thick", partial(_stock_thickness, draft, key)))
    found = []
    for name, ask in asked:
        try:
            value = ask()
        except Unresolved:
            continue
        if value:
            found.append((name, value))
    return found


def _stock_thickness(draft: Draft, name: Text) -> Fraction:
    from planbook.plan.stock import named_stock

    return named_stock(draft, name).thickness


def _dim_length(draft: Draft, name: str) -> Fraction | None:
    """Return a dim in mm, or None where it is an angle."""
    found = values.dim_value(draft, name)
    return found.value if found.dimension == LENGTH else None


def written_length(draft: Draft, mm: Fraction) -> str:
    """Return a size in prose: with the inch mark, or alone where all sizes are millimetres."""
    return write_length(snap(mm, draft.edition), draft.edition, mark=draft.edition.name == "imperial")


def on_prose_grid(draft: Draft, quantity: Quantity) -> Fraction:
    """Return a length that the author typed in prose, as the edition's tools have it, in mm.

    A hard conversion by size: under 50 mm to the joinery grid, under 300 mm to that of parts, above to
    the overall one (our own choice).
    """
    native = quantity.system == draft.edition.name
    mm = abs(quantity.value)
    kind: values.Kind = "joinery" if mm < 50 else "part" if mm < 300 else "overall"
    return round_to_grid(quantity.value, kind, draft.edition, native=native)


def write_quantity(draft: Draft, quantity: Quantity) -> str | None:
    """Return a quantity that is no length in the edition's writing, or None for an unknown kind."""
    edition = draft.edition
    value = quantity.value
    writers: dict[Dimension, Callable[[], str]] = {
        NUMBER: lambda: decimal(value, 2),
        ANGLE: lambda: f"{decimal(value, 1)}°",
        AREA: lambda: amounts.write_area(value, edition),
        VOLUME: lambda: amounts.write_liquid(value, edition),
        MASS: lambda: amounts.write_mass(value, edition),
        TEMPERATURE: lambda: amounts.write_temperature(value, edition),
        TIME: lambda: amounts.write_minutes(nearest_step(value, Fraction(1, 60))),
    }
    write = writers.get(quantity.dimension)
    return write() if write is not None else None


def _joined(runs: list[Run]) -> list[Run]:
    """Return runs with neighbours of one kind made one, and no empty ones."""
    found: list[Run] = []
    for run in runs:
        if not run.text and run.kind is not RunKind.BREAK:
            continue
        before = found[-1] if found else None
        if before is not None and before.kind is run.kind and run.kind in _MERGED and run.target is None:
            found[-1] = Run(run.kind, before.text + run.text)
        else:
            found.append(run)
    return found


_MERGED = (RunKind.TEXT, RunKind.STRONG, RunKind.EMPHASIS)


def shown_length(draft: Draft, mm: Fraction) -> str:
    """Return a length in plain characters."""
    return plain_length(mm, draft.edition)
