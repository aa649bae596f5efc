"""Moisture, movement and density: what holds for all values, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planbook.trade.density import density_kg_m3, gravity_at, gravity_ovendry, mass_g, wood_density_kg_m3
from planbook.trade.dust import dust_harms, dust_limits
from planbook.trade.lookup import TradeError, table
from planbook.trade.moisture import (
    Air,
    driest_and_dampest,
    equilibrium_pct,
    equilibrium_pct_fahrenheit,
    indoor_pct,
    region_names,
)
from planbook.trade.movement import (
    ANY_CHANGE,
    SMALL_CHANGE,
    Cut,
    both_ways,
    change_by_coefficient,
    change_by_shrinkage,
    coefficient_of_shrinkage,
    movement,
    shrinkage_of_coefficient,
    shrinkage_to_pct,
    slot_length_mm,
    softwood_lumber_size,
)
from planbook.trade.own import own_basis, own_wood
from planbook.trade.species import find_wood, wood_names

HUMIDITY = st.floats(5, 95)
CELSIUS = st.floats(0, 60)
DRY_PCT = st.fractions(6, 14, max_denominator=50)
ANY_PCT = st.fractions(0, 40, max_denominator=50)
WIDTH = st.fractions(1, 2000, max_denominator=64)
WOOD = st.sampled_from(wood_names()).map(find_wood)
CUT = st.sampled_from(Cut)


@given(CELSIUS, st.floats(5, 94))
def test_damper_air_makes_damper_wood(celsius: float, humidity: float) -> None:
    assert equilibrium_pct(celsius, humidity + 1) > equilibrium_pct(celsius, humidity)


@given(CELSIUS, HUMIDITY)
def test_both_unit_sets_agree(celsius: float, humidity: float) -> None:
    difference = equilibrium_pct(celsius, humidity) - equilibrium_pct_fahrenheit(celsius * 1.8 + 32, humidity)
    assert abs(difference) < 0.04


@given(st.floats(15, 59), st.floats(20, 80))
def test_warmer_air_makes_drier_wood(celsius: float, humidity: float) -> None:
    assert equilibrium_pct(celsius + 1, humidity) < equilibrium_pct(celsius, humidity)


@pytest.mark.parametrize(
    ("celsius", "humidity", "slug"),
    [
        (20, 101, "impossible-humidity"),
        (20, -1, "impossible-humidity"),
        (20, 99, "outside-the-equation"),
        (20, 2, "outside-the-equation"),
        (98.6, 50, "outside-the-equation"),
        (-20, 50, "outside-the-equation"),
    ],
)
def test_air_that_cannot_be(celsius: float, humidity: float, slug: str) -> None:
    with pytest.raises(TradeError) as caught:
        equilibrium_pct(celsius, humidity)
    assert caught.value.slug == slug
    assert caught.value.help


def test_the_year_of_a_room() -> None:
    months = [Air("January", 21, 28), Air("April", 20, 45), Air("August", 25, 62)]
    year = driest_and_dampest(months)
    assert (year.driest.name, year.dampest.name) == ("January", "August")
    assert year.driest_pct < year.dampest_pct
    same = driest_and_dampest([Air("May", 20, 50), Air("June", 20, 50)])
    assert same.driest.name == same.dampest.name == "May"


def test_a_room_in_the_other_unit() -> None:
    with pytest.raises(TradeError) as caught:
        driest_and_dampest([Air("January", 68, 30)])
    assert caught.value.slug == "no-room-temperature"
    assert caught.value.help == "write `68 F` if degrees Fahrenheit are meant"
    with pytest.raises(TradeError) as caught:
        driest_and_dampest([])
    assert caught.value.slug == "no-climate"


def test_regions() -> None:
    assert [float(indoor_pct(name).value) for name in region_names()] == [8, 6, 11]
    with pytest.raises(TradeError) as caught:
        indoor_pct("dry south west")
    assert caught.value.slug == "unknown-region"


@given(WIDTH, DRY_PCT, DRY_PCT, st.fractions("0.0005", "0.005", max_denominator=100_000))
def test_there_and_back(width: Fraction, first: Fraction, second: Fraction, rate: Fraction) -> None:
    assert change_by_coefficient(width, rate, first, second) == -change_by_coefficient(width, rate, second, first)


@given(WIDTH, ANY_PCT, ANY_PCT, st.fractions(2, 13, max_denominator=10))
def test_shrinkage_there_and_back(width: Fraction, first: Fraction, second: Fraction, shrinkage: Fraction) -> None:
    grown = change_by_shrinkage(width, shrinkage, first, second)
    assert change_by_shrinkage(width + grown, shrinkage, second, first) == -grown
    assert (grown > 0) == (min(second, 30) > min(first, 30))


@given(st.fractions(1, 15, max_denominator=10), st.sampled_from([Fraction(22), Fraction(30)]))
def test_coefficient_and_shrinkage_are_inverse(shrinkage: Fraction, saturation: Fraction) -> None:
    assert shrinkage_of_coefficient(coefficient_of_shrinkage(shrinkage, saturation), saturation) == shrinkage


@given(WOOD, CUT, WIDTH, ANY_PCT, ANY_PCT)
def test_movement_follows_moisture(wood, cut, width, first, second) -> None:  # type: ignore[no-untyped-def]
    found = movement(wood, cut, width, first, second)
    top = wood.saturation_pct if found.equation == ANY_CHANGE else 100
    assert (found.change_mm > 0) == (min(second, top) > min(first, top))
    inside = all(6 <= pct <= 14 for pct in (first, second))
    assert found.equation == (SMALL_CHANGE if inside else ANY_CHANGE)
    assert abs(found.change_mm) < width / 5


@given(WOOD, WIDTH)
def test_both_equations_meet_at_ten_percent(wood, width) -> None:  # type: ignore[no-untyped-def]
    """From 10 to 11 % the large-change equation, fed from the coefficient, gives what the small-change one does."""
    shrinkage = shrinkage_of_coefficient(wood.tangential.value, wood.saturation_pct)
    large = change_by_shrinkage(width, shrinkage, Fraction(10), Fraction(11), wood.saturation_pct)
    assert large == movement(wood, Cut.FLAT, width, Fraction(10), Fraction(11)).change_mm


@given(WOOD, CUT, WIDTH, DRY_PCT, DRY_PCT, DRY_PCT)
def test_both_ways_over_the_year(wood, cut, width, built, one, other) -> None:  # type: ignore[no-untyped-def]
    low, high = sorted((one, other))
    moves = both_ways(wood, cut, width, built_pct=built, driest_pct=low, dampest_pct=high)
    assert moves.shrinks_mm >= 0
    assert moves.swells_mm >= 0
    assert (moves.shrinks_mm == 0) == (built <= low)
    assert (moves.swells_mm == 0) == (built >= high)
    assert slot_length_mm(moves, Fraction(4)) >= 4 + moves.shrinks_mm + moves.swells_mm


def test_a_year_the_wrong_way_round() -> None:
    with pytest.raises(TradeError) as caught:
        both_ways(
            find_wood("teak"),
            Cut.FLAT,
            Fraction(100),
            built_pct=Fraction(8),
            driest_pct=Fraction(12),
            dampest_pct=Fraction(6),
        )
    assert caught.value.slug == "driest-above-dampest"


def test_moistures_that_are_refused() -> None:
    with pytest.raises(TradeError) as caught:
        movement(find_wood("white oak"), Cut.FLAT, Fraction(100), Fraction(-3), Fraction(8))
    assert caught.value.slug == "negative-moisture"
    with pytest.raises(TradeError) as caught:
        change_by_coefficient(Fraction(100), Fraction("0.003"), Fraction(4), Fraction(8))
    assert caught.value.slug == "outside-the-equation"
    with pytest.raises(TradeError) as caught:
        softwood_lumber_size(Fraction(100), Fraction(19), Fraction(5))
    assert caught.value.slug == "outside-the-equation"
    assert shrinkage_to_pct(Fraction(8), Fraction(40)) == 0


@given(WOOD, st.fractions(0, 29, max_denominator=10))
def test_wetter_wood_is_heavier(wood, moisture) -> None:  # type: ignore[no-untyped-def]
    assert wood_density_kg_m3(wood, moisture + 1) > wood_density_kg_m3(wood, moisture)
    assert wood_density_kg_m3(wood, Fraction(12)) == wood.density_kg_m3


@given(st.fractions("0.3", 1, max_denominator=100), st.fractions(0, 30, max_denominator=10))
def test_gravity_rises_as_wood_dries(green: Fraction, moisture: Fraction) -> None:
    assert gravity_at(green, moisture) >= green
    assert gravity_at(green, Fraction(30)) == green
    assert density_kg_m3(green, Fraction(0)) == 1000 * green


def test_ovendry_gravity_lies_above_that_at_twelve_percent() -> None:
    for name in wood_names():
        wood = find_wood(name)
        if wood.specific_gravity is not None:
            assert wood.specific_gravity.value < gravity_ovendry(wood) < wood.specific_gravity.value * Fraction(6, 5)


def test_mass_without_density() -> None:
    assert mass_g(Fraction(500), Fraction(10**6)) == 500
    with pytest.raises(TradeError) as caught:
        mass_g(Fraction(0), Fraction(10**6))
    assert caught.value.slug == "no-density"
    with pytest.raises(TradeError) as caught:
        wood_density_kg_m3(find_wood("teak"), Fraction(-1))
    assert caught.value.slug == "negative-moisture"


def test_dust_of_woods() -> None:
    for row in table("dust")["woods"]:
        assert [find_wood(name).name for name in row["woods"]] == row["woods"]
    assert dust_harms("hard maple") == ()
    assert "A1" in dust_harms("red oak")[0].text
    assert {limit.mg_m3 for limit in dust_limits("western red cedar")} == {15, 1, 0.5}
    assert {limit.body for limit in dust_limits("white oak")} == {"OSHA", "NIOSH", "ACGIH", "European Union"}


def test_a_wood_of_the_books_own() -> None:
    wood = own_wood(
        "black locust",
        source="own measurement",
        density_kg_m3=Fraction(770),
        shrinkage_tangential_pct=Fraction("7.2"),
    )
    assert wood.density.citation == "own measurement"
    assert wood.radial == wood.tangential
    assert wood.tangential.status == "derived"
    assert find_wood("Black-Locust", {wood.name: wood}) is wood
    with pytest.raises(TradeError) as caught:
        find_wood("black locus", {wood.name: wood})
    assert "black locust" in (caught.value.help or "")


@pytest.mark.parametrize(
    ("words", "slug"),
    [
        ({"source": None}, "no-source"),
        ({"source": "  "}, "no-source"),
        ({"density_kg_m3": None}, "no-density"),
        ({"density_kg_m3": Fraction(0)}, "no-density"),
        ({"tangential": None}, "no-movement"),
        ({"tangential": Fraction("0.071")}, "movement-too-large"),
    ],
)
def test_own_woods_that_are_refused(words: dict[str, object], slug: str) -> None:
    facts = {"source": "common practice", "density_kg_m3": Fraction(600), "tangential": Fraction("0.0025"), **words}
    with pytest.raises(TradeError) as caught:
        own_wood("bog oak", **facts)  # type: ignore[arg-type]
    assert caught.value.slug == slug
    assert caught.value.help


def test_sources_of_own_rows() -> None:
    assert own_basis("a", "common practice").citation == "common practice, no source"
    assert own_basis("a", "Own measurement").citation == "own measurement"
    assert own_basis("a", "Timber Notes 12, p. 4").citation == "Timber Notes 12, p. 4"
