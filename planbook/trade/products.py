"""Glues, resins and finishes of general kind: their times and limits, each with its source.

Nothing here stands in for a product's own sheet. The tables say what is usual, so that a plan has
something to go by and a figure far off the usual is noticed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from planbook.trade.lookup import TradeError, by_name, exact, find, key, table
from planbook.trade.mix import Mix
from planbook.trade.sourced import Basis, Figure, Span, span

Group = Literal["glue", "resin", "finish"]

_TABLES: dict[str, tuple[str, str]] = {
    "glue": ("adhesives", "glues"),
    "resin": ("resins", "resins"),
    "finish": ("finishes", "finishes"),
}
_SPANS = (
    *("open", "closed", "clamp", "cure", "pot", "wait", "layer", "recoat", "handle", "demould", "sand"),
    *("wipe", "topcoat", "dry", "buff", "use", "pour_mm", "least_c", "most_c", "ideal_c", "most_humidity_pct"),
    *("spread_g_m2", "cover_m2_l", "loss_pct", "coats"),
)
_LESS_IS_STRICTER = frozenset({"open", "closed", "pot", "most_c", "most_humidity_pct", "cover_m2_l"})
"""Of these the smallest counts: work must be done within it. Of the others the largest: wait at least so long."""


@dataclass(frozen=True, slots=True)
class Product:
    """One kind of glue, resin or finish."""

    group: Group
    name: str
    also: tuple[str, ...]
    spans: Mapping[str, Span]
    """Usual ranges by word; times in minutes, the rest in the unit that the word ends in.

    `open` spreading to joining, `pot` life in the cup, `clamp` time in the clamps, `cure` to full
    strength, `recoat` to the next coat, `topcoat` to another product, `layer` to the next pour, and so on.
    """
    taught: Mapping[str, Figure]
    """What practitioners teach where it differs from the usual range."""
    basis: Basis
    kind: str = ""
    """Of a finish: `stain`, `film`, `oil` or `wax`."""
    thinner: str = ""
    """Of a finish: `solvent`, `water` or `none`."""
    outdoors: str = ""
    """Of a glue: `yes`, `sheltered` or `no`."""
    rags: bool = False
    """Its rags can set themselves alight."""
    note: str = ""
    mix: Mix | None = None
    """Of a resin: its ratio, where its sheet was read."""
    largest_batch: Figure | None = None
    """Of a resin: the most that is mixed at once, mm³."""
    stated: tuple[str, ...] = ()
    """Words that the book took from the product's own sheet; the rest is what is usual."""

    def span(self, word: str) -> Span:
        """Return a usual range; raises `TradeError` where none is known."""
        found = self.spans.get(word)
        if found is None:
            raise TradeError(
                "no-figure", f"no {_WORDS.get(word, word)} of {self.name} is known", "write it from the product's sheet"
            )
        return found

    def strictest(self, word: str) -> Figure:
        """Return the figure that counts where the product's sheet says nothing.

        Of a time or limit within which work is done the least, of one to wait for the most; of the depth
        of a pour the most that is usual. What practitioners teach counts where it is stricter.
        """
        usual = self.span(word)
        less = word in _LESS_IS_STRICTER
        value = usual.low if less else usual.high
        own = Figure(value, usual.source, usual.status)
        other = self.taught.get(word)
        if other is None:
            return own
        pick = min if less or word == "pour_mm" else max
        return pick(own, other, key=lambda figure: figure.value)


def product_names(group: Group) -> tuple[str, ...]:
    """Return every name of a group's products, in table order."""
    return tuple(name for product in _products(group) for name in (product.name, *product.also))


def find_product(group: Group, name: str, own: Mapping[str, Product] | None = None) -> Product:
    """Return a glue, resin or finish by any of its names; raises `TradeError` with the nearest names.

    `own` holds a book's own products by name; they stand before those of the tables.
    """
    for called, product in (own or {}).items():
        if key(name) in {key(called), *map(key, product.also)}:
            return product
    return find(name, _by_name(group), f"unknown-{group}", group, (*(own or ()), *product_names(group)))


def warmed_minutes(minutes: float, celsius: float, usual_c: float = 21.0) -> float:
    """Return a cure time at another temperature: half for each 10 °C more, twice for each 10 °C less.

    The chemist's rule of thumb for reactive glue and resin, common practice, no source; not for drying.
    """
    return float(minutes * 2 ** ((usual_c - celsius) / table("resins")["warming"]["halves_each_c"]))


@cache
def _products(group: Group) -> tuple[Product, ...]:
    name, rows = _TABLES[group]
    data = table(name)
    return tuple(_product(group, row, data["sources"]) for row in data[rows])


@cache
def _by_name(group: Group) -> dict[str, Product]:
    return by_name(((product.name, *product.also), product) for product in _products(group))


def _product(group: Group, row: dict[str, Any], sources: dict[str, tuple[str, str]]) -> Product:
    founded = row.get("founded", {})
    spans = {}
    for word in _SPANS:
        if word in row:
            source, status = sources[founded.get(word, row["source"])]
            spans[word] = span(row[word], source, status)
    taught = {word: Figure(exact(value), *sources["T"]) for word, value in row.get("taught", {}).items()}
    words = {word: row[word] for word in ("kind", "thinner", "outdoors", "rags", "note") if word in row}
    return Product(group, row["name"], tuple(row["also"]), spans, taught, Basis(*sources[row["source"]]), **words)


_WORDS = {
    "open": "open time",
    "pot": "pot life",
    "clamp": "clamp time",
    "cure": "cure time",
    "layer": "time to the next pour",
    "recoat": "time to the next coat",
    "topcoat": "time to the topcoat",
    "sand": "time to sanding",
    "pour_mm": "greatest depth of a pour",
    "least_c": "lowest temperature",
    "spread_g_m2": "spread",
    "cover_m2_l": "coverage",
}
