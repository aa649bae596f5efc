"""What `planbook reckon` answers with, how it is written, and how a question's own words are read."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import click

from planbook.cli import exits
from planbook.source.diagnostics import Diagnostic, Severity
from planbook.source.files import Sources
from planbook.source.report import render
from planbook.trade.lookup import TradeError
from planbook.units.editions import IMPERIAL, METRIC
from planbook.units.factors import INCH
from planbook.units.quantity import LENGTH, NUMBER, TEMPERATURE, Dimension, Quantity, UnitError
from planbook.units.read import ReadError, read_quantity
from planbook.units.write import decimal, plain_length

FINE_INCH = IMPERIAL.with_resolution(INCH / 64)
FINE_MM = METRIC.with_resolution(Fraction(1, 10))

as_option = click.option(
    "--as", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="How to write it."
)


@dataclass(frozen=True, slots=True)
class Row:
    """One figure of an answer in both systems of units; where both are alike the second is empty."""

    what: str
    imperial: str
    metric: str = ""
    value: float | None = None
    """The figure itself, not rounded."""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer: what was asked, the figures, where they come from, what to bear in mind."""

    asked: str
    rows: tuple[Row, ...]
    sources: tuple[tuple[str, str], ...]
    """What comes from where."""
    remarks: tuple[str, ...] = ()


class QuestionError(Exception):
    """A question that cannot be answered, as it is told."""

    def __init__(self, option: str, slug: str, message: str, help: str | None) -> None:
        super().__init__(message)
        where = f"{option}: " if option else ""
        self.told = Diagnostic(slug, Severity.STOP, f"{where}{message}", help=help)


def answer(make: Callable[[], Answer], form: str) -> int:
    """Print an answer, or why there is none; return the exit code."""
    try:
        found = make()
    except QuestionError as fault:
        click.echo(render(fault.told, Sources()), err=True)
        return exits.WRONG_USE
    except TradeError as fault:
        told = Diagnostic(fault.slug, Severity.STOP, fault.message, help=fault.help)
        click.echo(render(told, Sources()), err=True)
        return exits.WRONG_USE
    click.echo(_json(found) if form == "json" else _text(found))
    return exits.FINE


def asked_length(option: str, text: str, *, positive: bool = True) -> Fraction:
    """Return a length in mm; raises `QuestionError`."""
    mm = _asked(option, text, LENGTH, "14 in` or `356 mm")
    if mm < 0 or (positive and mm == 0):
        raise QuestionError(
            option, "not-positive", f"`{text}` is not more than 0", "write a length as `14 in` or `356 mm`"
        )
    return mm


def asked_number(option: str, text: str) -> Fraction:
    """Return a plain number."""
    return _asked(option, text, NUMBER, "2")


def asked_percent(option: str, text: str) -> Fraction:
    """Return a percentage as its number: 6 for `6 %`, and for `6` alone."""
    value = _asked(option, text, NUMBER, "6 %")
    return value * 100 if "%" in text else value


def asked_temperature(option: str, text: str) -> Fraction:
    """Return a temperature in °C."""
    return _asked(option, text, TEMPERATURE, "70 F` or `21 C")


def asked_of(option: str, text: str, dimension: Dimension, like: str) -> Fraction:
    """Return a quantity of a kind in base units; `like` shows how one is written."""
    return _asked(option, text, dimension, like)


def _asked(option: str, text: str, dimension: Dimension, like: str) -> Fraction:
    try:
        quantity = _read(text)
    except ReadError as fault:
        raise QuestionError(option, fault.slug, fault.message, fault.help) from fault
    except UnitError as fault:
        raise QuestionError(option, "wrong-unit", fault.message, fault.help) from fault
    if quantity.dimension != dimension:
        message = f"`{text}` is {quantity.dimension.name}, {dimension.name} is wanted"
        raise QuestionError(option, "wrong-unit", message, f"write for example `{like}`")
    return quantity.value


def _read(text: str) -> Quantity:
    """Read a quantity; a unit that is none of ours may be one of the many that pint knows, such as a rod."""
    try:
        return read_quantity(text)
    except ReadError as fault:
        if fault.slug not in ("unknown-unit", "left-over"):
            raise
        from planbook.units.unusual import read_unusual

        try:
            return read_unusual(text)
        except UnitError:
            raise fault from None


def length_row(what: str, mm: Fraction | float) -> Row:
    """Return a length to 1/64 in and 0.1 mm."""
    exact = Fraction(mm)
    return Row(what, plain_length(exact, FINE_INCH), plain_length(exact, FINE_MM), float(mm), "mm")


def thousandths_row(what: str, mm: float) -> Row:
    """Return a small length to a thousandth of an inch and 0.01 mm."""
    exact = Fraction(mm)
    inches = decimal(exact / INCH, 3, keep=True, minus="-")
    return Row(what, f"{inches} in", f"{decimal(exact, 2, minus='-')} mm", mm, "mm")


def both_lengths(mm: Fraction) -> str:
    """Return a length in both systems, `14 in (355.6 mm)`."""
    return f"{plain_length(mm, FINE_INCH)} ({plain_length(mm, FINE_MM)})"


def _text(found: Answer) -> str:
    labels = max(len(row.what) for row in found.rows)
    first = max(len(row.imperial) for row in found.rows if row.metric) if any(row.metric for row in found.rows) else 0
    lines = [found.asked, ""]
    for row in found.rows:
        figures = f"{row.imperial:{first}}   {row.metric}" if row.metric else row.imperial
        lines.append(f"  {row.what:{labels}}   {figures}".rstrip())
    lines += ["", "Sources:", *(f"  {what}: {source}" for what, source in found.sources)]
    lines += ["", *found.remarks] if found.remarks else []
    return "\n".join(lines)


def _json(found: Answer) -> str:
    facts: dict[str, Any] = {
        "asked": found.asked,
        "figures": [
            {
                "what": row.what,
                "imperial": row.imperial,
                "metric": row.metric or row.imperial,
                "value": row.value,
                "unit": row.unit,
            }
            for row in found.rows
        ],
        "sources": [{"of": what, "source": source} for what, source in found.sources],
        "remarks": list(found.remarks),
    }
    return json.dumps(facts, ensure_ascii=False, indent=1)
