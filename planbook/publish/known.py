"""What the tables of the trade know about a material or a tool, for its page: each figure with its source."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from planbook.plan.model import Plan
from planbook.publish.book_info import BookInfo, MaterialInfo, ToolInfo
from planbook.trade.lookup import TradeError
from planbook.trade.lookup import key as comparable
from planbook.units.amounts import write_minutes, write_temperature
from planbook.units.editions import IMPERIAL, METRIC, snap
from planbook.units.factors import FOOT, GALLON, INCH
from planbook.units.write import decimal, write_length

if TYPE_CHECKING:
    from planbook.trade.fasteners import Fastener
    from planbook.trade.panels import OwnPanel
    from planbook.trade.products import Group, Product
    from planbook.trade.sourced import Figure
    from planbook.trade.species import Wood

_PSI = Fraction("0.006894757")
"""MPa: NIST SP 811 (2008), appendix B.8."""
_LB_FT3 = Fraction("16.01846")
"""kg/m³: NIST SP 811 (2008), appendix B.8."""
_LBF = Fraction("4.448222")
"""N: NIST SP 811 (2008), appendix B.8."""
_SQ_FT_GAL = GALLON / FOOT**2
"""Square feet with a gallon in 1 m² with a litre."""
_EIGHTHS = IMPERIAL.with_resolution(INCH / 8)
_PRODUCT_GROUPS: tuple[Group, ...] = ("glue", "finish", "resin")

_PRODUCT_TIMES = (
    ("open", "open time"),
    ("closed", "until it is clamped"),
    ("pot", "time in the cup"),
    ("clamp", "in clamps"),
    ("wipe", "until it is wiped off"),
    ("recoat", "to the next coat"),
    ("topcoat", "to another product over it"),
    ("layer", "to the next pour"),
    ("sand", "to sanding"),
    ("use", "to light use"),
    ("cure", "to full strength or hardness"),
)
_PRODUCT_FIGURES: tuple[tuple[str, str, Callable[[Fraction], str]], ...] = (
    ("pour_mm", "depth of one pour", lambda value: _both_lengths(value)),
    ("least_c", "not colder than", lambda value: _both_warmths(value)),
    ("most_c", "not warmer than", lambda value: _both_warmths(value)),
    ("most_humidity_pct", "not damper than", lambda value: f"{decimal(value, 0)} % humidity"),
    ("spread_g_m2", "glue to spread", lambda value: f"{decimal(value, 0)} g/m²"),
    ("cover_m2_l", "one coat covers", lambda value: _both_covers(value)),
    ("loss_pct", "lost in the air when sprayed", lambda value: f"{decimal(value, 0)} %"),
)
_GROUP_WORDS = {"wood": "Woods", "panel": "Panels", "fastener": "Fasteners", "glue": "Glue", "finish": "Finish",
                "resin": "Resin", "": "Other things"}  # fmt: skip


def material_facts(key: str, book: BookInfo) -> list[dict[str, Any]]:
    """Return the rows for a material: a wood, a panel, a fastener or a product; none for what no table has."""
    return _known(key, book)[1]


def material_group(key: str, book: BookInfo) -> str:
    """Return `wood`, `panel`, `fastener`, `glue`, `finish`, `resin`, or nothing for what no table has."""
    return _known(key, book)[0]


def grouped(book: BookInfo) -> list[tuple[str, list[MaterialInfo]]]:
    """Return the book's materials under the words for their groups."""
    found: dict[str, list[MaterialInfo]] = {group: [] for group in _GROUP_WORDS}
    for key, item in book.materials.items():
        found[material_group(key, book)].append(item)
    return [(_GROUP_WORDS[group], items) for group, items in found.items() if items]


def with_used(book: BookInfo, plans: Iterable[Plan]) -> BookInfo:
    """Return a book with an entry for every material of its plans that the tables know and nobody described."""
    added: dict[str, MaterialInfo] = {}
    described = {comparable(name) for name in book.materials}
    for plan in plans:
        for name in used_names(plan):
            if comparable(name) in described:
                continue
            group, rows = _known(name, book)
            if rows:
                described.add(comparable(name))
                added[name] = MaterialInfo(key=name, text=_ABOUT[group], derived=True)
    return replace(book, materials={**book.materials, **added}) if added else book


def used_names(plan: Plan) -> list[str]:
    """Return the names of all that a plan is made of: stock, fasteners, glue, finish, resin; each once."""
    names = [stock.material for stock in plan.stock]
    names += [fastener_key(each.name) for each in plan.fastened]
    names += [fastener_key(text) for joint in plan.joints for text in joint.by if text.casefold() != "glue"]
    names += [row.key for row in plan.materials if row.group in ("glue", "finish")]
    names += [finish.product for finish in plan.finish] + [pour.product for pour in plan.pours]
    return list(dict.fromkeys(names))


def fastener_key(name: str) -> str:
    """Return a fastener without its length, under which its page stands; what no table has stays as it is."""
    from planbook.trade.fasteners import find_fastener

    try:
        return find_fastener(name).name
    except TradeError:
        return name


_ABOUT = {
    "wood": "A wood that a plan of this book is made of.",
    "panel": "A sheet good that a plan of this book is made of.",
    "fastener": "A fastener that holds a plan of this book together.",
    "glue": "A glue that a plan of this book asks for.",
    "finish": "A finish that a plan of this book asks for.",
    "resin": "A resin that a plan of this book is filled with.",
}


def _known(key: str, book: BookInfo) -> tuple[str, list[dict[str, Any]]]:
    """Return group and rows of a material; both empty for what no table has."""
    for group, read in (("wood", _wood), ("panel", _panel), ("fastener", _fastener)):
        try:
            return group, read(key, book)
        except TradeError:
            continue
    for name in _PRODUCT_GROUPS:
        try:
            return name, _product(key, book, name)
        except TradeError:
            continue
    return "", []


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
        "signs": [
            {"ref": ref, "title": item.title, "picture": item.picture}
            for ref, item in ((ref, sign(ref)) for ref in found.signs)
        ],
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


def _panel(key: str, book: BookInfo) -> list[dict[str, Any]]:
    from planbook.trade.panels import find_own_panel, find_panel, panel, panel_labels
    from planbook.trade.stiffness import panel_expansion_pct, panel_range
    from planbook.units.read import read_quantity

    own = find_own_panel(key, book.rows.panels)
    if own is not None:
        return _own_panel(own)
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


def _own_panel(own: OwnPanel) -> list[dict[str, Any]]:
    rows = []
    for system, stock in own.stocks:
        edition = IMPERIAL if system == "imperial" else METRIC.with_resolution(Fraction(1, 10))
        rows.append(
            _row(f"sold as {stock.label}", f"measures {write_length(stock.thickness_mm, edition)}", stock.source)
        )
    last = own.stocks[-1][1]
    rows.append(_row("density", _density(last.density_kg_m3), last.density_source))
    if own.like:
        rows.append(_row("as stiff as", own.like, last.source))
    return rows


def _fastener(key: str, _book: BookInfo) -> list[dict[str, Any]]:
    from planbook.trade.fasteners import find_fastener

    found = find_fastener(key)
    cells = (("shank", found.shank), ("root of the thread", found.root), ("head", found.head))
    rows = [_figure(what, figure, _both) for what, figure in cells if figure is not None]
    return [*rows, *_bored(found)]


def _bored(found: Fastener) -> list[dict[str, Any]]:
    """Return the holes of a fastener by the density of the wood, with the bits of its own series."""
    from planbook.trade import pilot as holes

    edition = found.series
    rows: list[dict[str, Any]] = []
    for word, gravity in _DENSITIES:
        try:
            hole = holes.pilot(found, gravity, edition)
        except TradeError:
            return rows
        needed = "" if hole.needed else ", needed only near an end"
        rows.append(_row(f"pilot in {word}", f"{hole.choice.bit.label}{needed}", hole.basis.citation))
    try:
        passed = holes.clearance(found, edition)
        rows.append(_row("clearance hole", passed.choice.bit.label, passed.basis.citation))
        cone = holes.countersink(found)
        rows.append(_row("countersink", f"{_both(cone.diameter_mm)} across, {cone.degrees}°", cone.basis.citation))
    except TradeError:
        pass
    return rows


_DENSITIES = (
    ("light wood, gravity under 0.50", Fraction("0.4")),
    ("wood of gravity 0.50 to 0.59", Fraction("0.55")),
    ("dense wood, gravity from 0.60", Fraction("0.65")),
)


def _product(key: str, book: BookInfo, group: Group) -> list[dict[str, Any]]:
    from planbook.trade.products import find_product

    product = find_product(group, key, book.rows.products.get(group, {}))
    rows = []
    for word, what in _PRODUCT_TIMES:
        rows += _told(product, word, what, write_minutes)
    for word, what, write in _PRODUCT_FIGURES:
        rows += _told(product, word, what, write)
    if product.mix is not None:
        ratio = f"{decimal(product.mix.a, 2)} to {decimal(product.mix.b, 2)} by {product.mix.by}"
        rows.append(_row("part A to part B", ratio, product.basis.citation))
    if product.outdoors:
        rows.append(_row("outdoors", product.outdoors, product.basis.citation))
    if product.note:
        rows.append(_row("remark", product.note, product.basis.citation))
    return rows


def _told(product: Product, word: str, what: str, write: Callable[[Fraction], str]) -> list[dict[str, Any]]:
    """Return what is usual of a product, and beside it what practitioners teach where that differs."""
    rows = []
    span = product.spans.get(word)
    if span is not None:
        ends = dict.fromkeys((write(span.low), write(span.high)))
        rows.append(_row(what, " to ".join(ends), span.citation))
    taught = product.taught.get(word)
    if taught is not None:
        counts = product.strictest(word).value == taught.value if span is not None else True
        stricter = "; the stricter one counts" if not counts or span is not None else ""
        rows.append(_row(f"{what}, as it is taught", f"{write(taught.value)}{stricter}", taught.citation))
    return rows


def _both_lengths(mm: Fraction) -> str:
    return f"{write_length(snap(mm, _EIGHTHS), _EIGHTHS)} ({decimal(mm, 0)} mm)"


def _both_warmths(celsius: Fraction) -> str:
    return f"{write_temperature(celsius, IMPERIAL)} ({write_temperature(celsius, METRIC)})"


def _both_covers(m2_l: Fraction) -> str:
    return f"{decimal(m2_l * _SQ_FT_GAL, 0)} sq ft with a gallon ({decimal(m2_l, 0)} m² with a litre)"


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
