"""Loading the tables of the trade and finding a row by the name an author typed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import cache
from typing import Any, TypeVar

from planbook.units.read import read_quantity

Row = TypeVar("Row")


class TradeError(Exception):
    """A name or size the tables do not hold: slug, message in one sentence, what to write."""

    def __init__(self, slug: str, message: str, help: str | None = None) -> None:
        super().__init__(message)
        self.slug = slug
        self.message = message
        self.help = help


@cache
def table(name: str) -> dict[str, Any]:
    """Return a table of `planbook/trade/tables` as plain data; read once."""
    from importlib.resources import files

    import yaml

    text = files("planbook.trade").joinpath("tables", f"{name}.yaml").read_text(encoding="utf-8")
    data: dict[str, Any] = yaml.load(text, Loader=yaml.CSafeLoader)
    return data


def key(name: str) -> str:
    """Return the form under which names are compared: case, blanks and hyphens do not count."""
    return " ".join(name.casefold().replace("-", " ").split())


def by_name(rows: Iterable[tuple[Iterable[str], Row]]) -> dict[str, Row]:
    """Return rows by the comparable form of each of their names."""
    return {key(name): row for names, row in rows for name in names}


def find(name: str, rows: Mapping[str, Row], slug: str, kind: str, shown: Iterable[str]) -> Row:
    """Return the row of a name; raises `TradeError` with the nearest of the names in `shown`."""
    row = rows.get(key(name))
    if row is not None:
        return row
    near = nearest(name, shown)
    advice = f"write {_either(near)}" if near else None
    raise TradeError(slug, f"`{name}` is no {kind} of the tables", advice)


def nearest(name: str, names: Iterable[str]) -> tuple[str, ...]:
    """Return up to three names like the one typed: those that hold all its words, then similar spellings."""
    from difflib import get_close_matches

    shown = {key(known): known for known in names}
    asked = key(name)
    holding = [known for known in shown if set(asked.split()) <= set(known.split())]
    close = get_close_matches(asked, shown, n=3, cutoff=0.6)
    return tuple(shown[known] for known in dict.fromkeys([*holding, *close]))[:3]


def exact(value: int | float | str) -> Fraction:
    """Return a number of a table as the fraction that its digits say."""
    return Fraction(str(value))


def millimetres(text: str, *, default_unit: str | None = None) -> Fraction:
    """Return a length of a table, written as in a plan, in millimetres."""
    return read_quantity(text, default_unit=default_unit).value


def _either(names: tuple[str, ...]) -> str:
    quoted = [f"`{name}`" for name in names]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} or {quoted[-1]}"
