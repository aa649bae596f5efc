"""Reading one field as a quantity of the kind that it wants."""

from __future__ import annotations

from planbook.source.diagnostics import Findings
from planbook.source.formula.evaluate import Lookup, divided_hint, evaluate, is_bare, with_unit
from planbook.source.formula.faults import CycleError, FormulaError
from planbook.source.formula.names import NO_NAMES, NameTable
from planbook.source.formula.parser import Formula, Name, Number, Row, parse
from planbook.source.text import Text
from planbook.units.quantity import (
    ANGLE,
    AREA,
    LENGTH,
    MASS,
    MONEY,
    NUMBER,
    TEMPERATURE,
    TIME,
    VOLUME,
    Dimension,
    Quantity,
)

WANTED: dict[str, Dimension] = {
    "angle": ANGLE,
    "area": AREA,
    "length": LENGTH,
    "mass": MASS,
    "money": MONEY,
    "number": NUMBER,
    "temperature": TEMPERATURE,
    "time": TIME,
    "volume": VOLUME,
}
_UNITS_OF = {
    "angle": ("deg",),
    "area": ("sq ft", "m²"),
    "length": ("in", "mm"),
    "mass": ("lb", "kg"),
    "temperature": ("F", "C"),
    "time": ("min", "h"),
    "volume": ("fl oz", "ml"),
}


def no_names(name: Name) -> Quantity:
    """Know no name at all: the lookup of fields that are plain literals."""
    raise LookupError(str(name))


def read_field(
    text: Text,
    *,
    word: str,
    wants: str,
    findings: Findings,
    known: NameTable = NO_NAMES,
    lookup: Lookup = no_names,
    default_unit: str | None = None,
) -> Quantity | None:
    """Read the field called `word` as a formula, or record why not and return None.

    `wants` is a key of `WANTED`. A `lookup` that records a finding of its own raises an exception of
    its own, which passes through.
    """
    try:
        tree = parse(text, known)
        value = evaluate(tree, lookup, default_unit=default_unit)
        return checked(tree, value, text, word=word, wants=wants, default_unit=default_unit)
    except FormulaError as fault:
        findings.add(fault.diagnostic(text))
    except CycleError as cycle:
        findings.add(cycle.diagnostic())
    except RecursionError:
        findings.stop("nested-too-deep", f"`{word}` needs too many other values in a row", text.span)
    return None


def checked(
    tree: Formula, value: Quantity, text: str, *, word: str, wants: str, default_unit: str | None = None
) -> Quantity:
    """Return a value of the wanted kind, a bare number with the file's own unit; raises `FormulaError`.

    `tree` is a formula of `text` (all of it, or the offset of a place in it), `value` what it gives.
    """
    dimension = WANTED[wants]
    if value.dimension == dimension:
        return value
    if dimension == LENGTH and value.dimension == NUMBER and default_unit and is_bare(tree):
        return with_unit(value, default_unit)
    start, end = tree.start, tree.end
    shown = text[start:end] if end - start <= 40 else text[start : start + 39] + "…"
    raise FormulaError(
        f"`{word}` wants {dimension.name}, `{shown}` is {value.dimension.name}",
        start,
        end,
        help=_wrong_kind_help(tree, value, wants),
        slug="wrong-unit",
    )


def _wrong_kind_help(tree: Formula, value: Quantity, wants: str) -> str | None:
    """Return what to write where a value of the wrong kind stands."""
    hint = divided_hint(tree)
    if hint:
        return hint
    if value.dimension == NUMBER and is_bare(tree):
        units = _UNITS_OF.get(wants, ())
        written = " or ".join(f"`{value.value} {unit}`" for unit in units)
        return f"write {written}" if written else None
    if wants == "length" and value.dimension == AREA and isinstance(tree, Row):
        literal = next((s.operand for s in tree.steps if isinstance(s.operand, Number) and s.operand.unit), None)
        if literal is not None:
            return f"a length times a length is an area; leave the `{literal.unit}` away to multiply by a number"
    return None
