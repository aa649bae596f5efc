"""Decay resistance of heartwood against the table of the Forest Products Laboratory.

Research Note FPL-0153 (1967), "Comparative decay resistance of heartwood of native species", as reprinted in
Table 2-1 of the naval facilities manual MO-312.
"""

from __future__ import annotations

import pytest

from planbook.checks.weather import resistance

RESISTANT = (
    "catalpa", "western redcedar", "black cherry", "chestnut", "Arizona cypress", "black locust", "red mulberry",
    "white oak", "osage-orange", "redwood", "sassafras", "black walnut", "Pacific yew",
)  # fmt: skip
MODERATELY = ("Douglas-fir", "western larch", "eastern white pine", "longleaf pine", "slash pine", "tamarack")
SLIGHTLY = (
    "alder", "ash", "aspen", "basswood", "beech", "birch", "cottonwood", "elm", "hackberry", "hemlock", "hickory",
    "magnolia", "maple", "red oak", "ponderosa pine", "poplar", "spruce", "sweetgum", "sycamore", "willow",
    "yellow-poplar",
)  # fmt: skip


@pytest.mark.parametrize(
    ("wood", "printed"),
    [(wood, "resistant") for wood in RESISTANT]
    + [(wood, "moderately resistant") for wood in MODERATELY]
    + [(wood, "slightly or not resistant") for wood in SLIGHTLY],
)
def test_heartwood_stands_in_its_column(wood: str, printed: str) -> None:
    assert resistance(wood) == printed
