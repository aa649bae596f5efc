"""What is mixed for a pour: parts by volume and weight, pours, batches, what lies in the void, what is told of it."""

from __future__ import annotations

import shutil
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planbook.plan.pours import Mixing
from planbook.plan.resolve import resolve
from planbook.publish.sheet_resin import fills
from planbook.source.book import read_book
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.trade.lookup import TradeError
from planbook.trade.mix import mix_of
from planbook.units.editions import EDITIONS

FIXTURE = Path(__file__).parents[1] / "fixtures" / "target-c"
INCH = Fraction(254, 10)


def poured(folder: Path, *changes: tuple[str, str, str], edition: str = "imperial") -> tuple[Mixing, dict[str, str]]:
    """Return the pour of the side table, changed in files, and its table as `what: value (more)`."""
    book = folder / "book"
    shutil.copytree(FIXTURE, book, ignore=shutil.ignore_patterns(".planbook"))
    for file, old, new in changes:
        path = next(book.rglob(file))
        text = path.read_text("utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), "utf-8")
    findings = Findings()
    read = read_book(book, findings, Sources())
    assert read is not None
    plan = resolve(read.plans[0], read.shop, EDITIONS[edition], findings)
    assert plan is not None, [item.message for item in findings]
    (pour,) = plan.pours
    (table,) = fills(plan)
    return pour, {row["what"]: f"{row['value']} ({row['more']})" for row in table["rows"]}


def test_a_shallow_limit_makes_equal_pours_that_keep_it(tmp_path: Path) -> None:
    # 1 15/16 in deep at 1 in each: two pours of 31/32 in.
    pour, told = poured(tmp_path, ("shop.yaml", "deepest pour: 2 in", "deepest pour: 1 in"))
    assert (pour.pours, pour.each_deep) == (2, Fraction(31, 32) * INCH)
    assert told["depth"].startswith('2 pours of ³¹⁄₃₂"')
    assert "to the next pour" in told


def test_batches_follow_the_most_that_is_mixed_at_once(tmp_path: Path) -> None:
    # 13.89 fl oz in one pour, 8 fl oz at once: two batches.
    pour, told = poured(tmp_path, ("shop.yaml", "    coldest", "    largest batch: 8 fl oz\n    coldest"))
    assert (pour.pours, pour.batches) == (1, 2)
    assert told["batches"] == "2 (at most 8 fl oz at once)"


def test_what_lies_in_the_void_is_taken_off(tmp_path: Path) -> None:
    # 21.797 cu in less 2 cu in.
    pour, told = poured(tmp_path, ("plan.yaml", "spare: 15 %", "spare: 15 %, embeds: 2 cu in"))
    assert float(pour.volume / INCH**3) == pytest.approx(9 * 1.25 * 1.9375 - 2)
    assert told["the bark pocket holds"].startswith("19.8 cu in")
    assert "less 2 cu in" in told["the bark pocket holds"]


def test_without_a_spare_the_table_says_what_is_usual(tmp_path: Path) -> None:
    pour, told = poured(tmp_path, ("plan.yaml", ", spare: 15 %", ""))
    assert (pour.spare_pct, pour.mixed) == (None, pour.volume)
    assert "5 to 10 % is usual" in told["to mix"]


def test_the_walls_to_seal_are_those_of_the_void(tmp_path: Path) -> None:
    # Right through: 2 (9 + 1 1/4) x 1 15/16 = 39.7 sq in.
    pour, told = poured(tmp_path)
    assert float(pour.walls / INCH**2) == pytest.approx(2 * (9 + 1.25) * 1.9375)
    assert told["seal first"].startswith("twice (40 sq in")


def test_what_is_usual_and_what_is_taught_stand_beside_each_other(tmp_path: Path) -> None:
    # Without figures of the sheet the table counts: 7 to 14 days, and two days as practitioners teach it.
    _, told = poured(tmp_path, ("shop.yaml", "    cure: 48 h\n", ""))
    assert told["to full cure"].startswith("14 days")
    assert "7 days" in told["to full cure"]
    assert "2 days, as practitioners teach it" in told["to full cure"]


def test_a_ratio_by_weight_alone_gives_volumes_by_the_densities(tmp_path: Path) -> None:
    # 100 to 43 by weight at 1.14 and 0.98 kg/l is 87.7 to 43.9 by volume.
    pour, _ = poured(tmp_path, ("shop.yaml", "ratio by volume: 2 to 1", "ratio by weight: 100 to 43"))
    assert pour.amounts is not None
    assert pour.amounts.a_g is not None
    assert pour.amounts.b_g is not None
    assert float(pour.amounts.a_g / pour.amounts.b_g) == pytest.approx(100 / 43)
    assert pour.amounts.a_mm3 is not None
    assert pour.amounts.b_mm3 is not None
    assert pour.amounts.a_mm3 + pour.amounts.b_mm3 == pour.mixed


parts = st.fractions(min_value=Fraction(1, 4), max_value=20, max_denominator=20)
densities = st.fractions(min_value=Fraction(4, 5), max_value=2, max_denominator=50)


@given(parts, parts, densities)
def test_of_two_ratios_one_density_gives_the_other(a: Fraction, b: Fraction, heavy: Fraction) -> None:
    other = heavy * Fraction(9, 10)
    mix = mix_of("x", by_volume=(a, b), by_weight=(a * heavy, b * other), density_a=heavy)
    assert mix is not None
    assert mix.density_b == other
    back = mix_of("x", by_volume=(a, b), by_weight=(a * heavy, b * other), density_b=other)
    assert back is not None
    assert back.density_a == heavy


@given(parts, parts, densities, st.fractions(min_value=Fraction(21, 20), max_value=3, max_denominator=20))
def test_figures_that_do_not_go_together_are_refused(a: Fraction, b: Fraction, heavy: Fraction, off: Fraction) -> None:
    with pytest.raises(TradeError) as caught:
        mix_of("x", by_volume=(a, b), by_weight=(a * heavy * off, b * heavy), density_a=heavy, density_b=heavy)
    assert caught.value.slug == "ratios-differ"


def test_no_ratio_is_no_mix() -> None:
    assert mix_of("x", density_a=Fraction(1)) is None


COAT = "finish: {product: our coat, coats: 2, thick: 1/16 in, floods: top}"
PRODUCT = """
  our coat:
    is: resin
    like: coating epoxy
    source: the product's own sheet (invented)
    ratio by volume: 1 to 1
    deepest pour: 1/8 in
    next pour: 6 h
"""


def test_a_coat_over_a_face_is_mixed_by_its_area(tmp_path: Path) -> None:
    book = tmp_path / "book"
    shutil.copytree(FIXTURE, book, ignore=shutil.ignore_patterns(".planbook"))
    plan_file, shop = next(book.rglob("plan.yaml")), book / "shop.yaml"
    finish = "finish: {product: hardwax oil, coats: 2, on: all faces of top alike}"
    assert finish in plan_file.read_text("utf-8")
    plan_file.write_text(plan_file.read_text("utf-8").replace(finish, COAT), "utf-8")
    shop.write_text(shop.read_text("utf-8").rstrip() + PRODUCT, "utf-8")
    findings = Findings()
    read = read_book(book, findings, Sources())
    assert read is not None
    plan = resolve(read.plans[0], read.shop, EDITIONS["imperial"], findings)
    assert plan is not None, [item.message for item in findings]
    coat = plan.pours[-1]
    # About 24 in by 16 in of slab, 1/16 in twice: its outline waves, so the area is that of the traced edge.
    area = float(coat.area / INCH**2)
    assert 24 * 15 < area < 24 * 17
    assert float(coat.volume / INCH**3) == pytest.approx(area / 8)
    assert (coat.coats, coat.pours, coat.amounts is not None) == (2, 2, True)
    told = {row["what"]: row["value"] for row in fills(plan)[-1]["rows"]}
    assert told["depth"] == '2 pours of ¹⁄₁₆"'
    assert fills(plan)[-1]["step"] == next(step.number for step in plan.steps if step.finishes)
