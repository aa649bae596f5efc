"""What the tables of the trade know about a material or a tool, for its page: each figure with its source."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from planbook.publish.book_info import BookInfo, ToolInfo
from planbook.trade.lookup import TradeError
from planbook.units.amounts import write_minutes
from planbook.units.editions import IMPERIAL, METRIC
from planbook.units.write import decimal, write_length

if TYPE_CHECKING:
    from planbook.trade.sourced import Figure
    from planbook.trade.species import Wood

_PSI = Fraction("0.006894757")
"""MPa: NIST SP 811 (2008), appendix B.8."""
_LB_FT3 = Fraction("16.01846")
"""kg/m³: NIST SP 811 (2008), appendix B.8."""
_LBF = Fraction("4.448222")
"""N: NIST SP 811 (2008), appendix B.8."""

_PRODUCT_WORDS = (
    ("open", "open time"),
    ("pot", "time in the cup"),
    ("clamp", "in clamps"),
    ("recoat", "to the next coat"),
    ("layer", "to the next pour"),
    ("use", "to light use"),
    ("cure", "to full strength or hardness"),
)


def material_facts(key: str, book: BookInfo) -> list[dict[str, Any]]:
    """Return the rows for a material: a wood, a panel, a fastener or a product; none for what no table has."""
    for read in (_wood, _panel, _fastener, _product):
        try:
            return read(key, book)
        except TradeError:
            continue
    return []


def tool_facts(tool: ToolInfo) -> Mapping[str, Any] | None:
    """Return hazards, guards, practices and figures of a machine or tool, or None for what no table has."""
    from planbook.checks.safety import tabled
    from planbook.trade.machines import least_piece
    from planbook.trade.signs import sign

    found = next((row for name in (tool.key, *tool.also) if (row := tabled(name)) is not None), None)
    if found is None:
        return None
    rows = []
    least = least_piece(found, "imperial"), least_piece(found, "metric")
    if least[0] is not None and least[1] is not None:
        both = f"{write_length(least[0].long_mm, IMPERIAL)} ({write_length(least[1].long_mm, METRIC)})"
        rows.append(_row("shortest piece", both, least[0].basis.citation))
    if found.noise_dba is not None:
        noise = found.noise_dba
        rows.append(_row("noise where you stand", f"{int(noise.low)} to {int(noise.high)} dBA", noise.citation))
    rows += [_row("rule", fact.text, fact.basis.citation) for fact in found.facts]
    return {
        "hazards": ", ".join(found.hazards),
        "guards": ", ".join(found.guards),
        "avoid": list(found.practices),
        "source": found.basis.citation,
        "signs": [{"ref": ref, "title": sign(ref).title} for ref in found.signs],
        "rows": rows,
    }


def _wood(key: str, book: BookInfo) -> list[dict[str, Any]]:
    from planbook.trade.species import find_wood

    wood = find_wood(key, book.rows.woods)
    rows = [
        _figure("density at 12 % moisture", wood.density, _density),
        _figure("moves along the rings, for each 1 % of moisture", wood.tangential, _share),
        _figure("moves across the rings, for each 1 % of moisture", wood.radial, _share),
    ]
    more = (
        ("shrinks along the rings, green to ovendry", wood.shrinkage_tangential, _percent),
        ("shrinks across the rings, green to ovendry", wood.shrinkage_radial, _percent),
        ("stiffness", wood.stiffness, _pressure),
        ("bending strength", wood.bending_strength, _pressure),
        ("side hardness", wood.hardness, _force),
    )
    rows += [_figure(what, figure, write) for what, figure, write in more if figure is not None]
    return [*rows, *_dust(wood)]


def _dust(wood: Wood) -> list[dict[str, Any]]:
    from planbook.trade.dust import dust_harms

    try:
        return [_row("dust", harm.text, harm.basis.citation) for harm in dust_harms(wood.name)]
    except TradeError:
        return []


def _panel(key: str, _book: BookInfo) -> list[dict[str, Any]]:
    from planbook.trade.panels import find_panel, panel, panel_labels
    from planbook.trade.stiffness import panel_expansion_pct, panel_range
    from planbook.units.read import read_quantity

    name = find_panel(key)
    rows = []
    for edition in (IMPERIAL, METRIC.with_resolution(Fraction(1, 10))):
        for label in panel_labels(name, edition.name):
            sold = panel(name, read_quantity(label).value, edition.name)
            rows.append(_row(f"sold as {label}", f"measures {write_length(sold.thickness_mm, edition)}", sold.source))
    sold = panel(name, read_quantity(panel_labels(name, "metric")[0]).value, "metric")
    rows.append(_row("density", _density(sold.density_kg_m3), sold.density_source))
    along = panel_range(name, "along")
    rows.append(_row("stiffness along the face grain", f"{_pressure(along.low)} or more", along.citation))
    expansion = panel_expansion_pct(name)
    if expansion is not None:
        rows.append(_figure("grows in length at the most", expansion, _percent))
    return rows


def _fastener(key: str, _book: BookInfo) -> list[dict[str, Any]]:
    from planbook.trade.fasteners import find_fastener

    found = find_fastener(key)
    cells = (("shank", found.shank), ("root of the thread", found.root), ("head", found.head))
    return [_figure(what, figure, _both) for what, figure in cells if figure is not None]


def _product(key: str, book: BookInfo) -> list[dict[str, Any]]:
    from planbook.trade.products import find_product

    for group in ("glue", "finish", "resin"):
        try:
            product = find_product(group, key, book.rows.products.get(group, {}))
        except TradeError:
            continue
        rows = []
        for word, what in _PRODUCT_WORDS:
            span = product.spans.get(word)
            if span is not None:
                told = dict.fromkeys((write_minutes(span.low), write_minutes(span.high)))
                rows.append(_row(what, " to ".join(told), span.citation))
        return rows
    raise TradeError("unknown-material", f"`{key}` is no product")


def numbered(rows: Sequence[Mapping[str, Any]]) -> tuple[list[dict[str, Any]], list[str]]:
    """Return rows with the numbers of their sources, and the sources in the order of their numbers."""
    sources = list(dict.fromkeys(row["source"] for row in rows))
    return [{**row, "number": sources.index(row["source"]) + 1} for row in rows], sources


def _row(what: str, value: str, source: str) -> dict[str, Any]:
    return {"what": what, "value": value, "source": source}


def _figure(what: str, figure: Figure, write: Any) -> dict[str, Any]:
    return _row(what, write(figure.value), figure.citation)


def _density(value: Fraction) -> str:
    return f"{decimal(value / _LB_FT3, 0)} lb/ft³ ({decimal(value, 0)} kg/m³)"


def _pressure(mpa: Fraction) -> str:
    psi = round(float(mpa / _PSI), -3 if mpa < 1000 else -4)
    return f"{psi:,.0f} psi ({decimal(mpa, 0)} MPa)"


def _force(newtons: Fraction) -> str:
    return f"{decimal(newtons / _LBF, 0)} lbf ({decimal(newtons, 0)} N)"


def _share(value: Fraction) -> str:
    return f"{decimal(value * 100, 3)} % of the width"


def _percent(value: Fraction) -> str:
    return f"{decimal(value, 2)} %"


def _both(mm: Fraction) -> str:
    return f"{decimal(mm / Fraction('25.4'), 3, keep=True)} in ({decimal(mm, 2)} mm)"
