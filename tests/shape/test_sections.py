from __future__ import annotations

import math

import numpy as np
import pytest
from fixtures.target_books import target_plan
from sample_plan import bookcase

from planbook.shape.sections import section_of
from planbook.shape.solids import Solids
from planbook.shape.states import finished

FRONT = ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
ABOVE = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def test_a_board_cut_square_to_its_length_shows_its_section() -> None:
    plan = bookcase("metric")
    side = plan.part("side")
    body = next(one for one in Solids(plan).bodies(finished(plan), holes=False) if one.part == "side" and not one.piece)
    shape = section_of(body.mesh, *ABOVE, 600.0)
    # Less the rabbet for the back, all along its edge, and the strip of its front edge, which is a body of its own.
    rabbet = next(cut for cut in side.cuts if cut.kind.value == "rabbet")
    taken = (rabbet.box.w[1] - rabbet.box.w[0]) * (rabbet.box.t[1] - rabbet.box.t[0])
    assert shape.area == pytest.approx(float(side.body_width * side.thick - taken))


def test_a_plane_beside_a_body_shows_nothing() -> None:
    body = Solids(bookcase("metric")).bodies(finished(bookcase("metric")))[0]
    assert section_of(body.mesh, *ABOVE, -5.0).is_empty


def test_a_bore_through_a_disc_is_a_hole_in_its_section() -> None:
    """A seat of 13 in with four sockets that lean 12 degrees: each shows an ellipse, pi d^2 / 4 cos 12."""
    plan = target_plan("b", "imperial")
    body = next(one for one in Solids(plan).bodies(finished(plan)) if one.part == "seat")
    shape = section_of(body.mesh, *ABOVE, float(plan.overall[2]) - float(plan.part("seat").thick) / 2)
    assert len(shape.interiors) == 4
    wanted = math.pi / 4 * (330.2**2 - 4 * 25.4**2 / math.cos(math.radians(12)))
    assert shape.area == pytest.approx(wanted, rel=0.003)


def test_the_third_direction_is_across_times_up() -> None:
    plan = bookcase("metric")
    bodies = Solids(plan).bodies(finished(plan), holes=False)
    body = next(one for one in bodies if one.part == "side" and not one.piece)
    middle = body.mesh.points.mean(axis=0)
    at = float(np.dot(np.cross(*FRONT), middle))
    assert section_of(body.mesh, *FRONT, at).area > 0
    assert section_of(body.mesh, *FRONT, -at).is_empty
