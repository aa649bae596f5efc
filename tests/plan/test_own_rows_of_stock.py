"""Woods and sheet goods of a book's own, used as stock of a plan."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from planbook.cutting.shop import practice_of
from planbook.plan.model import Plan
from planbook.plan.resolve import resolve
from planbook.plan.shop_rows import shop_rows
from planbook.source.book import read_book
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.units.editions import EDITIONS

SHOP = """\
woods:
  field acacia: {source: own measurement, density: 610, along rings: 7.2 %, stiffness: 11000, also: [our acacia]}
panels:
  poplar plywood:
    source: own measurement
    sold: {12 mm: 11.8 mm, 3/4 in: 23/32 in, 18 mm: 17.6 mm}
    density: 450
    sheet: {imperial: 49 in x 97 in, metric: 1250 mm x 2500 mm}
    like: birch plywood
"""
PLAN = """\
plan: {title: Two boards, level: first}
dims: {wide: 20 in}
stock:
  solid: {lumber: our acacia, nominal: 4/4}
  ply: {panel: poplar plywood, nominal: 3/4 in}
parts:
  top: {of: solid, length: wide, width: 6 in, runs: across, faces: up, on: floor, centred: across, flush: front}
  low: {of: ply, length: wide, width: 6 in, runs: across, faces: up, on: top, centred: across, flush: front}
"""
STEPS = """\
Two invented boards.

## Saw and lay them

```step
{cuts: [top, low], sets: [top, low], with: [], time: {each: 1 min}}
```

- Saw both and lay one on the other.
"""


def _book(folder: Path, shop: str = SHOP, plan: str = PLAN) -> Path:
    (folder / "plans" / "boards").mkdir(parents=True)
    (folder / "planbook.yaml").write_text("shop: Invented\ntitle: Invented\n", "utf-8")
    (folder / "shop.yaml").write_text(shop, "utf-8")
    (folder / "plans" / "boards" / "plan.yaml").write_text(plan, "utf-8")
    (folder / "plans" / "boards" / "steps.md").write_text(STEPS, "utf-8")
    return folder


def _resolved(folder: Path, edition: str, **texts: str) -> tuple[Plan | None, Findings]:
    findings = Findings()
    book = read_book(_book(folder, **texts), findings, Sources())
    assert book is not None
    shop_rows(book.shop, findings)
    return resolve(book.plans[0], book.shop, EDITIONS[edition], findings), findings


@pytest.mark.parametrize(("edition", "thick"), [("imperial", Fraction(2921, 160)), ("metric", Fraction(18))])
def test_stock_of_the_books_own_gives_thickness_mass_and_sheet(tmp_path: Path, edition: str, thick: Fraction) -> None:
    plan, findings = _resolved(tmp_path, edition)
    assert not list(findings)
    assert plan is not None
    ply = plan.stock_named("ply")
    assert ply.thickness == thick  # 23/32 in; 17.6 mm on the millimetre
    assert (ply.material, ply.known_as) == ("poplar plywood", "birch plywood")
    wide = Fraction(49 * 254, 10) if edition == "imperial" else Fraction(1250)
    assert ply.sheet is not None
    assert ply.sheet[0] == wide
    assert (plan.stock_named("solid").density, ply.density) == (610, 450)
    volumes = [part.length.final * part.width.final * part.thick for part in plan.parts]
    assert plan.mass == (volumes[0] * 610 + volumes[1] * 450) / 10**9


@pytest.mark.parametrize(
    ("old", "new", "slug", "words"),
    [
        ("density: 610, ", "", "no-density", "`field acacia` has no density"),
        ("density: 610", "density: 0", "no-density", "0"),
        ("along rings: 7.2 %, ", "", "no-movement", "`field acacia` has no movement"),
        ("{source: own measurement, density", "{density", "no-source", "`field acacia` names no source"),
        ("like: birch plywood", "like: birtch plywood", "unknown-panel", "`birtch plywood`"),
        ("    density: 450\n", "    density: heavy\n", "missing-number", "a number is missing"),
        ("12 mm: 11.8 mm", "12 mm: 11.8 kg", "wrong-unit", "`11.8 kg` is no thickness"),
        ("49 in x 97 in", "49 in", "wrong-unit", "`49 in` is no size of a sheet"),
    ],
)
def test_a_fault_of_an_own_row_is_told_at_its_place(tmp_path: Path, old: str, new: str, slug: str, words: str) -> None:
    assert old in SHOP
    _, findings = _resolved(tmp_path, "imperial", shop=SHOP.replace(old, new, 1))
    told = [item for item in findings if item.span is not None and item.span.file.endswith("shop.yaml")]
    assert [item.slug for item in told] == [slug]
    assert words in told[0].message


def test_a_wood_nobody_knows_names_the_books_own_among_the_nearest(tmp_path: Path) -> None:
    plan, findings = _resolved(tmp_path, "metric", plan=PLAN.replace("our acacia", "field acacea"))
    (told,) = (item for item in findings if item.slug == "unknown-wood")
    assert plan is None
    assert told.help is not None
    assert "`field acacia`" in told.help


@pytest.mark.parametrize("word", ["deepest pour: 0 in", "pot life: 0 min", "covers: -1"])
def test_a_figure_of_a_product_is_more_than_nothing(tmp_path: Path, word: str) -> None:
    row = f"products:\n  clear pour: {{is: resin, like: deep-pour epoxy, source: own measurement, {word}}}\n"
    findings = Findings()
    read = read_book(_book(tmp_path, SHOP + row), findings, Sources())
    assert read is not None
    shop_rows(read.shop, findings)
    name = word.partition(":")[0]
    stops = [item for item in findings if item.slug == "not-positive"]
    assert stops
    assert f"`{name}` of `clear pour`" in stops[0].message


def test_a_tool_of_no_kind_is_told_with_the_nearest(tmp_path: Path) -> None:
    findings = Findings()
    read_book(_book(tmp_path, SHOP + "tools:\n  saw: {does: Saws., kind: power tol}\n"), findings, Sources())
    (warning,) = findings
    assert (warning.slug, warning.help) == ("wrong-word", "write `power tool`")


def test_a_part_is_glued_up_from_strips_that_have_a_width(tmp_path: Path) -> None:
    findings = Findings()
    plan = PLAN.replace("of: solid,", "of: solid, glue up: strips up to 0 in,")
    read = read_book(_book(tmp_path, plan=plan), findings, Sources())
    assert read is not None
    resolve(read.plans[0], read.shop, EDITIONS["imperial"], findings)
    assert "strips up to 0 in wide are none" in [item.message for item in findings if item.slug == "no-size"]


def test_a_joint_to_mask_that_is_misspelled_is_told(tmp_path: Path) -> None:
    findings = Findings()
    plan = PLAN + (
        "joints:\n  long seam: {butt: low, to: top, by: glue}\n"
        "finish: {product: oil, mask: [long seem, the ends, long seam]}\n"
    )
    read = read_book(_book(tmp_path, plan=plan), findings, Sources())
    assert read is not None
    resolve(read.plans[0], read.shop, EDITIONS["imperial"], findings)
    told = [(item.message, item.help) for item in findings if "to mask" in item.message]
    assert told == [("there is no joint `long seem` to mask", "write `long seam`")]


def test_a_board_on_hand_is_of_a_wood_that_is_known(tmp_path: Path) -> None:
    boards = "boards:\n" + "".join(
        f"  b{place}: {{of: {wood}, thick: 2 in, length: 62 in, width: 6 in}}\n"
        for place, wood in enumerate(("our acacia", "White Ash", "wite ash"))
    )
    findings = Findings()
    read = read_book(_book(tmp_path, SHOP + boards), findings, Sources())
    assert read is not None
    practice_of(read.shop, EDITIONS["imperial"], findings)
    (warning,) = findings
    assert (warning.slug, warning.help) == ("unknown-wood", "write `white ash` or `white oak`")
    assert "the board `b2` is of `wite ash`" in warning.message
