from __future__ import annotations

from pathlib import Path

import pytest
from checks.altered_bench import outcomes, side_table, told


def limited(limit: str) -> tuple[str, str]:
    return "deepest pour: 2 in", f"deepest pour: {limit}"


@pytest.mark.parametrize(("limit", "message"), [("1 in", "2 pours of 31/32 in"), ("2 in", "")])
def test_a_deep_fill_takes_several_pours_and_the_step_says_so(tmp_path: Path, limit: str, message: str) -> None:
    shallow = side_table(tmp_path, limited(limit), ("and {fill.pours} pour.", "."))
    found = told("pours-unsaid", shallow)
    assert [message in item.message for item in found] == [True] * bool(message)
    if message:
        assert "step 3 does not speak of 2 pours" in found[0].message
        spoken = side_table(tmp_path, limited(limit), ("and {fill.pours} pour.", "in two pours."))
        assert told("pours-unsaid", spoken) == ()


WARM = "Slab and room want {fill.temperature}."


@pytest.mark.parametrize(("says", "message"), [
    ("Slab and room want {60 °F}.", "at 60 °F, 70 °F is the least"),
    ("Slab and room want {72 °F}.", ""),
    ("Slab and room want {70 °F}.", ""),
    ("", "does not say how warm, 70 °F is the least"),
])  # fmt: skip
def test_a_pour_is_warm_enough(tmp_path: Path, says: str, message: str) -> None:
    found = told("pour-too-cold", side_table(tmp_path, (WARM, says)))
    assert [message in item.message for item in found] == [True] * bool(message)


def test_the_metric_edition_reads_degrees_celsius(tmp_path: Path) -> None:
    (item,) = told("pour-too-cold", side_table(tmp_path, (WARM, "Slab and room want {60 °F}."), edition="metric"))
    assert "°C is the least" in item.message


def test_bare_wood_is_sealed_before_it_is_filled(tmp_path: Path) -> None:
    assert outcomes("void-unsealed", side_table(tmp_path))["fill"].figure == "sealed twice"
    silent = (("proud: 1/16 in, seal: twice, dam", "proud: 1/16 in, dam"), ("## Dam, seal and pour", "## Dam and pour"))
    (item,) = told("void-unsealed", side_table(tmp_path, *silent))
    assert "the wood round `fill` is sealed" in item.message
