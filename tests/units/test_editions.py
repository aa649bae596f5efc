from __future__ import annotations

from fractions import Fraction
from itertools import accumulate, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planbook.units.editions import (
    EDITIONS,
    IMPERIAL,
    METRIC,
    Edition,
    Kind,
    grid_mm,
    nearest_step,
    round_to_grid,
    snap,
)
from planbook.units.factors import INCH
from planbook.units.quantity import UnitError

editions = st.sampled_from(list(EDITIONS.values()))
lengths = st.fractions(min_value=-5000, max_value=5000, max_denominator=1000)


def inches(value: Fraction | int) -> Fraction:
    return value * INCH


@given(lengths, editions)
def test_snapping_twice_changes_nothing(mm: Fraction, edition: Edition) -> None:
    once = snap(mm, edition)
    assert snap(once, edition) == once
    assert abs(once - mm) <= edition.resolution / 2
    assert (once / edition.resolution).denominator == 1


@given(lengths, editions)
def test_snapping_is_even_about_zero(mm: Fraction, edition: Edition) -> None:
    assert snap(-mm, edition) == -snap(mm, edition)


@pytest.mark.parametrize(
    ("value", "expected"),
    [(Fraction(1, 2), 1), (Fraction(3, 2), 2), (Fraction(-1, 2), -1), (Fraction(49, 100), 0), (Fraction(-5, 2), -3)],
)
def test_halves_go_away_from_zero(value: Fraction, expected: int) -> None:
    assert nearest_step(value, Fraction(1)) == expected


@given(st.lists(st.fractions(min_value=1, max_value=300, max_denominator=97), min_size=1, max_size=12), editions)
def test_chains_close_when_places_are_rounded(sizes: list[Fraction], edition: Edition) -> None:
    """Places from the datum are rounded, sizes follow: then the sizes add up to the whole."""
    places = [Fraction(0), *(snap(place, edition) for place in accumulate(sizes))]
    steps = [after - before for before, after in pairwise(places)]
    assert sum(steps) == snap(sum(sizes, Fraction(0)), edition)
    assert all(snap(step, edition) == step for step in steps)


def test_chain_of_rounded_sizes_may_not_close() -> None:
    """Why places are rounded and not sizes: five sizes of 10.4 mm are 52 mm, five rounded ones 50."""
    assert sum(snap(Fraction(104, 10), METRIC) for _ in range(5)) == 50
    assert snap(5 * Fraction(104, 10), METRIC) == 52


@pytest.mark.parametrize(
    ("kind", "written", "expected"),
    [
        ("overall", inches(30), Fraction(760)),
        ("overall", inches(47), Fraction(1190)),
        ("part", inches(3), Fraction(75)),
        ("joinery", inches(Fraction(1, 4)), Fraction(6)),
        ("joinery", inches(Fraction(1, 16)), Fraction(2)),
        ("joinery", inches(Fraction(1, 64)), Fraction(0)),
    ],
)
def test_inch_sizes_in_the_metric_edition(kind: Kind, written: Fraction, expected: Fraction) -> None:
    assert round_to_grid(written, kind, METRIC, native=False) == expected


@pytest.mark.parametrize(
    ("kind", "written", "expected"),
    [
        ("overall", Fraction(760), inches(30)),
        ("overall", Fraction(1200), inches(Fraction(189, 4))),
        ("part", Fraction(75), inches(3)),
        ("joinery", Fraction(6), inches(Fraction(1, 4))),
        ("joinery", Fraction(8), inches(Fraction(5, 16))),
    ],
)
def test_metric_sizes_in_the_inch_edition(kind: Kind, written: Fraction, expected: Fraction) -> None:
    assert round_to_grid(written, kind, IMPERIAL, native=False) == expected


@given(st.integers(-2000, 2000), st.sampled_from(["overall", "part", "joinery"]), editions)
def test_native_sizes_on_the_resolution_never_move(count: int, kind: Kind, edition: Edition) -> None:
    mm = count * edition.resolution
    assert round_to_grid(mm, kind, edition, native=True) == mm


@given(lengths, st.sampled_from(["overall", "part", "joinery"]), editions)
def test_grid_sizes_are_writable(mm: Fraction, kind: Kind, edition: Edition) -> None:
    rounded = round_to_grid(mm, kind, edition, native=False)
    assert snap(rounded, edition) == rounded
    assert abs(rounded - mm) <= grid_mm(kind, edition) / 2


def test_resolutions() -> None:
    coarse = IMPERIAL.with_resolution(INCH / 16)
    assert snap(inches(Fraction(23, 32)), coarse) == inches(Fraction(3, 4))
    assert grid_mm("joinery", coarse) == INCH / 16
    assert METRIC.with_resolution(Fraction(1, 2)).resolution == Fraction(1, 2)
    for edition, wrong in ((IMPERIAL, Fraction(1)), (IMPERIAL, INCH / 10), (METRIC, INCH / 32), (METRIC, Fraction(0))):
        with pytest.raises(UnitError, match="cannot be rounded"):
            edition.with_resolution(wrong)
