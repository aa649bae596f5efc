"""Resin, finish, glue and hazards: properties, refusals, and what goes together."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planbook.trade import coverage, resin
from planbook.trade.abrasives import abrasives, find_abrasive, too_wide_steps
from planbook.trade.coats import before, schedule
from planbook.trade.hazards import (
    cautions,
    finish_materials,
    gloves_clash,
    material_names,
    operation_names,
    signs_of,
    wear_of,
)
from planbook.trade.incompatible import clash
from planbook.trade.lookup import TradeError, table
from planbook.trade.machines import find_tool, least_piece
from planbook.trade.own import own_product
from planbook.trade.products import find_product, product_names, warmed_minutes
from planbook.trade.signs import sign, signal_rank, wear_words
from planbook.units.factors import INCH

SIZE = st.fractions(1, 2000, max_denominator=32)
PART = st.fractions("0.5", 100, max_denominator=10)
DENSITY = st.fractions("0.8", "1.4", max_denominator=100)


@given(PART, PART, DENSITY, DENSITY, SIZE)
def test_parts_add_up_however_the_ratio_is_stated(
    a: Fraction, b: Fraction, heavy: Fraction, light: Fraction, volume: Fraction
) -> None:
    by_volume = resin.amounts(resin.Mix(a, b, "volume", heavy, light), volume)
    assert by_volume.a_mm3 is not None
    assert by_volume.b_mm3 is not None
    assert by_volume.a_mm3 + by_volume.b_mm3 == volume
    assert by_volume.a_mm3 / by_volume.b_mm3 == a / b
    # The same mix stated by weight gives the same amounts.
    assert resin.amounts(resin.Mix(a * heavy, b * light, "weight", heavy, light), volume) == by_volume
    assert by_volume.a_g is not None
    assert by_volume.b_g is not None
    total = by_volume.a_g + by_volume.b_g
    assert resin.amounts_of_mass(resin.Mix(a, b, "volume", heavy, light), total) == by_volume


def test_a_ratio_is_never_guessed() -> None:
    bare = resin.Mix(Fraction(2), Fraction(1), "volume")
    assert resin.amounts(bare, Fraction(3000)).a_g is None
    for call in (
        lambda: resin.amounts_of_mass(bare, Fraction(100)),
        lambda: resin.amounts(resin.Mix(Fraction(2), Fraction(1), "weight"), Fraction(100)),
        lambda: resin.mass_ratio(bare),
    ):
        with pytest.raises(TradeError) as caught:
            call()
        assert caught.value.slug == "no-density"
    with pytest.raises(TradeError) as caught:
        resin.amounts(resin.Mix(Fraction(2), Fraction(0), "volume"), Fraction(100))
    assert caught.value.slug == "impossible-ratio"


@given(st.fractions(1, 200, max_denominator=16), st.fractions(1, 80, max_denominator=16))
def test_layers_are_equal_and_few(deep: Fraction, limit: Fraction) -> None:
    found = resin.layers(deep, limit)
    assert found.count * found.each_mm == deep
    assert found.each_mm <= limit
    assert found.count == 1 or deep / (found.count - 1) > limit


def test_batches() -> None:
    assert resin.batches(Fraction(1000), Fraction(400)) == resin.Batches(3, Fraction(1000, 3))
    assert resin.batches(Fraction(800), Fraction(400)).count == 2


def test_pour_limits() -> None:
    deep = find_product("resin", "clear deep-pour")
    with pytest.raises(TradeError) as caught:
        resin.pour_limit(deep, None)
    assert caught.value.slug == "no-pour-limit"
    assert "usual is up to 50.8 mm" in caught.value.message
    assert resin.pour_limit(deep, 2 * INCH).beyond == ()
    daring = resin.pour_limit(deep, Fraction(80))
    assert daring.counts.citation == "the product's sheet"
    assert [float(figure.value) for figure in daring.beyond] == [50.8, 75]
    coat = find_product("resin", "table top epoxy")
    assert [float(figure.value) for figure in resin.pour_limit(coat, Fraction(10)).beyond] == [6]
    assert coat.strictest("pour_mm").value == 6
    assert deep.strictest("pour_mm").value == 2 * INCH
    assert float(deep.strictest("least_c").value) == pytest.approx((70 - 32) / 1.8)


def test_voids_that_are_refused() -> None:
    ten = Fraction(10)
    assert resin.void_mm3(ten, ten, ten, filled_mm3=Fraction(100)) == 900
    for call in (
        lambda: resin.void_mm3(ten, ten, ten, filled_mm3=Fraction(1000)),
        lambda: resin.void_mm3(ten, Fraction(0), ten),
        lambda: resin.with_spare_mm3(ten, Fraction(-1)),
        lambda: resin.layers(ten, Fraction(0)),
        lambda: resin.coat_mm3(ten, Fraction(0)),
    ):
        with pytest.raises(TradeError):
            call()


@given(SIZE, SIZE, st.integers(1, 6), st.fractions(5, 25, max_denominator=4))
def test_finish_is_in_proportion(long: Fraction, wide: Fraction, coats: int, cover: Fraction) -> None:
    area = long * wide
    one = coverage.finish_mm3(area, coats=1, cover_m2_l=cover)
    assert coverage.finish_mm3(area, coats=coats, cover_m2_l=cover) == coats * one
    assert one == area * coverage.wet_film_mm(cover)
    lossy = coverage.finish_mm3(area, coats=1, cover_m2_l=cover, loss_pct=Fraction(25))
    assert lossy == one * Fraction(5, 4)
    assert coverage.dry_film_mm(cover, Fraction(50)) == coverage.wet_film_mm(cover) / 2


def test_glue_for_a_joint() -> None:
    spread = find_product("glue", "yellow glue").span("spread_g_m2")
    assert coverage.glue_g(Fraction(500_000), spread.low) == 75
    assert coverage.glue_g(Fraction(500_000), spread.low, faces=2) == 150


@pytest.mark.parametrize(
    "call",
    [
        lambda: coverage.finish_mm3(Fraction(0), coats=1, cover_m2_l=Fraction(10)),
        lambda: coverage.finish_mm3(Fraction(1), coats=0, cover_m2_l=Fraction(10)),
        lambda: coverage.finish_mm3(Fraction(1), coats=1, cover_m2_l=Fraction(10), loss_pct=Fraction(-1)),
        lambda: coverage.dry_film_mm(Fraction(10), Fraction(120)),
        lambda: find_product("glue", "yelow glue"),
        lambda: find_product("finish", "unobtainium"),
        lambda: find_product("resin", "penetrating epoxy").span("pour_mm"),
        lambda: clash("glitter", "wax"),
    ],
)
def test_what_wet_work_refuses(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(TradeError):
        call()


@given(st.sampled_from(list(product_names("finish"))), st.integers(1, 5))
def test_coats_follow_one_another(name: str, coats: int) -> None:
    finish = find_product("finish", name)
    if "recoat" not in finish.spans:
        with pytest.raises(TradeError):
            schedule(finish, 2)
        return
    found = schedule(finish, coats)
    wait = finish.span("recoat")
    assert [start.low for start in found.starts] == [n * wait.low for n in range(coats)]
    assert [start.high for start in found.starts] == [n * wait.high for n in range(coats)]
    if found.cure is not None:
        assert found.cure.low > found.starts[-1].low


def test_gel_stain_waits_overnight() -> None:
    gel = find_product("finish", "gel stain")
    assert before(gel).high == 24 * 60
    assert gel.taught["topcoat"].value == 16 * 60
    assert gel.strictest("topcoat").value == 24 * 60


@given(st.floats(1, 10000), st.floats(10, 35))
def test_ten_degrees_more_halve_the_cure(minutes: float, celsius: float) -> None:
    assert warmed_minutes(minutes, celsius + 10) == pytest.approx(warmed_minutes(minutes, celsius) / 2)
    assert warmed_minutes(minutes, 21) == minutes


@pytest.mark.parametrize(
    ("over", "under", "dry"),
    [
        ("oil stain", "shellac", False),
        ("gel stain", "wax", False),
        ("lacquer", "paste wax", False),
        ("resin", "hardwax oil", False),
        ("glue", "Danish oil", False),
        ("Danish oil", "water-based varnish", False),
        ("water-borne polyurethane", "oil stain", True),
        ("oil-based polyurethane", "shellac", False),
    ],
)
def test_pairs_that_do_not_hold(over: str, under: str, dry: bool) -> None:
    found = clash(over, under)
    assert found is not None
    assert found.until_dry is dry
    assert found.why
    assert found.mend
    assert found.basis.citation == "common practice, no source"


@pytest.mark.parametrize(
    ("over", "under"),
    [("shellac", "oil stain"), ("wax", "lacquer"), ("oil varnish", "drying oil"), ("resin", "shellac")],
)
def test_pairs_that_nothing_is_known_against(over: str, under: str) -> None:
    assert clash(over, under) is None


def test_pairs_name_products_that_exist() -> None:
    known = {"resin", "glue", "film", "oil", "stain", "wax"}
    for row in table("finishes")["pairs"]:
        for side in (row["over"], row["under"]):
            assert side in known or find_product("finish", side).name == side


def test_a_glue_of_the_books_own() -> None:
    like = find_product("glue", "PVA")
    fast = own_product("glue", "quick glue", {"open": (Fraction(5), Fraction(8))}, source="its sheet", like=like)
    assert find_product("glue", "Quick Glue", {fast.name: fast}) is fast
    assert fast.strictest("open").citation == "its sheet"
    assert fast.span("clamp") == like.span("clamp")
    with pytest.raises(TradeError) as caught:
        own_product("glue", "quick glue", {"open": (Fraction(8), Fraction(5))}, source="its sheet")
    assert caught.value.slug == "impossible-range"
    with pytest.raises(TradeError) as caught:
        own_product("glue", "quick glue", {}, source=None)
    assert caught.value.slug == "no-source"


def test_hazards_follow_from_tool_material_and_work() -> None:
    found = cautions(
        tools=["router", "pencil"],
        materials=["resin"],
        operations=["sand", "change bit"],
        woods=["red oak", "hard maple"],
    )
    slugs = [caution.slug for caution in found]
    assert {"tool", "changing-cutter", "drawn-in", "resin", "partly-cured-resin", "sanding-dust", "wood-dust"} == set(
        slugs
    )
    ranks = [signal_rank(caution.signal) for caution in found]
    assert ranks == sorted(ranks)
    assert set(wear_of(found)) >= {"eyes", "ears", "mask", "gloves"}
    assert {"M006", "P028", "M009"} <= set(signs_of(found))
    assert gloves_clash(found)
    assert not gloves_clash(cautions(tools=["router"]))
    dust = next(caution for caution in found if caution.slug == "wood-dust")
    assert (dust.of, dust.signal) == ("red oak", "WARNING")


def test_rules_ask_for_all_their_conditions() -> None:
    assert cautions(operations=["change bit"]) == ()
    assert cautions(tools=["chisel"], operations=["change bit"])[0].slug == "tool"
    assert [c.slug for c in cautions(materials=["MDF"])] == []
    assert [c.slug for c in cautions(materials=["MDF"], operations=["saw"])] == ["board-dust"]
    assert [c.slug for c in cautions(materials=["mains voltage"])] == ["mains-voltage"]
    assert cautions(materials=["mains voltage"])[0].signal == "DANGER"
    assert cautions(woods=["red oak"]) == ()


def test_every_rule_can_be_set_off_and_is_complete() -> None:
    for row in table("hazards")["rules"]:
        when = row["when"]
        found = cautions(
            tools=["router"] if "tool" in when else [],
            materials=when.get("material", [])[:1],
            operations=when.get("operation", [])[:1],
        )
        caution = next(caution for caution in found if caution.slug == row["slug"])
        assert caution.hazards
        assert caution.avoid
        assert set(caution.wear) <= set(wear_words())
        assert all(sign(ref) for ref in caution.signs)


def test_words_no_hazard_follows_from() -> None:
    for words in ({"materials": ["raisin"]}, {"operations": ["sanding"]}):
        with pytest.raises(TradeError) as caught:
            cautions(**words)  # type: ignore[arg-type]
        assert caught.value.slug in {"unknown-material", "unknown-operation"}
        assert caught.value.help
    assert "resin" in material_names()
    assert "saw" in operation_names()


def test_rags_that_set_themselves_alight() -> None:
    assert finish_materials("Danish oil") == ("oily rags",)
    assert finish_materials("oil varnish") == ("solvent finish", "oily rags")
    assert finish_materials("water-borne varnish") == ()
    assert "P003" in signs_of(cautions(materials=finish_materials("linseed oil")))


def test_smallest_pieces_are_round_in_each_edition() -> None:
    inch, metric = (least_piece(find_tool("surface planer"), edition) for edition in ("imperial", "metric"))
    assert inch is not None
    assert metric is not None
    assert (inch.long_mm, metric.long_mm) == (12 * INCH, 300)
    assert least_piece(find_tool("chisel"), "metric") is None


def test_sanding_sequences() -> None:
    numbers = [row.number for row in abrasives()]
    grains = [row.grain_um.value for row in abrasives()]
    assert numbers == sorted(numbers)
    assert grains == sorted(grains, reverse=True)
    assert too_wide_steps(["P80", "P120", "P180", "P220"]) == ()
    wide = too_wide_steps(["80", "120", "220"])
    assert [(a.grade, b.grade) for a, b in wide] == [("P120", "P220")]
    with pytest.raises(TradeError):
        find_abrasive("P121")
