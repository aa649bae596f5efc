"""Sheet goods and products of a book's own, from `shop.yaml`: one row each."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.plan.row_values import density, number, ratio
from planbook.source.schema.knowledge import PanelSource, ProductSource
from planbook.source.schema.words import PerEdition
from planbook.source.text import Text
from planbook.trade.lookup import TradeError
from planbook.trade.valid import need_positive
from planbook.units.quantity import LENGTH, NUMBER, TEMPERATURE, TIME, VOLUME, Dimension
from planbook.units.read import read_quantity

if TYPE_CHECKING:
    from planbook.trade.panels import OwnPanel
    from planbook.trade.products import Group, Product

_SIDES = re.compile(r"(.+?)\s*[x×]\s*(.+)", re.DOTALL)
_PRODUCT_WORDS: Mapping[str, tuple[str, Dimension]] = {
    "open": ("open", TIME),
    "clamp": ("clamp", TIME),
    "recoat": ("recoat", TIME),
    "use": ("use", TIME),
    "cure": ("cure", TIME),
    "covers": ("cover_m2_l", NUMBER),
    "pot_life": ("pot", TIME),
    "deepest_pour": ("pour_mm", LENGTH),
    "next_pour": ("layer", TIME),
    "sanding": ("sand", TIME),
    "coldest": ("least_c", TEMPERATURE),
    "warmest": ("most_c", TEMPERATURE),
}
_UNITS: Mapping[Dimension, str] = {LENGTH: "mm", TIME: "min"}
_GROUPS: Mapping[str, Group] = {"glue": "glue", "resin": "resin", "finish": "finish"}


def product(key: Text, source: ProductSource) -> Product:
    """Return a glue, resin or finish of the book's own; raises `TradeError` and `UnitError`."""
    from planbook.trade.mix import mix_of
    from planbook.trade.own import own_product
    from planbook.trade.products import find_product

    group = _GROUPS.get(str(source.is_))
    if group is None:
        raise TradeError("unknown-kind", f"`{source.is_}` is no kind of product", f"write {', '.join(_GROUPS)}")
    figures = {}
    for word, (name, dimension) in _PRODUCT_WORDS.items():
        value = number(getattr(source, word), dimension)
        if value is not None:
            if dimension != TEMPERATURE:
                need_positive(value, f"`{word.replace('_', ' ')}` of `{key}`", _UNITS.get(dimension, ""))
            figures[name] = (value, value)
    loss = number(source.loss, NUMBER, times=Fraction(100))
    if loss is not None:
        figures["loss_pct"] = (loss, loss)
    return own_product(
        group,
        str(key),
        figures,
        source=source.source,
        like=find_product(group, source.like) if source.like is not None else None,
        also=tuple(str(text) for text in source.also),
        mix=mix_of(
            str(key),
            by_volume=ratio(source.ratio_by_volume),
            by_weight=ratio(source.ratio_by_weight),
            density_a=density(source.density_a),
            density_b=density(source.density_b),
        ),
        largest_batch_mm3=number(source.largest_batch, VOLUME),
    )


def panel(key: Text, source: PanelSource) -> OwnPanel:
    """Return a sheet good of the book's own; raises `TradeError` and `UnitError`."""
    from planbook.trade.own import own_panel

    sold = []
    for label, measured in source.sold.items():
        nominal, real = read_quantity(label), read_quantity(measured)
        for text, quantity in ((label, nominal), (measured, real)):
            if quantity.dimension != LENGTH or quantity.system is None:
                raise TradeError("wrong-unit", f"`{text}` is no thickness", "write `12 mm` or `1/2 in`")
        sold.append((str(nominal.system), str(label), nominal.value, real.value))
    return own_panel(
        str(key),
        source=source.source,
        sold=sold,
        sheets={edition: _sheet(text) for edition, text in _of_editions(source).items()},
        density_kg_m3=number(source.density, NUMBER),
        like=str(source.like) if source.like is not None else "",
        also=tuple(str(text) for text in source.also),
    )


def _of_editions(source: PanelSource) -> dict[str, Text]:
    if source.sheet is None:
        return {}
    if isinstance(source.sheet, PerEdition):
        return {"imperial": source.sheet.imperial, "metric": source.sheet.metric}
    return dict.fromkeys(("imperial", "metric"), source.sheet)


def _sheet(text: Text) -> tuple[Fraction, Fraction]:
    match = _SIDES.fullmatch(text)
    if match is None:
        raise TradeError("wrong-unit", f"`{text}` is no size of a sheet", "write `49 in x 97 in`")
    sides = [read_quantity(part) for part in match.groups()]
    if any(side.dimension != LENGTH or side.system is None or side.value <= 0 for side in sides):
        raise TradeError("wrong-unit", f"`{text}` is no size of a sheet", "write each side with its unit")
    return sides[0].value, sides[1].value
