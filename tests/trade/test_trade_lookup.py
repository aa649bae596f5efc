from __future__ import annotations

from fractions import Fraction

import pytest

from planbook.trade.allowances import allowance
from planbook.trade.lookup import TradeError, exact, nearest, table
from planbook.trade.lumber import board_feet_net, quarter, quarter_names, softwood
from planbook.trade.panels import find_panel, panel, panel_labels, panel_names
from planbook.trade.species import find_wood, wood_names
from planbook.units.editions import EDITIONS, IMPERIAL, snap
from planbook.units.factors import INCH
from planbook.units.read import read_quantity
from planbook.units.write import plain_length

STATUSES = {"confirmed", "cross-checked", "derived", "practice", "from memory"}


def test_birch_plywood_sold_as_three_quarters() -> None:
    inch = panel("birch plywood", Fraction(3, 4) * INCH, "imperial")
    assert (inch.label, plain_length(inch.thickness_mm, IMPERIAL)) == ("3/4 in", "23/32 in")
    assert inch.sheet_mm == (48 * INCH, 96 * INCH)
    metric = panel("birch plywood", Fraction(3, 4) * INCH, "metric")
    assert (metric.label, metric.nominal_mm, metric.thickness_mm) == ("18 mm", 18, Fraction(177, 10))
    assert metric.sheet_mm == (1220, 2440)
    assert metric.density_kg_m3 == 685


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("name", panel_names())
def test_every_panel_is_complete_in_both_editions(name: str, edition: str) -> None:
    for label in panel_labels(name, edition):
        stock = panel(name, read_quantity(label).value, edition)
        assert stock.source
        assert stock.sheet_source
        assert stock.density_source
        assert stock.status in STATUSES
        assert (stock.name, stock.label) == (name, label)
        assert stock.sheet_mm[0] <= stock.sheet_mm[1]
        assert 300 < stock.density_kg_m3 < 1100
        assert label.endswith(" in" if edition == "imperial" else " mm")


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("name", panel_names())
def test_thickness_rises_with_the_label_and_is_near_it(name: str, edition: str) -> None:
    nominals = [read_quantity(label).value for label in panel_labels(name, edition)]
    stocks = [panel(name, nominal, edition) for nominal in nominals]
    assert [stock.label for stock in stocks] == list(panel_labels(name, edition))
    real = [stock.thickness_mm for stock in stocks]
    assert real == sorted(set(real))
    assert all(abs(stock.thickness_mm - stock.nominal_mm) < Fraction(13, 10) for stock in stocks)


def test_the_nearest_sold_thickness_is_taken() -> None:
    assert panel("OSB", Fraction(18), "imperial").label == "23/32 in"
    assert panel("MDF", INCH, "metric").label == "25 mm"
    assert panel("birch ply", INCH / 4, "metric").label == "6.5 mm"
    midway = (Fraction(15) + Fraction(16)) / 2
    assert panel("MDF", midway, "metric").label == "15 mm"


def test_a_thickness_nobody_sells() -> None:
    with pytest.raises(TradeError) as caught:
        panel("MDF", Fraction(60), "metric")
    assert caught.value.slug == "unsold-thickness"
    assert caught.value.message == "`MDF` is not sold near 60 mm thick, the nearest is 30 mm"


@pytest.mark.parametrize(
    ("typed", "advice"),
    [
        ("birch plywod", "write `birch plywood`"),
        ("plywood", "write `birch plywood`, `hardwood plywood` or `softwood plywood`"),
    ],
)
def test_unknown_panels(typed: str, advice: str) -> None:
    with pytest.raises(TradeError) as caught:
        find_panel(typed)
    assert (caught.value.slug, caught.value.help) == ("unknown-panel", advice)


def test_names_ignore_case_hyphens_and_blanks() -> None:
    assert find_panel(" mdf ") == "MDF"
    assert find_panel("Edge glued  pine panel") == "laminated pine panel"
    assert find_wood("Douglas fir").name == "Douglas-fir"


def test_woods() -> None:
    assert len({find_wood(name).name for name in wood_names()}) == 40
    assert len(wood_names()) == len({name.casefold() for name in wood_names()})
    assert find_wood("hard maple") is find_wood("sugar maple")
    for name in wood_names():
        wood = find_wood(name)
        assert wood.kind in {"hardwood", "softwood"}
        assert 300 < wood.density_kg_m3 < 1200
        assert 0 < wood.radial.value < wood.tangential.value < Fraction(1, 200)
        for figure in (wood.density, wood.radial, wood.tangential):
            assert figure.source
            assert figure.status in STATUSES


@pytest.mark.parametrize(
    ("typed", "first"),
    [("walnut", "black walnut"), ("maple", "sugar maple"), ("chery", "cherry"), ("oak", "white oak")],
)
def test_unknown_woods(typed: str, first: str) -> None:
    with pytest.raises(TradeError) as caught:
        find_wood(typed)
    assert (caught.value.help or "").startswith(f"write `{first}`")


def test_nothing_near() -> None:
    assert nearest("zzz", wood_names()) == ()
    with pytest.raises(TradeError) as caught:
        find_wood("zzz")
    assert caught.value.help is None


def test_quarters() -> None:
    eight = quarter("8/4")
    assert (eight.rough_mm, eight.surfaced_mm, eight.metric_rough_mm) == (2 * INCH, Fraction(7, 4) * INCH, 52)
    assert quarter("7/4").status == "from memory"
    assert quarter("7/4").metric_rough_mm is None
    roughs = [quarter(name).rough_mm for name in quarter_names()]
    assert roughs == sorted(roughs)
    with pytest.raises(TradeError) as caught:
        quarter("9/4")
    assert caught.value.slug == "unknown-thickness"
    assert "8/4" in (caught.value.help or "")


@pytest.mark.parametrize("name", ["2 4", "2 x 13", "a x 4", "", "2 x 4 x 8"])
def test_unknown_softwood_sizes(name: str) -> None:
    with pytest.raises(TradeError) as caught:
        softwood(name)
    assert caught.value.slug == "unknown-size"


@pytest.mark.parametrize("name", ["2x4", "2 × 4", "4 x 2", "2 by 4", " 2 X 4 "])
def test_ways_to_write_a_softwood_size(name: str) -> None:
    assert softwood(name).name == "2 x 4"


def test_allowances_are_round_in_each_edition() -> None:
    assert allowance("lumber", "imperial").length_mm == INCH
    assert allowance("lumber", "metric").length_mm == 25
    for kind in table("allowances")["kinds"]:
        for name, edition in EDITIONS.items():
            added = allowance(kind, name)
            assert snap(added.length_mm, edition) == added.length_mm
            assert snap(added.width_mm, edition) == added.width_mm
            assert "no source" in added.source
    assert allowance("panel", "imperial").length_mm == allowance("panel", "metric").width_mm == 0


def test_board_feet_of_a_cut_list_add_up() -> None:
    one = board_feet_net(INCH, 6 * INCH, 24 * INCH)
    assert one == 1
    assert board_feet_net(INCH, 6 * INCH, 72 * INCH) == 3 * one


def test_numbers_of_a_table_keep_their_digits() -> None:
    assert exact(17.7) == Fraction(177, 10)
    assert exact("0.00353") == Fraction(353, 100000)
