"""Diameters of bits in sentences: in the steps in which bits are sold, not in those of a rule."""

from __future__ import annotations

from pathlib import Path

import pytest
from fixtures.small_books import CASE, STEPS, make

JOINT = "ends: {butt: bottom, to: side, by: No. 8 x 2 in wood screw, each: 2, pilot: %s, clearance: %s}"


@pytest.mark.parametrize(
    ("edition", "told"),
    [("imperial", 'Bore ¹¹⁄₆₄", then ⁵⁄₆₄".'), ("metric", "Bore 4.5, then 2.5.")],
)
def test_pilot_and_clearance_are_told_as_the_bits_are(tmp_path: Path, edition: str, told: str) -> None:
    joint = JOINT % ("{imperial: 5/64 in, metric: 2.5 mm}", "{imperial: 11/64 in, metric: 4.5 mm}")
    prose = "- Bore {ends.clearance}, then {ends.pilot}."
    steps = STEPS.replace("dados", "ends").replace("- Cut and glue them.", prose)
    read = make(tmp_path, {**CASE, "joints": joint}, steps=steps)
    assert "".join(run.text for run in read.plan(edition).steps[-1].actions[0]) == told
