"""Fasteners by their trade names: `No. 8 x 1 1/4 in wood screw`, `4 x 40 mm wood screw`, `8d nail`, `M6 x 30 mm bolt`.

A gauge alone says the shank; root and head come from the tables of its kind. Wood screws are inch or
metric things: the metric edition has its own sizes, it does not rename the inch ones.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from typing import Any

from planbook.trade.lookup import TradeError, exact, nearest, table
from planbook.trade.sourced import DERIVED, Basis, Figure
from planbook.units.factors import INCH
from planbook.units.read import ReadError, read_quantity

GAUGE = Basis("ASME B18.6.1-1981 (R1997), wood screws: D = 0.060 + 0.013 N in")
ROOT_SHARE = Fraction("0.68")
"""Root over shank where the chart prints no root: what its other rows have."""

_SIZE = re.compile(
    r"^(?:no\.?\s*|number\s+|#)(?P<gauge>\d{1,2})\b|^(?P<penny>\d{1,2})d\b|^(?P<metric>m\d{1,2})\b", re.I
)
_THREAD = re.compile(r"^(?P<size>[0-9][0-9 /-]*?)-(?P<threads>\d{2})\b")
_TIMES = re.compile(r"\s*(?:x|×|\*|\bby\b)\s*", re.I)


@dataclass(frozen=True, slots=True)
class Fastener:
    """One fastener; lengths in mm. What is None the tables do not hold."""

    kind: str
    """`wood screw`, `lag screw`, `nail`, `dowel`, `machine screw` and so on."""
    size: str
    """As the trade names it: `No. 8`, `4 mm`, `8d`, `1/4 in`, `M6`."""
    series: str
    """`imperial` or `metric`: whose series it belongs to."""
    shank: Figure
    """Diameter of the unthreaded part, of the thread on metric wood screws, of a nail or dowel."""
    root: Figure | None = None
    head: Figure | None = None
    clearance: Figure | None = None
    """Diameter of the hole it passes freely, where a chart prints it."""
    gauge: int | None = None
    long_mm: Fraction | None = None

    @property
    def name(self) -> str:
        """The fastener without its length: `No. 8 wood screw`."""
        return f"{self.size} {self.kind}"


def fastener_kinds() -> tuple[str, ...]:
    """Return the main names of the kinds."""
    return tuple(row["name"] for row in table("fasteners")["kinds"])


def shank_mm(gauge: int) -> Fraction:
    """Return the shank of a wood screw by its gauge: 0.060 + 0.013 N in (ASME B18.6.1); 0 to 24."""
    if not 0 <= gauge <= 24:
        raise TradeError(
            "unknown-gauge", f"`No. {gauge}` is no gauge of a wood screw", "write a gauge from No. 0 to 24"
        )
    return (Fraction("0.060") + Fraction("0.013") * gauge) * INCH


def find_fastener(text: str) -> Fastener:
    """Return the fastener that a text names, with its length where one is written.

    Raises `TradeError`: `unknown-fastener` for a kind or size no table holds, with the nearest or all sizes.
    """
    words = " ".join(text.split()).split(" with ")[0]
    kind, rest = _kind(words)
    size, _, long = (part.strip() for part in _split(rest))
    found = _sized(kind, size, long, text)
    if not long:
        return found
    try:
        length = read_quantity(long, default_unit=None if found.series == "imperial" else "mm")
    except ReadError as fault:
        raise TradeError("unknown-fastener", f"`{text}` has no readable length: {fault.message}", fault.help) from fault
    return replace(found, long_mm=length.value)


def wood_screw(gauge: int) -> Fastener:
    """Return an inch wood screw of a gauge from No. 0 to 24; raises `TradeError`."""
    found = _inch_screws().get(gauge)
    if found is None:
        shank_mm(gauge)
        sold = ", ".join(str(number) for number in _inch_screws())
        raise TradeError("unknown-gauge", f"`No. {gauge}` wood screws are not made", f"write one of No. {sold}")
    return found


def metric_wood_screw(diameter_mm: Fraction) -> Fastener:
    """Return a metric wood screw; raises `TradeError` with the sizes there are."""
    found = _metric_screws().get(diameter_mm)
    if found is None:
        sizes = ", ".join(screw.size for screw in _metric_screws().values())
        size = f"{float(diameter_mm):g} mm"
        raise TradeError("unknown-fastener", f"`{size}` wood screws are not made", f"write one of {sizes}")
    return found


def in_series(fastener: Fastener, edition_name: str) -> Fastener:
    """Return what stands for a fastener in an edition's own series; a kind without one stays as it is.

    From a gauge to the metric size nearest to its shank and back, of other kinds the size that the tables
    pair with it; with the length nearest to the one written that the trade sells.
    """
    if fastener.series == edition_name:
        return fastener
    if fastener.kind == "wood screw":
        screws = _metric_screws() if edition_name == "metric" else _inch_screws()
        other = min(screws.values(), key=lambda screw: abs(screw.shank.value - fastener.shank.value))
    else:
        pairs = table("fasteners")["pairs"].get(fastener.kind, ())
        sizes = next((pair for pair in pairs if fastener.size in pair), None)
        if sizes is None:
            return fastener
        size = sizes[1] if edition_name == "metric" else sizes[0]
        other = _sized(fastener.kind, size, "", size)
    if fastener.long_mm is None:
        return other
    asked = fastener.long_mm
    return replace(other, long_mm=min(_lengths(edition_name), key=lambda length: abs(length - asked)))


def washer_mm(fastener: Fastener) -> Fraction | None:
    """Return the outside diameter of the plain washer of a bolt, or None where none is tabled."""
    found = table("fasteners")["washers"][fastener.series].get(fastener.size)
    return read_quantity(found).value if found else None


def thread_mm(fastener: Fastener) -> Fraction:
    """Return the usual length of thread: two thirds of a wood screw, half of a lag screw and 1/2 in, 6 in at most.

    ASME B18.6.1 and B18.2.1, from memory; a fully threaded screw has more. Raises `TradeError`
    where the fastener has no length.
    """
    if fastener.long_mm is None:
        raise TradeError("no-length", f"`{fastener.name}` has no length", f"write for example `{fastener.name}` x 2 in")
    if fastener.kind == "lag screw":
        return min(fastener.long_mm, fastener.long_mm / 2 + INCH / 2, 6 * INCH)
    return fastener.long_mm if fastener.kind in ("nail", "dowel") else fastener.long_mm * 2 / 3


def _kind(words: str) -> tuple[str, str]:
    """Return the kind of fastener and what is left of the text: its size and length."""
    lowered = f" {words.casefold()} "
    known = sorted(_kind_words().items(), key=lambda item: -len(item[0]))
    for word, kind in known:
        at = lowered.find(f" {word} ")
        if at >= 0:
            return kind, (words[:at] + words[at + len(word) :]).strip()
    near = nearest(words, fastener_kinds()) or fastener_kinds()
    raise TradeError("unknown-fastener", f"`{words}` names no kind of fastener", f"write for example `{near[0]}`")


@cache
def _kind_words() -> dict[str, str]:
    return {word.casefold(): row["name"] for row in table("fasteners")["kinds"] for word in (row["name"], *row["also"])}


def _split(rest: str) -> tuple[str, str, str]:
    parts = _TIMES.split(rest, maxsplit=1)
    return parts[0], "", parts[1] if len(parts) > 1 else ""


def _sized(kind: str, size: str, long: str, text: str) -> Fastener:
    match = _SIZE.match(size)
    if match and match["gauge"] and kind == "wood screw":
        return wood_screw(int(match["gauge"]))
    if kind == "nail":
        return _pick(_nails(), match["penny"] + "d" if match and match["penny"] else size, kind)
    if match and match["metric"]:
        return _metric_rod(kind, match["metric"].upper())
    thread = _THREAD.match(size)
    try:
        default = "mm" if long.rstrip().endswith("mm") and "in" not in size else "in"
        diameter = read_quantity((thread["size"] if thread else size).strip(), default_unit=default).value
    except ReadError as fault:
        raise TradeError(
            "unknown-fastener", f"`{text}` has no size that the trade knows", "write for example `No. 8 x 1 1/4 in`"
        ) from fault
    if kind == "wood screw" and default == "in" and "mm" not in size:
        raise TradeError(
            "unknown-fastener",
            f"`{text}` says no gauge",
            f"write `No. {size.split()[0]} wood screw` for a gauge, or its diameter in mm with the unit",
        )
    if kind == "wood screw":
        return metric_wood_screw(diameter)
    if kind == "lag screw" and default == "in" and "mm" not in size:
        return _pick(_lags(), f"{_inches(diameter)} in", kind)
    if kind == "structural screw":
        return _structural(diameter, text)
    return _rod(kind, diameter)


def _pick(rows: dict[str, Fastener], size: str, kind: str) -> Fastener:
    if size not in rows:
        raise TradeError("unknown-fastener", f"`{size}` is no size of a {kind}", f"write one of {', '.join(rows)}")
    return rows[size]


def _rod(kind: str, diameter: Fraction) -> Fastener:
    """Return a dowel, bolt or double-ended screw, whose diameter is its name."""
    metric = (diameter / INCH).denominator > 64
    size = f"{float(diameter):g} mm" if metric else f"{_inches(diameter)} in"
    rod = Fastener(kind, size, "metric" if metric else "imperial", Figure(diameter, "its nominal size", DERIVED))
    if kind != "lag screw":
        return rod
    data = table("fasteners")["lag_screws_metric"]
    return replace(rod, root=Figure(exact(data["root_share"]) * diameter, data["source"], data["status"]))


def _structural(diameter: Fraction, text: str) -> Fastener:
    """Return a screw with a washer head, by the row nearest to its diameter: shank, root and head in mid-range."""
    data = table("fasteners")["structural_screws"]
    row = min(data["rows"], key=lambda row: abs(_from_inches(row["size"]) - diameter))
    if abs(_from_inches(row["size"]) - diameter) > Fraction(1, 2):
        sizes = ", ".join(f"{row['size']} in" for row in data["rows"])
        raise TradeError("unknown-fastener", f"`{text}` is no size of a structural screw", f"write one of {sizes}")
    rod = _rod("structural screw", diameter)

    def middle(word: str) -> Figure:
        low, high = row[f"{word}_mm"]
        return Figure((exact(low) + exact(high)) / 2, f"{data['source']}; middle of the range", data["status"])

    return replace(rod, shank=middle("thread"), root=middle("shank"), head=middle("head"))


def _metric_rod(kind: str, size: str) -> Fastener:
    return Fastener(kind, size, "metric", Figure(Fraction(size[1:]), "its nominal size", DERIVED))


@cache
def _inch_screws() -> dict[int, Fastener]:
    data = table("fasteners")["wood_screws_inch"]
    screws = {}
    for row in data["rows"]:

        def cell(word: str, row: dict[str, Any] = row) -> Figure | None:
            found = row.get(f"{word}_in")
            return Figure(_from_inches(found[0]), data[word]["source"], found[1]) if found else None

        gauge = row["gauge"]
        shank = Figure(shank_mm(gauge), GAUGE.source, GAUGE.status)
        guess = Figure(ROOT_SHARE * shank.value, f"{data['root']['source']}: 0.68 of the shank, as other rows", DERIVED)
        screws[gauge] = Fastener(
            kind="wood screw",
            size=f"No. {gauge}",
            series="imperial",
            shank=shank,
            root=cell("root") or guess,
            head=cell("head"),
            clearance=cell("clearance"),
            gauge=gauge,
        )
    return screws


@cache
def _metric_screws() -> dict[Fraction, Fastener]:
    data = table("fasteners")["wood_screws_metric"]
    screws = {}
    for row in data["rows"]:
        shank, root, head, clearance = (
            Figure(exact(row[f"{word}_mm"]), data["source"], data["status"])
            for word in ("d", "root", "head", "clearance")
        )
        size = f"{row['d_mm']:g} mm"
        screws[shank.value] = Fastener("wood screw", size, "metric", shank, root, head, clearance)
    return screws


@cache
def _lags() -> dict[str, Fastener]:
    data = table("fasteners")["lag_screws_inch"]
    lags = {}
    for row in data["rows"]:
        size = f"{row['size']} in"
        root = Figure(_from_inches(row["root_in"]), data["source"], data["status"])
        head = Figure(_from_inches(row["across_flats_in"]), f"{data['source']}, across flats", data["status"])
        lags[size] = Fastener(
            "lag screw", size, "imperial", Figure(_from_inches(row["size"]), "its nominal size", DERIVED), root, head
        )
    return lags


@cache
def _nails() -> dict[str, Fastener]:
    data = table("fasteners")["nails_inch"]
    return {
        row["size"]: Fastener(
            kind="nail",
            size=row["size"],
            series="imperial",
            shank=Figure(_from_inches(row["diameter_in"]), data["source"], data["status"]),
            long_mm=_from_inches(row["length_in"]),
        )
        for row in data["rows"]
    }


@cache
def _lengths(edition_name: str) -> tuple[Fraction, ...]:
    sizes = table("fasteners")["lengths"][edition_name]
    return tuple(_from_inches(size) if edition_name == "imperial" else Fraction(size) for size in sizes)


def _from_inches(text: str | float) -> Fraction:
    return read_quantity(str(text), default_unit="in").value


def _inches(mm: Fraction) -> str:
    whole, rest = divmod(mm / INCH, 1)
    return " ".join(str(part) for part in (whole, rest) if part)
