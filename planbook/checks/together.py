"""The checks of how a piece goes together: ways in, holes and fasteners. They stand in the table of all checks."""

from __future__ import annotations

from planbook.checks import insertion, wood_left
from planbook.checks.outcome import Reckoning

FIGURES: tuple[tuple[str, Reckoning], ...] = (
    ("trapped-part", insertion.trapped_part),
    ("holes-meet", wood_left.holes_meet),
    ("wood-left", wood_left.wood_left),
)
"""Slug of what is found, and the reckoning that finds it and gives its figures."""
