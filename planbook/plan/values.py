"""From a field of the source to a value of the edition: pick, parse, round to the grid, work out.

Only what the author *typed* is rounded to the edition's grid (a hard conversion: 3/8 in becomes
10 mm); what follows from it by formula stays exact until the finished part is rounded once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from planbook.plan.draft import Draft, Unresolved
from planbook.source.formula.evaluate import evaluate
from planbook.source.formula.faults import FormulaError
from planbook.source.formula.field import checked
from planbook.source.formula.names import NameTable
from planbook.source.formula.parser import Call, Formula, Name, Negative, Number, Row, Step, parse
from planbook.source.schema.plan import DimSource
from planbook.source.schema.words import PerEdition, Value
from planbook.source.text import Text
from planbook.units.editions import METRIC, Kind, grid_mm, round_to_grid, snap
from planbook.units.quantity import ANGLE, LENGTH, NUMBER, Quantity
from planbook.units.write import plain_length

if TYPE_CHECKING:
    from planbook.source.places.parser import Extent, Place

__all__ = ["Kind", "Value"]

OVERALL = ("wide", "deep", "high", "long", "across")
"""Dims that are sizes of the whole piece."""

LARGEST = Fraction(100_000)
"""Longest length of a plan, in mm: 100 m is a slip of the keyboard or of the unit."""

PROPERTIES = (
    "length", "width", "thick", "thickness", "count", "underside", "upper face", "top", "foot", "end", "front",
    "back", "left", "right", "deep", "wide", "room", "every", "drill", "tall", "each", "holes", "play", "start", "stop",
    "blank", "feet apart", "lean", "front lean", "side lean", "circle", "circle beyond", "rise", "run",
    "stroke", "wood outside", "travel", "from fixed", "volume", "mixed", "proud", "chalk line", "screw",
    "pours", "batches", "each pour",
)  # fmt: skip
"""Words that may stand behind the dot of a name."""


@dataclass(frozen=True, slots=True)
class PlaceText:
    """A place with the text it was read from."""

    place: Place
    text: Text


@dataclass(frozen=True, slots=True)
class ExtentText:
    """An extent with the text it was read from."""

    start: PlaceText
    stop: PlaceText
    less: Formula | None
    sign: int
    """-1 where `less` is taken off, 1 where it is added."""
    text: Text


def name_table(draft: Draft) -> NameTable:
    """Return all names of the plan that formulas and places may use."""

    def collect() -> NameTable:
        facts = draft.facts
        marks = [name for stock in facts.stock.values() for name in stock.marks]
        groups = (facts.dims, facts.stock, facts.edgings, facts.parts, facts.joints, facts.holes, facts.cuts)
        return _table(tuple(str(name) for group in (*groups, facts.resin, marks) for name in group))

    return draft.once("the names of the plan", draft.facts.plan.title.span, collect)


@lru_cache(maxsize=8)
def _table(names: tuple[str, ...]) -> NameTable:
    """Return one table for all editions and trials of a plan, so that each formula is read once."""
    return NameTable(names, PROPERTIES)


def chosen(draft: Draft, value: Value) -> tuple[Text, bool]:
    """Return the text of a value for the edition, and whether the author wrote it for this edition."""
    if isinstance(value, PerEdition):
        return (value.metric if draft.edition.name == METRIC.name else value.imperial), True
    return value, False


def length(draft: Draft, value: Value | None, kind: Kind, *, word: str = "this") -> Fraction:
    """Return a length field in mm; 0 where it is not given. Raises `Unresolved`."""
    if value is None:
        return Fraction(0)
    return field(draft, value, kind, wants="length", word=word).value


def size(draft: Draft, value: Value, kind: Kind, *, word: str) -> Fraction:
    """Return a length in mm that is more than nothing once it is rounded. Raises `Unresolved`."""
    found = length(draft, value, kind, word=word)
    if snap(found, draft.edition) <= 0:
        raise _too_small(draft, value, found, f"`{word}` is {shown(draft, found)}, it wants to be more than nothing")
    return found


def clearance(draft: Draft, value: Value | None, kind: Kind, *, word: str) -> Fraction:
    """Return a length in mm that is nothing or more; 0 where it is not given. Raises `Unresolved`."""
    found = length(draft, value, kind, word=word)
    if found < 0:
        assert value is not None
        raise _too_small(draft, value, found, f"`{word}` is {shown(draft, found)}, it cannot be less than nothing")
    return found


def _too_small(draft: Draft, value: Value, found: Fraction, message: str) -> Unresolved:
    text, _ = chosen(draft, value)
    finest = plain_length(draft.edition.resolution, draft.edition)
    help = f"the finest step of the {draft.edition.name} edition is {finest}" if found > 0 else None
    return draft.fail("no-size", message, text.span, help=help)


def number(draft: Draft, value: Value | None, *, word: str = "this") -> Fraction | None:
    """Return a field that holds a plain number, or None where it is not given."""
    if value is None:
        return None
    return field(draft, value, "joinery", wants="number", word=word).value


def count(draft: Draft, text: Text | None, default: int, *, word: str = "count") -> int:
    """Return a whole number of pieces, at least 1."""
    found = number(draft, text, word=word)
    if found is None:
        return default
    if found.denominator != 1 or not 1 <= found <= 1000:
        assert text is not None
        raise draft.fail("wrong-number", f"`{word}` wants a whole number from 1 to 1000, not `{text}`", text.span)
    return int(found)


def field(draft: Draft, value: Value, kind: Kind, *, wants: str, word: str = "this") -> Quantity:
    """Return a field as a quantity of the wanted kind. Raises `Unresolved`."""
    text, own = chosen(draft, value)
    unit = default_unit(draft)
    try:
        tree = parse(text, name_table(draft))
        found = _evaluate(draft, tree, text, kind, own=own)
        return _bounded(tree, checked(tree, found, text, word=word, wants=wants, default_unit=unit))
    except FormulaError as fault:
        draft.findings.add(fault.diagnostic(text))
    raise Unresolved(text)


def worth(draft: Draft, tree: Formula, text: Text, kind: Kind) -> Fraction:
    """Return the length in mm of a formula that is part of a larger text. Raises `Unresolved`."""
    try:
        found = _evaluate(draft, tree, text, kind, own=False)
        if found.dimension == LENGTH:
            return _bounded(tree, found).value
        if found.dimension == NUMBER and default_unit(draft):
            found = checked(tree, found, text, word=str(text), wants="length", default_unit=default_unit(draft))
            return _bounded(tree, found).value
        message = f"a length is wanted here, this is {found.dimension.name}"
        raise FormulaError(message, tree.start, tree.end, slug="wrong-unit", help="add a unit: `3 in` or `75 mm`")
    except FormulaError as fault:
        draft.findings.add(fault.diagnostic(text))
    raise Unresolved(text)


def default_unit(draft: Draft) -> str | None:
    """Return the unit of bare numbers in this plan, or None."""
    unit = draft.facts.units
    if unit is None:
        return None
    if unit not in ("in", "mm"):
        raise draft.fail("unknown-unit", f"`{unit}` cannot be the unit of bare numbers", unit.span, help="`in` or `mm`")
    return str(unit)


def _evaluate(draft: Draft, tree: Formula, text: Text, kind: Kind, *, own: bool) -> Quantity:
    rounded = tree if own else _on_grid(draft, tree, text, kind)

    def lookup(name: Name) -> Quantity:
        from planbook.plan.lookup import named

        return named(draft, name, text.part(name.start, name.end))

    return evaluate(rounded, lookup, default_unit=default_unit(draft))


def _on_grid(draft: Draft, tree: Formula, text: Text, kind: Kind) -> Formula:
    """Return the formula with every length that was typed in the other system on the edition's grid."""
    if isinstance(tree, Number):
        return _number_on_grid(draft, tree, text, kind)
    if isinstance(tree, Negative):
        return replace(tree, operand=_on_grid(draft, tree.operand, text, kind))
    if isinstance(tree, Row):
        steps = tuple(Step(step.mark, step.at, _on_grid(draft, step.operand, text, kind)) for step in tree.steps)
        return replace(tree, first=_on_grid(draft, tree.first, text, kind), steps=steps)
    if isinstance(tree, Call):
        return replace(tree, arguments=tuple(_on_grid(draft, argument, text, kind) for argument in tree.arguments))
    return tree


def _number_on_grid(draft: Draft, tree: Number, text: Text, kind: Kind) -> Number:
    quantity = tree.quantity
    if quantity.dimension != LENGTH or quantity.system in ("", draft.edition.name) or not quantity.value:
        return tree
    value = round_to_grid(quantity.value, kind, draft.edition, native=False)
    if not value:
        # A coarse grid would swallow it; the next finer one is tried before it is given up.
        value = round_to_grid(quantity.value, "joinery", draft.edition, native=False)
    if not value:
        written = text[tree.start : tree.end]
        draft.findings.warn(
            "lost-in-rounding",
            f"`{written}` is less than half of {plain_length(grid_mm('joinery', draft.edition), draft.edition)}, "
            f"so it is nothing in the {draft.edition.name} edition",
            text.span.part(tree.start, tree.end),
            help="give both: `{imperial: "
            + (f"{written}, metric: 0.5 mm" if draft.edition.name == METRIC.name else f"1/64 in, metric: {written}")
            + "}`",
        )
    return replace(tree, quantity=replace(quantity, value=value))


def dim_value(draft: Draft, name: str) -> Quantity:
    """Return a driving dimension in the edition."""
    key = next(key for key in draft.facts.dims if key == name)
    entry = draft.facts.dims[key]
    return draft.once(name, key.span, lambda: _dim(draft, key, entry))


def _dim(draft: Draft, key: Text, entry: Text | DimSource) -> Quantity:
    if key in draft.dims:
        return Quantity(draft.dims[key], LENGTH, draft.edition.name)
    value = dim_field(draft, key, entry)
    kind = dim_kind(key)
    exact = isinstance(entry, DimSource) and flag(draft, entry.exact, "exact")
    text, own = chosen(draft, value)
    unit = default_unit(draft)
    try:
        tree = parse(text, name_table(draft))
        found = _evaluate(draft, tree, text, kind, own=own or exact)
        if found.dimension not in (LENGTH, ANGLE):
            found = checked(tree, found, text, word=str(key), wants="length", default_unit=unit)
        return _bounded(tree, found)
    except FormulaError as fault:
        draft.findings.add(fault.diagnostic(text))
    raise Unresolved(key)


def _bounded(tree: Formula, found: Quantity) -> Quantity:
    """Return a quantity that is no length out of all measure; raises `FormulaError` for another."""
    if found.dimension == LENGTH and abs(found.value) > LARGEST:
        raise FormulaError(
            f"this is more than {LARGEST / 1000} m, longer than anything in a workshop",
            tree.start,
            tree.end,
            help="look at the unit, and for a figure too many",
            slug="too-large",
        )
    return found


def dim_field(draft: Draft, key: Text, entry: Text | DimSource) -> Value:
    """Return the value of a dim entry, whichever way it is written."""
    if not isinstance(entry, DimSource):
        return entry
    pair = (entry.imperial, entry.metric)
    if entry.is_ is not None and pair == (None, None):
        return entry.is_
    if entry.is_ is None and entry.imperial is not None and entry.metric is not None:
        return PerEdition(imperial=entry.imperial, metric=entry.metric)
    raise draft.fail(
        "no-size",
        f"the dim `{key}` wants either `is:` or both `imperial:` and `metric:`",
        key.span,
        help=f"write `{key}: 30 in` or `{key}: {{imperial: 30 in, metric: 760 mm}}`",
    )


def dim_kind(name: str) -> Kind:
    """Return the grid of a dim, by its name."""
    return "overall" if name in OVERALL else "part"


def flag(draft: Draft, text: Text | None, word: str) -> bool:
    """Return a field that holds `yes` or `no`."""
    if text is None or text == "no":
        return False
    if text == "yes":
        return True
    raise draft.fail("wrong-word", f"`{word}` wants `yes` or `no`, not `{text}`", text.span)


def place(draft: Draft, value: Value) -> PlaceText:
    """Read a placing word's value. Raises `Unresolved`."""
    from planbook.source.places.parser import parse_place

    text, _ = chosen(draft, value)
    try:
        return PlaceText(parse_place(text, name_table(draft)), text)
    except FormulaError as fault:
        draft.findings.add(fault.diagnostic(text))
        raise Unresolved(text) from None


def extent(draft: Draft, value: Value) -> ExtentText | None:
    """Read a `front to rabbet less 1/8 in`, or return None where the value is a formula."""
    from planbook.source.places.parser import parse_extent
    from planbook.source.places.words import itemize

    text, _ = chosen(draft, value)
    try:
        items = itemize(text, name_table(draft))
    except FormulaError:
        # The formula reader tells what is wrong with it.
        return None
    if not any(item.kind == "joining" and item.text == "to" and not item.depth for item in items):
        return None
    try:
        found: Extent = parse_extent(text, name_table(draft))
    except FormulaError as fault:
        draft.findings.add(fault.diagnostic(text))
        raise Unresolved(text) from None
    start, stop = PlaceText(found.start, text), PlaceText(found.stop, text)
    return ExtentText(start, stop, found.less, found.sign, text)


def shown(draft: Draft, mm: Fraction) -> str:
    """Return a length for a message, in the edition's writing."""
    return plain_length(mm, draft.edition)
