from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import bench, outcomes, piece, told

HOLES = (
    "wire bore: {in: bottom, on: upper face, rows: [2 in from front], start: 3 in from left end, count: 1, "
    "drill: DRILL, deep: through, role: wire}"
)


def lit(tmp_path: Path, drill: str = "5/8 in", note: str = "plug 1/2 in", supply: str = "20 W") -> list[str]:
    holes = HOLES.replace("DRILL", drill)
    bought = f'light strip: {{count: 1, note: "{note}, 12 W"}}\nsupply: {{count: 1, note: "listed, {supply}"}}'
    return [item.message for item in told("lamp-wire", piece(tmp_path, {"holes": holes, "bought": bought}))]


@pytest.mark.parametrize(("drill", "narrow"), [("1/2 in", True), ("9/16 in", False), ("5/8 in", False)])
def test_the_plug_passes_its_bore(tmp_path: Path, drill: str, narrow: bool) -> None:
    assert (
        lit(tmp_path, drill)
        == ["the bore `wire bore` in `bottom` is 1/2 in, the plug of `light strip` wants 9/16 in"] * narrow
    )


@pytest.mark.parametrize(("supply", "weak"), [("12 W", True), ("14 W", True), ("15 W", False)])
def test_a_supply_is_loaded_to_four_fifths(tmp_path: Path, supply: str, weak: bool) -> None:
    found = lit(tmp_path, supply=supply)
    assert bool(found) is weak
    if weak:
        assert f"the lamps take 12 W, `supply` gives {supply}" in found[0]


def test_a_plug_of_unknown_size_is_not_judged(tmp_path: Path) -> None:
    holes = HOLES.replace("DRILL", "1/2 in")
    subject = piece(tmp_path, {"holes": holes, "bought": "light strip: 1"})
    assert told("lamp-wire", subject) == ()
    assert "how wide its plug is" in outcomes("lamp-wire", subject)["wire bore"].missing


def test_without_wires_nothing_is_looked_at(tmp_path: Path) -> None:
    assert outcomes("lamp-wire", bench(tmp_path)) == {}
