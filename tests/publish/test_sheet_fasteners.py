"""The fastener schedule: holes by the density of the wood, bits of the edition's series with their error, and hold."""

from __future__ import annotations

import csv
import io
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from fixtures.target_books import target_plan

from planbook.plan.model import Plan
from planbook.plan.resolve import resolve
from planbook.plan.shop_rows import ShopRows, rows_of
from planbook.publish.sheet_fasteners import TITLES, fasteners, fasteners_table
from planbook.source.book import read_book
from planbook.source.diagnostics import Findings
from planbook.source.files import Sources
from planbook.trade.density import gravity_ovendry
from planbook.trade.species import find_wood
from planbook.units.editions import EDITIONS

PLAN = """\
plan: {title: Three boards, level: first}
dims: {wide: 20 in}
stock:
  hard: {lumber: hard maple, nominal: 4/4, to: {imperial: 3/4 in, metric: 19 mm}}
  light: {lumber: eastern white pine, nominal: 4/4, to: {imperial: 3/4 in, metric: 19 mm}}
  sheet: {panel: birch plywood, nominal: 3/4 in}
parts:
  low: {of: hard, length: wide, width: 6 in, runs: across, faces: up, on: floor, centred: across, flush: front}
  cleat: {of: light, length: wide, width: 2 in, runs: across, faces: up, on: low, centred: across, flush: front}
  top: {of: sheet, length: wide, width: 6 in, runs: across, faces: up, on: cleat, centred: across, flush: front}
joints:
  low screws: {through: cleat, into: low, by: No. 8 x 1 1/4 in wood screw, each: 4}
  top screws: {through: top, into: cleat, by: No. 8 x 1 1/4 in wood screw, each: 3}
bought:
  spare screw: {count: 2, says: "No. 6 wood screw"}
"""
STEPS = """\
Three invented boards.

## Saw them

```step
{cuts: [low, cleat, top], with: [], time: {each: 1 min}}
```

- Saw all three.

## Screw them

```step
{sets: [low], joins: [low screws, top screws], with: [], time: {each: 1 min}}
```

- Screw them to one another.
"""


@cache
def boards(edition: str) -> tuple[Plan, ShopRows]:
    findings = Findings()
    with TemporaryDirectory() as folder:
        book = Path(folder)
        (book / "plans" / "boards").mkdir(parents=True)
        (book / "planbook.yaml").write_text("shop: Invented\ntitle: Invented\n", "utf-8")
        (book / "plans" / "boards" / "plan.yaml").write_text(PLAN, "utf-8")
        (book / "plans" / "boards" / "steps.md").write_text(STEPS, "utf-8")
        read = read_book(book, findings, Sources())
    assert read is not None
    plan = resolve(read.plans[0], read.shop, EDITIONS[edition], findings)
    assert plan is not None, [item.message for item in findings]
    return plan, rows_of(read.shop)


def schedule(edition: str) -> dict[str, dict[str, Any]]:
    plan, own = boards(edition)
    return {row["joint"] or row["name"]: row for row in fasteners(plan, own)}


def hole(row: dict[str, Any], what: str) -> dict[str, str]:
    (found,) = (each for each in row["holes"] if each["what"].startswith(what))
    return found


def test_pilots_follow_the_density_of_the_wood_that_holds() -> None:
    # NDS: 90 % of the root in wood of gravity 0.60 and more, 70 % below; root of a No. 8: 0.112 in (traditional chart).
    hard, light = schedule("imperial")["low screws"], schedule("imperial")["top screws"]
    assert hole(hard, "pilot")["bit"] == '³⁄₃₂"'
    assert hole(hard, "pilot")["off"] == "wants 0.101 in, 0.007 in smaller"
    assert hole(light, "pilot")["bit"] == '⁵⁄₆₄"'
    assert hole(light, "pilot")["what"] == "pilot, if near an end"
    assert any("clear the chips" in remark for remark in hard["remarks"])
    assert light["remarks"] == []


def test_what_is_passed_gets_clearance_and_a_countersink() -> None:
    row = schedule("imperial")["low screws"]
    assert (hole(row, "clearance")["bit"], hole(row, "clearance")["where"]) == ('¹¹⁄₆₄"', "B")
    # ASME B18.6.1: flat head of a No. 8 is 0.332 in at most, 82 degrees.
    assert hole(row, "countersink")["bit"] == "0.332 in across, 82°"
    assert (row["count"], row["step"], row["slug"]) == (4, 2, "screw-them")


def test_the_metric_edition_has_screws_and_bits_of_its_own() -> None:
    row = schedule("metric")["low screws"]
    assert row["name"] == "4 x 30 mm wood screw"
    assert hole(row, "pilot")["bit"] == "3 mm"
    assert row["hold"].endswith("N each")


@pytest.mark.parametrize(("joint", "wood", "count"), [("low screws", "hard maple", 4)])
def test_hold_is_that_of_the_design_code(joint: str, wood: str, count: int) -> None:
    # NDS: W = 2850 G^2 D lb on each inch of thread in the last piece: 1 1/4 in less 3/4 in, of which all is thread.
    gravity = float(gravity_ovendry(find_wood(wood)))
    pounds = 2850 * gravity**2 * 0.164 * 0.5
    assert schedule("imperial")[joint]["hold"].startswith(f"{round(pounds)} lbf each, straight out")
    assert f"{round(pounds) * count} lbf together" in schedule("imperial")[joint]["hold"]


def test_a_screw_without_a_joint_is_told_for_the_wood_of_the_plan() -> None:
    row = schedule("imperial")["No. 6 wood screw"]
    assert row["count"] == 2
    assert hole(row, "pilot")["where"].startswith("in ")


def test_bolts_into_inserts_show_the_hole_of_the_insert() -> None:
    (row,) = fasteners(target_plan("c", "imperial"), ShopRows())
    assert hole(row, "insert")["bit"] == '³⁄₈", ⁹⁄₁₆" deep'
    assert any("maker prints" in remark for remark in row["remarks"])


def test_every_figure_of_the_schedule_names_its_source() -> None:
    for edition in ("imperial", "metric"):
        for row in schedule(edition).values():
            asked = {each["what"].split(",")[0] for each in row["holes"]} | ({"hold"} if row["hold"] else set())
            assert asked <= {source.partition(":")[0].split(",")[0] for source in row["sources"]}


def test_the_table_has_a_line_for_each_hole() -> None:
    plan, own = boards("imperial")
    rows = fasteners(plan, own)
    lines = list(csv.reader(io.StringIO(fasteners_table(rows).decode("utf-8"))))
    assert tuple(lines[0]) == TITLES
    assert len(lines) - 1 == sum(max(1, len(row["holes"])) for row in rows)
