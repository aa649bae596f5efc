"""Exact quantities: a fraction, what it measures, and arithmetic that checks the units.

Base units are the millimetre, gram, minute, degree of angle, degree Celsius and one unit of the
shop's money. All values are `Fraction`, so 1/3 in stays 1/3 in until it is written.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from math import isqrt
from typing import NamedTuple


class UnitError(Exception):
    """A fault in a quantity, told to the author: a message in one sentence and what to write."""

    def __init__(self, message: str, help: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.help = help


class Dimension(NamedTuple):
    """What a quantity measures, as exponents of the base kinds."""

    length: int = 0
    mass: int = 0
    time: int = 0
    angle: int = 0
    temperature: int = 0
    money: int = 0

    def times(self, other: Dimension) -> Dimension:
        """Return the dimension of a product."""
        return _times(self, other)

    def per(self, other: Dimension) -> Dimension:
        """Return the dimension of a quotient."""
        return _per(self, other)

    def root(self) -> Dimension:
        """Return the dimension of a square root; raises `UnitError` where there is none."""
        if any(exponent % 2 for exponent in self):
            raise UnitError(f"{self.name} has no square root", "take the root of an area or of a plain number")
        return Dimension(*(exponent // 2 for exponent in self))

    @property
    def name(self) -> str:
        """The kind with its article, for messages: `a length`, `a plain number`."""
        return _NAMES.get(self) or _spelled(self)


@cache
def _times(first: Dimension, second: Dimension) -> Dimension:
    return Dimension(*(a + b for a, b in zip(first, second, strict=True)))


@cache
def _per(first: Dimension, second: Dimension) -> Dimension:
    return Dimension(*(a - b for a, b in zip(first, second, strict=True)))


NUMBER = Dimension()
LENGTH = Dimension(length=1)
AREA = Dimension(length=2)
VOLUME = Dimension(length=3)
MASS = Dimension(mass=1)
TIME = Dimension(time=1)
ANGLE = Dimension(angle=1)
TEMPERATURE = Dimension(temperature=1)
MONEY = Dimension(money=1)
TURNING = Dimension(time=-1)
"""Turns in a time, as of a drill; base unit one a minute."""

_NAMES = {
    NUMBER: "a plain number",
    LENGTH: "a length",
    AREA: "an area",
    VOLUME: "a volume",
    MASS: "a mass",
    TIME: "a time",
    ANGLE: "an angle",
    TEMPERATURE: "a temperature",
    MONEY: "an amount of money",
    TURNING: "a speed of turning",
}


def _spelled(dimension: Dimension) -> str:
    """Name an unusual dimension by its parts: `a quantity of length^4 per time`."""
    powers = dimension._asdict().items()
    above = [_power(kind, exponent) for kind, exponent in powers if exponent > 0]
    below = [_power(kind, -exponent) for kind, exponent in powers if exponent < 0]
    upper = " times ".join(above) or "one"
    return f"a quantity of {upper}" + (f" per {' and '.join(below)}" if below else "")


def _power(kind: str, exponent: int) -> str:
    return kind if exponent == 1 else f"{kind}^{exponent}"


@dataclass(frozen=True, slots=True)
class Quantity:
    """An exact value in base units together with its dimension.

    Two quantities are equal when value and dimension are; `system` and `exact` are remarks on
    where the value came from and do not take part.
    """

    value: Fraction
    dimension: Dimension = NUMBER
    system: str = field(default="", compare=False)
    """Units the author wrote: `imperial`, `metric`, `mixed`, or nothing where it makes no difference."""
    exact: bool = field(default=True, compare=False)
    """False once a root or an angle function has rounded it."""

    def __add__(self, other: Quantity) -> Quantity:
        self._need_same(other, "added")
        return self._made(self.value + other.value, self.dimension, other)

    def __sub__(self, other: Quantity) -> Quantity:
        self._need_same(other, "subtracted")
        return self._made(self.value - other.value, self.dimension, other)

    def __mul__(self, other: Quantity) -> Quantity:
        self._refuse_temperature(other)
        return self._made(self.value * other.value, self.dimension.times(other.dimension), other)

    def __truediv__(self, other: Quantity) -> Quantity:
        self._refuse_temperature(other)
        if other.value == 0:
            raise UnitError("this divides by zero")
        return self._made(self.value / other.value, self.dimension.per(other.dimension), other)

    def __neg__(self) -> Quantity:
        self._refuse_temperature(self)
        return Quantity(-self.value, self.dimension, self.system, self.exact)

    def __abs__(self) -> Quantity:
        return -self if self.value < 0 else self

    def __lt__(self, other: Quantity) -> bool:
        self._need_same(other, "compared")
        return self.value < other.value

    def __le__(self, other: Quantity) -> bool:
        self._need_same(other, "compared")
        return self.value <= other.value

    def root(self) -> Quantity:
        """Return the square root: exact where there is one, else to 1e-9 of a base unit and marked."""
        if self.value < 0:
            raise UnitError("a number below zero has no square root")
        dimension = self.dimension.root()
        top, bottom = isqrt(self.value.numerator), isqrt(self.value.denominator)
        if (top * top, bottom * bottom) == (self.value.numerator, self.value.denominator):
            return Quantity(Fraction(top, bottom), dimension, self.system, self.exact)
        scaled = isqrt(self.value.numerator * 10**18 * 4 // self.value.denominator)
        return Quantity(Fraction((scaled + 1) // 2, 10**9), dimension, self.system, exact=False)

    def _made(self, value: Fraction, dimension: Dimension, other: Quantity) -> Quantity:
        return Quantity(value, dimension, _joined(self.system, other.system), self.exact and other.exact)

    def _need_same(self, other: Quantity, done: str) -> None:
        if self.dimension != other.dimension:
            first, second = self.dimension, other.dimension
            hint = "give the plain number a unit, for example `2 in` or `50 mm`" if NUMBER in (first, second) else None
            raise UnitError(f"{first.name} and {second.name} cannot be {done}", hint)
        if done != "compared":
            self._refuse_temperature(other)

    def _refuse_temperature(self, other: Quantity) -> None:
        # A reading on a scale with an arbitrary zero is no amount: 70 F and 70 F is not 140 F.
        if self.dimension.temperature or other.dimension.temperature:
            raise UnitError("temperatures cannot be reckoned with", "write the temperature itself, for example `70 F`")


def _joined(first: str, second: str) -> str:
    if not first or first == second:
        return second
    return first if not second else "mixed"


def number(value: Fraction | int) -> Quantity:
    """Return a plain number."""
    return Quantity(Fraction(value))


def length(mm: Fraction | int, system: str = "") -> Quantity:
    """Return a length of so many millimetres."""
    return Quantity(Fraction(mm), LENGTH, system)
