from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from checks.altered import INCH, MM, found, with_cuts, with_part, written
from sample_plan import bookcase

from planbook.plan.model import Box, Cut, CutKind, Plan, Size
from planbook.source.diagnostics import Severity
from planbook.units.factors import FOOT


def sawn(plan: Plan, key: str, length: Fraction, width: Fraction) -> Plan:
    return with_part(plan, key, length=Size(final=length, rough=length), width=Size(final=width, rough=width))


def test_a_part_of_the_size_of_the_sheet_passes():
    assert found("part-too-large", sawn(bookcase(), "top", 96 * INCH, 48 * INCH)) == ()


@pytest.mark.parametrize("size", [(96 + Fraction(1, 32), 12), (97, 49), (50, 97)])
def test_a_part_larger_than_the_sheet_stops_the_plan(size: tuple[Fraction, Fraction]):
    plan = sawn(bookcase(), "top", size[0] * INCH, size[1] * INCH)
    (item,) = found("part-too-large", plan)
    assert item.severity is Severity.STOP
    assert "larger than a sheet of 48 in by 96 in" in item.message


def test_a_part_that_fits_across_the_sheet_only_is_doubtful():
    (item,) = found("part-too-large", sawn(bookcase(), "top", 40 * INCH, 60 * INCH))
    assert item.severity is Severity.WARN
    assert "only with the grain across it" in item.message


def long_strip(plan: Plan, mm: Fraction) -> Plan:
    strip = plan.part("lip of side")
    return with_part(plan, "lip of side", length=replace(strip.length, rough=mm))


def test_a_board_longer_than_sixteen_feet_is_doubtful():
    (item,) = found("part-too-large", long_strip(bookcase(), 16 * FOOT + INCH))
    assert item.severity is Severity.WARN
    assert item.rule is not None
    assert "NHLA" in item.rule
    assert "up to 192 in" in item.message
    assert found("part-too-large", long_strip(bookcase(), 16 * FOOT)) == ()


def test_the_metric_edition_has_its_own_longest_board():
    (item,) = found("part-too-large", long_strip(bookcase("metric"), Fraction(4801)))
    assert "up to 4800 mm" in item.message
    assert found("part-too-large", long_strip(bookcase("metric"), Fraction(4800))) == ()


def test_a_part_thicker_than_its_stock_stops_the_plan():
    ply = bookcase().stock_named("ply").thickness
    (item,) = found("stock-too-thin", with_part(bookcase(), "top", thick=ply + INCH / 32))
    assert item.severity is Severity.STOP
    assert "`top` is 3/4 in thick, its stock `ply` has 23/32 in" in item.message
    assert found("stock-too-thin", with_part(bookcase(), "top", thick=ply - INCH / 32)) == ()


def test_a_strip_may_lie_either_way_in_its_board():
    maple = bookcase().stock_named("maple").thickness
    wide = Size(final=2 * maple, rough=2 * maple)
    assert found("stock-too-thin", with_part(bookcase(), "lip of side", thick=maple, width=wide)) == ()
    (item,) = found("stock-too-thin", with_part(bookcase(), "lip of side", thick=maple + MM, width=wide))
    assert "`lip of side`" in item.message


def deepened(deep: Fraction) -> Plan:
    thick = bookcase().part("side").thick

    def change(cut: Cut) -> Cut:
        box = Box(cut.box.l, cut.box.w, (thick - deep, thick))
        return replace(cut, deep=deep, box=box) if cut.kind is CutKind.DADO else cut

    return with_cuts(bookcase(), "side", change)


def test_a_dado_deeper_than_half_the_thickness_is_doubtful():
    thick = bookcase().part("side").thick
    assert found("little-wood-left", deepened(thick / 2)) == ()
    (item,) = found("little-wood-left", deepened(thick / 2 + MM))
    assert item.severity is Severity.WARN
    assert item.rule == "common practice, no source"


def with_opposite(deep: Fraction, shift: Fraction) -> Plan:
    side = bookcase().part("side")
    first = side.cuts[0]
    along = (first.box.l[0] + shift, first.box.l[1] + shift)
    other = replace(first, name="outer dado", face="outside", deep=deep, box=Box(along, first.box.w, (MM * 0, deep)))
    return with_part(bookcase(), "side", cuts=(*side.cuts, other))


def test_dados_on_both_faces_are_added():
    side = bookcase().part("side")
    rest = side.thick / 2 - side.cuts[0].deep
    assert found("little-wood-left", with_opposite(rest, MM * 0)) == ()
    (item,) = found("little-wood-left", with_opposite(rest + MM, MM * 0))
    assert "`shelf dados` with `outer dado` on both faces" in item.message
    assert found("little-wood-left", with_opposite(rest + MM, side.thick)) == ()


WIDE = (
    ("maple: {lumber: hard maple, nominal: 4/4, to: 3/4 in}", "maple: {lumber: hard maple, nominal: 4/4, to: 3/4 in}\n"
     "  board: {lumber: hard maple, nominal: 4/4, to: 23/32 in}"),
    ("top:         {like: bottom,", "top:         {like: bottom, of: board, %s"),
)  # fmt: skip


def test_a_wide_board_that_nobody_glues_up_is_noted(tmp_path: Path):
    changes = (WIDE[0], (WIDE[1][0], WIDE[1][1] % ""))
    (item,) = found("too-wide-for-board", written(tmp_path, *changes))
    assert item.severity is Severity.NOTE
    assert "`top` is sawn" in item.message
    assert "up to 10 in" in item.message


def test_a_board_that_is_glued_up_may_be_wide(tmp_path: Path):
    changes = (WIDE[0], (WIDE[1][0], WIDE[1][1] % "glue up: strips up to 4 in,"))
    assert found("too-wide-for-board", written(tmp_path, *changes)) == ()


@pytest.mark.parametrize(("nominal", "limit"), [("1 x 8", "7 1/4 in"), ("1 x 10", "9 1/4 in")])
def test_a_softwood_board_has_its_own_width(tmp_path: Path, nominal: str, limit: str):
    # PS 20-20, dressed widths of boards: nominal 8 in is 7 1/4 in, 10 in is 9 1/4 in.
    first = (WIDE[0][0], WIDE[0][0] + f"\n  board: {{lumber: eastern white pine, nominal: {nominal}}}")
    subject = written(tmp_path, first, (WIDE[1][0], WIDE[1][1] % ""))
    (item,) = found("too-wide-for-board", subject)
    assert f"up to {limit}" in item.message
    assert item.rule is not None
    assert "PS 20" in item.rule
