"""Refusing what an equation does not hold for, in words an author understands."""

from __future__ import annotations

from fractions import Fraction

from planbook.trade.lookup import TradeError

Number = float | Fraction
"""Formulas with powers work in floats; exact ones keep fractions."""


def need_positive(value: Number, what: str, unit: str, *, slug: str = "not-positive") -> None:
    """Refuse zero and less; raises `TradeError`."""
    if not value > 0:
        raise TradeError(slug, f"{what} is `{shown(value, unit)}`, it must be more than 0", f"write {what} above 0")


def need_between(
    value: Number, low: Number, high: Number, *, what: str, unit: str, slug: str, help: str | None = None
) -> None:
    """Refuse a value outside a closed range; raises `TradeError`."""
    if not low <= value <= high:
        span = f"{shown(low)} to {shown(high, unit)}"
        raise TradeError(slug, f"{what} is `{shown(value, unit)}`, the rule holds for {span}", help)


def shown(value: Number, unit: str = "") -> str:
    """Return a number as messages write it, up to six digits, and its unit where it has one."""
    return f"{float(value):.6g} {unit}".strip()
