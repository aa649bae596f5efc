from __future__ import annotations

import subprocess
import sys
from fractions import Fraction

import pytest

from planbook.units.factors import FOOT
from planbook.units.quantity import LENGTH, Quantity, UnitError
from planbook.units.unusual import read_unusual


def test_a_unit_of_pint() -> None:
    assert read_unusual("3 rod").dimension == LENGTH
    assert read_unusual("2 thou").value == Fraction(2 * 254, 10_000)
    assert read_unusual("1/2 mile") == Quantity(2640 * FOOT, LENGTH)


def test_our_own_units_win() -> None:
    assert read_unusual("3 in") == Quantity(Fraction(762, 10), LENGTH)


@pytest.mark.parametrize(
    "text", ["3", "3 zorks", "3 9**9", "3 __import__", "2 in x", "1 radian", "1 mil", "1 ampere", "x"]
)
def test_what_is_no_unit(text: str) -> None:
    with pytest.raises(UnitError):
        read_unusual(text)


def test_pint_is_not_loaded_by_the_rest() -> None:
    code = (
        "import planbook.units.amounts, planbook.units.write, planbook.units.unusual, sys;"
        "sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
