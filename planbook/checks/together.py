"""The checks of how a piece goes together: ways in, holes and fasteners. They stand in the table of all checks."""

from __future__ import annotations

from planbook.checks import bolt_holes, bottoms, closed_faces, driver_room, insertion, pilots, screws, wood_left
from planbook.checks.outcome import Reckoning

FIGURES: tuple[tuple[str, Reckoning], ...] = (
    ("trapped-part", insertion.trapped_part),
    ("bottoms-out", bottoms.bottoms_out),
    ("holes-meet", wood_left.holes_meet),
    ("wood-left", wood_left.wood_left),
    ("point-out", screws.point_out),
    ("misses-mate", screws.misses_mate),
    ("bolt-misses", bolt_holes.bolt_misses),
    ("little-bite", screws.little_bite),
    ("head-buried", screws.head_buried),
    ("end-grain-screw", screws.end_grain_screw),
    ("splits-edge", screws.splits_edge),
    ("pilot-for-wood", pilots.pilot_for_wood),
    ("no-driver-room", driver_room.no_driver_room),
    ("cannot-reach", closed_faces.cannot_reach),
)
"""Slug of what is found, and the reckoning that finds it and gives its figures."""
