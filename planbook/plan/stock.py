"""Stock: from a trade name and a nominal size to the thickness that cuts and parts follow."""

from __future__ import annotations

from fractions import Fraction

from planbook.plan import values
from planbook.plan.draft import Draft, Unresolved
from planbook.plan.model import Stock, StockKind
from planbook.source.nearest import did_you_mean
from planbook.source.schema.plan import StockSource
from planbook.source.schema.slabs import SlabSource
from planbook.source.text import Text
from planbook.trade.lookup import TradeError
from planbook.units.editions import snap
from planbook.units.write import plain_length


def stock_of(draft: Draft, part: str) -> Stock:
    """Return the stock a part is made of."""
    words = draft.parts[part]
    if words.of is None:
        raise draft.fail(
            "no-stock",
            f"`{part}` does not say what it is made of",
            draft.part_key(part).span,
            help="add `of:` with a name from `stock`",
        )
    return named_stock(draft, words.of)


def named_stock(draft: Draft, text: Text) -> Stock:
    """Return the stock a text names."""
    if text in draft.facts.stock:
        key = next(key for key in draft.facts.stock if key == text)
        return draft.once(f"{key} (stock)", key.span, lambda: _stock(draft, key, draft.facts.stock[key]))
    help = did_you_mean(text, [str(key) for key in draft.facts.stock])
    raise draft.fail("unknown-stock", f"there is no stock `{text}`", text.span, help=help)


def _stock(draft: Draft, key: Text, source: StockSource) -> Stock:
    if sum(kind is not None for kind in (source.panel, source.lumber, source.slab)) != 1:
        raise draft.fail(
            "which-stock",
            f"`{key}` wants either `panel` or `lumber` or `slab`",
            key.span,
            help="write for example `{panel: birch plywood, nominal: 3/4 in}`",
        )
    try:
        if source.slab is not None:
            return _slab(draft, key, source, source.slab)
        return _panel(draft, key, source) if source.panel is not None else _lumber(draft, key, source)
    except TradeError as fault:
        place = source.panel or source.lumber or (source.slab.wood if source.slab is not None else key)
        if fault.slug.endswith(("thickness", "size")) and source.nominal is not None:
            place = source.nominal
        raise draft.fail(fault.slug, fault.message, place.span, help=fault.help) from None


def _nominal(draft: Draft, key: Text, source: StockSource) -> Text:
    if source.nominal is None:
        raise draft.fail("no-size", f"`{key}` has no `nominal` size", key.span, help="add `nominal: 3/4 in`")
    return source.nominal


def _working(draft: Draft, key: Text, source: StockSource, tabled: Fraction, origin: str) -> tuple[Fraction, str]:
    """Return the thickness cuts follow, and where it comes from: tried, measured, planed to, tabled."""
    if key in draft.thickness:
        return draft.thickness[key], "tried"
    if source.measured is not None:
        found = values.size(draft, source.measured, "joinery", word="measured")
        return snap(found, draft.edition), "measured on the stock in hand"
    return snap(tabled, draft.edition), origin


def _panel(draft: Draft, key: Text, source: StockSource) -> Stock:
    from planbook.trade.panels import find_own_panel, panel

    assert source.panel is not None
    values.field(draft, _nominal(draft, key, source), "joinery", wants="length", word="nominal")
    sold = panel(source.panel, _unrounded(draft, source), draft.edition.name, draft.rows.panels)
    own = find_own_panel(source.panel, draft.rows.panels)
    if source.to is not None:
        raise draft.fail("wrong-word", f"a panel is not planed, so `{key}` takes no `to`", key.span)
    thickness, origin = _working(draft, key, source, sold.thickness_mm, sold.source)
    return Stock(
        name=str(key),
        kind=StockKind.PANEL,
        material=sold.name,
        nominal=sold.label,
        thickness=thickness,
        thickness_from=origin,
        measure=values.flag(draft, source.measure, "measure"),
        rough_thickness=None,
        sheet=sold.sheet_mm,
        density=sold.density_kg_m3,
        pick=tuple(str(text) for text in source.pick),
        span=key.span,
        like=own.like if own is not None else "",
    )


def _slab(draft: Draft, key: Text, source: StockSource, slab: SlabSource) -> Stock:
    from planbook.plan import slabs
    from planbook.trade.species import find_wood

    wood = find_wood(slab.wood, draft.rows.woods)
    thick = slabs.thickness(draft, source, key)
    return Stock(
        name=str(key),
        kind=StockKind.SLAB,
        material=str(slab.wood),
        nominal=f"{plain_length(thick, draft.edition)} slab",
        thickness=snap(thick, draft.edition),
        thickness_from="measured on the slab in hand",
        measure=values.flag(draft, slab.measure, "measure"),
        rough_thickness=None,
        sheet=None,
        density=wood.density_kg_m3,
        pick=tuple(str(text) for text in source.pick),
        span=key.span,
        moisture=slabs.moisture(draft, slab),
        heart=slabs.heart(draft, slab),
        survey=slabs.survey(draft, key) if source.survey is not None or source.outline is not None else None,
        marks=tuple(slabs.mark(draft, str(name)) for name in source.marks),
        clear=slabs.measured(draft, source.clear, "clear") if source.clear is not None else None,
    )


def _unrounded(draft: Draft, source: StockSource) -> Fraction:
    """Return a nominal thickness as typed: the series of the edition decides, not its grid."""
    from planbook.source.formula.faults import FormulaError
    from planbook.units.read import ReadError, read_quantity

    assert source.nominal is not None
    try:
        return read_quantity(source.nominal, default_unit=values.default_unit(draft)).value
    except ReadError as fault:
        told = FormulaError(
            f"`nominal` is a size as sold, `{source.nominal}` is none",
            fault.start,
            fault.end,
            help="write one size, as `3/4 in` or `18 mm`",
            slug="unknown-thickness",
        )
        draft.findings.add(told.diagnostic(source.nominal))
        raise Unresolved(source.nominal) from None


def _lumber(draft: Draft, key: Text, source: StockSource) -> Stock:
    from planbook.trade.lumber import quarter, softwood
    from planbook.trade.species import find_wood

    assert source.lumber is not None
    nominal = _nominal(draft, key, source)
    wood = find_wood(source.lumber, draft.rows.woods)
    metric = draft.edition.name == "metric"
    if "x" in nominal.casefold():
        size = softwood(nominal)
        finished = size.metric_mm[0] if metric else size.thickness_mm
        rough: Fraction | None = None
        dressed: Fraction | None = size.metric_mm[1] if metric else size.width_mm
        label = f"{size.metric_mm[0]} x {size.metric_mm[1]} mm" if metric else f"{size.name} in"
        origin = size.source
    else:
        found = quarter(nominal)
        dressed = None
        rough = found.metric_rough_mm if metric and found.metric_rough_mm else found.rough_mm
        finished, origin = found.surfaced_mm, found.source
        label = f"{plain_length(rough, draft.edition)} rough" if metric else f"{found.name} rough"
    if source.to is not None:
        planed = values.size(draft, source.to, "joinery", word="to")
        if rough is not None and planed >= rough:
            raise draft.fail(
                "stock-too-thin",
                f"`{key}` cannot be planed to {values.shown(draft, planed)}, it is {values.shown(draft, rough)} rough",
                values.chosen(draft, source.to)[0].span,
                help="choose the next thicker size in `nominal`",
            )
        finished, origin = planed, "planed to this thickness"
    thickness, origin = _working(draft, key, source, finished, origin)
    return Stock(
        name=str(key),
        kind=StockKind.LUMBER,
        material=str(source.lumber),
        nominal=label,
        thickness=thickness,
        thickness_from=origin,
        measure=values.flag(draft, source.measure, "measure"),
        rough_thickness=rough,
        sheet=None,
        density=wood.density_kg_m3,
        pick=tuple(str(text) for text in source.pick),
        span=key.span,
        dressed=dressed,
    )
