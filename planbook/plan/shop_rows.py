"""The book's own rows for the tables of the trade, and the air of the room, from `shop.yaml`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from planbook.plan.row_values import number
from planbook.source.diagnostics import Findings
from planbook.source.schema.book import ShopFacts
from planbook.source.schema.knowledge import LoadSource, PanelSource, ProductSource, RoomSource, WoodSource
from planbook.source.schema.words import PerEdition
from planbook.source.text import Text
from planbook.trade.lookup import TradeError
from planbook.units.quantity import NUMBER, TEMPERATURE, UnitError
from planbook.units.read import read_quantity

if TYPE_CHECKING:
    from planbook.trade.loads import Load
    from planbook.trade.moisture import Air
    from planbook.trade.panels import OwnPanel
    from planbook.trade.products import Product
    from planbook.trade.sourced import Basis
    from planbook.trade.species import Wood

MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_AIR = re.compile(r"(.+?)\s+at\s+(.+)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Room:
    """Moisture of wood over the year in the room of a piece, %."""

    driest_pct: Fraction
    dampest_pct: Fraction
    built_pct: Fraction
    built_stated: bool
    """False where the moisture at building is taken half way between the two."""
    basis: Basis
    """Source of the air; the moisture follows from it by equation."""
    driest_month: int | None = None
    """January is 0; None where the book does not say."""
    dampest_month: int | None = None


@dataclass(frozen=True, slots=True)
class ShopRows:
    """All rows of a book's own."""

    woods: Mapping[str, Wood] = field(default_factory=dict)
    products: Mapping[Literal["glue", "resin", "finish"], Mapping[str, Product]] = field(default_factory=dict)
    loads: Mapping[str, Load] = field(default_factory=dict)
    panels: Mapping[str, OwnPanel] = field(default_factory=dict)
    room: Room | None = None


def shop_rows(shop: ShopFacts, findings: Findings) -> ShopRows:
    """Return a book's own rows; one with a fault is recorded and left out."""
    if not (shop.woods or shop.panels or shop.products or shop.loads or shop.room):
        return ShopRows()
    reader = _Reader(findings)
    woods = {str(key): wood for key, source in shop.woods.items() if (wood := reader.wood(key, source)) is not None}
    products: dict[Literal["glue", "resin", "finish"], dict[str, Product]] = {}
    for key, row in shop.products.items():
        product = reader.product(key, row)
        if product is not None:
            products.setdefault(product.group, {})[str(key)] = product
    loads = {str(key): load for key, item in shop.loads.items() if (load := reader.load(key, item)) is not None}
    panels = {str(key): panel for key, plate in shop.panels.items() if (panel := reader.panel(key, plate)) is not None}
    return ShopRows(woods, products, loads, panels, reader.room(shop.room) if shop.room else None)


_kept: list[tuple[ShopFacts, ShopRows]] = []


def rows_of(shop: ShopFacts) -> ShopRows:
    """Return a book's own rows without their faults, which are told where the book is read.

    Those of the last shop are kept: a plan is worked out many times over for one.
    """
    if not _kept or _kept[0][0] is not shop:
        _kept[:] = [(shop, shop_rows(shop, Findings()))]
    return _kept[0][1]


@dataclass(frozen=True, slots=True)
class _Reader:
    findings: Findings

    def wood(self, key: Text, source: WoodSource) -> Wood | None:
        from planbook.trade.own import own_wood

        try:
            percent = Fraction(100)
            return own_wood(
                str(key),
                source=source.source,
                density_kg_m3=number(source.density, NUMBER),
                shrinkage_tangential_pct=number(source.along_rings, NUMBER, times=percent),
                shrinkage_radial_pct=number(source.across_rings, NUMBER, times=percent),
                stiffness_mpa=number(source.stiffness, NUMBER),
                kind=str(source.kind),
                also=tuple(str(text) for text in source.also),
            )
        except (TradeError, UnitError) as fault:
            self._told(fault, (source.density, source.along_rings), key)
            return None

    def product(self, key: Text, source: ProductSource) -> Product | None:
        from planbook.plan.shop_goods import product

        try:
            return product(key, source)
        except (TradeError, UnitError) as fault:
            given = (text for name in type(source).model_fields if isinstance(text := getattr(source, name), Text))
            self._told(fault, given, key)
            return None

    def panel(self, key: Text, source: PanelSource) -> OwnPanel | None:
        from planbook.plan.shop_goods import panel

        try:
            return panel(key, source)
        except (TradeError, UnitError) as fault:
            sheets = (
                (source.sheet.imperial, source.sheet.metric)
                if isinstance(source.sheet, PerEdition)
                else (source.sheet,)
            )
            self._told(fault, (*source.sold, *source.sold.values(), source.like, source.density, *sheets), key)
            return None

    def load(self, key: Text, source: LoadSource) -> Load | None:
        from dataclasses import replace

        from planbook.trade.loads import read_load
        from planbook.trade.own import own_basis

        try:
            basis = own_basis(str(key), source.source)
            found = read_load(str(source.is_))
            kg_m = replace(found.kg_m, source=basis.source, status=basis.status) if found.kg_m else None
            kg = replace(found.kg, source=basis.source, status=basis.status) if found.kg else None
            return replace(found, text=str(key), kg_m=kg_m, kg=kg)
        except (TradeError, UnitError) as fault:
            self._told(fault, (source.is_,), key)
            return None

    def room(self, source: RoomSource) -> Room | None:
        from planbook.trade.moisture import driest_and_dampest
        from planbook.trade.own import own_basis

        place = source.driest
        try:
            basis = own_basis("room", source.source)
            months = []
            for name, text in (("the driest month", source.driest), ("the dampest month", source.dampest)):
                place = text
                months.append(_air(name, text))
                driest_and_dampest(months[-1:])
            year = driest_and_dampest(months)
            low, high = (Fraction(round(pct * 10), 10) for pct in (year.driest_pct, year.dampest_pct))
            place = source.built or source.driest
            built = number(source.built, NUMBER, times=Fraction(100))
            if built is not None and not 0 < built <= 30:
                raise TradeError(
                    "impossible-moisture",
                    f"the moisture is `{source.built}`, wood that is worked has more than 0 and up to 30 %",
                    "write the moisture as a meter shows it, for example `8 %`",
                )
            ends = []
            for month in (source.driest_in, source.dampest_in):
                place = month or place
                ends.append(_month(month))
            if ends[0] is not None and ends[0] == ends[1]:
                raise TradeError(
                    "unknown-month",
                    f"`{source.driest_in}` would be the driest month and the dampest",
                    "name two months",
                )
            middle = (low + high) / 2
            return Room(low, high, middle if built is None else built, built is not None, basis, *ends)
        except (TradeError, UnitError) as fault:
            self._told(fault, (place,), place)
            return None

    def _told(self, fault: TradeError | UnitError, places: Iterable[Text | None], key: Text) -> None:
        """Record a fault at the first place whose words it quotes, else at the name of the row."""
        span = next((text.span for text in places if text is not None and f"`{text}`" in fault.message), key.span)
        self.findings.stop(getattr(fault, "slug", "wrong-unit"), fault.message, span, help=fault.help)


def _month(text: Text | None) -> int | None:
    """Return a month by its English name or its first three letters, January as 0."""
    if text is None:
        return None
    word = text.strip().casefold()
    found = [place for place, name in enumerate(MONTHS) if len(word) >= 3 and name.casefold().startswith(word)]
    if len(found) != 1:
        raise TradeError("unknown-month", f"`{text}` is no month", "write `February` or another month by its name")
    return found[0]


def _air(name: str, text: Text) -> Air:
    from planbook.trade.moisture import Air

    match = _AIR.fullmatch(text)
    if match is None:
        raise TradeError("no-climate", f"`{text}` is no air of a room", "write `68 F at 30 %`")
    celsius, humidity = read_quantity(match[1]), read_quantity(match[2])
    if celsius.dimension != TEMPERATURE:
        raise TradeError("wrong-unit", f"`{match[1]}` is no temperature", "write `68 F` or `20 C`")
    if humidity.dimension != NUMBER:
        raise TradeError("wrong-unit", f"`{match[2]}` is no relative humidity", "write for example `45 %`")
    return Air(name, float(celsius.value), float(humidity.value * 100))
