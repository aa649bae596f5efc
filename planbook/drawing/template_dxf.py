"""DXF of a full-size template: outline and cuts as polylines, holes as circles, on layers of their own.

Drawing unit is the millimetre, as the header says. Lines that a machine must not cut (words, crosses,
hidden edges) are left out.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from planbook.drawing.style import LineKind
from planbook.drawing.template import Face, face_of, template_sheet

if TYPE_CHECKING:
    from planbook.plan.model import Plan
    from planbook.plan.templates import Template

OUTLINE, CUTS, DRILL = "OUTLINE", "CUTS", "DRILL"
_LAYERS = {LineKind.OUTLINE: OUTLINE, LineKind.EDGE: CUTS}


def template_dxf(plan: Plan, template: Template) -> bytes:
    """Return a sheet template as DXF R2010 in UTF-8, seen from its face, grain to the right.

    The same template gives the same bytes: the file carries no time and no random identity.
    """
    from ezdxf import units
    from ezdxf._options import options
    from ezdxf.document import Drawing

    options.write_fixed_meta_data_for_testing = True
    document = Drawing.new("AC1024")
    document.units = units.MM
    for name, colour in ((OUTLINE, 7), (CUTS, 3), (DRILL, 1)):
        document.layers.add(name, color=colour)
    space = document.modelspace()
    face = face_of(plan, template)
    for stroke in template_sheet(face, upright=False, drilled=False).strokes:
        layer = _LAYERS.get(stroke.kind)
        if layer is not None:
            space.add_lwpolyline(stroke.points, close=stroke.closed, dxfattribs={"layer": layer})
    for x, y, diameter in _drills(face):
        space.add_circle((x, y), diameter / 2, dxfattribs={"layer": DRILL})
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def _drills(face: Face) -> list[tuple[float, float, float]]:
    """Return centre and diameter of every hole that is seen, mm."""
    return [
        (float(hole.l), face.turn * float(hole.w), float(hole.diameter)) for hole in face.holes if face.enters(hole)
    ]
