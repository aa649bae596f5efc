"""A book's own rows for the tables: each must say where its figures come from.

`source` is a document, `common practice` or `own measurement`. Nothing else makes a row good enough:
a figure without a source is refused.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from planbook.trade.lookup import TradeError, key
from planbook.trade.mix import Mix
from planbook.trade.movement import coefficient_of_shrinkage
from planbook.trade.panels import OwnPanel, PanelStock, find_panel, panel
from planbook.trade.products import Group, Product
from planbook.trade.sourced import AS_STATED, DERIVED, OWN_MEASUREMENT, PRACTICE, Basis, Figure, Span
from planbook.trade.species import Wood
from planbook.trade.valid import need_positive


def own_basis(row: str, source: str | None) -> Basis:
    """Return what a book's own row rests on; raises `TradeError` where it names no source."""
    words = " ".join((source or "").split())
    if not words:
        raise TradeError(
            "no-source",
            f"`{row}` names no source for its figures",
            "write `source: common practice`, `source: own measurement` or the document",
        )
    if key(words) == key(PRACTICE) or key(words).startswith("common practice"):
        return Basis("common practice, no source", PRACTICE)
    if key(words) == OWN_MEASUREMENT:
        return Basis(OWN_MEASUREMENT, OWN_MEASUREMENT)
    return Basis(words, AS_STATED)


def own_wood(
    name: str,
    *,
    source: str | None,
    density_kg_m3: Fraction | None,
    tangential: Fraction | None = None,
    radial: Fraction | None = None,
    shrinkage_tangential_pct: Fraction | None = None,
    shrinkage_radial_pct: Fraction | None = None,
    stiffness_mpa: Fraction | None = None,
    hardness_n: Fraction | None = None,
    kind: str = "hardwood",
    also: Sequence[str] = (),
) -> Wood:
    """Return a wood of the book's own from figures at 12 % moisture.

    Movement comes as coefficients or as shrinkage green to ovendry; where only the one along the rings
    is known it counts for both cuts, which is the safe way. Raises `TradeError` without density,
    movement or source.
    """
    basis = own_basis(name, source)
    if density_kg_m3 is None:
        raise TradeError("no-density", f"`{name}` has no density", "write its density at 12 % moisture, in kg/m³")
    need_positive(density_kg_m3, f"the density of {name}", "kg/m³", slug="no-density")
    along = _movement(name, tangential, shrinkage_tangential_pct, basis)
    if along is None:
        raise TradeError(
            "no-movement", f"`{name}` has no movement", "write its shrinkage along the rings in %, green to ovendry"
        )

    def cell(value: Fraction | None) -> Figure | None:
        return Figure(value, basis.source, basis.status) if value is not None else None

    return Wood(
        name=name,
        also=tuple(also),
        botanical="",
        kind=kind,
        density=Figure(density_kg_m3, basis.source, basis.status),
        radial=_movement(name, radial, shrinkage_radial_pct, basis) or along,
        tangential=along,
        stiffness=cell(stiffness_mpa),
        hardness=cell(hardness_n),
        shrinkage_radial=cell(shrinkage_radial_pct),
        shrinkage_tangential=cell(shrinkage_tangential_pct),
    )


def own_panel(
    name: str,
    *,
    source: str | None,
    sold: Sequence[tuple[str, str, Fraction, Fraction]],
    sheets: Mapping[str, tuple[Fraction, Fraction]],
    density_kg_m3: Fraction | None,
    like: str = "",
    also: Sequence[str] = (),
) -> OwnPanel:
    """Return a sheet good of the book's own.

    `sold` holds system, label, nominal and measured thickness; `sheets` width and length by edition. What is
    not told is that of the panel that it is `like`. Raises `TradeError` without a thickness, sheet, density or source.
    """
    basis = own_basis(name, source)
    if not sold:
        raise TradeError("unsold-thickness", f"`{name}` has no thickness", "write `sold: {12 mm: 11.8 mm}`")
    main = find_panel(like) if like else ""
    stocks = []
    for system, label, nominal, measured in sold:
        need_positive(measured, f"the thickness of {name}", "mm")
        kin = panel(main, nominal, system) if main else None
        sheet = sheets.get(system) or (kin.sheet_mm if kin else None)
        if sheet is None:
            raise TradeError("no-size", f"`{name}` has no size of its sheet", "write `sheet: 49 in x 97 in`, or `like`")
        density = density_kg_m3 if density_kg_m3 is not None else kin.density_kg_m3 if kin else None
        if density is None:
            raise TradeError("no-density", f"`{name}` has no density", "write its density in kg/m³, or `like`")
        need_positive(density, f"the density of {name}", "kg/m³", slug="no-density")
        told = (basis.citation, kin.density_source if kin and density_kg_m3 is None else basis.citation)
        stock = PanelStock(name, label, nominal, measured, sheet, density, told[0], basis.status, *told)
        stocks.append((system, stock))
    return OwnPanel(name, tuple(also), main, tuple(stocks))


def own_product(
    group: Group,
    name: str,
    figures: Mapping[str, tuple[Fraction, Fraction]],
    *,
    source: str | None,
    like: Product | None = None,
    also: Sequence[str] = (),
    mix: Mix | None = None,
    largest_batch_mm3: Fraction | None = None,
) -> Product:
    """Return a glue, resin or finish of the book's own: its ranges by the words of `Product.spans`.

    With `like` it takes what it does not say from a product of the tables.
    """
    basis = own_basis(name, source)
    spans = dict(like.spans) if like else {}
    for word, (low, high) in figures.items():
        if not 0 <= low <= high:
            raise TradeError(
                "impossible-range",
                f"`{word}` of `{name}` runs from `{float(low):g}` to `{float(high):g}`",
                "write the smaller figure first, 0 or more",
            )
        spans[word] = Span(low, high, basis.source, basis.status)
    return Product(
        group=group,
        name=name,
        also=tuple(also),
        spans=spans,
        taught={word: figure for word, figure in like.taught.items() if word not in figures} if like else {},
        basis=basis,
        kind=like.kind if like else "",
        thinner=like.thinner if like else "",
        outdoors=like.outdoors if like else "",
        rags=like.rags if like else False,
        mix=mix,
        largest_batch=_largest_batch(name, largest_batch_mm3, basis),
        stated=tuple(figures),
    )


def _largest_batch(name: str, mm3: Fraction | None, basis: Basis) -> Figure | None:
    if mm3 is None:
        return None
    need_positive(mm3, f"the largest batch of {name}", "mm³")
    return Figure(mm3, basis.source, basis.status)


def _movement(name: str, stated: Fraction | None, shrinkage_pct: Fraction | None, basis: Basis) -> Figure | None:
    if stated is not None:
        need_positive(stated, f"the movement of {name}", "")
        if stated > Fraction(1, 100):
            raise TradeError(
                "movement-too-large",
                f"`{name}` would move `{float(stated * 100):g} %` for 1 % of moisture, no wood does",
                "write a coefficient such as `0.0025`, or the shrinkage in % as such",
            )
        return Figure(stated, basis.source, basis.status)
    if shrinkage_pct is None:
        return None
    source = f"equation 13-3 of the Wood Handbook at 10 % moisture, with the shrinkage of: {basis.source}"
    return Figure(coefficient_of_shrinkage(shrinkage_pct), source, DERIVED)
