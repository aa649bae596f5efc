from __future__ import annotations

import datetime
from fractions import Fraction
from pathlib import Path

import pytest
from fixtures.small_books import CASE, Read, inches, make, shown, step_text

from planbook.plan.model import Plan

SIDE = "side: {of: ply, pair: left right, length: high, width: deep, on: floor}\n"


def material(plan: Plan, key: str) -> tuple[str, str, str]:
    found = next(item for item in plan.materials if item.key == key)
    return found.group, found.quantity, found.text


def ash(tmp_path: Path, stock: str = "{lumber: white ash, nominal: 5/4, to: 1 in}") -> Read:
    groups = {
        "stock": f"{CASE['stock']}\nash: {stock}",
        "parts": CASE["parts"]
        + "\nrail: {of: ash, count: 2, length: 23 in, width: 2 3/4 in, on: floor, flush: left, spread: front to back}",
    }
    return make(tmp_path, groups)


def test_board_feet_are_those_of_the_rough_pieces(tmp_path: Path) -> None:
    plan = ash(tmp_path).plan()
    rail = plan.part("rail")
    # 23 + 1 in long, 2 3/4 + 1/4 in wide, 5/4 rough: 2 x 24 x 3 x 1.25 / 144 = 1.25 board feet.
    assert (shown(rail.length.rough), shown(rail.width.rough)) == ("24 in", "3 in")
    total = next(item for item in plan.totals if item.stock == "ash")
    assert (total.board_feet, total.pieces) == (Fraction(5, 4), 2)
    assert total.length == inches("48")
    assert material(plan, "white ash") == ("wood", "1.3 board feet", "white ash, 5/4 rough")


def test_panels_add_up_by_area(tmp_path: Path) -> None:
    plan = make(tmp_path).plan()
    # Two sides of 40 x 10 in and a bottom of 29 x 10 in: 1090 sq in.
    total = plan.totals[0]
    assert (total.board_feet, total.pieces, total.area) == (None, 3, 1090 * Fraction(254, 10) ** 2)
    assert material(plan, "birch plywood") == ("wood", "7.6 sq ft", "birch plywood, 3/4 in")
    metric = make(tmp_path / "m").plan("metric")
    # 2 x 1020 x 250 + 736 x 250 mm2
    assert metric.totals[0].area == 694_000
    assert material(metric, "birch plywood")[1] == "0.69 m²"


def test_bought_things_for_each_part(tmp_path: Path) -> None:
    rest = (
        "bought:\n  foot: 4\n  pin: 4 for each side\n"
        "  screw: {count: 3 per left side, size: 1 1/2 in, says: brass screw}\n"
        "  glue: {amount: {imperial: 8 fl oz, metric: 250 ml}, kind: glue, note: PVA}\n"
    )
    plan = make(tmp_path, rest=rest).plan()
    assert [(item.key, item.count, item.text) for item in plan.bought] == [
        ("foot", 4, "foot"),
        ("pin", 8, "pin"),
        ("screw", 3, 'brass screw, 1¹⁄₂"'),
        ("glue", 1, "glue"),
    ]
    assert material(plan, "glue") == ("glue", "8 fl oz", "glue")
    assert material(make(tmp_path / "m", rest=rest).plan("metric"), "glue")[1] == "250 ml"


def test_a_bought_thing_is_named_as_each_trade_does(tmp_path: Path) -> None:
    says = "{imperial: No. 8 wood screw, metric: 4 mm wood screw}"
    size = "{imperial: 2 in, metric: 50 mm}"
    found = make(tmp_path, rest=f"bought:\n  screw: {{count: 4, size: {size}, says: {says}}}\n")
    assert found.plan("imperial").bought[0].text == 'No. 8 wood screw, 2"'
    assert found.plan("metric").bought[0].text == "4 mm wood screw, 50 mm"


@pytest.mark.parametrize(
    ("bought", "slug", "marked"),
    [
        ("pin: 4 for each sdie", "unknown-part", "sdie"),
        ("pin: some", "unknown-name", "some"),
        ("pin: 0", "wrong-number", "0"),
        ("pin: 2 in", "wrong-unit", "2 in"),
        ("glue: {amount: a lot}", "unknown-name", "a lot"),
        ("glue: {amount: 2 in}", "wrong-unit", "2 in"),
    ],
)
def test_bought_things_at_fault(tmp_path: Path, bought: str, slug: str, marked: str) -> None:
    found = make(tmp_path, rest=f"bought: {{{bought}}}\n")
    assert not any(found.plans.values())
    assert found.at(found.found(slug)) == marked


def test_a_measured_stock_gets_a_table_with_a_step_to_either_side(tmp_path: Path) -> None:
    groups = {"stock": CASE["stock"].replace("measured", "measure: yes, measured")}
    (table,) = make(tmp_path, groups).plan().measured
    assert [shown(mm) for mm in table.columns] == ["23/32 in", "3/4 in", "25/32 in"]
    rows = {name: [shown(mm) for mm in sizes] for name, sizes in table.rows}
    # 30 - 2 x 23/32 + 1/2 = 29 1/16
    assert rows == {
        "bottom, length": ["29 1/16 in", "29 in", "28 15/16 in"],
        "width of the dados": ["23/32 in", "3/4 in", "25/32 in"],
    }


def test_overall_comes_from_the_parts_and_a_true_claim_passes(tmp_path: Path) -> None:
    plan = make(tmp_path, rest="overall: {wide: wide, deep: 10 in, high: high}\n").plan()
    assert [shown(mm) for mm in plan.overall] == ["30 in", "10 in", "40 in"]


def test_a_false_claim_is_told_with_both_sizes(tmp_path: Path) -> None:
    found = make(tmp_path, rest="overall: {high: 41 in}\n")
    assert {item.message for item in found.stops()} == {
        "the piece is 40 in high, `overall` says 41 in",
        "the piece is 1020 mm high, `overall` says 1040 mm",
    }


def test_a_claim_is_not_compared_while_a_part_is_missing(tmp_path: Path) -> None:
    dims = CASE["dims"].replace("deep: 10 in", "deep: 10")
    found = make(tmp_path, {"dims": dims}, rest="overall: {deep: deep, high: 40 in}\n")
    assert {item.slug for item in found.stops()} == {"wrong-unit"}


def test_a_claim_finer_than_the_rule_is_no_fault(tmp_path: Path) -> None:
    dims = CASE["dims"].replace("deep: 10 in", "deep: 10.01 in")
    make(tmp_path, {"dims": dims}, rest="overall: {deep: deep}\n").plan()


def test_mass_is_volume_times_density(tmp_path: Path) -> None:
    plan = make(tmp_path).plan("metric")
    # 0.018 x (2 x 1.02 x 0.25 + 0.736 x 0.25) less two dados of 0.25 x 0.018 x 0.006 m3, 685 kg/m3.
    assert plan.mass is not None
    assert plan.stock[0].density == 685
    assert float(plan.mass) == pytest.approx(685 * (0.018 * 0.694 - 2 * 0.25 * 0.018 * 0.006))


@pytest.mark.parametrize(
    ("stock", "slug", "marked"),
    [
        ("{lumber: white ash, nominal: 4/4, to: 1 1/4 in}", "stock-too-thin", "1 1/4 in"),
        ("{lumber: white ahs, nominal: 4/4}", "unknown-wood", "white ahs"),
        ("{lumber: white ash}", "no-size", "ash"),
        ("{lumber: white ash, nominal: 7/5}", "unknown-thickness", "7/5"),
        ("{lumber: white ash, panel: birch plywood, nominal: 4/4}", "which-stock", "ash"),
        ("{nominal: 4/4}", "which-stock", "ash"),
        ("{panel: brich plywood, nominal: 3/4 in}", "unknown-panel", "brich plywood"),
        ("{panel: birch plywood, nominal: 3 in}", "unsold-thickness", "3 in"),
        ("{panel: birch plywood, nominal: 3/8 in + 3/8 in}", "unknown-thickness", "+ 3/8 in"),
        ("{panel: birch plywood, nominal: wide}", "unknown-thickness", "w"),
        ("{panel: birch plywood, nominal: 3/4 in, to: 1/2 in}", "wrong-word", "ash"),
        ("{panel: birch plywood, nominal: 3/4 in, measured: 0 in}", "no-size", "0 in"),
        ("{panel: birch plywood, nominal: 3/4 in, measure: maybe}", "wrong-word", "maybe"),
    ],
)
def test_stock_that_nobody_sells(tmp_path: Path, stock: str, slug: str, marked: str) -> None:
    found = ash(tmp_path, stock)
    assert not any(found.plans.values())
    assert found.at(found.found(slug)) == marked


def test_stock_that_nothing_is_made_of(tmp_path: Path) -> None:
    stock = f"{CASE['stock']}\nthin: {{panel: birch plywood, nominal: 1/4 in}}"
    assert "nothing is made of the stock `thin`" in make(tmp_path, {"stock": stock}).found("unused-name").message


def test_a_stock_in_use_is_not_called_unused_because_its_part_is_at_fault(tmp_path: Path) -> None:
    found = make(tmp_path, {"parts": SIDE + "bottom: {of: ply, between: side, width: depe, on: floor}"})
    assert found.slugs() == ["unknown-name"]


def test_the_title_page(tmp_path: Path) -> None:
    title = "title: Case\nsummary: A case.\nlevel: advanced\nrevision: C\nrevised: 2026-01-31\nlearn: to make *it*"
    rest = "loads: {bottom: books}\naccept: {fit-lost: it is planed}\n"
    plan = make(tmp_path, {"plan": title}, rest=rest).plan()
    assert (plan.slug, plan.title, plan.summary, plan.level, plan.revision) == (
        "piece",
        "Case",
        "A case.",
        "advanced",
        "C",
    )
    assert plan.revised == datetime.date(2026, 1, 31)
    assert plan.loads == (("bottom", "books"),)
    assert plan.accepted == (("fit-lost", "it is planed"),)
    assert [run.text for run in plan.learn] == ["to make ", "it"]


def test_a_wrong_date(tmp_path: Path) -> None:
    title = "title: Case\nrevised: 31 January"
    assert make(tmp_path, {"plan": title}).found("wrong-date").help == "write it as 2026-03-14"


def test_a_plan_without_parts_is_told(tmp_path: Path) -> None:
    found = make(tmp_path, {"parts": "", "joints": ""}, rest="parts: {}\n", steps=step_text("Do it", ""))
    assert [item.message for item in found.stops()] == ["the plan has no parts"]


def test_other_values_can_be_tried(tmp_path: Path) -> None:
    from planbook.plan.resolve import resolve
    from planbook.source.diagnostics import Findings
    from planbook.units.editions import METRIC

    book = make(tmp_path).book
    assert book is not None
    findings = Findings()
    wider = resolve(book.plans[0], book.shop, METRIC, findings, dims={"wide": Fraction(900)})
    thinner = resolve(book.plans[0], book.shop, METRIC, findings, thickness={"ply": Fraction(15)})
    assert wider is not None
    assert thinner is not None
    assert not len(findings)
    assert (wider.part("bottom").length.final, thinner.part("bottom").length.final) == (876, 742)


def test_layers_glued_face_to_face_are_sawn_one_by_one(tmp_path: Path) -> None:
    from planbook.cutting.demand import wanted_of
    from planbook.cutting.practice import USUAL

    parts = "slab: {of: ply, length: 20 in, width: 8 in, layers: 3, on: floor, centred: across, flush: front}"
    steps = step_text("Make it", "cuts: [slab], sets: [slab]")
    read = make(tmp_path, {"parts": parts, "joints": ""}, steps=steps)
    assert read.slugs() == []
    plan = read.plan()
    part = plan.part("slab")
    assert (shown(part.thick), part.count, part.pieces) == ("2 1/4 in", 1, 3)
    assert part.note == "glued up from 3 layers"
    assert plan.totals[0].pieces == 3
    assert sum(entry.count for entry in wanted_of(plan, plan.stock[0], USUAL["imperial"])) == 3
