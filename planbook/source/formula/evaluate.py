"""From the tree of a formula to a quantity, with the unit of every step checked.

Everything is an exact fraction; only roots and angle functions round (to 1e-9), and mark the result.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

from planbook.source.formula.faults import FormulaError
from planbook.source.formula.parser import Call, Formula, Name, Negative, Number, Row, Step
from planbook.units.factors import UNITS
from planbook.units.quantity import ANGLE, LENGTH, NUMBER, Quantity, UnitError

Lookup = Callable[[Name], Quantity]

MOST_BITS = 4000
"""Most binary digits above or below a fraction line: values that square each other must end somewhere."""

_FINE = 10**9


def evaluate(tree: Formula, lookup: Lookup, *, default_unit: str | None = None) -> Quantity:
    """Return the value of a formula; raises `FormulaError` with the stretch at fault.

    `lookup` gives the value of a name; a `LookupError` or `UnitError` it raises is told at the name,
    other errors pass. `default_unit` (`in`, `mm`) is the unit of bare numbers where they meet a length.
    """
    return _Evaluator(lookup, default_unit).value(tree)


def is_bare(tree: Formula) -> bool:
    """Whether a tree holds nothing but numbers without units, so that the file's own unit may fill in."""
    if isinstance(tree, Number):
        return not tree.unit
    if isinstance(tree, Negative):
        return is_bare(tree.operand)
    if isinstance(tree, Row):
        return is_bare(tree.first) and all(is_bare(step.operand) for step in tree.steps)
    return False


def with_unit(value: Quantity, unit: str) -> Quantity:
    """Return a plain number as so many of a unit."""
    made = UNITS[unit].of(value.value)
    return Quantity(made.value, made.dimension, made.system, value.exact)


class _Evaluator:
    """One evaluation: the names it may ask for and the unit of bare numbers."""

    __slots__ = ("default_unit", "lookup")

    def __init__(self, lookup: Lookup, default_unit: str | None) -> None:
        self.lookup = lookup
        self.default_unit = default_unit

    def value(self, tree: Formula) -> Quantity:
        if isinstance(tree, Number):
            return tree.quantity
        if isinstance(tree, Name):
            return self.name(tree)
        if isinstance(tree, Row):
            return self.row(tree)
        if isinstance(tree, Negative):
            try:
                return -self.value(tree.operand)
            except UnitError as fault:
                raise _at(fault, tree.start, tree.end) from None
        return self.call(tree)

    def name(self, tree: Name) -> Quantity:
        try:
            return self.lookup(tree)
        except LookupError:
            raise FormulaError(f"`{tree}` is not known here", tree.start, tree.end, slug="unknown-name") from None
        except UnitError as fault:
            raise _at(fault, tree.start, tree.end) from None

    def row(self, tree: Row) -> Quantity:
        total = self.value(tree.first)
        bare = self.default_unit is not None and is_bare(tree.first)
        before = tree.first
        for step in tree.steps:
            value = self.value(step.operand)
            if step.mark in "+-" and self.default_unit is not None:
                step_bare = is_bare(step.operand)
                if bare and value.dimension == LENGTH:
                    total = with_unit(total, self.default_unit)
                elif step_bare and total.dimension == LENGTH:
                    value = with_unit(value, self.default_unit)
                bare = bare and step_bare
            try:
                total = _joined(step.mark, total, value)
            except UnitError as fault:
                raise self.misfit(fault, step, before, value) from None
            if max(total.value.numerator.bit_length(), total.value.denominator.bit_length()) > MOST_BITS:
                raise FormulaError(
                    "the result has too many digits to be a size", tree.start, tree.end, slug="too-large"
                )
            before = step.operand
        return total

    def misfit(self, fault: UnitError, step: Step, before: Formula, value: Quantity) -> FormulaError:
        """Return the fault of two values that do not go together, at the mark between them."""
        if step.mark == "/" and value.value == 0:
            operand = step.operand
            return FormulaError("this divides by zero", operand.start, operand.end, slug="zero-below")
        hint = divided_hint(before) or divided_hint(step.operand) or fault.help
        return FormulaError(fault.message, step.at, step.at + 1, help=hint, slug="wrong-unit")

    def call(self, tree: Call) -> Quantity:
        values = [self.value(argument) for argument in tree.arguments]
        name = tree.function
        if self.default_unit is not None and name in ("min", "max", "round_to", "floor", "ceil"):
            values = self.filled(tree.arguments, values)
        try:
            if name in ("min", "max"):
                return _extreme(name, tree, values)
            if name == "sqrt":
                return values[0].root()
            if name in ("sin", "cos", "tan"):
                return _angle_function(name, tree, values[0])
            return _stepped(name, tree, values)
        except UnitError as fault:
            raise _at(fault, tree.start, tree.end) from None

    def filled(self, arguments: tuple[Formula, ...], values: list[Quantity]) -> list[Quantity]:
        """Return the values of a function, bare numbers made lengths where another one is a length."""
        if self.default_unit is None or all(value.dimension != LENGTH for value in values):
            return values
        return [
            with_unit(value, self.default_unit) if is_bare(argument) else value
            for argument, value in zip(arguments, values, strict=True)
        ]


def _joined(mark: str, first: Quantity, second: Quantity) -> Quantity:
    if mark == "+":
        return first + second
    if mark == "-":
        return first - second
    return first * second if mark == "*" else first / second


def _at(fault: UnitError, start: int, end: int) -> FormulaError:
    return FormulaError(fault.message, start, end, help=fault.help, slug="wrong-unit")


def _extreme(name: str, tree: Call, values: list[Quantity]) -> Quantity:
    """Return the smallest or largest value, the first of equals."""
    best = values[0]
    for argument, value in zip(tree.arguments[1:], values[1:], strict=True):
        try:
            better = value < best if name == "min" else best < value
        except UnitError as fault:
            raise _at(fault, argument.start, argument.end) from None
        best = value if better else best
    return best


def _stepped(name: str, tree: Call, values: list[Quantity]) -> Quantity:
    """Return a value brought to a multiple of a step: down, up, or to the nearest (half away from zero)."""
    value = values[0]
    if len(values) == 1:
        if value.dimension != NUMBER:
            raise FormulaError(
                f"`{name}` of {value.dimension.name} wants a step",
                tree.start,
                tree.end,
                help=f"write for example `{name}(..., 1/16 in)` or `{name}(..., 1 mm)`",
                slug="missing-step",
            )
        step = Fraction(1)
    else:
        step = values[1].value
        wanted = tree.arguments[1]
        if values[1].dimension != value.dimension:
            message = f"the step is {values[1].dimension.name}, the value is {value.dimension.name}"
            raise FormulaError(message, wanted.start, wanted.end, slug="wrong-unit")
        if step <= 0:
            raise FormulaError("a step must be larger than zero", wanted.start, wanted.end, slug="zero-below")
    count = value.value / step
    if name == "floor":
        whole = math.floor(count)
    elif name == "ceil":
        whole = math.ceil(count)
    else:
        whole = math.floor(abs(count) + Fraction(1, 2)) * (1 if count >= 0 else -1)
    return Quantity(whole * step, value.dimension, value.system, value.exact)


_SINES = {0: Fraction(0), 30: Fraction(1, 2), 90: Fraction(1), 150: Fraction(1, 2), 180: Fraction(0),
          210: Fraction(-1, 2), 270: Fraction(-1), 330: Fraction(-1, 2)}  # fmt: skip
_TANGENTS = {0: Fraction(0), 45: Fraction(1), 135: Fraction(-1)}


def _angle_function(name: str, tree: Call, angle: Quantity) -> Quantity:
    """Return sine, cosine or tangent: exact where it is a simple fraction, else rounded and marked."""
    argument = tree.arguments[0]
    if angle.dimension != ANGLE:
        raise FormulaError(
            f"`{name}` wants an angle, this is {angle.dimension.name}",
            argument.start,
            argument.end,
            help=f"write for example `{name}(12 deg)`",
            slug="wrong-unit",
        )
    turned = angle.value % 360
    if name == "tan":
        turned %= 180
        if turned == 90:
            raise FormulaError("an angle of 90 deg has no tangent", argument.start, argument.end, slug="zero-below")
        exact, function = _TANGENTS, math.tan
    else:
        turned = (turned + 90) % 360 if name == "cos" else turned
        exact, function = _SINES, math.sin
    if turned in exact:
        return Quantity(exact[int(turned)], NUMBER, "", angle.exact)
    # Rounded at once: the last digit of the machine's own functions differs between machines.
    return Quantity(Fraction(round(function(math.radians(turned)) * _FINE), _FINE), NUMBER, "", exact=False)


def divided_hint(tree: Formula) -> str | None:
    """Return help where the tree holds `3 / 4 in`, a fraction with blanks in it."""
    if isinstance(tree, Negative):
        return divided_hint(tree.operand)
    if not isinstance(tree, Row):
        return None
    above = tree.first
    for step in tree.steps:
        below = step.operand
        if (
            step.mark == "/"
            and isinstance(above, Number)
            and isinstance(below, Number)
            and below.unit
            and not above.unit
        ):
            amount = below.quantity.value / UNITS[below.unit].of(Fraction(1)).value
            return f"write the fraction without blanks: `{above.quantity.value}/{amount} {below.unit}`"
        above = below
    return next((hint for step in tree.steps if (hint := divided_hint(step.operand))), None)
