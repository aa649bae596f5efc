"""Scales against ISO 5455:1979 and the arithmetic of US architectural scales."""

from __future__ import annotations

from fractions import Fraction

import pytest

from planbook.drawing.scales import INCH_SCALES, METRIC_SCALES, scale_bar
from planbook.units.editions import IMPERIAL, METRIC


def test_metric_reductions_are_those_of_iso_5455() -> None:
    # ISO 5455:1979, table of recommended scales: full size and reductions. 1:2.5 is not among them.
    assert [int(scale.ratio) for scale in METRIC_SCALES] == [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000]


@pytest.mark.parametrize(
    ("inches", "ratio"),
    # Arithmetic: 12 divided by the inches that stand for one foot.
    [("3", 4), ("1 1/2", 8), ("1", 12), ("3/4", 16), ("1/2", 24), ("1/4", 48), ("1/8", 96), ("3/32", 128)],
)
def test_architectural_scales(inches: str, ratio: int) -> None:
    found = {scale.text: scale.ratio for scale in INCH_SCALES}
    assert found[f"{inches} in = 1 ft"] == Fraction(ratio)


def test_six_feet_at_a_quarter_inch_to_the_foot_is_an_inch_and_a_half() -> None:
    quarter = next(scale for scale in INCH_SCALES if scale.text.startswith("1/4"))
    assert 6 * 12 * quarter.factor == pytest.approx(1.5)


@pytest.mark.parametrize("edition", [IMPERIAL, METRIC])
def test_scale_bars_are_whole_steps_of_a_length_to_be_measured(edition: object) -> None:
    for scale in INCH_SCALES if edition is IMPERIAL else METRIC_SCALES:
        bar = scale_bar(scale, edition)  # type: ignore[arg-type]
        drawn = float(bar.step) * bar.steps * scale.factor
        if scale.ratio <= 100:
            assert 20 <= drawn <= 40
