"""DXF of slabs that are cut, in millimetres: edges and parts, marks, cuts and names on layers of their own."""

from __future__ import annotations

from collections.abc import Sequence

from planbook.cutting.problem import Way
from planbook.cutting.slab_places import Ground
from planbook.cutting.slabs import SlabLayout
from planbook.drawing.layout_dxf import OUTLINE, TEXT, as_bytes, blank_document

MARKS, CUTS = "MARKS", "CUTS"
_GAP = 200.0
_LETTER = 30.0


def slab_dxf(layouts: Sequence[SlabLayout]) -> bytes:
    """Return the slabs as DXF R2010, the front edge below, one right of the other; 0 across is the chalk line.

    A cut is the line that is drawn on the slab, on the side of the part; the same layouts give the same bytes.
    """
    document = blank_document(((OUTLINE, 7), (MARKS, 1), (CUTS, 5), (TEXT, 3)))
    space = document.modelspace()
    start = 0.0
    for layout in layouts:
        ground = Ground(layout.slab)
        shift = start - ground.left
        shapes = [(OUTLINE, layout.slab.outline)]
        shapes += [(OUTLINE, part.laid.shape) for part in layout.parts]
        shapes += [(MARKS, mark.outline) for mark in layout.slab.marks]
        for layer, spots in shapes:
            space.add_lwpolyline([(x + shift, y) for x, y in spots], close=True, dxfattribs={"layer": layer})
        for cut in layout.cuts:
            left, front, right, back = cut.within
            ends = ((cut.at, front), (cut.at, back)) if cut.way is Way.CROSSCUT else ((left, cut.at), (right, cut.at))
            (x0, y0), (x1, y1) = ends
            space.add_line((x0 + shift, y0), (x1 + shift, y1), dxfattribs={"layer": CUTS})
        names = [(layout.slab.key, (ground.left, ground.back + _LETTER))]
        names += [(part.laid.piece.key, part.laid.box[:2]) for part in layout.parts]
        for text, (x, y) in names:
            space.add_text(text, height=_LETTER, dxfattribs={"layer": TEXT}).set_placement((x + shift + 5, y + 5))
        start += ground.right - ground.left + _GAP
    return as_bytes(document)
