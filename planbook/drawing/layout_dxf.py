"""DXF of cutting diagrams, for machines that cut and drill: outlines, drill holes and text on layers of their own.

Drawing unit is the millimetre, as the header says; diagrams stand side by side, the trimmed edge below.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from planbook.cutting.diagram import Diagram, Lying, Place

if TYPE_CHECKING:
    from ezdxf.document import Drawing

OUTLINE, DRILL, TEXT = "OUTLINE", "DRILL", "TEXT"
_GAP = 200.0
_LETTER = 30.0

Drills = Callable[[Lying], Sequence[tuple[Fraction, Fraction, Fraction]]]
"""Holes of a piece on its diagram: along, across from its corner, diameter; mm."""


def layout_dxf(diagrams: Sequence[Diagram], *, drills: Drills | None = None) -> bytes:
    """Return the diagrams as DXF R2010 in UTF-8: closed outlines of sheets and pieces, holes as circles, names.

    The same diagrams give the same bytes: the file carries no time and no random identity.
    """
    document = blank_document(((OUTLINE, 7), (DRILL, 1), (TEXT, 3)))
    space = document.modelspace()
    start = 0.0

    def box(place: Place, left: float) -> list[tuple[float, float]]:
        x, y = left + float(place.x), float(place.y)
        return [
            (x, y),
            (x + float(place.length), y),
            (x + float(place.length), y + float(place.width)),
            (x, y + float(place.width)),
        ]

    for diagram in diagrams:
        whole = Place(Fraction(0), Fraction(0), diagram.length, diagram.width)
        space.add_lwpolyline(box(whole, start), close=True, dxfattribs={"layer": OUTLINE})
        note = space.add_text(f"{diagram.stock}, cut {diagram.repeats}", height=_LETTER, dxfattribs={"layer": TEXT})
        note.set_placement((start, float(diagram.width) + _LETTER))
        for lying in diagram.lying:
            space.add_lwpolyline(box(lying.at, start), close=True, dxfattribs={"layer": OUTLINE})
            height = min(_LETTER, float(min(lying.at.length, lying.at.width)) / 3)
            letter = space.add_text(lying.wanted.key, height=height, dxfattribs={"layer": TEXT})
            letter.set_placement((start + float(lying.at.x) + height / 2, float(lying.at.y) + height / 2))
            for along, across, diameter in drills(lying) if drills is not None else ():
                centre = (start + float(lying.at.x + along), float(lying.at.y + across))
                space.add_circle(centre, float(diameter) / 2, dxfattribs={"layer": DRILL})
        start += float(diagram.length) + _GAP
    return as_bytes(document)


def blank_document(layers: Sequence[tuple[str, int]]) -> Drawing:
    """Return an empty drawing in millimetres with layers of that name and colour."""
    from ezdxf import units
    from ezdxf._options import options
    from ezdxf.document import Drawing

    options.write_fixed_meta_data_for_testing = True
    document = Drawing.new("AC1024")
    document.units = units.MM
    for name, colour in layers:
        document.layers.add(name, color=colour)
    return document


def as_bytes(document: Drawing) -> bytes:
    """Return a drawing as it is written to a file, in UTF-8."""
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()
